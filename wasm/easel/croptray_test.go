package easel

import (
	"reflect"
	"strings"
	"testing"

	"maulstick/render/place"
	"maulstick/render/study"
)

func TestTheCanvasIsChangedInsteadOfTheCrop(t *testing.T) {
	b := cropping(t, "hold-free")
	b.dragWhole(1200, 800, 1000, 800)
	b.wantCrop("free", 0, 0, 1000, 800)
	// 5 to 4 on 36 x 24 in: 36 wide is 28.8 high, to the nearest sixteenth 28 13/16; 24
	// high is 30 wide.
	b.wantText("key-canvas-wide", "Canvas 36 x 28 13/16 in")
	b.wantText("key-canvas-high", "Canvas 30 x 24 in")
	b.press("crop-hand")
	// 1000 x 800 on 36 x 24 in is 0.80 to 0.67: 36 x 0.8 = 28.8 in, 4.8 too long. A pixel is
	// 36/1000 = 0.036 in across.
	b.wantText("crop-note", "The crop is 1000 x 800 pixels, 1 pixel is 0.036 in of canvas. Its proportion is not the canvas's, so across and down are scaled apart: hold it to the canvas, or change that.")
	b.wantText("mismatch", "The crop is 4 13/16 in long at the far edge; hold it to the canvas, or change the canvas.")
	b.Type("canvas", "24 x 36 in")
	b.wantText("mismatch", "The crop is 4 13/16 in long at the far edge once one of them is turned; hold it to the canvas, or change the canvas.")
	b.press("undo")
	b.press("canvas-high")
	if c := b.doc().Canvas; !near(float64(c.Width), 30*25.4, 1e-9) || !near(float64(c.Height), 24*25.4, 1e-9) || c.Typed != "30 x 24 in" {
		t.Errorf("the canvas is %+v", c)
	}
	b.wantCrop("kept", 0, 0, 1000, 800)
	b.wantText("mismatch", "They line up.")
	b.press("undo", "canvas-wide")
	if c := b.doc().Canvas; !near(float64(c.Width), 36*25.4, 1e-9) || !near(float64(c.Height), 28.8125*25.4, 1e-9) || c.Typed != "36 x 28 13/16 in" {
		t.Errorf("the canvas is %+v", c)
	}
	b.wantText("mismatch", "They line up: 1/64 in short at the far edge.") // by 0.0125 in
	// Within a margin of 1 1/2 in 33 x 21 are painted: 21 high is 26 1/4 wide at 5 to 4, and
	// 29 1/4 with the margin.
	b.press("undo")
	b.Type("margin", "1 1/2 in")
	b.wantText("key-canvas-high", "Canvas 29 1/4 x 24 in")
	b.press("canvas-high")
	b.wantCrop("within a margin", 0, 0, 1000, 800)
	b.wantText("mismatch", "They line up.")
	// While the painter has not cropped, the whole photograph is meant: 3 to 2.
	b = atWork(t, 1)
	b.press("tray-line")
	b.Type("canvas", "36 x 20 in")
	b.wantText("key-canvas-wide", "Canvas 36 x 24 in")
	b.wantText("key-canvas-high", "Canvas 30 x 20 in")
	b.press("canvas-wide")
	b.wantCrop("of the whole photograph", 0, 0, 1200, 800)
	b = newBench(t, 1)
	b.Show(greysDoc(), greys(), true)
	b.press("tray-line", "canvas-wide", "canvas-high", "turnover-in")
	if f := b.Face(); !f.Disabled["key-canvas-wide"] || !f.Disabled["key-canvas-high"] || !reflect.DeepEqual(b.doc(), greysDoc().WithTray("line")) {
		t.Error("without a canvas there is one to change")
	}
}

