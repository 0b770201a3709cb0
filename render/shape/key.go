package shape

import (
	"fmt"

	"maulstick/render/colour"
)

// Key is whether a picture is light or dark as a whole, and whether it spans many
// values or few.
//
// The scale of nine values from 1, nearly black, to 9, nearly white, is divided
// into three low, three middle and three high ones, and contrasts of five values
// and more are told from smaller ones: the teaching of Maitland Graves, The Art
// of Color and Design (1941), from memory. He reads a design's largest area;
// here the middle pixel by lightness stands for it, and the darkest and lightest
// twentieth of the picture, often clipped or a glint, is left out of the range.
type Key struct {
	Level  string           `json:"level"`            // low, middle or high
	Spread string           `json:"spread"`           // narrow or wide
	Median colour.Lightness `json:"median_lightness"` // half of the picture is darker
	Mean   colour.Lightness `json:"mean_lightness"`
	Dark   colour.Lightness `json:"dark_lightness"`  // a twentieth is darker
	Light  colour.Lightness `json:"light_lightness"` // a twentieth is lighter
	Value  colour.Value     `json:"median_value"`    // Munsell value of Median
	Span   colour.Value     `json:"span_values"`     // from Dark to Light, in Munsell values
}

// The Munsell values where the middle third of nine values begins and ends, and
// the span that makes a range wide.
const (
	middleKey colour.Value = 3.5
	highKey   colour.Value = 6.5
	wideRange colour.Value = 5
)

// KeyOf is the key of a picture; the zero Key if nothing was counted.
func KeyOf(c Counted) Key {
	counts := c.counted()
	p := pointsHeld(counts)
	if len(p.bins) == 0 {
		return Key{}
	}
	k := Key{
		Mean: p.mean(0, len(p.bins)), Median: p.quantile(counts, 0.5),
		Dark: p.quantile(counts, 0.05), Light: p.quantile(counts, 0.95),
		Level: "middle", Spread: "narrow",
	}
	k.Value, k.Span = k.Median.Value(), k.Light.Value()-k.Dark.Value()
	switch {
	case k.Value < middleKey:
		k.Level = "low"
	case k.Value >= highKey:
		k.Level = "high"
	}
	if k.Span >= wideRange {
		k.Spread = "wide"
	}
	return k
}

// quantile is the lightness of the bin in which a share of the pixels, from the
// darkest, is reached.
func (p points) quantile(c counted, share float64) colour.Lightness {
	last := len(p.bins)
	for i, bin := range p.bins {
		if p.weight[i+1] >= share*p.weight[last] {
			return colour.Lightness(c.lightness(bin))
		}
	}
	return colour.Lightness(c.lightness(p.bins[last-1]))
}

// String is the key in words with its figures, "" of the zero Key: "middle key,
// wide range: half is darker than value 4.6, nine tenths lie from 1.2 to 8.1".
func (k Key) String() string {
	if k.Level == "" {
		return ""
	}
	return fmt.Sprintf("%s key, %s range: half is darker than value %.1f, nine tenths lie from %.1f to %.1f",
		k.Level, k.Spread, float64(k.Value), float64(k.Dark.Value()), float64(k.Light.Value()))
}
