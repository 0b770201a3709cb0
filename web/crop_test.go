package web_test

import (
	"math"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"

	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
)

// drag moves one finger from a spot to another in several steps.
func (p *tab) drag(from, to spot) {
	p.t.Helper()
	p.fingersDown(from)
	for i := 1; i <= 5; i++ {
		share := float64(i) / 5
		p.fingersMove(spot{from.x + (to.x-from.x)*share, from.y + (to.y-from.y)*share})
	}
	p.fingersUp()
	p.settle()
}

// handle is the middle of a handle on the picture.
func (p *tab) handle(name string) spot {
	p.t.Helper()
	b := eval[box](p, `(() => { const b = document.querySelector('[data-handle=' + %s + ']').getBoundingClientRect();
		return {X: b.x, Y: b.y, Width: b.width, Height: b.height}; })()`, name)
	return spot{b.X + b.Width/2, b.Y + b.Height/2}
}

// TestCropByHand crops by finger and by key, held to the canvas and free, mirrored
// too, and changes the canvas instead.
func TestCropByHand(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).openFresh(t, landscape, s.url())
	p.settle()
	p.openPhotograph(widely.write(t), "widely")
	p.openPart("line", "canvas")
	p.fill("canvas", "48 x 32 in")
	p.press("crop-hand")
	p.settle()
	// The whole photograph shows, 2400 pixels wide, and a held crop keeps 3 to 2.
	scale := p.snapshot().Scale
	from := p.handle("bottom-right")
	p.drag(from, spot{from.x - 120, from.y - 30})
	wide := 2400 - 120/scale
	if by := 1600 - 30/scale; by*1.5 > wide {
		wide = by * 1.5 // the larger of both pulls counts
	}
	p.cropIs(t, "pulled by its corner", place.Crop{Width: wide, Height: wide / 1.5})
	p.press("mirror")
	p.settle()
	// Mirrored, the photograph's right edge is the screen's left one.
	if r, l := p.handle("right"), p.handle("left"); r.x >= l.x {
		t.Errorf("mirrored, the right edge is at %.0f and the left one at %.0f", r.x, l.x)
	}
	from = p.handle("middle")
	p.drag(from, spot{from.x - 20, from.y + 10})
	p.cropIs(t, "moved on the mirrored picture", place.Crop{X: 20 / scale, Y: 10 / scale, Width: wide, Height: wide / 1.5})
	p.press("mirror")
	p.press("hold-free")
	p.settle()
	from = p.handle("bottom")
	p.drag(from, spot{from.x, from.y - 40})
	free := place.Crop{X: 20 / scale, Y: 10 / scale, Width: wide, Height: wide/1.5 - 40/scale}
	p.cropIs(t, "free, pulled by its lower edge", free)
	if off := p.text("mismatch"); !strings.Contains(off, "short at the far edge") {
		t.Errorf("a crop that is too low for its canvas: %q", off)
	}
	p.byArrows(t, free)
	p.press("crop-hand")
	p.settle()
	p.likeDrawn(t, "cropped by hand", look.Look{}, read(t, widely.write(t)))
	p.press("canvas-wide")
	p.settle()
	d := p.snapshot().Study
	if width := float64(d.Canvas.Width / place.Inch.MM()); math.Abs(width-48) > 1e-9 {
		t.Errorf("the canvas changed instead is %v in wide", width)
	}
	if off := p.text("mismatch"); !strings.HasPrefix(off, "They line up") { // but for the sixteenth that canvases are changed by
		t.Errorf("with the canvas changed instead: %q", off)
	}
	p.press("crop-centred")
	p.settle()
	if d := p.snapshot().Study; d.Own != (place.Crop{}) {
		t.Errorf("centred again the crop is the painter's own, %v", d.Own)
	}
}

// byArrows moves the crop's right edge with the keyboard and takes that back.
func (p *tab) byArrows(t *testing.T, was place.Crop) {
	t.Helper()
	p.tabTo("right")
	p.keys(kb.ArrowLeft + kb.ArrowLeft + kb.ArrowLeft)
	p.settle()
	was.Width -= 3
	p.cropIs(t, "its right edge nudged thrice", was)
	p.press("undo")
	was.Width += 3
	p.settle()
	p.cropIs(t, "that taken back", was)
}

