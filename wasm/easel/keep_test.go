package easel

import (
	"errors"
	"reflect"
	"strings"
	"testing"
	"time"

	"maulstick/render/look"
	"maulstick/render/study"
)

func TestEveryChangeIsKeptWithinASecond(t *testing.T) {
	b := atWork(t, 1)
	changes := 0
	b.press("tray-place", "mark-new")
	b.touch(Down, 1, 200, 200)
	first := b.clock
	for range 300 {
		b.clock = b.clock.Add(16 * time.Millisecond)
		b.touch(Move, 1, 200+float64(changes), 220)
		changes++
		b.Tick()
	}
	b.touch(Up, 1, 500, 220)
	b.wait(time.Second)
	if len(b.kept) == 0 || b.keptAt[0].Sub(first) > time.Second {
		t.Fatalf("kept %d times, at %v after the first change at %v", len(b.kept), b.keptAt, first)
	}
	for i := 1; i < len(b.keptAt); i++ {
		if gap := b.keptAt[i].Sub(b.keptAt[i-1]); gap > time.Second {
			t.Errorf("a second of changes was not kept: %v between keeps", gap)
		}
	}
	if n := len(b.kept); n > 14 {
		t.Errorf("five seconds of dragging were written %d times", n)
	}
	if !reflect.DeepEqual(b.kept[len(b.kept)-1], b.doc()) {
		t.Error("the last state was not kept")
	}
	n := len(b.kept)
	b.wait(time.Minute)
	if len(b.kept) != n || b.Tick() != 0 {
		t.Error("an easel left alone still writes or wants its clock")
	}
}

func TestLeavingKeepsAtOnce(t *testing.T) {
	b := atWork(t, 1)
	b.press("mirror")
	b.Press("plain")
	b.Leave()
	if len(b.kept) != 1 || !b.kept[0].View.Mirror || b.plain {
		t.Errorf("leaving kept %d states and left Plain held: %v", len(b.kept), b.plain)
	}
	b.Return()
	if want := []bool{true, false, true}; !reflect.DeepEqual(b.awake, want) {
		t.Errorf("the screen was asked awake %v, want %v", b.awake, want)
	}
}

func TestAnotherStudyDoesNotCostTheOneBefore(t *testing.T) {
	b := atWork(t, 1)
	b.press("mirror")
	before := b.doc()
	other := greysDoc()
	other.ID = "other"
	b.Show(other, greys(), false)
	if len(b.kept) != 2 || !reflect.DeepEqual(b.kept[0], before) || b.kept[1].ID != "other" {
		t.Errorf("opening another study kept %d states, want the one before and the new one", len(b.kept))
	}
}

func TestATabletThatKeepsNothingIsSaid(t *testing.T) {
	b := atWork(t, 1)
	b.NotKept(nil)
	if f := b.Face(); f.Hidden["key-notice-save"] || !strings.Contains(f.Text["notice-text"], "refuses storage") {
		t.Errorf("a tablet without storage is told as %q", f.Text["notice-text"])
	}
}

func TestWorkGoesOnWhenNothingIsKept(t *testing.T) {
	b := atWork(t, 1)
	b.press("filter")
	b.clock = b.clock.Add(time.Second)
	b.Tick()
	b.wantText("state-kept", "Keeping")
	b.Kept(errors.New("the tablet's storage is full"))
	f := b.Face()
	if f.Hidden["notice"] || f.Hidden["key-notice-save"] || !strings.Contains(f.Text["notice-text"], "not being kept: the tablet's storage is full") {
		t.Errorf("a full tablet is told as %q", f.Text["notice-text"])
	}
	b.wantText("state-kept", "Not kept")
	b.press("notice-save", "grey")
	if !reflect.DeepEqual(b.saved, []string{"greys.maulstick.zip"}) || b.doc().Look.Tone != look.Grey {
		t.Errorf("saved %v, look %+v", b.saved, b.doc().Look)
	}
	n := len(b.kept)
	b.clock = b.clock.Add(time.Second)
	b.Tick()
	if len(b.kept) != n+1 {
		t.Fatal("a later change was not tried again")
	}
	b.Kept(nil)
	if f := b.Face(); !f.Hidden["notice"] || f.Text["state-kept"] != "Kept on this tablet" {
		t.Errorf("once kept again the page says %q, %q", f.Text["notice-text"], f.Text["state-kept"])
	}
}

