package web_test

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"maulstick/render/place"
	"maulstick/web"
	"maulstick/web/part"
)

// writeSite writes the built page for a static server.
func writeSite(t *testing.T) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "dist")
	if err := web.WriteSite(web.Built(), folder); err != nil {
		t.Fatal(err)
	}
	return folder
}

// rule is what the file of headers says of a path.
type rule struct{ path, name, value string }

// rules reads the file of headers, as hosts do that know it: a path at the start of a
// line, and indented below it what to send with it.
func rules(t *testing.T, folder string) []rule {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder, web.SiteFolder, web.HeadersFile))
	if err != nil {
		t.Fatal(err)
	}
	var all []rule
	path := ""
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSuffix(line, "\n")
		if !strings.HasPrefix(line, " ") {
			path = line
			continue
		}
		name, value, ok := strings.Cut(strings.TrimSpace(line), ": ")
		if !ok || path == "" {
			t.Fatalf("the headers say %q", line)
		}
		all = append(all, rule{path, name, value})
	}
	return all
}

// staticServer is a plain file server that reads the file of headers, and sends
// compressed files, if it is told to, in the place of those that a browser asks for.
func staticServer(t *testing.T, folder string, packed bool) http.Handler {
	files := http.FileServer(http.Dir(filepath.Join(folder, web.SiteFolder)))
	said := rules(t, folder)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		for _, one := range said {
			if one.path == "/*" || one.path == r.URL.Path {
				w.Header().Set(one.name, one.value)
			}
		}
		beside := filepath.Join(folder, web.SiteFolder, filepath.FromSlash(r.URL.Path)+".br")
		if _, err := os.Stat(beside); err == nil && packed && strings.Contains(r.Header.Get("Accept-Encoding"), "br") {
			r.URL.Path += ".br"
			w.Header().Set("Content-Encoding", "br")
			w.Header().Set("Vary", "Accept-Encoding")
		}
		files.ServeHTTP(w, r)
	})
}

// The folder works from any server for plain files: the page opens, is kept, and
// does all that it does without the server.
func TestSiteOpensFromAPlainFileServer(t *testing.T) {
	for name, packed := range map[string]bool{"as it is": false, "compressed": true} {
		t.Run(name, func(t *testing.T) {
			s := newSite(t)
			s.stop()
			handler := staticServer(t, writeSite(t), packed)
			s.start(func(string) http.Handler { return handler })
			profile := t.TempDir()
			b := startBrowser(t, profile)
			p := b.open(landscape, s.url())
			p.awaitKept()
			p.settleKept()
			if complaints := p.complaints(); len(complaints) > 0 {
				t.Errorf("the console says %q", complaints)
			}
			b.close()
			s.stop()
			startBrowser(t, profile).worksAlone(t, s.url())
		})
	}
}

// A server that sends no policy serves the page, which says that it cannot be kept.
func TestSiteWithoutHeadersSaysSo(t *testing.T) {
	s := newSite(t)
	s.stop()
	files := http.FileServer(http.Dir(filepath.Join(writeSite(t), web.SiteFolder)))
	s.start(func(string) http.Handler { return files })
	p := startBrowser(t, t.TempDir()).openFresh(t, landscape, s.url())
	p.settle()
	p.press("tray-study")
	p.await("it says so", `document.getElementById('offline-note').textContent.includes('could not be stored')`)
}

// The folder holds the parts and their compressed forms, and says the headers of the
// page in every way that it says them.
func TestSiteHoldsThePageAndItsHeaders(t *testing.T) {
	folder := writeSite(t)
	list, err := part.Read(web.Built())
	if err != nil {
		t.Fatal(err)
	}
	said := map[rule]bool{}
	for _, one := range rules(t, folder) {
		said[one] = true
	}
	for _, one := range list.Parts {
		data, err := os.ReadFile(filepath.Join(folder, web.SiteFolder, filepath.FromSlash(one.URL)))
		if err != nil || part.Of(one.URL, data) != one {
			t.Errorf("%s is not what was built: %v", one.URL, err)
		}
		if !said[rule{"/" + one.URL, "Content-Type", one.Type}] {
			t.Errorf("the headers do not say that %s is %s", one.URL, one.Type)
		}
		for _, ending := range []string{".br", ".gz"} {
			if _, err := os.Stat(filepath.Join(folder, web.SiteFolder, filepath.FromSlash(one.URL)+ending)); part.Packed(one.URL) == (err != nil) {
				t.Errorf("%s%s: %v", one.URL, ending, err)
			}
		}
	}
	text, err := os.ReadFile(filepath.Join(folder, web.ServingFile))
	if err != nil {
		t.Fatal(err)
	}
	for _, header := range part.Headers() {
		if !said[rule{"/*", header.Name, header.Value}] {
			t.Errorf("the headers lack %s", header.Name)
		}
		for _, want := range []string{
			"add_header " + header.Name + ` "` + header.Value + `" always;`,
			"Header always set " + header.Name + ` "` + header.Value + `"`,
			"            " + header.Name + ` "` + header.Value + `"`,
		} {
			if !strings.Contains(string(text), want+"\n") {
				t.Errorf("the text lacks %s", want)
			}
		}
	}
	if !said[rule{"/sw.js", "Content-Type", part.Type("sw.js")}] {
		t.Error("the headers lack the service worker's type")
	}
}

func TestSiteRefusals(t *testing.T) {
	full := t.TempDir()
	if err := os.WriteFile(filepath.Join(full, "mine"), []byte("kept"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := web.WriteSite(web.Built(), full); err == nil || place.Hint(err) == "" {
		t.Errorf("into a folder that holds something: %v with hint %q", err, place.Hint(err))
	}
	if held, err := os.ReadDir(full); err != nil || len(held) != 1 {
		t.Errorf("the folder holds %v, %v", held, err)
	}
	if err := web.WriteSite(fstest.MapFS{}, t.TempDir()); err == nil || !strings.Contains(place.Hint(err), "make build") {
		t.Errorf("of a page that was not built: %v with hint %q", err, place.Hint(err))
	}
}
