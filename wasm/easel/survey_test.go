package easel

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/survey"
)

// madeUp are answers of every kind with nothing found.
var madeUp = map[survey.Kind]survey.Answer{
	survey.Flat:  {Flat: &survey.Shapes{Fewest: 1, Most: 100}},
	survey.Edges: {Edges: &survey.Hard{}},
	survey.Piles: {Piles: &survey.Mixes{}},
	survey.Tones: {Tones: &survey.Tints{Neutral: colour.SRGB{R: 255, G: 255, B: 255}, Verdict: shape.NoClearDifference}},
	survey.Clean: {Clean: &survey.Swept{}},
}

// opened are keys that open what needs the answer of each kind.
var opened = map[survey.Kind][]string{
	survey.Flat:  {"tray-shape"},
	survey.Edges: {"tray-shape", "part-edges"},
	survey.Piles: {"tray-colour", "part-piles"},
	survey.Tones: {"tray-colour"},
	survey.Clean: {"steps", "clean"},
}

// opening is an easel with what needs an answer open, and the answer there.
func opening(t *testing.T, k survey.Kind) *bench {
	b := atWork(t, 1)
	b.press(opened[k]...)
	b.found(k, madeUp[k])
	return b
}

func TestEachPartAsksOnce(t *testing.T) {
	for _, c := range []struct {
		keys  []string
		again []string // away from the part and back to it
		kind  survey.Kind
	}{
		{[]string{"tray-shape"}, []string{"tray-study", "tray-shape"}, survey.Flat},
		{[]string{"tray-shape", "part-edges"}, []string{"part-flat", "part-edges"}, survey.Edges},
		{[]string{"tray-value", "part-filter"}, []string{"part-steps", "part-filter"}, survey.Tones},
		{[]string{"tray-value", "part-contrasts"}, []string{"tray-value", "tray-value"}, survey.Edges},
		{[]string{"tray-colour"}, []string{"part-opposites", "part-temperature"}, survey.Tones},
		{[]string{"tray-colour", "part-piles"}, []string{"tray-place", "tray-colour"}, survey.Piles},
		{[]string{"temperature"}, []string{"temperature", "temperature"}, survey.Tones},
		{[]string{"steps", "clean"}, []string{"clean", "clean"}, survey.Clean},
		{[]string{"flat"}, []string{"flat", "flat"}, survey.Flat},
		{[]string{"edges"}, []string{"edges", "edges"}, survey.Edges},
		{[]string{"piles"}, []string{"piles", "piles"}, survey.Piles},
	} {
		b := atWork(t, 1)
		if len(b.surveys) != 0 {
			t.Fatalf("an easel with its trays closed asked %+v", b.surveys)
		}
		b.press(c.keys...)
		b.press(c.again...)
		b.press("mirror", "turn", "squint", "squint-more", "surround-lighter", "from-x")
		if n := b.asked(c.kind); n != 1 {
			t.Errorf("%v asked about %s %d times before the answer, want once", c.keys, c.kind, n)
		}
		b.found(c.kind, madeUp[c.kind])
		b.press(c.again...)
		b.Tick()
		if n := b.asked(c.kind); n != 1 {
			t.Errorf("%v asked about %s %d times, want once", c.keys, c.kind, n)
		}
		if text := b.Face().Text["shape-finding"]; strings.Contains(text, kindWords[c.kind]) {
			t.Errorf("%v: after the answer the page says %q", c.keys, text)
		}
	}
}

func TestQuestionsAreOfWhatIsPainted(t *testing.T) {
	for _, k := range survey.Kinds() {
		b := opening(t, k)
		b.Type("canvas", "20 x 20 in")
		b.press("filter", "sheet-deep")
		b.press(opened[k][0], opened[k][0])
		a := b.newest(k).Ask
		// The largest square in the middle of 1200 x 800.
		if want := (place.Crop{X: 200, Width: 800, Height: 800}); a.Crop != want {
			t.Errorf("%s is asked of %v, want %v", k, a.Crop, want)
		}
		// Without a smallest size of the painter's it is a sixteenth of the short side.
		if sized := k == survey.Flat || k == survey.Edges || k == survey.Clean; sized && (!near(float64(a.Smallest), 31.75, 1e-9) || a.Canvas.Width != 508) {
			t.Errorf("%s is asked of a canvas of %v with nothing under %v mm", k, a.Canvas, a.Smallest)
		}
		if k == survey.Tones {
			if a.Steps.Count() != 0 || a.Sheet != colour.DeepSheet || a.White || a.Neutral != (colour.SRGB{}) {
				t.Errorf("tones are asked as %+v", a)
			}
			continue
		}
		edges := a.Steps.Edges()
		if want := []colour.Lightness{20, 40, 60, 80}; !slices.Equal(edges, want) || !a.Filter || a.Sheet != colour.DeepSheet {
			t.Errorf("%s is asked of steps with the edges %v through %v, %v", k, edges, a.Filter, a.Sheet)
		}
	}
}

