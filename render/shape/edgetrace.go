package shape

import "math"

// How planes are smoothed before their gradients are compared.
var (
	fineSmoothing   = binomial2
	coarseSmoothing = binomial8
)

// edgeScene is a picture of lightness, halved level times, where edges are looked
// for: smoothed a little and smoothed more.
type edgeScene struct {
	level        int
	fine, coarse plane
	noise        filters // of the gradients, in L* a pixel of the level
	prior        float64 // what halving smoothed already, a variance in pixels squared
}

func newScene(p plane, level int, noise float64, t *pace) *edgeScene {
	s := &edgeScene{level: level, fine: fineSmoothing.smooth(p, t), noise: filtersAt(level)}
	s.coarse = coarseSmoothing.smooth(s.fine, t)
	s.noise.fine *= noise
	s.noise.coarse *= noise
	s.noise.difference *= noise
	for range level {
		s.prior = (s.prior + binomial4.variance()) / 4
	}
	return s
}

// crest is a pixel where the lightness rises more steeply than on either side
// of it: a place of an edge.
type crest struct {
	x, y         int32
	nx, ny       float32 // the direction in which it rises, of length 1
	off          float32 // how far along that direction the edge lies, in pixels
	fine, coarse float32 // how steep it is there when smoothed a little and more, L* a pixel
}

// steepness is the gradients' size at every pixel but the border's, in units of
// gradientUnit.
func (s *edgeScene) steepness(t *pace) []float32 {
	p := s.fine
	out := make([]float32, len(p.at))
	for y := 1; y < p.height-1 && t.row(p.width); y++ {
		for i := y*p.width + 1; i < (y+1)*p.width-1; i++ {
			gx, gy := p.gradient(i)
			out[i] = float32(math.Sqrt(float64(int64(gx)*int64(gx) + int64(gy)*int64(gy))))
		}
	}
	return out
}

// crests are the places of edges at least so steep, in L* a pixel, in rows from
// the top. They keep two pixels from the border.
func (s *edgeScene) crests(least float64, t *pace) []crest {
	var found []crest
	steep := s.steepness(t)
	floor := float32(least / gradientUnit)
	p := s.fine
	for y := 2; y < p.height-2 && t.row(p.width); y++ {
		for x := 2; x < p.width-2; x++ {
			i := y*p.width + x
			if steep[i] < floor || !s.crowns(steep, i) {
				continue
			}
			if c, ok := s.crestAt(x, y); ok {
				found = append(found, c)
			}
		}
	}
	return found
}

// crowns says whether a pixel is steeper than the places a pixel's way before
// and behind it in the direction of its gradient, read between the pixels
// there (Canny, A computational approach to edge detection, IEEE TPAMI 8,
// 1986). Of two equal ones the first counts.
func (s *edgeScene) crowns(steep []float32, i int) bool {
	w := s.fine.width
	gx, gy := s.fine.gradient(i)
	ax, ay := max(gx, -gx), max(gy, -gy)
	along, corner := 1, 1
	small, large := ay, ax
	if gx < 0 {
		along = -1
	}
	down := w
	if gy < 0 {
		down = -w
	}
	corner = along + down
	if ay > ax {
		along, small, large = down, ax, ay
	}
	t := float32(small) / float32(large)
	before := float32(float32((1-t)*steep[i-along]) + float32(t*steep[i-corner]))
	after := float32(float32((1-t)*steep[i+along]) + float32(t*steep[i+corner]))
	return steep[i] > before && steep[i] >= after
}

