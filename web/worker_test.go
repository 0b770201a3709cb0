package web_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"os"
	"path"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/chromedp/chromedp"

	"maulstick/web"
	"maulstick/web/part"
)

// These tests are about how the page is kept and exchanged for a newer one, so
// they serve a page whose programs are too small to draw anything.

// The versions of the page that the tests put in place.
const (
	older = "aaaaaaaaaaaaaaaa"
	newer = "bbbbbbbbbbbbbbbb"
)

// versionOf is the built page, with tiny programs and a version of our own.
func versionOf(t *testing.T, version string) fstest.MapFS {
	t.Helper()
	built := web.Built()
	list, err := part.Read(built)
	if err != nil {
		t.Fatalf("%v (run make build)", err)
	}
	files, parts := fstest.MapFS{}, []part.Part{}
	for _, one := range list.Parts {
		data, err := fs.ReadFile(built, one.URL)
		if err != nil {
			t.Fatal(err)
		}
		switch path.Ext(one.URL) {
		case ".wasm":
			data = []byte("\x00asm\x01\x00\x00\x00")
		case ".html":
			data = bytes.ReplaceAll(data, []byte(list.Version), []byte(version))
		case ".css":
			data = fmt.Appendf(data, "/* %s */", version)
		}
		files[one.URL] = &fstest.MapFile{Data: data}
		parts = append(parts, part.Of(one.URL, data))
	}
	made := part.List{Version: version, Policy: part.Policy, Parts: parts}
	text, err := json.Marshal(made)
	if err != nil {
		t.Fatal(err)
	}
	files[part.ListFile] = &fstest.MapFile{Data: text}
	files[part.Worker] = &fstest.MapFile{Data: impatient(t, made)}
	return files
}

// impatient is the service worker for a list, with too little patience to hold a
// test up.
func impatient(t *testing.T, list part.List) []byte {
	t.Helper()
	text, err := os.ReadFile(part.Worker)
	if err != nil {
		t.Fatal(err)
	}
	const wait, less = "const patience = 60000;", "const patience = 500;"
	if bytes.Count(text, []byte(wait)) != 1 {
		t.Fatalf("the service worker does not say %q once", wait)
	}
	worker, err := part.WorkerOf(list, bytes.Replace(text, []byte(wait), []byte(less), 1))
	if err != nil {
		t.Fatal(err)
	}
	return worker
}

// plainly answers without compression, which the small page has none of.
func plainly(handler http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r.Header.Del("Accept-Encoding")
		handler.ServeHTTP(w, r)
	})
}

// put exchanges what the site serves, with a fault before it if there is one.
func (s *site) put(built fs.FS, fault func(http.Handler) http.Handler) {
	s.stop()
	s.start(func(addr string) http.Handler {
		handler := plainly(s.handler(built)(addr))
		if fault != nil {
			handler = fault(handler)
		}
		return handler
	})
}

// wholeness lists what the page gets for parts of its own version, by hash.
const wholeness = `(async () => {
	const version = document.documentElement.dataset.version;
	let all = '';
	for (const name of ['index.html', 'app.css', 'boot.js', 'easel.html', 'page.wasm', 'demo.jpg', 'handbook/value.html']) {
		const response = await fetch(name + '?v=' + version);
		if (!response.ok) return name + ' was answered with ' + response.status;
		if (!response.headers.get('Content-Security-Policy')) return name + ' came without a policy';
		const sum = await crypto.subtle.digest('SHA-256', await response.arrayBuffer());
		all += name + ' ' + Array.from(new Uint8Array(sum), (b) => b.toString(16).padStart(2, '0')).join('') + '\n';
	}
	return all;
})()`

// whole is what wholeness must say of a version.
func whole(built fstest.MapFS) string {
	var all strings.Builder
	for _, name := range []string{"index.html", "app.css", "boot.js", "easel.html", "page.wasm", "demo.jpg", "handbook/value.html"} {
		fmt.Fprintf(&all, "%s %s\n", name, part.Of(name, built[name].Data).SHA256)
	}
	return all.String()
}

// runs holds a tab to a version, all of it.
func (p *tab) runs(when string, version string) {
	p.t.Helper()
	if got := eval[string](p, `document.documentElement.dataset.version`); got != version {
		p.t.Errorf("%s the page is version %s, want %s", when, got, version)
	}
	if got, want := eval[string](p, wholeness), whole(versionOf(p.t.(*testing.T), version)); got != want {
		p.t.Errorf("%s the parts of version %s are:\n%swant:\n%s", when, version, got, want)
	}
}

func (p *tab) again() {
	p.t.Helper()
	p.must(chromedp.Do(p.ctx, chromedp.Reload()))
	p.await("the page stands", `document.readyState === 'complete' && !!window.maulstick`)
}

// update has the browser look for a new version and waits for the outcome:
// "waiting", or "none" if it was refused.
func (p *tab) update() string {
	p.t.Helper()
	return eval[string](p, `(async () => {
		const registration = await navigator.serviceWorker.getRegistration();
		await registration.update().catch(() => {});
		while (registration.installing) await new Promise((done) => setTimeout(done, 20));
		return registration.waiting ? 'waiting' : 'none';
	})()`)
}

