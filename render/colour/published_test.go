package colour_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	colorful "github.com/lucasb-eyer/go-colorful"

	"maulstick/render/colour"
)

// The transfer function and the lightness of greys against IEC 61966-2-1:1999
// and CIE 15.
func TestTransferMatchesStandard(t *testing.T) {
	for _, r := range table(t, "srgb_transfer") {
		encoded := r.number("encoded")
		if r.cells["code8"] == "threshold" {
			// The foot ends at the encoded 0.04045; no code lies on it.
			if got := colour.EncodeUnit(r.number("linear")); math.Abs(got-encoded) > 5e-7 {
				t.Errorf("the foot ends at %.9f, want %.9f", got, encoded)
			}
			r.near("Lstar_grey", float64(colour.Luminance(r.number("linear")).Lightness()))
			continue
		}
		code := r.code("code8")
		r.near("encoded", float64(code)/255)
		r.near("linear", colour.Decode(code))
		r.near("encoded", colour.EncodeUnit(colour.Decode(code)))
		r.near("Lstar_grey", float64(colour.SRGB{R: code, G: code, B: code}.Lightness()))
	}
}

// Every code against go-colorful's transfer function.
func TestTransferMatchesGoColorful(t *testing.T) {
	for code := range 256 {
		want, _, _ := colorful.Color{R: float64(code) / 255}.LinearRgb()
		if got := colour.Decode(uint8(code)); math.Abs(got-want) > 1e-15 {
			t.Errorf("code %d decodes to %.17g, go-colorful gives %.17g", code, got, want)
		}
		unit := float64(code*97%256) / 256
		wantUnit := colorful.LinearRgb(unit, 0, 0).R
		if got := colour.EncodeUnit(unit); math.Abs(got-wantUnit) > 1e-15 {
			t.Errorf("light %g encodes to %.17g, go-colorful gives %.17g", unit, got, wantUnit)
		}
	}
}

// Munsell value against ASTM D1535, and against the table of Newhall, Nickerson
// and Judd (1943), whose luminances are relative to magnesium oxide at 0.975.
func TestValueMatchesASTM(t *testing.T) {
	for _, r := range table(t, "munsell_value") {
		v := colour.Value(r.number("V"))
		y := v.Luminance()
		r.near("Y_percent_ASTM_D1535", 100*float64(y))
		r.near("Lstar", float64(y.Lightness()))
		r.near("Lstar_minus_10V", float64(y.Lightness())-10*float64(v))
		r.near("sRGB8_unrounded", 255*colour.EncodeUnit(float64(y)))
		if r.cells["Y_1943_x0.975"] != "" {
			r.near("Y_1943_x0.975", 100*float64(y))
			if scaled := 0.975 * r.number("Y_1943_relMgO"); math.Abs(scaled-r.number("Y_1943_x0.975")) > 2e-4 {
				t.Errorf("%s: 0.975 of 1943 is %g", r.name, scaled)
			}
		}
	}
	for _, r := range table(t, "munsell_value_inverse") {
		y := colour.Luminance(r.number("Y_percent") / 100)
		r.near("V", float64(y.Value()))
		r.near("Lstar", float64(y.Lightness()))
		if again := y.Lightness().Value(); math.Abs(float64(again-y.Value())) > 1e-9 {
			t.Errorf("%s: by its lightness the value is %g, by luminance %g", r.name, again, y.Value())
		}
	}
}

// The grey patches of the ColorChecker, from the published spectra of thirty
// charts: luminance to lightness. A stored grey is then within half a code.
func TestGreysOfColorChecker(t *testing.T) {
	for _, r := range table(t, "colorchecker_neutrals") {
		y := colour.Luminance(r.number("Y_D65_percent_from_spectra") / 100)
		r.near("L_D65_from_spectra", float64(y.Lightness()))
		grey := colour.GreyOf(colour.Lightness(r.number("L_D65_from_spectra")))
		if off := math.Abs(float64(grey.Lightness()) - r.number("L_D65_from_spectra")); off > 0.2 {
			t.Errorf("%s: the grey shown, %d, is %.3f L* off", r.name, grey.R, off)
		}
	}
}

