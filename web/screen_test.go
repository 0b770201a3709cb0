package web_test

import (
	"fmt"
	"image/color"
	"math"
	"os"
	"slices"
	"testing"

	"github.com/chromedp/chromedp"

	"maulstick/render/study"
)

// axeFile is the accessibility checker, which make tools fetches.
const axeFile = "../.tools/node_modules/axe-core/axe.min.js"

// screens are a tablet lying and standing, and a phone.
var screens = []screenSize{{1180, 820, 1}, {820, 1180, 1}, {390, 844, 1}}

// TestScreen measures every tray in every size: nothing that axe objects to,
// keys large enough and not cut off, no colour beside the picture, the page not
// scrolling, and nothing over the picture.
func TestScreen(t *testing.T) {
	axe, err := os.ReadFile(axeFile)
	if err != nil {
		t.Fatalf("%v: run make tools", err)
	}
	s := newSite(t)
	b := withCamera(t)
	for _, size := range screens {
		t.Run(fmt.Sprintf("%dx%d", size.width, size.height), func(t *testing.T) {
			p := b.openFresh(t, size, s.url())
			p.settle()
			p.await("the steps are counted", `window.maulstick.snapshot().counted`)
			// The checker is put in past the page's own policy, as a browser's
			// developer tools are; nothing of it runs before it is asked.
			eval[chromedp.Void](p, string(axe)+";undefined")
			p.measure(t, "no tray")
			for _, tray := range trays {
				t.Run(tray.name, func(t *testing.T) {
					defer p.of(t)()
					p.press("tray-" + tray.name)
					p.settle()
					p.measureParts(t, tray.parts, size)
					if tray.name == "place" {
						p.press("part-mark")
						p.keepsStill(t)
					}
				})
			}
			t.Run("hands off", func(t *testing.T) {
				defer p.of(t)()
				p.press("tray-line")
				p.press("tray-study")
				p.press("part-study")
				p.press("handsoff")
				p.measure(t, "hands off")
			})
		})
	}
}

// of has what goes wrong be a part of a test's, until the answer is called.
func (p *tab) of(t *testing.T) (back func()) {
	whole := p.t
	p.t = t
	return func() { p.t = whole }
}

// trays are the trays that can be opened, with their parts, in the order of the ledge.
var trays = []struct {
	name  string
	parts []string
}{
	{"line", study.LineParts}, {"shape", study.ShapeParts}, {"value", study.ValueParts}, {"colour", study.ColourParts},
	{"place", study.PlaceParts}, {"check", study.CheckParts}, {"study", study.StudyParts},
}

// filledBy are the keys that fill a part with what it can hold; those of tools in
// hand are pressed once more afterwards.
var filledBy = map[string]struct {
	first       func(p *tab) // before the keys
	keys, tools []string
}{
	"canvas":     {tools: []string{"crop-hand"}},
	"straighten": {tools: []string{"corners"}},
	"lines":      {keys: []string{"use-diagonals", "use-thirds", "use-squares", "use-golden"}},
	"crossings":  {keys: []string{"row-crossing-1", "focal-here"}},
	"chalk":      {keys: []string{"round-32"}},
	"camera":     {first: (*tab).startCamera, keys: []string{"camera-freeze", "camera-place"}},
	"painting":   {first: (*tab).fillPainting, keys: []string{"told-values", "seen-divided", "told-drawing", "arrow-new", "arrow-draw"}, tools: []string{"painting-corners"}},
	"cards":      {first: (*tab).fillCards},
	"palette":    {first: (*tab).fillPalette},
	"board":      {first: (*tab).fillBoard, keys: []string{"board-borrow", "row-borrowed-1"}, tools: []string{"board-part"}},
	"log":        {first: (*tab).fillLog},
}

