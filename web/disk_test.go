package web_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"maulstick/web"
)

// A page that is opened as a file says that it cannot work so, and how it can.
func TestPageFromDiskSaysWhatToDo(t *testing.T) {
	p := startBrowser(t, t.TempDir()).open(landscape, "file://"+filepath.Join(writeSite(t), web.SiteFolder, "index.html"))
	if said := p.text("no-start-text"); !strings.Contains(said, "opened as a file") || !strings.Contains(said, "maulstick serve") {
		t.Errorf("it says %q", said)
	}
}

// allowedFromDisk tries what the page is made of.
const allowedFromDisk = `(async () => {
	const opened = (request) => new Promise((done, fail) => {
		request.onupgradeneeded = () => request.result.createObjectStore('studies');
		request.onsuccess = () => done(request.result); request.onerror = () => fail(request.error); });
	const answers = (worker) => new Promise((done, fail) => { worker.onmessage = done; worker.onerror = fail; });
	const loaded = (frame) => new Promise((done) => { frame.onload = () => done(frame.contentDocument ? true : Promise.reject(new Error())); document.body.append(frame); });
	const frame = (how) => Object.assign(document.createElement('iframe'), how);
	const script = URL.createObjectURL(new Blob(['postMessage(1)'], { type: 'text/javascript' }));
	const tries = {
		'a part fetched': () => fetch('other.html'),
		'a worker of a file': async () => answers(new Worker('worker.js')),
		'a worker of a module': async () => answers(new Worker(script, { type: 'module' })),
		'a frame of a file': () => loaded(frame({ src: 'other.html' })),
		'a service worker': () => navigator.serviceWorker.register('worker.js'),
		'a worker in the file': () => answers(new Worker(script)),
		'a frame in the file': () => loaded(frame({ srcdoc: '<p>' })),
		'a program in the file': () => WebAssembly.instantiate(new Uint8Array([0, 97, 115, 109, 1, 0, 0, 0])),
		'a store': async () => (await opened(indexedDB.open('maulstick', 1))).transaction('studies', 'readwrite').objectStore('studies').put('mine', 'study'),
	};
	const allowed = [];
	for (const [what, attempt] of Object.entries(tries)) await attempt().then(() => allowed.push(what), () => {});
	return allowed.sort();
})()`

// Why the page is not offered as one file, to be opened from disk: nothing that is a
// file of its own can be used there, and what such a page keeps lies open to every
// other page that is opened from disk. If this fails a browser has come to allow
// more, and the decision may be thought over (see DEVELOPERS.md).
func TestWhatABrowserAllowsFromDisk(t *testing.T) {
	folder := t.TempDir()
	for name, text := range map[string]string{
		"page.html": "<!doctype html><title>one</title><body>", "other.html": "<!doctype html><title>other</title>", "worker.js": "postMessage(1)",
	} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	b := startBrowser(t, t.TempDir())
	allowed := eval[[]string](b.open(landscape, "file://"+filepath.Join(folder, "page.html")), allowedFromDisk)
	if got, want := strings.Join(allowed, ", "), "a frame in the file, a program in the file, a store, a worker in the file"; got != want {
		t.Errorf("from disk a browser allows %s; it allowed %s", got, want)
	}
	if read := eval[string](b.open(landscape, "file://"+filepath.Join(folder, "other.html")), `new Promise((done, fail) => {
		const request = indexedDB.open('maulstick', 1);
		request.onerror = () => fail(request.error);
		request.onsuccess = () => { const got = request.result.transaction('studies').objectStore('studies').get('study'); got.onsuccess = () => done(String(got.result)); };
	})`); read != "mine" {
		t.Errorf("another file reads %q of what the first kept; it read all", read)
	}
}
