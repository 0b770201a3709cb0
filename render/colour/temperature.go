package colour

import "math"

// WarmCool is how warm or cool a colour is, in five classes.
type WarmCool int

// The classes, from clearly cool to clearly warm.
const (
	ClearlyCool WarmCool = iota - 2
	Cool
	Neither
	Warm
	ClearlyWarm
)

// String is the class in the words that are shown.
func (w WarmCool) String() string {
	switch {
	case w <= ClearlyCool:
		return "clearly cool"
	case w == Cool:
		return "cool"
	case w == Warm:
		return "warm"
	case w >= ClearlyWarm:
		return "clearly warm"
	default:
		return "neither warm nor cool"
	}
}

// Warmth is how far a colour lies towards orange, over 0, or towards blue, under
// 0, of a neutral: in units of CIELAB chroma along the hue of 50 degrees, as it
// would measure near the neutral at L* 50. It tells chromaticity alone: more or
// less light on the same thing does not change it. The sRGB primaries have 58
// (red), -9 (green) and -48 (blue) under white.
type Warmth float64

// The axis of warm and cool. Ou, Luo, Woodcock and Wright (Color Research and
// Application 29:232, 2004) and Ou and others (43:736, 2018) both fitted judgements
// of warm and cool with a cosine about the CIELAB hue of 50 degrees, an orange.
// Near a neutral CIELAB is as good as linear, and there the distance along that
// hue, a* cos 50 + b* sin 50, is in proportion to
//
//	500 cos 50 (x - y) + 200 sin 50 (y - z),    x, y, z relative to white,
//
// which in linear light in the sRGB primaries is 101.0 R - 16.1 G - 84.8 B. Over
// R + G + B it is a chromaticity. The whole numbers here are twice that.
const (
	axisRed   = 202
	axisGreen = -32
	axisBlue  = -170
)

// Where warm and cool begin, in the units of the axis, as parts of R + G + B. The
// names of colours published by Kelly and Judd (The ISCC-NBS method of designating
// colors, NBS Circular 553, 1955; from memory) call grey what is below a Munsell
// chroma of about 0.5, greyish what is below about 1.5, and a colour what is over
// it. By the renotation of 1943 these are CIELAB chromas of 2.6 and 7.7, mean of
// twenty hues at value 5, and those are 9 and 27 here.
const (
	greyBelow  = 9
	clearAbove = 27
)

// perAxis turns the axis's units over R + G + B into CIELAB units at L* 50: the
// factor 3 makes R + G + B as large as Y, 116 and the cube root's third stand in
// CIELAB, 66 = 50 + 16, and the whole numbers are twice the axis.
const perAxis = 3 * 66.0 / (2 * 3 * 116)

// GreyWarmth and ClearWarmth are where the classes begin: within GreyWarmth of 0 a
// colour is neither warm nor cool, from ClearWarmth on it is clearly so.
const (
	GreyWarmth  Warmth = greyBelow * perAxis
	ClearWarmth Warmth = clearAbove * perAxis
)

// FullAdapted is the largest entry of a Temperature's tables. Times any weights of
// a bound, added in any order, entries stay within 2^24.
const FullAdapted = 65535

// Temperature tells warm from cool relative to a neutral. R, G and B hold, code by
// code, linear light divided by the neutral's and scaled so that the largest entry
// is FullAdapted: what a camera's white balance does to its channels (von Kries).
// A colour's three entries weighed by a Bound are exact in 32-bit floats too, so
// that the processor and any shader agree on the class of every colour.
type Temperature struct {
	R, G, B [256]uint32
	scale   Linear
	neutral Linear
}

// Bound is one side of a line through the neutral on the chromaticity diagram: the
// whole-number weights of a colour's three entries. A colour is beyond it if the
// sum of the products is at least 0. Positive weights sum to at most 256, and so do
// negative ones.
type Bound struct{ R, G, B int32 }

// The bounds of the classes.
var (
	warmFrom        = Bound{axisRed - greyBelow, axisGreen - greyBelow, axisBlue - greyBelow}
	clearlyWarmFrom = Bound{axisRed - clearAbove, axisGreen - clearAbove, axisBlue - clearAbove}
	coolFrom        = Bound{-axisRed - greyBelow, -axisGreen - greyBelow, -axisBlue - greyBelow}
	clearlyCoolFrom = Bound{-axisRed - clearAbove, -axisGreen - clearAbove, -axisBlue - clearAbove}
)

// MostNeutral is how many times more light a neutral has in one channel than in
// another at most.
const MostNeutral = 1000

// Bounds are the bounds of warm, clearly warm, cool and clearly cool. The class is
// how many of the first two a colour is beyond, less how many of the last two;
// black, beyond all four, is Neither.
func Bounds() [4]Bound { return [4]Bound{warmFrom, clearlyWarmFrom, coolFrom, clearlyCoolFrom} }

