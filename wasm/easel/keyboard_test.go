package easel

import (
	"strings"
	"testing"

	"maulstick/render/look"
	"maulstick/render/place"
	"maulstick/render/study"
)

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
