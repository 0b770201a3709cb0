package colour

import "math"

// The transfer function of IEC 61966-2-1:1999: a straight foot, then a power.
const (
	footCode  = 0.04045   // encoded light below which the foot is straight
	footLight = 0.0031308 // the same place in linear light, as the standard rounds it
	footSlope = 12.92
	bend      = 0.055
	power     = 2.4
)

// DecodeUnit is the linear light of an encoded amount, 0..1 each (IEC
// 61966-2-1:1999), to the accuracy of float64.
func DecodeUnit(encoded float64) float64 {
	if encoded <= footCode {
		return encoded / footSlope
	}
	return math.Pow((encoded+bend)/(1+bend), power)
}

// decoded holds the linear light of every code.
var decoded = func() (table [256]float64) {
	for code := range table {
		table[code] = DecodeUnit(float64(code) / 255)
	}
	return table
}()

// halfway holds, for every code but the last, the linear light that is encoded
// halfway between it and the next: at or above it the next code is nearer.
var halfway = func() (table [255]float64) {
	for code := range table {
		table[code] = DecodeUnit((float64(code) + 0.5) / 255)
	}
	return table
}()

// stretches is how finely linear light is cut to find a code at once. Codes are
// never closer than 1/3295 in linear light, so one stretch of 1/4096 holds at
// most one halfway point and the search after the look-up is one step.
const stretches = 4096

// nearest holds the code of the darkest light in each stretch.
var nearest = func() (table [stretches]uint8) {
	code := 0
	for i := range table {
		for code < 255 && float64(i)/stretches >= halfway[code] {
			code++
		}
		table[i] = uint8(code)
	}
	return table
}()

// Decode is the linear light, 0..1, of an sRGB code (IEC 61966-2-1:1999), to
// the accuracy of float64.
func Decode(code uint8) float64 { return decoded[code] }

// Encode is the sRGB code nearest to an amount of linear light: 255 times the
// encoded light, rounded, halves to the lighter code. Light under 0 gives 0,
// over 1 gives 255, and what is not a number gives 0.
func Encode(light float64) uint8 {
	if !(light > 0) {
		return 0
	}
	if light >= 1 {
		return 255
	}
	code := nearest[int(light*stretches)]
	for code < 255 && light >= halfway[code] {
		code++
	}
	return code
}

// EncodeUnit is the encoded amount, 0..1 and not rounded, of linear light
// (IEC 61966-2-1:1999). Light outside 0..1 is clamped.
func EncodeUnit(light float64) float64 {
	light = min(max(light, 0), 1)
	if light <= footLight {
		return footSlope * light
	}
	return (1+bend)*math.Pow(light, 1/power) - bend
}

// Linear is the colour's linear light, each channel 0..1.
func (c SRGB) Linear() Linear {
	return Linear{R: decoded[c.R], G: decoded[c.G], B: decoded[c.B]}
}

// SRGB is the nearest storable colour, channel by channel, clamped.
func (l Linear) SRGB() SRGB {
	return SRGB{R: Encode(l.R), G: Encode(l.G), B: Encode(l.B)}
}

// Brightest is light of the same chromaticity, as bright as can be stored. There
// must be some light.
func (l Linear) Brightest() SRGB {
	most := max(l.R, l.G, l.B)
	return Linear{R: l.R / most, G: l.G / most, B: l.B / most}.SRGB()
}