// settleAnswered waits until whatever the open part asks about the picture has
// been answered and is shown.
func (p *tab) settleAnswered() {
	p.t.Helper()
	p.settle()
	p.await("what the tray asks is answered", `['line', 'shape', 'value', 'colour', 'check', 'study'].every((t) => document.getElementById(t + '-asking').hidden)`)
	p.await("the lines are set out", `window.maulstick.snapshot().set_out`)
	p.await("the studies are listed", `!document.getElementById('studies-rows').checkVisibility({visibilityProperty: true}) || document.querySelector('#studies-rows button') !== null`)
	p.settle()
}

// measureParts opens the parts of a tray one after the other and takes every
// measure. On a tablet the picture must stay where it is all the while.
func (p *tab) measureParts(t *testing.T, parts []string, size screenSize) {
	t.Helper()
	area := p.snapshot().Area
	for _, part := range parts {
		p.press("part-" + part)
		p.settleAnswered()
		p.measure(t, part)
		fill := filledBy[part]
		if fill.first != nil {
			fill.first(p)
			p.settleAnswered()
			p.measure(t, part+" begun")
		}
		for _, key := range append(fill.keys, fill.tools...) {
			p.press(key)
			p.settleAnswered()
		}
		if len(fill.keys)+len(fill.tools) > 0 {
			p.measure(t, part+" filled")
		}
		for _, key := range fill.tools {
			p.press(key)
		}
		// The chalk list takes room from the picture: it is the work then.
		if now := p.snapshot().Area; size.width > 480 && now != area && part != "chalk" {
			t.Errorf("%s: the picture's area goes from %+v to %+v", part, area, now)
		}
	}
}

// measure takes every measure of the page as it is now.
func (p *tab) measure(t testing.TB, what string) {
	t.Helper()
	for _, fault := range eval[[]string](p, `axe.run(document, {iframes: false}).then(r => r.violations.map(
		v => v.id + ': ' + v.help + ' ' + v.nodes.map(n => n.target.join(' ') + ' ' + n.failureSummary).join(' | ')))`) {
		t.Errorf("%s: %s", what, fault)
	}
	for _, fault := range eval[[]string](p, boxes) {
		t.Errorf("%s: %s", what, fault)
	}
	p.greyAround(t, what)
}

