package shape

import (
	"cmp"
	"math"
	"slices"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

const (
	// discSizes is how many sizes of disc there are, each twice the one before.
	discSizes = 3
	// discRadius is the radius of every disc in stones of its mosaic.
	discRadius = 6
	// discsAcross is how many radii of the smallest disc a picture's diagonal is.
	discsAcross = 48
	// discStride is how many stones lie between the middles of discs.
	discStride = 2
	// sectors is how many parts discs are cut into; halves are made of these.
	sectors = 16
	// leastHalf is the share of a half disc that has to lie in the picture.
	leastHalf = 0.6
	// leastEdges is how much edge a half disc holds at least to be called sharp
	// or soft: L* of contrast all along a radius.
	leastEdges = 5.0
	// linearFull is linear light of 1 in whole numbers.
	linearFull = 1 << 20
)

// stone is one square of a mosaic: how many pixels it holds, their linear light
// added up, and the edges in it: length in pixels times contrast, and that times
// the logarithm of the width in millimetres.
type stone struct {
	pixels, r, g, b uint64
	edge, widths    float64
}

func (s *stone) add(o *stone) {
	s.pixels += o.pixels
	s.r += o.r
	s.g += o.g
	s.b += o.b
	s.edge += o.edge
	s.widths += o.widths
}

// mosaic is a picture in coarse squares.
type mosaic struct {
	columns, rows int
	side          float64 // of a stone in pixels of the picture
	left, top     float64 // of the mosaic on the picture
	stones        []stone
}

// linearTable is the linear light of every code in whole numbers.
var linearTable = func() (table [256]uint64) {
	for code := range table {
		table[code] = uint64(math.Round(colour.Decode(uint8(code)) * linearFull))
	}
	return table
}()

// newMosaic is the mosaic for the smallest discs. Stones are no smaller than a
// pixel.
func newMosaic(p *photo.Picture, w window, e *Edges, t *pace) *mosaic {
	diagonal := math.Hypot(float64(w.width), float64(w.height))
	g := &mosaic{side: max(diagonal/(discsAcross*discRadius), 1), left: float64(w.left), top: float64(w.top)}
	g.columns, g.rows = g.index(float64(w.width)-0.5)+1, g.index(float64(w.height)-0.5)+1
	g.stones = make([]stone, g.columns*g.rows)
	columns := make([]int, w.width)
	for x := range columns {
		columns[x] = g.index(float64(x) + 0.5)
	}
	t.total = float64(w.width*w.height) + 4*discWork*float64(len(g.stones))/3
	for y := 0; y < w.height && t.row(w.width); y++ {
		line := p.Pix[4*((w.top+y)*p.Width+w.left):][:4*w.width]
		row := g.stones[g.index(float64(y)+0.5)*g.columns:]
		for x, column := range columns {
			s := &row[column]
			s.pixels++
			s.r += linearTable[line[4*x]]
			s.g += linearTable[line[4*x+1]]
			s.b += linearTable[line[4*x+2]]
		}
	}
	g.addEdges(e)
	return g
}

func (g *mosaic) index(pixels float64) int { return int(pixels / g.side) }

// addEdges counts the edges into the stones, but those too wide to be seen as
// edges.
func (g *mosaic) addEdges(e *Edges) {
	for _, s := range e.Strands {
		for i := 1; i < len(s); i++ {
			p := s[i]
			if p.Width > e.Limits.Soft {
				continue
			}
			length := float64(e.step(s[i-1], p) / e.Mapping.Pixel())
			x := min(max(g.index(p.At.X-g.left), 0), g.columns-1)
			y := min(max(g.index(p.At.Y-g.top), 0), g.rows-1)
			at := &g.stones[y*g.columns+x]
			weight := length * float64(p.Contrast)
			at.edge += weight
			at.widths += weight * math.Log(float64(max(p.Width, e.Limits.Sharp/2)))
		}
	}
}

// halved is the mosaic in stones twice the size.
func (g *mosaic) halved() *mosaic {
	h := &mosaic{side: 2 * g.side, left: g.left, top: g.top, columns: (g.columns + 1) / 2, rows: (g.rows + 1) / 2}
	h.stones = make([]stone, h.columns*h.rows)
	for i := range g.stones {
		h.stones[i/g.columns/2*h.columns+i%g.columns/2].add(&g.stones[i])
	}
	return h
}

// discWork is about how many pixels of a picture could be read in the time that
// a stone's share of discs takes.
const discWork = 100

// compare finds the contrasts of discs of one size at all places, the strongest
// direction of each kind.
func (g *mosaic) compare(c *Contrasts, size int, found *[contrastKinds][]candidate, t *pace) {
	// Of two sizes about as strong the larger one tells more.
	favour := math.Pow(larger, float64(size))
	for y := 0; y < g.rows && t.row(discWork*g.columns*discStride); y += discStride {
		for x := 0; x < g.columns; x += discStride {
			at := place.PhotoPoint{X: g.left + (float64(x)+0.5)*g.side, Y: g.top + (float64(y)+0.5)*g.side}
			wedges := g.wedges(x, y)
			cuts, weights := g.cuts(c, &wedges, at)
			for kind := range contrastKinds {
				if weights[kind] == 0 {
					continue
				}
				r := g.contrast(c, kind, &wedges, cuts[kind], at)
				if r.Strength >= leastStrength[kind] {
					found[kind] = append(found[kind], candidate{r, favour * weights[kind]})
				}
			}
		}
	}
}

// candidate is a contrast and its weight against others. The weight is that of
// whole halves of a disc, which differ most where the disc lies in the middle
// of the border between two areas.
type candidate struct {
	Contrast
	weight float64
}

// leastStrength is how strong a contrast of each kind is at least: a difference
// that is no lost edge, or edges twice as wide.
var leastStrength = [contrastKinds]float64{ByValue: LostContrast, ByHue: LostContrast, BySharpness: 1, ByAll: LostContrast}

// wedge is the sum of a sixteenth of a disc.
type wedge struct {
	stone
	stones int
}

// discCore is the radius in stones within which a disc's stones are left out:
// they lie beside every cut.
const discCore = 2.4

// discStones are the stones of a disc and the sector that each lies in.
var discStones = func() (list []struct{ dx, dy, sector int }) {
	for dy := -discRadius; dy <= discRadius; dy++ {
		for dx := -discRadius; dx <= discRadius; dx++ {
			if d := dx*dx + dy*dy; float64(d) < discCore*discCore || d > discRadius*discRadius {
				continue
			}
			turn := math.Atan2(float64(dy), float64(dx)) / (2 * math.Pi)
			sector := int(math.Floor(turn*sectors+0.5)+sectors) % sectors
			list = append(list, struct{ dx, dy, sector int }{dx, dy, sector})
		}
	}
	return list
}()

// wedges are the sums of the sectors of a disc.
func (g *mosaic) wedges(x, y int) (sums [sectors]wedge) {
	for _, d := range discStones {
		u, v := x+d.dx, y+d.dy
		if u < 0 || v < 0 || u >= g.columns || v >= g.rows {
			continue
		}
		s := &sums[d.sector]
		s.add(&g.stones[v*g.columns+u])
		s.stones++
	}
	return sums
}

// cuts are the directions in which the halves of a disc differ most in each
// kind, and how much; 0 where too little of the disc lies in the picture.
func (g *mosaic) cuts(c *Contrasts, wedges *[sectors]wedge, at place.PhotoPoint) (cuts [contrastKinds]int, weights [contrastKinds]float64) {
	for cut := range sectors / 2 {
		a, b, ok := g.halves(wedges, cut, 0, at)
		if !ok {
			continue
		}
		value, hue, octaves := difference(a, b)
		for kind := range contrastKinds {
			if s := c.strength(kind, value, hue, octaves); s > weights[kind] {
				cuts[kind], weights[kind] = cut, s
			}
		}
	}
	return cuts, weights
}

// contrast describes a disc cut in one direction.
func (g *mosaic) contrast(c *Contrasts, kind ContrastKind, wedges *[sectors]wedge, cut int, at place.PhotoPoint) Contrast {
	a, b, ok := g.halves(wedges, cut, 1, at)
	if !ok {
		return Contrast{}
	}
	if a.Lab.L > b.Lab.L {
		a, b = b, a
	}
	r := Contrast{Kind: kind, At: at, Radius: place.MM(discRadius*g.side) * c.Mapping.Pixel(), Dark: a, Light: b}
	r.Value, r.Hue, r.Octaves = difference(a, b)
	r.Strength = c.strength(kind, r.Value, r.Hue, r.Octaves)
	return r
}

// halves describes both halves of a disc cut in one direction, without so many
// sectors on each side of the cut, where the way from one area to the other
// lies. ok is false where too little of either lies in the picture.
func (g *mosaic) halves(wedges *[sectors]wedge, cut, without int, at place.PhotoPoint) (a, b ContrastSide, ok bool) {
	var sums [2]wedge
	for i := range wedges {
		if beside := i % (sectors / 2); beside < without || beside >= sectors/2-without {
			continue
		}
		half := &sums[i*2/sectors]
		w := &wedges[(i+cut)%sectors]
		half.add(&w.stone)
		half.stones += w.stones
	}
	whole := float64(len(discStones)) / 2 * float64(sectors-4*without) / sectors
	if float64(min(sums[0].stones, sums[1].stones)) < leastHalf*whole || min(sums[0].pixels, sums[1].pixels) == 0 {
		return a, b, false
	}
	turn := (float64(cut) + sectors/4 - 0.5) / sectors * 2 * math.Pi
	return g.half(&sums[0], at, turn), g.half(&sums[1], at, turn+math.Pi), true
}

// half describes the half of a disc that lies in a direction from its middle.
func (g *mosaic) half(h *wedge, at place.PhotoPoint, turn float64) ContrastSide {
	n := float64(h.pixels) * linearFull
	light := colour.Linear{R: float64(h.r) / n, G: float64(h.g) / n, B: float64(h.b) / n}
	sin, cos := math.Sincos(turn)
	away := 0.6 * discRadius * g.side // near its middle
	s := ContrastSide{
		At:     place.PhotoPoint{X: at.X + away*cos, Y: at.Y + away*sin},
		Colour: light.SRGB(), Lab: light.XYZ().Lab(),
	}
	if h.edge >= leastEdges*discRadius*g.side {
		s.Width = place.MM(math.Exp(h.widths / h.edge))
	}
	return s
}

// larger is how much stronger a contrast of one size has to be than one of
// twice the size to count before it.
const larger = 1.1

// strongest are the n strongest contrasts that lie apart, ranked.
func (c *Contrasts) strongest(found []candidate, n int) []Contrast {
	slices.SortStableFunc(found, func(a, b candidate) int { return cmp.Compare(b.weight, a.weight) })
	apart := arc(apartArc, ViewingDistance(c.Mapping.Canvas))
	var chosen []Contrast
	for _, r := range found {
		if len(chosen) == n {
			break
		}
		near := func(o Contrast) bool { return c.between(o.At, r.At) < max(apart, o.Radius, r.Radius) }
		if !slices.ContainsFunc(chosen, near) {
			chosen = append(chosen, r.Contrast)
		}
	}
	slices.SortStableFunc(chosen, func(a, b Contrast) int { return cmp.Compare(b.Strength, a.Strength) })
	for i := range chosen {
		chosen[i].Rank = i + 1
	}
	return chosen
}

// between is the way on the canvas from one place to another.
func (c *Contrasts) between(a, b place.PhotoPoint) place.MM {
	p, q := c.Mapping.ToCanvas(a), c.Mapping.ToCanvas(b)
	return place.MM(math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)))
}
