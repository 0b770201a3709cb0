package web_test

import (
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// writers is how many windows hold the writer's lock.
const writers = `navigator.locks.query().then(({ held }) => held.filter(({ name }) => name === 'maulstick-writer').length)`

// onlyReads holds a window to saying that another one keeps the study, to writing
// nothing, and to offering to take over.
func (p *tab) onlyReads(t *testing.T, when string) {
	t.Helper()
	p.settle()
	p.awaitNotice("another window")
	p.await("it offers to take over", `document.getElementById('key-keep-here').checkVisibility()`)
	if p.snapshot().Kept || p.text("state-kept") != "Not kept" {
		t.Errorf("%s the window says %q", when, p.text("state-kept"))
	}
}

// isWriter holds a window to being the one that keeps the study.
func (p *tab) isWriter(t *testing.T, when string) {
	t.Helper()
	p.settleKept()
	if said := p.text("notice-text"); strings.Contains(said, "window") || p.shown("key-keep-here") {
		t.Errorf("%s the window that writes says %q", when, said)
	}
	if n := eval[int](p, writers); n != 1 {
		t.Errorf("%s %d windows may write", when, n)
	}
}

// Of two windows one writes, and the other says so. When that one is asked to it
// takes over with what was kept, and the first one reads; when the writer is closed,
// the other takes over by itself.
func TestOneWindowWrites(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	first := b.open(landscape, s.url(), noteWrites)
	first.isWriter(t, "alone")
	second := b.open(landscape, s.url(), noteWrites)
	second.onlyReads(t, "as the second")
	first.press("mirror")
	first.isWriter(t, "with a second open")
	second.press("filter")
	second.settle()
	time.Sleep(1500 * time.Millisecond) // longer than a change waits to be written
	if n := eval[int](second, `(window.writes ?? []).length`); n != 0 {
		t.Errorf("the window that reads has written %d times", n)
	}

	was := first.studyText()
	const program = `document.querySelector('iframe').contentWindow.ending`
	eval[any](first, `void (window.before = `+program+`)`)
	second.clickAt("#key-keep-here")
	second.await("it takes over", `document.getElementById('key-keep-here').hidden && !!window.maulstick.snapshot?.()?.kept`)
	second.isWriter(t, "taken over")
	if now := second.studyText(); now != was {
		t.Errorf("taken over the study is\n%s\nwas\n%s", now, was)
	}
	first.onlyReads(t, "handed over")
	if !eval[bool](first, `window.before.aborted && !`+program+`.aborted`) {
		t.Error("handed over the first window's program has not ended and begun anew")
	}
	written := eval[int](first, `window.writes.length`)
	first.press("filter")
	second.press("squint")
	second.isWriter(t, "with the first reading")
	time.Sleep(1500 * time.Millisecond)
	if n := eval[int](first, `window.writes.length`); n != written {
		t.Errorf("handed over the first window has written %d times more", n-written)
	}

	was = second.studyText()
	second.must(chromedp.Cancel(second.ctx))
	first.await("the first takes over", `document.getElementById('key-keep-here').hidden && !!window.maulstick.snapshot?.()?.kept`)
	first.isWriter(t, "left alone")
	if now := first.studyText(); now != was {
		t.Errorf("left alone the first has\n%s\nthe second kept\n%s", now, was)
	}
	if complaints := first.complaints(); len(complaints) > 0 {
		t.Errorf("the console says %q", complaints)
	}
}

// A window that does not answer keeps its turn: two never write.
func TestSilentWindowKeepsItsTurn(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	first := b.open(landscape, s.url(), `BroadcastChannel.prototype.addEventListener = () => {};`)
	first.isWriter(t, "alone")
	second := b.open(landscape, s.url())
	second.onlyReads(t, "as the second")
	second.clickAt("#key-keep-here")
	second.await("it says that there is no answer", `document.getElementById('key-keep-here').textContent.includes('does not answer')`)
	second.onlyReads(t, "without an answer")
	first.isWriter(t, "that does not answer")
}