func TestACanvasThatCannotBeIsNotTaken(t *testing.T) {
	b := cropping(t, "hold-free")
	b.Type("canvas", "30 x 1 mm")   // of which 1200 x 40 pixels are painted
	b.dragWhole(1200, 400, 16, 400) // 16 x 40
	before := b.doc()
	b.press("canvas-high") // 0.4 of a millimetre, to the millimetre none
	if text := b.Face().Text["message-text"]; !reflect.DeepEqual(b.doc(), before) || !strings.HasPrefix(text, "Changing the canvas to 0 x 1 mm: no canvas is so small or so large") {
		t.Errorf("a canvas of no width says %q", text)
	}
}

func TestACropIsHeldAgainAndCentredAgain(t *testing.T) {
	b := freeCrop(t) // 800 x 500 from 200, 150
	// Held to 3 to 2 it is as large as it was, about the same middle: of 400,000 square
	// pixels the width is sqrt(400000 x 3/2) = 774.597, the height 516.398.
	b.press("hold-canvas")
	b.wantCrop("held", 600-774.5966692/2, 400-516.3977795/2, 774.5966692, 516.3977795)
	if f := b.Face(); !f.Pressed["key-hold-canvas"] || f.Pressed["key-hold-free"] || f.Disabled["key-crop-centred"] {
		t.Error("the keys do not show what the crop is held to")
	}
	b.Type("canvas", "24 x 24 in") // the crop follows the canvas: sqrt(400000) a side
	b.wantCrop("on another canvas", 600-632.4555320/2, 400-632.4555320/2, 632.4555320, 632.4555320)
	b.press("crop-centred")
	b.wantCrop("the largest centred one", 200, 0, 800, 800)
	b.press("undo")
	b.wantCrop("undone", 600-632.4555320/2, 400-632.4555320/2, 632.4555320, 632.4555320)
}

// Undo and redo bring back what the crop was held to, too: a free crop is never under a
// key that says that it is held.
func TestUndoBringsBackWhatTheCropIsHeldTo(t *testing.T) {
	b := freeCrop(t)
	for _, c := range []struct {
		key, hold string
		width     float64
	}{{"hold-canvas", study.HoldCanvas, 774.5966692}, {"undo", study.HoldFree, 800}, {"redo", study.HoldCanvas, 774.5966692}} {
		b.press(c.key)
		if d := b.doc(); d.Hold != c.hold || !near(d.Crop().Width, c.width, 1e-6) || b.Face().Pressed["key-hold-canvas"] != (c.hold == study.HoldCanvas) {
			t.Errorf("after %s the crop is %v wide, held to %q", c.key, d.Crop().Width, d.Hold)
		}
	}
}

func TestAStretcherIsTaken(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-line", "part-stretcher")
	// The stock sizes of 2 to 3, the nearest in size to 36 in first, as a factor: 91.44 cm
	// are 1.016 times 90, 1.129 times 81, 1.2 times 76.2, and 120 are 1.312 times 91.44.
	rows := b.Face().Rows["stretchers-rows"]
	want := []Row{
		{Key: "stretcher-0", Text: "36 x 24 in: 0.67, lines up", Pressed: true},
		{Key: "stretcher-1", Text: "90 x 60 cm: 0.67, lines up", Note: "1.4 cm narrower, 1.0 cm lower"},
		{Key: "stretcher-2", Text: "25 marine, 81 x 54 cm: 0.67, lines up", Note: "10.4 cm narrower, 7.0 cm lower"},
		{Key: "stretcher-3", Text: "30 x 20 in: 0.67, lines up", Note: "6 in narrower, 4 in lower"},
		{Key: "stretcher-4", Text: "120 x 80 cm: 0.67, lines up", Note: "28.6 cm wider, 19.0 cm higher"},
	}
	if len(rows) != 8 || !reflect.DeepEqual(rows[:5], want) {
		t.Errorf("offered are %+v, want %+v first", rows, want)
	}
	b.press("stock-french")
	if row := b.Face().Rows["stretchers-rows"][0]; !strings.HasPrefix(row.Text, "25 marine, 81 x 54 cm") || !b.Face().Pressed["key-stock-french"] || b.Face().Pressed["key-stock-all"] {
		t.Errorf("of the French sizes %q is offered first", row.Text)
	}
	b.press("stock-inch", "stretcher-1")
	if c := b.doc().Canvas; !near(float64(c.Width), 30*25.4, 1e-9) || !near(float64(c.Height), 20*25.4, 1e-9) || c.Typed != "30 x 20 in" {
		t.Errorf("the canvas is %+v", c)
	}
	b.wantValue("canvas", "30 x 20 in")
	b.press("undo", "stretcher-99", "stretcher--1")
	if c := b.doc().Canvas; c.Typed != "36 x 24 in" {
		t.Errorf("undone the canvas is %+v", c)
	}
	b.press("part-canvas", "hold-free", "crop-hand")
	b.dragWhole(1200, 800, 1200, 600) // 2 to 1
	b.press("part-stretcher", "stock-inch")
	if row := b.rows("stretchers-rows")[0]; row != "48 x 24 in: 0.50, lines up" && row != "36 x 18 in: 0.50, lines up" {
		t.Errorf("for a crop of 2 to 1 %q is offered first", row)
	}
}

