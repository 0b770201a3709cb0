package web_test

import (
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/audits"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"

	"maulstick/web"
	"maulstick/web/part"
)

// These are the checks that auditing tools make of a page, as far as they can be made
// without a network: what can be installed, what is good practice, and of the Web
// Content Accessibility Guidelines 2.2 (W3C, 2023) what axe does not measure. Their
// numbers stand beside the checks.

// audited lists what is wrong with a page, whichever it is.
const audited = `(() => {
	const faults = [], say = (what) => faults.push(what);
	const seen = (e) => e.checkVisibility({visibilityProperty: true, opacityProperty: true}) && !e.closest('.unseen');
	const named = (e) => (e.id || e.textContent.trim() || e.tagName).slice(0, 60);
	if (document.doctype?.name !== 'html' || document.compatMode !== 'CSS1Compat') say('no doctype, or quirks');
	if (document.characterSet !== 'UTF-8') say('its letters are ' + document.characterSet);
	if (document.documentElement.lang !== 'en-GB') say('3.1.1: its language is ' + document.documentElement.lang);
	if (!document.title.trim()) say('2.4.2: no title');
	if (!isSecureContext) say('not a secure context');
	const viewport = document.querySelector('meta[name=viewport]')?.content ?? '';
	if (!viewport.includes('width=device-width') || /user-scalable|maximum-scale/.test(viewport)) say('1.4.4: its viewport is ' + viewport);
	if (document.querySelectorAll('main').length !== 1) say('1.3.1: not one main part');
	const ranks = [...document.querySelectorAll('h1, h2, h3, h4, h5, h6')].filter((h) => h.checkVisibility()).map((h) => Number(h.tagName[1]));
	if (ranks.filter((r) => r === 1).length !== 1 || ranks[0] !== 1) say('1.3.1: its headings are of ranks ' + ranks);
	ranks.forEach((r, i) => { if (i > 0 && r > ranks[i - 1] + 1) say('1.3.1: a heading of rank ' + r + ' after one of ' + ranks[i - 1]); });
	for (const e of document.querySelectorAll('img:not([alt])')) say('1.1.1: no words for ' + e.src);
	for (const e of document.querySelectorAll('a[href]')) {
		if (new URL(e.href).origin !== location.origin) say('a link leaves: ' + e.href);
		if (/^(here|click here|more|link|read more)$/i.test(e.textContent.trim())) say('2.4.4: a link says ' + e.textContent);
	}
	for (const e of document.querySelectorAll('button[aria-label], a[aria-label]')) {
		// A key may show two things, one under the other: both are said, in that order.
		let rest = e.ariaLabel.toLowerCase();
		for (const word of e.innerText.replaceAll('\u00ad', '').toLowerCase().match(/\S+/g) ?? []) {
			const at = rest.indexOf(word);
			if (seen(e) && at < 0) say('2.5.3: ' + e.ariaLabel + ' shows ' + e.innerText);
			rest = rest.slice(at + word.length);
		}
	}
	for (const e of document.querySelectorAll('[tabindex]')) if (e.tabIndex > 0) say('2.4.3: ' + named(e) + ' has a place of its own in the order');
	for (const e of document.querySelectorAll('input[type=password], [autofocus], meta[http-equiv=refresh], object, embed, applet, marquee, blink'))
		say(named(e) + ' should not be there');
	if (document.getAnimations().length) say('2.2.2: something moves on its own');
	for (const e of performance.getEntriesByType('resource'))
		if (new URL(e.name).origin !== location.origin && !e.name.startsWith('blob:')) say('fetched from elsewhere: ' + e.name);

	// 1.4.3, contrast of what is read; 1.4.11, of the rims of fields. Grounds here are
	// plain colours; what is switched off is excepted.
	const light = (c) => { const [r, g, b] = c.map((v) => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
		return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
	const numbers = (s) => s.match(/[\d.]+/g).map(Number);
	const ground = (e) => { for (; e; e = e.parentElement) { const c = numbers(getComputedStyle(e).backgroundColor); if (c.length < 4 || c[3] === 1) return c.slice(0, 3); }
		return [255, 255, 255]; };
	const contrast = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p); return (x + 0.05) / (y + 0.05); };
	for (const e of document.querySelectorAll('body *')) {
		const s = getComputedStyle(e);
		const words = [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim());
		if (!seen(e) || e.closest(':disabled, [aria-hidden=true], #marks, #handles')) continue;
		if (words) {
			const size = parseFloat(s.fontSize), large = size >= 24 || size >= 18.66 && Number(s.fontWeight) >= 700;
			const c = contrast(numbers(s.color).slice(0, 3), ground(e));
			if (c < (large ? 3 : 4.5)) say('1.4.3: ' + named(e) + ' has a contrast of ' + c.toFixed(2));
			if (size < 12) say(named(e) + ' is set in ' + size + ' px');
		}
		if (e.matches('input:not([type=range], [type=checkbox])')) {
			const c = contrast(numbers(s.borderTopColor).slice(0, 3), ground(e.parentElement));
			if (c < 3) say('1.4.11: the rim of ' + named(e) + ' has a contrast of ' + c.toFixed(2));
		}
	}
	return faults; })()`

