//go:build !js || darkroom

package photo

import (
	"math"

	"maulstick/render/colour"
)

// curve is the linear light, 0..1, of every 16-bit code.
type curve [65536]float32

// newCurve tabulates what turns an encoded amount 0..1 into linear light.
func newCurve(decode func(encoded float64) float64) *curve {
	c := new(curve)
	for code := range c {
		if light := decode(float64(code) / full); light > 0 { // and a number
			c[code] = float32(min(light, 1))
		}
	}
	return c
}

// matrix turns one linear colour into another.
type matrix [3][3]float64

// then is the matrix that does what m does, and after it what n does.
func (m matrix) then(n matrix) (product matrix) {
	for i := range product {
		for j := range product {
			for k := range product {
				product[i][j] += n[i][k] * m[k][j]
			}
		}
	}
	return product
}

// inverse undoes m; ok is false where nothing can.
func (m matrix) inverse() (inverse matrix, ok bool) {
	var determinant float64
	for i := range m {
		for j := range m {
			a, b, c, d := (i+1)%3, (i+2)%3, (j+1)%3, (j+2)%3
			inverse[j][i] = m[a][c]*m[b][d] - m[a][d]*m[b][c]
		}
		determinant += m[0][i] * inverse[i][0]
	}
	for i := range inverse {
		for j := range inverse {
			inverse[i][j] /= determinant
		}
	}
	return inverse, math.Abs(determinant) > 1e-9
}

// times is the matrix at work on one colour.
func (m *matrix) times(x, y, z float64) (a, b, c float64) {
	return m[0][0]*x + m[0][1]*y + m[0][2]*z, m[1][0]*x + m[1][1]*y + m[1][2]*z, m[2][0]*x + m[2][1]*y + m[2][2]*z
}

// chromaticity is x and y of CIE 1931.
type chromaticity [2]float64

// xyz is the colour of that chromaticity whose Y is 1.
func (c chromaticity) xyz() [3]float64 { return [3]float64{c[0] / c[1], 1, (1 - c[0] - c[1]) / c[1]} }

// whiteD65 is as IEC 61966-2-1 has it; whiteD50 is the white of ICC profiles
// (ICC.1:2010, 7.2.16), as XYZ.
var (
	whiteD65 = chromaticity{0.3127, 0.3290}
	whiteD50 = [3]float64{0.9642, 1, 0.8249}
)

// primaries are the chromaticities of red, green, blue and white.
type primaries [4]chromaticity

// The primaries that files name by a number (ITU-T H.273, table 2), and those of
// Adobe RGB (1998).
var (
	primaries709   = primaries{{0.64, 0.33}, {0.30, 0.60}, {0.15, 0.06}, whiteD65}
	primaries2020  = primaries{{0.708, 0.292}, {0.170, 0.797}, {0.131, 0.046}, whiteD65}
	primariesP3    = primaries{{0.680, 0.320}, {0.265, 0.690}, {0.150, 0.060}, whiteD65}
	primariesAdobe = primaries{{0.64, 0.33}, {0.21, 0.71}, {0.15, 0.06}, whiteD65}
)

// toXYZ turns linear light of these primaries into XYZ relative to their white.
func (p primaries) toXYZ() (m matrix, ok bool) {
	for _, c := range p {
		if !(c[1] > 0) {
			return m, false
		}
	}
	for i := range 3 {
		for j, v := range p[i].xyz() {
			m[j][i] = v
		}
	}
	back, ok := m.inverse()
	white := p[3].xyz()
	var amount [3]float64
	amount[0], amount[1], amount[2] = back.times(white[0], white[1], white[2])
	for i := range m {
		for j := range m {
			m[i][j] *= amount[j]
		}
	}
	return m, ok
}

// adapted turns colours under one white into those that look so under another
// (Bradford, as in ICC.1:2010, annex E).
func adapted(from, to [3]float64) matrix {
	cones := matrix{{0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296}}
	back, _ := cones.inverse()
	var scale matrix
	var f, t [3]float64
	f[0], f[1], f[2] = cones.times(from[0], from[1], from[2])
	t[0], t[1], t[2] = cones.times(to[0], to[1], to[2])
	for i := range scale {
		scale[i][i] = t[i] / f[i]
	}
	return cones.then(scale).then(back)
}

// fromXYZ turns XYZ under a white into linear sRGB, white staying white.
func fromXYZ(white [3]float64) matrix {
	to, _ := primaries709.toXYZ()
	back, _ := to.inverse()
	return adapted(white, whiteD65.xyz()).then(back)
}

// space is what the codes in a file mean: a curve for each channel, and how the
// light of the channels is mixed from the primaries of sRGB.
type space struct {
	curves [3]*curve
	matrix matrix // to linear sRGB
}

// spaceOf is the space of primaries and one curve for all channels.
func spaceOf(p primaries, decode func(float64) float64) (*space, bool) {
	to, ok := p.toXYZ()
	if !ok {
		return nil, false
	}
	c := newCurve(decode)
	return &space{[3]*curve{c, c, c}, to.then(fromXYZ(p[3].xyz()))}, true
}

// linear is the linear sRGB light of three 16-bit codes, which may lie outside
// 0..1 where sRGB cannot show the colour.
func (s *space) linear(r, g, b uint16) (float64, float64, float64) {
	return s.matrix.times(float64(s.curves[0][r]), float64(s.curves[1][g]), float64(s.curves[2][b]))
}

// ordinary tells whether the space is sRGB but for how its figures were rounded:
// greys and the strongest colours come within a code of what they are already.
func (s *space) ordinary() bool {
	near := func(r, g, b int) bool {
		lr, lg, lb := s.linear(uint16(r*257), uint16(g*257), uint16(b*257))
		for i, light := range [3]float64{lr, lg, lb} {
			if d := int(colour.Encode(light)) - [3]int{r, g, b}[i]; d < -1 || d > 1 {
				return false
			}
		}
		return true
	}
	for v := range 256 {
		if !near(v, v, v) {
			return false
		}
	}
	for corner := 1; corner < 7; corner++ {
		for _, v := range [2]int{128, 255} {
			if !near(corner&1*v, corner>>1&1*v, corner>>2&1*v) {
				return false
			}
		}
	}
	return true
}

// beyond tells whether linear light lies outside sRGB by more than half a code
// of 8 bits, so that it has to be held back.
func beyond(r, g, b float64) bool {
	const below, above = -0.5 / 255 / 12.92, 1.0045 // DecodeUnit(255.5/255)
	return min(r, g, b) < below || max(r, g, b) > above
}
