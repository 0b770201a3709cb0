package easel

import (
	"encoding/csv"
	"reflect"
	"slices"
	"strings"
	"testing"

	"maulstick/render/place"
	"maulstick/render/study"
)

// marked has the greys on a canvas of 36 x 24 in, where 100 pixels are 3 in, with marks at
// places of the photograph that were touched to a pixel, and the Place tray open at spans.
func marked(t *testing.T, at ...place.PhotoPoint) *bench {
	b := atWork(t, 1)
	for _, p := range at {
		b.do(b.doc().WithMark(p, 1), "")
	}
	b.press("tray-place", "part-span")
	return b
}

// spanned is marked with a span from the first mark to the second.
func spanned(t *testing.T, at ...place.PhotoPoint) *bench {
	b := marked(t, at...)
	b.press("mark-1", "span-new", "mark-2")
	return b
}

func TestASpanGoesToAMarkThatIsTouched(t *testing.T) {
	b := marked(t, upperLeft, lowerRight)
	b.press("mark-1", "span-new")
	b.wantText("span-note", "Touch the mark where the span from Mark 1 ends, or a new spot.")
	x, y := b.screenOf(lowerRight)
	b.tap(Touch, x+4, y-3)
	d := b.doc()
	if len(d.Spans) != 1 || d.Spans[0] != (study.Span{ID: 1, From: 1, To: 2}) || d.Span != 1 || len(d.Marks) != 2 {
		t.Fatalf("the spans are %+v", d.Spans)
	}
	if b.tool.tool != noTool || b.Face().Says != "A span from Mark 1 to Mark 2." || d.Marks[1] != b.doc().Marks[1] {
		t.Errorf("it says %q", b.Face().Says)
	}
	b.press("undo")
	if len(b.doc().Spans) != 0 || len(b.doc().Marks) != 2 {
		t.Errorf("undone there are spans %+v", b.doc().Spans)
	}
}

func TestASpanGoesToANewSpot(t *testing.T) {
	b := marked(t, upperLeft)
	b.press("span-new")
	x, y := b.screenOf(lowerRight)
	b.tap(Touch, x, y)
	d := b.doc()
	if len(d.Marks) != 2 || len(d.Spans) != 1 || d.Spans[0].To != 2 || d.Span != 1 {
		t.Fatalf("there are marks %+v and spans %+v", d.Marks, d.Spans)
	}
	if m := d.Marks[1]; !near(m.X, 1000, 1e-6) || !near(m.Y, 700, 1e-6) {
		t.Errorf("the new mark is %s", describe(m))
	}
	b.press("undo") // the mark and the span are one step
	if len(b.doc().Marks) != 1 || len(b.doc().Spans) != 0 {
		t.Errorf("undone there are marks %+v and spans %+v", b.doc().Marks, b.doc().Spans)
	}
	b.press("span-new")
	b.tap(Touch, 5, 5) // far off the picture
	if len(b.doc().Marks) != 1 || len(b.doc().Spans) != 0 || b.Face().Says != "Touch the picture itself to place a mark." {
		t.Errorf("off the picture it says %q", b.Face().Says)
	}
}

func TestASpanGoesToAMarkThatIsChosen(t *testing.T) {
	b := marked(t, upperLeft, lowerRight)
	b.press("mark-2", "span-new", "mark-2") // its own mark ends nothing
	if len(b.doc().Spans) != 0 || b.tool.tool != spanner {
		t.Fatalf("a span from a mark to itself: %+v", b.doc().Spans)
	}
	b.press("mark-1")
	if s := b.doc().Spans; len(s) != 1 || s[0].From != 2 || s[0].To != 1 || b.doc().Chosen != 1 {
		t.Fatalf("the spans are %+v", s)
	}
	b.press("span-new", "mark-2") // the same one the other way round
	if s := b.doc().Spans; len(s) != 1 || b.doc().Span != 1 {
		t.Errorf("there are two spans between two marks: %+v", s)
	}
	b.press("mark-1", "span-new", "mark-delete")
	x, y := b.screenOf(upperLeft)
	b.press("mark-2", "mark-delete")
	b.tap(Touch, x, y)
	if len(b.doc().Spans) != 0 || b.doc().Check() != nil {
		t.Errorf("without a mark to begin at, spans are %+v", b.doc().Spans)
	}
	b = marked(t)
	b.press("span-new")
	if b.tool.tool != noTool || b.Face().Says != "Choose the mark that the span begins at first." || !b.Face().Disabled["key-span-new"] {
		t.Errorf("without a mark it says %q", b.Face().Says)
	}
}