// crestAt measures an edge about a pixel. Across a straight edge blurred by a
// Gaussian the gradient is a Gaussian too, so its logarithm is a parabola: one
// is laid through nine pixels, for the place, and one through those of the
// plane smoothed more, at the same place. ok is false where the edge does not
// pass near the pixel.
func (s *edgeScene) crestAt(x, y int) (c crest, ok bool) {
	i := y*s.fine.width + x
	gx, gy := s.coarse.gradient(i)
	fx, fy := s.fine.gradient(i)
	if int64(gx)*int64(fx)+int64(gy)*int64(fy) <= 0 {
		gx, gy = fx, fy
	}
	length := math.Hypot(float64(gx), float64(gy))
	if length == 0 {
		return c, false
	}
	nx, ny := float64(gx)/length, float64(gy)/length
	fine := s.fine.arch(i, nx, ny)
	coarse := s.coarse.arch(i, nx, ny)
	off := fine.top()
	if !(math.Abs(off) <= 1) || fine.climb(off) > mostClimb || math.Abs(coarse.climb(off)) > mostClimb {
		return c, false
	}
	return crest{
		x: int32(x), y: int32(y), nx: float32(nx), ny: float32(ny), off: float32(off),
		fine: float32(fine.at(off) * gradientUnit), coarse: float32(coarse.at(off) * gradientUnit),
	}, true
}

// arch is a Gaussian through values by their distance s: exp(a + b*s + c*s*s).
type arch struct{ a, b, c float64 }

func (r arch) at(s float64) float64 { return math.Exp(r.a + r.climb(s)) }

// climb is how much higher the arch is at s than in the middle, as a logarithm.
func (r arch) climb(s float64) float64 { return r.b*s + r.c*s*s }

// mostClimb is that of the sharpest edge there is, which passes through a
// corner of its pixel, and a little more.
const mostClimb = 0.4

// top is where the arch is highest; not a number if it has no top.
func (r arch) top() float64 {
	if r.c >= 0 {
		return math.NaN()
	}
	return -r.b / (2 * r.c)
}

// arch is the Gaussian nearest to the gradients of nine pixels in a direction,
// as least squares of their logarithms, weighted by what noise does to those.
func (p plane) arch(i int, nx, ny float64) arch {
	gx, gy := p.gradient(i)
	middle := nx*float64(gx) + ny*float64(gy)
	if middle <= 0 {
		return arch{a: math.Inf(-1)}
	}
	var m [5]float64 // sums of weight times powers of the distance
	var v [3]float64 // and of those times the logarithm
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			gx, gy := p.gradient(i + dy*p.width + dx)
			rise := (nx*float64(gx) + ny*float64(gy)) / middle
			if rise < leastRise {
				continue
			}
			s, weight, log := nx*float64(dx)+ny*float64(dy), rise*rise, math.Log(rise)
			for k := range m {
				m[k] += weight
				if k < len(v) {
					v[k] += weight * log
				}
				weight *= s
			}
		}
	}
	r, ok := solve(m, v)
	if !ok {
		return arch{a: math.Log(middle)}
	}
	r.a += math.Log(middle)
	return r
}

// leastRise is the share of the gradient in the middle that a neighbour has to
// reach to count: less is mostly another edge's doing.
const leastRise = 0.15

// solve finds the parabola of least squares from its sums by Cramer's rule.
func solve(m [5]float64, v [3]float64) (arch, bool) {
	minor := func(a, b, c, d float64) float64 { return a*d - b*c }
	c0, c1, c2 := minor(m[2], m[3], m[3], m[4]), minor(m[1], m[3], m[2], m[4]), minor(m[1], m[2], m[2], m[3])
	det := m[0]*c0 - m[1]*c1 + m[2]*c2
	if det < 1e-6*m[0]*m[0]*m[0] {
		return arch{}, false
	}
	b0, b1, b2 := minor(m[0], m[2], m[2], m[4]), minor(m[0], m[1], m[2], m[3]), minor(m[0], m[1], m[1], m[2])
	return arch{
		a: (v[0]*c0 - v[1]*c1 + v[2]*c2) / det,
		b: (-v[0]*c1 + v[1]*b0 - v[2]*b1) / det,
		c: (v[0]*c2 - v[1]*b1 + v[2]*b2) / det,
	}, true
}
