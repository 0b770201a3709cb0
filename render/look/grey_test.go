package look

import (
	"math"
	"strings"
	"testing"

	"maulstick/render/colour"
)

// code is an sRGB code from a number 0..1, or from a fraction such as 162/255.
func code(t *testing.T, text string) uint8 {
	t.Helper()
	if n, d, fraction := strings.Cut(text, "/"); fraction {
		return uint8(math.Round(255 * number(t, n) / number(t, d)))
	}
	return uint8(math.Round(255 * number(t, text)))
}

// TestGreyOfPigments holds the grey look and the filter's greys to the lightness
// of 31 pigments, by CIE 15 and by the filter's weights (tables worked out from
// published colours of tube oils and historical paints, a source on each row).
// The table's own rounding counts 0.25; the shown grey is at most half a code,
// under 0.35 L*, away.
func TestGreyOfPigments(t *testing.T) {
	const tolerance = 0.25 + 0.35
	for _, row := range table(t, "colour/red_filter_pigments.tsv") {
		rgb := strings.Split(row["sRGB_0_1"], ",")
		c := colour.SRGB{R: code(t, rgb[0]), G: code(t, rgb[1]), B: code(t, rgb[2])}
		for column, l := range map[string]Look{
			"Lstar":                        {Tone: Grey},
			"Lstar_by_weights_.75_.19_.06": {Filter: true, AsGreys: true},
		} {
			got := Apply(l, colour.SRGB{}, c)
			if got.R != got.G || got.G != got.B {
				t.Errorf("%s is shown as %v, which is no grey", row["pigment"], got)
			}
			if want := number(t, row[column]); math.Abs(float64(got.Lightness())-want) > tolerance {
				t.Errorf("%s: %s is shown at L* %.2f, want %.1f", row["pigment"], column, got.Lightness(), want)
			}
		}
	}
}

// TestGreysStay: a grey is its own grey, to the eye and through the filter.
func TestGreysStay(t *testing.T) {
	for v := range 256 {
		g := colour.SRGB{R: uint8(v), G: uint8(v), B: uint8(v)}
		for _, l := range []Look{{}, {Tone: Grey}, {Filter: true, AsGreys: true}, {Tone: Grey, Filter: true, AsGreys: true}} {
			if got := Apply(l, colour.SRGB{}, g); got != g {
				t.Errorf("%+v shows grey %d as %v", l, v, got)
			}
		}
	}
}

// TestRedLightOnly: through the filter there is red light and no other, as much
// of it as the filter's greys have.
func TestRedLightOnly(t *testing.T) {
	for _, c := range []colour.SRGB{{R: 255, G: 255, B: 255}, {R: 204, G: 38, B: 30}, {R: 0, G: 89, B: 85}, {R: 50, G: 61, B: 164}} {
		for _, l := range []Look{{Filter: true}, {Filter: true, Tone: Grey}, {Filter: true, Tone: Steps, Steps: 5}} {
			red := Apply(l, colour.SRGB{}, c)
			l.AsGreys = true
			grey := Apply(l, colour.SRGB{}, c)
			if want := (colour.SRGB{R: grey.R}); red != want {
				t.Errorf("%+v: %v is shown as %v, want %v", l, c, red, want)
			}
		}
	}
}

// TestFiveCardsReadAlike: five grey cards and a pile of colour mixed to each read
// alike through a red filter (common practice, no source). The piles here are
// earths, whose colour is weak: the filter's step of five is the card's.
func TestFiveCardsReadAlike(t *testing.T) {
	l := Look{Filter: true, AsGreys: true, Tone: Steps, Steps: 5}
	piles := []colour.SRGB{{R: 31, G: 26, B: 24}, {R: 78, G: 70, B: 66}, {R: 124, G: 118, B: 108}, {R: 174, G: 170, B: 158}, {R: 232, G: 228, B: 214}}
	for i, pile := range piles {
		card := colour.GreyOf(colour.Lightness(10 + 20*i))
		if got, want := Apply(l, colour.SRGB{}, pile), Apply(l, colour.SRGB{}, card); got != want {
			t.Errorf("pile %d reads %v and its card %v", i+1, got, want)
		}
	}
}