const stores = `caches.keys().then((names) => names.sort().join(' '))`

func TestBrokenNewVersionsLeaveTheOldOneRunning(t *testing.T) {
	s := newSite(t)
	s.put(versionOf(t, older), nil)
	p := startBrowser(t, t.TempDir()).open(landscape, s.url())
	p.await("the page is put by", `document.documentElement.dataset.offline === 'ready'`)
	p.await("its worker is in charge", `!!navigator.serviceWorker.controller`)
	s.stop()
	p.again()
	p.runs("with the server gone", older)
	for name, fault := range faults(t) {
		// What came whole in an earlier attempt would not be fetched again.
		eval[bool](p, `caches.delete('maulstick-`+newer+`')`)
		s.put(versionOf(t, newer), fault)
		if got := p.update(); got != "none" {
			t.Fatalf("after %s a new version is %s, want it refused", name, got)
		}
		s.stop()
		p.again()
		p.runs("after "+name, older)
	}
	s.put(versionOf(t, newer), nil)
	if got := p.update(); got != "waiting" {
		t.Fatalf("a whole new version after the broken ones is %s, want it waiting", got)
	}
	s.stop()
	p.again()
	p.runs("with a whole new version waiting", older)
}

// halfWay calls back when the last part but the smallest is half sent, and sends no
// more.
func halfWay(reached func()) func(http.Handler) http.Handler {
	return instead(func(w http.ResponseWriter, r *http.Request, whole *httptest.ResponseRecorder) {
		if !strings.HasSuffix(r.URL.Path, "page.wasm") {
			send(w, whole, whole.Body.Bytes())
			return
		}
		sendHalf(w, whole)
		reached()
		<-r.Context().Done()
	})
}

// A server that dies while a new version is being put by, or a browser that does,
// leaves the old version, and the new one comes whole another time.
func TestDeathWhileUpdatingLeavesTheOldVersion(t *testing.T) {
	s, profile := newSite(t), t.TempDir()
	s.put(versionOf(t, older), nil)
	b := startBrowser(t, profile)
	p := b.open(landscape, s.url())
	p.await("the page is put by", `document.documentElement.dataset.offline === 'ready'`)

	s.put(versionOf(t, newer), halfWay(func() { go s.server.Close() }))
	if got := p.update(); got != "none" {
		t.Errorf("a new version whose server died is %s", got)
	}
	s.stop()
	p.again()
	p.runs("after the server died", older)

	reached := make(chan bool, 10)
	s.put(versionOf(t, newer), halfWay(func() { reached <- true }))
	eval[bool](p, `navigator.serviceWorker.getRegistration().then((r) => { r.update().catch(() => {}); return true; })`)
	<-reached
	b.kill()
	s.stop()
	b = startBrowser(t, profile)
	p = b.open(landscape, s.url())
	p.await("the page stands", `document.readyState === 'complete' && !!window.maulstick`)
	p.runs("after the browser was killed", older)

	s.put(versionOf(t, newer), nil)
	if got := p.update(); got != "waiting" {
		t.Errorf("the whole new version is %s, want it waiting", got)
	}
}

func TestNewVersionIsOfferedAndNotForced(t *testing.T) {
	s := newSite(t)
	s.put(versionOf(t, older), nil)
	b := startBrowser(t, t.TempDir())
	p := b.open(landscape, s.url())
	p.await("the page is put by", `document.documentElement.dataset.offline === 'ready'`)
	other := b.open(landscape, s.url())
	other.await("the page stands", `document.documentElement.dataset.offline === 'ready'`)

	s.put(versionOf(t, newer), nil)
	eval[any](p, `void maulstick.whenUpdate(() => { document.documentElement.dataset.offered = 'yes'; })`)
	if got := p.update(); got != "waiting" {
		t.Fatalf("the new version is %s, want it waiting", got)
	}
	p.await("it is offered", `document.documentElement.dataset.offered === 'yes'`)
	p.runs("while the new version waits", older)
	p.again()
	p.runs("loaded again while the new version waits", older)
	p.await("it is offered again", `new Promise((done) => maulstick.whenUpdate(() => done(true)))`)

	eval[any](p, `void maulstick.useUpdate()`)
	p.await("the new version runs", `document.documentElement?.dataset.version === '`+newer+`' && !!window.maulstick`)
	s.stop()
	p.runs("with the new version taken", newer)
	other.runs("in a window still open", older)

	settle := `navigator.serviceWorker.ready.then(({active}) => void active.postMessage({kind: 'settled', version: '` + newer + `'}))`
	eval[any](p, settle)
	if got := eval[string](other, stores); got != "maulstick-"+older+" maulstick-"+newer {
		t.Errorf("while a window shows the old version the stores are %q", got)
	}
	other.again()
	other.runs("loaded again", newer)
	p.await("the old version is removed", `navigator.serviceWorker.ready.then(async ({active}) => {
		active.postMessage({kind: 'settled', version: '`+newer+`'});
		return (await caches.keys()).join() === 'maulstick-`+newer+`';
	})`)
	p.runs("after the old version is removed", newer)
}
