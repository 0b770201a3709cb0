package colour_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"maulstick/render/colour"
)

// turn is how far apart two Munsell hues are, of 100 round the circle.
func turn(a, b float64) float64 { return math.Abs(math.Mod(a-b+150, 100) - 50) }

// Hue, value and chroma of random colours against another inversion of the
// renotation. Colours of little chroma have hardly a hue.
func TestMunsellMatchesRenotation(t *testing.T) {
	var hues, chromas []float64
	for _, r := range table(t, "munsell_of_srgb") {
		m := colour.SRGB{R: r.code("R"), G: r.code("G"), B: r.code("B")}.Munsell()
		r.near("value", float64(m.Value))
		chromas = append(chromas, math.Abs(m.Chroma-r.number("chroma")))
		if r.number("chroma") > 2 {
			hues = append(hues, turn(m.Hue, r.number("hue_100")))
		}
	}
	for _, c := range []struct {
		name                string
		off                 []float64
		median, most, worst float64
	}{{"hue", hues, 0.02, 0.11, 2.5}, {"chroma", chromas, 0.01, 0.13, 1.3}} {
		slices.Sort(c.off)
		n := len(c.off)
		if median, most, worst := c.off[n/2], c.off[n*95/100], c.off[n-1]; median > c.median || most > c.most || worst > c.worst {
			t.Errorf("%s is off by %.3f at the median, %.3f for 95 in 100, %.3f at worst", c.name, median, most, worst)
		}
	}
}

// families in the order of the circle.
var families = []string{"R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP"}

// notation reads a Munsell notation such as 2.2YR 6.47/4.1 or N 5/.
func notation(t *testing.T, text string) (family string, hue, value, chroma float64) {
	t.Helper()
	if _, err := fmt.Sscanf(text, "N %f/", &value); err == nil {
		return "N", 0, value, 0
	}
	step, rest, _ := strings.Cut(text, " ")
	family = strings.TrimLeft(step, "0123456789.")
	if _, err := fmt.Sscanf(strings.TrimSuffix(step, family)+" "+rest, "%f %f/%f", &hue, &value, &chroma); err != nil {
		t.Fatalf("%q is no notation: %v", text, err)
	}
	return family, float64(10*slices.Index(families, family)) + hue, value, chroma
}

// The patches of the ColorChecker: what their codes come to in Munsell terms
// against the notations published for them. Greys are rounded to whole and half
// values there.
func TestMunsellOfColorChecker(t *testing.T) {
	for _, r := range table(t, "colorchecker_names") {
		m := colour.SRGB{R: r.code("R"), G: r.code("G"), B: r.code("B")}.Munsell()
		family, hue, value, chroma := notation(t, r.cells["munsell"])
		if math.Abs(float64(m.Value)-value) > 0.15 || math.Abs(m.Chroma-chroma) > 1.25 {
			t.Errorf("%s is %v, published as %s", r.name, m, r.cells["munsell"])
		}
		if family == "N" {
			if m.Family() != colour.Neutral || m.Chroma > 0.4 {
				t.Errorf("%s is %v, want a neutral", r.name, m)
			}
			continue
		}
		if off := turn(m.Hue, hue); off > 0.6 {
			t.Errorf("%s is %v, %.2f hue steps from %s", r.name, m, off, r.cells["munsell"])
		}
	}
}

// Names against those published for the patches of the ColorChecker. The blocks'
// edges are only approached, so five patches get a neighbour's name; they are
// listed, and no other may.
func TestNamesOfColorChecker(t *testing.T) {
	same, rows := 0, table(t, "colorchecker_names")
	for _, r := range rows {
		got := colour.Name(colour.SRGB{R: r.code("R"), G: r.code("G"), B: r.code("B")})
		if got == r.cells["name_published"] {
			same++
		} else if got != r.cells["name_by_nearest_centre"] {
			t.Errorf("%s is named %s, published as %s", r.name, got, r.cells["name_published"])
		}
	}
	if same < 19 || len(rows) != 24 {
		t.Errorf("%d of %d patches have their published names, want 19 of 24", same, len(rows))
	}
}

// Every block can be named: there are 264, and colours all over sRGB get most.
func TestNames(t *testing.T) {
	names := map[string]int{}
	for r := 0; r < 256; r += 15 {
		for g := 0; g < 256; g += 15 {
			for b := 0; b < 256; b += 15 {
				name := colour.Name(colour.SRGB{R: uint8(r), G: uint8(g), B: uint8(b)})
				if name == "" || name != strings.ToLower(name) || strings.Contains(name, "gray") {
					t.Fatalf("%d,%d,%d is named %q", r, g, b, name)
				}
				names[name]++
			}
		}
	}
	if len(names) < 200 || len(names) > 264 {
		t.Errorf("%d names are in use, want 200 to 264", len(names))
	}
	for c, want := range map[colour.SRGB]string{
		{}: "black", {R: 255, G: 255, B: 255}: "white", {R: 128, G: 128, B: 128}: "medium grey", {R: 85, G: 85, B: 85}: "dark grey",
	} {
		if got := colour.Name(c); got != want {
			t.Errorf("%v is named %q, want %q", c, got, want)
		}
	}
}

// Families, words and notation at their edges.
func TestMunsellWords(t *testing.T) {
	for _, c := range []struct {
		m                     colour.Munsell
		text, family, f, word string
	}{
		{colour.Munsell{Hue: 5, Value: 4, Chroma: 12}, "5.0R 4.0/12.0", "R", "red", "vivid"},
		{colour.Munsell{Hue: 15, Value: 6, Chroma: 11.9}, "5.0YR 6.0/11.9", "YR", "orange", "strong"},
		{colour.Munsell{Hue: 10, Value: 5, Chroma: 4}, "10.0R 5.0/4.0", "R", "red", "moderate"},
		{colour.Munsell{Hue: 10.01, Value: 5, Chroma: 4}, "10.0R 5.0/4.0", "YR", "orange", "moderate"},
		{colour.Munsell{Hue: 0, Value: 5, Chroma: 3.9}, "10.0RP 5.0/3.9", "RP", "red-violet", "greyish"},
		{colour.Munsell{Hue: 99.99, Value: 5, Chroma: 1.4}, "10.0RP 5.0/1.4", "RP", "red-violet", "near neutral"},
		{colour.Munsell{Hue: 75, Value: 2.94, Chroma: 0.49}, "N 2.9/", "N", "neutral", "neutral"},
		{colour.Munsell{Hue: 0.04, Value: 5, Chroma: 5}, "10.0RP 5.0/5.0", "R", "red", "moderate"},
		{colour.Munsell{Hue: 65.2, Value: 5, Chroma: 5}, "5.2B 5.0/5.0", "B", "blue", "moderate"},
	} {
		if got := c.m.String(); got != c.text {
			t.Errorf("%#v is written %q, want %q", c.m, got, c.text)
		}
		if f := c.m.Family(); f.String() != c.family || f.Word() != c.f || c.m.ChromaWord() != c.word {
			t.Errorf("%#v is of %v, %q, %q", c.m, f, f.Word(), c.m.ChromaWord())
		}
	}
}
