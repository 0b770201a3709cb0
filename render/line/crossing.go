package line

import (
	"cmp"
	"math"
	"math/big"
	"slices"

	"maulstick/render/place"
)

// Crossing is where two lines or more meet, on the canvas or at its very edge.
// Crossings are ranked: first those where more lines meet; of those, first the
// ones inside, then the ones nearer to the canvas's middle, then the upper and the
// left ones.
type Crossing struct {
	At     place.CanvasPoint // within a millionth of the canvas's long side
	Lines  []int             // indices into the set's lines, ascending; 2 or more
	OnEdge bool
}

// Exact is the crossing without any rounding.
func (s *Set) Exact(c Crossing) Point {
	return s.meet(c.Lines[0], c.Lines[1]).point()
}

// What floating point can be trusted with, in parts of the canvas's long side.
// Unit normals hold to 1e-15, so two lines whose angle has a sine of at least
// slight meet within 1e-15/slight of where they are said to: a tenth of near.
const (
	slight = 1e-6
	near   = 1e-8
)

// meeting is where two lines meet, in parts of the canvas's long side.
type meeting struct {
	i, j   int
	x, y   float64
	onEdge bool
}

// spot is an exact meeting: x = (x[0] + x[1]√5) / w, in millimetres.
type spot struct {
	x, y [2]*big.Int
	w    *big.Int
}

// point is the spot as numbers.
func (p spot) point() Point {
	number := func(n [2]*big.Int) Number {
		return Number{new(big.Rat).SetFrac(n[0], p.w), new(big.Rat).SetFrac(n[1], p.w)}
	}
	return Point{number(p.x), number(p.y)}
}

// meet is where two lines that are not parallel meet.
func (s *Set) meet(i, j int) spot {
	m, n := s.Lines[i].course, s.Lines[j].course
	minor := func(a, b, c, d *big.Int) *big.Int { // a d - b c
		left, right := new(big.Int).Mul(a, d), new(big.Int).Mul(b, c)
		return left.Sub(left, right)
	}
	return spot{
		w: minor(m.a, m.b, n.a, n.b),
		x: [2]*big.Int{minor(m.c, m.b, n.c, n.b), minor(m.d, m.b, n.d, n.b)},
		y: [2]*big.Int{minor(m.a, m.c, n.a, n.c), minor(m.a, m.d, n.a, n.d)},
	}
}

// passes says whether a line passes through a spot.
func (s *Set) passes(i int, p spot) bool {
	var left, right big.Int
	c := s.Lines[i].course
	for k, whole := range [2]*big.Int{c.c, c.d} {
		left.Mul(c.a, p.x[k])
		right.Mul(c.b, p.y[k])
		left.Add(&left, &right)
		right.Mul(whole, p.w)
		if left.Cmp(&right) != 0 {
			return false
		}
	}
	return true
}

// normal is a course in floating point: a x + b y = c with a² + b² = 1, in parts
// of the canvas's long side.
type normal struct{ a, b, c float64 }

func (c course) normal(long float64) normal {
	// Divided by the larger of a and b first, which may both be huge.
	scale := c.a
	if c.b.CmpAbs(c.a) > 0 {
		scale = c.b
	}
	part := func(n *big.Int) *big.Rat { return new(big.Rat).SetFrac(n, scale) }
	a, _ := part(c.a).Float64()
	b, _ := part(c.b).Float64()
	size := math.Hypot(a, b)
	return normal{a / size, b / size, Number{part(c.c), part(c.d)}.Float64() / size / long}
}

// cross finds the crossings. Floating point says which meetings are surely
// apart; whatever it cannot tell is told exactly.
func (s *Set) cross(width, height *big.Rat) {
	meetings := s.meetings(width, height)
	byX := func(a, b meeting) int { return cmp.Compare(a.x, b.x) }
	byY := func(a, b meeting) int { return cmp.Compare(a.y, b.y) }
	slices.SortFunc(meetings, byX)
	for column := range runs(meetings, func(m meeting) float64 { return m.x }) {
		slices.SortFunc(column, byY)
		for together := range runs(column, func(m meeting) float64 { return m.y }) {
			s.part(together)
		}
	}
	s.rank()
}

