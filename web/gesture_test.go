package web_test

import (
	"math"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"

	"maulstick/render/study"
)

// under is the place of the photograph that is under a spot of the page.
func (p *tab) under(at spot) (x, y float64) {
	p.t.Helper()
	s, over := p.snapshot(), p.boxOf("overlay")
	return geometry(s).toPhoto((at.x-over.X)*s.Area.DPR, (at.y-over.Y)*s.Area.DPR)
}

// keepsUnder checks that a place of the photograph is under a spot, to within
// a tenth of a screen pixel.
func (p *tab) keepsUnder(what string, x, y float64, at spot) {
	p.t.Helper()
	px, py := p.under(at)
	if off := math.Hypot(px-x, py-y) * p.snapshot().Scale; off > 0.1 {
		p.t.Errorf("%s: the place under the finger is %.2f screen pixels off", what, off)
	}
}

// TestFingers pinches, pans, taps twice, has touches taken away by the system
// and rests a palm beside a pen.
func TestFingers(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).openFresh(t, screenSize{900, 700, 2}, s.url())
	p.settle()
	for _, turn := range []string{"", "mirror"} {
		if turn != "" {
			p.press(turn)
		}
		p.pinch(t)
		p.panAndFit(t)
	}
	p.press("tray-place")
	p.cancelled(t)
	p.besidePen(t)
}

// pinch moves two fingers apart and sideways: both places stay under them.
func (p *tab) pinch(t *testing.T) {
	t.Helper()
	a, b := p.over(0.45, 0.5), p.over(0.55, 0.5)
	ax, ay := p.under(a)
	bx, by := p.under(b)
	fit := p.snapshot().Scale
	p.fingersDown(a, b)
	for i := 1; i <= 5; i++ {
		a, b = spot{a.x - 15, a.y + 4}, spot{b.x + 25, b.y + 4}
		p.fingersMove(a, b)
	}
	p.keepsUnder("the first finger of a pinch", ax, ay, a)
	p.keepsUnder("the second finger of a pinch", bx, by, b)
	p.fingersUp()
	if got := p.snapshot(); got.Scale < 2*fit || got.Study.View.Fit {
		t.Errorf("two fingers moved apart took the picture from %.3f to %.3f", fit, got.Scale)
	}
}

// panAndFit moves the enlarged picture with one finger and fits it again.
func (p *tab) panAndFit(t *testing.T) {
	t.Helper()
	at := p.over(0.5, 0.5)
	x, y := p.under(at)
	p.fingersDown(at)
	for range 4 {
		at = spot{at.x + 20, at.y - 10}
		p.fingersMove(at)
	}
	p.keepsUnder("a finger that pans", x, y, at)
	p.fingersUp()
	time.Sleep(400 * time.Millisecond)
	at = p.over(0.5, 0.5)
	// Both taps in one go: the machine may be too slow between two calls.
	p.tap(at)
	p.tap(at)
	if v := p.snapshot().Study.View; !v.Fit {
		t.Errorf("two taps left the picture at %+v", v)
	}
}

// cancelled lets the system take a touch that moves a mark, and one that pans.
func (p *tab) cancelled(t *testing.T) {
	t.Helper()
	at := p.over(0.5, 0.5)
	p.tapAlone(at)
	before := p.marks(1)[0]
	p.fingersDown(at)
	p.fingersMove(spot{at.x + 40, at.y + 20})
	moved := p.marks(1)[0]
	p.settle()
	if moved.X == before.X {
		t.Error("a finger does not move the mark that it is on")
	}
	p.touch(input.DispatchTouchEventTypeTouchCancel)
	if after := p.marks(1)[0]; after != before {
		t.Errorf("a touch taken away left the mark at %+v, it was at %+v", after, before)
	}
	view := p.snapshot().Study.View
	far := p.over(0.4, 0.2)
	p.fingersDown(far)
	p.fingersMove(spot{far.x + 60, far.y})
	p.touch(input.DispatchTouchEventTypeTouchCancel)
	if after := p.snapshot().Study.View; after != view {
		t.Errorf("a touch taken away left the view at %+v, it was %+v", after, view)
	}
	p.marks(1)
}

// marks are the study's marks, which must be so many.
func (p *tab) marks(n int) []study.Mark {
	p.t.Helper()
	marks := p.snapshot().Study.Marks
	if len(marks) != n {
		p.t.Fatalf("there are %d marks, not %d: %+v", len(marks), n, marks)
	}
	return marks
}

// besidePen rests a palm on the screen while a pen places and moves a mark.
func (p *tab) besidePen(t *testing.T) {
	t.Helper()
	view := p.snapshot().Study.View
	tip, palm := p.over(0.45, 0.7), p.over(0.6, 0.85)
	p.press("mark-new")
	p.pen(input.DispatchMouseEventTypeMousePressed, tip.x, tip.y)
	p.fingersDown(palm)
	p.fingersMove(spot{palm.x - 30, palm.y - 30})
	p.pen(input.DispatchMouseEventTypeMouseMoved, tip.x+10, tip.y-6)
	p.pen(input.DispatchMouseEventTypeMouseReleased, tip.x+10, tip.y-6)
	p.fingersUp()
	mark := p.marks(2)[1]
	x, y := p.under(spot{tip.x + 10, tip.y - 6})
	if math.Hypot(mark.X-x, mark.Y-y)*p.snapshot().Scale > 0.1 {
		t.Errorf("beside a palm the pen's mark is at (%.2f, %.2f), the pen at (%.2f, %.2f)", mark.X, mark.Y, x, y)
	}
	if after := p.snapshot().Study.View; after != view {
		t.Errorf("a palm beside a pen moved the view to %+v", after)
	}
}
