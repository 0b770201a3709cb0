package web_test

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// found is what the search of the handbook shows.
type found struct {
	Says   string
	Places []struct{ To, Name, Around string }
	Marked []string
}

// seek types into the handbook's search, and waits for what comes of it.
func (p *tab) seek(words string) found {
	p.t.Helper()
	p.fill("sought", words)
	p.await("it has been sought", `(new URLSearchParams(location.search).get('sought') ?? '') === %s`, strings.TrimSpace(words))
	p.frame()
	return eval[found](p, `({ Says: document.getElementById('found').innerText,
		Places: [...document.querySelectorAll('#places li')].map((li) => ({ To: li.querySelector('a').getAttribute('href'),
			Name: li.querySelector('a').innerText, Around: li.querySelector('p').innerText })),
		Marked: [...document.querySelectorAll('#places li:first-child mark')].map((m) => m.innerText.toLowerCase()) })`)
}

// TestHandbookIsSearched looks words up without a server, in every size, and follows
// what is found to where it stands.
func TestHandbookIsSearched(t *testing.T) {
	axe, err := os.ReadFile(axeFile)
	if err != nil {
		t.Fatalf("%v: run make tools", err)
	}
	s, profile := newSite(t), t.TempDir()
	b := startBrowser(t, profile)
	easel := b.open(landscape, s.url())
	easel.awaitKept()
	if asked := easel.requests(); slices.ContainsFunc(asked, func(url string) bool { return strings.Contains(url, "words.json") }) {
		t.Errorf("the page itself asks for what is searched: %q", asked)
	}
	s.stop()
	for _, size := range screens {
		t.Run(fmt.Sprintf("%dx%d", size.width, size.height), func(t *testing.T) {
			p := newTab(t, b.ctx, size, s.url()+"handbook/begin.html", nil)
			p.fill("sought", "turpentine")
			p.await("the search has begun", `location.pathname.endsWith('/search.html') && document.querySelectorAll('#places li').length > 0`)
			p.finds(t)
			eval[chromedp.Void](p, string(axe)+";undefined")
			p.seek("chalk")
			p.readsWell(t, "what is found")
			p.follows(t)
			if complaints := p.complaints(); len(complaints) > 0 {
				t.Errorf("the console says %q", complaints)
			}
		})
	}
}

// finds looks several words up.
func (p *tab) finds(t *testing.T) {
	t.Helper()
	for _, c := range []struct{ words, first, marked string }{
		{"turpentine", "begin.html#cautions", "turpentine"},
		{"oily rags", "begin.html#cautions", "oily"},
		{"rabatment", "line.html#lines", "rabatment"},
		{"Chalk List", "line.html#chalk", "list"},
		{"spreadsheets", "place.html#lists", "spreadsheet"},
		{"bank card", "place.html#size", "bank"},
		{"  golden   SECTION ", "line.html#lines", "golden"},
		{"painter's wheel", "colour.html#arithmetic", "painter's"},
		{"notan", "value.html", "notan"},
	} {
		got := p.seek(c.words)
		if len(got.Places) == 0 || !strings.HasPrefix(got.Places[0].To, c.first) {
			t.Errorf("%q leads to %+v, want %s first", c.words, got.Places, c.first)
			continue
		}
		if count := len(got.Places); !strings.Contains(got.Says, "place") || count > 1 && !strings.HasPrefix(got.Says, fmt.Sprint(count)+" ") {
			t.Errorf("of %q it says %q and shows %d", c.words, got.Says, count)
		}
		if !strings.Contains(strings.Join(got.Marked, " "), c.marked) {
			t.Errorf("%q: marked is %q in %q", c.words, got.Marked, got.Places[0].Around)
		}
	}
	for words, want := range map[string]string{
		"zebra":           "no word that begins with “zebra”",
		"chalk zebra":     "no word that begins with “zebra”",
		"turpentine card": "no place has all",
	} {
		if got := p.seek(words); len(got.Places) > 0 || !strings.HasPrefix(got.Says, "Nothing was found") || !strings.Contains(got.Says, want) {
			t.Errorf("of %q it says %q and shows %d", words, got.Says, len(got.Places))
		}
	}
	if got := p.seek(""); len(got.Places) > 0 || !strings.HasPrefix(got.Says, "Type one word") {
		t.Errorf("of nothing it says %q and shows %d", got.Says, len(got.Places))
	}
}

// follows goes to the first place found, by touch and then by keyboard, and back.
func (p *tab) follows(t *testing.T) {
	t.Helper()
	const there = `location.pathname.endsWith('/line.html') && location.hash === '#chalk' && (() => {
		const b = document.getElementById('chalk')?.getBoundingClientRect(); return Boolean(b) && b.top >= 0 && b.bottom <= innerHeight; })()`
	const back = `location.pathname.endsWith('/search.html') && document.querySelectorAll('#places li').length > 0`
	x, y := p.spotOf("#places a")
	p.tap(spot{x, y})
	p.await("the touched place is shown", there)
	eval[chromedp.Void](p, `void history.back()`)
	p.await("what was found is shown again", back)
	p.clickAt("#sought")
	p.keys(kb.Tab + kb.Tab) // past the key beside the field
	if to := eval[string](p, `document.activeElement.getAttribute('href')`); to != "line.html#chalk" {
		t.Errorf("from the field Tab leads to %q", to)
	}
	p.keys(kb.Enter)
	p.await("the place is shown by keyboard", there)
	eval[chromedp.Void](p, `void history.back()`)
	p.await("what was found is shown once more", back)
}

// readsWell takes the measures of a page of the handbook as it is now: nothing that
// axe objects to, nothing to scroll sideways, no colour, and targets large enough.
func (p *tab) readsWell(t *testing.T, what string) {
	t.Helper()
	for _, fault := range eval[[]string](p, `axe.run(document).then(r => r.violations.map(
		v => v.id + ': ' + v.help + ' ' + v.nodes.map(n => n.target.join(' ') + ' ' + n.failureSummary).join(' | ')))`) {
		t.Errorf("%s: %s", what, fault)
	}
	for _, fault := range eval[[]string](p, leafBoxes) {
		t.Errorf("%s: %s", what, fault)
	}
}

// leafBoxes lists what is too small to touch, coloured, or leaves the screen. Links
// within a sentence are as high as its lines (WCAG 2.2, 2.5.8 excepts them).
const leafBoxes = `(() => {
	const faults = [], say = (e, what) => faults.push((e.id || e.textContent.trim() || e.tagName).slice(0, 60) + ' ' + what);
	for (const e of document.querySelectorAll('button, input, nav a, #places a')) {
		const b = e.getBoundingClientRect();
		if (b.height < 47.9 || b.width < 40) say(e, 'is ' + b.width + ' x ' + b.height);
	}
	for (const e of document.querySelectorAll('body, body *')) {
		if (!e.checkVisibility()) continue;
		const s = getComputedStyle(e), b = e.getBoundingClientRect();
		if (b.right > innerWidth + 0.5 && !e.closest('.scrolls')) say(e, 'leaves the screen');
		for (const name of ['color', 'backgroundColor', 'borderTopColor', 'outlineColor']) {
			const n = s[name].match(/[\d.]+/g).map(Number);
			if (!/^rgb/.test(s[name]) || n[0] !== n[1] || n[1] !== n[2]) say(e, name + ' is ' + s[name]);
		}
	}
	if (document.scrollingElement.scrollWidth > innerWidth) faults.push('the page scrolls sideways');
	return faults; })()`
