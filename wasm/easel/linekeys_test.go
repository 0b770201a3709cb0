package easel

import (
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"maulstick/render/line"
	"maulstick/render/place"
	"maulstick/render/study"
)

func TestEachConstructionIsDrawnAndTakenAway(t *testing.T) {
	for _, k := range constructions {
		b := atWork(t, 1)
		b.markAt(299.5, 199.5)
		b.press("tray-line", "part-lines", "use-"+string(k))
		before := b.doc()
		a := b.setLines()
		if len(a.Lines) == 0 || len(b.strokesNow()) != len(a.Lines) || !b.Face().Pressed["key-use-"+string(k)] {
			t.Errorf("%s draws %d lines, %d are seen", k, len(a.Lines), len(b.strokesNow()))
		}
		b.press("use-" + string(k))
		if len(b.doc().Lines.Uses) != 0 || len(b.strokesNow()) != 0 || b.Face().Pressed["key-use-"+string(k)] {
			t.Errorf("%s pressed again is still drawn", k)
		}
		b.press("undo")
		if !reflect.DeepEqual(b.doc().Lines, before.Lines) {
			t.Errorf("Undo brings %s back as %+v", k, b.doc().Lines)
		}
		b.press("lines-away")
		if len(b.doc().Lines.Uses) != 0 || !b.Face().Disabled["key-lines-away"] {
			t.Errorf("%s was not taken away", k)
		}
	}
}

func TestLinesThroughAMarkWantOne(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-line", "part-lines")
	for _, k := range []string{"plumb", "level", "angled"} {
		b.press("use-" + k)
		if says := b.Face().Says; len(b.doc().Lines.Uses) != 0 || says != "Choose the mark that the line is to go through first." || !b.Face().Disabled["key-use-"+k] {
			t.Errorf("without a mark %s says %q", k, says)
		}
	}
}

// 1200 x 800 pixels are 36 x 24 in: 100 pixels are 3 in.
func TestLinesThroughAMarkFollowIt(t *testing.T) {
	b := atWork(t, 1)
	b.markAt(299.5, 199.5)
	b.press("tray-line", "part-lines", "use-plumb", "use-level", "use-angled")
	if plan := b.lineAsks[len(b.lineAsks)-1].Plan; plan != "plumb:9in,level:6in,angled:9in:6in:45" {
		t.Errorf("the plan is %q", plan)
	}
	b.setLines()
	b.wantStrokes("through the mark", [4]float64{300, 0, 300, 800}, [4]float64{0, 200, 1200, 200}, [4]float64{0, 500, 500, 0})
	b.wantRows("lines-rows", "Plumb line through Mark 1: one line", "Level line through Mark 1: one line", "Line at 45° through Mark 1: one line")
	b.press("tray-place")
	x, y := b.screenOf(upperLeft)
	x1, y1 := b.screenOf(place.PhotoPoint{X: 400, Y: 300})
	b.drag(1, x, y, x1, y1)
	b.setLines()
	b.wantStrokes("with the mark moved", [4]float64{400, 0, 400, 800}, [4]float64{0, 300, 1200, 300}, [4]float64{0, 700, 700, 0})
	b.press("tray-place")
	b.markAt(599.5, 399.5)
	b.press("tray-line", "use-plumb")
	b.setLines()
	if uses := b.doc().Lines.Uses; len(uses) != 4 || uses[3].Mark != 2 || !b.Face().Pressed["key-use-plumb"] {
		t.Errorf("a second mark's plumb line is %+v", uses)
	}
	b.press("tray-place", "mark-1", "mark-delete")
	b.press("tray-line")
	b.setLines()
	b.wantStrokes("without the mark", [4]float64{600, 0, 600, 800})
	b.wantRows("lines-rows", "Plumb line through Mark 2: one line")
	b.Type("canvas", "8 x 24 in") // the crop is 266 2/3 pixels wide about the middle
	b.press("part-canvas", "crop-hand")
	b.dragWhole(600, 400, 300, 400)
	b.press("crop-hand", "part-lines")
	b.setLines()
	b.wantRows("lines-rows", "Plumb line through Mark 2: not inside the canvas")
	b.wantStrokes("through a mark off the canvas")
}

// planSpelling is what only who works at the command types.
var planSpelling = regexp.MustCompile(`[a-z]:[0-9]|(^|\s)-[a-z]|rabatment,|constructions with commas`)

