package colour

import "math"

// OKLab is Ottosson's perceptual space: L 0..1, A (green to red) and B (blue to
// yellow) about -0.4..0.4. Equal distances look about equally far apart, so
// colours are gathered into piles here.
type OKLab struct{ L, A, B float64 }

// matrix is three rows of three, applied to a column.
type matrix [3][3]float64

// The matrices of OKLab for linear sRGB as B. Ottosson published them in "A
// perceptual color space for image processing" (2020), refined on 2021-01-25:
// to the responses of three cones, and from their cube roots to L, a and b.
var (
	cones = matrix{
		{0.4122214708, 0.5363325363, 0.0514459929},
		{0.2119034982, 0.6806995451, 0.1073969566},
		{0.0883024619, 0.2817188376, 0.6299787005},
	}
	fromRoots = matrix{
		{0.2104542553, 0.7936177850, -0.0040720468},
		{1.9779984951, -2.4285922050, 0.4505937099},
		{0.0259040371, 0.7827717662, -0.8086757660},
	}
	toRoots = matrix{
		{1, 0.3963377774, 0.2158037573},
		{1, -0.1055613458, -0.0638541728},
		{1, -0.0894841775, -1.2914855480},
	}
	fromCones = matrix{
		{4.0767416621, -3.3077115913, 0.2309699292},
		{-1.2684380046, 2.6097574011, -0.3413193965},
		{-0.0041960863, -0.7034186147, 1.7076147010},
	}
)

// times is the matrix applied to a column. The conversions keep processors from
// joining products to sums, so that all of them agree.
func (m *matrix) times(x, y, z float64) (a, b, c float64) {
	row := func(r *[3]float64) float64 {
		return float64(float64(r[0]*x)+float64(r[1]*y)) + float64(r[2]*z)
	}
	return row(&m[0]), row(&m[1]), row(&m[2])
}

// OKLab is the colour in OKLab. White has L 1 and greys have A and B of 0 to
// within 4e-8, which is how far the published matrices are rounded.
func (l Linear) OKLab() OKLab {
	long, middle, short := cones.times(l.R, l.G, l.B)
	light, a, b := fromRoots.times(math.Cbrt(long), math.Cbrt(middle), math.Cbrt(short))
	return OKLab{L: light, A: a, B: b}
}

// Linear is the linear light of a colour in OKLab, to within 1e-6. Colours
// outside what sRGB can store leave 0..1.
func (c OKLab) Linear() Linear {
	long, middle, short := toRoots.times(c.L, c.A, c.B)
	r, g, b := fromCones.times(long*long*long, middle*middle*middle, short*short*short)
	return Linear{R: r, G: g, B: b}
}

// OKLab is the colour in OKLab.
func (c SRGB) OKLab() OKLab { return c.Linear().OKLab() }

// Distance is the straight distance between two colours in OKLab: about 0.02
// where a difference is just plain.
func (c OKLab) Distance(d OKLab) float64 {
	l, a, b := c.L-d.L, c.A-d.A, c.B-d.B
	return math.Sqrt(float64(l*l) + float64(a*a) + float64(b*b))
}
