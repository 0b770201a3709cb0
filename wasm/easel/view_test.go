package easel

import (
	"reflect"
	"testing"
	"time"

	"maulstick/render/place"
)

func TestPinchKeepsThePlacesUnderTheFingers(t *testing.T) {
	for way := range 4 {
		b := atWork(t, 2)
		if way&1 != 0 {
			b.press("mirror")
		}
		if way&2 != 0 {
			b.press("turn")
		}
		at := func(x, y float64) place.PhotoPoint { return b.viewport().ToPhoto(2*x, 2*y) }
		b.touch(Down, 1, 400, 300)
		b.touch(Down, 2, 500, 380)
		one, two := at(400, 300), at(500, 380)
		b.touch(Move, 1, 300, 260)
		b.touch(Move, 2, 550, 460)
		for _, f := range []struct {
			p    place.PhotoPoint
			x, y float64
		}{{one, 300, 260}, {two, 550, 460}} {
			if x, y := b.screenOf(f.p); !near(x, f.x, 1e-6) || !near(y, f.y, 1e-6) {
				t.Errorf("way %d: what was under a finger is at %v, %v, the finger at %v, %v", way, x, y, f.x, f.y)
			}
		}
		// The finger that stays pans from where it is.
		b.touch(Up, 2, 550, 460)
		zoom := b.doc().View.Zoom
		b.touch(Move, 1, 320, 280)
		if x, y := b.screenOf(one); !near(x, 320, 1e-6) || !near(y, 280, 1e-6) || b.doc().View.Zoom != zoom {
			t.Errorf("way %d: the finger that stayed moved the picture to %v, %v", way, x, y)
		}
		b.touch(Up, 1, 320, 280)
	}
}

func TestAPinchOverThePlaceTrayMakesNoMark(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-place")
	b.touch(Down, 1, 400, 300)
	b.clock = b.clock.Add(30 * time.Millisecond)
	b.touch(Down, 2, 500, 300)
	b.touch(Move, 2, 700, 300)
	b.touch(Up, 1, 400, 300)
	b.touch(Up, 2, 700, 300)
	if len(b.doc().Marks) != 0 {
		t.Errorf("two fingers placed %v", b.doc().Marks)
	}
	if !near(b.doc().View.Zoom, 3, 1e-9) {
		t.Errorf("fingers three times as far apart zoomed %v times", b.doc().View.Zoom)
	}
}

func TestDoubleTapFitsAndLeavesNothingElse(t *testing.T) {
	for _, tray := range []string{"", "tray-value", "tray-place", "tray-study"} {
		b := atWork(t, 1)
		b.press("tray-place", "mark-new")
		b.tap(Touch, 200, 200)
		b.press("tray-place", tray)
		b.Wheel(450, 350, -300)
		before := b.doc()
		b.clock = b.clock.Add(time.Second)
		b.tapSoon(1, 450, 350)
		b.clock = b.clock.Add(120 * time.Millisecond)
		b.tapSoon(2, 455, 352)
		got := b.doc()
		if !got.View.Fit {
			t.Errorf("tray %q: a double tap did not fit the picture", tray)
		}
		got.View, got.NextMark = before.View, before.NextMark
		if !reflect.DeepEqual(got, before) {
			t.Errorf("tray %q: a double tap left %+v, want %+v", tray, got, before)
		}
	}
}

func TestOneFingerPansAndThePictureCannotBeLost(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-place")
	b.tap(Touch, 200, 200)
	b.Wheel(450, 350, -400)
	p := b.viewport().ToPhoto(600, 400)
	b.drag(1, 600, 400, 500, 450)
	if x, y := b.screenOf(p); !near(x, 500, 1e-6) || !near(y, 450, 1e-6) || len(b.doc().Marks) != 1 {
		t.Errorf("a drag brought its place to %v, %v with %d marks", x, y, len(b.doc().Marks))
	}
	for range 30 {
		b.drag(1, 100, 100, 850, 650)
	}
	if middle := b.viewport().ToPhoto(450, 350); !b.doc().Crop().Contains(middle) {
		t.Errorf("the middle of the area shows %v, off the picture", middle)
	}
}

func TestZoomEndsAtFittingAndAtSixteen(t *testing.T) {
	b := atWork(t, 2)
	for range 100 {
		b.Wheel(10, 690, -400)
	}
	if s := b.viewport().Scale; !near(s, 16, 1e-9) {
		t.Errorf("the closest is %v device pixels a photo pixel, want 16", s)
	}
	for range 100 {
		b.Wheel(890, 10, 400)
	}
	if s := b.viewport().Scale; !near(s, min((1800-56)/1200.0, (1400-56)/800.0), 1e-9) || !b.doc().View.Fit {
		t.Errorf("the furthest is %v device pixels a photo pixel, want the fitting size", s)
	}
}

func TestAChangedAreaDoesNotDisturbTheHand(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-place")
	b.clock = b.clock.Add(time.Second)
	b.touch(Down, 1, 500, 400)
	m := b.onlyMark()
	b.Resize(900, 560, 1)
	b.touch(Move, 1, 500, 400)
	if got := b.onlyMark(); !near(got.X, m.X, 1e-9) || !near(got.Y, m.Y, 1e-9) {
		t.Errorf("a tray that grew moved the mark from %s to %s", describe(m), describe(got))
	}
	b.touch(Up, 1, 500, 400)
	b.onlyMark()
}