// spaced sets what is read as far apart as a reader may need it (1.4.12).
const spaced = `void (() => { const sheet = document.styleSheets[0];
	sheet.insertRule('* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important }', sheet.cssRules.length);
	sheet.insertRule('p { margin-bottom: 2em !important }', sheet.cssRules.length); })()`

// issues notes whatever the browser itself has against a page: mixed content, what it
// means to give up, refusals by policy, quirks.
func (p *tab) issues() (told func() []string) {
	p.t.Helper()
	var mutex sync.Mutex
	var all []string
	p.must(chromedp.Listen(p.ctx, func(event any) {
		if e, ok := event.(*audits.EventIssueAdded); ok {
			text, _ := json.Marshal(e.Issue)
			mutex.Lock()
			all = append(all, string(text))
			mutex.Unlock()
		}
	}))
	call(p, audits.Enable, cdp.Empty{})
	return func() []string {
		mutex.Lock()
		defer mutex.Unlock()
		return slices.Clone(all)
	}
}

// leaves are the handbook's pages.
func leaves(t *testing.T) []string {
	t.Helper()
	names, err := filepath.Glob("handbook/*.html")
	if err != nil || len(names) < 8 {
		t.Fatalf("the handbook has %d pages: %v", len(names), err)
	}
	return names
}

// TestHandbookIsAudited takes every measure of every page of the handbook: on a tablet
// lying and standing, on a phone, at 320 px, as of a page enlarged four times on a
// laptop (1.4.10), and with its letters set apart.
func TestHandbookIsAudited(t *testing.T) {
	axe, err := os.ReadFile(axeFile)
	if err != nil {
		t.Fatalf("%v: run make tools", err)
	}
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).openFresh(t, landscape, s.url()+"handbook/begin.html")
	issues := p.issues()
	titles := map[string]string{}
	for _, name := range leaves(t) {
		p.must(chromedp.Do(p.ctx, chromedp.Navigate(s.url()+filepath.ToSlash(name))))
		eval[chromedp.Void](p, string(axe)+";undefined")
		title := eval[string](p, `document.title`)
		if other := titles[title]; other != "" {
			t.Errorf("%s and %s are both titled %q", name, other, title)
		}
		titles[title] = name
		for _, fault := range eval[[]string](p, audited) {
			t.Errorf("%s: %s", name, fault)
		}
		for _, size := range append(slices.Clone(screens), screenSize{320, 640, 1}) {
			p.resize(size)
			p.readsWell(t, fmt.Sprintf("%s at %d px", name, size.width))
		}
		eval[chromedp.Void](p, spaced)
		for _, fault := range eval[[]string](p, leafBoxes) {
			t.Errorf("1.4.12: %s with its letters apart: %s", name, fault)
		}
		p.resize(landscape)
	}
	if told := issues(); len(told) > 0 {
		t.Errorf("the browser has against it: %q", told)
	}
	if complaints := p.complaints(); len(complaints) > 0 {
		t.Errorf("the console says %q", complaints)
	}
}

// TestPageIsAudited takes the measures of the page itself, with every tray, and of how
// it comes: nothing that is shown may move while it does.
func TestPageIsAudited(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).openFresh(t, landscape, s.url(), `window.moved = 0;
		new PerformanceObserver((list) => { for (const e of list.getEntries()) if (!e.hadRecentInput) window.moved += e.value; })
			.observe({type: 'layout-shift', buffered: true})`)
	issues := p.issues()
	p.settleCounted()
	// A tenth of what auditing tools call good, 0.1: the words above the picture come with it.
	if moved := eval[float64](p, `window.moved`); moved > 0.01 {
		t.Errorf("while the page comes what is shown moves by %.4f", moved)
	}
	if said := eval[string](p, `document.querySelector('meta[name=description]')?.content ?? ''`); len(strings.Fields(said)) < 5 {
		t.Errorf("the page describes itself as %q", said)
	}
	for _, tray := range trays {
		p.press("tray-" + tray.name)
		for _, one := range tray.parts {
			p.press("part-" + one)
			p.settleAnswered()
			for _, fault := range eval[[]string](p, audited) {
				t.Errorf("%s: %s", one, fault)
			}
		}
	}
	if told := issues(); len(told) > 0 {
		t.Errorf("the browser has against it: %q", told)
	}
	if complaints := p.complaints(); len(complaints) > 0 {
		t.Errorf("the console says %q", complaints)
	}
}

