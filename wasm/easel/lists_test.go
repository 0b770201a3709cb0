package easel

import (
	"fmt"
	"slices"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/survey"
)

// Places of the photograph that the lists of these tests are about, and where they
// lie on a canvas of 36 x 24 in, of which 1200 x 800 pixels make 100 to three inches.
var (
	upperLeft  = place.PhotoPoint{X: 300, Y: 200} // 9 in from the left, 6 in from the top
	lowerRight = place.PhotoPoint{X: 1000, Y: 700}
	middle     = place.PhotoPoint{X: 600, Y: 400}
)

// wantRows checks a list's texts.
func (b *bench) wantRows(list string, want ...string) {
	b.t.Helper()
	if got := b.rows(list); !slices.Equal(got, want) {
		b.t.Errorf("%s lists %q, want %q", list, got, want)
	}
}

// wantSpots checks that the picture is marked at places of the photograph, worked out
// from how it is seen without the viewport, and in what words.
func (b *bench) wantSpots(what string, texts []string, places ...place.PhotoPoint) {
	b.t.Helper()
	spots := b.Face().Spots
	if len(spots) != len(places) {
		b.t.Errorf("%s: %d spots are marked on the picture, want %d", what, len(spots), len(places))
		return
	}
	for i, p := range places {
		if x, y := b.screenOf(p); !near(spots[i].X, x, 1e-6) || !near(spots[i].Y, y, 1e-6) || spots[i].Text != texts[i] {
			b.t.Errorf("%s: spot %q stands at %.2f, %.2f, want %q at %.2f, %.2f", what, spots[i].Text, spots[i].X, spots[i].Y, texts[i], x, y)
		}
	}
}

func TestFlatShapesAreListedInTheOrderOfTheBlockIn(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-shape")
	b.found(survey.Flat, survey.Answer{Flat: &survey.Shapes{Fewest: 1, Most: 120, Count: 21, Shapes: []survey.FlatShape{
		{Step: 5, Share: 0.55, Value: 8.26, Colour: colour.SRGB{R: 200, G: 190, B: 180}, Order: 2, At: lowerRight},
		{Step: 1, Share: 0.446, Value: 1.44, Colour: colour.SRGB{R: 30, G: 20, B: 10}, Order: 1, At: upperLeft},
		{Step: 3, Share: 0.004, Value: 5, Colour: colour.SRGB{R: 9, G: 9, B: 9}, Order: 3, At: middle},
	}}})
	b.wantRows("shapes-rows",
		"1. Step 1, value 1.4, 45 %, 9 in from the left, 6 in from the top",
		"2. Step 5, value 8.3, 55 %, 30 in from the left, 21 in from the top",
		"3. Step 3, value 5.0, <1 %, 18 in from the left, 12 in from the top")
	if got := b.Face().Rows["shapes-rows"][1].Swatches; got != "200,190,180" {
		t.Errorf("the second shape's swatch is %q", got)
	}
	b.wantSpots("shapes", []string{"1", "2", "3"}, upperLeft, lowerRight, middle)
	// A sixteenth of 24 in.
	b.wantText("flat-note", "21 shapes, nothing smaller than 1 1/2 in. In the order of a block-in:")
	// From 5 to 300 in equal factors: 100 * log(21/5) / log(300/5) = 35.05.
	if got := b.Face().Value["count"]; got != "35" {
		t.Errorf("the slider stands at %q for 21 shapes of 5 to 300, want 35", got)
	}
}

