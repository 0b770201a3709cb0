package colour_test

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"maulstick/render/colour"
)

// okHue and labHue are hue angles in OKLab and CIELAB.
func okHue(c colour.SRGB) float64 {
	lab := c.OKLab()
	return degrees(lab.B, lab.A)
}

func labHue(c colour.SRGB) float64 { return c.Lab().LCh().Hue }

// around is the difference of two angles, -180..180.
func around(a, b float64) float64 { return math.Mod(a-b+540, 360) - 180 }

// painted are the colours of the painter's wheel that the table gives, by name.
func painted(t *testing.T) map[string]colour.SRGB {
	t.Helper()
	colours := map[string]colour.SRGB{}
	for _, r := range table(t, "ryb_wheel_anchors") {
		var code [3]uint8
		for i, channel := range strings.Split(r.cells["sRGB"], ",") {
			unit, err := strconv.ParseFloat(channel, 64)
			if err != nil {
				t.Fatal(err)
			}
			code[i] = uint8(math.Round(255 * unit))
		}
		colours[r.cells["name"]] = colour.SRGB{R: code[0], G: code[1], B: code[2]}
	}
	return colours
}

// The painter's wheel against its published corners: each lies where the table has
// it, is called what it is called there, and its hue is the table's, to what
// rounding to codes allows.
func TestPaintersWheelMatchesCorners(t *testing.T) {
	colours := painted(t)
	for _, r := range table(t, "ryb_wheel_anchors") {
		c := colours[r.cells["name"]]
		turn, ok := colour.PaintersWheel.Turn(c)
		if !ok || math.Abs(around(turn, r.number("wheel_deg"))) > 0.5 {
			t.Errorf("%s lies at %.2f on the wheel, want %s", r.cells["name"], turn, r.cells["wheel_deg"])
		}
		if hue := okHue(c); math.Abs(hue-r.number("h_OKLCh")) > 0.35 {
			t.Errorf("%s has the OKLab hue %.2f, want %s", r.cells["name"], hue, r.cells["h_OKLCh"])
		}
		if name := colour.PaintersWheel.NameOf(turn); name != r.cells["name"] {
			t.Errorf("%s is called %s", r.cells["name"], name)
		}
		if hues := colour.PaintersWheel.Hues(); hues[colour.PaintersWheel.HueOf(turn)] != r.cells["name"] {
			t.Errorf("%s falls among %s", r.cells["name"], hues[colour.PaintersWheel.HueOf(turn)])
		}
	}
}

// Hue angles between opposites, by the table: the painter's pairs in OKLab, where
// they are made; Munsell's and additive ones in both spaces. None but one pair is
// opposite by 180 degrees, which is why no such rule is used.
func TestComplementsMatchTable(t *testing.T) {
	colours := painted(t)
	hues := map[string]float64{"R": 5, "YR": 15, "Y": 25, "GY": 35, "G": 45, "BG": 55, "B": 65, "PB": 75, "P": 85, "RP": 95}
	lights := map[string]colour.SRGB{"red-cyan": {R: 255}, "yellow-blue": {R: 255, G: 255}, "green-magenta (0,160,60)": {G: 160, B: 60}}
	for _, r := range table(t, "complements") {
		kind, pair, _ := strings.Cut(r.cells["pair"], " ")
		switch kind {
		case "Munsell":
			first, rest, _ := strings.Cut(strings.TrimSuffix(pair, " V5/4"), "-")
			m := colour.Munsell{Hue: hues[strings.TrimPrefix(first, "5")], Value: 5, Chroma: 4}
			across := colour.Munsell{Hue: hues[strings.TrimPrefix(rest, "5")], Value: 5, Chroma: 4}
			r.near("dHue_CIELAB", math.Mod(across.Lab().LCh().Hue-m.Lab().LCh().Hue+360, 360))
			c := m.Lab().XYZ().Linear().SRGB()
			o, ok := colour.MunsellWheel.Opposite(c)
			if want := across.Lab().XYZ().Linear(); !ok || math.Abs(around(labHue(o.Colour), across.Lab().LCh().Hue)) > 1.5 || o.Reduced {
				t.Errorf("%s: the opposite is %+v, want about %v", r.name, o, want.SRGB())
			}
			r.nearly("dHue_OKLab", okHue(o.Colour)-okHue(c), 2)
		case "wheel":
			first, second, _ := strings.Cut(pair, "-")
			o, ok := colour.PaintersWheel.Opposite(colours[first])
			if !ok || o.OppositeHue != second {
				t.Errorf("%s: the opposite of %s is %+v", r.name, first, o)
			}
			r.nearly("dHue_OKLab", okHue(o.Colour)-okHue(colours[first]), 1)
			r.nearly("dHue_CIELAB", labHue(colours[second])-labHue(colours[first]), 1)
		case "additive":
			o, _ := colour.AdditiveWheel.Opposite(lights[pair])
			r.nearly("dHue_CIELAB", labHue(o.Colour)-labHue(lights[pair]), 1)
			r.nearly("dHue_OKLab", okHue(o.Colour)-okHue(lights[pair]), 1)
		default:
			t.Errorf("there is no wheel of %q", r.cells["pair"])
		}
	}
}