func TestFiguresAreTakenAndRefused(t *testing.T) {
	for _, c := range []struct {
		use, first string
		plans      map[string]string // by what is typed
		refused    []string
		wanted     string
	}{
		{"diagonals", "2", map[string]string{"1": "diagonals:1", " 4 ": "diagonals:4"}, []string{"0", "5", "1.5", "x", "", "2,thirds"}, "Type how deep the diagonals go, 1 to 4."},
		{"divide", "4 x 4", map[string]string{"5 x 3": "divide:5x3", "1x8": "divide:1x8"}, []string{"0 x 3", "65 x 2", "1 x 1", "5", "x", "5 x 3 x 2"}, "Type columns x rows, 1 to 64 of each and not one of both, as in 4 x 3."},
		{"angled", "45", map[string]string{"35": "angled:9in:6in:35", "-20°": "angled:9in:6in:160", "90": "angled:9in:6in:90", "-90": "angled:9in:6in:90"}, []string{"x", "NaN", ""}, "Type degrees from level, rising to the right, as in 35 or -20."},
		{"squares", "6 in", map[string]string{"5": "squares:5in:top-left", "1 1/2 in": "squares:1 1/2in:top-left", "10 cm": "squares:10cm:top-left"}, []string{"0", "-1 in", "x", "0.1 mm", "101 m"}, ""},
	} {
		b := atWork(t, 1)
		b.markAt(299.5, 199.5)
		b.press("tray-line", "part-lines", "use-"+c.use)
		b.wantValue("figures", c.first)
		for typed, plan := range c.plans {
			b.Type("figures", typed)
			if got := b.lineAsks[len(b.lineAsks)-1].Plan; got != plan || !b.Face().Hidden["figures-note"] {
				t.Errorf("%s of %q draws %q, want %q", c.use, typed, got, plan)
			}
		}
		before := b.doc()
		for _, typed := range c.refused {
			b.Type("figures", typed)
			f := b.Face()
			if note := f.Text["figures-note"]; !reflect.DeepEqual(b.doc(), before) || f.Hidden["figures-note"] || f.Value["figures"] != typed || f.Says != note || c.wanted != "" && note != c.wanted || note == "" || planSpelling.MatchString(note) {
				t.Errorf("%s of %q in the field %q is refused with %q", c.use, typed, f.Value["figures"], note)
			}
		}
		b.press("undo")
		if b.doc().Lines.Uses[0] == before.Lines.Uses[0] || !b.Face().Hidden["figures-note"] {
			t.Errorf("Undo left %s with %q, and the note", c.use, b.Face().Value["figures"])
		}
	}
	b := atWork(t, 1)
	b.markAt(299.5, 199.5)
	b.press("tray-line", "part-lines", "use-angled")
	b.Type("figures", "-20")
	b.wantValue("figures", "-20")
	// 20 degrees down to the right through 300, 200: tan 20 = 0.36397 is 109.19 pixels
	// higher at the left edge, 327.57 lower at the right one.
	b.setLines()
	if s := b.strokesNow()[0]; !near(s.From.Y, 90.81, 0.01) || !near(s.To.Y, 527.57, 0.01) || s.To.X != 1200 {
		t.Errorf("a line at -20 degrees is drawn from %v to %v", s.From, s.To)
	}
	b = lining(t, "use-thirds")
	before := b.doc()
	if b.Type("figures", "3"); !b.Face().Disabled["figures"] || !reflect.DeepEqual(b.doc(), before) {
		t.Error("thirds take figures")
	}
}

func TestSquaresAreCountedFromACorner(t *testing.T) {
	b := atWork(t, 1)
	b.press("unit", "tray-line", "part-lines", "use-squares")
	b.wantValue("figures", "15 cm") // where lengths are in centimetres
	b.Type("figures", "25 cm")
	for _, want := range []string{"top right", "bottom right", "bottom left", "top left"} {
		b.press("lines-corner")
		b.wantText("key-lines-corner", "From "+want)
		b.setLines()
		b.wantRows("lines-rows", "Squares of 25 cm from the "+want+": 5 lines")
		// 36 in are 91.44 cm: three lines 25 cm apart from one end. A pixel is 0.0762 cm.
		first := 25 / 0.0762
		if slices.Contains([]string{"top right", "bottom right"}, want) {
			first = 1200 - first
		}
		if s := b.strokesNow()[0]; !near(s.From.X, first, 1e-6) {
			t.Errorf("counted from the %s the first line is at %v, want %v", want, s.From.X, first)
		}
	}
	b.press("use-thirds")
	if !b.Face().Disabled["key-lines-corner"] {
		t.Error("thirds are counted from a corner")
	}
}

