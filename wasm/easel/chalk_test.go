package easel

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"maulstick/render/place"
)

// chalking has thirds on a canvas of 33 x 70 in and their chalk list open.
func chalking(t *testing.T) *bench {
	b := atWork(t, 1)
	b.Type("canvas", "33 x 70 in")
	b.press("tray-line", "part-lines", "use-thirds", "part-chalk")
	b.setLines()
	return b
}

// ticks are the rows of a list with their figures and notes.
func (b *bench) ticks(list string) (rows []string) {
	for _, r := range b.Face().Rows[list] {
		rows = append(rows, fmt.Sprintf("%s|%s|%s", r.Text, r.Figure, r.Note))
	}
	return rows
}

func (b *bench) wantTicks(list string, want ...string) {
	b.t.Helper()
	if got := b.ticks(list); !slices.Equal(got, want) {
		b.t.Errorf("%s lists %q, want %q", list, got, want)
	}
}

// Thirds of 33 in are 11 and 22, of 70 in 23 1/3 and 46 2/3. To the nearest sixteenth
// 23 1/3 is 23 5/16, 1/48 or 0.0208 in short, and 46 2/3 is 46 11/16, as much long.
func TestTheChalkList(t *testing.T) {
	b := chalking(t)
	across := []string{"Top 1|11 in|from the left", "Top 2|22 in|from the left", "Bottom 1|11 in|from the left", "Bottom 2|22 in|from the left"}
	down := []string{"Left 1|23 5/16 in|from the top, 0.021 in short", "Left 2|46 11/16 in|from the top, 0.021 in long", "Right 1|23 5/16 in|from the top, 0.021 in short", "Right 2|46 11/16 in|from the top, 0.021 in long"}
	b.wantTicks("chalk-marks", slices.Concat(across, down)...)
	b.wantText("chalk-note", "Measure along the top and bottom edges from the left, along the left and right ones from the top, to the nearest 1/16 in. Strike off what is done.")
	// Level lines first, from the top; then the plumb ones.
	b.wantTicks("chalk-joins", "1.|Left 1 – right 1|1/3 down", "2.|Left 2 – right 2|2/3 down", "3.|Top 1 – bottom 1|1/3 across", "4.|Top 2 – bottom 2|2/3 across")
	// From crossing to crossing as chalked: 11 in across and 46 11/16 - 23 5/16 = 23 3/8
	// down, hypot 25.833 in, 25 13/16 to the nearest sixteenth. The canvas: hypot(33, 70) =
	// 77.388, 77 3/8.
	b.wantText("chalk-check", "At the end, from the crossing of top 1 – bottom 1 and left 1 – right 1 to the crossing of top 2 – bottom 2 and left 2 – right 2: 25 13/16 in. Both diagonals of the canvas: 77 3/8 in.")

	b.press("chalk-from-bottom-right", "round-8")
	b.setLines()
	// From the bottom right, to the nearest eighth: 23 3/8 is 1/24 long, 46 5/8 as much short.
	b.wantTicks("chalk-marks", "Bottom 1|11 in|from the right", "Bottom 2|22 in|from the right", "Top 1|11 in|from the right", "Top 2|22 in|from the right",
		"Right 1|23 3/8 in|from the bottom, 0.042 in long", "Right 2|46 5/8 in|from the bottom, 0.042 in short", "Left 1|23 3/8 in|from the bottom, 0.042 in long", "Left 2|46 5/8 in|from the bottom, 0.042 in short")
	b.wantText("chalk-note", "Measure along the top and bottom edges from the right, along the left and right ones from the bottom, to the nearest 1/8 in. Strike off what is done.")
	if f := b.Face(); !f.Pressed["key-round-8"] || f.Pressed["key-round-16"] || !f.Pressed["key-chalk-from-bottom-right"] || f.Pressed["key-chalk-from-top-left"] {
		t.Error("the keys do not show how the list is measured")
	}

	b.press("chalk-from-top-left", "round-mm")
	b.setLines()
	// 11 in are 279.4 mm, 22 in 558.8; 23 1/3 in are 592.67 mm, 46 2/3 in 1185.33.
	b.wantTicks("chalk-marks", "Top 1|279 mm|from the left, 0.4 mm short", "Top 2|559 mm|from the left, 0.2 mm long", "Bottom 1|279 mm|from the left, 0.4 mm short", "Bottom 2|559 mm|from the left, 0.2 mm long",
		"Left 1|593 mm|from the top, 0.3 mm long", "Left 2|1185 mm|from the top, 0.3 mm short", "Right 1|593 mm|from the top, 0.3 mm long", "Right 2|1185 mm|from the top, 0.3 mm short")
	if asked := len(b.lineAsks); asked != 5 { // for each key that changed the list
		t.Errorf("the lines were set out %d times", asked)
	}
}

