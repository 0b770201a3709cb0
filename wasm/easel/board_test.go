package easel

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"maulstick/render"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/study"
)

// cloud is the nth photograph of a series, 600 x 900.
func cloud(n int) study.Reference {
	return study.Reference{Name: fmt.Sprintf("cloud %d.jpg", n), Hash: fmt.Sprintf("%064x", n), Bytes: 10 + n, Width: 600, Height: 900}
}

// withBoard has the greys on the easel, the board in sight and n clouds pinned to it.
func withBoard(t *testing.T, n int, keys ...string) *bench {
	b := atWork(t, 1)
	b.press("tray-study", "part-board")
	for i := 1; i <= n; i++ {
		b.Pinned(1, cloud(i))
	}
	b.press(keys...)
	return b
}

// layAsAsked answers the newest Lay with a copy of that size.
func (b *bench) layAsAsked(width, height int) {
	b.t.Helper()
	if len(b.lays) == 0 {
		b.t.Fatal("nothing was to be laid beside")
	}
	b.Laid(b.lays[len(b.lays)-1].id, smallCopy(width, height))
}

// listed are the rows of a list, each with its note.
func (b *bench) listedRows(list string) string {
	var rows []string
	for _, r := range b.Face().Rows[list] {
		text := r.Text
		for _, more := range []string{r.Figure, r.Note} {
			if more != "" {
				text += " (" + more + ")"
			}
		}
		if r.Pressed {
			text = "*" + text
		}
		rows = append(rows, text)
	}
	return strings.Join(rows, ", ")
}

func (b *bench) wantListed(list, want string) {
	b.t.Helper()
	if got := b.listedRows(list); got != want {
		b.t.Errorf("#%s lists %q, want %q", list, got, want)
	}
}

func TestPhotographsArePinned(t *testing.T) {
	b := withBoard(t, 0)
	b.wantText("board-note", "Pin more photographs: choose several at once, or drop or paste them while the board is in sight.")
	b.press("board-pin")
	if len(b.choosing) != 1 || b.choosing[0] != "pins" || b.Taking() != TakePin {
		t.Errorf("files are chosen for %v, and taken for %v", b.choosing, b.Taking())
	}
	b.Pinned(1, cloud(1))
	b.Pinned(1, cloud(2))
	b.wantText("board-note", "Pinned cloud 2.jpg: 3 references.")
	b.wantListed("board-rows", "greys (on the easel), cloud 1, *cloud 2")
	b.Pinned(2, cloud(1))
	b.wantText("board-note", "cloud 1.jpg hangs on the board already, as cloud 1.")
	b.press("undo") // both at once
	b.wantListed("board-rows", "*greys (on the easel)")
	b.press("redo")
	b.wantListed("board-rows", "greys (on the easel), *cloud 1, cloud 2")
	b.press("part-study")
	if b.Taking() != TakeOpen || len(b.Face().Rows["board-rows"]) != 0 {
		t.Errorf("out of sight the board takes photographs for %v", b.Taking())
	}
	full := withBoard(t, study.MostPins-1)
	full.Pinned(1, cloud(999))
	full.wantText("board-note", "The board holds no more than 200 references: cloud 999.jpg was not pinned. Take one down first.")
	none := newBench(t, 1)
	if none.Pinned(1, cloud(1)); none.Taking() != TakeOpen {
		t.Error("without a study photographs are pinned")
	}
}

func TestPinsAreOrderedNamedAndTakenDown(t *testing.T) {
	b := withBoard(t, 2, "pin-2", "board-later")
	b.wantListed("board-rows", "greys (on the easel), cloud 2, *cloud 1")
	f := b.Face()
	if !f.Disabled["key-board-later"] || f.Disabled["key-board-earlier"] || f.Value["pin-name"] != "cloud 1" {
		t.Errorf("the last one can go later, or is called %q", f.Value["pin-name"])
	}
	b.press("board-earlier", "board-earlier")
	b.Type("pin-name", " evening ")
	b.wantListed("board-rows", "*evening, greys (on the easel), cloud 2")
	b.press("pin-1")
	for _, key := range []string{"board-work", "board-beside", "board-down"} {
		if !b.Face().Disabled["key-"+key] {
			t.Errorf("with the one on the easel chosen %s can be pressed", key)
		}
	}
	before := b.doc()
	b.press("board-work", "board-beside", "board-down")
	if !reflect.DeepEqual(b.doc(), before) || len(b.righted) != 0 {
		t.Error("the one on the easel was taken down, up or laid beside")
	}
	b.press("pin-2", "board-down")
	b.wantListed("board-rows", "*greys (on the easel), cloud 2")
	b.wantText("board-note", "evening is taken down. Undo brings it back.")
	b.press("undo", "pin-77")
	b.wantListed("board-rows", "evening, *greys (on the easel), cloud 2")
}

