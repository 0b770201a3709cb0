package web_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	cdbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"

	"maulstick/render/portfolio"
	"maulstick/render/study"
)

// photograph is a file that a painter might open in place of the demo.
const photograph = "../testdata/photo/progressive.jpg"

// openPhoto opens a file and waits until it is kept.
func (p *tab) openPhoto(path string) {
	p.t.Helper()
	p.choose(path)
	p.awaitOpened(filepath.Base(path))
}

// awaitOpened waits until a photograph lies open.
func (p *tab) awaitOpened(name string) {
	p.t.Helper()
	p.await(name+" is opened", `window.maulstick.snapshot().study?.reference.name === %s`, name)
	p.settle()
}

// face is what the page says beside the picture.
func (p *tab) face() string {
	p.t.Helper()
	return eval[string](p, `[...document.querySelectorAll('button, input, #state, #place-x, #place-y, #place-note, #steps-note, #mismatch')]
		.map((e) => [e.id, e.textContent, e.value, e.checked, e.ariaPressed, e.ariaExpanded, e.hidden].join('|')).join('\n')`)
}

// What the painter did is there again when the page is loaded anew, when the
// browser is started anew, and when there is no server any more.
func TestReopenedAndOffline(t *testing.T) {
	s, profile := newSite(t), t.TempDir()
	b := startBrowser(t, profile)
	p := b.open(landscape, s.url())
	p.settleKept()
	p.openPhoto(photograph)
	p.work()
	before, face := p.whole(), p.face()
	p.await("the page is put by", `document.documentElement.dataset.offline === 'ready'`)

	p.reload()
	p.settleCounted()
	p.awaitWhole("loaded anew", before)
	if now := p.face(); now != face {
		t.Errorf("loaded anew the page says\n%s\nand said\n%s", now, face)
	}
	b.close()

	b = startBrowser(t, profile)
	p = b.open(landscape, s.url())
	p.settleCounted()
	p.awaitWhole("in a browser started anew", before)
	b.close()

	s.stop()
	b = startBrowser(t, profile)
	p = b.open(landscape, s.url())
	p.settleCounted()
	p.awaitWhole("without a server", before)
	if now := p.face(); now != face {
		t.Errorf("without a server the page says\n%s\nand said\n%s", now, face)
	}
	p.press("tray-place")
	p.fill("mark-name", "written down without a network")
	p.settleCounted()
	before = p.whole()
	p.reload()
	p.settleCounted()
	p.awaitWhole("changed and loaded anew without a server", before)
}

// A change is written away within a second.
func TestChangesAreKeptWithinASecond(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	p := b.openFresh(t, landscape, s.url(), noteWrites)
	p.settleKept()
	p.press("mirror")
	p.settleKept()
	writes := eval[[]written](p, `window.writes`)
	last := writes[len(writes)-1]
	if !strings.Contains(last.Text, `"mirror": true`) || last.Done == 0 {
		t.Fatalf("the last thing written is %+v", last)
	}
	pressed := eval[float64](p, `window.pressed`)
	if wait := last.Begun - pressed; wait <= 0 || wait > 1000 {
		t.Errorf("a change is written away after %.0f ms, want within 1000", wait)
	}
}

// written is one study that the page wrote away: its text, and when that was
// begun and done, in milliseconds, 0 while it is not.
type written struct {
	Text        string
	Begun, Done float64
}

// noteWrites notes, in every frame for the page around it, what is written to
// the browser's database, and the last key pressed.
const noteWrites = `(() => {
	const told = window.top;
	told.writes ??= [];
	addEventListener('click', () => { told.pressed = Date.now(); }, true);
	const put = IDBObjectStore.prototype.put;
	IDBObjectStore.prototype.put = function (value, key) {
		if (this.name === 'studies') {
			const write = {Text: value.now.text, Begun: Date.now(), Done: 0};
			told.writes.push(write);
			this.transaction.addEventListener('complete', () => { write.Done = Date.now(); });
		}
		return put.call(this, value, key);
	};
})()`

// awaitNotice waits for the standing notice and holds it to its words.
func (p *tab) awaitNotice(words ...string) {
	p.t.Helper()
	p.await("a notice stands", `document.getElementById('notice').checkVisibility()`)
	said := p.text("notice-text")
	for _, word := range words {
		if !strings.Contains(said, word) {
			p.t.Errorf("the notice says %q, without %q", said, word)
		}
	}
	if !inSentences(said) {
		p.t.Errorf("the notice says %q: not sentences a painter can read", said)
	}
}

