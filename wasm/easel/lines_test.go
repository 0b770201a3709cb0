package easel

import (
	"fmt"
	"math"
	"testing"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/place"
	"maulstick/render/setout"
)

// lining has the greys on a canvas of 36 x 24 in and constructions set out.
func lining(t *testing.T, keys ...string) *bench {
	b := atWork(t, 1)
	b.press("tray-line", "part-lines")
	b.press(keys...)
	b.setLines()
	return b
}

// strokesNow are the lines over the picture.
func (b *bench) strokesNow() []render.Stroke {
	plan, _ := b.Plan()
	return plan.Strokes
}

// wantStrokes checks from where to where on the photograph lines are drawn, in order.
func (b *bench) wantStrokes(what string, want ...[4]float64) {
	b.t.Helper()
	strokes := b.strokesNow()
	if len(strokes) != len(want) {
		b.t.Errorf("%s: %d lines are drawn, want %d", what, len(strokes), len(want))
		return
	}
	for i, w := range want {
		if s := strokes[i]; math.Abs(s.From.X-w[0])+math.Abs(s.From.Y-w[1])+math.Abs(s.To.X-w[2])+math.Abs(s.To.Y-w[3]) > 1e-6 {
			b.t.Errorf("%s: line %d is drawn from %v to %v, want %v", what, i, s.From, s.To, w)
		}
	}
}

// Thirds of 1200 x 800 pixels are 400 and 800 across, 266 2/3 and 533 1/3 down.
var thirds = [][4]float64{
	{400, 0, 400, 800}, {0, 800.0 / 3, 1200, 800.0 / 3}, {800, 0, 800, 800}, {0, 1600.0 / 3, 1200, 1600.0 / 3},
}

func TestLinesLieOverThePicture(t *testing.T) {
	b := lining(t, "use-thirds")
	if ask := b.lineAsks[0]; len(b.lineAsks) != 1 || ask.Plan != "thirds" || ask.Canvas != (place.Size{Width: 36 * 25.4, Height: 24 * 25.4, Unit: place.Inch}) || ask.Rounding != "1/16" {
		t.Errorf("asked for are %+v", b.lineAsks)
	}
	b.wantStrokes("thirds", thirds...)
	for _, keys := range [][]string{{"mirror"}, {"turn"}, {"mirror"}, {"turn"}} {
		b.press(keys...) // a stroke lies on the photograph, however that is seen
		b.wantStrokes("thirds seen "+wayRound(b.doc().View), thirds...)
	}
	b.Press("plain")
	b.wantStrokes("while Plain is held")
	b.Release("plain")
	b.press("lines-show")
	b.wantStrokes("not shown")
	if b.Face().Pressed["key-lines-show"] {
		t.Error("the key shows lines that are not shown")
	}
	b.press("lines-show", "tray-line")
	b.wantStrokes("with the tray closed", thirds...)
	if len(b.lineAsks) != 1 {
		t.Errorf("the same lines were asked for %d times", len(b.lineAsks))
	}
}

func TestLinesLieOnTheCrop(t *testing.T) {
	b := lining(t, "use-thirds")
	b.press("part-canvas", "hold-free", "crop-hand")
	b.dragWhole(1200, 800, 900, 600)
	b.dragWhole(0, 0, 300, 150)
	// The crop is 600 x 450 from 300, 150 on: its thirds are 200 and 150 pixels apart.
	b.wantStrokes("on a crop of its own", [4]float64{500, 150, 500, 600}, [4]float64{300, 300, 900, 300}, [4]float64{700, 150, 700, 600}, [4]float64{300, 450, 900, 450})
	if len(b.lineAsks) != 1 {
		t.Error("another crop on the same canvas asked for the lines again")
	}
}

