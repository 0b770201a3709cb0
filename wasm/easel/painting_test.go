package easel

import (
	"math"
	"strings"
	"testing"
	"time"

	"maulstick/render/check"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/verdict"
)

// withPainting has the greys on the easel, on a canvas of 36 x 24 in, and a photograph of
// the canvas in the part that checks it.
func withPainting(t *testing.T) *bench {
	b := atWork(t, 1)
	b.press("tray-check", "part-painting")
	b.Logged(cloud(1))
	return b
}

// verdictOf is an answer with a little of everything: lengths are of a canvas of 914.4 by
// 609.6 mm.
func verdictOf() verdict.Answer {
	return verdict.Answer{
		Canvas: check.Canvas{
			Corners: place.Quad{{X: 40, Y: 30}, {X: 560, Y: 32}, {X: 555, Y: 370}, {X: 42, Y: 365}},
			Bow:     check.Bow{K: -0.02, Photo: place.Pixels{Width: 600, Height: 400}}, Found: true, Within: 0.4,
		},
		Whole: check.Whole{
			DX: 6.35, DY: 0, Turn: 0.5, Across: 1.01, Down: 1, ShiftWithin: 0.5, TurnWithin: 0.1, AcrossWithin: 0.002, DownWithin: 0.002,
		},
		Matches: []check.Match{{DX: 3}, {DY: 4}, {DX: 5}},
		Slips: []check.Slip{
			{At: place.CanvasPoint{X: 228.6, Y: 152.4}, DX: 19.05, DY: 12.7, Within: 1, Matches: 5},
			{At: place.CanvasPoint{X: 685.8, Y: 457.2}, DX: -6.35, Within: 1, Matches: 3},
		},
		Values: []verdict.Value{
			{At: place.CanvasPoint{X: 400, Y: 100}, Share: 0.3, Reference: 70, Painting: 50, StepReference: 4, StepPainting: 3, Difference: -1, Within: 0.2, Off: true},
			{At: place.CanvasPoint{X: 400, Y: 500}, Share: 0.1, Reference: 30, Painting: 32, StepReference: 2, StepPainting: 2, Difference: 0.1, Within: 0.3},
		},
		Range: verdict.Range{Of: 0.8, Within: 0.05, Text: "compressed, 80 % of the reference's, within 5"}, Broken: [][2]int{{0, 1}},
		Colour: &verdict.Colour{Reference: "Lights warmer than shadows", Painting: "Lights cooler than shadows", Kept: [][2]string{{"blue", "orange"}}, Lost: [][2]string{{"red", "green"}}},
		Notes:  []check.Note{{Of: "values", Text: "without cards less sure"}, {Of: "colour", Text: "white is fitted"}},
	}
}

// squares are the pictures of a check, of a grey each.
func squares() verdict.Pictures {
	p := verdict.Pictures{Painting: photo.New(120, 80), Reference: photo.New(120, 80)}
	for i := range p.Painting.Pix {
		p.Painting.Pix[i], p.Reference.Pix[i] = 200, 100
	}
	return p
}

// answered answers the newest check.
func (b *bench) answered(a verdict.Answer, both verdict.Pictures) {
	b.t.Helper()
	if len(b.checks) == 0 {
		b.t.Fatal("nothing was to be checked")
	}
	b.Checked(b.painting.last, a, both)
}

// What is missing for a check is said, and nothing is asked without it.
func TestAPaintingIsAskedFor(t *testing.T) {
	b := newBench(t, 1)
	b.Show(greysDoc(), greys(), true)
	b.Filled()
	b.press("tray-check", "part-painting", "painting-check", "painting-corners", "painting-find", "arrow-new")
	if b.wantText("painting-note", "Type the size of the canvas under Line first: what is off is told on it."); len(b.checks) != 0 {
		t.Errorf("asked is %+v", b.checks)
	}
	b.Type("canvas", "36 x 24 in")
	b.press("painting-check")
	b.wantText("painting-note", "Freeze the canvas in the Camera part and put it into the log, or open a photograph of it. The whole canvas has to be on it.")
	b.press("painting-open")
	if len(b.choosing) != 1 || b.choosing[0] != "log" || b.Taking() != TakeLog {
		t.Errorf("chosen are files for %v, taken for %v", b.choosing, b.Taking())
	}
	b.Logged(cloud(1))
	b.press("painting-check")
	ask := b.checks[0]
	if ask.Find || ask.Photograph.Hash != cloud(1).Hash || ask.Part != b.doc().Crop() || ask.Ask.Canvas != b.doc().Size() || ask.Ask.Steps.Count() != 5 || ask.Ask.Corners != nil || ask.Ask.Outline != nil {
		t.Errorf("asked is %+v", ask)
	}
	b.Checking(b.painting.last, 0.25)
	if f := b.Face(); f.Text["check-finding"] != "Comparing: 25 %" || f.Hidden["check-asking"] {
		t.Errorf("it says %q", f.Text["check-finding"])
	}
	b.press("painting-stop")
	b.answered(verdictOf(), squares())
	if b.unasked != 1 || b.doc().Checked == nil || len(b.doc().Checked) != 0 || !b.Face().Hidden["check-asking"] {
		t.Errorf("stopped %d times, kept are %+v", b.unasked, b.doc().Checked)
	}
}