func TestRowsOfLinesThatAreNotThere(t *testing.T) {
	b := lining(t, "use-thirds", "use-golden")
	before := b.doc()
	b.press("use-row-x", "use-row--1", "use-nothing")
	if !reflect.DeepEqual(b.doc(), before) {
		t.Errorf("the study is %+v", b.doc().Lines)
	}
	b.press("use-row-99")
	if b.doc().Lines.Chosen != 1 || b.doc().Check() != nil {
		t.Errorf("construction %d is chosen", b.doc().Lines.Chosen)
	}
}

func TestAPlanHasItsLimit(t *testing.T) {
	b := atWork(t, 1)
	for i := range line.MostUses + 1 {
		b.do(b.doc().WithMark(place.PhotoPoint{X: float64(10 * i), Y: 5}, 0), "")
		b.press("use-plumb")
	}
	if says := b.Face().Says; len(b.doc().Lines.Uses) != line.MostUses || says != "There are as many lines as a plan holds. Take some away first." {
		t.Errorf("with %d constructions it says %q", len(b.doc().Lines.Uses), says)
	}
}

// The focal point and the second one are put on crossings as marks.
func TestPointsArePutOnCrossings(t *testing.T) {
	b := lining(t, "use-thirds")
	b.press("part-crossings", "focal-here")
	if says := b.Face().Says; says != "Choose a crossing of the list first." || !b.Face().Disabled["key-focal-here"] {
		t.Errorf("without a crossing it says %q", says)
	}
	b.press("row-crossing-1", "focal-here", "row-crossing-4", "second-here")
	d := b.doc()
	want := []study.Mark{{ID: 1, Name: "Focal point", X: 400, Y: 800.0 / 3}, {ID: 2, Name: "Second point", X: 800, Y: 1600.0 / 3}}
	for i, m := range want {
		if got := d.Marks[i]; got.Name != m.Name || !near(got.X, m.X, 1e-6) || !near(got.Y, m.Y, 1e-6) {
			t.Errorf("on crossings of thirds the marks are %+v", d.Marks)
		}
	}
	if d.Finding.Focal != 1 || d.Finding.Second != 2 || b.Face().Says != "Second point placed." {
		t.Errorf("the points are marks %d and %d", d.Finding.Focal, d.Finding.Second)
	}
	// From crossing to crossing it is a third of 36 and of 24 in, 12 and 8: hypot 14.42 in.
	if note := b.Face().Text["crossings-note"]; !strings.HasSuffix(note, "From Focal point to Second point it is 14 7/16 in.") {
		t.Errorf("the note says %q", note)
	}
	b.press("row-crossing-2", "focal-here") // moved, not placed again
	if d = b.doc(); len(d.Marks) != 2 || !near(d.Marks[0].X, 800, 1e-6) || d.Finding.Focal != 1 {
		t.Errorf("put elsewhere the focal point is %+v", d.Marks)
	}
	b.press("undo")
	if m := b.doc().Marks[0]; !near(m.X, 400, 1e-6) {
		t.Errorf("undone the focal point is at %v", m.X)
	}
	for len(b.doc().Marks) < study.MostMarks {
		b.do(b.doc().WithMark(place.PhotoPoint{}, 0), "")
	}
	b.do(b.doc().NamedMark(1, "the eye"), "")
	b.press("row-crossing-3", "focal-here")
	if says := b.Face().Says; len(b.doc().Marks) != study.MostMarks || !strings.HasPrefix(says, "This study holds as many marks as it can.") {
		t.Errorf("with no room for a mark it says %q", says)
	}
}

// Squares narrower than any are refused in the words of the tablet, beside the field.
func TestRefusedSquaresAreNoPlan(t *testing.T) {
	b := lining(t, "use-squares")
	b.Type("figures", "0.1 mm")
	b.wantText("figures-note", "Drawing the lines: squares are from 1 mm to 100 m wide. Choose other figures, or take that construction away.")
}
