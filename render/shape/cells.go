package shape

import (
	"math"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// mostCells is how many square cells a picture is averaged into at most where its
// colours are judged by masses: enough to keep what a painter would paint, and
// large enough to average out the rounding of dark codes.
const mostCells = 1 << 16

// cells is a cropped picture averaged in linear light into squares. The zero value
// has none.
type cells struct {
	columns, rows int
	side          int // of a cell in pixels; those at the right and lower edges may be cut
	left, top     int // the first pixel
	right, bottom int // the first pixel beyond
	light         []colour.Linear
	count         []int // pixels
}

// fullCell is the linear light of white in whole numbers: fine enough for the
// darkest codes, and 2^35 pixels of it fit in 64 bits.
const fullCell = 1 << 28

// cellLight is the linear light of every code in whole numbers.
var cellLight = func() (table [256]uint64) {
	for code := range table {
		table[code] = uint64(math.Round(colour.Decode(uint8(code)) * fullCell))
	}
	return table
}()

// progressPixels is how many pixels are read between two reports of progress.
const progressPixels = 1 << 20

// report tells progress, if anyone wants to know.
func report(progress func(done float64) error, done float64) error {
	if progress == nil {
		return nil
	}
	return progress(done)
}

// averageCells averages the pixels whose centres lie in the crop.
func averageCells(p *photo.Picture, crop place.Crop, progress func(done float64) error) (*cells, error) {
	g := &cells{}
	g.left, g.right = place.Centres(crop.X, crop.Width, 0, p.Width)
	g.top, g.bottom = place.Centres(crop.Y, crop.Height, 0, p.Height)
	width, height := g.right-g.left, g.bottom-g.top
	if width < 1 || height < 1 {
		return g, report(progress, 1)
	}
	g.side = int(math.Ceil(math.Sqrt(float64(width) * float64(height) / mostCells)))
	g.columns, g.rows = (width+g.side-1)/g.side, (height+g.side-1)/g.side
	g.light = make([]colour.Linear, g.columns*g.rows)
	g.count = make([]int, len(g.light))
	sums := make([][3]uint64, g.columns)
	unreported := 0
	for row := range g.rows {
		clear(sums)
		first := g.top + row*g.side
		lines := min(g.side, g.bottom-first)
		for y := first; y < first+lines; y++ {
			g.addLine(sums, p.Pix[4*(y*p.Width+g.left):4*(y*p.Width+g.right)])
		}
		g.finishRow(row, lines, sums)
		if unreported += width * lines; unreported >= progressPixels {
			unreported = 0
			if err := report(progress, float64(row+1)/float64(g.rows)); err != nil {
				return nil, err
			}
		}
	}
	return g, report(progress, 1)
}

// addLine adds a line of pixels to its row of cells.
func (g *cells) addLine(sums [][3]uint64, line []byte) {
	for i := range sums {
		sum := &sums[i]
		cell := line[:min(4*g.side, len(line))]
		line = line[len(cell):]
		for ; len(cell) >= 4; cell = cell[4:] {
			sum[0] += cellLight[cell[0]]
			sum[1] += cellLight[cell[1]]
			sum[2] += cellLight[cell[2]]
		}
	}
}

// finishRow divides a row's sums.
func (g *cells) finishRow(row, lines int, sums [][3]uint64) {
	for i, sum := range sums {
		n := lines * min(g.side, g.right-g.left-i*g.side)
		whole := float64(n) * fullCell
		k := row*g.columns + i
		g.count[k] = n
		g.light[k] = colour.Linear{R: float64(sum[0]) / whole, G: float64(sum[1]) / whole, B: float64(sum[2]) / whole}
	}
}

// total is how many pixels the cells hold.
func (g *cells) total() int { return max(g.right-g.left, 0) * max(g.bottom-g.top, 0) }

// middle is the centre of cell k on the photograph.
func (g *cells) middle(k int) place.PhotoPoint {
	x, y := g.left+k%g.columns*g.side, g.top+k/g.columns*g.side
	return place.PhotoPoint{
		X: float64(x+min(x+g.side, g.right)) / 2,
		Y: float64(y+min(y+g.side, g.bottom)) / 2,
	}
}