// Many shapes are listed and few of them marked, but for the one that is looked at.
func TestManyShapesAreListedAndFewMarked(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-shape")
	many := &survey.Shapes{Most: 100, Count: 90}
	for i := range 90 {
		many.Shapes = append(many.Shapes, survey.FlatShape{Step: 1, Share: 0.01, Order: i + 1, At: place.PhotoPoint{X: float64(10 * i), Y: 400}})
	}
	b.found(survey.Flat, survey.Answer{Flat: many})
	if rows, spots := b.rows("shapes-rows"), b.Face().Spots; len(rows) != toldShapes || len(spots) != markedShapes {
		t.Errorf("of 90 shapes %d are listed and %d marked", len(rows), len(spots))
	}
	b.press("row-shape-30")
	spots := b.Face().Spots
	if last := spots[len(spots)-1]; len(spots) != markedShapes+1 || last.Text != "30" || !last.Chosen || !b.Face().Rows["shapes-rows"][29].Pressed {
		t.Errorf("the thirtieth shape is looked at and marked as %+v", last)
	}
	b.press("row-shape-30")
	if len(b.Face().Spots) != markedShapes {
		t.Error("the shape is still marked when it is looked at no longer")
	}
}

func TestTheSliderAsksForAboutSoManyShapes(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-shape")
	b.found(survey.Flat, survey.Answer{Flat: &survey.Shapes{Most: 320, Count: 40}})
	for typed, want := range map[string]int{"0": 5, "50": 39, "100": 300} {
		b.Type("count", typed)
		if got := b.newest(survey.Flat).Ask.Count; got != want {
			t.Errorf("the slider at %s asks for %d shapes, want %d", typed, got, want)
		}
	}
	b.Type("count", "0")
	for _, typed := range []string{"x", "-1", "101", "NaN", ""} {
		b.Type("count", typed)
	}
	if got := b.newest(survey.Flat).Ask.Count; got != 5 {
		t.Errorf("nonsense asks for %d shapes", got)
	}
	for _, c := range []struct {
		key  string
		want int
	}{{"shapes-fewer", 3}, {"shapes-fewer", 2}, {"shapes-fewer", 1}, {"shapes-fewer", 1}, {"shapes-more", 2}, {"shapes-more", 3}, {"shapes-more", 5}} {
		if b.press(c.key); b.newest(survey.Flat).Ask.Count != c.want {
			t.Errorf("%s asks for %d shapes, want %d", c.key, b.newest(survey.Flat).Ask.Count, c.want)
		}
	}
	b.press("undo")
	if got := b.doc().Finding.Count; got != 0 {
		t.Errorf("undoing a row of changes leaves %d shapes, want those by the smallest size", got)
	}
}

func TestTheSmallestSizeIsTypedInCanvasUnits(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-shape")
	b.Type("count", "50")
	for typed, want := range map[string]place.MM{"2 in": 50.8, "5 cm": 50, "3": 76.2, "1 1/2 in": 38.1} {
		b.Type("smallest", typed)
		if a := b.newest(survey.Flat).Ask; !near(float64(a.Smallest), float64(want), 1e-9) || a.Count != 0 || !b.Face().Hidden["smallest-note"] {
			t.Errorf("%q asks for nothing under %v mm, want %v", typed, a.Smallest, want)
		}
	}
	b.Type("smallest", "2 in")
	if got := b.Face().Value["smallest"]; got != "2 in" {
		t.Errorf("the field says %q", got)
	}
	for _, typed := range []string{"0 in", "-2 in", "13 in", "a hand", "NaN in", "1e9 m"} {
		b.Type("smallest", typed)
		f := b.Face()
		if b.newest(survey.Flat).Ask.Smallest != 50.8 || f.Hidden["smallest-note"] || f.Value["smallest"] != typed || f.Says != f.Text["smallest-note"] || f.Says == "" {
			t.Errorf("%q is refused with %q in a field of %q", typed, f.Text["smallest-note"], f.Value["smallest"])
		}
	}
	b.Type("smallest", "")
	if got := b.newest(survey.Flat).Ask.Smallest; got != 38.1 || b.Face().Value["smallest"] != "" {
		t.Errorf("nothing typed asks for nothing under %v mm, want a sixteenth of the short side", got)
	}
	b.press("undo")
	if got := b.Face().Value["smallest"]; got != "2 in" {
		t.Errorf("undo brought back %q, want 2 in", got)
	}
}