// runs parts sorted meetings wherever two neighbours are apart.
func runs(sorted []meeting, of func(meeting) float64) func(func([]meeting) bool) {
	return func(yield func([]meeting) bool) {
		start := 0
		for i := range sorted {
			if i+1 == len(sorted) || of(sorted[i+1])-of(sorted[i]) > near {
				if !yield(sorted[start : i+1]) {
					return
				}
				start = i + 1
			}
		}
	}
}

// meetings are the meetings on the canvas of all pairs of lines.
func (s *Set) meetings(width, height *big.Rat) []meeting {
	long := float64(max(s.Canvas.Width, s.Canvas.Height))
	right, bottom := float64(s.Canvas.Width)/long, float64(s.Canvas.Height)/long
	normals := make([]normal, len(s.Lines))
	for i, l := range s.Lines {
		normals[i] = l.course.normal(long)
	}
	var found []meeting
	for i, m := range normals {
		for j := i + 1; j < len(normals); j++ {
			n := normals[j]
			sine := m.a*n.b - m.b*n.a
			at := meeting{i: i, j: j}
			if math.Abs(sine) < slight {
				p := s.meet(i, j)
				if p.w.Sign() == 0 {
					continue
				}
				q := p.point()
				at.x, at.y = q.X.Float64()/long, q.Y.Float64()/long
			} else {
				at.x = (m.c*n.b - m.b*n.c) / sine
				at.y = (m.a*n.c - m.c*n.a) / sine
			}
			inside := min(at.x, at.y, right-at.x, bottom-at.y) // how far
			if inside < -near {
				continue
			}
			if inside < near {
				p := s.meet(i, j).point()
				least := min(p.X.Sign(), p.Y.Sign(), rational(width).Cmp(p.X), rational(height).Cmp(p.Y))
				if least < 0 {
					continue
				}
				at.x, at.y, at.onEdge = p.X.Float64()/long, p.Y.Float64()/long, least == 0
			}
			found = append(found, at)
		}
	}
	return found
}

// part makes crossings of meetings that lie together: one, or more that are too
// near to each other for floating point.
func (s *Set) part(together []meeting) {
	long := max(s.Canvas.Width, s.Canvas.Height)
	for len(together) > 0 {
		first := together[0]
		c := Crossing{
			At:    place.CanvasPoint{X: place.MM(first.x) * long, Y: place.MM(first.y) * long},
			Lines: []int{first.i, first.j}, OnEdge: first.onEdge,
		}
		var others []meeting
		if len(together) > 1 {
			p := s.meet(first.i, first.j)
			c.At = p.point().Canvas()
			passes := map[int]bool{first.i: true, first.j: true}
			for _, m := range together[1:] {
				for _, i := range [2]int{m.i, m.j} {
					if _, told := passes[i]; !told {
						if passes[i] = s.passes(i, p); passes[i] {
							c.Lines = append(c.Lines, i)
						}
					}
				}
				if !passes[m.i] || !passes[m.j] {
					others = append(others, m)
				}
			}
			slices.Sort(c.Lines)
		}
		s.Crossings = append(s.Crossings, c)
		together = others
	}
}

// rank sorts the crossings.
func (s *Set) rank() {
	long := float64(max(s.Canvas.Width, s.Canvas.Height))
	// Compared to a ten-millionth of the long side, so that mirrored crossings tie.
	coarse := func(l float64) int { return int(math.Round(l / long * 1e7)) }
	keys := make([][6]int, len(s.Crossings)) // the first that differs decides, the lower one going first
	for i, c := range s.Crossings {
		off := math.Hypot(float64(c.At.X-s.Canvas.Width/2), float64(c.At.Y-s.Canvas.Height/2))
		keys[i] = [6]int{-len(c.Lines), 0, coarse(off), coarse(float64(c.At.Y)), coarse(float64(c.At.X)), i}
		if c.OnEdge {
			keys[i][1] = 1
		}
	}
	slices.SortFunc(keys, func(a, b [6]int) int { return slices.Compare(a[:], b[:]) })
	ranked := make([]Crossing, len(keys))
	for i, k := range keys {
		ranked[i] = s.Crossings[k[5]]
	}
	s.Crossings = ranked
}
