package easel

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"maulstick/render"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// Every touch must read the canvas place that the known spot of the screen
// shows, within what one screen pixel is worth there. The place is worked out
// here by hand from the area, the zoom and the way the picture is turned.
func TestTouchesReadTheCanvas(t *testing.T) {
	for _, dpr := range []float64{1, 2, 3} {
		for _, zoom := range []float64{1, 1.7, 4, 7} {
			for way := range 4 {
				mirror, turned := way&1 != 0, way&2 != 0
				name := fmt.Sprintf("dpr %v, zoom %v, mirror %v, turned %v", dpr, zoom, mirror, turned)
				t.Run(name, func(t *testing.T) { touchesRead(t, dpr, zoom, mirror, turned) })
			}
		}
	}
}

func touchesRead(t *testing.T, dpr, zoom float64, mirror, turned bool) {
	b := atWork(t, dpr)
	b.press("tray-place")
	if mirror {
		b.press("mirror")
	}
	if turned {
		b.press("turn")
	}
	v := b.viewport()
	v.Scale *= zoom
	v.Centre = place.PhotoPoint{X: 500, Y: 450}
	b.see(v)
	view := b.doc().View
	if (zoom == 1) != view.Fit || !near(view.Zoom, zoom, 1e-9) {
		t.Fatalf("the view is %+v", view)
	}
	r := rand.New(rand.NewPCG(1, uint64(zoom*10)))
	for range 20 {
		x, y := 30+r.Float64()*840, 80+r.Float64()*540
		dx, dy := (x-450)/b.scaleCSS(), (y-350)/b.scaleCSS()
		if turned {
			dx, dy = -dx, -dy
		}
		if mirror {
			dx = -dx
		}
		// 1200 x 800 pixels are 36 x 24 in: 33 1/3 pixels an inch.
		wantX, wantY := (view.CentreX+dx)/1200*36*25.4, (view.CentreY+dy)/800*24*25.4
		b.press("mark-new")
		b.tap(Touch, x, y)
		got := b.placed()
		if got == nil {
			t.Fatalf("a touch at %.1f, %.1f reads nothing", x, y)
		}
		worth := 36 * 25.4 / 1200 / (b.scaleCSS() * dpr)
		if !near(float64(got.X), wantX, worth) || !near(float64(got.Y), wantY, worth) {
			t.Errorf("a touch at %.1f, %.1f reads %.3f, %.3f mm, want %.3f, %.3f within %.3f", x, y, got.X, got.Y, wantX, wantY, worth)
		}
		mark, _ := b.doc().Mark(got.Mark)
		if px, py := b.screenOf(point(mark)); !near(px, x, 1e-6) || !near(py, y, 1e-6) {
			t.Errorf("the mark stands at %.3f, %.3f, the finger was at %.3f, %.3f", px, py, x, y)
		}
		// A finger is 2 CSS pixels off, the photograph half a pixel.
		pixel := 36 * 25.4 / 1200.0
		want := pixel * math.Hypot(0.5, 2/b.scaleCSS())
		if !near(float64(got.Uncertainty), want, 1e-9) {
			t.Errorf("the reading is sure to %v mm, want %v", got.Uncertainty, want)
		}
		b.press("undo")
	}
}

// A mark on a photograph that is held halved twice is as unsure as half a pixel that is
// held, four of its own, placed by finger or by a key.
func TestHeldPhotographsMakeMarksLessSure(t *testing.T) {
	b := newBench(t, 1)
	b.Show(greysDoc(), photo.NewHalved(place.Pixels{Width: photoWidth, Height: photoHeight}, 2), true)
	b.Filled()
	b.Type("canvas", "36 x 24 in")
	b.press("tray-place", "mark-new")
	b.tap(Touch, 450, 350)
	pixel := 36 * 25.4 / photoWidth
	if got, want := float64(b.placed().Uncertainty), pixel*math.Hypot(2, 2/b.scaleCSS()); !near(got, want, 1e-9) {
		t.Errorf("a mark placed by finger is sure to %v mm, want %v", got, want)
	}
	b.Key("ArrowRight", false, false)
	if got, want := float64(b.placed().Uncertainty), pixel*math.Hypot(2, 0.5/b.scaleCSS()); !near(got, want, 1e-9) {
		t.Errorf("a mark moved by a key is sure to %v mm, want %v", got, want)
	}
}