// Until the lines of another canvas are set out, those of the one before lie at the same
// shares of it.
func TestLinesWaitForAnotherCanvas(t *testing.T) {
	b := lining(t, "use-squares") // 6 in, from the top left
	if n := len(b.strokesNow()); n != 5+3 {
		t.Fatalf("squares of 6 in on 36 x 24 in are %d lines, want 5 and 3", n)
	}
	b.Type("canvas", "18 x 12 in")
	// A sixth of the width, where the first line was: 200 of 1200 pixels.
	if s := b.strokesNow(); len(s) != 8 || len(b.lineAsks) != 2 || !near(s[0].From.X, 200, 1e-6) || !near(s[0].To.Y, 800, 1e-6) {
		t.Errorf("meanwhile %d lines are drawn, the first from %v to %v", len(s), s[0].From, s[0].To)
	}
	b.wantText("lines-note", "Setting out the lines.")
	b.setLines()
	// 6 of 18 in are 400 pixels, 6 of 12 in as many.
	b.wantStrokes("squares on 18 x 12 in", [4]float64{400, 0, 400, 800}, [4]float64{800, 0, 800, 800}, [4]float64{0, 400, 1200, 400})
}

func TestOlderLinesAreIgnored(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-line", "part-lines", "use-thirds", "use-golden")
	if len(b.lineAsks) != 2 {
		t.Fatalf("%d plans were asked for", len(b.lineAsks))
	}
	b.Easel.SetOut(b.setting.last-1, setout.Draw(b.lineAsks[0]))
	b.wantStrokes("an answer to the plan before")
	b.setLines()
	if n := len(b.strokesNow()); n != 8 {
		t.Errorf("thirds and golden sections are %d lines, want 8", n)
	}
	b.Easel.SetOut(b.setting.last, setout.Answer{})
	if n := len(b.strokesNow()); n != 8 {
		t.Errorf("a second answer left %d lines", n)
	}
	b.press("undo", "undo")
	b.wantStrokes("undone")
	b.press("redo", "redo")
	b.setLines()
	if n := len(b.strokesNow()); n != 8 || b.lineAsks[len(b.lineAsks)-1].Plan != "thirds,golden" {
		t.Errorf("redone there are %d lines of %d plans", n, len(b.lineAsks))
	}
}

// Lines are set out only where they are to be seen, and once the photograph is there.
func TestLinesAreAskedForWhenTheyAreSeen(t *testing.T) {
	b := newBench(t, 1)
	b.Show(greysDoc(), greys(), true)
	b.press("tray-line", "part-lines", "use-thirds")
	if len(b.lineAsks) != 0 {
		t.Error("lines were asked for before the photograph was there")
	}
	b.Filled()
	if len(b.lineAsks) != 1 {
		t.Fatal("lines were not asked for")
	}
	b.setLines()
	b.wantStrokes("without a canvas", thirds...)
	b.press("lines-show", "tray-line")
	b.Type("canvas", "20 x 20 in")
	if len(b.lineAsks) != 1 {
		t.Error("lines that nobody sees were asked for")
	}
	b.press("lines-show")
	if len(b.lineAsks) != 2 {
		t.Error("lines that are shown again were not asked for")
	}
}

func TestRefusedLinesSayWhy(t *testing.T) {
	b := lining(t, "use-squares")
	b.Type("figures", "1/4 in") // 144 of them along 36 in, where 128 are the most
	b.setLines()
	want := "Drawing the lines: squares of 1/4 in are more than 128 along a side. Choose larger squares."
	b.wantText("lines-note", want)
	b.wantRows("lines-rows", "Squares of 1/4 in from the top left")
	b.wantStrokes("refused")
	b.press("part-crossings")
	b.wantText("crossings-note", want)
	b.press("part-chalk")
	b.wantText("chalk-note", want)
	b.wantText("chalk-check", "")
	if len(b.rows("chalk-marks")) != 0 {
		t.Error("refused lines are to be chalked")
	}
	b.press("part-lines")
	b.Type("figures", "6 in")
	b.setLines()
	b.wantText("lines-note", "8 lines, 15 crossings. Choose a mark for plumb or level.")
}