// Another reference comes to the easel with its pixels, never before them; what was
// found about the one before is forgotten, and so back and forth by Undo and Redo.
func TestWorkingFromAnotherReference(t *testing.T) {
	b := withBoard(t, 2, "pin-3")
	b.Counted(b.Easel.counts.last, shape.Histogram{}, shape.Histogram{})
	before := b.doc()
	b.press("tray-study", "tray-study", "pin-3", "board-work")
	b.Easel.Righting(b.right.last, 0.41)
	b.wantText("study-finding", "Putting cloud 2 on the easel: 41 %")
	if len(b.righted) != 1 || b.righted[0].Reference != cloud(2) || b.doc().Reference != before.Reference || !b.Face().Disabled["key-board-work"] {
		t.Fatalf("asked for are the pixels of %+v, and the study stands on %q", b.righted, b.doc().Reference.Name)
	}
	if b.Righted(b.right.last, photo.New(600, 899)) || b.doc().Reference != before.Reference {
		t.Error("pixels of another size were taken")
	}
	b.press("board-work")
	if !b.setRightAsAsked() || b.doc().Reference != cloud(2) || b.picture.Size() != b.doc().Pixels() {
		t.Fatalf("the easel stands on %q", b.doc().Reference.Name)
	}
	if b.Easel.counts.known || b.counts[len(b.counts)-1].Crop != b.doc().Crop() {
		t.Error("the values of the photograph before are taken for this one's")
	}
	if c := b.doc().Crop(); !near(c.Width/c.Height, 1.5, 1e-9) {
		t.Errorf("on the canvas of 36 x 24 in its crop is %v", c)
	}
	b.wantListed("board-rows", "greys, cloud 1, *cloud 2 (on the easel)")
	for i, key := range []string{"undo", "redo"} {
		want := []study.Reference{before.Reference, cloud(2)}[i]
		b.press(key)
		if b.doc().Reference == want {
			t.Fatalf("%s went on without pixels", key)
		}
		if !b.setRightAsAsked() || b.doc().Reference != want || b.picture.Size() != b.doc().Pixels() {
			t.Errorf("after %s the easel stands on %q", key, b.doc().Reference.Name)
		}
	}
	b.press("undo")
	b.RightFailed(b.right.last, "its photograph is missing")
	b.wantText("message-text", "Its photograph is missing.")
	if b.doc().Reference != cloud(2) {
		t.Error("the study stands on a photograph that is not here")
	}
}

// What was done meanwhile counts: a reference that was taken down does not come up.
func TestAReferenceThatWasTakenDownDoesNotComeUp(t *testing.T) {
	b := withBoard(t, 2, "pin-2", "board-work", "board-down")
	before := b.doc()
	if b.setRightAsAsked() || !reflect.DeepEqual(b.doc(), before) {
		t.Errorf("the easel stands on %q", b.doc().Reference.Name)
	}
	b = withBoard(t, 2, "pin-2", "board-work", "pin-3", "board-work")
	b.Righted(b.right.last-1, photo.New(600, 900))
	if b.doc().Reference.Name != "greys.png" {
		t.Error("an older request was answered")
	}
	if b.setRightAsAsked(); b.doc().Reference != cloud(2) {
		t.Errorf("the newer one brought %q", b.doc().Reference.Name)
	}
}

