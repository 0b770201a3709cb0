package web_test

import (
	"strings"
	"testing"

	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"
)

// database puts what a script wants of the page's database at its hand: get,
// put and all, each with the name of an object store.
const database = `(async () => {
	const opened = (request) => new Promise((done, fail) => {
		request.onsuccess = () => done(request.result); request.onerror = () => fail(request.error); });
	const db = await opened(indexedDB.open('maulstick'));
	const at = (store) => db.transaction(store, 'readwrite').objectStore(store);
	const get = (store, key) => opened(at(store).get(key));
	const put = (store, value, key) => opened(at(store).put(value, key));
	const all = async (store) => ({ keys: await opened(at(store).getAllKeys()), values: await opened(at(store).getAll()) });
	const sealed = async (text) => ({ text, sha256: [...new Uint8Array(await crypto.subtle.digest('SHA-256',
		new TextEncoder().encode(text)))].map((b) => b.toString(16).padStart(2, '0')).join('') });
	const id = await get('desk', 'open'), record = await get('studies', id);
	try { %s } finally { db.close(); }
})()`

// onDatabase runs a script on the page's database.
func onDatabase[T any](p *tab, script string) T {
	p.t.Helper()
	return eval[T](p, strings.Replace(database, "%s", script, 1))
}

// A record that is damaged is set aside as it is and said; the state before it
// is taken if that is whole, else the page opens as on the first day. Nothing
// is deleted.
func TestDamagedRecords(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	for name, damage := range map[string]struct {
		script string
		before bool // the state before the damaged one comes back
	}{
		"a letter of the text":     {`record.now.text = record.now.text.replace('5', '6'); await put('studies', record, id);`, true},
		"the hash":                 {`record.now.sha256 = '00' + record.now.sha256.slice(2); await put('studies', record, id);`, true},
		"a text that means none":   {`record.now = await sealed('{"maulstick_study": 1, "marks": 7}'); await put('studies', record, id);`, true},
		"no text":                  {`record.now = null; await put('studies', record, id);`, true},
		"both states":              {`record.now.sha256 = record.before.sha256 = 'x'; await put('studies', record, id);`, false},
		"a number for a record":    {`await put('studies', 7, id);`, false},
		"a byte of the photograph": {`const hash = JSON.parse(record.now.text).reference.sha256, photo = await get('photographs', hash); new Uint8Array(photo)[5000] ^= 4; await put('photographs', photo, hash);`, false},
		"words for a photograph":   {`await put('photographs', 'rubbish', JSON.parse(record.now.text).reference.sha256);`, false},
	} {
		t.Run(name, func(t *testing.T) {
			p := b.openFresh(t, landscape, s.url())
			p.settleKept()
			p.openPhoto(photograph)
			p.settleKept()
			before := p.snapshot().Study
			p.press("filter")
			p.settleKept()
			// Written once more on leaving, the page would cover the damage.
			eval[bool](p, `document.querySelector('iframe').remove() ?? true`)
			onDatabase[bool](p, damage.script+` return true;`)
			damaged := onDatabase[string](p, `return JSON.stringify(await get('studies', id));`)
			photographs := onDatabase[[]string](p, `return (await all('photographs')).keys;`)
			p.reload()
			p.settleKept()
			p.awaitNotice("set aside")
			after := p.snapshot().Study
			switch {
			case damage.before && (after.ID != before.ID || after.Look.Filter || after.Reference != before.Reference):
				t.Errorf("the page opens %+v, want the state before, %+v", after, before)
			case !damage.before && (after.ID == before.ID || after.Reference.Name != "demo.jpg"):
				t.Errorf("the page opens %+v, want the demo", after)
			}
			if aside := onDatabase[[]string](p, `return (await all('aside')).values.map((v) => JSON.stringify(v));`); len(aside) != 1 || aside[0] != damaged {
				t.Errorf("set aside is %q, want %q", aside, damaged)
			}
			if now := onDatabase[[]string](p, `return (await all('photographs')).keys;`); len(now) < len(photographs) {
				t.Errorf("the photographs %q have become %q", photographs, now)
			}
			p.press("mirror")
			p.settleKept()
			p.reload()
			p.settleKept()
			if again := p.snapshot().Study; again.ID != after.ID || !again.View.Mirror {
				t.Errorf("after the damage a change is kept as %+v", again)
			}
			if p.shown("notice") {
				t.Errorf("when all is well again the notice still says %q", p.text("notice-text"))
			}
		})
	}
}