// What was found is listed in the words of the easel, and kept with the study.
func TestWhatIsOffIsListed(t *testing.T) {
	b := withPainting(t)
	b.press("painting-check")
	b.answered(verdictOf(), squares())
	b.wantText("painting-note", "The whole: 1/4 in too far right, within 1/16 in; turned 0.5° clockwise, within 0.1°; 1.0 % too wide, within 0.2 %. 2 parts slip from that, of 3 places matched. Arrows go from where parts belong to where they are, drawn 3 times as long.")
	rows := b.Face().Rows["painting-rows"]
	if len(rows) != 2 || rows[0].Figure != "3/4 in too far right, 1/2 in low" || rows[0].Note != "within 1/16 in; 9 in from the left, 6 in from the top" || rows[1].Figure != "1/4 in too far left" {
		t.Errorf("listed are %+v", rows)
	}
	b.press("told-values")
	b.wantText("painting-note", "1 of 2 shapes are surely off. Range: compressed, 80 % of the reference's, within 5. The order from dark to light is broken in one pair.")
	b.wantText("painting-doubt", "Without cards less sure.")
	rows = b.Face().Rows["painting-rows"]
	if len(rows) != 2 || rows[0].Figure != "one step too dark" || !strings.HasPrefix(rows[0].Note, "within 0.2; step 4, painted 3; ") || rows[1].Figure != "order turned round" {
		t.Errorf("listed are %+v", rows)
	}
	b.press("told-colour")
	b.wantText("painting-note", "On the reference lights warmer than shadows, on the painting lights cooler than shadows.")
	rows = b.Face().Rows["painting-rows"]
	if len(rows) != 2 || rows[0].Text != "red and green" || rows[0].Figure != "lost" || rows[1].Figure != "kept" {
		t.Errorf("listed are %+v", rows)
	}
	kept := b.doc().Checked
	if len(kept) != 1 || kept[0].Entry != 1 || kept[0].Off != 4 || kept[0].Slips != 2 || math.Abs(float64(kept[0].Worst)-math.Hypot(19.05, 12.7)) > 1e-9 ||
		math.Abs(kept[0].Steps-(0.3+0.01)/0.4) > 1e-9 || kept[0].StepsOff != 1 || kept[0].Broken != 1 || !kept[0].Found {
		t.Errorf("kept is %+v", kept)
	}
	b.press("undo")
	if len(b.doc().Checked) != 0 {
		t.Error("a check cannot be undone")
	}
}

// A row goes to its place, and back.
func TestARowGoesToItsPlace(t *testing.T) {
	b := withPainting(t)
	b.press("painting-check")
	b.answered(verdictOf(), squares())
	whole := b.viewport().Scale
	b.press("row-slip-1")
	v := b.viewport()
	if want := (place.PhotoPoint{X: 300, Y: 200}); math.Hypot(v.Centre.X-want.X, v.Centre.Y-want.Y) > 1e-6 || v.Scale <= 2*whole {
		t.Errorf("it goes to %v at %v, want %v closer than %v", v.Centre, v.Scale, want, whole)
	}
	if spots := b.Face().Spots; len(spots) != 1 || !spots[0].Chosen || spots[0].Text != "1" {
		t.Errorf("spots are %+v", spots)
	}
	b.press("row-slip-1")
	if b.viewport().Scale != whole {
		t.Error("it does not go back")
	}
	if spots := b.Face().Spots; len(spots) != 2 {
		t.Errorf("spots are %+v", spots)
	}
	plan, _ := b.Plan()
	if len(plan.Strokes) != 6 { // a shaft and two lines of a head each
		t.Errorf("%d lines are drawn", len(plan.Strokes))
	}
	if b.press("told-values"); len(b.Face().Spots) != 1 {
		t.Errorf("spots are %+v", b.Face().Spots)
	}
	if plan, _ = b.Plan(); len(plan.Strokes) != 0 {
		t.Errorf("%d lines are drawn over values", len(plan.Strokes))
	}
}