func TestStandingNotices(t *testing.T) {
	b := atWork(t, 1)
	b.WakeLock(false)
	b.SetAside("the study as it was last kept is damaged and was set aside")
	b.UpdateOffered()
	text := b.Face().Text["notice-text"]
	for _, want := range []string{"may dim", "set aside.", "new version"} {
		if !strings.Contains(text, want) {
			t.Errorf("the notice %q does not say %q", text, want)
		}
	}
	b.press("update")
	if b.updated != 1 || b.Face().Hidden["key-update"] {
		t.Error("the new version cannot be started")
	}
	b.WakeLock(true)
	if strings.Contains(b.Face().Text["notice-text"], "may dim") {
		t.Error("the notice about dimming stays")
	}
}

func TestStudyOfANewerFormIsNeverWritten(t *testing.T) {
	b := newBench(t, 1)
	doc := greysDoc()
	doc.Format = study.Format + 1
	b.Show(doc, greys(), false)
	b.press("filter", "mirror")
	b.wait(5 * time.Second)
	b.Leave()
	if len(b.kept) != 0 || !strings.Contains(b.Face().Text["notice-text"], "newer") {
		t.Errorf("kept %d times; the notice is %q", len(b.kept), b.Face().Text["notice-text"])
	}
}

func TestHandsOff(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-study", "handsoff")
	before := b.doc()
	if f := b.Face(); f.Hidden["lock"] || !f.Disabled["key-filter"] || f.Text["lock-words"] == "" || before.Tray != "" {
		t.Error("hands off is not said, or does not leave the picture alone")
	}
	b.press("filter", "tray-value", "step-2", "undo", "open")
	b.Type("canvas", "10 x 10 in")
	b.tap(Touch, 300, 300)
	b.drag(1, 300, 300, 500, 500)
	b.Wheel(300, 300, -300)
	b.Key("PageDown", false, false)
	if !reflect.DeepEqual(b.doc(), before) || b.opened != 0 {
		t.Error("a locked screen did something")
	}
	b.Press("unlock")
	b.wait(900 * time.Millisecond)
	b.Release("unlock")
	b.wait(5 * time.Second)
	if !b.lock.on {
		t.Fatal("holding the key for 0.9 s unlocked the screen")
	}
	b.Press("unlock")
	b.wait(1100 * time.Millisecond)
	if b.lock.on {
		t.Fatal("holding the key for 1.1 s did not unlock the screen")
	}
	b.Release("unlock")
	b.press("filter")
	if b.lock.on || !b.doc().Look.Filter {
		t.Error("after unlocking the screen does not answer")
	}
}

func TestNothingIsDrawnWhenNothingChanges(t *testing.T) {
	b := atWork(t, 1)
	n := b.redrawn
	b.wait(10 * time.Second)
	b.press("tray-study", "tray-study", "unit", "from-x")
	b.Type("study-name", "Greys")
	if b.redrawn != n {
		t.Errorf("%d frames were asked for though the picture stayed as it was", b.redrawn-n)
	}
	b.press("grey")
	if b.redrawn != n+1 {
		t.Errorf("%d frames were asked for by another look, want one", b.redrawn-n)
	}
}

// What a file tells of its photographs is said, of all, some or none of them.
func TestSavedTellsWhatTheFileTells(t *testing.T) {
	b := atWork(t, 1)
	for _, c := range []struct {
		came, photographs int
		want              string
	}{{0, 3, "was left out."}, {2, 3, "but for 2 of 3"}, {3, 3, "are as they came, with all"}} {
		b.Saved(c.came, c.photographs)
		if got := b.Face().Text["message-text"]; !strings.Contains(got, c.want) {
			t.Errorf("with %d of %d as they came it says %q", c.came, c.photographs, got)
		}
	}
}