func TestWhatChangesAQuestionAsksItAnew(t *testing.T) {
	flat, edges, piles, tones, clean := survey.Flat, survey.Edges, survey.Piles, survey.Tones, survey.Clean
	pressing := func(keys ...string) func(*bench) { return func(b *bench) { b.press(keys...) } }
	typing := func(field, text string) func(*bench) { return func(b *bench) { b.Type(field, text) } }
	for _, c := range []struct {
		what   string
		change func(*bench)
		asks   []survey.Kind
	}{
		{"a canvas half as large", typing("canvas", "18 x 12 in"), []survey.Kind{flat, edges, clean}},
		{"another crop", typing("canvas", "10 x 10 in"), survey.Kinds()},
		{"another number of steps", pressing("more"), []survey.Kind{flat, edges, piles, clean}},
		{"an edge by hand", func(b *bench) { b.DragEdge(2, 47) }, []survey.Kind{flat, edges, piles, clean}},
		{"cards", typing("cards", "2, 5, 8"), []survey.Kind{flat, edges, piles, clean}},
		{"the red filter", pressing("filter"), []survey.Kind{flat, edges, piles, clean}},
		{"the deep red sheet", pressing("sheet-deep"), []survey.Kind{tones}},
		{"a smallest size", typing("smallest", "3 in"), []survey.Kind{flat, edges, clean}},
		{"more shapes", pressing("shapes-more"), []survey.Kind{flat, edges}},
		{"another wheel", pressing("wheel-munsell"), []survey.Kind{tones}},
		{"white as neutral", pressing("neutral-white"), []survey.Kind{tones}},
		{"more piles", pressing("each-more"), []survey.Kind{piles}},
		{"how it is seen", pressing("mirror", "turn", "squint", "plain"), nil},
		{"nothing", typing("smallest", "a big one"), nil},
	} {
		for _, k := range survey.Kinds() {
			b := opening(t, k)
			before := b.newest(k)
			c.change(b)
			now := b.newest(k)
			if want := slices.Contains(c.asks, k); (now.ID != before.ID) != want || reflect.DeepEqual(now.Ask, before.Ask) == want {
				t.Errorf("%s asked about %s anew: %v, want %v", c.what, k, now.ID != before.ID, want)
			}
		}
	}
}

func TestOldAnswersAreIgnored(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-shape")
	old := b.newest(survey.Flat)
	b.press("more")
	one := survey.Answer{Flat: &survey.Shapes{Most: 9, Count: 1, Shapes: []survey.FlatShape{{Step: 1, Share: 1, Order: 1}}}}
	b.Surveying(survey.Flat, old.ID, 0.9)
	b.SurveyFailed(survey.Flat, old.ID, "out of memory")
	b.Surveyed(old.ID, one, nil)
	b.wantText("shape-finding", "Finding flat shapes: 0 %")
	if rows := b.rows("shapes-rows"); len(rows) != 0 {
		t.Errorf("the answer to an older question is listed: %q", rows)
	}
	b.found(survey.Flat, one)
	b.wantText("shape-finding", "")
	if rows := b.rows("shapes-rows"); len(rows) != 1 {
		t.Errorf("the answer is listed as %q", rows)
	}
}

func TestSurveysCanBeStoppedAndAskedAgain(t *testing.T) {
	for _, k := range survey.Kinds() {
		b := atWork(t, 1)
		b.press(opened[k]...)
		for share, want := range map[float64]string{-1: "0", math.NaN(): "0", 7: "100"} {
			b.Surveying(k, b.newest(k).ID, share)
			b.wantText("value-finding", kindWords[k]+": "+want+" %")
		}
		b.Surveying(k, b.newest(k).ID, 0.424)
		b.wantText("colour-finding", kindWords[k]+": 42 %")
		if f := b.Face(); f.Hidden["shape-stop"] || f.Hidden["value-stop"] || !f.Hidden["colour-again"] {
			t.Errorf("%s: what is being worked out cannot be stopped", k)
		}
		b.press("survey-stop")
		b.wantText("colour-finding", kindWords[k]+" was stopped.")
		if f := b.Face(); !f.Hidden["shape-stop"] || f.Hidden["colour-again"] || !slices.Contains(b.halted, k) {
			t.Errorf("%s: stopped %v, and cannot be asked again", k, b.halted)
		}
		b.press("mirror", "survey-stop")
		if n := b.asked(k); n != 1 {
			t.Errorf("%s was asked %d times though it was stopped", k, n)
		}
		b.press("survey-again")
		b.wantText("colour-finding", kindWords[k]+": 0 %")
		if n := b.asked(k); n != 2 {
			t.Errorf("%s was asked %d times, want once more", k, n)
		}
		b.SurveyFailed(k, b.newest(k).ID, "the tablet ran out of memory")
		b.wantText("colour-finding", "The tablet ran out of memory.")
		if f := b.Face(); !f.Hidden["shape-stop"] || f.Hidden["colour-again"] {
			t.Errorf("%s: what failed cannot be asked again", k)
		}
		b.press("survey-again")
		b.found(k, madeUp[k])
		b.wantText("colour-finding", "")
		if f := b.Face(); b.asked(k) != 3 || !f.Hidden["shape-stop"] || !f.Hidden["colour-again"] {
			t.Errorf("%s was asked %d times, want three, and is over", k, b.asked(k))
		}
	}
}

