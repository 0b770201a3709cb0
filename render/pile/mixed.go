package pile

import (
	"math"

	"maulstick/render/colour"
)

// Way is how a mixed colour has to go to be another: over 0 lighter, warmer and
// stronger.
type Way struct {
	Lighter  colour.Lightness
	Warmer   colour.Warmth
	Stronger float64 // CIELAB chroma
	Off      float64 // CIEDE2000
}

// What shows of a Way: a tenth of a value and a little more, half of what makes a grey
// warm, and a chroma that is plain beside its like.
const (
	shownLighter  = 2.5
	shownWarmer   = colour.GreyWarmth / 2
	shownStronger = 5.0
)

// WayTo is the way from a colour to another, warm and cool being told from a neutral.
func WayTo(from, to colour.Linear, t *colour.Temperature) Way {
	a, b := from.XYZ().Lab(), to.XYZ().Lab()
	return Way{
		Lighter: to.Luminance().Lightness() - from.Luminance().Lightness(), Warmer: t.Warmth(to) - t.Warmth(from),
		Stronger: math.Hypot(b.A, b.B) - math.Hypot(a.A, a.B), Off: a.Difference(b),
	}
}

// Words are what to do, lighter or darker, warmer or cooler,
// stronger or greyer; none where nothing shows.
func (w Way) Words() []string {
	words := []string{}
	say := func(shows bool, up bool, over, under string) {
		if !shows {
			return
		}
		if !up {
			over = under
		}
		words = append(words, over)
	}
	say(math.Abs(float64(w.Lighter)) >= shownLighter, w.Lighter > 0, "lighter", "darker")
	say(math.Abs(float64(w.Warmer)) >= float64(shownWarmer), w.Warmer > 0, "warmer", "cooler")
	say(math.Abs(w.Stronger) >= shownStronger, w.Stronger > 0, "stronger", "greyer")
	return words
}
