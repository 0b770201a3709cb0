package colour

import (
	"fmt"
	"math"
)

// Munsell is a colour in Munsell terms. Hue goes round from 0 to 100, ten a
// family, so that 5 is 5R, 15 is 5YR and 0 is 10RP; Chroma counts from 0, the
// neutrals, to about 26.
type Munsell struct {
	Hue    float64 `json:"hue"`
	Value  Value   `json:"value"`
	Chroma float64 `json:"chroma"`
}

// HueFamily is one of the ten hue families of Munsell, or none.
type HueFamily int

// The hue families in the order of the hue circle, each five hue steps to
// either side of its middle, as 5R; a neutral belongs to none.
const (
	Neutral HueFamily = iota
	Red
	YellowRed
	Yellow
	GreenYellow
	Green
	BlueGreen
	Blue
	PurpleBlue
	Purple
	RedPurple
)

// families holds the letters and the painter's word of each family.
var families = [...]struct{ letters, word string }{
	{"N", "neutral"}, {"R", "red"}, {"YR", "orange"}, {"Y", "yellow"}, {"GY", "yellow-green"},
	{"G", "green"}, {"BG", "blue-green"}, {"B", "blue"}, {"PB", "violet-blue"}, {"P", "violet"}, {"RP", "red-violet"},
}

// String is the family's letters in Munsell's notation, N for a neutral.
func (f HueFamily) String() string { return families[f].letters }

// Word is the family in a painter's word. Munsell's own words differ where his
// circle does: yellow-red is orange here, purple-blue violet-blue, and so on.
func (f HueFamily) Word() string { return families[f].word }

// neutralChroma is below what a colour counts as neutral: a quarter of a step
// of a chart's columns, which go by twos.
const neutralChroma = 0.5

// Family is the hue family, Neutral under chroma 0.5.
func (m Munsell) Family() HueFamily {
	if m.Chroma < neutralChroma {
		return Neutral
	}
	// The notation has no 0R: that is 10RP.
	hue := math.Mod(m.Hue+100, 100)
	if hue == 0 {
		return RedPurple
	}
	return Red + HueFamily(math.Ceil(hue/10)-1)
}

// chromaWords says from which chroma on a word holds. The words are those of
// the ISCC-NBS system; there their limits change with hue and value, here they
// lie between the usual chromas of the centres of its blocks (greyish near 2 to
// 4, moderate near 5 to 6, strong near 8 to 11, vivid over that).
var chromaWords = [...]struct {
	from float64
	word string
}{{0, "neutral"}, {neutralChroma, "near neutral"}, {1.5, "greyish"}, {4, "moderate"}, {7.5, "strong"}, {12, "vivid"}}

// ChromaWord is how colourful the colour is, in a word.
func (m Munsell) ChromaWord() string {
	word := ""
	for _, w := range chromaWords {
		if m.Chroma >= w.from {
			word = w.word
		}
	}
	return word
}

// String is the colour in Munsell's notation, as in 5.0YR 6.2/8.1 or N 4.3/,
// to a tenth.
func (m Munsell) String() string {
	if m.Family() == Neutral {
		return fmt.Sprintf("N %.1f/", float64(m.Value))
	}
	tenths := int(math.Round(math.Mod(m.Hue+100, 100) * 10))
	within := (tenths + 99) % 100 // so that 10.0 stays with the family it ends
	family := Red + HueFamily((tenths+999)%1000/100)
	return fmt.Sprintf("%.1f%v %.1f/%.1f", float64(within+1)/10, family, float64(m.Value), m.Chroma)
}

// Munsell is the colour in Munsell terms. Value is exact by ASTM D1535. Hue and
// chroma are interpolated between the papers of the renotation, their light
// carried from illuminant C to D65 by Bradford's transform. Against an
// independent inversion of the same data (munsell 1.1.6) colours of chroma over
// 2 agree to 0.02 hue steps of 100 and 0.01 of chroma at the median, to 0.11 and
// 0.13 for 95 in 100, to 2.5 and 1.3 at worst, which is below value 1 and above
// 9, where there are no papers and the nearest stand in. The patches of the
// ColorChecker come within 0.6 hue steps and 1.2 of chroma of their published
// notations.
func (c Lab) Munsell() Munsell {
	value := Lightness(c.L).Value()
	polar := c.LCh()
	v := min(max(float64(value), 1), planes)
	lower := min(int(v), planes-1)
	hue, chroma := papers()[lower-1].locate(polar)
	if part := v - float64(lower); part > 0 {
		upperHue, upperChroma := papers()[lower].locate(polar)
		turn := math.Mod(upperHue-hue+150, 100) - 50
		hue = math.Mod(hue+part*turn+100, 100)
		chroma += part * (upperChroma - chroma)
	}
	return Munsell{Hue: hue, Value: value, Chroma: chroma}
}

// Munsell is the colour in Munsell terms, as exact as Lab.Munsell.
func (c SRGB) Munsell() Munsell { return c.Lab().Munsell() }