// reads is what a place of the photograph reads as once it is marked.
func (b *bench) reads(x, y float64) string {
	b.t.Helper()
	b.do(b.doc().WithMark(place.PhotoPoint{X: x, Y: y}, 1), "")
	if b.doc().Tray != study.TrayPlace {
		b.press("tray-place")
	}
	return b.figures()
}

func (b *bench) wantReads(what string, x, y float64, want string) {
	b.t.Helper()
	if got := b.reads(x, y); got != want {
		b.t.Errorf("%s: %v, %v reads %q, want %q", what, x, y, got, want)
	}
}

// Distances are from the edges of the canvas's face, whatever of it is painted.
func TestTurnoverAndMarginShiftWhatIsPainted(t *testing.T) {
	b := atWork(t, 1)
	b.Type("margin", "1 1/2")
	b.wantValue("margin", "1 1/2 in")
	// 33 x 21 in are painted, 11 to 7: of 1200 x 800 pixels 1200 x 763.64, from 18.18 down.
	b.wantCrop("within a margin", 0, (800-1200*7.0/11)/2, 1200, 1200*7.0/11)
	b.wantReads("within a margin", 600, 400, "18 in from the left, 12 in from the top")
	b.wantReads("within a margin", 0, 18.19, "1 1⁄2 in from the left, 1 1⁄2 in from the top")
	// A quarter of 33 in is 8 1/4, and 1 1/2 more from the edge.
	b.wantReads("within a margin", 300, 400, "9 3⁄4 in from the left, 12 in from the top")
	b.press("from-x")
	b.wantReads("from the right", 300, 400, "26 1⁄4 in from the right, 12 in from the top")
	b.press("from-x", "margin-in") // painted on under the margin
	b.wantCrop("under the margin", 0, 0, 1200, 800)
	b.wantReads("under the margin", 300, 400, "9 in from the left, 12 in from the top")

	b.Type("turnover", "2 in")
	b.wantReads("with a turnover that is not painted", 300, 400, "9 in from the left, 12 in from the top")
	b.press("turnover-in")
	// 40 x 28 in are painted, 2 of them round every edge: 10 to 7, 1142.86 x 800 pixels from
	// 28.57 on.
	b.wantCrop("round the edges", (1200-8000.0/7)/2, 0, 8000.0/7, 800)
	b.wantReads("round the edges", 28.58, 0, "-2 in from the left, -2 in from the top")
	b.wantReads("round the edges", 600, 400, "18 in from the left, 12 in from the top")
	b.Type("turnover", "")
	b.Type("margin", " ")
	if d := b.doc(); d.Canvas.Border.Turnover != 0 || d.Canvas.Border.Margin != (place.Sides{}) || b.Face().Value["margin"] != "" {
		t.Errorf("nothing typed leaves %+v", d.Canvas.Border)
	}
	b.press("undo")
	b.wantValue("margin", "1 1/2 in")
}

