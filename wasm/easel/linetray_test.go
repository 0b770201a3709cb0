package easel

import (
	"fmt"
	"strings"
	"testing"

	"maulstick/render/place"
)

func TestTheLineTraySaysWhatToDo(t *testing.T) {
	b := newBench(t, 1)
	b.Show(greysDoc(), greys(), true)
	b.Filled()
	b.press("tray-line", "part-lines")
	b.wantText("lines-note", "Choose constructions. Choose a mark for plumb or level.")
	b.press("part-crossings")
	b.wantText("crossings-note", "Draw some lines first.")
	b.press("part-chalk")
	b.wantText("chalk-note", "Type the size of the canvas first.")
	b.Type("canvas", "36 x 24 in")
	b.wantText("chalk-note", "Draw some lines first: they are listed here to be chalked.")
	b.press("use-thirds")
	for part, note := range map[string]string{"lines": "lines-note", "crossings": "crossings-note", "chalk": "chalk-note"} {
		b.press("part-" + part)
		b.wantText(note, "Setting out the lines.")
	}
	for _, part := range []string{"canvas", "stretcher", "straighten", "lines", "crossings", "chalk"} {
		b.press("part-" + part)
		if f := b.Face(); !f.Pressed["key-part-"+part] || f.Hidden["part-"+part] {
			t.Errorf("part %s does not open", part)
		}
	}
}

func TestTheListOfLinesSaysWhatEachDraws(t *testing.T) {
	b := atWork(t, 1)
	b.Type("canvas", "24 x 24 in")
	b.press("tray-line", "part-lines", "use-diagonals", "use-divide", "use-rabatment", "use-thirds")
	b.Type("figures", "") // thirds have none
	b.press("use-row-0")
	b.Type("figures", "1")
	b.press("use-row-1")
	b.Type("figures", "2 x 1")
	b.setLines()
	// Diagonals one deep are the two of the canvas and the plumb and the level line through
	// their crossing; the plumb one is half of two columns, too. A square has no rabatment.
	b.wantRows("lines-rows", "Diagonals, 1 deep: 4 lines", "Equal parts, 2 x 1: drawn by others already", b.rows("lines-rows")[2], "Thirds: 4 lines")
	if row := b.rows("lines-rows")[2]; !strings.HasPrefix(row, "Rabatment: ") || strings.Contains(row, "lines") {
		t.Errorf("rabatment of a square is listed as %q", row)
	}
	// Both diagonals, two plumb and level through the middle, two plumb and two level
	// thirds. The crossings: one in the middle of four lines; four of the thirds, which lie
	// on the diagonals, of three each; the middle lines meet two thirds each, four of two;
	// and the four corners, where a diagonal meets nothing else.
	b.wantText("lines-note", "8 lines, 9 crossings. Choose a mark for plumb or level.")
}

func TestCrossingsAreListedByRank(t *testing.T) {
	b := lining(t, "use-thirds", "use-diagonals")
	b.Type("figures", "1")
	b.setLines()
	b.press("part-crossings")
	// Four lines in the middle; where thirds cross, a diagonal goes through; then where the
	// middle lines cross the thirds, the nearer to the middle first: 4 in above and below it.
	b.wantRows("crossings-rows",
		"1. 4 lines meet, 18 in from the left, 12 in from the top",
		"2. 3 lines meet, 12 in from the left, 8 in from the top",
		"3. 3 lines meet, 24 in from the left, 8 in from the top",
		"4. 3 lines meet, 12 in from the left, 16 in from the top",
		"5. 3 lines meet, 24 in from the left, 16 in from the top",
		"6. 2 lines meet, 18 in from the left, 8 in from the top",
		"7. 2 lines meet, 18 in from the left, 16 in from the top",
		"8. 2 lines meet, 12 in from the left, 12 in from the top",
		"9. 2 lines meet, 24 in from the left, 12 in from the top")
	b.wantText("crossings-note", "9 crossings. Those of most lines come first; touch one to make it a point.")
	b.press("from-x", "from-y")
	if row := b.rows("crossings-rows")[1]; row != "2. 3 lines meet, 24 in from the right, 16 in from the bottom" {
		t.Errorf("measured from the other edges it lists %q", row)
	}
}

