package easel

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"maulstick/render"
)

// withLog has the greys on the easel and the log in sight, with two photographs of the
// canvas and words between them, an hour apart.
func withLog(t *testing.T, keys ...string) *bench {
	b := atWork(t, 1)
	b.press("tray-study", "part-log")
	b.Type("log-stage", "block-in")
	b.Logged(cloud(1))
	b.clock = b.clock.Add(time.Hour)
	b.Type("log-words", "darks are too cool")
	b.press("log-add")
	b.clock = b.clock.Add(time.Hour)
	b.Logged(cloud(2))
	b.press(keys...)
	return b
}

func TestTheLogIsWritten(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-study", "part-log", "log-add")
	b.wantText("log-note", "Write what you did or saw first, or the stage of the work.")
	b.press("log-photo")
	if len(b.choosing) != 1 || b.choosing[0] != "log" || b.Taking() != TakeLog {
		t.Errorf("files are chosen for %v, and taken for %v", b.choosing, b.Taking())
	}
	b = withLog(t)
	b.wantListed("log-rows", "1 Jan 2026, 11:00, 1 Jan 2026, 10:00 (darks are too cool), 1 Jan 2026, 09:00 (block-in)")
	b.wantText("log-note", "Written down, with the photograph of the canvas.")
	b.wantValue("log-stage", "")
	log := b.doc().Log
	if log[0].Photograph.Hash != cloud(1).Hash || log[0].Stage != "block-in" || log[1].Photograph != nil || !log[1].Time.Equal(log[0].Time.Add(time.Hour)) {
		t.Errorf("the log is %+v", log)
	}
	b.press("entry-2")
	b.wantValue("log-words", "darks are too cool")
	b.Type("log-stage", "second sitting")
	b.Type("log-words", "lights next")
	b.wantListed("log-rows", "1 Jan 2026, 11:00, *1 Jan 2026, 10:00 (second sitting) (lights next), 1 Jan 2026, 09:00 (block-in)")
	b.press("log-away")
	b.wantListed("log-rows", "1 Jan 2026, 11:00, 1 Jan 2026, 09:00 (block-in)")
	b.press("undo", "entry-2", "entry-2", "entry-77")
	b.wantValue("log-words", "")
	if len(b.doc().Log) != 3 || len(b.log.chosen) != 0 {
		t.Errorf("there are %d notes, chosen are %v", len(b.doc().Log), b.log.chosen)
	}
}

// One photograph of the canvas lies beside the reference; two lie side by side, the older
// first, and nothing of the easel's is measured on them.
func TestPhotographsOfTheCanvasAreCompared(t *testing.T) {
	b := withLog(t, "entry-3", "log-beside")
	b.layAsAsked(400, 600)
	plan, _ := b.Plan()
	if len(plan.Panes) != 2 || plan.Panes[0].Other.Pyramid != nil || plan.Panes[1].Other.Pyramid == nil || !b.Face().Pressed["key-log-beside"] {
		t.Fatalf("beside the reference there is %+v", plan.Panes)
	}
	b.press("entry-1")
	if !reflect.DeepEqual(b.doc().Compared, []int{1, 3}) || !b.away() {
		t.Fatalf("compared are %v", b.doc().Compared)
	}
	if plan, _ = b.Plan(); len(plan.Panes) != 1 || plan.Panes[0].At.X != 450 {
		t.Errorf("before the other is there the screen shows %+v", plan.Panes)
	}
	b.layAsAsked(200, 300)
	plan, _ = b.Plan()
	if len(plan.Panes) != 2 || plan.Panes[0].At != (render.Rect{Width: 450, Height: 700}) || plan.Panes[0].Other.Crop.Width != 200 || plan.Panes[1].Other.Crop.Width != 400 {
		t.Fatalf("side by side there are %+v", plan.Panes)
	}
	if !strings.HasSuffix(b.Face().Text["state-study"], "block-in beside note of 1 January") {
		t.Errorf("above the picture it says %q", b.Face().Text["state-study"])
	}
	before := b.doc()
	b.tap(Touch, 225, 350)
	b.drag(1, 225, 350, 300, 400)
	b.Key("Enter", false, false)
	if !reflect.DeepEqual(b.doc(), before) {
		t.Error("touches on photographs of the canvas changed the study")
	}
	b.press("tray-value")
	if b.away() {
		t.Error("what a tray is about is out of sight")
	}
	b.press("tray-study", "log-beside", "log-beside")
	if len(b.doc().Compared) != 0 || len(b.laid) != 0 {
		t.Errorf("compared are %v", b.doc().Compared)
	}
}

// Words cannot be compared; of three notes the last two touched are.
func TestOfThreeNotesTheLastTwo(t *testing.T) {
	b := withLog(t, "entry-2")
	if b.press("log-beside"); len(b.doc().Compared) != 0 || !b.Face().Disabled["key-log-beside"] {
		t.Errorf("compared are %v", b.doc().Compared)
	}
	b.press("entry-1", "entry-3", "log-beside")
	if !reflect.DeepEqual(b.doc().Compared, []int{1, 3}) || !b.Face().Disabled["key-log-away"] {
		t.Errorf("compared are %v", b.doc().Compared)
	}
}