// When the storage is full work goes on and the page says so; once there is
// room again it keeps what is done.
func TestStorageFull(t *testing.T) {
	s, profile := newSite(t), t.TempDir()
	b := startBrowser(t, profile)
	p := b.open(landscape, s.url())
	p.settleKept()
	kept := p.snapshot().Study
	b.close()

	// A browser remembers for a while how much room there was: it is told
	// before the page asks.
	b = startBrowser(t, profile)
	p = b.open(landscape, s.url()+"icons/maulstick.svg")
	origin, quota := strings.TrimSuffix(s.url(), "/"), 1.0
	call(p, storage.OverrideQuotaForOrigin, storage.OverrideQuotaForOriginParams{Origin: origin, QuotaSize: &quota})
	p.must(chromedp.Do(p.ctx, chromedp.Navigate(s.url())))
	p.settle()
	p.openPhoto(photograph)
	p.awaitNotice("the tablet's storage is full", "Save it to a file")
	p.press("mirror")
	p.press("tray-place")
	x, y := p.spotOf("#overlay")
	p.tap(spot{x, y})
	p.settle()
	if now := p.snapshot(); now.Kept || !now.Study.View.Mirror || len(now.Study.Marks) != 1 {
		t.Errorf("with the storage full the page is at %+v", now)
	}
	p.expectFile(p.saveFile("notice-save"), p.studyText())

	p.reload()
	p.settle()
	if now := p.snapshot().Study; now.ID != kept.ID {
		t.Errorf("loaded anew with the storage full the page opens %+v, want what was kept, %+v", now, kept)
	}
	p.openPhoto(photograph)
	p.awaitNotice("the tablet's storage is full")
	call(p, storage.OverrideQuotaForOrigin, storage.OverrideQuotaForOriginParams{Origin: origin})
	p.press("filter")
	p.settleKept()
	if p.shown("notice") {
		t.Errorf("with room again the notice still says %q", p.text("notice-text"))
	}
	was := p.studyText()
	p.reload()
	p.settleKept()
	if now := p.studyText(); now != was {
		t.Errorf("with room again the page comes back to\n%s\nand was at\n%s", now, was)
	}
}

// failStorage makes opening the database, and reading which study lies open, fail
// as often as the session says.
const failStorage = `(() => {
	const fails = (what) => {
		if (Number(sessionStorage[what]) > 0) {
			sessionStorage[what]--;
			throw new DOMException('internal error', 'UnknownError');
		}
	};
	const open = IDBFactory.prototype.open, get = IDBObjectStore.prototype.get;
	IDBFactory.prototype.open = function (...how) { fails('openings'); return open.apply(this, how); };
	IDBObjectStore.prototype.get = function (key) { if (this.name === 'desk') fails('readings'); return get.call(this, key); };
	IDBFactory.prototype.databases = async () => [];
})()`

// Where the browser fails for a while to open what is kept, or once to read it, it
// is asked again, even if it says that nothing is kept. Where it goes on failing,
// the demo opens, the page says that nothing is kept, and what is kept stays the
// study that opens the next time.
func TestStorageUnread(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).open(landscape, s.url(), failStorage)
	p.settleKept()
	p.openPhoto(photograph)
	p.press("mirror")
	p.settleKept()
	kept := p.studyText()
	fail := func(what string, times int) {
		eval[bool](p, `(sessionStorage[%s] = %s, true)`, what, times)
		p.reload()
	}
	for what, times := range map[string]int{"openings": 3, "readings": 1} {
		fail(what, times)
		p.settleKept()
		if now := p.studyText(); now != kept || p.shown("notice") {
			t.Errorf("with %d %s failed the study is %s and the notice %q, want %s", times, what, now, p.text("notice-text"), kept)
		}
	}
	for what, says := range map[string]string{"openings": "the browser lost its storage", "readings": "could not be read"} {
		fail(what, 100)
		p.settle()
		p.awaitNotice(says, "Save it to a file")
		p.press("mirror")
		p.settle()
		if now := p.snapshot(); now.Kept || now.Study.Reference.Name != "demo.jpg" {
			t.Errorf("with all %s failed the page is at %+v, kept %v", what, now.Study, now.Kept)
		}
		fail(what, 0)
		p.settleKept()
		if now := p.studyText(); now != kept || p.shown("notice") {
			t.Errorf("with %s again the study is %s, want %s", what, now, kept)
		}
	}
}