func TestMarksShownFollowThePicture(t *testing.T) {
	b := atWork(t, 2)
	b.press("tray-place")
	b.tap(Mouse, 300, 250)
	before := b.placed()
	for _, keys := range [][]string{{"mirror"}, {"turn"}, {"mirror"}, {"turn"}} {
		b.press(keys...)
		m := b.Face().Marks[0]
		if x, y := b.screenOf(point(b.onlyMark())); !near(m.X, x, 1e-9) || !near(m.Y, y, 1e-9) || !m.Visible {
			t.Errorf("the mark stands at %v, %v, want %v, %v", m.X, m.Y, x, y)
		}
		if got := b.placed(); got.X != before.X || got.Y != before.Y {
			t.Error("turning the picture changed where a mark is on the canvas")
		}
	}
}

func TestAMarkMovesWithTheFingerThatTouchedBesideIt(t *testing.T) {
	b := atWork(t, 3)
	b.press("tray-place", "mirror")
	b.tap(Touch, 400, 300)
	b.clock = b.clock.Add(time.Second)
	b.touch(Down, 1, 415, 312)
	if m := b.onlyMark(); b.doc().Chosen != m.ID {
		t.Fatal("touching a mark did not choose it")
	}
	if x, y := b.screenOf(point(b.onlyMark())); !near(x, 400, 1e-6) || !near(y, 300, 1e-6) {
		t.Errorf("the mark jumped to %v, %v when it was touched", x, y)
	}
	b.touch(Move, 1, 416, 312)
	if x, _ := b.screenOf(point(b.onlyMark())); !near(x, 400, 1e-6) {
		t.Error("a trembling finger moved a mark that it only chose")
	}
	b.touch(Move, 1, 515, 212)
	b.touch(Up, 1, 515, 212)
	if x, y := b.screenOf(point(b.onlyMark())); !near(x, 500, 1e-6) || !near(y, 200, 1e-6) {
		t.Errorf("the mark is at %v, %v, want it moved as the finger, to 500, 200", x, y)
	}
	b.press("undo")
	if x, y := b.screenOf(point(b.onlyMark())); !near(x, 400, 1e-6) || !near(y, 300, 1e-6) {
		t.Errorf("one undo brought the mark to %v, %v, want 400, 300", x, y)
	}
}

func TestARoundStandsBesideTheFingerAndNeverUnderIt(t *testing.T) {
	for _, size := range [][2]int{{900, 700}, {390, 400}, {390, 200}, {240, 240}} {
		b := atWork(t, 2)
		b.Resize(size[0], size[1], 2)
		b.press("tray-place")
		c := b.doc().Crop()
		for i := range 40 {
			p := place.PhotoPoint{X: c.Width * float64(i%8) / 7, Y: c.Height * float64(i/8) / 4}
			x, y := b.viewport().ToScreen(p)
			b.press("mark-new")
			b.clock = b.clock.Add(time.Second)
			b.touch(Down, 1, x/2, y/2)
			plan, _ := b.Plan()
			if len(plan.Panes) != 2 || !plan.Panes[1].Round {
				t.Fatalf("%v: no round for a finger at %v, %v", size, x/2, y/2)
			}
			checkRound(t, plan, x, y, 36*2)
			m, _ := b.doc().Mark(b.doc().Chosen)
			if plan.Panes[1].View.Centre != point(m) {
				t.Error("the round does not show the mark in its middle")
			}
			b.touch(Up, 1, x/2, y/2)
			if plan, _ = b.Plan(); len(plan.Panes) != 1 {
				t.Error("the round stays after the finger is lifted")
			}
			b.press("undo")
		}
	}
}

// checkRound holds a round to the area and off the finger; all device pixels.
func checkRound(t *testing.T, plan render.Plan, x, y, off float64) {
	t.Helper()
	at := plan.Panes[1].At
	if at.X < 0 || at.Y < 0 || at.X+at.Width > plan.Width || at.Y+at.Height > plan.Height {
		t.Errorf("the round %+v leaves the area of %d x %d", at, plan.Width, plan.Height)
	}
	cx, cy := float64(at.X)+float64(at.Width)/2, float64(at.Y)+float64(at.Height)/2
	if d := math.Hypot(cx-x, cy-y) - float64(at.Width)/2; d < off-2 {
		t.Errorf("the round's rim is %v from a finger at %v, %v, want at least %v", d, x, y, off)
	}
	if v := plan.Panes[1].View; v.Width != at.Width || v.Height != at.Height || v.Scale < plan.Panes[0].View.Scale || v.Scale > render.MaxScale {
		t.Errorf("the round shows %+v in %+v", v, at)
	}
}

