package shape

import (
	"math"
	"strings"
	"testing"

	"maulstick/render/colour"
)

// Pictures of known values: half a picture and a twentieth at each end are
// counted off by hand.
func TestKey(t *testing.T) {
	type patch struct {
		value  colour.Value
		pixels uint64
	}
	for _, c := range []struct {
		patches             []patch
		words               string
		median, dark, light colour.Value
	}{
		{[]patch{{2, 100}}, "low key, narrow range", 2, 2, 2},
		{[]patch{{3.4, 60}, {9, 40}}, "low key, wide range", 3.4, 3.4, 9},
		{[]patch{{3.6, 60}, {9, 40}}, "middle key, wide range", 3.6, 3.6, 9},
		{[]patch{{1, 4}, {5, 92}, {9, 4}}, "middle key, narrow range", 5, 5, 5},
		{[]patch{{1, 6}, {5, 88}, {9, 6}}, "middle key, wide range", 5, 1, 9},
		{[]patch{{4, 30}, {8, 70}}, "high key, narrow range", 8, 4, 8},
		{[]patch{{0, 20}, {7, 80}}, "high key, wide range", 7, 0, 7},
	} {
		h := new(Histogram)
		sum, n := 0.0, 0.0
		for _, p := range c.patches {
			h.AddLight(colour.LightOf(p.value.Luminance()), p.pixels)
			sum += float64(p.value.Luminance().Lightness()) * float64(p.pixels)
			n += float64(p.pixels)
		}
		k := KeyOf(h)
		if !strings.HasPrefix(k.String(), c.words+":") {
			t.Errorf("%v is %q, want %q", c.patches, k, c.words)
		}
		for what, pair := range map[string][2]float64{
			"median": {float64(k.Value), float64(c.median)},
			"dark":   {float64(k.Dark.Value()), float64(c.dark)},
			"light":  {float64(k.Light.Value()), float64(c.light)},
			"span":   {float64(k.Span), float64(c.light - c.dark)},
			"mean":   {float64(k.Mean), sum / n},
		} {
			if math.Abs(pair[0]-pair[1]) > 1e-3 {
				t.Errorf("%v: the %s is %v, want %v", c.patches, what, pair[0], pair[1])
			}
		}
	}
	if k := KeyOf(new(Histogram)); k != (Key{}) || k.String() != "" {
		t.Errorf("nothing has the key %q", k)
	}
}