// Both are seen in each way, where the crop lies on the photograph; Plain shows that.
func TestBothAreSeen(t *testing.T) {
	b := withPainting(t)
	b.press("seen-divided", "painting-check")
	seen := func() (code uint8, shown bool) {
		plan, _ := b.Plan()
		if plan.Panes[0].Made == nil {
			return 0, false
		}
		m := plan.Panes[0].Made
		if c := b.doc().Crop(); m.Left != c.X || m.Top != c.Y || math.Abs(m.Side-c.Width/120) > 1e-9 {
			t.Errorf("it lies at %v, %v by %v", m.Left, m.Top, m.Side)
		}
		return m.Pyramid.Picture().Pix[4*10], true
	}
	b.press("seen-divided") // off again
	b.answered(verdictOf(), squares())
	if code, ok := seen(); !ok || code <= 100 || code >= 200 {
		t.Errorf("laid over it is %d, %v", code, ok)
	}
	b.Type("painting-mix", "100")
	if code, _ := seen(); code != 200 {
		t.Errorf("laid over wholly it is %d", code)
	}
	for _, mix := range []string{"-1", "101", "x", ""} {
		b.Type("painting-mix", mix)
	}
	b.wantValue("painting-mix", "100")
	b.Type("painting-mix", "0")
	if code, _ := seen(); code != 100 {
		t.Errorf("laid over not at all it is %d", code)
	}
	b.press("seen-turn")
	if code, ok := seen(); !ok || code != 200 || b.Face().Text["key-seen-turn"] != "Painting" {
		t.Errorf("in turn it is %d, %v", code, ok)
	}
	b.press("seen-turn")
	if _, ok := seen(); ok || b.Face().Text["key-seen-turn"] != "Reference" {
		t.Error("in turn the reference is not seen")
	}
	b.Type("painting-mix", "50")
	b.press("seen-divided")
	if code, _ := seen(); code != 200 {
		t.Errorf("left of the line it is %d", code)
	}
	b.press("seen-lighter")
	if code, _ := seen(); code < 117 || code > 121 { // L* 50
		t.Errorf("where light differs by a factor alone it is %d", code)
	}
	b.Press("plain")
	if _, ok := seen(); ok {
		t.Error("Plain does not show the photograph")
	}
	b.Release("plain")
	b.press("tray-value")
	if _, ok := seen(); ok {
		t.Error("it is seen under another tray")
	}
}

// Corners are put by a finger and by the keyboard, in steps to undo; what was found is of
// others then.
func TestCornersArePut(t *testing.T) {
	b := withPainting(t)
	b.press("painting-corners")
	if len(b.checks) != 1 || !b.checks[0].Find || !b.cornering() || !b.away() {
		t.Fatalf("asked is %+v", b.checks)
	}
	b.layAsAsked(400, 600)
	b.answered(verdict.Answer{Canvas: verdictOf().Canvas}, verdict.Pictures{})
	f := b.Face()
	if len(f.Handles) != 4 || f.Handles[2].Label != "Move the bottom right corner of the canvas" || strings.Count(f.Outline, ",") != 48 || len(b.doc().Checked) != 0 {
		t.Fatalf("handles are %+v, the outline %q", f.Handles, f.Outline)
	}
	plan, _ := b.Plan()
	if len(plan.Panes) != 1 || plan.Panes[0].Other.Pyramid == nil {
		t.Errorf("seen is %+v", plan.Panes)
	}
	h := f.Handles[0]
	b.clock = b.clock.Add(time.Second)
	b.touch(Down, 1, h.X+3, h.Y+2)
	b.touch(Move, 1, h.X+13, h.Y+2)
	if plan, _ := b.Plan(); len(plan.Panes) != 2 || !plan.Panes[1].Round || plan.Panes[1].Other.Pyramid == nil {
		t.Errorf("while it is dragged there is %+v", plan.Panes)
	}
	b.touch(Up, 1, h.X+13, h.Y+2)
	moved := b.Face().Handles[0]
	if math.Abs(moved.X-h.X-10) > 1e-6 || math.Abs(moved.Y-h.Y) > 1e-6 || len(b.doc().Log[0].Corners) != 4 {
		t.Errorf("the corner goes from %v to %v", h, moved)
	}
	before := b.doc().Log[0].Corners
	b.NudgeHandle("canvas-2", 1, -1)
	if c := b.doc().Log[0].Corners; c[2].X != before[2].X+1 || c[2].Y != before[2].Y-1 {
		t.Errorf("the corner goes from %v to %v", before[2], c[2])
	}
	for _, name := range []string{"canvas-4", "canvas-", "canvas--1", "middle"} {
		b.NudgeHandle(name, 1, 1)
	}
	b.press("undo", "undo")
	if c := b.doc().Log[0].Corners; len(c) != 0 {
		t.Errorf("undone, the corners are %v", c)
	}
	b.press("redo", "painting-check")
	if ask := b.checks[len(b.checks)-1]; ask.Find || len(ask.Ask.Corners) != 4 || ask.Ask.Outline != nil || b.cornering() {
		t.Errorf("asked is %+v", ask)
	}
	given := verdictOf()
	given.Canvas.Corners, given.Canvas.Found = place.Quad(b.doc().Log[0].Corners), false
	b.answered(given, squares())
	if b.stale() || b.compared() == nil {
		t.Error("what was just found is of something else")
	}
	b.press("painting-corners")
	b.layAsAsked(400, 600)
	b.NudgeHandle("canvas-1", 5, 0)
	b.press("painting-corners")
	b.wantText("painting-note", "Something else is asked for now, other corners, cards, steps or another canvas: check it again.")
	b.press("painting-find")
	if ask := b.checks[len(b.checks)-1]; !ask.Find || len(b.doc().Log[0].Corners) != 0 {
		t.Errorf("asked is %+v, corners are %v", ask, b.doc().Log[0].Corners)
	}
}

