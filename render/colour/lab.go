package colour

import colorful "github.com/lucasb-eyer/go-colorful"

// OKLab is Ottosson's perceptual space: L 0..1, A and B about -0.4..0.4.
type OKLab struct{ L, A, B float64 }

// d65 is the white of the sRGB matrix itself. Go-colorful's own D65 differs in
// the fifth figure, which would tint every grey by up to 0.014 in b.
var d65 = func() [3]float64 {
	x, y, z := colorful.LinearRgbToXyz(1, 1, 1)
	return [3]float64{x, y, z}
}()

// XYZ is the colour's tristimulus values under D65 (IEC 61966-2-1:1999).
func (l Linear) XYZ() XYZ {
	x, y, z := colorful.LinearRgbToXyz(l.R, l.G, l.B)
	return XYZ{X: x, Y: y, Z: z}
}

// Linear is the linear light in the sRGB primaries of tristimulus values under
// D65. Colours outside what sRGB can store leave 0..1.
func (c XYZ) Linear() Linear {
	r, g, b := colorful.XyzToLinearRgb(c.X, c.Y, c.Z)
	return Linear{R: r, G: g, B: b}
}

// Lab is the colour's CIE 1976 L*a*b* under the D65 white of sRGB (CIE 15:2018).
// Greys have a and b of 0 to within 1e-12.
func (c XYZ) Lab() Lab {
	l, a, b := colorful.XyzToLabWhiteRef(c.X, c.Y, c.Z, d65)
	return Lab{L: 100 * l, A: 100 * a, B: 100 * b}
}

// OKLab is the colour in OKLab by the matrices of 2020, which differ from the
// author's refined ones of 2021 by at most 1.2e-4.
func (c XYZ) OKLab() OKLab {
	l, a, b := colorful.XyzToOkLab(c.X, c.Y, c.Z)
	return OKLab{L: l, A: a, B: b}
}

// XYZ is the colour's tristimulus values under the D65 white of sRGB.
func (c Lab) XYZ() XYZ {
	x, y, z := colorful.LabToXyzWhiteRef(c.L/100, c.A/100, c.B/100, d65)
	return XYZ{X: x, Y: y, Z: z}
}

// Lab is the colour's CIE 1976 L*a*b* under D65.
func (c SRGB) Lab() Lab { return c.Linear().XYZ().Lab() }

// OKLab is the colour in OKLab.
func (c SRGB) OKLab() OKLab { return c.Linear().XYZ().OKLab() }
