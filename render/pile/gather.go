package pile

import (
	"math"
	"sync"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// Colours are counted by cubes of four codes a side, and by step.
const (
	cubeBits  = 6
	cubeShift = 8 - cubeBits
	cubes     = 1 << (3 * cubeBits)
)

// slot counts the pixels of one cube of codes that lie in one step, and sums
// their linear light in parts of colour.FullLight. next is the cube's slot of
// another step, -1 for none.
type slot struct {
	step    int
	next    int32
	label   byte
	count   uint64
	r, g, b uint64
}

// add counts another slot's pixels as well.
func (s *slot) add(t *slot) {
	s.count += t.count
	s.r += t.r
	s.g += t.g
	s.b += t.b
}

// mean is the mean light of the slot's pixels.
func (s *slot) mean() colour.Linear {
	n := float64(s.count) * float64(colour.FullLight)
	return colour.Linear{R: float64(s.r) / n, G: float64(s.g) / n, B: float64(s.b) / n}
}

// order ranks slots of as many pixels, so that none depends on chance.
func (s *slot) order() uint64 {
	c := s.mean().SRGB()
	return uint64(c.R)<<16 | uint64(c.G)<<8 | uint64(c.B)
}

// lightOfCode is the linear light of every code in parts of FullLight.
var lightOfCode = sync.OnceValue(func() *[256]uint64 {
	t := new([256]uint64)
	for code := range t {
		t[code] = uint64(colour.LightOf(colour.Luminance(colour.Decode(uint8(code)))))
	}
	return t
})

// gathering is a picture's colours, counted.
type gathering struct {
	meter                    *colour.Meter
	picture                  *photo.Picture
	steps                    shape.Steps
	left, right, top, bottom int
	first                    []int32 // the first slot of each cube, -1 for none
	slots                    []slot
	labels                   []byte
}

func newGathering(m *colour.Meter, p *photo.Picture, crop place.Crop, s shape.Steps) *gathering {
	g := &gathering{meter: m, picture: p, steps: s, first: make([]int32, cubes)}
	g.left, g.right = place.Centres(crop.X, crop.Width, 0, p.Width)
	g.top, g.bottom = place.Centres(crop.Y, crop.Height, 0, p.Height)
	for i := range g.first {
		g.first[i] = -1
	}
	return g
}

// pixels is how many there are to gather.
func (g *gathering) pixels() uint64 { return uint64(g.right-g.left) * uint64(g.bottom-g.top) }

// find is the slot of a pixel, -1 if there is none yet, and what would make it.
func (g *gathering) find(red, green, blue uint8) (at int32, cube, step int) {
	step = g.steps.Of(g.meter.Read(red, green, blue))
	cube = int(red>>cubeShift)<<(2*cubeBits) | int(green>>cubeShift)<<cubeBits | int(blue>>cubeShift)
	at = g.first[cube]
	for at >= 0 && g.slots[at].step != step {
		at = g.slots[at].next
	}
	return at, cube, step
}

// restRows is after how many rows of a picture progress is told: those of an
// eighth of a million pixels.
func restRows(width int) int { return max(1<<17/max(width, 1), 1) }

// rows runs over the rows of the crop, four bytes a pixel.
func (g *gathering) rows(progress func(float64) error, do func(y int, line []byte)) error {
	rest := restRows(g.right - g.left)
	for y := g.top; y < g.bottom; y++ {
		if (y-g.top)%rest == 0 {
			if err := progress(float64(y-g.top) / float64(g.bottom-g.top)); err != nil {
				return err
			}
		}
		row := g.picture.Pix[4*g.picture.Width*y:]
		do(y, row[4*g.left:4*g.right])
	}
	return progress(1)
}

// collect counts every pixel.
func (g *gathering) collect(progress func(float64) error) error {
	light := lightOfCode()
	return g.rows(progress, func(_ int, line []byte) {
		for ; len(line) >= 4; line = line[4:] {
			at, cube, step := g.find(line[0], line[1], line[2])
			if at < 0 {
				at = int32(len(g.slots))
				g.slots = append(g.slots, slot{step: step, next: g.first[cube]})
				g.first[cube] = at
			}
			s := &g.slots[at]
			s.count++
			s.r += light[line[0]]
			s.g += light[line[1]]
			s.b += light[line[2]]
		}
	})
}

// ofStep is the slots of a step, by their cubes.
func (g *gathering) ofStep(step int) []*slot {
	var of []*slot
	for _, at := range g.first {
		for ; at >= 0; at = g.slots[at].next {
			if g.slots[at].step == step {
				of = append(of, &g.slots[at])
			}
		}
	}
	return of
}

// point is a colour in OKLab in parts of 65,536, so that sums and distances are
// whole numbers and the same everywhere, and how many pixels have it.
type point struct {
	at    [3]int64
	count int64
}

// fine is how many parts one of OKLab has.
const fine = 65536

// pointsOf is where the slots' colours lie.
func pointsOf(slots []*slot) []point {
	points := make([]point, len(slots))
	for i, s := range slots {
		c := s.mean().OKLab()
		points[i].count = int64(s.count)
		for j, v := range [3]float64{c.L, c.A, c.B} {
			points[i].at[j] = int64(math.Round(v * fine))
		}
	}
	return points
}

// lab is the colour in CIELAB.
func (p *point) lab() colour.Lab {
	c := colour.OKLab{L: float64(p.at[0]) / fine, A: float64(p.at[1]) / fine, B: float64(p.at[2]) / fine}
	return c.Linear().XYZ().Lab()
}