// Where the canvas has a margin, the list measures what is painted and says where that
// begins.
func TestTheChalkListOfACanvasWithAMargin(t *testing.T) {
	b := chalking(t)
	b.Type("margin", "1 1/2 in")
	b.setLines()
	// 30 x 67 in are painted: thirds of 10 in.
	if rows := b.ticks("chalk-marks"); rows[0] != "Top 1|10 in|from the left" {
		t.Errorf("the first mark is %q", rows[0])
	}
	b.wantText("chalk-note", "Measure along the top and bottom edges from the left, along the left and right ones from the top, to the nearest 1/16 in. Strike off what is done. The list measures what is painted, which begins 1 1/2 in inside the left edge and 1 1/2 in inside the top edge of the canvas.")
	b.press("margin-in")
	b.Type("turnover", "3/4 in")
	b.press("turnover-in")
	b.setLines()
	if rows := b.ticks("chalk-marks"); rows[0] != "Top 1|11 1/2 in|from the left" { // a third of 34 1/2
		t.Errorf("round the edges the first mark is %q", rows[0])
	}
	b.wantText("chalk-note", "Measure along the top and bottom edges from the left, along the left and right ones from the top, to the nearest 1/16 in. Strike off what is done. The list measures what is painted, which begins 3/4 in beyond the left edge and 3/4 in beyond the top edge of the canvas.")
}

// struck are the rows of the list that are struck off.
func (b *bench) struck() (rows []string) {
	for _, list := range []string{"chalk-marks", "chalk-joins"} {
		for _, r := range b.Face().Rows[list] {
			if r.Pressed {
				rows = append(rows, r.Text)
			}
		}
	}
	return rows
}

func TestRowsAreStruckOff(t *testing.T) {
	b := chalking(t)
	f := b.Face()
	b.press(f.Rows["chalk-marks"][1].Key, f.Rows["chalk-marks"][4].Key, f.Rows["chalk-joins"][3].Key)
	want := []string{"Top 2", "Left 1", "4."}
	if got := b.struck(); !slices.Equal(got, want) {
		t.Fatalf("struck off are %q, want %q", got, want)
	}
	again := b.reopened(t, greys())
	again.setLines()
	if got := again.struck(); !slices.Equal(got, want) || !reflect.DeepEqual(again.doc(), b.doc()) {
		t.Errorf("reopened struck off are %q, want %q", got, want)
	}
	b.press(f.Rows["chalk-marks"][4].Key)
	b.press("undo", "undo")
	if got := b.struck(); !slices.Equal(got, want[:2]) {
		t.Errorf("struck off again and undone twice, they are %q", got)
	}
	// What is struck off is a place of the canvas: it stays struck among more lines, and by
	// another name.
	b.press("part-lines", "use-divide", "part-chalk")
	b.setLines()
	if got := b.struck(); !slices.Equal(got, []string{"Top 4", "Left 2"}) {
		t.Errorf("among quarters, too, struck off are %q", got)
	}
	b.press("chalk-afresh")
	if got := b.struck(); len(got) != 0 || !b.Face().Disabled["key-chalk-afresh"] {
		t.Errorf("begun afresh struck off are %q", got)
	}
	b.press("undo")
	if got := b.struck(); len(got) != 2 {
		t.Errorf("undone struck off are %q", got)
	}
	before := b.doc()
	b.press("strike-top:1", "strike-", "strike-\xff", "strike-left")
	if !reflect.DeepEqual(b.doc(), before) {
		t.Errorf("rows that are not there were struck off: %q", b.doc().Lines.Struck)
	}
}