// saveFile presses the notice's key and returns where the file was put.
func (p *tab) saveFile(key string) string {
	p.t.Helper()
	return p.saveAs(key, study.FileEnding)
}

// saveAs presses a key that saves a file with that ending, and tells where it
// went.
func (p *tab) saveAs(key, ending string) string {
	p.t.Helper()
	folder := p.t.TempDir()
	call(p, cdbrowser.SetDownloadBehavior, cdbrowser.SetDownloadBehaviorParams{
		Behavior: cdbrowser.SetDownloadBehaviorBehaviorAllow, DownloadPath: folder,
		BrowserContextID: chromedp.FromContext(p.ctx).BrowserContextID,
	})
	p.press(key)
	for deadline := time.Now().Add(patience); ; time.Sleep(50 * time.Millisecond) {
		files, err := filepath.Glob(filepath.Join(folder, "*"+ending))
		p.must(err)
		if len(files) == 1 {
			return files[0]
		}
		if time.Now().After(deadline) {
			p.t.Fatal("no file was saved")
		}
	}
}

// Where the browser refuses storage the page says so and goes on; the study can
// be saved to a file, and that file opens to the same study.
func TestStorageRefused(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	for name, script := range map[string]string{
		"none":   `Object.defineProperty(window, 'indexedDB', {value: undefined})`,
		"denied": `IDBFactory.prototype.open = () => { throw new DOMException('denied', 'SecurityError'); }`,
		"failing": `IDBFactory.prototype.open = () => { const r = {error: new DOMException('gone', 'UnknownError')};
			setTimeout(() => r.onerror()); return r; }`,
	} {
		t.Run(name, func(t *testing.T) {
			p := b.openFresh(t, landscape, s.url(), script)
			p.settle()
			p.awaitNotice("not being kept", "Save it to a file")
			p.openPhoto(photograph)
			p.press("tray-line")
			p.fill("canvas", "40 x 60 cm")
			p.press("tray-value")
			p.press("steps")
			p.settle()
			p.awaitNotice("not being kept", "Save it to a file")
			if state := p.text("state-kept"); state != "Not kept" {
				t.Errorf("above the picture it says %q", state)
			}
			p.press("tray-place")
			x, y := p.spotOf("#overlay")
			p.tap(spot{x, y})
			p.settle()
			was := p.studyText()
			p.expectFile(p.saveFile("notice-save"), was)
			if name == "none" {
				p.reopensFrom(b, p.saveFile("notice-save"), was, s)
			}
			if faults := p.complaints(); len(faults) > 0 {
				t.Errorf("the console complains: %q", faults)
			}
		})
	}
}

// expectFile holds a saved file to the study that it should hold.
func (p *tab) expectFile(path, was string) {
	p.t.Helper()
	data, err := os.ReadFile(path)
	p.must(err)
	o, err := portfolio.Open(bytes.NewReader(data), nil)
	p.must(err)
	original, err := os.ReadFile(photograph)
	p.must(err)
	found, _ := o.Photograph(o.Study.Reference.Hash)
	photo, err := found.Read(bytes.NewReader(data))
	p.must(err)
	if string(photo) != string(original) || len(o.Damage) > 0 || !o.Board {
		p.t.Errorf("the file holds %d bytes of a photograph of %d, a board: %v; it says %q", len(photo), len(original), o.Board, o.Damage)
	}
	text, err := json.Marshal(o.Study)
	p.must(err)
	if string(text) != was {
		p.t.Errorf("the file holds\n%s\nand the page showed\n%s", text, was)
	}
}

// reopensFrom opens a saved file where nothing else is known.
func (p *tab) reopensFrom(b *browser, path, was string, s *site) {
	p.t.Helper()
	q := b.openFresh(p.t, landscape, s.url())
	q.settleKept()
	q.choose(path)
	q.awaitOpened(filepath.Base(photograph))
	q.settleKept()
	if now := q.studyText(); now != was {
		p.t.Errorf("the file opens to\n%s\nand was saved from\n%s", now, was)
	}
	q.reload()
	q.settleKept()
	if now := q.studyText(); now != was {
		p.t.Errorf("the file opened and kept comes back as\n%s\nand was saved from\n%s", now, was)
	}
}
