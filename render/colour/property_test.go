package colour_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"maulstick/render/colour"
)

// Every code survives decoding and encoding, and so does all light between two
// codes go to the nearer, as rounding 255 times the encoded light says.
func TestEncodeRounds(t *testing.T) {
	for code := range 256 {
		if got := colour.Encode(colour.Decode(uint8(code))); int(got) != code {
			t.Errorf("code %d comes back as %d", code, got)
		}
	}
	random := rand.New(rand.NewPCG(1, 2))
	for range 200_000 {
		light := random.Float64()
		if random.IntN(2) == 0 {
			light *= light * light // more of the dark codes
		}
		scaled := 255 * colour.EncodeUnit(light)
		if near := math.Abs(scaled - math.Floor(scaled) - 0.5); near < 1e-5 {
			continue // the standard's two rounded constants disagree this near to the foot's end
		}
		if got := colour.Encode(light); float64(got) != math.Round(scaled) {
			t.Fatalf("light %g is encoded %d, want %g", light, got, math.Round(scaled))
		}
	}
	for light, want := range map[float64]uint8{-1: 0, 0: 0, 1: 255, 2: 255, math.Inf(-1): 0, math.Inf(1): 255} {
		if got := colour.Encode(light); got != want {
			t.Errorf("light %g is encoded %d, want %d", light, got, want)
		}
	}
	if got := colour.Encode(math.NaN()); got != 0 {
		t.Errorf("no number is encoded %d", got)
	}
}

// Lightness and value rise with luminance, stay in range and can be turned round.
func TestScalesRiseAndReturn(t *testing.T) {
	const steps = 100_000
	lightness, value := colour.Lightness(-1), colour.Value(-1)
	for i := range steps + 1 {
		y := colour.Luminance(float64(i) / steps)
		l, v := y.Lightness(), y.Value()
		if l <= lightness || v <= value {
			t.Fatalf("at luminance %g lightness goes from %g to %g and value from %g to %g", y, lightness, l, value, v)
		}
		lightness, value = l, v
		if back := l.Luminance(); math.Abs(float64(back-y)) > 1e-14 {
			t.Fatalf("luminance %g comes back from lightness as %g", y, back)
		}
		if back := v.Luminance(); math.Abs(float64(back-y)) > 1e-12 {
			t.Fatalf("luminance %g comes back from value as %g", y, back)
		}
	}
	if lightness != 100 || value != 10 {
		t.Errorf("white is lightness %g and value %g", lightness, value)
	}
	for _, y := range []colour.Luminance{-0.1, 0} {
		if y.Lightness() != 0 || y.Value() != 0 {
			t.Errorf("luminance %g is lightness %g and value %g", y, y.Lightness(), y.Value())
		}
	}
	if over := colour.Luminance(1.5); over.Lightness() != 100 || over.Value() != 10 {
		t.Errorf("luminance 1.5 is lightness %g and value %g", over.Lightness(), over.Value())
	}
	if colour.Lightness(120).Luminance() != 1 || colour.Lightness(-5).Luminance() != 0 || colour.Value(11).Luminance() != 1 {
		t.Error("what is out of range is not clamped")
	}
}

// The middle of each of five steps is shown as the nearest grey there is: no
// other code is nearer in encoded light.
func TestGreyOfIsNearest(t *testing.T) {
	for _, l := range []colour.Lightness{0, 10, 30, 50, 70, 90, 100} {
		got := colour.GreyOf(l)
		if got.R != got.G || got.G != got.B {
			t.Fatalf("lightness %g is shown as %v, no grey", l, got)
		}
		exact := 255 * colour.EncodeUnit(float64(l.Luminance()))
		if math.Abs(float64(got.R)-exact) > 0.5 {
			t.Errorf("lightness %g is shown as %d, exact is %.3f", l, got.R, exact)
		}
	}
}

// Weights that sum to 1 leave a neutral as it is.
func TestWeightsKeepNeutrals(t *testing.T) {
	for _, w := range []colour.Weights{colour.Eye, colour.RedFilter} {
		if sum := w.R + w.G + w.B; math.Abs(sum-1) > 1e-15 {
			t.Errorf("weights %v sum to %.17g", w, sum)
		}
	}
	red := colour.SRGB{R: 255}.Linear()
	if plain, filtered := red.Luminance(), colour.RedFilter.Luminance(red); plain >= filtered || filtered != 0.75 {
		t.Errorf("pure red has luminance %g plain and %g filtered", plain, filtered)
	}
}