// What is struck off is a mark on the canvas, not a figure: it stays struck whatever
// corner it is measured from and however it is rounded.
func TestStruckRowsStayTheSameMarks(t *testing.T) {
	b := chalking(t)
	rows := b.Face().Rows
	b.press(rows["chalk-marks"][1].Key, rows["chalk-marks"][4].Key, rows["chalk-joins"][3].Key)
	join := rows["chalk-joins"][3].Note
	b.press("chalk-from-bottom-right", "round-32")
	b.setLines()
	if got := b.struck(); len(got) != 3 || got[0] != "Top 1" || got[1] != "Left 2" {
		t.Errorf("from the bottom right struck off are %q, want Top 1, Left 2 and a line", got)
	}
	for _, r := range b.Face().Rows["chalk-joins"] {
		if r.Pressed != (r.Note == join) {
			t.Errorf("the line %q is struck off: %v", r.Note, r.Pressed)
		}
	}
}

// A diagonal joins corners, which need no mark.
func TestJoinsOfCorners(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-line", "part-lines", "use-diagonals")
	b.Type("figures", "1")
	b.setLines()
	b.press("part-chalk")
	joins := b.Face().Rows["chalk-joins"]
	if len(joins) != 4 || !slices.ContainsFunc(joins, func(r Row) bool { return r.Figure == "Top left corner – bottom right corner" }) {
		t.Fatalf("the joins are %+v", joins)
	}
	b.press(joins[3].Key)
	if got := b.struck(); !slices.Equal(got, []string{"4."}) {
		t.Errorf("struck off are %q", got)
	}
}

// A line through a mark is told in the canvas's unit, though the mark lies where no plan
// can spell it in inches.
func TestALineThroughAMarkIsToldInInches(t *testing.T) {
	b := atWork(t, 1)
	b.do(b.doc().WithMark(place.PhotoPoint{X: 400.37, Y: 300}, 1), "")
	b.press("tray-line", "part-lines", "use-plumb", "part-chalk")
	b.setLines()
	b.wantTicks("chalk-joins", "1.|Top 1 – bottom 1|plumb line 12 in from the left") // 12.011
}

// The diagonals to measure first are those of the stretched canvas, whatever is painted of
// it or round it: hypot(33, 70) = 77.388 in, 77 3/8 to the sixteenth. Six-inch squares of
// the 36 x 73 in that are painted fall on a third at 12, 24 and on the half at 18, once each.
func TestAChalkListWithinABorder(t *testing.T) {
	b := atWork(t, 1)
	b.Type("canvas", "33 x 70 in")
	b.press("tray-line", "part-stretcher", "turnover-in")
	b.Type("turnover", "1 1/2 in")
	b.press("part-lines", "use-diagonals", "use-thirds", "use-squares")
	b.setLines()
	b.press("part-chalk")
	f := b.Face()
	if text := f.Text["chalk-check"]; !strings.HasSuffix(text, "Both diagonals of the canvas: 77 3/8 in.") {
		t.Errorf("the check says %q", text)
	}
	var top []string
	for _, r := range f.Rows["chalk-marks"] {
		if strings.HasPrefix(r.Text, "Top") {
			top = append(top, r.Figure)
		}
	}
	if want := []string{"6 in", "9 in", "12 in", "18 in", "24 in", "27 in", "30 in"}; !slices.Equal(top, want) {
		t.Errorf("along the top edge are %q, want %q", top, want)
	}
	b.press("part-canvas")
	b.wantText("canvas-ratio-of", "painted")
	b.wantText("canvas-note", "This canvas stands and the photograph lies. If that is not meant, turn the canvas. With its border 36 x 73 in is painted.")
}
