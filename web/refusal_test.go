package web_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"maulstick/render/photo"
)

// whole is everything the page tells of itself, to be compared as it stands.
func (p *tab) whole() string {
	p.t.Helper()
	return eval[string](p, `JSON.stringify(window.maulstick.snapshot())`)
}

// awaitWhole waits until the page tells of itself what it told before. The
// layout may need a moment to come back.
func (p *tab) awaitWhole(when, before string) {
	p.t.Helper()
	p.settle()
	for deadline := time.Now().Add(5 * time.Second); p.whole() != before; time.Sleep(50 * time.Millisecond) {
		if time.Now().After(deadline) {
			p.t.Errorf("%s the page is at\n%s\nand was at\n%s", when, p.whole(), before)
			return
		}
	}
}

// studyText is the study alone: a message above the picture changes the area
// that is left for it, and nothing of the study.
func (p *tab) studyText() string {
	p.t.Helper()
	return eval[string](p, `JSON.stringify(window.maulstick.snapshot().study)`)
}

// shown tells whether an element is there to be seen.
func (p *tab) shown(id string) bool {
	p.t.Helper()
	return eval[bool](p, `document.getElementById(%s).checkVisibility()`, id)
}

// work gives a study something to lose: a canvas, a look, a mark, a zoom.
func (p *tab) work() {
	p.t.Helper()
	p.press("tray-line")
	p.fill("canvas", "4 3/4 x 10.1")
	p.press("tray-value")
	p.press("steps")
	p.press("fewer")
	p.press("part-filter")
	p.settleAnswered() // it finds the picture's neutral, which the study keeps
	p.press("turn")
	p.press("part-steps")
	p.press("mirror")
	p.press("squint")
	p.press("tray-place")
	x, y := p.spotOf("#overlay")
	p.wheel(x, y, -240)
	p.tap(spot{x + 31, y - 17})
	p.fill("mark-name", "lip of the bowl")
	p.press("tray-value")
	p.settleCounted()
}

// settleCounted waits until the page has nothing left to do.
func (p *tab) settleCounted() {
	p.t.Helper()
	p.settleKept()
	p.await("the steps are counted", `window.maulstick.snapshot().counted`)
	p.await("the picture has the room that the trays leave", `window.maulstick.snapshot().area.height_css_px ===
		Math.round(document.getElementById('overlay').getBoundingClientRect().height)`)
	p.settleKept()
}

// refusedFiles are the files that are no photograph to open, each with words
// that its refusal must hold: from the list that headers are held to, those that neither
// the page nor its darkroom can open, and three made here.
func refusedFiles(t *testing.T) map[string]string {
	t.Helper()
	list, err := os.Open("../testdata/photo/expected.tsv")
	if err != nil {
		t.Fatal(err)
	}
	defer list.Close()
	reader := csv.NewReader(list)
	reader.Comma, reader.LazyQuotes = '\t', true
	rows, err := reader.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	files := map[string]string{}
	for _, row := range rows {
		phrase, refused := strings.CutPrefix(row[1], "refused: ")
		if !refused {
			continue
		}
		data, err := os.ReadFile(filepath.Join("../testdata/photo", row[0]))
		if err != nil {
			t.Fatal(err)
		}
		_, refusal := photo.Decode(data)
		if opens := refusal == nil || strings.HasPrefix(row[0], "jxl-"); !opens { // by the command, or by Chromium
			files[filepath.Join("../testdata/photo", row[0])] = phrase
		}
	}
	if len(files) < 11 {
		t.Fatalf("only %d files to refuse in expected.tsv", len(files))
	}
	folder := t.TempDir()
	for name, made := range map[string]struct {
		data   []byte
		phrase string
	}{
		"nothing.jpg":         {nil, "empty"},
		"note.maulstick.json": {[]byte(`{"maulstick_study": 1, "id": `), "damaged"},
		"another.json":        {[]byte(`{"name": "something else"}`), "study"},
	} {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, made.data, 0o600); err != nil {
			t.Fatal(err)
		}
		files[path] = made.phrase
	}
	return files
}

// What cannot be opened is refused in a sentence, and nothing else changes.
func TestFilesThatAreNoPhotographs(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	p := b.openFresh(t, landscape, s.url())
	p.settleKept()
	p.work()
	before, study := p.whole(), p.studyText()
	for path, phrase := range refusedFiles(t) {
		p.choose(path)
		p.expectRefusal(filepath.Base(path), phrase, study)
	}
	p.awaitWhole("after all refusals", before)
	x, y := p.spotOf("#overlay")
	p.drop("../testdata/photo/html.jpg", x, y)
	p.expectRefusal("a page of the web, dropped", "page of the web", study)
	eval[bool](p, `(() => { const files = new DataTransfer();
		files.items.add(new File(['BM, she wrote'], 'letter.jpg', {type: 'image/jpeg'}));
		return window.dispatchEvent(new ClipboardEvent('paste', {clipboardData: files})); })()`)
	p.expectRefusal("a text, pasted", "text", study)
	p.choose(filepath.Join(t.TempDir(), "taken away.jpg"))
	p.expectRefusal("a file that is no longer there", "taken away.jpg could not be read", study)
	p.reload()
	p.settleCounted()
	p.awaitWhole("opened anew after all refusals", before)
	if faults := p.complaints(); len(faults) > 0 {
		t.Errorf("the console complains: %q", faults)
	}
}