// The picture's area is shared: side by side where it lies, one above the other where it
// stands; both in the same look, turned alike, and each wholly in its half.
func TestAReferenceLiesBeside(t *testing.T) {
	b := withBoard(t, 1, "pin-2", "board-beside")
	if len(b.lays) != 1 || b.lays[0].r != cloud(1) || !b.Face().Pressed["key-board-beside"] {
		t.Fatalf("a small copy was asked of %+v", b.lays)
	}
	b.Laying(b.lays[0].id, 0.5)
	b.wantText("board-note", "Laying cloud 1 beside: 50 %")
	if plan, _ := b.Plan(); len(plan.Panes) != 1 || plan.Panes[0].At != (render.Rect{Width: 450, Height: 700}) || plan.Width != 900 {
		t.Fatalf("before it is there the screen shows %+v", plan.Panes)
	}
	b.layAsAsked(400, 600)
	b.press("mirror", "squint")
	plan, _ := b.Plan()
	if len(plan.Panes) != 2 {
		t.Fatalf("the screen shows %d pictures", len(plan.Panes))
	}
	mine, other := plan.Panes[0], plan.Panes[1]
	if other.At != (render.Rect{X: 450, Width: 450, Height: 700}) || other.Look != mine.Look || !other.View.Mirror || mine.Other.Pyramid != nil {
		t.Errorf("the one beside is seen as %+v", other)
	}
	// The crop of 600 x 900 to 3:2 is 600 x 400, two thirds of it in the small copy.
	if c := other.Other.Crop; !near(c.Width, 400, 1e-9) || !near(c.Height, 800.0/3, 1e-9) || !near(other.View.Scale, (450-28)/400.0, 1e-9) {
		t.Errorf("its crop is %v at scale %v", c, other.View.Scale)
	}
	// Both are as wide as the canvas: so is the blur in each.
	if a, o := plan.Sigma(mine)/plan.Crop.Width, plan.Sigma(other)/other.Other.Crop.Width; !near(a, o, 1e-12) || a == 0 {
		t.Errorf("the squint is %v of one picture and %v of the other", a, o)
	}
	if !strings.HasSuffix(b.Face().Text["state-study"], "beside cloud 1") {
		t.Errorf("above the picture it says %q", b.Face().Text["state-study"])
	}
	b.Resize(500, 900, 1)
	plan, _ = b.Plan()
	if plan.Panes[0].At != (render.Rect{Width: 500, Height: 450}) || plan.Panes[1].At != (render.Rect{Y: 450, Width: 500, Height: 450}) {
		t.Errorf("standing they lie at %+v and %+v", plan.Panes[0].At, plan.Panes[1].At)
	}
	b.press("board-beside")
	if plan, _ = b.Plan(); len(plan.Panes) != 1 || plan.Panes[0].At.Height != 900 || len(b.laid) != 0 {
		t.Errorf("alone again the screen shows %+v and holds %d copies", plan.Panes, len(b.laid))
	}
	b.press("board-beside")
	b.LayFailed(b.lays[len(b.lays)-1].id, "its photograph is missing")
	b.wantText("board-note", "Its photograph is missing.")
}

// The one on the easel changes places with the one beside.
func TestTakingUpWhatLiesBeside(t *testing.T) {
	b := withBoard(t, 1, "pin-2", "board-beside", "board-work")
	b.layAsAsked(400, 600)
	if b.setRightAsAsked(); b.doc().Board.Beside != 1 || b.lays[len(b.lays)-1].r != greysDoc().Reference || len(b.laid) != 1 {
		t.Errorf("beside lies %d, asked for are %+v", b.doc().Board.Beside, b.lays)
	}
}

// Touches on the one beside neither move the picture nor mark it.
func TestTouchesBesideDoNothing(t *testing.T) {
	b := withBoard(t, 1, "pin-2", "board-beside", "tray-place")
	b.layAsAsked(400, 600)
	before := b.doc()
	b.tap(Touch, 700, 350)
	b.drag(1, 700, 350, 100, 350)
	b.Wheel(700, 350, -200)
	b.clock = b.clock.Add(5 * time.Second)
	b.Tick()
	if !reflect.DeepEqual(b.doc(), before) {
		t.Errorf("the study became %+v", b.doc())
	}
	b.tap(Touch, 225, 350)
	if m := b.onlyMark(); !near(m.X, 600, 1e-6) || !near(m.Y, 400, 1e-6) {
		t.Errorf("a touch in the middle of the first half marks %s", describe(m))
	}
	b.touch(Down, 3, 225, 350)
	if plan, _ := b.Plan(); len(plan.Panes) != 3 || plan.Panes[2].At.X+plan.Panes[2].At.Width > 450 {
		t.Errorf("the round lies at %+v, over the one beside", plan.Panes[len(plan.Panes)-1].At)
	}
	b.touch(Up, 3, 225, 350)
	b.press("mark-delete")
	b.Key("Enter", false, false)
	if m := b.onlyMark(); !near(m.X, 600, 1e-6) {
		t.Errorf("Enter marks %s", describe(m))
	}
}

