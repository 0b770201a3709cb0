package web_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"
)

// shelf opens the list of studies.
func (p *tab) shelf() {
	p.t.Helper()
	for _, key := range []string{"tray-study", "part-studies"} {
		if !eval[bool](p, `document.getElementById('key-' + %s).matches('[aria-pressed=true], [aria-expanded=true]')`, key) {
			p.press(key)
		}
	}
	p.await("the studies are listed", `document.querySelectorAll('#studies-rows button').length > 0`)
}

// studyNames are the names in the list of studies, from the top.
func (p *tab) studyNames() []string {
	p.t.Helper()
	return eval[[]string](p, `[...document.querySelectorAll('#studies-rows button > span')].map((e) => e.textContent)`)
}

// awaitListed waits until the list is as it should be.
func (p *tab) awaitListed(want ...string) {
	p.t.Helper()
	var now []string
	for deadline := time.Now().Add(patience / 4); time.Now().Before(deadline); time.Sleep(20 * time.Millisecond) {
		if now = p.studyNames(); slices.Equal(now, want) {
			return
		}
	}
	p.t.Fatalf("listed are %q, want %q; the note says %q", now, want, p.text("studies-note"))
}

// chooseStudy presses the row of the study of that name.
func (p *tab) chooseStudy(name string) {
	p.t.Helper()
	if !eval[bool](p, `(() => { const row = [...document.querySelectorAll('#studies-rows button')].find((e) => e.querySelector('span').textContent === %s);
		if (row && row.ariaPressed !== 'true') row.click();
		return Boolean(row); })()`, name) {
		p.t.Fatalf("%s is not among %q", name, p.studyNames())
	}
}

// records are all studies that are kept, as text, by their ids, and which photographs.
type records struct {
	Studies     map[string]string
	Photographs []string
	States      []string
}

func (p *tab) records() records {
	p.t.Helper()
	return onDatabase[records](p, `const studies = await all('studies');
		return {Studies: Object.fromEntries(studies.keys.map((k, i) => [k, studies.values[i]?.now?.text ?? ''])),
			Photographs: (await all('photographs')).keys, States: (await all('states')).keys};`)
}

// Opening a photograph leaves the study before in the list; there studies are found,
// opened, copied, renamed, put into the bin, brought back and removed for good, and a
// photograph goes with the last study that names it.
func TestStudiesOnTheShelf(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).open(landscape, s.url())
	p.settleKept()
	p.press("mirror")
	p.openPhoto(photograph)
	p.settleKept()
	p.shelf()
	p.awaitListed("progressive", "Fig in a red bowl")
	opened := p.snapshot().Study.ID

	p.chooseStudy("Fig in a red bowl")
	p.press("studies-open")
	p.awaitOpened("demo.jpg")
	p.settleKept()
	if !p.snapshot().Study.View.Mirror {
		t.Error("the study before was not kept as it was left")
	}
	p.shelf()
	p.chooseStudy("progressive")
	p.press("studies-copy")
	p.awaitListed("progressive, copy", "Fig in a red bowl", "progressive")
	before := p.records()
	if len(before.Photographs) != 2 || len(before.Studies) != 3 {
		t.Errorf("with a copy there are %d photographs and %d studies", len(before.Photographs), len(before.Studies))
	}
	p.chooseStudy("progressive, copy")
	p.fill("studies-name", "Second thoughts")
	p.awaitListed("Second thoughts", "Fig in a red bowl", "progressive")
	p.fill("studies-search", "PROG")
	p.awaitListed("progressive")
	p.fill("studies-search", "")

	p.chooseStudy("progressive")
	p.press("studies-delete")
	p.awaitListed("Second thoughts", "Fig in a red bowl")
	p.press("studies-back")
	p.awaitListed("Second thoughts", "Fig in a red bowl", "progressive")
	p.chooseStudy("progressive")
	p.press("studies-delete")
	p.awaitListed("Second thoughts", "Fig in a red bowl")
	p.reload()
	p.settleKept()
	if now := p.snapshot().Study; now.Name != "Fig in a red bowl" {
		t.Errorf("loaded anew the page opens %q", now.Name)
	}
	p.removeFromBin("progressive")
	if now := p.records(); now.Studies[opened] != "" || len(now.Photographs) != 2 {
		t.Errorf("with one of two removed there are the studies %v and the photographs %q", len(now.Studies), now.Photographs)
	}
	p.press("studies-bin")
	p.chooseStudy("Second thoughts")
	p.press("studies-delete")
	p.awaitListed("Fig in a red bowl")
	p.removeFromBin("Second thoughts")
	if now := p.records(); len(now.Studies) != 1 || len(now.Photographs) != 1 {
		t.Errorf("with both removed there are %d studies and the photographs %q", len(now.Studies), now.Photographs)
	}
	if faults := p.complaints(); len(faults) > 0 {
		t.Errorf("the console complains: %q", faults)
	}
}

