package web_test

import (
	"encoding/base64"
	"fmt"
	"image"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"maulstick/render/colour"
	"maulstick/render/shape"
)

// TestPainterSession is the painter's main job on photographs of their own:
// open one, say the canvas, compare the proportions, mark a spot and read where
// it lands.
func TestPainterSession(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).openFresh(t, landscape, s.url())
	p.settle()
	if name := p.snapshot().Study.Name; name != "Fig in a red bowl" {
		t.Errorf("the page opens on %q", name)
	}
	p.press("tray-line")
	p.proportions(t, "demo", 1800, 1218, 36, 24, "23/64 in long")
	p.dropAndPaste(t)
	p.openPhotograph(widely.write(t), "widely")
	p.press("tray-line")
	p.canvases(t)
	p.press("tray-place")
	p.readings(t)
	p.round(t)
	p.edits(t)
}

// dropAndPaste opens photographs the two ways that need no key. The one pasted
// has the proportion of a small print, and a large canvas is to be stretched
// for it: 33 x 70 in for 4.75 x 10.1 in, which is close enough to line up
// (common practice, no source).
func (p *tab) dropAndPaste(t *testing.T) {
	t.Helper()
	middle := p.over(0.5, 0.5)
	p.drop(slope{"dropped", 320, 240, 16}.write(t), middle.x, middle.y)
	p.await("what was dropped is open", `window.maulstick.snapshot().study.name === 'dropped'`)
	p.settle()
	data, err := os.ReadFile(slope{"pasted", 475, 1010, 25}.write(t))
	p.must(err)
	call(p, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true})
	p.clickAt("#state")
	eval[bool](p, `navigator.clipboard.write([new ClipboardItem({'image/png': new Blob(
		[Uint8Array.from(atob(%s), c => c.charCodeAt(0))], {type: 'image/png'})})]).then(() => true)`, base64.StdEncoding.EncodeToString(data))
	call(p, input.DispatchKeyEvent, input.DispatchKeyEventParams{
		Type: input.DispatchKeyEventTypeRawKeyDown, Key: "v", Code: "KeyV", Modifiers: int64(chromedp.ModifierCtrl), Commands: []string{"paste"},
	})
	p.await("what was pasted is open", `window.maulstick.snapshot().study.reference.width_px === 475`)
	p.settle()
	p.press("tray-line")
	p.fill("canvas", "33 x 70 in")
	p.proportions(t, "pasted", 475, 1010, 33, 70, "They line up: 5/64 in short")
}

// canvases types sizes as painters say them, all but the last the other way
// round from the photograph.
func (p *tab) canvases(t *testing.T) {
	t.Helper()
	for _, c := range []struct {
		typed         string
		width, height float64 // inches
		off           string  // by hand: the long side times 2/3, less the short side
	}{
		{"33 x 70 in", 33, 70, "13 11/16 in long"},
		{"84x178cm", 84 / 2.54, 178 / 2.54, "34.7 cm long"},
		{`2' 9" x 5' 10"`, 33, 70, "1 ft 1 11/16 in long"},
		{"4 3/4 x 10.1 in", 4.75, 10.1, "2 in long"},
		{"36 x 24 in", 36, 24, "They line up."},
	} {
		p.fill("canvas", c.typed)
		p.proportions(t, c.typed, 2400, 1600, c.width, c.height, c.off)
		offered := p.text("key-canvas-turn") != ""
		if stands := c.height > c.width; offered != stands {
			t.Errorf("%s: turning the canvas is offered: %v", c.typed, offered)
		}
		if offered {
			p.press("canvas-turn")
			p.proportions(t, c.typed+" turned", 2400, 1600, c.height, c.width, c.off)
		}
	}
}

// proportions holds the Study tray and the crop to plain arithmetic.
func (p *tab) proportions(t *testing.T, what string, photoWidth, photoHeight, width, height float64, off string) {
	t.Helper()
	for id, want := range map[string]float64{
		"photo-ratio":  min(photoWidth, photoHeight) / max(photoWidth, photoHeight),
		"canvas-ratio": min(width, height) / max(width, height),
	} {
		if got := p.text(id); got != fmt.Sprintf("%.2f", want) {
			t.Errorf("%s: %s is shown as %q, it is %.4f", what, id, got, want)
		}
	}
	if got := p.text("mismatch"); !strings.Contains(got, off) {
		t.Errorf("%s: the mismatch is told as %q, by hand it is %s", what, got, off)
	}
	c := p.snapshot().Crop
	if math.Abs(c.Width/c.Height-width/height) > 1e-9*width/height {
		t.Errorf("%s: the crop %+v has not the canvas's proportion", what, c)
	}
	whole := math.Abs(c.Width-photoWidth) < 1e-6 || math.Abs(c.Height-photoHeight) < 1e-6
	if !whole || math.Abs(2*c.X+c.Width-photoWidth) > 1e-6 || math.Abs(2*c.Y+c.Height-photoHeight) > 1e-6 {
		t.Errorf("%s: the crop %+v is not the largest in the middle of %v x %v", what, c, photoWidth, photoHeight)
	}
}

