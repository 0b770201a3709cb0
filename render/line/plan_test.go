package line_test

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"maulstick/render/line"
	"maulstick/render/place"
)

// full is a plan of every kind.
const full = "diagonals:4,thirds,golden,rabatment,reciprocal,divide:4x3,squares:6in:bottom-left,plumb:12in,level:8 1/2in,angled:12in:8in:35.5"

func TestPlanIsSpeltAsItIsRead(t *testing.T) {
	for text, want := range map[string]string{
		full:                           full,
		"":                             "",
		"  ":                           "",
		"Diagonals":                    "diagonals:1",
		" thirds , golden ":            "thirds,golden",
		"divide: 4 × 3":                "divide:4x3",
		"squares:6":                    "squares:6in:top-left",
		"squares:15.5cm:Bottom-Right":  "squares:15.5cm:bottom-right",
		`plumb:2' 9"`:                  "plumb:2ft 9in",
		"plumb:0.5ft":                  "plumb:6in",
		"plumb:16⅝":                    "plumb:16 5/8in",
		"plumb:10 1/3in":               "plumb:10 1/3in",
		"plumb:10.1in":                 "plumb:10 1/10in",
		"level:0":                      "level:0in",
		"level:1.2345m":                "level:1.2345m",
		"level:1.23456m":               "level:1234.56mm",
		"angled:30cm:20cm:-45°":        "angled:30cm:20cm:135",
		"angled:30cm:8in:180":          "angled:30cm:20.32cm:0",
		"angled:1in:1in:179.9999":      "angled:1in:1in:0",
		"angled:1in:1in:12.3456":       "angled:1in:1in:12.346",
		"level:3.14159265358979in":     "level:79.79645340118067mm",
		"thirds,thirds,level:4 3/64in": "thirds,thirds,level:4 3/64in",
	} {
		p, err := line.ParsePlan(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		if got := p.String(); got != want {
			t.Errorf("%q is spelt %q, want %q", text, got, want)
		}
		again, err := line.ParsePlan(p.String())
		if err != nil || !reflect.DeepEqual(again, p) {
			t.Errorf("%q comes back as %+v (%v), want %+v", text, again, err, p)
		}
	}
}

func TestPlanRefusals(t *testing.T) {
	for text, want := range map[string]string{
		"spirals":                                "no construction",
		"thirds,":                                "no construction",
		"thirds:2":                               "1 figures after it",
		"divide":                                 "0 figures after it",
		"diagonals:5":                            "1 to 4 deep",
		"diagonals:0":                            "1 to 4 deep",
		"diagonals:two":                          "no whole number",
		"divide:4":                               "no whole number",
		"divide:1x1":                             "not one of each",
		"divide:65x2":                            "1 to 64",
		"squares:0":                              "1 mm to 100 m",
		"squares:6in:middle":                     "no corner",
		"plumb:far":                              "not a length",
		"plumb:-3in":                             "not a length",
		"plumb:0.001mm":                          "0.01 mm",
		"plumb:84,5cm":                           "no construction",
		"angled:1in:1in":                         "2 figures",
		"angled:1in:1in:NaN":                     "no angle",
		"angled:1in:1in:1e2":                     "no angle",
		"angled:1in:1in:400":                     "no angle",
		strings.Repeat("x", 5e3):                 "characters",
		strings.Repeat("thirds,", 64) + "thirds": "65 constructions",
	} {
		p, err := line.ParsePlan(text)
		if err == nil || !strings.Contains(err.Error(), want) || place.Hint(err) == "" || len(p.Uses) > 0 {
			t.Errorf("%.40q is read as %+v, %v; want %q", text, p, err, want)
		}
	}
	good := place.Size{Width: 100, Height: 100}
	bad := math.NaN()
	for _, c := range []struct {
		plan   line.Plan
		canvas place.Size
		want   string
	}{
		{line.Plan{Uses: []line.Use{{Kind: line.Plumb, X: place.MM(bad)}}}, good, "from 0.01 mm to 100 m"},
		{line.Plan{Uses: []line.Use{{Kind: line.Angled, Degrees: bad}}}, good, "no number"},
		{line.Plan{Uses: make([]line.Use, 65)}, good, "65 constructions"},
		{line.Plan{Uses: []line.Use{{}}}, good, "no construction"},
		{line.Plan{}, place.Size{}, "no size"},
		{line.Plan{}, place.Size{Width: 100, Height: place.MM(bad)}, "no size"},
		{line.Plan{Uses: []line.Use{{Kind: line.Squares, Size: 1}}}, place.Size{Width: 1000, Height: 100}, "more than 128"},
		{line.Plan{Uses: []line.Use{{Kind: line.Divide, Columns: 64, Rows: 64}, {Kind: line.Divide, Columns: 63, Rows: 63},
			{Kind: line.Divide, Columns: 61, Rows: 61}, {Kind: line.Divide, Columns: 59, Rows: 59}, {Kind: line.Divide, Columns: 57, Rows: 57}, {Kind: line.Divide, Columns: 55, Rows: 55}}}, good, "more than 600 lines"},
	} {
		if s, err := line.Draw(c.plan, c.canvas); err == nil || !strings.Contains(err.Error(), c.want) || place.Hint(err) == "" || s != nil {
			t.Errorf("%v is drawn: %v", c.plan, err)
		}
	}
}

// Whatever is read as a plan is spelt so that it is read as the same, and can be
// drawn or refused.
func FuzzParsePlan(f *testing.F) {
	for _, seed := range []string{full, "", "diagonals", `plumb:2' 9"`, "squares:15.5cm:top-right,level:1.23456m", "angled:30cm:8in:-400.5", "divide:4×3,divide:1x64"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := line.ParsePlan(text)
		if err != nil {
			if place.Hint(err) == "" || len(p.Uses) > 0 {
				t.Fatalf("%q: %v without a hint, or with %v", text, err, p)
			}
			return
		}
		again, err := line.ParsePlan(p.String())
		if err != nil || !reflect.DeepEqual(again, p) || again.String() != p.String() {
			t.Fatalf("%q is spelt %q, which is %+v (%v), want %+v", text, p, again, err, p)
		}
		if s, err := line.Draw(p, place.Size{Width: 838.2, Height: 1778}); err != nil {
			if place.Hint(err) == "" {
				t.Fatalf("%q: %v without a hint", text, err)
			}
		} else if len(s.Lines) > line.MostLines {
			t.Fatalf("%q draws %d lines", text, len(s.Lines))
		}
	})
}