// cropIs holds the snapshot's crop to one, to within half a screen pixel.
func (p *tab) cropIs(t *testing.T, what string, want place.Crop) {
	t.Helper()
	s := p.snapshot()
	got, slack := s.Crop, 0.75/s.Scale
	if math.Abs(got.X-want.X) > slack || math.Abs(got.Y-want.Y) > slack || math.Abs(got.Width-want.Width) > slack || math.Abs(got.Height-want.Height) > slack {
		t.Errorf("%s: the crop is %+v, want %+v", what, got, want)
	}
}

// TestSettingRight straightens the demo by a level drawn on it with a finger, undoes
// and redoes that, and squares it up by four corners. The screen is held each time to
// Go's own decoding of the photograph, redrawn in the test.
func TestSettingRight(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	p := b.open(landscape, s.url())
	p.settleCounted()
	p.openPart("line", "straighten")
	p.press("level-line")
	p.settle()
	from, to := p.over(0.4, 0.4), p.over(0.6, 0.46)
	rise, run := to.y-from.y, to.x-from.x
	p.drag(from, to)
	p.awaitRighted("it is straightened", func(r study.Righting) bool { return r.Tilt != 0 })
	tilt := float64(p.snapshot().Study.Righting.Tilt)
	// A line that falls to the right is level once turned anticlockwise by its slope.
	if want := -math.Atan2(rise, run) * 180 / math.Pi; math.Abs(tilt-want) > 0.2 {
		t.Errorf("the photograph is turned by %.2f degrees, the line fell by %.2f", tilt, want)
	}
	p.rightedLike(t, "straightened")
	turned := p.studyText()
	p.press("undo")
	p.awaitRighted("that is undone", func(r study.Righting) bool { return r.None() })
	p.rightedLike(t, "as it came again")
	p.press("tray-place")
	p.press("redo")
	p.awaitRighted("it is turned once more", func(r study.Righting) bool { return r.Tilt != 0 })
	p.press("tray-place")
	p.openPart("line", "straighten")
	if again := p.studyText(); again != turned {
		t.Errorf("redone, the study is\n%s\nand was\n%s", again, turned)
	}
	p.settleKept()
	p.reload()
	p.settleAnswered()
	p.rightedLike(t, "come back to")
	p.squares(t)
	if faults := p.complaints(); len(faults) > 0 {
		t.Errorf("the console complains: %q", faults)
	}
}

// squares squares up what lies between four corners, moved by finger and by key.
func (p *tab) squares(t *testing.T) {
	t.Helper()
	p.press("as-it-came")
	p.awaitRighted("it is as it came", func(r study.Righting) bool { return r.None() })
	p.press("corners")
	p.settle()
	corner := p.handle("corner-0")
	x, y := p.under(spot{corner.x + 30, corner.y + 12})
	p.drag(corner, spot{corner.x + 30, corner.y + 12})
	p.tabTo("corner-2")
	p.keys(kb.ArrowUp + kb.ArrowUp)
	p.fill("flat-size", "20 x 12 in")
	p.press("square-up")
	p.awaitRighted("it is squared up", func(r study.Righting) bool { return len(r.Corners) == 4 })
	d := p.snapshot().Study
	if c := d.Righting.Corners[0]; math.Hypot(c.X-x, c.Y-y)*p.snapshot().Scale > 3 {
		t.Errorf("the first corner was put on %.1f, %.1f and is at %v", x, y, c)
	}
	if aspect := float64(d.Pixels().Width) / float64(d.Pixels().Height); math.Abs(aspect-20.0/12) > 0.01 {
		t.Errorf("a thing of 20 x 12 in is %.3f times as wide as high", aspect)
	}
	p.rightedLike(t, "squared up")
}

// awaitRighted waits until the photograph is set right as a study says, and shown.
func (p *tab) awaitRighted(what string, is func(study.Righting) bool) {
	p.t.Helper()
	for range 600 {
		if d := p.snapshot().Study; is(d.Righting) {
			p.settleAnswered()
			return
		}
		p.frame()
		p.frame()
	}
	p.t.Fatalf("waited in vain until %s", what)
}

// rightedLike holds the screen to the demo as Go decodes it and photo.Warp redraws it.
func (p *tab) rightedLike(t *testing.T, what string) {
	t.Helper()
	y := read(t, demo)
	d := p.snapshot().Study
	if !d.Righting.None() {
		h, size, err := d.Righting.Forward(y.Picture().Size())
		if err != nil {
			t.Fatal(err)
		}
		picture, err := photo.Warp(y.Picture(), h, size, nil)
		if err != nil {
			t.Fatal(err)
		}
		y = photo.NewPyramid(picture)
		y.Finish()
	}
	p.likeDrawn(t, what, look.Look{}, y)
}
