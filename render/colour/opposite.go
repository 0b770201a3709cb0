package colour

import "math"

// Opposite is what lies opposite a colour on a wheel.
type Opposite struct {
	Wheel Wheel
	Turn  float64 // of the colour, degrees 0..360; see Wheel.Turn
	Hue   string  // of the colour, as the wheel names it
	// Colour is the opposite. On the painter's wheel and in Munsell terms it has the
	// colour's value and as much of its chroma as can be stored at that hue; in mixed
	// light it is what adds up with the colour to a grey, and may be darker or lighter.
	Colour       SRGB
	OppositeTurn float64 // degrees 0..360
	OppositeHue  string
	Reduced      bool // the opposite had to be less colourful than the colour
}

// Opposite is the colour's opposite on the wheel. A grey has none: ok is false.
func (w Wheel) Opposite(c SRGB) (o Opposite, ok bool) {
	turn, ok := w.Turn(c)
	if !ok {
		return Opposite{}, false
	}
	across := math.Mod(turn+180, 360)
	o = Opposite{Wheel: w, Turn: turn, Hue: w.NameOf(turn), OppositeTurn: across, OppositeHue: w.NameOf(across)}
	switch w {
	case MunsellWheel:
		m := c.Munsell()
		hue := math.Mod(m.Hue+50, 100)
		o.Colour, o.Reduced = storable(func(part float64) Linear {
			return Munsell{Hue: hue, Value: m.Value, Chroma: part * m.Chroma}.Lab().XYZ().Linear()
		})
	case AdditiveWheel:
		l := c.Linear()
		grey := max(l.R, l.G, l.B) + min(l.R, l.G, l.B)
		o.Colour = Linear{R: grey - l.R, G: grey - l.G, B: grey - l.B}.SRGB()
	default:
		lab := c.OKLab()
		chroma := math.Hypot(lab.A, lab.B)
		sin, cos := math.Sincos(paintersHue(across) * math.Pi / 180)
		y := c.Linear().Luminance()
		o.Colour, o.Reduced = storable(func(part float64) Linear {
			return atLuminance(y, OKLab{A: part * chroma * cos, B: part * chroma * sin})
		})
	}
	return o, true
}

// atLuminance is the linear light of the OKLab colour of that A and B whose
// luminance is y, by halving: OKLab's own lightness is not quite value.
func atLuminance(y Luminance, c OKLab) Linear {
	low, high := 0.0, 1.5
	for range 40 {
		c.L = (low + high) / 2
		if c.Linear().Luminance() < y {
			low = c.L
		} else {
			high = c.L
		}
	}
	return c.Linear()
}

// storable is the most colourful colour that sRGB can store on the way from grey,
// part 0, to what is wanted, part 1, and whether that is less than wanted.
func storable(at func(part float64) Linear) (c SRGB, reduced bool) {
	const slack = 1.0 / 2048 // of light: under half a code but in the darkest
	fits := func(l Linear) bool {
		return min(l.R, l.G, l.B) >= -slack && max(l.R, l.G, l.B) <= 1+slack
	}
	if l := at(1); fits(l) {
		return l.SRGB(), false
	}
	low, high := 0.0, 1.0
	for range 20 {
		if middle := (low + high) / 2; fits(at(middle)) {
			low = middle
		} else {
			high = middle
		}
	}
	return at(low).SRGB(), true
}

// Lab is CIELAB under D65 of a colour in Munsell terms: between the papers of the
// renotation, as Lab.Munsell has it. Between values 1 and 9 a colour comes back from
// Lab.Munsell within 0.2 of a and b for 90 in 100 of all that can be stored, within
// 1 for 99 in 100, within 3 at worst. Past the last paper of a hue chroma goes on as
// before it; below value 1 and above 9 the nearest papers stand in.
func (m Munsell) Lab() Lab {
	v := min(max(float64(m.Value), 1), planes)
	lower := min(int(v), planes-1)
	part := v - float64(lower)
	below, above := papers()[lower-1].find(m), papers()[lower].find(m)
	return Lab{
		L: float64(m.Value.Luminance().Lightness()),
		A: below.A + part*(above.A-below.A),
		B: below.B + part*(above.B-below.B),
	}
}

// find is the a and b, between the plane's two hues about it, of a Munsell hue and
// chroma.
func (p *plane) find(m Munsell) Lab {
	at := math.Mod(m.Hue+100, 100) / 2.5
	before := int(at) % rays
	part := at - math.Floor(at)
	low, high := p[before].paper(m.Chroma), p[(before+1)%rays].paper(m.Chroma)
	return LCh{C: low.C + part*(high.C-low.C), Hue: low.Hue + part*halfTurn(high.Hue-low.Hue)}.Lab()
}

// paper is where a Munsell chroma lies on the ray in CIELAB.
func (r ray) paper(munsell float64) LCh {
	at := munsell / 2
	i := min(int(at), len(r)-2)
	part := at - float64(i)
	return LCh{
		C:   r[i].chroma + part*(r[i+1].chroma-r[i].chroma),
		Hue: r[i].hue + min(part, 1)*(r[i+1].hue-r[i].hue),
	}
}