func TestAPalmBesideAPenDoesNothing(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-place", "mark-new")
	pen := func(kind PointerKind, x, y float64) {
		b.Pointer(Pointer{Kind: kind, ID: 1, Device: Pen, X: x, Y: y})
	}
	// The palm comes down just before its pen.
	b.touch(Down, 7, 600, 500)
	b.clock = b.clock.Add(40 * time.Millisecond)
	pen(Down, 300, 300)
	b.touch(Move, 7, 640, 520)
	b.touch(Down, 8, 700, 600)
	pen(Move, 310, 300)
	b.touch(Move, 8, 500, 600)
	pen(Up, 310, 300)
	b.clock = b.clock.Add(400 * time.Millisecond)
	b.touch(Up, 7, 640, 520)
	b.touch(Up, 8, 500, 600)
	b.tapSoon(9, 650, 520)
	m := b.onlyMark()
	if x, y := b.screenOf(point(m)); !near(x, 310, 1e-6) || !near(y, 300, 1e-6) || !b.doc().View.Fit {
		t.Errorf("beside a palm the pen set mark %s, on the screen at %v, %v", describe(m), x, y)
	}
	if touch := 1 / b.scaleCSS(); !near(m.Touch, touch, 1e-9) {
		t.Errorf("a pen is %v photo pixels off, want a CSS pixel, %v", m.Touch, touch)
	}
	b.clock = b.clock.Add(time.Second)
	b.tapSoon(10, 650, 520)
	if len(b.doc().Marks) != 2 {
		t.Error("a finger long after the pen does nothing")
	}
}

// tapSoon is a short touch without a pause before it.
func (b *bench) tapSoon(id int, x, y float64) {
	b.touch(Down, id, x, y)
	b.clock = b.clock.Add(50 * time.Millisecond)
	b.touch(Up, id, x, y)
}

func TestACancelledTouchPutsBackWhatItDid(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-place")
	b.tap(Mouse, 300, 300)
	b.tap(Mouse, 600, 300)
	before := b.doc()
	back := func(what string) {
		t.Helper()
		got := b.doc()
		got.NextMark = before.NextMark
		if !reflect.DeepEqual(got, before) {
			t.Errorf("%s: a cancelled touch left %+v, want %+v", what, got, before)
		}
		b.clock = b.clock.Add(time.Second)
	}
	b.touch(Down, 1, 300, 300)
	b.touch(Move, 1, 500, 500)
	b.touch(Cancel, 1, 500, 500)
	back("moving a mark")
	b.press("mark-new")
	b.touch(Down, 1, 450, 400)
	b.touch(Cancel, 1, 450, 400)
	if !b.armed {
		t.Error("the new mark's key went off with a cancelled touch")
	}
	b.press("mark-new")
	back("placing a mark")
	b.touch(Down, 1, 450, 500)
	b.touch(Down, 2, 650, 500)
	b.touch(Move, 2, 850, 500)
	if b.doc().View.Fit {
		t.Fatal("two fingers did not zoom")
	}
	b.touch(Cancel, 2, 850, 500)
	b.touch(Move, 1, 200, 200)
	b.touch(Up, 1, 200, 200)
	back("zooming")
	b.tap(Touch, 450, 500)
	if len(b.doc().Marks) != 3 {
		t.Error("after cancelled touches the picture does not answer")
	}
}

func TestTwoTapsFarApartInTimeAreTwo(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-place", "mark-new")
	b.tap(Touch, 200, 200)
	b.tap(Touch, 450, 350)
	b.tap(Touch, 550, 350)
	if n := len(b.doc().Marks); n != 3 {
		t.Errorf("three slow taps placed %d marks", n)
	}
}

func TestARestingFingerPlacesAMark(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-place")
	b.tap(Touch, 200, 200)
	b.wait(time.Second)
	b.touch(Down, 1, 500, 400)
	if len(b.doc().Marks) != 1 {
		t.Fatal("a finger that might pan placed a mark at once")
	}
	b.wait(400 * time.Millisecond)
	if plan, _ := b.Plan(); len(b.doc().Marks) != 2 || len(plan.Panes) != 2 {
		t.Fatal("a finger that rests did not place a mark under a magnified round")
	}
	b.touch(Move, 1, 520, 410)
	b.touch(Up, 1, 520, 410)
	if x, y := b.screenOf(point(b.doc().Marks[1])); !near(x, 520, 1e-6) || !near(y, 410, 1e-6) {
		t.Errorf("the mark is at %v, %v, want 520, 410 where the finger went", x, y)
	}
}
