package shape

import (
	"fmt"
	"math"
	"strings"

	"maulstick/render/colour"
	"maulstick/render/place"
)

// focusArc is how near to the focal point a contrast lies at least to be there,
// in minutes of arc at the customary viewing distance: what surrounds the place
// that the eye rests on and is still seen well.
const focusArc = 150.0

// asStrong is the share of the strongest contrast that counts as its equal: one
// border may be as strong all along.
const asStrong = 0.9

// Focus is how the strongest contrast of a kind lies to the focal point that the
// painter wants.
type Focus struct {
	Kind     ContrastKind
	Right    place.MM // how far right of the focal point the strongest lies; left if under 0
	Below    place.MM // how far below it; above if under 0
	Distance place.MM
	There    bool // one as strong, or nine tenths as strong, lies at the focal point
	Rank     int  // of the strongest contrast that does lie there; 0 if none of those found does
}

// Focus relates the strongest contrast of each kind to a focal point on the
// photograph; a kind without contrasts is left out. A contrast lies at the focal
// point if that is within its disc or within 2.5 degrees.
func (c *Contrasts) Focus(at place.PhotoPoint) []Focus {
	var list []Focus
	near := arc(focusArc, ViewingDistance(c.Mapping.Canvas))
	want := c.Mapping.ToCanvas(at)
	for kind, contrasts := range c.ByKind {
		if len(contrasts) == 0 {
			continue
		}
		first := c.Mapping.ToCanvas(contrasts[0].At)
		f := Focus{Kind: ContrastKind(kind), Right: first.X - want.X, Below: first.Y - want.Y}
		f.Distance = c.between(contrasts[0].At, at)
		for _, r := range contrasts {
			if f.Rank == 0 && c.between(r.At, at) <= max(near, r.Radius) {
				f.Rank = r.Rank
				f.There = r.Strength >= asStrong*contrasts[0].Strength
			}
		}
		list = append(list, f)
	}
	return list
}

// Words is the relation as a sentence: "the strongest contrast of value is 7 in
// right of your focal point; number 3 is near it". Lengths are spelt in the
// canvas's unit.
func (f Focus) Words(unit place.Unit) string {
	what := "the strongest contrast of " + f.Kind.String()
	if f.Kind == ByAll {
		what = "the strongest contrast of all kinds together"
	}
	if f.There {
		return what + " lies at your focal point"
	}
	rest := ""
	if f.Rank > 1 {
		rest = fmt.Sprintf("; number %d is near it", f.Rank)
	}
	return fmt.Sprintf("%s is %s %s your focal point%s", what, place.Text(f.Distance, unit, 4), f.direction(), rest)
}

// direction is where the contrast lies from the focal point, in words; a part
// of less than a third of the distance is left out.
func (f Focus) direction() string {
	var parts []string
	if third := f.Distance / 3; place.MM(math.Abs(float64(f.Below))) > third {
		if f.Below > 0 {
			parts = append(parts, "below")
		} else {
			parts = append(parts, "above")
		}
	}
	if third := f.Distance / 3; place.MM(math.Abs(float64(f.Right))) > third {
		if f.Right > 0 {
			parts = append(parts, "right of")
		} else {
			parts = append(parts, "left of")
		}
	}
	return strings.Join(parts, " and ")
}

// Words is the contrast in a painter's words: "step 1 against step 5, 62 L*" for
// value; the names of both colours, which the caller gives, for hue; the widths
// of the edges for sharpness; and all that differs for all.
func (c Contrast) Words(steps Steps, unit place.Unit) string {
	value := fmt.Sprintf("step %d against step %d, %.0f L*", stepOf(steps, c.Dark), stepOf(steps, c.Light), c.Value)
	hue := fmt.Sprintf("%s against %s", colour.Name(c.Dark.Colour), colour.Name(c.Light.Colour))
	switch c.Kind {
	case ByValue:
		return value
	case ByHue:
		return hue
	case BySharpness:
		return c.sharpness(unit)
	}
	words := []string{value}
	if c.Hue >= leastStrength[ByHue] {
		words = append(words, hue)
	}
	if c.Octaves >= leastStrength[BySharpness] {
		words = append(words, c.sharpness(unit))
	}
	return strings.Join(words, "; ")
}

// sharpness is the contrast of sharpness in words.
func (c Contrast) sharpness(unit place.Unit) string {
	spell := func(l place.MM) string {
		if unit.Imperial() {
			return place.Text(l, place.Inch, 64)
		}
		return place.Text(l, place.Millimetre, 1)
	}
	return fmt.Sprintf("edges %s wide against %s", spell(min(c.Dark.Width, c.Light.Width)), spell(max(c.Dark.Width, c.Light.Width)))
}

func stepOf(steps Steps, s ContrastSide) int {
	return steps.Of(colour.LightOf(s.Lightness().Luminance()))
}