func TestHowLinesAreDrawn(t *testing.T) {
	b := atWork(t, 2)
	b.press("tray-line", "part-lines", "use-thirds", "use-golden")
	b.setLines()
	// The golden section was drawn last and is what is changed.
	of := func(use int) render.Stroke { return b.strokesNow()[4*use] }
	first := of(0)
	if first.Colour != (colour.SRGB{R: 255, G: 255, B: 255}) || !near(first.Width, 3, 1e-9) || !near(first.Strength, 0.8, 1e-9) {
		t.Errorf("at first a line is drawn as %+v, want white, 1.5 CSS pixels wide, 80 %%", first)
	}
	b.press("chalk-red", "lines-thicker", "lines-thicker", "lines-thicker", "lines-thicker", "lines-stronger", "lines-stronger")
	if s := of(1); s.Colour != (colour.SRGB{R: 226, G: 38, B: 24}) || !near(s.Width, 12, 1e-9) || !near(s.Strength, 1, 1e-9) {
		t.Errorf("red, as thick and strong as can be, a line is drawn as %+v", s)
	}
	if f := b.Face(); !f.Disabled["key-lines-thicker"] || !f.Disabled["key-lines-stronger"] || f.Disabled["key-lines-thinner"] || !f.Pressed["key-chalk-red"] {
		t.Error("the keys do not show how the line is drawn")
	}
	if of(0) != first {
		t.Error("another construction changed with it")
	}
	b.press("use-row-0", "chalk-black", "lines-thinner", "lines-thinner")
	for range 9 {
		b.press("lines-fainter")
	}
	if s := of(0); s.Colour != (colour.SRGB{}) || !near(s.Width, 2, 1e-9) || !near(s.Strength, 0.1, 1e-9) {
		t.Errorf("black, as thin and faint as can be, a line is drawn as %+v", s)
	}
	if f := b.Face(); !f.Disabled["key-lines-thinner"] || !f.Disabled["key-lines-fainter"] || !f.Rows["lines-rows"][0].Pressed || f.Rows["lines-rows"][0].Swatches != "0,0,0" {
		t.Error("the list does not show what is changed, or in what colour it is drawn")
	}
	if len(b.lineAsks) != 2 {
		t.Errorf("colours and weights set out the lines %d times", len(b.lineAsks))
	}
	b.press("undo")
	if s := of(0); s != first {
		t.Errorf("a row of changes undone leaves %+v, want %+v", s, first)
	}
}

func TestSquaresAreNamedAlongTheEdges(t *testing.T) {
	b := lining(t, "use-squares")
	b.Type("figures", "12 in")
	b.setLines()
	names := func() (texts []string) {
		for _, s := range b.Face().Spots {
			if s.Edge {
				x, y := 450+(450-s.X)*-1, s.Y
				texts = append(texts, fmt.Sprintf("%s %.0f %.0f", s.Text, x, y))
			}
		}
		return texts
	}
	// Three squares of 400 pixels across and two down, counted from the top left: their
	// middles are 200, 600 and 1000 of 1200 across, 200 and 600 of 800 down; a pixel is
	// 872/1200 CSS pixels, and the picture begins at 14, 59.3.
	want := "[A 159 59 B 450 59 C 741 59 1 14 205 2 14 495]"
	if got := fmt.Sprint(names()); got != want {
		t.Errorf("squares are named %s, want %s", got, want)
	}
	b.press("lines-show")
	if len(names()) != 0 {
		t.Error("squares that are not shown are named")
	}
}

// The names of small squares stand apart on the screen, and some of them stand there.
func TestNamesOfSmallSquaresStandApart(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-line", "part-lines", "use-squares")
	b.Type("figures", "1 in")
	b.setLines()
	var names []Spot
	for _, s := range b.Face().Spots {
		if !s.Edge {
			continue
		}
		for _, other := range names {
			if wide := 5 + 4.5*float64(len(s.Text)+len(other.Text)); math.Abs(s.X-other.X) < wide && math.Abs(s.Y-other.Y) < 22 {
				t.Errorf("%s at %v, %v lies over %s at %v, %v", s.Text, s.X, s.Y, other.Text, other.X, other.Y)
			}
		}
		names = append(names, s)
	}
	if len(names) < 40 || len(names) >= 120 {
		t.Errorf("of 120 names %d are shown", len(names))
	}
}
