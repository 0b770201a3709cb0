package web_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"maulstick/web"
	"maulstick/web/part"
)

// fetchedWhole tells which parts the page does not get as the build made them.
const fetchedWhole = `(async (parts) => {
	const version = document.documentElement.dataset.version, wrong = [];
	for (const { url, sha256, type } of parts) {
		try {
			const response = await fetch(url + '?v=' + version);
			const sum = new Uint8Array(await crypto.subtle.digest('SHA-256', await response.arrayBuffer()));
			const hex = Array.from(sum, (b) => b.toString(16).padStart(2, '0')).join('');
			const kind = response.headers.get('Content-Type').split(';')[0].replace('application/javascript', 'text/javascript');
			if (hex !== sha256 || kind !== type.split(';')[0]) wrong.push(url + ' ' + response.status + ' ' + kind);
			if (!response.headers.get('Content-Security-Policy').includes("default-src 'none'")) wrong.push(url + ' without a policy');
		} catch (error) { wrong.push(url + ' ' + error); }
	}
	return wrong;
})(%s)`

// worksAlone holds a page whose server is gone to all that it does: it opens again,
// sets lines out, surveys, prints, takes a photograph, and has its handbook.
func (b *browser) worksAlone(t *testing.T, address string) {
	t.Helper()
	p := b.open(landscape, address)
	p.settleCounted()
	list, err := part.Read(web.Built())
	if err != nil {
		t.Fatal(err)
	}
	if wrong := eval[[]string](p, fetchedWhole, list.Parts); len(wrong) > 0 {
		t.Errorf("without a server these parts are not what was built: %q", wrong)
	}
	p.openPart("line", "lines")
	p.press("use-diagonals") // the plotter
	p.settleAnswered()
	p.press("tray-shape") // the mill
	p.settleAnswered()
	p.openPart("study", "sheets")
	sheets, err := os.ReadFile(p.saveAs("print", ".pdf"))
	if err != nil || !bytes.HasPrefix(sheets, []byte("%PDF-")) {
		t.Errorf("without a server the sheets are %.20q, %v", sheets, err)
	}
	p.openPhoto(photograph)
	p.settleCounted()
	if complaints := p.complaints(); len(complaints) > 0 {
		t.Errorf("the console says %q", complaints)
	}
	b.readsHandbook(t, address)
}

// readsHandbook opens every page of the handbook.
func (b *browser) readsHandbook(t *testing.T, address string) {
	t.Helper()
	names, err := filepath.Glob("handbook/*.html")
	if err != nil || len(names) < 6 {
		t.Fatalf("the handbook has %d pages: %v", len(names), err)
	}
	p := b.open(landscape, address+"handbook/study.html")
	for _, name := range names {
		name = filepath.ToSlash(name)
		p.must(chromedp.Do(p.ctx, chromedp.Navigate(address+name)))
		if title := eval[string](p, `document.title`); !strings.HasSuffix(title, "Maulstick's handbook") {
			t.Errorf("without a server %s is titled %q", name, title)
		}
		if rules := eval[int](p, `document.styleSheets[0]?.cssRules.length ?? 0`); rules == 0 {
			t.Errorf("without a server %s has no style", name)
		}
	}
	if complaints := p.complaints(); len(complaints) > 0 {
		t.Errorf("the handbook's console says %q", complaints)
	}
}

// After the first visit the server is not needed again: not the same day, and not by
// a browser that was shut.
func TestEverythingOpensWithoutAServer(t *testing.T) {
	s, profile := newSite(t), t.TempDir()
	b := startBrowser(t, profile)
	p := b.open(landscape, s.url())
	p.awaitKept()
	p.settleKept()
	b.close()
	s.stop()
	startBrowser(t, profile).worksAlone(t, s.url())
}
