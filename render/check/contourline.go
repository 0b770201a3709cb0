package check

import (
	"cmp"
	"math"
	"slices"
)

// Tuning of long lines on the small copy; lengths in its pixels, angles in
// degrees.
const (
	houghTurn   = 1.0 // a bin of direction
	houghOff    = 2.0 // a bin of distance
	houghSpread = 4   // bins of direction that an edgel votes for either way
	mostLines   = 36  // of each of the two families
	lineReach   = 9.0 // how far a bent line may stray from a straight one
	lineNear    = 2.0 // an edgel this near supports a line
	lineTurn    = 12 * math.Pi / 180
	pieceLength = 4.0 // of the pieces that support is counted in
)

// bent is a line across the small copy, bowed by a lens: a place t along it, from
// the foot of the perpendicular from the origin, is off + a + b t + c t^2 from the
// origin across it.
type bent struct {
	across  float64 // direction across it
	off     float64
	a, b, c float64
	from    float64 // t at the start of the first piece
	held    []int   // how many pieces before each one hold an edge
}

// place is the place at t.
func (l *bent) place(t float64) (x, y float64) {
	sin, cos := math.Sincos(l.across)
	u := l.off + l.a + t*(l.b+t*l.c)
	return u*cos - t*sin, u*sin + t*cos
}

// along is the t of a place, and how far the place is from the line.
func (l *bent) along(x, y float64) (t, off float64) {
	sin, cos := math.Sincos(l.across)
	t = y*cos - x*sin
	return t, x*cos + y*sin - (l.off + l.a + t*(l.b+t*l.c))
}

// support is the share of a stretch of the line that holds an edge.
func (l *bent) support(from, to float64) float64 {
	if from > to {
		from, to = to, from
	}
	i := min(max(int(math.Round((from-l.from)/pieceLength)), 0), len(l.held)-1)
	j := min(max(int(math.Round((to-l.from)/pieceLength)), 0), len(l.held)-1)
	n := (to - from) / pieceLength
	if n < 1 {
		return 0
	}
	return min(float64(l.held[j]-l.held[i])/n, 1)
}

// cross is where two lines cross; ok is false if they are nearly parallel.
func (l *bent) cross(m *bent) (x, y float64, ok bool) {
	var t, s float64
	for range 4 {
		// The tangents at t and s.
		x1, y1 := l.place(t)
		x2, y2 := m.place(s)
		dx1, dy1 := l.tangent(t)
		dx2, dy2 := m.tangent(s)
		det := dx1*dy2 - dy1*dx2
		if math.Abs(det) < 0.3 {
			return 0, 0, false
		}
		step := ((x2-x1)*dy2 - (y2-y1)*dx2) / det
		t += step
		s += ((x2-x1)*dy1 - (y2-y1)*dx1) / det
	}
	x, y = l.place(t)
	return x, y, true
}

// tangent is how far the line runs across and down, a pixel of t.
func (l *bent) tangent(t float64) (dx, dy float64) {
	sin, cos := math.Sincos(l.across)
	u := l.b + 2*t*l.c
	return u*cos - sin, u*sin + cos
}

// longLines finds the longest lines among edgels by a Hough transform in which
// each votes for directions near its own (R. O. Duda and P. E. Hart, Use of the
// Hough transformation to detect lines and curves in pictures, Communications of
// the ACM 15:11, 1972): those that are more upright, and those that are more level.
func longLines(edgels []edgel, width, height int) (upright, level []*bent) {
	reach := math.Hypot(float64(width), float64(height))
	turns := int(180 / houghTurn)
	offs := 2*int(reach/houghOff) + 3
	votes := make([]float32, turns*offs)
	for _, e := range edgels {
		middle := int(math.Round(e.across / (houghTurn * math.Pi / 180)))
		for i := middle - houghSpread; i <= middle+houghSpread; i++ {
			turn, sign := i, 1.0
			if turn < 0 {
				turn, sign = turn+turns, -1
			} else if turn >= turns {
				turn, sign = turn-turns, -1
			}
			sin, cos := math.Sincos(float64(i) * houghTurn * math.Pi / 180)
			off := sign * (e.x*cos + e.y*sin)
			bin := off/houghOff + float64(offs/2)
			low := int(bin)
			part := float32(bin - float64(low))
			w := float32(e.weight())
			votes[turn*offs+low] += w * (1 - part)
			votes[turn*offs+low+1] += w * part
		}
	}
	for _, peak := range peaks(votes, turns, offs) {
		turn, off := peak.bin/offs, peak.bin%offs
		l := &bent{across: float64(turn) * houghTurn * math.Pi / 180, off: (float64(off) - float64(offs/2)) * houghOff}
		list := &level
		if math.Abs(math.Cos(l.across)) > math.Sqrt2/2 {
			list = &upright
		}
		if len(*list) == mostLines {
			continue
		}
		if l.settle(edgels, reach) && !slices.ContainsFunc(*list, func(m *bent) bool { return l.same(m, reach) }) {
			*list = append(*list, l)
		}
	}
	return upright, level
}