func TestEdgesAreToldInCanvasUnits(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-shape", "part-edges")
	inch := place.Inch.MM()
	b.found(survey.Edges, survey.Answer{Edges: &survey.Hard{
		Shares:   shape.EdgeShares{Sharp: 1},
		Outlines: shape.EdgeShares{Sharp: 0.25, Firm: 0.25, Soft: 0.3, Lost: 0.2},
		Limits:   shape.EdgeLimits{Sharp: inch / 16, Firm: inch * 3 / 8, Soft: 2 * inch, Distance: 48 * inch},
		Sharpest: []survey.Stretch{{At: upperLeft, Width: inch / 32, Class: "sharp"}},
		Softest:  []survey.Stretch{{At: lowerRight, Width: 1.25 * inch, Class: "soft"}},
	}})
	b.wantText("edges-note", "Of the outlines of the flat shapes 25 % is sharp, 25 % firm, 30 % soft and 20 % lost. Sharp is up to 1/16 in wide, firm up to 3/8 in, as seen from 48 in. Listed are those that stand out; of equally sharp ones the strongest comes first.")
	b.wantRows("edges-rows",
		"1. Sharpest: sharp, 1/32 in wide, 9 in from the left, 6 in from the top",
		"A. Softest: soft, 1 1/4 in wide, 30 in from the left, 21 in from the top")
	b.wantSpots("edges", []string{"1", "A"}, upperLeft, lowerRight)
	b.press("from-x", "unit")
	b.wantRows("edges-rows",
		"1. Sharpest: sharp, 0.1 cm wide, 68.6 cm from the right, 15.2 cm from the top",
		"A. Softest: soft, 3.2 cm wide, 15.2 cm from the right, 53.3 cm from the top")
}

func TestContrastsAreListedByKind(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-value", "part-contrasts")
	if f := b.Face(); !told(f, "focal-note") || f.Text["focal-note"] != "" {
		t.Error("what was said of a focal point before stays")
	}
	hard := &survey.Hard{Contrasts: []survey.Contrast{
		{Kind: "value", Rank: 1, At: upperLeft, Words: "step 1 against step 5, 62 L*"},
		{Kind: "value", Rank: 2, At: middle, Words: "step 1 against step 4, 41 L*"},
		{Kind: "hue", Rank: 1, At: lowerRight, Words: "vivid red against dark green"},
	}}
	b.found(survey.Edges, survey.Answer{Edges: hard})
	b.wantText("focal-note", "Place a mark where the eye is to go, and make it the focal point here.")
	b.wantRows("contrasts-rows", "1. Step 1 against step 5, 62 L*.", "2. Step 1 against step 4, 41 L*.")
	b.wantSpots("contrasts of value", []string{"1", "2"}, upperLeft, middle)
	b.press("list-hue", "list-nonsense")
	b.wantRows("contrasts-rows", "1. Vivid red against dark green.")
	b.wantSpots("contrasts of hue", []string{"1"}, lowerRight)
	if f := b.Face(); !f.Pressed["key-list-hue"] || f.Pressed["key-list-value"] || f.Disabled["key-list-all"] {
		t.Error("the keys do not show which contrasts are listed")
	}
}

