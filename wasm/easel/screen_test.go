package easel

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"maulstick/render/look"
	"maulstick/render/place"
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
	if !reflect.DeepEqual(b.saved, []string{"greys.maulstick.json"}) || b.doc().Look.Tone != look.Grey {
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

func TestPedalsStepThroughTheCycle(t *testing.T) {
	b := atWork(t, 1)
	b.press("squint", "turn")
	see := func(key, want string) {
		t.Helper()
		if !b.Key(key, false, false) {
			t.Errorf("%s means nothing", key)
		}
		d := b.doc()
		got := []string{}
		for name, on := range map[string]bool{
			"grey": d.Look.Tone == look.Grey, "steps": d.Look.Tone == look.Steps,
			"filter": d.Look.Filter, "squint": d.Look.Squint, "mirror": d.View.Mirror,
		} {
			if on {
				got = append(got, name)
			}
		}
		if len(got) == 0 {
			got = []string{"photograph"}
		}
		if strings.Join(got, "+") != want || !d.View.Turned {
			t.Errorf("%s shows %v, want %s, upside down as before", key, got, want)
		}
	}
	see("PageDown", "mirror")
	see("PageDown", "photograph")
	see(" ", "grey")
	see("ArrowRight", "filter")
	see("ArrowDown", "steps")
	see("PageUp", "filter")
	see("ArrowLeft", "grey")
	if !b.Key("PageDown", false, true) || b.doc().Look.Tone != look.Grey {
		t.Error("a pedal held down went on by itself")
	}
	b.press("cycle-filter", "cycle-steps")
	see("PageDown", "squint")
	if f := b.Face(); f.Checked["key-cycle-filter"] || !f.Checked["key-cycle-grey"] {
		t.Error("the boxes of the cycle are not ticked as it is")
	}
	for _, item := range study.Cycles() {
		b.Easel.show(b.doc().WithCycle(item, false))
	}
	if b.Key("PageDown", false, false) {
		t.Error("an empty cycle took the key from the browser")
	}
}

func TestNudgesMoveAMarkByAHair(t *testing.T) {
	for _, dpr := range []float64{1, 3} {
		b := atWork(t, dpr)
		b.press("tray-place", "mirror")
		b.tap(Mouse, 400, 300)
		undoable := b.doc().Marks[0]
		for _, k := range []string{"ArrowRight", "ArrowRight", "ArrowDown"} {
			if !b.Key(k, false, false) {
				t.Fatalf("%s means nothing with a mark chosen", k)
			}
		}
		b.Key("ArrowLeft", true, true)
		x, y := b.screenOf(point(b.onlyMark()))
		if !near(x, 400+(2-10)/dpr, 1e-6) || !near(y, 300+1/dpr, 1e-6) {
			t.Errorf("dpr %v: the mark is at %v, %v, want 8 device pixels to the left and 1 down", dpr, x, y)
		}
		if want := 0.5 / (b.scaleCSS() * dpr); !near(b.onlyMark().Touch, want, 1e-9) {
			t.Errorf("dpr %v: a nudged mark is %v photo pixels off, want half a device pixel, %v", dpr, b.onlyMark().Touch, want)
		}
		b.press("undo")
		if b.onlyMark() != undoable {
			t.Errorf("dpr %v: one undo after a row of nudges leaves %s", dpr, describe(b.onlyMark()))
		}
	}
}

func TestEverythingAboutMarksFromTheKeyboard(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-place")
	b.Key("Enter", false, false)
	m := b.onlyMark()
	if !near(m.X, 600, 1e-6) || !near(m.Y, 400, 1e-6) {
		t.Fatalf("Enter placed mark %s, want it in the middle", describe(m))
	}
	b.Key("+", false, false)
	b.Key("+", false, false)
	if z := b.doc().View.Zoom; !near(z, 2, 1e-9) {
		t.Errorf("two presses of + zoomed %v times, want 2", z)
	}
	for range 600 {
		b.Key("ArrowRight", true, true)
	}
	if k := b.Face().Marks[0]; !k.Visible || b.onlyMark().X != 1200 {
		t.Errorf("a mark nudged to the edge is at %s, visible: %v", describe(b.onlyMark()), k.Visible)
	}
	b.Key("0", false, false)
	b.Key("Escape", false, false)
	if b.doc().Chosen != 0 || !b.doc().View.Fit {
		t.Error("0 and Escape did not fit the picture and let go of the mark")
	}
	b.press("mark-1")
	b.Key("Delete", false, false)
	if len(b.doc().Marks) != 0 {
		t.Error("Delete deleted nothing")
	}
	if b.Key("Tab", false, false) || b.Key("a", false, false) {
		t.Error("keys that mean nothing here were taken from the browser")
	}
}

func TestShiftAndArrowsPan(t *testing.T) {
	b := atWork(t, 2)
	b.Key("+", false, false)
	x0, y0 := b.screenOf(place.PhotoPoint{X: 600, Y: 400})
	b.Key("ArrowRight", true, false)
	b.Key("ArrowDown", true, false)
	if x, y := b.screenOf(place.PhotoPoint{X: 600, Y: 400}); !near(x, x0-60, 1e-6) || !near(y, y0-60, 1e-6) {
		t.Errorf("the picture went from %v, %v to %v, %v", x0, y0, x, y)
	}
}

func TestMarksOffTheCanvasSayIt(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-place")
	x, y := b.screenOf(place.PhotoPoint{X: 50, Y: 400})
	b.tap(Mouse, x, y)
	b.Type("canvas", "10 x 10 in")
	if note := b.Face().Text["place-note"]; !strings.Contains(note, "not on the canvas") || b.figures() != "hidden" {
		t.Errorf("a mark that is cut off reads %q, %q", b.figures(), note)
	}
	if k := b.Face().Marks[0]; k.Visible || !strings.Contains(k.Label, "not on the canvas") {
		t.Errorf("a mark that is cut off is shown: %+v", k)
	}
	b.press("undo")
	if b.figures() == "hidden" {
		t.Error("undoing the canvas did not bring the mark back onto it")
	}
}

func TestWithoutACanvasPlacesAskForOne(t *testing.T) {
	b := newBench(t, 1)
	b.Show(greysDoc(), greys(), true)
	b.press("tray-place")
	b.tap(Mouse, 450, 350)
	if note := b.Face().Text["place-note"]; !strings.Contains(note, "size of the canvas") || b.figures() != "hidden" {
		t.Errorf("without a canvas a mark reads %q, %q", b.figures(), note)
	}
	b.wantText("squint-strength", "1/40 of the long side")
}

func TestSquintIsSaidInCanvasUnits(t *testing.T) {
	b := atWork(t, 1)
	// 1/40 of 36 in is 0.9 in: 14.4 sixteenths, to the nearest 7/8 in.
	b.wantText("squint-strength", "7/8 in on the canvas")
	b.press("squint-more", "squint-more")
	b.wantText("squint-strength", "1 13/16 in on the canvas")
	if blur := b.doc().Look.Blur; !near(float64(blur), 1.8*25.4, 1e-9) || !b.doc().Look.Squint {
		t.Errorf("the squint is %v mm, want 1.8 in", blur)
	}
	for range 40 {
		b.press("squint-less")
	}
	if f := b.Face(); !f.Disabled["key-squint-less"] || f.Disabled["key-squint-more"] {
		t.Error("the weakest squint can be made weaker")
	}
	b.press("unit")
	b.wantText("squint-strength", "0.1 cm on the canvas")
}

func TestUncertaintyIsRoundedUp(t *testing.T) {
	for _, c := range []struct {
		l    place.MM
		u    place.Unit
		want string
	}{
		{0.01, place.Inch, "1/16 in"}, {25.4 / 16, place.Inch, "1/16 in"}, {25.4/16 + 0.001, place.Inch, "1/8 in"},
		{24, place.Inch, "1 in"}, {0.2, place.Centimetre, "0.1 cm"}, {1.01, place.Centimetre, "0.2 cm"}, {3.2, place.Millimetre, "4 mm"},
	} {
		if got := within(c.l, c.u); got != c.want {
			t.Errorf("within %v mm is said as %q, want %q", c.l, got, c.want)
		}
	}
}

func TestSharesSumToAHundred(t *testing.T) {
	for _, c := range []struct {
		parts []float64
		want  string
	}{
		{[]float64{1.0 / 3, 1.0 / 3, 1.0 / 3}, "34 % 33 % 33 %"},
		{[]float64{0.004, 0.996}, "<1 % 100 %"},
		{[]float64{0, 0.5, 0.5, 0}, "none 50 % 50 % none"},
		{[]float64{0.0049, 0.0049, 0.0049, 0.9853}, "<1 % <1 % <1 % 100 %"},
		{[]float64{0.125, 0.125, 0.125, 0.125, 0.125, 0.125, 0.125, 0.125}, "13 % 13 % 13 % 13 % 12 % 12 % 12 % 12 %"},
		{[]float64{0, 0}, "none none"},
	} {
		if got := strings.Join(shares(c.parts), " "); got != c.want {
			t.Errorf("%v are said as %q, want %q", c.parts, got, c.want)
		}
	}
}

func TestStepsFollowTheirKeys(t *testing.T) {
	b := atWork(t, 1)
	l := func() look.Look { return b.doc().Look }
	b.press("step-4")
	if l().Tone != look.Steps || l().Keep != look.KeepOnly || l().Step != 4 {
		t.Errorf("step 4 gave %+v", l())
	}
	b.press("darker")
	if l().Keep != look.KeepDarker || l().Step != 4 {
		t.Errorf("and all darker gave %+v", l())
	}
	if f := b.Face(); !f.Steps[3].Pressed || f.Steps[2].Pressed || !f.Pressed["key-darker"] || f.Pressed["key-only"] {
		t.Error("the keys do not show the step that is isolated")
	}
	b.press("step-2")
	if l().Keep != look.KeepDarker || l().Step != 2 {
		t.Errorf("step 2 gave %+v, want and all darker kept", l())
	}
	b.press("step-2")
	if l().Keep != look.KeepAll {
		t.Errorf("step 2 again gave %+v, want all steps", l())
	}
	b.press("more", "more", "more", "more", "more", "more")
	if l().Steps != 9 || !b.Face().Disabled["key-more"] {
		t.Errorf("more steps gave %d", l().Steps)
	}
	b.press("steps", "step-10", "step-0", "step-x")
	if l().Tone != look.Colour {
		t.Errorf("Steps pressed while on gave %+v, want full colour", l())
	}
	b.press("grey", "grey")
	if l().Tone != look.Colour {
		t.Errorf("Grey pressed twice gave %+v", l())
	}
}

func TestOldCountsAreIgnored(t *testing.T) {
	b := atWork(t, 1)
	b.Type("canvas", "10 x 10 in")
	n := len(b.counts)
	old, last := b.counts[n-2], b.counts[n-1]
	if old.ID == last.ID || old.Crop == last.Crop {
		t.Fatalf("another crop was not counted: %+v", b.counts)
	}
	eye, filter := histograms(greys(), old.Crop)
	b.Counted(old.ID, eye, filter)
	if b.Face().Steps[0].Share != "" {
		t.Error("shares of another crop are shown")
	}
	eye, filter = histograms(greys(), last.Crop)
	b.Counted(last.ID, eye, filter)
	if b.Face().Steps[0].Share == "" {
		t.Error("shares are not shown")
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

func TestSurroundStaysGrey(t *testing.T) {
	b := atWork(t, 1)
	for range 20 {
		b.press("surround-lighter")
	}
	// Lightness 80 is Y 56.7 % (CIE 15), sRGB code 198.
	if p, _ := b.Plan(); b.Face().Surround != 198 || p.Surround.R != 198 || p.Surround.G != 198 || p.Surround.B != 198 {
		t.Errorf("the lightest surround is %d on the page and %v behind the picture", b.Face().Surround, p.Surround)
	}
}

func ExampleEasel_Face() {
	e := New(&bench{}, time.Now)
	fmt.Println(e.Face().Text["state-study"])
	// Output: Open a photograph to begin.
}
