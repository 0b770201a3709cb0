package colour

import "math"

// LCh is CIE L*a*b* in polar form: lightness 0..100, chroma C* from 0, and the
// hue angle in degrees, 0..360, from the red end of a* by way of yellow.
type LCh struct{ L, C, Hue float64 }

// LCh is the colour in polar form. A neutral, of chroma 0, has hue 0; every
// other colour has its true hue, near the axes too.
func (c Lab) LCh() LCh {
	return LCh{L: c.L, C: math.Hypot(c.A, c.B), Hue: angle(c.A, c.B)}
}

// Lab is the colour in rectangular form.
func (c LCh) Lab() Lab {
	sin, cos := math.Sincos(c.Hue * math.Pi / 180)
	return Lab{L: c.L, A: c.C * cos, B: c.C * sin}
}

// angle is the direction of a place from the origin, degrees 0..360.
func angle(x, y float64) float64 {
	if x == 0 && y == 0 {
		return 0
	}
	degrees := math.Atan2(y, x) * 180 / math.Pi
	if degrees < 0 {
		degrees += 360
	}
	return math.Mod(degrees, 360)
}

// Difference is CIEDE2000 between two colours with all weights 1 (CIE 142:2001,
// ISO/CIE 11664-6:2014; the formula as written out by Sharma, Wu and Dalal,
// Color Research and Application 30:21, 2005): about 1 where a trained eye just
// sees it, 10 at a glance.
func (c Lab) Difference(d Lab) float64 {
	// The reds and greens of dull colours are stretched.
	chroma := (math.Hypot(c.A, c.B) + math.Hypot(d.A, d.B)) / 2
	stretch := 1 + 0.5*(1-saturating(chroma))
	first := Lab{L: c.L, A: c.A * stretch, B: c.B}.LCh()
	second := Lab{L: d.L, A: d.A * stretch, B: d.B}.LCh()
	turn, hue := between(first, second)

	l, chroma := (c.L+d.L)/2, (first.C+second.C)/2
	t := 1 - 0.17*cosine(hue-30) + 0.24*cosine(2*hue) + 0.32*cosine(3*hue+6) - 0.20*cosine(4*hue-63)
	scaleL := 1 + 0.015*(l-50)*(l-50)/math.Sqrt(20+(l-50)*(l-50))
	scaleC := 1 + 0.045*chroma
	scaleH := 1 + 0.015*chroma*t
	twist := -2 * saturating(chroma) * math.Sin(math.Pi/3*math.Exp(-((hue-275)/25)*((hue-275)/25)))

	dl := (second.L - first.L) / scaleL
	dc := (second.C - first.C) / scaleC
	dh := 2 * math.Sqrt(first.C*second.C) * math.Sin(turn/2*math.Pi/180) / scaleH
	return math.Sqrt(max(dl*dl+dc*dc+dh*dh+twist*dc*dh, 0))
}

// between is how far the hue turns from one colour to another, -180..180
// degrees, and the hue halfway; without chroma there is no turn and the sum of
// the hues stands for their mean.
func between(first, second LCh) (turn, hue float64) {
	sum := first.Hue + second.Hue
	if first.C*second.C == 0 {
		return 0, sum
	}
	turn = second.Hue - first.Hue
	switch {
	case math.Abs(turn) <= 180:
		return turn, sum / 2
	case sum < 360:
		hue = (sum + 360) / 2
	default:
		hue = (sum - 360) / 2
	}
	return turn - math.Copysign(360, turn), hue
}

// saturating rises from 0 to 1 with chroma, most about 25.
func saturating(chroma float64) float64 {
	seventh := math.Pow(chroma, 7)
	return math.Sqrt(seventh / (seventh + 6103515625)) // 25 to the seventh
}

// cosine is of degrees.
func cosine(degrees float64) float64 { return math.Cos(degrees * math.Pi / 180) }