func TestBordersThatCannotBeAreRefusedBesideTheField(t *testing.T) {
	for _, field := range []string{"turnover", "margin"} {
		for _, typed := range []string{"x", "-1 in", "101 m", "1 2 3"} {
			b := atWork(t, 1)
			before := b.doc()
			b.Type(field, typed)
			f := b.Face()
			if note := f.Text["border-note"]; !reflect.DeepEqual(b.doc(), before) || f.Hidden["border-note"] || f.Value[field] != typed || f.Says != note || note == "" {
				t.Errorf("%s of %q, in the field %q, is refused with %q", field, typed, f.Value[field], note)
			}
			if b.Type(field, "1 in"); !b.Face().Hidden["border-note"] || b.Face().Value[field] != "1 in" {
				t.Errorf("after %q a good %s leaves %q", typed, field, b.Face().Text["border-note"])
			}
		}
	}
	b := atWork(t, 1)
	const refused = "Laying out a canvas of 36 in x 24 in: a turnover or margin is under 0, or half as wide as the canvas or more. Give turnover and margins that are narrower than half the canvas, as in 1 1/2 in."
	for _, field := range []string{"turnover", "margin"} {
		b.Type(field, "12 in") // of 24
		b.wantText("border-note", refused)
		b.Type(field, "")
	}
	// A margin of 10 in is taken, and is too wide for another canvas: it goes.
	b.Type("margin", "10 in")
	b.Type("canvas", "12 x 16 in")
	if d := b.doc(); d.Canvas.Border != (place.Border{}) || d.Check() != nil {
		t.Errorf("on a small canvas the border is %+v", d.Canvas.Border)
	}
	// Painted under, too, a margin is narrower than half the canvas.
	b.press("margin-in")
	before := b.doc()
	if b.Type("margin", "9 in"); !reflect.DeepEqual(b.doc(), before) || b.Face().Hidden["border-note"] {
		t.Errorf("a margin of 9 in on 12 x 16 in is taken")
	}
}

// The diagonals of 33 x 70 in are hypot(33, 70) = 77.388 in, 77 3/8 to the sixteenth. A
// quarter of an inch between them is, by the law of cosines, (77.5 + 77.25) x 0.25 / (4 x
// 33) = 0.2931 in that the top edge leans: 19/64 to the nearest 1/64.
func TestHowSquareTheCanvasIs(t *testing.T) {
	b := atWork(t, 1)
	b.Type("canvas", "33 x 70 in")
	b.press("tray-line")
	b.wantText("square-note", "Square corners make both 77 3/8 in, 77.39 in. Type them as measured, top left first.")
	for typed, want := range map[string]string{
		"77 1/2, 77 1/4":     "Out by 1/4 in: ease the top left and the bottom right corner towards each other; the top edge leans by 19/64 in.",
		"77.25; 77.5":        "Out by 1/4 in: ease the bottom left and the top right corner towards each other; the top edge leans by 19/64 in.",
		"77 3/8, 77 3/8":     "The diagonals are equal: the canvas is square.",
		"77 7/16, 77 3/8 in": "Near enough square, out by 1/16 in: ease the top left and the bottom right corner towards each other; the top edge leans by 5/64 in.",
		// 77 3/4 is 0.362 in over hypot(33, 70): 23/64.
		"77 3/4, 77 3/4": "The diagonals are equal: the canvas is square. Together they are 23/64 in longer than the sides allow: measure those, too.",
	} {
		b.Type("diagonals", typed)
		b.wantText("square-note", want)
		b.wantValue("diagonals", typed)
	}
	for _, typed := range []string{"77", "77, x", "70, 77", "77 1/2,", "77, 78, 79"} {
		b.Type("diagonals", typed)
		if note := b.Face().Text["square-note"]; strings.Contains(note, "quare") || note == "" || !strings.HasSuffix(note, ".") {
			t.Errorf("the diagonals %q are answered with %q", typed, note)
		}
	}
	before := b.doc()
	b.Type("diagonals", "")
	if b.wantText("square-note", "Square corners make both 77 3/8 in, 77.39 in. Type them as measured, top left first."); !reflect.DeepEqual(b.doc(), before) {
		t.Error("measuring changed the study")
	}
}