// One thing is borrowed from another reference: words, a part of it, and the mark that
// it goes to.
func TestThingsAreBorrowed(t *testing.T) {
	b := withBoard(t, 1)
	b.do(b.doc().WithMark(place.PhotoPoint{X: 600, Y: 100}, 2).NamedMark(1, "sky line"), "")
	b.press("board-borrow")
	b.wantText("board-note", "Say what you borrow first, as in: the sky from this one.")
	b.press("pin-1", "board-borrow")
	b.wantText("board-note", "Choose the reference that you borrow from first, or lay it beside.")
	b.press("pin-2")
	b.Type("borrow-words", "the whole of it")
	b.press("board-borrow", "board-beside")
	b.layAsAsked(400, 600)
	b.press("board-part")
	if f := b.Face(); len(f.Handles) != 9 || f.Part == nil || !f.Pressed["key-board-part"] || f.Frame != nil {
		t.Fatalf("there are %d handles and the frame %+v", len(f.Handles), f.Part)
	}
	// The crop, 600 x 400 from (0, 250), is seen at 422/600 of its size in the middle of
	// the second half: from (464, 209.3) to (886, 490.7).
	b.drag(1, 675, 350, 464-50, 200)
	b.Type("borrow-words", "the sky from this one")
	if b.press("board-borrow"); b.tool.tool != noTool || b.Face().Value["borrow-words"] != "" {
		t.Error("after borrowing the tool is still in hand, or the words are still there")
	}
	loans := b.doc().Board.Borrowed
	if len(loans) != 2 || loans[0].Part != (place.Crop{Y: 250, Width: 600, Height: 400}) || loans[1].Mark != 1 || loans[1].From != 2 || loans[1].To != 1 {
		t.Fatalf("borrowed are %+v", loans)
	}
	if c := loans[1].Part; !near(c.X, 0, 1e-6) || !near(c.Y, 250, 1e-6) || !near(c.Width, 300, 1e-6) || !near(c.Height, 200, 1e-6) {
		t.Errorf("the part is %v", c)
	}
	b.wantListed("borrowed-rows", "the whole of it (from cloud 1, to sky line), the sky from this one (from cloud 1, to sky line)")
	b.press("board-beside")
	b.show(b.doc().Choosing(0))
	b.press("row-borrowed-2")
	if d := b.doc(); d.Board.Beside != 2 || d.Chosen != 1 || !b.Face().Rows["borrowed-rows"][1].Pressed {
		t.Errorf("the row lays %d beside and chooses mark %d", d.Board.Beside, d.Chosen)
	}
	visible := false
	for _, m := range b.Face().Marks {
		visible = visible || m.Visible
	}
	if !visible {
		t.Error("the mark that it goes to is not shown")
	}
	b.press("borrowed-away")
	b.wantListed("borrowed-rows", "the whole of it (from cloud 1, to sky line)")
	b.press("undo", "pin-2", "board-work")
	b.setRightAsAsked()
	b.wantListed("borrowed-rows", "the whole of it (from cloud 1, into greys), the sky from this one (from cloud 1, into greys)")
}

// The part is moved by the keyboard, too, and a touch that draws none leaves it.
func TestThePartIsNudged(t *testing.T) {
	b := withBoard(t, 1, "pin-2", "board-beside")
	if b.press("board-part"); b.tool.tool != noTool {
		t.Error("a part can be drawn of a picture that is not there yet")
	}
	b.layAsAsked(400, 600)
	b.press("board-part")
	was := b.tool.part
	if was != (place.Crop{X: 150, Y: 350, Width: 300, Height: 200}) {
		t.Fatalf("the part begins as %v", was)
	}
	b.tap(Touch, 700, 350)
	b.drag(2, 500, 300, 505, 400)
	if b.tool.part != was {
		t.Errorf("a touch made the part %v", b.tool.part)
	}
	one := 600.0 / 422 // of its pixels on one of the screen
	b.NudgeHandle("part-middle", 10, 0)
	b.NudgeHandle("part-bottom-right", 0, -5)
	if c := b.tool.part; !near(c.X, 150+10*one, 1e-6) || !near(c.Height, 200-5*one, 1e-6) {
		t.Errorf("nudged the part is %v", c)
	}
	b.press("mirror")
	now := b.tool.part
	b.NudgeHandle("part-middle", 10, 0)
	if c := b.tool.part; !near(c.X, now.X-10*one, 1e-6) {
		t.Errorf("mirrored, a nudge to the right makes it %v", c)
	}
	b.NudgeHandle("part-x", 10, 0)
	b.NudgeHandle("part-middle", math.NaN(), 0)
	b.touch(Down, 1, 700, 350)
	b.touch(Move, 1, 800, 400)
	b.touch(Cancel, 1, 800, 400)
	if c := b.tool.part; !near(c.X, now.X-10*one, 1e-6) || !near(c.Width, now.Width, 1e-6) {
		t.Errorf("a touch that was taken back left %v", c)
	}
	b.Key("Escape", false, false)
	if b.tool.tool != noTool || b.Face().Part != nil {
		t.Error("Escape leaves the tool in hand")
	}
}

// Little pictures are asked for once, for the lists in sight alone.
func TestLittlePictures(t *testing.T) {
	b := atWork(t, 1)
	b.Pinned(1, cloud(1))
	if len(b.littles) != 0 {
		t.Errorf("out of sight little pictures are asked for: %+v", b.littles)
	}
	b.press("tray-study", "part-board", "part-log", "part-board")
	if len(b.littles) != 2 || b.littles[1].Reference != cloud(1) || b.littles[0].Key == b.littles[1].Key {
		t.Fatalf("asked for are %+v", b.littles)
	}
	if row := b.Face().Rows["board-rows"][1]; row.Picture != b.littles[1].Key {
		t.Errorf("a row shows %q", row.Picture)
	}
	b.LittleFailed(b.littles[1].Key, "the photograph is missing")
	b.LittleFailed("another", "the photograph is missing")
	b.wantListed("board-rows", "greys (on the easel), *cloud 1 (not here)")
}