func TestSpansHaveTheirLimit(t *testing.T) {
	b := marked(t, upperLeft, lowerRight, middle)
	for i := range study.MostSpans - 1 {
		b.do(b.doc().WithMark(place.PhotoPoint{X: float64(i), Y: 1}, 0), "")
		if len(b.doc().Marks) == study.MostMarks {
			break
		}
	}
	for to := 2; len(b.doc().Spans) < study.MostSpans; to++ {
		from := 1 + to/900
		b.do(b.doc().WithSpan(from, 2+to%900), "")
	}
	b.do(b.doc().WithSpan(1, 990).ChoosingSpan(1), "")
	b.press("mark-3", "span-new", "mark-995")
	if says := b.Face().Says; len(b.doc().Spans) != study.MostSpans || says != "This study holds as many spans as it can. Delete one first." {
		t.Errorf("with %d spans it says %q", len(b.doc().Spans), says)
	}
}

// A mark touched to a pixel is known to 0.03 x hypot(1/2, 1) = 0.0335 in, a span between
// two to 0.0474 in, which is 1/16 in rounded up. A run of one pixel, 0.03 in, is spelt 0:
// with that away it is 0.0774 in, 1/8 rounded up.
func TestASpanIsRead(t *testing.T) {
	for _, c := range []struct {
		from, to place.PhotoPoint
		length   string
		note     string
	}{
		{place.PhotoPoint{X: 300, Y: 200}, place.PhotoPoint{X: 900, Y: 200}, "18 in", "18 in right, 0 in up, within 1/16 in. Level, as far as can be told."},
		{place.PhotoPoint{X: 300, Y: 200}, place.PhotoPoint{X: 301, Y: 700}, "15 in", "0 in right, 15 in down, within 1/8 in. Plumb, as far as can be told."},
		// 12 and 9 in are 15 in, atan(9/12) = 36.870 degrees, asin(0.0474/15) = 0.181 and 0.030 away.
		{place.PhotoPoint{X: 300, Y: 500}, place.PhotoPoint{X: 700, Y: 200}, "15 in", "12 in right, 9 in up, within 1/16 in. 36.9° from level, rising to the right, within 0.3°."},
		{place.PhotoPoint{X: 300, Y: 200}, place.PhotoPoint{X: 700, Y: 500}, "15 in", "12 in right, 9 in down, within 1/16 in. 36.9° from level, rising to the left, within 0.3°."},
		// 3 and 12 in are hypot 12.369 in, 12 3/8; atan(3/12) = 14.036 degrees, asin(0.0474 /
		// 12.369) = 0.220 and 0.036 away.
		{place.PhotoPoint{X: 700, Y: 500}, place.PhotoPoint{X: 600, Y: 100}, "12 3⁄8 in", "3 in left, 12 in up, within 1/16 in. 14.0° from plumb, leaning to the left, within 0.3°."},
		{place.PhotoPoint{X: 600, Y: 500}, place.PhotoPoint{X: 700, Y: 100}, "12 3⁄8 in", "3 in right, 12 in up, within 1/16 in. 14.0° from plumb, leaning to the right, within 0.3°."},
		{place.PhotoPoint{X: 300, Y: 200}, place.PhotoPoint{X: 301, Y: 200}, "0 in", "0 in right, 0 in up, within 1/8 in. Too short to tell a direction."},
	} {
		b := spanned(t, c.from, c.to)
		f := b.Face()
		length := f.Text["span-length-whole"] + " "
		if frac := f.Text["span-length-frac"]; frac != "" {
			length += frac + " "
		}
		if length += f.Text["span-length-unit"]; length != c.length || f.Hidden["span-length"] || f.Text["span-note"] != c.note {
			t.Errorf("from %v to %v it is %q: %q, want %q: %q", c.from, c.to, length, f.Text["span-note"], c.length, c.note)
		}
		plan, _ := b.Plan()
		if len(plan.Strokes) != 1 || plan.Strokes[0].From != c.from || plan.Strokes[0].To != c.to {
			t.Errorf("the span is drawn as %+v", plan.Strokes)
		}
		b.press("part-mark")
		if plan, _ = b.Plan(); len(plan.Strokes) != 0 {
			t.Error("the span is drawn where marks are read")
		}
	}
}

func TestSpansAskForWhatTheyWant(t *testing.T) {
	b := newBench(t, 1)
	b.Show(greysDoc(), greys(), true)
	b.Filled()
	b.press("tray-place", "part-span")
	b.wantText("span-note", "Touch the picture to place a mark: a span goes from mark to mark.")
	b.do(b.doc().WithMark(upperLeft, 1).WithMark(lowerRight, 1), "")
	b.wantText("span-note", "Choose a mark, then New span.")
	b.press("mark-1", "span-new", "mark-2")
	b.wantText("span-note", "Type the size of the canvas under Line to read distances.")
	if f := b.Face(); !f.Hidden["span-length"] || f.Disabled["key-span-delete"] || !f.Disabled["key-spans-save"] {
		t.Error("without a canvas a span has a length, or is handed over")
	}
	b.wantRows("spans-rows", "Mark 1 to Mark 2")
}

