// Package colour turns what a photograph stores into what an eye would see:
// linear light, CIE lightness, Munsell value, and what a red filter lets by.
// Every space has its own type, so that a code is never averaged as if it
// were light.
package colour

// SRGB is a colour as stored: 8-bit sRGB codes (IEC 61966-2-1), 0..255.
// Codes are names of colours, not amounts of light: never average them.
type SRGB struct{ R, G, B uint8 }

// Linear is linear light in the sRGB primaries, white (1, 1, 1). Amounts of
// light may be averaged; results may leave 0..1 and are clamped on encoding.
type Linear struct{ R, G, B float64 }

// XYZ is CIE 1931 tristimulus values, D65, white Y = 1.
type XYZ struct{ X, Y, Z float64 }

// Lab is CIE 1976 L*a*b* under D65: L 0..100, a and b about -128..128.
type Lab struct{ L, A, B float64 }

// Luminance is relative luminance Y, 0 (black) to 1 (white).
type Luminance float64

// Lightness is CIE 1976 L*, 0 to 100.
type Lightness float64

// Value is the Munsell value of ASTM D1535, 0 to 10: what painters call value.
type Value float64

// Weights says how much each channel of linear light counts towards a
// luminance. The three sum to 1, so that a neutral keeps its luminance.
type Weights struct{ R, G, B float64 }

// Light is a luminance in whole numbers, 0..FullLight: the sum of three table
// entries. Sums of whole numbers below 2^24 are exact in a 32-bit float, so
// that the processor and any highp shader agree on every bit.
type Light uint32

// FullLight is the Light of white: a multiple of four just below 2^24.
const FullLight Light = 1<<24 - 4