// boxes lists what is too small, cut off, coloured, scrolled or covered.
const boxes = `(() => {
	const faults = [], say = (e, what) => faults.push((e.id || e.textContent.trim() || e.tagName) + ' ' + what);
	const visible = e => e.checkVisibility({visibilityProperty: true});
	for (const e of document.querySelectorAll('button, input, a, label')) {
		if (!visible(e) || e.closest('.unseen')) continue;
		const b = e.getBoundingClientRect();
		const mark = e.closest('#marks, #handles'), least = e.closest('#ledge, #lock') ? 64 : mark ? 32 : 48;
		const part = e.matches('label, label input') || e.matches('.line label');
		if (!part && (b.height < least - 0.01 || b.width < (mark ? 32 : 44))) say(e, 'is ' + b.width + ' x ' + b.height);
		if (e.matches('button') && !e.closest('#marks, #marks-row, #handles') && (e.scrollWidth > e.clientWidth || e.scrollHeight > e.clientHeight))
			say(e, 'has its words cut off');
		if (!e.closest('#handles') && (b.left < 0 || b.right > innerWidth + 0.5)) say(e, 'leaves the screen');
	}
	for (const e of document.querySelectorAll('body, body *')) {
		// A swatch is part of what is looked at.
		if (!visible(e) || e.closest('iframe') || e.matches('.rows i')) continue;
		const s = getComputedStyle(e);
		for (const name of ['color', 'backgroundColor', 'borderTopColor', 'outlineColor']) {
			const n = s[name].match(/[\d.]+/g).map(Number);
			if (!/^rgb/.test(s[name]) || n[0] !== n[1] || n[1] !== n[2]) say(e, name + ' is ' + s[name]);
		}
	}
	const root = document.scrollingElement;
	root.scrollTo(50, 50);
	if (root.scrollTop || root.scrollLeft) faults.push('the page scrolls');
	const over = document.getElementById('overlay').getBoundingClientRect();
	if (over.height < 150) faults.push('the picture is left ' + over.height + ' px');
	for (const e of document.querySelectorAll('header, .tray, #ledge, #lock')) {
		const b = e.getBoundingClientRect();
		if (!visible(e) || !b.height) continue;
		if (b.left < over.right && b.right > over.left && b.top < over.bottom - 0.5 && b.bottom > over.top + 0.5) say(e, 'covers the picture');
	}
	// A tray scrolls in itself on a phone alone.
	for (const e of document.querySelectorAll('.tray'))
		if (visible(e) && innerWidth > 480 && e.scrollHeight > e.clientHeight) say(e, 'scrolls');
	for (const e of document.querySelectorAll('.parts, .part > .side:not(:has(> .rows))'))
		if (visible(e) && innerWidth > 480 && (e.scrollWidth > e.clientWidth || e.scrollHeight > e.clientHeight)) say(e, 'does not hold what is in it');
	// Nothing of a tray lies over its row of parts, and that row does not leave the tray.
	for (const e of document.querySelectorAll('.parts button')) {
		if (!visible(e)) continue;
		const b = e.getBoundingClientRect(), tray = e.closest('.tray').getBoundingClientRect();
		if (innerWidth > 480 && b.right > tray.right) say(e, 'leaves its tray');
		for (const help of e.closest('.tray').querySelectorAll('.part > .help')) {
			const h = help.getBoundingClientRect();
			if (visible(help) && h.left < b.right && h.right > b.left && h.top < b.bottom && h.bottom > b.top) say(e, 'lies under the words beside it');
		}
	}
	for (const [e, least] of [['#ledge button', 17], ['.figure span:not(.frac)', 32]])
		for (const one of document.querySelectorAll(e))
			if (visible(one) && parseFloat(getComputedStyle(one).fontSize) < least) say(one, 'is smaller than ' + least + ' px');
	return faults; })()`

// greyAround looks at the screen itself for colour beside the picture.
func (p *tab) greyAround(t testing.TB, what string) {
	t.Helper()
	over, screen := p.boxOf("overlay"), p.see()
	subjects := append(eval[[]box](p, `[...document.querySelectorAll('.rows i, .rows img')].filter((e) => e.checkVisibility())
		.map((e) => { const b = e.getBoundingClientRect(); return {X: b.left, Y: b.top, Width: b.width, Height: b.height}; })`), over)
	for y := range screen.Bounds().Dy() {
		for x := range screen.Bounds().Dx() {
			px, py := float64(x), float64(y)
			if slices.ContainsFunc(subjects, func(b box) bool {
				return px >= math.Floor(b.X) && px < b.X+b.Width && py >= math.Floor(b.Y) && py < b.Y+b.Height
			}) {
				continue
			}
			if c := color.NRGBAModel.Convert(screen.At(x, y)).(color.NRGBA); c.R != c.G || c.G != c.B {
				t.Errorf("%s: the screen is %v at (%d, %d), beside the picture", what, c, x, y)
				return
			}
		}
	}
}

// keepsStill places a mark, mirrors and turns the picture and deletes the mark:
// the picture must stay where it is all the while.
func (p *tab) keepsStill(t *testing.T) {
	t.Helper()
	area := p.snapshot().Area
	still := func(what string) {
		t.Helper()
		p.settle()
		if now := p.snapshot().Area; now != area {
			t.Errorf("%s, the picture's area goes from %+v to %+v", what, area, now)
		}
	}
	p.tapAlone(p.over(0.5, 0.5))
	still("with a mark placed")
	p.press("mirror")
	still("mirrored")
	p.press("filter")
	still("through the filter")
	p.press("filter")
	p.press("mirror")
	p.press("mark-delete")
	still("with the mark deleted")
}