// Comparative measuring: 700 pixels are 21 in, 300 are 9, and 21/9 is 2 1/3. Both are known
// to 0.0474 in, the ratio to hypot(1, 7/3) x 0.0474 / 9 = 0.0134, rounded up.
func TestSpansAreComparedWithAUnit(t *testing.T) {
	at := func(x, y float64) place.PhotoPoint { return place.PhotoPoint{X: x, Y: y} }
	b := spanned(t, at(100, 100), at(400, 100), at(100, 300), at(800, 300))
	b.Type("span-name", "the head")
	b.press("span-unit", "mark-3", "span-new", "mark-4")
	b.wantRows("spans-rows", "the head: 9 in, the unit", "Mark 3 to Mark 4: 21 in, 2 1/3 of the unit")
	if text := b.Face().Text["span-more"]; !strings.HasPrefix(text, "It is 2 1/3 of the head, 2.33 within 0.02.") {
		t.Errorf("compared with the unit it says %q", text)
	}
	if plan, _ := b.Plan(); len(plan.Strokes) != 2 {
		t.Errorf("the unit and the span are drawn as %d lines", len(plan.Strokes))
	}
	if f := b.Face(); f.Pressed["key-span-unit"] || f.Value["span-name"] != "" {
		t.Error("another span is shown as the unit, or by its name")
	}
	b.press("span-1")
	if f := b.Face(); !f.Pressed["key-span-unit"] || f.Value["span-name"] != "the head" {
		t.Error("the unit does not show that it is, or its name")
	}
	b.press("span-unit")
	b.wantRows("spans-rows", "the head: 9 in", "Mark 3 to Mark 4: 21 in")
	b.press("undo", "span-delete")
	if d := b.doc(); d.Unit != 0 || d.Span != 2 {
		t.Errorf("without it the unit is span %d and span %d is chosen", d.Unit, d.Span)
	}
	b.press("undo")
	if d := b.doc(); d.Unit != 1 || len(d.Spans) != 2 {
		t.Errorf("Undo brings back %+v, the unit %d", d.Spans, d.Unit)
	}
}

func TestHalvesAndThirdsOfASpan(t *testing.T) {
	at := func(x, y float64) place.PhotoPoint { return place.PhotoPoint{X: x, Y: y} }
	b := spanned(t, at(300, 200), at(900, 500)) // 18 in across and 9 down
	b.press("span-halves")
	b.wantSpots("halves", []string{"1⁄2"}, at(600, 350))
	if text := b.Face().Text["span-more"]; !strings.HasSuffix(text, "1⁄2: 18 in from the left, 10 1/2 in from the top. ") {
		t.Errorf("halves say %q", text)
	}
	b.press("span-thirds")
	for _, keys := range [][]string{{}, {"mirror"}, {"turn"}} {
		b.press(keys...)
		b.wantSpots("thirds", []string{"1⁄3", "2⁄3"}, at(500, 300), at(700, 400))
	}
	if text := b.Face().Text["span-more"]; !strings.HasSuffix(text, "1⁄3: 15 in from the left, 9 in from the top. 2⁄3: 21 in from the left, 12 in from the top. ") {
		t.Errorf("thirds say %q", text)
	}
	if f := b.Face(); f.Pressed["key-span-halves"] || !f.Pressed["key-span-thirds"] {
		t.Error("the keys do not show into what the span is divided")
	}
	b.press("span-thirds")
	b.wantSpots("undivided", nil)
}

func TestWhatASpanPointsAt(t *testing.T) {
	at := func(x, y float64) place.PhotoPoint { return place.PhotoPoint{X: x, Y: y} }
	for place, want := range map[place.PhotoPoint]string{
		at(900, 400): "It points at Mark 3. ",
		at(100, 400): "It points straight away from Mark 3. ",
		at(900, 430): "It misses Mark 3 by 7/8 in. ", // 30 pixels are 0.9 in, 14.4/16
	} {
		b := spanned(t, at(300, 400), at(600, 400), place)
		b.press("mark-3")
		b.wantText("span-more", want)
		b.press("mark-1")
		b.wantText("span-more", "")
	}
}