// peak is a bin of the transform that no neighbour exceeds.
type peak struct {
	bin   int
	votes float32
}

// peaks are the largest first.
func peaks(votes []float32, turns, offs int) []peak {
	var found []peak
	for turn := range turns {
		for off := 2; off < offs-2; off++ {
			v := votes[turn*offs+off]
			if v < 12 {
				continue
			}
			top := true
			for i := turn - 2; i <= turn+2 && top; i++ {
				row, flip := i, false
				if row < 0 || row >= turns {
					row, flip = (row+turns)%turns, true
				}
				for j := off - 2; j <= off+2; j++ {
					at := j
					if flip {
						at = offs - 1 - j
					}
					if at >= 0 && at < offs && votes[row*offs+at] > v {
						top = false
						break
					}
				}
			}
			if top {
				found = append(found, peak{turn*offs + off, v})
			}
		}
	}
	slices.SortFunc(found, func(a, b peak) int { return cmp.Or(cmp.Compare(b.votes, a.votes), cmp.Compare(a.bin, b.bin)) })
	return found
}

// same says whether two lines are one, found twice.
func (l *bent) same(m *bent, reach float64) bool {
	if apartAngle(l.across, m.across) > 4*math.Pi/180 {
		return false
	}
	for _, t := range []float64{l.from + 0.25*(pieceLength*float64(len(l.held))), l.from + 0.75*(pieceLength*float64(len(l.held)))} {
		x, y := l.place(t)
		if _, off := m.along(x, y); math.Abs(off) > 1.5 {
			return false
		}
	}
	return true
}

// settle bends the line to the edgels about it, the far ones counting less and
// less, and counts which of its pieces hold an edge; false if hardly any does.
func (l *bent) settle(edgels []edgel, reach float64) bool {
	type sample struct{ t, u, w float64 }
	var near []sample
	sin, cos := math.Sincos(l.across)
	for _, e := range edgels {
		u := e.x*cos + e.y*sin - l.off
		if math.Abs(u) <= lineReach && apartAngle(e.across, l.across) <= lineTurn {
			near = append(near, sample{(e.y*cos - e.x*sin) / reach, u, e.weight()})
		}
	}
	var a, b, c float64
	for _, scale := range []float64{8, 6, 4, 3, 2, 2, 2} {
		var n normal3
		n.ridge = [3]float64{1e-6, 0.02, 0.02}
		for _, s := range near {
			r := (s.u - a - b*s.t - c*s.t*s.t) / scale
			if r*r >= 1 {
				continue
			}
			n.add([3]float64{1, s.t, s.t * s.t}, s.u, s.w*(1-r*r)*(1-r*r))
		}
		x, ok := n.solve()
		if !ok {
			return false
		}
		a, b, c = x[0], x[1], x[2]
	}
	l.a, l.b, l.c = a, b/reach, c/(reach*reach)
	pieces := int(2*reach/pieceLength) + 2
	l.from = -reach
	holds := make([]bool, pieces)
	count := 0
	for _, s := range near {
		t := s.t * reach
		if i := int((t - l.from) / pieceLength); math.Abs(s.u-l.a-t*(l.b+t*l.c)) <= lineNear && i >= 0 && i < pieces && !holds[i] {
			holds[i] = true
			count++
		}
	}
	l.held = make([]int, pieces+1)
	for i, h := range holds {
		l.held[i+1] = l.held[i]
		if h {
			l.held[i+1]++
		}
	}
	return count >= 6
}

// normal3 is the normal equations of a fit of three figures.
type normal3 struct {
	m     [3][3]float64
	v     [3]float64
	ridge [3]float64
}

func (n *normal3) add(x [3]float64, y, weight float64) {
	for i := range 3 {
		for j := range 3 {
			n.m[i][j] += weight * x[i] * x[j]
		}
		n.v[i] += weight * x[i] * y
	}
}

func (n *normal3) solve() (x [3]float64, ok bool) {
	m, v := make([]float64, 9), make([]float64, 3)
	for i := range 3 {
		for j := range 3 {
			m[3*i+j] = n.m[i][j]
		}
		m[4*i] += n.ridge[i]
		v[i] = n.v[i]
	}
	ok = solve(m, v)
	copy(x[:], v)
	return x, ok
}

// solve solves the symmetrical equations m x = v in place by Cholesky's method; x
// is left in v. ok is false where m is not positive.
func solve(m, v []float64) bool {
	n := len(v)
	for i := range n {
		for j := range i + 1 {
			sum := m[n*i+j]
			for k := range j {
				sum -= m[n*i+k] * m[n*j+k]
			}
			if i > j {
				m[n*i+j] = sum / m[n*j+j]
				continue
			}
			if !(sum > 0) {
				return false
			}
			m[n*i+i] = math.Sqrt(sum)
		}
	}
	for i := range n {
		for k := range i {
			v[i] -= m[n*i+k] * v[k]
		}
		v[i] /= m[n*i+i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			v[i] -= m[n*k+i] * v[k]
		}
		v[i] /= m[n*i+i]
	}
	return true
}