// nearly checks an angle against a figure that the table prints in whole degrees
// or that rounding to codes has moved.
func (r row) nearly(column string, got, tolerance float64) {
	r.t.Helper()
	if off := math.Abs(around(got, r.number(column))); off > tolerance {
		r.t.Errorf("%s %s: %s is %.2f, want %s within %g", r.name, r.cells["pair"], column, math.Mod(got+360, 360), r.cells[column], tolerance)
	}
}

// On every wheel: the opposite of the opposite's place is the place; opposites keep
// value where they should, and light adds up to grey.
func TestOppositesGoThereAndBack(t *testing.T) {
	for i := range 1 << 12 {
		c := colour.SRGB{R: uint8(i >> 8 << 4), G: uint8(i >> 4 << 4), B: uint8(i << 4)}
		for _, w := range colour.Wheels() {
			o, ok := w.Opposite(c)
			if !ok {
				continue
			}
			if math.Abs(math.Abs(around(o.OppositeTurn, o.Turn))-180) > 1e-9 {
				t.Fatalf("%v: from %g to %g is not half a turn", c, o.Turn, o.OppositeTurn)
			}
			if w == colour.AdditiveWheel {
				a, b := c.Linear(), o.Colour.Linear()
				grey := a.G + b.G
				if off := max(math.Abs(a.R+b.R-grey), math.Abs(a.B+b.B-grey)); off > 0.01 {
					t.Fatalf("%v and %v add up to no grey", c, o.Colour)
				}
				continue
			}
			if off := math.Abs(float64(c.Lightness() - o.Colour.Lightness())); off > 1.1 {
				t.Fatalf("%v of L* %.2f has the opposite %v of L* %.2f %s", c, c.Lightness(), o.Colour, o.Colour.Lightness(), w.Say())
			}
			// Dark and dull colours are too coarse in codes to keep their place.
			if back, ok := w.Turn(o.Colour); ok && c.Lightness() > 30 && o.Colour.Munsell().Chroma > 4 && math.Abs(around(back, o.OppositeTurn)) > 5 {
				t.Fatalf("%v has the opposite %v at %.1f, which lies at %.1f %s", c, o.Colour, o.OppositeTurn, back, w.Say())
			}
		}
	}
}

func TestGreysHaveNoOpposite(t *testing.T) {
	for _, w := range colour.Wheels() {
		for code := range 256 {
			c := colour.SRGB{R: uint8(code), G: uint8(code), B: uint8(code)}
			if o, ok := w.Opposite(c); ok {
				t.Errorf("grey %d has the opposite %v %s", code, o.Colour, w.Say())
			}
		}
		if again, err := colour.ParseWheel(w.String()); err != nil || again != w {
			t.Errorf("the wheel %q is read as %v, %v", w, again, err)
		}
		if n := len(w.Hues()); n%2 != 0 {
			t.Errorf("%d hues %s have no opposites", n, w.Say())
		}
	}
	if _, err := colour.ParseWheel("cart"); err == nil {
		t.Error("there is a wheel of carts")
	}
}

// Munsell terms to CIELAB and back, wherever sRGB reaches between values 1 and 9:
// what Munsell.Lab states.
func TestMunsellTermsAndBack(t *testing.T) {
	var offs []float64
	for i := range 1 << 15 {
		c := colour.SRGB{R: uint8(i >> 10 << 3), G: uint8(i >> 5 << 3), B: uint8(i << 3)}
		lab, m := c.Lab(), c.Munsell()
		if m.Value < 1 || m.Value > 9 || m.Chroma < 0.5 {
			continue
		}
		back := m.Lab()
		offs = append(offs, math.Hypot(back.A-lab.A, back.B-lab.B))
		if math.Abs(back.L-lab.L) > 1e-6 {
			t.Fatalf("%v comes back at L* %v, not %v", c, back.L, lab.L)
		}
	}
	slices.Sort(offs)
	if p90, p99, worst := offs[len(offs)*9/10], offs[len(offs)*99/100], offs[len(offs)-1]; p90 > 0.2 || p99 > 1 || worst > 3 {
		t.Errorf("90 in 100 come back within %.3f of a and b, 99 within %.2f, the worst %.2f off", p90, p99, worst)
	}
}