func TestPlacesAreReadFromTheNearestLine(t *testing.T) {
	at := func(x, y float64) place.PhotoPoint { return place.PhotoPoint{X: x, Y: y} }
	// Thirds at 400 and 800 across, 266 2/3 and 533 1/3 down: 20 pixels are 0.6 in, 5/8.
	b := spanned(t, at(420, 400), at(600, 800.0/3-20), at(380, 400), at(600, 800.0/3+20), at(400, 50))
	b.press("use-thirds", "lines-nearby")
	b.setLines()
	b.wantText("span-more", "Mark 1: 5/8 in right of the nearest line (1/3 across). Mark 2: 5/8 in above the nearest line (1/3 down). ")
	b.press("part-list")
	b.wantRows("list-rows", "Mark 1: 5/8 in right of the nearest line (1/3 across)", "Mark 2: 5/8 in above the nearest line (1/3 down)",
		"Mark 3: 5/8 in left of the nearest line (1/3 across)", "Mark 4: 5/8 in below the nearest line (1/3 down)", "Mark 5: on a line (1/3 across)",
		"Mark 1 to Mark 2: 7 1/16 in") // 180 and 153 1/3 pixels, 5.4 and 4.6 in: hypot 7.0937
	b.press("part-mark", "mark-3")
	if note := b.Face().Text["place-note"]; !strings.Contains(note, "5/8 in left of the nearest line (1/3 across).") || !b.Face().Pressed["key-lines-nearby"] {
		t.Errorf("the mark is read as %q", note)
	}
	b.press("lines-show")
	if note := b.Face().Text["place-note"]; strings.Contains(note, "nearest") {
		t.Errorf("from lines that are not shown the mark is read as %q", note)
	}
}

func TestListsAreReordered(t *testing.T) {
	b := marked(t, upperLeft, middle, lowerRight)
	b.do(b.doc().WithSpan(1, 2).WithSpan(2, 3), "")
	b.press("part-list", "order-up")
	if says := b.Face().Says; says != "Choose a row of the list first." || !b.Face().Disabled["key-order-up"] {
		t.Errorf("with no row it says %q", says)
	}
	names := func() (texts []string) {
		for _, text := range b.rows("list-rows") {
			name, _, _ := strings.Cut(strings.ReplaceAll(text, ":", ","), ",")
			texts = append(texts, name)
		}
		return texts
	}
	b.press("row-listmark-3", "order-up")
	if b.doc().Chosen != 3 || !slices.Equal(names(), []string{"Mark 1", "Mark 3", "Mark 2", "Mark 1 to Mark 2", "Mark 2 to Mark 3"}) {
		t.Errorf("mark 3 moved up, the list is %q", names())
	}
	b.press("order-down", "order-down", "order-down")
	if got := names(); got[2] != "Mark 3" {
		t.Errorf("moved down as far as it goes, the list is %q", got)
	}
	b.press("row-listspan-1", "order-down")
	if got := names(); b.doc().Span != 1 || !slices.Equal(got[3:], []string{"Mark 2 to Mark 3", "Mark 1 to Mark 2"}) {
		t.Errorf("the first span moved down, the list is %q", got)
	}
	b.press("undo")
	if got := names(); got[3] != "Mark 1 to Mark 2" {
		t.Errorf("undone the list is %q", got)
	}
	again := b.reopened(t, greys())
	if !reflect.DeepEqual(again.doc(), b.doc()) {
		t.Error("the order does not come back with the study")
	}
}

// The header names the units; the figures by hand: a pixel is 0.762 mm.
func TestListsAreHandedOver(t *testing.T) {
	b := spanned(t, upperLeft, place.PhotoPoint{X: 700, Y: 500})
	b.Type("mark-name", "the \"stalk\", left")
	b.Type("span-name", "stalk")
	b.press("part-list", "from-y", "marks-save", "spans-save")
	read := func(name string) [][]string {
		rows, err := csv.NewReader(strings.NewReader(string(b.handed[name]))).ReadAll()
		if err != nil {
			t.Fatalf("%s is %q: %v", name, b.handed[name], err)
		}
		return rows
	}
	// From the bottom 24 in, 609.6 mm, less 152.4 and 381. Known to 0.762 x hypot(1/2, 1).
	if got, want := read("greys-marks.csv"), [][]string{
		{"mark", "photo_x_px", "photo_y_px", "from_left_mm", "from_bottom_mm", "within_mm"},
		{"Mark 1", "300", "200", "228.6000", "457.2000", "0.8519"},
		{"the \"stalk\", left", "700", "500", "533.4000", "228.6000", "0.8519"},
	}; !reflect.DeepEqual(got, want) {
		t.Errorf("the marks are %q, want %q", got, want)
	}
	// 400 across and 300 down are 304.8 and 228.6 mm, 381 straight; atan(3/4) = 36.8699
	// degrees; 0.8519 x sqrt 2 = 1.2048, asin(1.2048/381) = 0.1812 degrees.
	if got, want := read("greys-spans.csv"), [][]string{
		{"span", "from", "to", "distance_mm", "run_mm", "rise_mm", "within_mm", "angle_from_level_deg", "angle_within_deg"},
		{"stalk", "Mark 1", "the \"stalk\", left", "381.0000", "304.8000", "-228.6000", "1.2048", "-36.8699", "0.1812"},
	}; !reflect.DeepEqual(got, want) {
		t.Errorf("the spans are %q, want %q", got, want)
	}
}