// readings marks a spot and holds what the Place tray says to the file, from
// every edge, mirrored and in both units. A pixel is 36/2400 in.
func (p *tab) readings(t *testing.T) {
	t.Helper()
	at := p.over(0.45, 0.35)
	p.tapAlone(at)
	m := p.marks(1)[0]
	const inches = 36.0 / 2400
	x, y := m.X*inches, m.Y*inches
	p.reads(t, "x", x, "in", "from the left")
	p.reads(t, "y", y, "in", "from the top")
	p.press("from-x")
	p.press("from-y")
	p.reads(t, "x", 36-x, "in", "from the right")
	p.reads(t, "y", 24-y, "in", "from the bottom")
	p.press("mirror")
	p.reads(t, "x", 36-x, "in", "from the right, which is at the left of the mirrored picture")
	p.reads(t, "y", 24-y, "in", "from the bottom")
	p.press("mirror")
	p.press("unit")
	p.reads(t, "x", (36-x)*2.54, "cm", "from the right")
	p.press("unit")
	// The touch of a finger counts two CSS pixels, the photograph half a pixel.
	c := colour.SRGB{
		R: colour.Encode(widely.light(math.Floor(m.X) + 0.5)), G: colour.Encode(widely.light(math.Floor(m.Y) + 0.5)), B: widely.cell(m.X, m.Y),
	}
	steps, err := shape.EqualSteps(5)
	p.must(err)
	want := fmt.Sprintf("Value %.1f, step %d of 5.", float64(c.Value()), steps.Of(colour.EyeMeter.Read(c.R, c.G, c.B)))
	note := p.text("place-note")
	if !strings.Contains(note, want) || !strings.HasPrefix(note, "within ") {
		t.Errorf("the note is %q, by the file it ends in %q", note, want)
	}
	least := 2 / p.snapshot().Scale * inches * 25.4
	if got := float64(p.snapshot().Reading.Uncertainty); got < least || got > 2*least {
		t.Errorf("the reading is uncertain by %.3f mm, the finger alone by %.3f", got, least)
	}
}

// reads holds a figure of the Place tray to a length.
func (p *tab) reads(t *testing.T, axis string, length float64, unit, from string) {
	t.Helper()
	if got := p.text("place-" + axis + "-from"); got != from {
		t.Errorf("place-%s: %q, not %q", axis, got, from)
	}
	if got := p.text("place-" + axis + "-unit"); got != unit {
		t.Errorf("place-%s: in %q, not %s", axis, got, unit)
	}
	shown := p.text("place-"+axis+"-whole") + " " + p.text("place-"+axis+"-frac")
	want := fmt.Sprintf("%.1f", length)
	if unit == "in" {
		n := int(math.Round(length * 16))
		want = fmt.Sprint(n / 16)
		if n %= 16; n > 0 {
			d := 16
			for n%2 == 0 {
				n, d = n/2, d/2
			}
			want += fmt.Sprintf(" %d⁄%d", n, d)
		}
	}
	if strings.TrimSpace(shown) != want {
		t.Errorf("place-%s: %q, by arithmetic %q (%.4f %s)", axis, shown, want, length, unit)
	}
}

// round holds a finger on the mark: the magnified round stands beside it, not
// under it, and is gone once the finger is.
func (p *tab) round(t *testing.T) {
	t.Helper()
	over := p.boxOf("overlay")
	g := geometry(p.snapshot())
	m := p.marks(1)[0]
	x, y := g.toScreen(m.X, m.Y)
	finger := spot{over.X + x, over.Y + y}
	before := p.picture()
	p.fingersDown(finger)
	during := p.picture()
	if during.Rect != before.Rect {
		t.Fatalf("the picture went from %v to %v under a finger", before.Rect, during.Rect)
	}
	p.fingersUp()
	after := p.picture()
	var beside image.Rectangle
	for j := range before.Rect.Dy() {
		for i := range before.Rect.Dx() {
			if during.NRGBAAt(i, j) == before.NRGBAAt(i, j) {
				continue
			}
			if math.Hypot(float64(i)-x, float64(j)-y) < 28 {
				t.Fatalf("a finger at (%.0f, %.0f) covers what changes at (%d, %d)", x, y, i, j)
			}
			beside = beside.Union(image.Rect(i, j, i+1, j+1))
		}
	}
	if beside.Dx() < 120 || beside.Dx() > 180 || beside.Dy() < 120 || beside.Dy() > 180 {
		t.Errorf("beside the finger %v changes, not a round of about 150", beside)
	}
	if off := apart(before, after); off > 0 {
		t.Errorf("without the finger the picture is %.2f codes off the one before", off)
	}
}

// edits names, nudges, deletes and brings back the mark, and leaves all of it
// by undoing.
func (p *tab) edits(t *testing.T) {
	t.Helper()
	placed := p.marks(1)[0]
	p.fill("mark-name", "Fold of the sleeve")
	if got := p.text("marks-row"); got != "Fold of the sleeve" {
		t.Errorf("the mark is listed as %q", got)
	}
	eval[chromedp.Void](p, `document.getElementById('overlay').focus()`)
	p.keys(kb.ArrowRight + kb.ArrowRight + kb.ArrowDown)
	nudged, scale := p.marks(1)[0], p.snapshot().Scale
	if math.Abs((nudged.X-placed.X)*scale-2) > 1e-6 || math.Abs((nudged.Y-placed.Y)*scale-1) > 1e-6 {
		t.Errorf("two nudges right and one down went from %+v to %+v", placed, nudged)
	}
	p.press("mark-delete")
	p.marks(0)
	p.press("undo")
	if got := p.marks(1)[0]; got != nudged {
		t.Errorf("undone, the deleted mark is %+v, it was %+v", got, nudged)
	}
	for range 2 {
		p.press("undo")
	}
	if got := p.marks(1)[0]; got != placed {
		t.Errorf("with naming and nudging undone the mark is %+v, it was %+v", got, placed)
	}
	p.press("undo")
	p.marks(0)
	for range 4 {
		p.press("redo")
	}
	p.marks(0)
}
