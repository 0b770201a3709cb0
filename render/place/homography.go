package place

import "math"

// Homography carries places of one plane to another as a camera does, straight
// lines to straight lines: (x, y, 1) times the rows gives (u w, v w, w). A common
// factor of all nine numbers makes no difference.
type Homography [3][3]float64

// Apply is where a place lands; ok is false where it lands nowhere, on or behind
// the horizon of a Homography made by QuadToQuad.
func (h Homography) Apply(p PhotoPoint) (to PhotoPoint, ok bool) {
	w := h[2][0]*p.X + h[2][1]*p.Y + h[2][2]
	if !(w > 0) {
		return PhotoPoint{}, false
	}
	return PhotoPoint{
		X: (h[0][0]*p.X + h[0][1]*p.Y + h[0][2]) / w,
		Y: (h[1][0]*p.X + h[1][1]*p.Y + h[1][2]) / w,
	}, true
}

// Then is the homography that carries on from where h ends.
func (h Homography) Then(next Homography) Homography {
	var both Homography
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				both[i][j] += next[i][k] * h[k][j]
			}
		}
	}
	return both
}

// Inverse carries back; ok is false where h flattens the plane to a line. What h
// carries to somewhere, Inverse carries back from there.
func (h Homography) Inverse() (back Homography, ok bool) {
	minor := func(i, j int) float64 {
		a, b, c, d := (i+1)%3, (i+2)%3, (j+1)%3, (j+2)%3
		return h[a][c]*h[b][d] - h[a][d]*h[b][c]
	}
	det := h[0][0]*minor(0, 0) + h[0][1]*minor(0, 1) + h[0][2]*minor(0, 2)
	if det == 0 || math.IsNaN(det) || math.IsInf(det, 0) {
		return Homography{}, false
	}
	for i := range 3 {
		for j := range 3 {
			back[j][i] = minor(i, j) / det
		}
	}
	return back, true
}

// squareTo carries the corners of the unit square, clockwise from (0, 0), to a
// quadrilateral that has passed Check. Solved in closed form: two equations say
// that the fourth corner lands where the other three leave it.
func squareTo(q Quad) Homography {
	a, b, c, d := q[0], q[1], q[2], q[3]
	sx, sy := a.X-b.X+c.X-d.X, a.Y-b.Y+c.Y-d.Y
	bx, by, dx, dy := b.X-c.X, b.Y-c.Y, d.X-c.X, d.Y-c.Y
	det := bx*dy - by*dx
	g, h := (sx*dy-sy*dx)/det, (bx*sy-by*sx)/det
	return Homography{
		{b.X - a.X + g*b.X, d.X - a.X + h*d.X, a.X},
		{b.Y - a.Y + g*b.Y, d.Y - a.Y + h*d.Y, a.Y},
		{g, h, 1},
	}
}

// QuadToQuad carries the corners of one quadrilateral to those of another, in
// order, as exactly as float64 allows. Quadrilaterals that do not pass Check are
// refused with a *Problem.
func QuadToQuad(from, to Quad) (Homography, error) {
	for _, q := range []Quad{from, to} {
		if err := q.Check(); err != nil {
			return Homography{}, err
		}
	}
	back, ok := squareTo(from).Inverse()
	if !ok {
		return Homography{}, thinQuad()
	}
	return back.Then(squareTo(to)), nil
}
