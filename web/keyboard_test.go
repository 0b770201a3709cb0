package web_test

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp/kb"

	"maulstick/render/look"
	"maulstick/render/study"
)

// focus is the element that has the focus, and how that is shown.
type focus struct {
	Name    string  // the id, or else the key
	Outline float64 // CSS pixels
	Seen    bool    // an even grey line that the browser was asked to show
}

const focused = `(() => { const e = document.activeElement, s = getComputedStyle(e);
	if (!e || e === document.body) return {Name: '', Outline: 0, Seen: false};
	const n = s.outlineColor.match(/\d+/g);
	return {Name: e.id || e.dataset.key || e.dataset.handle || e.getAttribute('href') || e.tagName, Outline: parseFloat(s.outlineWidth),
		Seen: e.matches(':focus-visible') && s.outlineStyle === 'solid' && n[0] === n[1] && n[1] === n[2]}; })()`

// tabTo goes on with Tab until an element has the focus.
func (p *tab) tabTo(name string) {
	p.t.Helper()
	for range 200 {
		if eval[focus](p, focused).Name == name {
			return
		}
		p.keys(kb.Tab)
	}
	p.t.Fatalf("Tab does not lead to %s", name)
}

// byKey goes to a key of the ledge or a tray and presses it.
func (p *tab) byKey(name string) {
	p.t.Helper()
	p.tabTo("key-" + name)
	p.keys(kb.Enter)
}

// holdKey keeps a key of the keyboard down for a while.
func (p *tab) holdKey(while time.Duration, check func()) {
	p.t.Helper()
	event := input.DispatchKeyEventParams{
		Type: input.DispatchKeyEventTypeKeyDown, Key: "Enter", Code: "Enter", Text: "\r", WindowsVirtualKeyCode: 13,
	}
	call(p, input.DispatchKeyEvent, event)
	time.Sleep(while)
	check()
	event.Type, event.Text = input.DispatchKeyEventTypeKeyUp, ""
	call(p, input.DispatchKeyEvent, event)
}

// TestKeyboard does everything without a pointer.
func TestKeyboard(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).openFresh(t, landscape, s.url())
	p.settle()
	p.reachesAll(t, "")
	for _, tray := range trays {
		p.byKey("tray-" + tray.name)
		for _, part := range tray.parts {
			p.byKey("part-" + part)
			p.settleAnswered()
			p.reachesAll(t, tray.name+", "+part)
		}
	}
	p.paintByKeyboard(t)
	p.pedal(t)
	p.handsOffByKeyboard(t)
}

// reachesAll goes once round the page with Tab: it must meet every control that can be
// used, show each of them, and come back. Where others can be used at the end, since
// something has come or gone meanwhile, it goes round once more.
func (p *tab) reachesAll(t *testing.T, tray string) {
	t.Helper()
	wanted := p.usable()
	for range 3 {
		if len(wanted) < 8 || !slices.Contains(wanted, "overlay") {
			t.Fatalf("tray %q: only %v can be used", tray, wanted)
		}
		met, after := p.tabRound(t, tray, wanted), p.usable()
		if !slices.Equal(after, wanted) {
			wanted = after
			continue
		}
		if !slices.Equal(met, wanted) {
			t.Errorf("tray %q: Tab meets\n%v, there are\n%v", tray, met, wanted)
		}
		return
	}
	t.Errorf("tray %q: what can be used changes all the while, in the end it is %v", tray, wanted)
}

// usable are the controls that can be used.
func (p *tab) usable() []string {
	p.t.Helper()
	return eval[[]string](p, `[...document.querySelectorAll('button, input, a, [tabindex="0"]')]
		.filter(e => e.checkVisibility({visibilityProperty: true}) && !e.disabled && e.tabIndex >= 0)
		.map(e => e.id || e.dataset.key || e.dataset.handle || e.getAttribute('href'))`)
}

// tabRound goes once round with Tab, from the first of what is wanted, and is what it meets.
func (p *tab) tabRound(t *testing.T, tray string, wanted []string) (met []string) {
	t.Helper()
	p.tabTo(wanted[0])
	for range len(wanted) + 5 {
		f := eval[focus](p, focused)
		if f.Name != "" {
			if f.Name == wanted[0] && len(met) > 0 {
				break
			}
			met = append(met, f.Name)
			if !f.Seen || f.Outline < 3 {
				t.Errorf("tray %q: the focus on %s is not to be seen: %+v", tray, f.Name, f)
			}
		}
		p.keys(kb.Tab)
	}
	return met
}