func TestTheFocalPointIsAMark(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-value", "part-contrasts")
	if !b.Face().Disabled["key-focal"] {
		t.Error("without a mark there can be a focal point")
	}
	b.markAt(299.5, 199.5)
	b.press("tray-value")
	b.found(survey.Edges, survey.Answer{Edges: &survey.Hard{}})
	b.press("focal")
	ask := b.newest(survey.Edges).Ask
	if ask.Focal == nil || !near(ask.Focal.X, 300, 1e-6) || !near(ask.Focal.Y, 200, 1e-6) {
		t.Fatalf("the focal point is asked about as %v, want 300, 200", ask.Focal)
	}
	b.wantText("focal-note", "Mark 1 is the focal point.")
	b.found(survey.Edges, survey.Answer{Edges: &survey.Hard{Focal: []string{
		"the strongest contrast of value lies at your focal point", "the strongest contrast of hue is 7 in right of your focal point",
		"the strongest contrast of sharpness lies at your focal point", "the strongest contrast of all kinds together lies at your focal point",
	}}})
	b.wantText("focal-note", "The strongest contrast of value lies at your focal point.")
	b.press("list-hue")
	b.wantText("focal-note", "The strongest contrast of hue is 7 in right of your focal point.")
	b.press("list-all")
	b.wantText("focal-note", "The strongest contrast of all kinds together lies at your focal point.")
	if !b.Face().Pressed["key-focal"] {
		t.Error("the key does not show that the mark is the focal point")
	}
	b.press("tray-shape", "focal-last")
	if ask := b.newest(survey.Flat).Ask; ask.Focal == nil || !ask.Last {
		t.Errorf("the focal area last is asked for as %v, %v", ask.Focal, ask.Last)
	}
	b.press("tray-value", "focal")
	if ask := b.newest(survey.Edges).Ask; ask.Focal != nil || b.Face().Pressed["key-focal"] {
		t.Error("pressed again the mark is still the focal point")
	}
	b.wantText("focal-note", "Choose the mark where the eye is to go, and make it the focal point.")
	b.press("undo")
	if b.newest(survey.Edges).Ask.Focal == nil {
		t.Error("undo does not bring the focal point back")
	}
	b.Type("canvas", "5 x 24 in") // the mark is not on it
	if b.newest(survey.Edges).Ask.Focal != nil {
		t.Error("a focal point off the canvas is asked about")
	}
}

func TestPairsOfOppositesAreListed(t *testing.T) {
	red, green := colour.SRGB{R: 200, G: 30, B: 30}, colour.SRGB{R: 20, G: 120, B: 60}
	b := at36x24(t, stripes(red, green, stone))
	b.press("tray-colour", "part-opposites")
	b.wantText("opposites-note", "Opposites on the painter's wheel.")
	b.survey(survey.Tones)
	rows := b.Face().Rows["opposites-rows"]
	if len(rows) != 1 || rows[0].Text != "1. red 33 %, green 33 %" && rows[0].Text != "1. green 33 %, red 33 %" {
		t.Fatalf("a third of red and a third of green are listed as %+v", rows)
	}
	spots := b.Face().Spots
	if len(spots) != 2 || spots[0].Text != "1" || spots[1].Text != "1" {
		t.Fatalf("a pair is marked as %+v", spots)
	}
	for _, s := range spots { // in the first and the second third of 872 CSS pixels from 14
		if s.X < 14 || s.X > 14+872*2.0/3 || s.Y < 59 || s.Y > 641 {
			t.Errorf("a side of the pair is marked at %v, %v", s.X, s.Y)
		}
	}
	// In mixed light red faces a cyan, and there is none.
	b.press("wheel-additive")
	b.wantText("opposites-note", "Opposites as mixed light.")
	if len(b.rows("opposites-rows")) != 0 {
		t.Error("opposites on the painter's wheel are listed as if they were of mixed light")
	}
	b.survey(survey.Tones)
	b.wantText("opposites-note", "Opposites as mixed light. No two opposites both have half a hundredth of the picture or more.")
	b.press("wheel-painter")
	b.markAt(200, 300)
	b.press("tray-colour")
	b.survey(survey.Tones)
	if rows := b.rows("opposites-rows"); len(rows) != 2 || rows[0] != "Mark 1: red, opposite green" {
		t.Errorf("the opposite of red at a mark is listed as %q", rows)
	}
	b.markAt(1000, 300)
	b.press("tray-colour")
	if rows := b.rows("opposites-rows"); rows[0] != "Mark 2 is too grey to have an opposite." {
		t.Errorf("the opposite of a grey is listed as %q", rows)
	}
}