// Where the canvas cannot be found the painter is led to its corners, and nothing is kept.
func TestDeclinedCornersAreAskedFor(t *testing.T) {
	b := withPainting(t)
	b.press("painting-check")
	b.answered(verdict.Answer{Declined: "no outline on the photograph is surely the canvas's", Help: "put the four corners on it by hand, then check it", Nothing: true}, verdict.Pictures{})
	b.layAsAsked(400, 600)
	if !b.cornering() || len(b.Face().Handles) != 4 || len(b.doc().Checked) != 0 {
		t.Errorf("handles are %+v", b.Face().Handles)
	}
	b.wantText("painting-note", "No outline on the photograph is surely the canvas's. Put the four corners on it by hand, then check it.")
	b.press("painting-check")
	b.CheckFailed(b.painting.last, "the worker stopped")
	b.wantText("painting-note", "The worker stopped.")
	b.press("painting-check")
	b.answered(verdict.Answer{Err: "the corners cross", Hint: "put them in order"}, verdict.Pictures{})
	b.wantText("painting-note", "The corners cross. Put them in order.")
	too := verdict.Answer{Canvas: verdictOf().Canvas, Declined: "the painting shows too little to match", Help: "go on", Nothing: true}
	b.press("painting-check")
	b.answered(too, squares())
	b.wantText("painting-note", "The painting shows too little to match. Go on.")
	if c := b.doc().Checked; len(c) != 1 || c[0].Matched != 0 || c[0].Declined != "the painting shows too little to match" {
		t.Errorf("kept is %+v", c)
	}
	if made := b.madeCheck(); made == nil {
		t.Error("what cannot be matched cannot be seen")
	}
}

// Checks are listed as they follow each other, and tell how the painting came closer.
func TestStagesTellTheWay(t *testing.T) {
	b := withPainting(t)
	b.press("painting-check")
	b.answered(verdictOf(), squares())
	b.clock = b.clock.Add(24 * time.Hour)
	b.Logged(cloud(2))
	closer := verdictOf()
	closer.Matches, closer.Slips, closer.Values[0].Difference = []check.Match{{DX: 1.6}}, nil, -0.3
	b.press("painting-check")
	b.answered(closer, squares())
	b.press("part-stages")
	rows := b.Face().Rows["stages-rows"]
	if len(rows) != 2 || rows[0].Text != "1 Jan, 09:00" || rows[0].Figure != "7/8 in" || rows[0].Note != "0.8 step" || rows[1].Figure != "1/16 in" || !rows[1].Pressed || rows[1].Picture == "" {
		t.Errorf("listed are %+v", rows)
	}
	b.wantText("stages-way", "From the first check to the last what lay furthest off went from 7/8 in to 1/16 in, values from 0.8 to 0.2 of a step.")
	b.press("stage-1", "stage-77")
	b.wantText("stages-note", "Half of 3 places lay within 3/16 in; the whole: 1/4 in too far right. 2 parts slipped, by 7/8 in at most. Values, without grey cards, were off by 0.8 of a step over the area compared; 1 of 2 shapes surely.")
	b.press("stages-away")
	if len(b.doc().Checked) != 1 || b.doc().Checked[0].Entry != 2 {
		t.Errorf("left are %+v", b.doc().Checked)
	}
	b.press("stages-again")
	if ask := b.checks[len(b.checks)-1]; ask.Photograph.Hash != cloud(1).Hash || !b.onCheck("painting") {
		t.Errorf("asked is %+v", ask)
	}
	b.press("painting-later")
	if b.unasked == 0 || b.verdict() == nil {
		t.Error("turning to another photograph leaves the check of the one before, or forgets what was found of it")
	}
	if b.press("painting-later", "painting-earlier"); b.verdict() != nil {
		t.Error("what was found is told of another photograph")
	}

	if b.Show(greysDoc(), greys(), true); b.painting.answer != nil {
		t.Error("what was found stays with another study")
	}
}