// removeFromBin removes a study for good.
func (p *tab) removeFromBin(name string) {
	p.t.Helper()
	p.shelf()
	p.press("studies-bin")
	p.chooseStudy(name)
	p.press("studies-remove")
	p.await("the note asks again", `document.getElementById('studies-note').textContent.includes('Press again')`)
	p.press("studies-remove")
	p.await("the bin is empty", `document.getElementById('studies-note').textContent.includes('is empty')`)
}

// Of a study that is changed today as it was kept days ago the earlier state is at
// hand, and comes back beside it.
func TestEarlierStateComesBack(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).open(landscape, s.url())
	p.settleKept()
	p.openPhoto(photograph)
	p.press("mirror")
	p.settleKept()
	eval[bool](p, `document.querySelector('iframe').remove() ?? true`)
	was := onDatabase[string](p, `const card = JSON.parse(await get('cards', id));
		card.changed_ms -= 3 * 86400e3;
		for (const state of card.states) state.at_ms -= 4 * 86400e3;
		await put('cards', JSON.stringify(card), id);
		return record.now.text;`)
	p.reload()
	p.settleKept()
	p.press("filter")
	p.settleKept()
	p.shelf()
	p.chooseStudy("progressive")
	p.press("studies-earlier")
	p.await("the earlier states are listed", `document.querySelectorAll('#studies-rows button').length >= 1`)
	eval[bool](p, `document.querySelector('#studies-rows button').click() ?? true`)
	p.press("studies-back")
	p.await("it is back", `document.querySelectorAll('#studies-rows button').length === 3`)
	back := p.studyNames()[0]
	if !strings.HasPrefix(back, "progressive, as of ") {
		t.Fatalf("what came back is called %q", back)
	}
	p.chooseStudy(back)
	p.press("studies-open")
	p.await("it is opened", `window.maulstick.snapshot().study?.name === %s`, back)
	p.settleKept()
	var want map[string]any
	p.must(json.Unmarshal([]byte(was), &want))
	now := eval[map[string]any](p, `window.maulstick.snapshot().study`)
	for _, field := range []string{"id", "name", "tray", "parts"} {
		delete(want, field)
		delete(now, field)
	}
	if a, b := fmt.Sprint(want), fmt.Sprint(now); a != b {
		t.Errorf("what came back is\n%s\nand was\n%s", b, a)
	}
}

// The painter is warned before the room is used up. When a photograph does not fit any
// more that is said, and everything that was kept stays byte for byte as it was; once
// there is room the photograph is kept.
func TestRoomRunsOut(t *testing.T) {
	for name, c := range map[string]struct {
		script string
		said   []string
	}{
		"told":  {"", []string{"this browser gives for studies", "are left"}},
		"tried": {vague, []string{"has less than 30 MB left for studies"}},
	} {
		t.Run(name, func(t *testing.T) { roomRunsOut(t, c.script, append(c.said, "Save studies to files")) })
	}
}

// vague has every browser say, as Chromium does by itself, that there are 10 GiB more than
// are used, whatever there is.
const vague = `{ const told = StorageManager.prototype.estimate;
	StorageManager.prototype.estimate = async function() { const e = await told.call(this); return { usage: e.usage, quota: e.usage + 10 * 2 ** 30 }; }; }`