func TestPilesAreListedByStep(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-colour", "part-piles")
	b.wantText("piles-note", "Piles a step: as many as its colours need. Names after "+colour.NameSystem+".")
	b.found(survey.Piles, survey.Answer{Piles: &survey.Mixes{Steps: []survey.Mix{
		{Grey: 24, Share: 0.6, Piles: []survey.Pile{
			{Colour: slate, Value: 2.14, Name: "dark greyish blue", Share: 0.5, At: upperLeft},
			{Colour: stone, Value: 1.96, Name: "dark grey", Share: 0.1, At: middle},
		}},
		{Grey: 71, Piles: []survey.Pile{}},
		{Grey: 200, Share: 0.4, Piles: []survey.Pile{{Colour: cream, Value: 8.2, Name: "pale orange yellow", Share: 0.4, At: lowerRight}}},
	}}})
	b.wantRows("piles-rows", "Step 1: dark greyish blue, value 2.1, 50 %", "Step 1: dark grey, value 2.0, 10 %", "Step 3: pale orange yellow, value 8.2, 40 %")
	if got := b.Face().Rows["piles-rows"][0].Swatches; got != "24,24,24 40,50,80" {
		t.Errorf("the first pile's swatches are %q, want the step's grey and the pile", got)
	}
	b.wantSpots("piles", []string{"1", "1", "3"}, upperLeft, middle, lowerRight)
	for n := 1; n <= 10; n++ {
		b.press("each-more")
		if got := b.newest(survey.Piles).Ask.Each; got != min(2+n, 9) {
			t.Errorf("pressed %d times where a step has two piles, More asks for %d piles a step", n, got)
		}
	}
	b.wantText("piles-note", "Piles a step: 9. Names after "+colour.NameSystem+".")
	if f := b.Face(); !f.Disabled["key-each-more"] || f.Disabled["key-each-fewer"] {
		t.Error("there can be more than nine piles a step")
	}
	b.press("each-fewer")
	if got := b.newest(survey.Piles).Ask.Each; got != 8 {
		t.Errorf("Fewer than nine piles a step asks for %d", got)
	}
	b.press("each-needed")
	if f := b.Face(); b.newest(survey.Piles).Ask.Each != 0 || !f.Pressed["key-each-needed"] {
		t.Error("As needed does not leave the number to the colours")
	}
}

func TestSpotsMoveWithThePicture(t *testing.T) {
	for _, dpr := range []float64{1, 2, 1.5} {
		b := atWork(t, dpr)
		b.press("tray-shape", "part-edges")
		b.found(survey.Edges, survey.Answer{Edges: &survey.Hard{
			Sharpest: []survey.Stretch{{At: upperLeft}}, Softest: []survey.Stretch{{At: lowerRight}},
		}})
		for _, keys := range [][]string{{}, {"mirror"}, {"turn"}, {"mirror"}} {
			b.press(keys...)
			b.wantSpots(fmt.Sprintf("at %v, %+v", dpr, b.doc().View), []string{"1", "A"}, upperLeft, lowerRight)
		}
		b.press("turn")
		// As seen closer, what is off the area is not marked.
		x, y := b.screenOf(upperLeft)
		for range 8 {
			b.Wheel(x, y, -300)
		}
		b.wantSpots("seen closer", []string{"1"}, upperLeft)
		b.Press("plain")
		b.wantSpots("while Plain is held", nil)
		b.Release("plain")
		b.press("tray-shape")
		b.wantSpots("with the tray closed", nil)
	}
}

// The chart that is handed over tells the shares of the Value tray: nine equal bands, of
// which five equal steps of lightness hold two, two, one, two and two.
func TestTheChartHasTheSharesOfTheSteps(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-colour", "part-piles")
	mixes := &survey.Mixes{}
	for range 5 {
		mixes.Steps = append(mixes.Steps, survey.Mix{Share: 0.2, Piles: []survey.Pile{}})
	}
	b.found(survey.Piles, survey.Answer{Piles: mixes})
	eye, filter := histograms(greys(), b.doc().Crop())
	b.Counted(b.Easel.counts.last, eye, filter)
	b.press("chart")
	for k, want := range []float64{2, 2, 1, 2, 2} {
		if got := b.chart.Piles.Steps[k].Share; !near(got, want/9, 1e-3) || mixes.Steps[k].Share != 0.2 {
			t.Errorf("step %d has %.4f on the chart, want %.4f", k+1, got, want/9)
		}
	}
}
