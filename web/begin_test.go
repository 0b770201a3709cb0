package web_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/target"
	"github.com/chromedp/chromedp"
)

// word is one of the words that the handbook's first steps set apart: a key to press
// (b), a field (i), or what to type into it (kbd).
type word struct{ Kind, Said string }

// TestBeginnerFollowsTheHandbook does what the first steps of the handbook say, word by
// word and nothing else, and comes from opening the page to a chalk list. The canvas is
// 40 by 30 in, whose diagonals are 50 in (3, 4 and 5: Euclid, Elements I.47).
func TestBeginnerFollowsTheHandbook(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	for _, size := range screens {
		p := b.openFresh(t, size, s.url())
		p.settle()
		p.press("tray-study")
		p.settle()
		steps := p.readThrough("a[href='handbook/begin.html']", func(leaf *tab) []word {
			return eval[[]word](leaf, `[...document.querySelectorAll('ol.way :is(b, i, kbd)')]
				.map((e) => ({ Kind: e.tagName.toLowerCase(), Said: e.innerText }))`)
		})
		if len(steps) < 12 {
			t.Fatalf("the handbook's first steps are %q", steps)
		}
		p.press("tray-study") // down again: the steps begin with it
		p.settle()
		p.obey(t, steps)
		p.settleAnswered()
		p.chalked(t)
		if complaints := p.complaints(); len(complaints) > 0 {
			t.Errorf("the console says %q", complaints)
		}
	}
}

// obey does what is said.
func (p *tab) obey(t *testing.T, steps []word) {
	t.Helper()
	field := ""
	for _, one := range steps {
		switch one.Kind {
		case "b":
			if one.Said == "Open a photograph" {
				p.openPhoto(photograph) // what the system's own chooser does
				continue
			}
			p.pressSaid(one.Said)
		case "i":
			field = eval[string](p, `[...document.querySelectorAll('label')].find((l) => l.checkVisibility() && l.innerText === %s)?.htmlFor ?? ''`, one.Said)
			if field == "" {
				t.Fatalf("there is no field %q in sight", one.Said)
			}
		case "kbd":
			p.fill(field, one.Said)
		}
		p.settleAnswered()
	}
}

// pressSaid presses the key in sight that says so.
func (p *tab) pressSaid(said string) {
	p.t.Helper()
	key := eval[string](p, `[...document.querySelectorAll('button')].find((b) => b.checkVisibility() && !b.disabled
		&& b.innerText.replaceAll('\u00ad', '').replace(/\s+/g, ' ').trim() === %s)?.dataset.key ?? ''`, said)
	if key == "" {
		p.t.Fatalf("there is no key %q in sight", said)
	}
	p.press(key)
}

// chalked holds the chalk list to what is halved by hand.
func (p *tab) chalked(t *testing.T) {
	t.Helper()
	canvas := p.snapshot().Study.Canvas
	if math.Abs(float64(canvas.Width)-40*25.4) > 1e-9 || math.Abs(float64(canvas.Height)-30*25.4) > 1e-9 {
		t.Errorf("the canvas is %+v", canvas)
	}
	if p.text("chalk-marks") == "" {
		t.Fatal("no chalk list is shown")
	}
	marks := strings.Join(eval[[]string](p, `[...document.querySelectorAll('#chalk-marks button')].map((b) => b.innerText.replace(/\s+/g, ' ').trim())`), "; ")
	for _, want := range []string{"Top 1 20 in from the left", "Bottom 1 20 in from the left", "Left 1 15 in from the bottom", "Right 1 15 in from the bottom"} {
		if !strings.Contains(marks, want) {
			t.Errorf("the marks are %q, without %q", marks, want)
		}
	}
	if check := p.text("chalk-check"); !strings.Contains(check, "50 in") {
		t.Errorf("to check by stands %q", check)
	}
}

// readThrough follows a link to the handbook, which opens in a window of its own, has
// it read, and leaves it by its way back. The easel must still be there as it was, and
// be the only one.
func (p *tab) readThrough(link string, read func(leaf *tab) []word) []word {
	p.t.Helper()
	eval[chromedp.Void](p, `void (window.asItWas = true)`)
	opened := chromedp.WaitNewTarget(p.ctx, func(info *target.Info) bool { return strings.Contains(info.URL, "/handbook/") })
	p.clickAt(link)
	var id target.ID
	select {
	case id = <-opened:
	case <-time.After(patience):
		p.t.Fatalf("a touch on %s opens nothing", link)
	}
	ctx, _ := chromedp.NewContext(p.ctx, chromedp.WithTargetID(id))
	leaf := &tab{t: p.t, ctx: ctx}
	p.must(chromedp.Do(ctx))
	leaf.await("the page of the handbook is there", `document.readyState === 'complete'`)
	words := read(leaf)
	leaf.clickAt("a[href='line.html']") // a page further
	leaf.await("another page is there", `document.readyState === 'complete' && location.pathname.endsWith('/line.html')`)
	leaf.clickAt("#back")
	for deadline := time.Now().Add(patience); ; time.Sleep(20 * time.Millisecond) {
		infos, err := chromedp.Targets(p.ctx)
		p.must(err)
		left := 0
		for _, info := range infos {
			if info.TargetID == id {
				left++
			}
		}
		if left == 0 {
			break
		}
		if time.Now().After(deadline) {
			p.t.Fatal("the way back leaves the handbook open")
		}
	}
	if !eval[bool](p, `window.asItWas === true`) {
		p.t.Error("the way back has loaded the easel anew")
	}
	return words
}

// A page of the handbook that no easel has opened leads to one.
func TestHandbookLeadsToAnEasel(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).openFresh(t, landscape, s.url()+"handbook/value.html")
	p.clickAt("#back")
	p.settle()
	if at := eval[string](p, `location.href`); at != s.url() {
		t.Errorf("the way back leads to %s", at)
	}
}