// What is still shown of the question before must not stay once the new one is given
// up: it would be taken for the answer.
func TestStoppedQuestionsLeaveNoOlderAnswer(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-shape", "flat")
	shapes := survey.Answer{Flat: &survey.Shapes{Most: 9, Count: 1, Shapes: []survey.FlatShape{{Step: 1, Share: 1, Order: 1}}}}
	b.Surveyed(b.newest(survey.Flat).ID, shapes, &render.Made{Side: 1})
	b.press("more")
	if plan, _ := b.Plan(); len(b.rows("shapes-rows")) != 1 || plan.Panes[0].Made == nil {
		t.Error("the shapes vanish while they are found anew")
	}
	b.press("survey-stop")
	if plan, _ := b.Plan(); len(b.rows("shapes-rows")) != 0 || plan.Panes[0].Made != nil {
		t.Error("shapes of other steps are shown as if they were of these")
	}
}

func TestAnotherPhotographForgetsWhatWasFound(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-colour", "part-piles")
	b.found(survey.Piles, survey.Answer{Piles: &survey.Mixes{Steps: []survey.Mix{{Piles: []survey.Pile{{Share: 1}}}}}})
	b.press("piles", "tray-shape")
	old := b.newest(survey.Flat)
	doc := greysDoc()
	doc.ID = "other"
	b.Show(doc.WithTray("shape"), greys(), true)
	if want := []survey.Kind{survey.Flat, survey.Tones}; !slices.Equal(b.halted, want) {
		t.Errorf("opening another photograph stopped %v, want what was being worked out, %v", b.halted, want)
	}
	b.Surveyed(old.ID, madeUp[survey.Flat], nil)
	b.wantText("flat-note", "")
	b.Filled()
	if n := b.newest(survey.Flat).ID; n <= old.ID {
		t.Errorf("the flat shapes of the other photograph were asked as %d, after %d", n, old.ID)
	}
	b.Surveyed(old.ID, madeUp[survey.Flat], nil)
	b.wantText("shape-finding", "Finding flat shapes: 0 %")
	b.press("tray-colour", "part-piles")
	if rows := b.rows("piles-rows"); len(rows) != 0 || b.asked(survey.Piles) != 2 {
		t.Errorf("piles of the photograph before are listed: %q", rows)
	}
}

// A kept answer may be of an older version of the page.
func TestAnswersThatDoNotTellAreRefused(t *testing.T) {
	for _, k := range survey.Kinds() {
		b := atWork(t, 1)
		b.press(opened[k]...)
		b.found(k, survey.Answer{})
		b.wantText("value-finding", "What was found about the picture cannot be read.")
		b.press("survey-again")
		if b.asked(k) != 2 {
			t.Errorf("%s cannot be asked again", k)
		}
	}
}

func TestOutlinesAreHandedOverOnce(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-shape", "outlines")
	if !b.Face().Disabled["key-outlines"] || b.newest(survey.Flat).Ask.Outlines {
		t.Error("outlines can be saved before there are shapes")
	}
	b.found(survey.Flat, madeUp[survey.Flat])
	b.press("outlines")
	if !b.newest(survey.Flat).Ask.Outlines {
		t.Fatal("saving the outlines does not ask for them")
	}
	b.press("survey-stop", "more")
	if b.newest(survey.Flat).Ask.Outlines {
		t.Error("outlines are wanted though they were stopped")
	}
	b.found(survey.Flat, madeUp[survey.Flat])
	b.press("outlines")
	b.found(survey.Flat, survey.Answer{Flat: &survey.Shapes{SVG: "<svg/>"}})
	if got := string(b.handed["greys-outlines.svg"]); got != "<svg/>" || len(b.handed) != 1 {
		t.Errorf("handed over %v, want the outlines", b.handed)
	}
	n := b.asked(survey.Flat)
	b.press("mirror")
	if b.asked(survey.Flat) != n {
		t.Error("once they were handed over the shapes are asked anew")
	}
}

func TestThePaletteChartIsHandedOver(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-colour", "part-piles", "chart")
	if len(b.handed) != 0 || !b.Face().Disabled["key-chart"] {
		t.Error("a chart can be saved before there are piles")
	}
	b.found(survey.Piles, survey.Answer{Piles: &survey.Mixes{}})
	b.press("chart")
	if _, ok := b.handed["greys-palette.png"]; !ok || b.Face().Disabled["key-chart"] {
		t.Errorf("handed over %v, want the palette chart", b.handed)
	}
}