func roomRunsOut(t *testing.T, script string, said []string) {
	s, profile, telling := newSite(t), t.TempDir(), chromedp.Flag("disable-features", "StaticStorageQuota")
	b := startBrowser(t, profile, telling)
	p := b.open(landscape, s.url())
	p.settleKept()
	p.openPhoto(photograph)
	p.settleKept()
	p.await("the page is put by", `document.documentElement.dataset.offline === 'ready'`)
	used := eval[float64](p, `navigator.storage.estimate().then((e) => e.usage)`)
	if p.shown("notice") {
		t.Errorf("with all the room there is the notice says %q", p.text("notice-text"))
	}
	b.close()

	// A browser remembers for a while how much room there was: it is told before the
	// page asks.
	b = startBrowser(t, profile, telling)
	p = b.open(landscape, s.url()+"icons/maulstick.svg", script)
	origin, quota := strings.TrimSuffix(s.url(), "/"), used+1.5e6
	call(p, storage.OverrideQuotaForOrigin, storage.OverrideQuotaForOriginParams{Origin: origin, QuotaSize: &quota})
	p.must(chromedp.Do(p.ctx, chromedp.Navigate(s.url())))
	p.settleKept()
	p.press("mirror")
	p.settleKept()
	p.awaitNotice(said...)
	before := p.records()
	path, _ := noise(t, t.TempDir(), 1)
	p.choose(path)
	p.awaitOpened(filepath.Base(path))
	p.awaitNotice("the tablet's storage is full", "Save it to a file")
	if now := p.records(); fmt.Sprint(now) != fmt.Sprint(before) {
		t.Errorf("with no room left what is kept has become\n%v\nand was\n%v", now, before)
	}
	call(p, storage.OverrideQuotaForOrigin, storage.OverrideQuotaForOriginParams{Origin: origin})
	p.press("mirror")
	p.settleKept()
	now := p.records()
	for id, text := range before.Studies {
		if now.Studies[id] != text {
			t.Errorf("the study %s is\n%s\nand was\n%s", id, now.Studies[id], text)
		}
	}
	if len(now.Photographs) != len(before.Photographs)+1 || len(now.Studies) != len(before.Studies)+1 {
		t.Errorf("with room again there are %d studies and the photographs %q", len(now.Studies), now.Photographs)
	}
}

// A database as version 2 of it was written is brought up to date with nothing lost:
// every study in the list, every photograph where it was.
func TestOldDatabaseIsUpgraded(t *testing.T) {
	s := newSite(t)
	photo, err := os.ReadFile(photograph)
	if err != nil {
		t.Fatal(err)
	}
	p := startBrowser(t, t.TempDir()).open(landscape, s.url()+"icons/maulstick.svg")
	old, err := os.ReadFile(filepath.Join("..", "testdata", "store", "database-2.json"))
	if err != nil {
		t.Fatal(err)
	}
	eval[bool](p, `(async (kept, photo) => {
		const bytes = Uint8Array.from(atob(photo), (c) => c.charCodeAt(0)).buffer;
		const request = indexedDB.open('maulstick', 2);
		request.onupgradeneeded = () => { for (const name of kept.stores) request.result.createObjectStore(name); };
		await new Promise((done, fail) => { request.onsuccess = done; request.onerror = fail; });
		const tx = request.result.transaction(kept.stores, 'readwrite');
		for (const [store, records] of Object.entries(kept.records))
			for (const [key, value] of Object.entries(records)) tx.objectStore(store).put(value, key);
		for (const hash of kept.photographs) tx.objectStore('photographs').put(bytes, hash);
		await new Promise((done, fail) => { tx.oncomplete = done; tx.onabort = fail; });
		request.result.close();
		return true; })(`+string(old)+`, %s)`, photo)
	p.must(chromedp.Do(p.ctx, chromedp.Navigate(s.url())))
	p.settleKept()
	if now := p.snapshot().Study; now.Name != "Second" {
		t.Errorf("the page opens %q, want what lay open", now.Name)
	}
	if p.shown("notice") {
		t.Errorf("the notice says %q", p.text("notice-text"))
	}
	p.shelf()
	if got := p.studyNames(); !slices.Contains(got, "First") || !slices.Contains(got, "Second") || len(got) != 2 {
		t.Errorf("listed are %q", got)
	}
	p.chooseStudy("First")
	p.press("studies-open")
	p.await("it is opened", `window.maulstick.snapshot().study?.name === 'First'`)
	p.settleKept()
	now := p.records()
	if len(now.Photographs) != 1 || len(now.Studies) != 2 {
		t.Errorf("kept are %d studies and the photographs %q", len(now.Studies), now.Photographs)
	}
}