// Where a mark lies to the crossing nearest to it. 33 1/3 pixels are an inch.
func TestTheNearestCrossingOfAMark(t *testing.T) {
	for _, c := range []struct {
		x, y float64
		want string
	}{
		// Thirds cross 400 across and 266 2/3 down. 420, 280 is 20 and 13 1/3 pixels from
		// there: 0.6 and 0.4 in, to the nearest sixteenth 5/8 and 3/8.
		{420, 280, "5/8 in right of and 3/8 in below"},
		{380, 250, "5/8 in left of and 1/2 in above"},
		{400, 280, "3/8 in below"}, {400, 250, "1/2 in above"},
		{420, 800.0 / 3, "5/8 in right of"}, {380, 800.0 / 3, "5/8 in left of"},
		{400, 800.0 / 3, "on"},
	} {
		b := atWork(t, 1)
		b.do(b.doc().WithMark(place.PhotoPoint{X: c.x, Y: c.y}, 1), "")
		b.press("tray-line", "part-lines", "use-thirds")
		b.setLines()
		b.press("part-crossings")
		rows := b.rows("crossings-rows")
		if got, want := rows[len(rows)-1], "Mark 1: "+c.want+" a crossing of 2 lines"; len(rows) != 5 || got != want {
			t.Errorf("a mark at %v, %v is listed as %q, want %q", c.x, c.y, got, want)
		}
	}
}

func TestCrossingsAreMarkedOnThePicture(t *testing.T) {
	b := lining(t, "use-thirds")
	b.press("part-crossings", "row-crossing-3")
	at := func(x, y float64) place.PhotoPoint { return place.PhotoPoint{X: x, Y: y} }
	b.wantSpots("thirds", []string{"1", "2", "3", "4"}, at(400, 800.0/3), at(800, 800.0/3), at(400, 1600.0/3), at(800, 1600.0/3))
	if !b.Face().Spots[2].Chosen || !b.Face().Rows["crossings-rows"][2].Pressed {
		t.Error("the crossing that is looked at does not stand out")
	}
	b.press("mirror")
	b.wantSpots("mirrored thirds", []string{"1", "2", "3", "4"}, at(400, 800.0/3), at(800, 800.0/3), at(400, 1600.0/3), at(800, 1600.0/3))
	b.press("part-lines")
	b.wantSpots("in another part", nil)
}

// Many crossings are listed and few of them marked, but for the one that is looked at.
func TestManyCrossingsAreListedAndFewMarked(t *testing.T) {
	b := lining(t, "use-divide") // 4 x 4: nine crossings
	b.Type("figures", "9 x 9")   // 64
	b.setLines()
	b.press("part-crossings")
	if rows, spots := b.rows("crossings-rows"), b.Face().Spots; len(rows) != 40 || len(spots) != 9 {
		t.Errorf("of 64 crossings %d are listed and %d marked", len(rows), len(spots))
	}
	b.press("row-crossing-40")
	if spots := b.Face().Spots; len(spots) != 10 || spots[9].Text != "40" || !spots[9].Chosen {
		t.Errorf("the last one looked at, the spots are %+v", spots)
	}
	b.press("row-crossing-64", "focal-here")
	if m := b.doc().Marks; len(m) != 1 {
		t.Errorf("a crossing beyond those listed gives %d marks", len(m))
	}
	b.press("row-crossing-65", "focal-here")
	if m := b.doc().Marks; len(m) != 1 || b.Face().Says != "Choose a crossing of the list first." {
		t.Error("a crossing that is not there took a point")
	}
}

// Without a canvas lines are drawn, and nothing is said in inches.
func TestLinesWithoutACanvas(t *testing.T) {
	b := newBench(t, 1)
	b.Show(greysDoc(), greys(), true)
	b.Filled()
	b.do(b.doc().WithMark(upperLeft, 1), "")
	b.press("tray-line", "part-lines", "use-thirds")
	b.setLines()
	b.press("part-crossings")
	want := []string{}
	for i := range 4 {
		want = append(want, fmt.Sprintf("%d. 2 lines meet", i+1))
	}
	b.wantRows("crossings-rows", want...)
}
