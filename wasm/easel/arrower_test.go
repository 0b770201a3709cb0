package easel

import (
	"math"
	"strings"
	"testing"

	"maulstick/render/place"
	"maulstick/render/study"
)

// The painter's own arrows are drawn, moved by their ends, read beyond the whole, and taken
// away.
func TestArrowsAreDrawn(t *testing.T) {
	b := withPainting(t)
	b.press("painting-check")
	b.answered(verdictOf(), squares())
	b.press("arrow-draw")
	x0, y0 := b.screenOf(place.PhotoPoint{X: 600, Y: 400})
	x1, y1 := b.screenOf(place.PhotoPoint{X: 620, Y: 400})
	b.drag(1, x0, y0, x1, y1)
	arrows := b.doc().Log[0].Arrows
	if len(arrows) != 1 || math.Abs(float64(arrows[0].X)-457.2) > 1e-6 || math.Abs(float64(arrows[0].DX)-15.24) > 1e-6 || math.Abs(float64(arrows[0].DY)) > 1e-6 || arrows[0].Touch <= 0 {
		t.Fatalf("arrows are %+v", arrows)
	}
	// The whole is 6.35 mm right at the middle of the canvas: 8.89 mm are left, 3/8 in.
	rows := b.Face().Rows["painting-rows"]
	if r := rows[len(rows)-1]; r.Text != "A" || r.Figure != "3/8 in too far right" || !strings.HasPrefix(r.Note, "yours beyond the whole, within ") {
		t.Errorf("listed is %+v", r)
	}
	if h := b.Face().Handles; len(h) != 2 || h[1].Name != "arrow-to" {
		t.Fatalf("handles are %+v", h)
	}
	b.NudgeHandle("arrow-to", 0, 10)
	if a := b.doc().Log[0].Arrows[0]; math.Abs(float64(a.DY)-7.62) > 1e-6 || math.Abs(float64(a.X)-457.2) > 1e-6 {
		t.Errorf("the arrow is %+v", a)
	}
	b.tap(Touch, x0+50, y0+50) // draws none
	x2, y2 := b.screenOf(place.PhotoPoint{X: 620, Y: 410})
	b.drag(1, x2+3, y2, x2+40, y2)
	if a := b.doc().Log[0].Arrows; len(a) != 1 || a[0].DX <= 20 || math.Abs(float64(a[0].X)-457.2) > 1e-6 {
		t.Errorf("an end dragged, arrows are %+v", a)
	}
	b.press("arrow-new")
	if n := len(b.doc().Log[0].Arrows); n != 2 || b.painting.arrow != 2 {
		t.Errorf("%d arrows, chosen is %d", n, b.painting.arrow)
	}
	b.press("arrow-away", "undo", "row-arrow-1", "arrow-away")
	if a := b.doc().Log[0].Arrows; len(a) != 1 || a[0].DX != 0 {
		t.Errorf("left are %+v", a)
	}
	b.press("undo", "undo", "undo", "undo", "undo")
	if len(b.doc().Log[0].Arrows) != 0 {
		t.Errorf("undone, arrows are %+v", b.doc().Log[0].Arrows)
	}
}

// An arrow is in doubt by both of its touches as a mark is by one, each arrow has letters of
// its own, and one too many is refused in words.
func TestManyArrows(t *testing.T) {
	b := withPainting(t)
	b.press("arrow-draw")
	for range study.MostArrows {
		b.press("arrow-new")
	}
	arrows := b.doc().Log[0].Arrows
	if len(arrows) != study.MostArrows || b.says.message != "" {
		t.Fatalf("%d arrows, it says %q", len(arrows), b.says.message)
	}
	mark := float64(b.doc().Mapping().Uncertainty(b.Easel.touch(Touch)))
	if got := float64(arrows[0].Touch); math.Abs(got-math.Sqrt2*mark) > 1e-9 {
		t.Errorf("an arrow is within %v mm, a mark within %v", got, mark)
	}
	letters := map[string]bool{}
	for _, r := range b.Face().Rows["painting-rows"] {
		letters[r.Text] = true
	}
	if len(letters) != study.MostArrows || !letters["Z"] || !letters["AA"] {
		t.Errorf("they are called %v", letters)
	}
	b.press("arrow-new")
	if len(b.doc().Log[0].Arrows) != study.MostArrows || !strings.Contains(b.says.message, "no more than 50 arrows") {
		t.Errorf("one too many: %d, it says %q", len(b.doc().Log[0].Arrows), b.says.message)
	}
}

// Where nothing is matched the painter's arrows are told by themselves.
func TestArrowsAloneAreTold(t *testing.T) {
	b := withPainting(t)
	b.press("arrow-draw")
	for _, y := range []float64{300, 500} {
		x0, y0 := b.screenOf(place.PhotoPoint{X: 500, Y: y})
		x1, y1 := b.screenOf(place.PhotoPoint{X: 510, Y: y + 10})
		b.drag(1, x0, y0, x1, y1)
	}
	if note := b.Face().Text["painting-note"]; !strings.HasPrefix(note, "Your 2 arrows, taken together: 5/16 in too far right, 5/16 in low, within ") {
		t.Errorf("it says %q", note)
	}
}