// members are those of a manifest that standards know: W3C Web Application Manifest,
// and beside it Web Share Target, File Handling and Web App Launch Handler (WICG); their
// names from memory.
var members = []string{
	"background_color", "categories", "description", "dir", "display", "file_handlers", "icons", "id", "lang",
	"launch_handler", "name", "orientation", "scope", "share_target", "short_name", "start_url", "theme_color",
}

// The manifest is one by the standards, and says of the page what the page says.
func TestManifestIsByTheStandards(t *testing.T) {
	text, err := os.ReadFile("manifest.webmanifest")
	if err != nil {
		t.Fatal(err)
	}
	said := map[string]any{}
	if err := json.Unmarshal(text, &said); err != nil {
		t.Fatal(err)
	}
	for member := range said {
		if !slices.Contains(members, member) {
			t.Errorf("no standard knows %q", member)
		}
	}
	page, err := os.ReadFile("index.html")
	if err != nil {
		t.Fatal(err)
	}
	of := func(member string) string { one, _ := said[member].(string); return one }
	for member, want := range map[string]string{
		"lang": `<html lang="` + of("lang") + `"`, "description": `content="` + of("description") + `"`,
		"theme_color": `<meta name="theme-color" content="` + of("theme_color") + `"`, "name": "<title>" + of("name") + "</title>",
	} {
		if of(member) == "" || !strings.Contains(string(page), want) {
			t.Errorf("the page does not have the manifest's %s, %q", member, of(member))
		}
	}
	for _, colour := range []string{"theme_color", "background_color"} {
		if !regexp.MustCompile(`^#[0-9a-f]{6}$`).MatchString(of(colour)) {
			t.Errorf("%s is %q", colour, of(colour))
		}
	}
	// Launchers cut a longer name (common practice: twelve letters).
	if n := len(of("short_name")); n == 0 || n > 12 {
		t.Errorf("the short name has %d letters", n)
	}
	manifestsPlaces(t, readManifest(t))
}

// manifestsPlaces holds the places that a manifest names to its scope and to the page.
func manifestsPlaces(t *testing.T, m manifest) {
	t.Helper()
	if !slices.Contains([]string{"standalone", "minimal-ui", "fullscreen"}, m.Display) {
		t.Errorf("it is displayed as %q", m.Display)
	}
	at, _ := url.Parse("https://studio.example/maulstick/manifest.webmanifest")
	within := at.ResolveReference(&url.URL{Path: m.Scope}).String()
	places := []string{m.ID, m.StartURL, m.Share.Action}
	for _, handler := range m.Handlers {
		places = append(places, handler.Action)
		for kind, endings := range handler.Accept {
			if strings.Count(kind, "/") != 1 || len(endings) == 0 {
				t.Errorf("it opens %q by the endings %q", kind, endings)
			}
			for _, ending := range endings {
				if !strings.HasPrefix(ending, ".") {
					t.Errorf("%q is no ending", ending)
				}
			}
		}
	}
	for _, place := range places {
		to, err := at.Parse(place)
		if place == "" || err != nil || !strings.HasPrefix(to.String(), within) {
			t.Errorf("%q lies outside of %s", place, within)
		}
	}
	if m.Share.Method != "POST" || m.Share.Enctype != "multipart/form-data" || len(m.Share.Params.Files) == 0 {
		t.Errorf("files are shared by %+v", m.Share)
	}
	list, err := part.Read(web.Built())
	if err != nil {
		t.Fatal(err)
	}
	for _, icon := range m.Icons {
		built := slices.ContainsFunc(list.Parts, func(one part.Part) bool { return one.URL == icon.Src && one.Type == icon.Type })
		if !built || icon.Sizes == "" || !slices.Contains([]string{"", "any", "maskable"}, icon.Purpose) {
			t.Errorf("the icon %+v is no part of the page as that", icon)
		}
	}
}