// expectRefusal waits for a refusal, holds it to its words and to the study,
// and closes it.
func (p *tab) expectRefusal(what, phrase, study string) {
	p.t.Helper()
	p.await("the refusal of "+what, `document.getElementById('message').checkVisibility()
		&& !document.getElementById('message-text').textContent.startsWith('Opening ')`)
	said := p.text("message-text")
	if !strings.Contains(strings.ToLower(said), strings.ToLower(phrase)) {
		p.t.Errorf("%s: the page says %q, which does not hold %q", what, said, phrase)
	}
	if !inSentences(said) {
		p.t.Errorf("%s: the page says %q: not sentences a painter can read", what, said)
	}
	if aloud := eval[string](p, `document.getElementById('says').textContent`); aloud != said {
		p.t.Errorf("%s: the page shows %q and reads aloud %q", what, said, aloud)
	}
	if now := p.studyText(); now != study {
		p.t.Errorf("%s: the study is now\n%s\nand was\n%s", what, now, study)
	}
	p.press("message-close")
	p.await("the message is closed", `!document.getElementById('message').checkVisibility()`)
	p.settleKept()
}

// jargon are words of programs that no painter should meet.
var jargon = regexp.MustCompile(`(?i)exception|\bnull\b|undefined|\bNaN\b|\berr(or)?:|\bNewer\b|DOM|buffer|decode|%!|invalid character|json:|[A-Za-z]Error`)

// inSentences tells whether a text begins like a sentence, ends like one and
// says nothing in the words of programs.
func inSentences(text string) bool {
	return regexp.MustCompile(`^[A-Z].*[.!?]$`).MatchString(text) && !jargon.MatchString(text)
}

// A size that is no canvas is refused beside the field, with an example; what
// was typed stays to be mended and the canvas stays as it was.
func TestCanvasesThatCannotBe(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	p := b.openFresh(t, landscape, s.url())
	p.settleCounted()
	p.press("tray-line")
	p.settleCounted()
	before, note := p.studyText(), p.text("canvas-note")
	typed := eval[string](p, `document.getElementById('canvas').value`)
	example := regexp.MustCompile(`\d+ ?x ?\d+`)
	for _, text := range []string{"0 x 70", "33", "33 x", "-3 x 4", "1e9 x 2", "nonsense", "", "x", "33 x 70 parsecs", "33 x 70 x 2", "1/0 x 4", "9999999 x 2 in"} {
		p.fill("canvas", text)
		p.await("the refusal of "+text, `document.getElementById('canvas-note').textContent !== %s`, note)
		said := p.text("canvas-note")
		if !inSentences(said) || !example.MatchString(strings.ReplaceAll(said, "“"+text+"”", "")) {
			t.Errorf("a canvas of %q is refused with %q: no sentence with an example", text, said)
		}
		field := eval[struct {
			Value, Describer string
			Shown            bool
		}](p, `(() => { const f = document.getElementById('canvas'); return {Value: f.value,
			Describer: f.getAttribute('aria-describedby'), Shown: document.getElementById('canvas-note').checkVisibility()}; })()`)
		if field.Value != text || field.Describer != "canvas-note" || !field.Shown {
			t.Errorf("a canvas of %q: the field holds %+v", text, field)
		}
		if after := p.studyText(); after != before {
			t.Errorf("a canvas of %q: the study is\n%s\nand was at\n%s", text, after, before)
		}
		p.fill("canvas", typed)
		p.await("the note is back", `document.getElementById('canvas-note').textContent === %s`, note)
	}
	p.fill("canvas", "33 x 70 in")
	p.settleKept()
	if size := p.snapshot().Study.Canvas; size.Typed != "33 x 70 in" {
		t.Errorf("after the refusals a good canvas is taken as %+v", size)
	}
	if faults := p.complaints(); len(faults) > 0 {
		t.Errorf("the console complains: %q", faults)
	}
}

// Without WebGL 2 the page says so, and what to use.
func TestBrowserThatCannotDraw(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir(), chromedp.Flag("disable-gpu", true), chromedp.Flag("disable-3d-apis", true))
	p := b.openFresh(t, landscape, s.url())
	p.await("the page says that it cannot draw", `document.getElementById('no-webgl').checkVisibility()`)
	said := p.text("no-webgl")
	for _, words := range []string{"WebGL 2", "Chrome", "Firefox", "Safari", "untouched"} {
		if !strings.Contains(said, words) {
			t.Errorf("the page says %q, without %q", said, words)
		}
	}
	if p.shown("no-start") || eval[int](p, `document.querySelectorAll('iframe').length`) != 0 {
		t.Error("the page starts the program that it cannot run")
	}
	if faults := p.complaints(); len(faults) > 0 {
		t.Errorf("the console complains: %q", faults)
	}
}

// reload loads the page anew, as the browser's own key does.
func (p *tab) reload() {
	p.t.Helper()
	call(p, page.Reload, page.ReloadParams{})
	p.await("the page is loaded anew", `document.readyState === 'complete'`)
}
