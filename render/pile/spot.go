package pile

import (
	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// cellsAcross is into how many cells the longer side of a crop is cut to find
// where a pile lies.
const cellsAcross = 192

// reaches are the half sides, in cells, of the squares about a place in which a
// pile's pixels are counted.
var reaches = [...]int{0, 1, 2, 4, 8, 16, 32}

// cells counts each pile's pixels by square cells.
type cells struct {
	side, columns, rows int
	counts              [][]uint32 // by pile, in rows of cells
}

// label tells the pile of each pixel, and how many of each lie in each cell.
func (g *gathering) label(piles int, progress func(float64) error) (*cells, error) {
	width, height := g.right-g.left, g.bottom-g.top
	side := max((max(width, height)+cellsAcross-1)/cellsAcross, 1)
	c := &cells{side: side, columns: (width + side - 1) / side, rows: (height + side - 1) / side}
	for range piles {
		c.counts = append(c.counts, make([]uint32, c.columns*c.rows))
	}
	g.labels = make([]byte, width*height)
	err := g.rows(progress, func(y int, line []byte) {
		labels := g.labels[(y-g.top)*width:][:width]
		row := (y - g.top) / side * c.columns
		for x := range labels {
			at, _, _ := g.find(line[4*x], line[4*x+1], line[4*x+2])
			labels[x] = g.slots[at].label
			c.counts[labels[x]-1][row+x/side]++
		}
	})
	return c, err
}

// locate finds for each pile a pixel well inside an area of it.
func (p *Piles) locate(picture *photo.Picture, c *cells, progress func(float64) error) error {
	label := 0
	for k := range p.Steps {
		for i := range p.Steps[k].Piles {
			if err := progress(float64(label) / float64(len(c.counts))); err != nil {
				return err
			}
			pile := &p.Steps[k].Piles[i]
			column, row := c.densest(label)
			pile.At = p.pixelIn(picture, c, column, row, byte(label+1), pile.Colour)
			label++
		}
	}
	return progress(1)
}

// densest is the cell with the most of a pile about it: in squares of all
// reaches together, each counted by how full it is, what lies outside being
// empty. So the middle of a large area comes before its rim, and an area
// before as many scattered specks.
func (c *cells) densest(pile int) (column, row int) {
	sums := c.integral(pile)
	best := -1.0
	for y := range c.rows {
		for x := range c.columns {
			if c.counts[pile][y*c.columns+x] == 0 {
				continue
			}
			full := 0.0
			for _, reach := range reaches {
				side := 2*reach + 1
				full += float64(c.within(sums, x, y, reach)) / float64(side*side)
			}
			if full > best {
				best, column, row = full, x, y
			}
		}
	}
	return column, row
}

// integral holds, for each corner of cells, how many of a pile's pixels lie
// above and left of it.
func (c *cells) integral(pile int) []uint64 {
	wide := c.columns + 1
	sums := make([]uint64, wide*(c.rows+1))
	for y := range c.rows {
		var line uint64
		for x := range c.columns {
			line += uint64(c.counts[pile][y*c.columns+x])
			sums[(y+1)*wide+x+1] = sums[y*wide+x+1] + line
		}
	}
	return sums
}

// within is how many pixels lie in the square of cells about one.
func (c *cells) within(sums []uint64, x, y, reach int) uint64 {
	wide := c.columns + 1
	left, right := max(x-reach, 0), min(x+reach+1, c.columns)
	top, bottom := max(y-reach, 0)*wide, min(y+reach+1, c.rows)*wide
	return sums[bottom+right] - sums[bottom+left] - sums[top+right] + sums[top+left]
}

// pixelIn is the centre of the pixel of a pile in a cell that is most of the
// pile's colour, the nearest to the cell's middle among equals.
func (p *Piles) pixelIn(picture *photo.Picture, c *cells, column, row int, label byte, swatch colour.SRGB) place.PhotoPoint {
	height := len(p.Labels) / p.Width
	best, bestX, bestY := -1, 0, 0
	for y := row * c.side; y < min((row+1)*c.side, height); y++ {
		for x := column * c.side; x < min((column+1)*c.side, p.Width); x++ {
			if p.Labels[y*p.Width+x] != label {
				continue
			}
			off := apart(picture.At(p.Left+x, p.Top+y), swatch)
			dx, dy := 2*x+1-(2*column+1)*c.side, 2*y+1-(2*row+1)*c.side
			off = off*8*c.side*c.side + dx*dx + dy*dy
			if best < 0 || off < best {
				best, bestX, bestY = off, x, y
			}
		}
	}
	return place.PhotoPoint{X: float64(p.Left+bestX) + 0.5, Y: float64(p.Top+bestY) + 0.5}
}

// apart is how far apart two codes are, squared.
func apart(c, d colour.SRGB) int {
	r, g, b := int(c.R)-int(d.R), int(c.G)-int(d.G), int(c.B)-int(d.B)
	return r*r + g*g + b*b
}