// Tristimulus values and CIELAB under D65 as three libraries agree on them.
func TestLabMatchesReferences(t *testing.T) {
	for _, r := range table(t, "xyz_lab") {
		c := colour.SRGB{R: r.code("R"), G: r.code("G"), B: r.code("B")}
		xyz, lab := c.Linear().XYZ(), c.Lab()
		r.near("X_D65", xyz.X)
		r.near("Y", xyz.Y)
		r.near("Z_D65", xyz.Z)
		r.near("L_D65", lab.L)
		r.near("a_D65", lab.A)
		r.near("b_D65", lab.B)
		r.near("L_D65", float64(c.Lightness()))
		r.near("Y", float64(c.Linear().Luminance()))
		if back := lab.XYZ().Linear().SRGB(); back != c {
			t.Errorf("%s: %v comes back from Lab as %v", r.name, c, back)
		}
	}
}

// OKLab against the matrices its author published on 2021-01-25, as two other
// libraries work them out.
func TestOKLabMatchesAuthor(t *testing.T) {
	for _, r := range table(t, "oklab") {
		lab := colour.SRGB{R: r.code("R"), G: r.code("G"), B: r.code("B")}.OKLab()
		r.near("L", lab.L)
		r.near("a", lab.A)
		r.near("b", lab.B)
	}
}

// The red filter's weights against the fit on measured reflectances for a filter
// that cuts on near 600 nm.
func TestRedFilterMatchesFit(t *testing.T) {
	found := false
	for _, r := range table(t, "red_filter_weights") {
		if r.cells["filter_cuton_nm/10-90_width_nm"] != "600/40" {
			continue
		}
		found = true
		r.near("wR", colour.RedFilter.R)
		r.near("wG", colour.RedFilter.G)
		r.near("wB", colour.RedFilter.B)
	}
	if !found {
		t.Error("the table has no row for the filter")
	}
}

// Tube colours and ancient pigments seen through such a filter, by reflectances
// rebuilt over the spectrum: three weights stand in for it to within 5.5 L*. The
// fit's own 1.8 L* and the rebuilding's 1.2, both root mean squares, make 2.2
// together. The printed colours are rounded to a code, half of which is worth up
// to 0.25 L*.
func TestRedFilterOnPigments(t *testing.T) {
	var squares, n float64
	for _, r := range table(t, "red_filter_pigments") {
		channels := strings.Split(r.cells["sRGB_0_1"], ",")
		if len(channels) != 3 {
			t.Fatalf("%s: %d channels", r.name, len(channels))
		}
		var code [3]uint8
		for i, channel := range channels {
			top, bottom, ok := strings.Cut(channel, "/")
			unit, err := strconv.ParseFloat(top, 64)
			if err != nil || (ok && bottom != "255") {
				t.Fatalf("%s: %q: %v", r.name, channel, err)
			}
			if !ok {
				unit *= 255
			}
			code[i] = uint8(math.Round(unit))
		}
		c := colour.SRGB{R: code[0], G: code[1], B: code[2]}
		seen := float64(colour.FilterMeter.Read(c.R, c.G, c.B).Lightness())
		r.near("Lstar", float64(colour.EyeMeter.Read(c.R, c.G, c.B).Lightness()))
		r.near("Lstar_by_weights_.75_.19_.06", seen)
		r.near("Lstar_600/40_LHTSS", seen)
		off := seen - r.number("Lstar_600/40_LHTSS")
		squares, n = squares+off*off, n+1
	}
	if rms := math.Sqrt(squares / n); rms > 2.2 {
		t.Errorf("root mean square difference %.2f L*, want at most 2.2", rms)
	}
}

// Five grey cards and a pile mixed to each read alike through the red filter:
// common practice, no source. A neutral keeps its luminance under any weights, so
// a pile of the card's own grey reads as the card does.
func TestGreyCardsReadAlike(t *testing.T) {
	for _, value := range []colour.Value{1, 3, 5, 7, 9} {
		card := colour.GreyOf(value.Luminance().Lightness())
		eye := colour.EyeMeter.Read(card.R, card.G, card.B).Value()
		filter := colour.FilterMeter.Read(card.R, card.G, card.B).Value()
		if math.Abs(float64(eye-filter)) > 1e-4 {
			t.Errorf("a card of value %g reads %g plain and %g through the filter", value, eye, filter)
		}
		if math.Abs(float64(eye-value)) > 0.03 {
			t.Errorf("a card of value %g is shown at %g", value, eye)
		}
	}
}
