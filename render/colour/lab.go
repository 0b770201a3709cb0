package colour

import colorful "github.com/lucasb-eyer/go-colorful"

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

// XYZ is the colour's tristimulus values under the D65 white of sRGB.
func (c Lab) XYZ() XYZ {
	x, y, z := colorful.LabToXyzWhiteRef(c.L/100, c.A/100, c.B/100, d65)
	return XYZ{X: x, Y: y, Z: z}
}

// Lab is the colour's CIE 1976 L*a*b* under D65.
func (c SRGB) Lab() Lab { return c.Linear().XYZ().Lab() }