// paintByKeyboard says a canvas, places a mark, moves it and reads it.
func (p *tab) paintByKeyboard(t *testing.T) {
	t.Helper()
	p.byKey("tray-line")
	p.byKey("part-canvas")
	p.tabTo("canvas")
	p.keys("20 x 30 in" + kb.Tab) // Tab has selected what stood there
	if c := p.snapshot().Study.Canvas; c.Typed != "20 x 30 in" {
		t.Errorf("typed over, the canvas is %+v", c)
	}
	p.byKey("tray-place")
	p.byKey("part-mark")
	p.await("the picture has the room that the tray leaves", `window.maulstick.snapshot().area.height_css_px ===
		document.getElementById('overlay').clientHeight`)
	p.settle()
	p.tabTo("overlay")
	p.keys(kb.Enter)
	placed := p.marks(1)[0]
	p.keys(kb.ArrowLeft + kb.ArrowUp)
	moved, scale := p.marks(1)[0], p.snapshot().Scale
	if math.Abs((placed.X-moved.X)*scale-1) > 1e-6 || math.Abs((placed.Y-moved.Y)*scale-1) > 1e-6 {
		t.Errorf("a hair left and up went from %+v to %+v", placed, moved)
	}
	if from := p.text("place-x-from"); from != "from the left" {
		t.Errorf("the reading is %q", from)
	}
	p.tabTo("mark-name")
	p.keys("Chin" + kb.Tab)
	if name := p.marks(1)[0].Name; name != "Chin" {
		t.Errorf("the mark is called %q", name)
	}
	p.tabTo("overlay")
	p.keys("++")
	if v := p.snapshot(); math.Abs(v.Study.View.Zoom-2) > 1e-9 {
		t.Errorf("two presses of + make %v", v.Study.View.Zoom)
	}
	p.keys("0" + kb.Delete)
	p.marks(0)
	if !p.snapshot().Study.View.Fit {
		t.Error("0 does not show the picture whole")
	}
	p.byKey("undo")
	p.marks(1)
	p.tabTo("key-plain")
	p.byKey("filter")
	p.tabTo("key-plain")
	p.holdKey(100*time.Millisecond, func() {
		if !p.snapshot().Plain {
			t.Error("Enter held on Plain does not show the photograph")
		}
	})
	if s := p.snapshot(); s.Plain || !s.Study.Look.Filter {
		t.Error("Plain let go does not bring the look back")
	}
	p.byKey("filter")
	p.byKey("tray-place")
}

// pedal steps through the painter's looks with the keys that pedals send, also
// while a key of the ledge has the focus.
func (p *tab) pedal(t *testing.T) {
	t.Helper()
	shows := func(l look.Look, mirror bool) string {
		switch {
		case mirror:
			return study.CycleMirror
		case l.Squint:
			return study.CycleSquint
		case l.Filter:
			return study.CycleFilter
		case l.Tone == look.Grey:
			return study.CycleGrey
		case l.Tone == look.Steps:
			return study.CycleSteps
		}
		return study.CyclePhotograph
	}
	seen := func() string {
		d := p.snapshot().Study
		return shows(d.Look, d.View.Mirror)
	}
	cycle := []string{
		study.CyclePhotograph, study.CycleGrey, study.CycleFilter, study.CycleSteps, study.CycleSquint, study.CycleMirror,
	}
	if got := seen(); got != cycle[0] {
		t.Fatalf("before the first step the picture shows %s", got)
	}
	for _, way := range []struct {
		key, at string
		by      int
	}{
		{kb.PageDown, "key-mirror", 1}, {kb.PageUp, "key-tray-value", -1}, {kb.ArrowRight, "overlay", 1}, {" ", "overlay", 1}, {kb.ArrowLeft, "overlay", -1},
	} {
		p.tabTo(way.at)
		at := slices.Index(cycle, seen())
		for range cycle {
			at = (at + way.by + len(cycle)) % len(cycle)
			p.keys(way.key)
			if got := seen(); got != cycle[at] {
				t.Errorf("%q with the focus on %s shows %s, not %s", way.key, way.at, got, cycle[at])
			}
		}
	}
}

// handsOffByKeyboard locks the screen and has it back.
func (p *tab) handsOffByKeyboard(t *testing.T) {
	t.Helper()
	p.byKey("tray-study")
	p.byKey("part-study")
	p.byKey("handsoff")
	locked := p.snapshot()
	if !locked.HandsOff {
		t.Fatal("Hands off does not lock the screen")
	}
	p.tapAlone(p.over(0.5, 0.5))
	p.wheel(p.over(0.5, 0.5).x, p.over(0.5, 0.5).y, -200)
	p.keys(kb.PageDown + kb.Escape + "0")
	p.tabTo("key-unlock")
	p.holdKey(300*time.Millisecond, func() {})
	after := p.snapshot()
	if !after.HandsOff || after.Study.View != locked.Study.View || after.Study.Look != locked.Study.Look || len(after.Study.Marks) != len(locked.Study.Marks) {
		t.Errorf("with hands off the screen went from %+v to %+v", locked.Study, after.Study)
	}
	if words := p.text("lock-words") + p.text("key-unlock"); !strings.Contains(words, "one second") {
		t.Errorf("the locked screen says %q", words)
	}
	p.holdKey(1200*time.Millisecond, func() {
		if p.snapshot().HandsOff {
			t.Error("a key held for more than a second does not have the screen back")
		}
	})
	if eval[focus](p, focused).Name == "key-unlock" {
		t.Error("the focus stays on a key that is gone")
	}
}