// Daylight is the temperature relative to the white of sRGB.
var Daylight = NewTemperature(Linear{1, 1, 1})

// NewTemperature tells warm from cool relative to a neutral, of which only the
// chromaticity counts. A neutral without light in some channel, or not a colour at
// all, cannot be divided by; white is taken instead.
func NewTemperature(neutral Linear) *Temperature {
	least := min(neutral.R, neutral.G, neutral.B)
	most := max(neutral.R, neutral.G, neutral.B)
	if !(least > 0) || math.IsInf(most, 0) || most/least > MostNeutral {
		neutral, least = Linear{1, 1, 1}, 1
	}
	t := &Temperature{neutral: neutral, scale: Linear{least / neutral.R, least / neutral.G, least / neutral.B}}
	for code, light := range decoded {
		t.R[code] = uint32(math.Round(FullAdapted * (light * t.scale.R)))
		t.G[code] = uint32(math.Round(FullAdapted * (light * t.scale.G)))
		t.B[code] = uint32(math.Round(FullAdapted * (light * t.scale.B)))
	}
	return t
}

// Neutral is the neutral, as given.
func (t *Temperature) Neutral() Linear { return t.neutral }

// beyond says whether a stored colour is beyond a bound.
func (t *Temperature) beyond(b Bound, c SRGB) bool {
	return int32(t.R[c.R])*b.R+int32(t.G[c.G])*b.G+int32(t.B[c.B])*b.B >= 0
}

// Class is how warm or cool a stored colour is, by the whole-number tables.
func (t *Temperature) Class(c SRGB) WarmCool {
	class := Neither
	for i, b := range Bounds() {
		if t.beyond(b, c) {
			class += WarmCool(1 - 2*(i/2))
		}
	}
	return class
}

// Warmth is how warm a colour is relative to the neutral. Black has 0.
func (t *Temperature) Warmth(c Linear) Warmth {
	r, g, b := c.R*t.scale.R, c.G*t.scale.G, c.B*t.scale.B
	sum := r + g + b
	if !(sum > 0) {
		return 0
	}
	return Warmth(perAxis * (axisRed*r + axisGreen*g + axisBlue*b) / sum)
}

// Around the neutral: 500 (x - y) and 200 (y - z) in linear light, which near it
// are in proportion to CIELAB a* and b*.
var (
	redGreen   = Linear{110.61, -169.48, 58.87}
	yellowBlue = Linear{38.98, 121.14, -160.12}
)

// Cast is a chromaticity about a neutral: where near it a colour of that
// chromaticity and L* 50 has its CIELAB a* and b*.
type Cast struct{ A, B float64 }

// Size is the distance from the neutral.
func (c Cast) Size() float64 { return math.Hypot(c.A, c.B) }

// Cast is the colour's chromaticity about the neutral. Black is on it.
func (t *Temperature) Cast(c Linear) Cast {
	l := Linear{c.R * t.scale.R, c.G * t.scale.G, c.B * t.scale.B}
	sum := l.R + l.G + l.B
	if !(sum > 0) {
		return Cast{}
	}
	return Cast{A: 2 * perAxis * weigh(redGreen, l) / sum, B: 2 * perAxis * weigh(yellowBlue, l) / sum}
}

// Light is the linear light, of sum 1, that has this cast about white. Casts too
// large for any colour leave 0..1.
func (c Cast) Light() Linear {
	a, b := c.A/(2*perAxis), c.B/(2*perAxis)
	// The third equation being R + G + B = 1, blue is put into the first two.
	aR, aG, a1 := redGreen.R-redGreen.B, redGreen.G-redGreen.B, a-redGreen.B
	bR, bG, b1 := yellowBlue.R-yellowBlue.B, yellowBlue.G-yellowBlue.B, b-yellowBlue.B
	whole := aR*bG - aG*bR
	r, g := (a1*bG-aG*b1)/whole, (aR*b1-a1*bR)/whole
	return Linear{R: r, G: g, B: 1 - r - g}
}

// weigh is the sum of three weighed channels.
func weigh(w, l Linear) float64 { return w.R*l.R + w.G*l.G + w.B*l.B }

// Class is the class of a warmth, as Temperature.Class has it for stored colours
// but for the tables' rounding.
func (w Warmth) Class() WarmCool {
	switch {
	case w >= ClearWarmth:
		return ClearlyWarm
	case w >= GreyWarmth:
		return Warm
	case w <= -ClearWarmth:
		return ClearlyCool
	case w <= -GreyWarmth:
		return Cool
	default:
		return Neither
	}
}
