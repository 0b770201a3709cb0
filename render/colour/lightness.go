package colour

import "math"

// The CIE 1976 lightness function in the exact fractions of CIE 15:2018: below
// cieFoot of luminance it is a straight line of slope cieSlope.
const (
	cieFoot  = 216.0 / 24389
	cieSlope = 24389.0 / 27
	cieKnee  = Lightness(8) // the lightness at cieFoot
)

// Lightness is CIE L* of a luminance relative to white (CIE 15:2018). A
// luminance outside 0..1 is clamped to it.
func (y Luminance) Lightness() Lightness {
	t := min(max(float64(y), 0), 1)
	if t <= cieFoot {
		return Lightness(cieSlope * t)
	}
	return Lightness(116*math.Cbrt(t) - 16)
}

// Luminance is the relative luminance of a lightness (CIE 15:2018). A lightness
// outside 0..100 is clamped to it.
func (l Lightness) Luminance() Luminance {
	l = min(max(l, 0), 100)
	if l <= cieKnee {
		return Luminance(float64(l) / cieSlope)
	}
	t := (float64(l) + 16) / 116
	return Luminance(t * t * t)
}

// Value is the Munsell value of a lightness.
func (l Lightness) Value() Value { return l.Luminance().Value() }

// GreyOf is the storable grey nearest to a lightness: the encoded amount is
// rounded, halves to the lighter.
func GreyOf(l Lightness) SRGB {
	code := Encode(float64(l.Luminance()))
	return SRGB{R: code, G: code, B: code}
}

// Luminance is the colour's relative luminance as the eye counts it.
func (l Linear) Luminance() Luminance { return Eye.Luminance(l) }

// Lightness is the colour's CIE L*, 0..100.
func (c SRGB) Lightness() Lightness { return c.Linear().Luminance().Lightness() }

// Value is the colour's Munsell value, 0..10, whatever its hue.
func (c SRGB) Value() Value { return c.Linear().Luminance().Value() }
