package web_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/andybalholm/brotli"

	"maulstick/render/place"
	"maulstick/web"
	"maulstick/web/part"
)

const host = "127.0.0.1:8088"

// small is a built page of four parts, with its compressed forms.
func small(t *testing.T) fstest.MapFS {
	t.Helper()
	built := fstest.MapFS{
		"parts.json": {Data: []byte(`{"version":"0123456789abcdef","parts":[
			{"url":"index.html","sha256":"aa","bytes":6},{"url":"page.wasm","sha256":"bb","bytes":4},
			{"url":"demo.jpg","sha256":"cc","bytes":3},{"url":"handbook/value.html","sha256":"dd","bytes":5}]}`)},
		"secret.txt": {Data: []byte("not a part")},
	}
	for name, text := range map[string]string{
		"index.html": "<html>", "page.wasm": "\x00asm", "demo.jpg": "jpg", "handbook/value.html": "value", "sw.js": "worker",
	} {
		built[name] = &fstest.MapFile{Data: []byte(text)}
		var br, gz bytes.Buffer
		b, g := brotli.NewWriter(&br), gzip.NewWriter(&gz)
		for _, w := range []io.WriteCloser{b, g} {
			if _, err := io.WriteString(w, text); err != nil {
				t.Fatal(err)
			}
			if err := w.Close(); err != nil {
				t.Fatal(err)
			}
		}
		built[name+".br"] = &fstest.MapFile{Data: br.Bytes()}
		built[name+".gz"] = &fstest.MapFile{Data: gz.Bytes()}
	}
	return built
}

// ask sends one request to the small page; headers alternate name and value.
func ask(t *testing.T, method, target string, headers ...string) *http.Response {
	t.Helper()
	handler, err := web.Handler(small(t), []string{host, "localhost:8088"})
	if err != nil {
		t.Fatal(err)
	}
	request := httptest.NewRequest(method, "/", nil)
	request.URL.Path, request.URL.RawQuery, _ = strings.Cut(target, "?")
	request.Host = host
	for i := 0; i < len(headers); i += 2 {
		request.Header.Add(headers[i], headers[i+1])
		if headers[i] == "Host" {
			request.Host = headers[i+1]
		}
	}
	recorder := httptest.NewRecorder()
	handler.ServeHTTP(recorder, request)
	return recorder.Result()
}

func body(t *testing.T, response *http.Response) string {
	t.Helper()
	data, err := io.ReadAll(response.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestPartsAreServedWithTheirTypes(t *testing.T) {
	for target, want := range map[string]struct{ kind, text string }{
		"/":                             {"text/html; charset=utf-8", "<html>"},
		"/index.html":                   {"text/html; charset=utf-8", "<html>"},
		"/page.wasm":                    {"application/wasm", "\x00asm"},
		"/page.wasm?v=0123456789abcdef": {"application/wasm", "\x00asm"},
		"/demo.jpg":                     {"image/jpeg", "jpg"},
		"/handbook/value.html":          {"text/html; charset=utf-8", "value"},
		"/sw.js":                        {"text/javascript; charset=utf-8", "worker"},
	} {
		response := ask(t, "GET", target)
		if got := body(t, response); response.StatusCode != 200 || got != want.text {
			t.Errorf("GET %s: %d %q, want 200 %q", target, response.StatusCode, got, want.text)
		}
		if got := response.Header.Get("Content-Type"); got != want.kind {
			t.Errorf("GET %s: type %q, want %q", target, got, want.kind)
		}
	}
}

func TestOthersAreRefused(t *testing.T) {
	for name, c := range map[string]struct {
		method, target, host string
		want                 int
	}{
		"unknown":                  {"GET", "/nothing.html", host, 404},
		"file that is no part":     {"GET", "/secret.txt", host, 404},
		"compressed form":          {"GET", "/page.wasm.br", host, 404},
		"folder":                   {"GET", "/handbook/", host, 404},
		"folder without slash":     {"GET", "/handbook", host, 404},
		"way out":                  {"GET", "/../handler.go", host, 404},
		"way out and in":           {"GET", "/handbook/../index.html", host, 404},
		"double slash":             {"GET", "//index.html", host, 404},
		"another version's part":   {"GET", "/page.wasm?v=fedcba9876543210", host, 409},
		"another version's page":   {"GET", "/?v=fedcba9876543210", host, 409},
		"post":                     {"POST", "/", host, 405},
		"delete":                   {"DELETE", "/index.html", host, 405},
		"foreign name":             {"GET", "/", "evil.example:8088", 421},
		"right name, another port": {"GET", "/", "localhost:9999", 421},
		"right name, no port":      {"GET", "/", "localhost", 421},
		"no name":                  {"GET", "/", "", 421},
	} {
		response := ask(t, c.method, c.target, "Host", c.host)
		if response.StatusCode != c.want {
			t.Errorf("%s: %d, want %d", name, response.StatusCode, c.want)
		}
		if kind := response.Header.Get("Content-Type"); kind != "text/plain; charset=utf-8" {
			t.Errorf("%s: type %q, want plain text", name, kind)
		}
		guarded(t, name, response)
	}
	if response := ask(t, "GET", "/", "Host", "localhost:8088"); response.StatusCode != 200 {
		t.Errorf("the second name: %d, want 200", response.StatusCode)
	}
}

// guarded holds an answer to the headers that guard the page.
func guarded(t *testing.T, name string, response *http.Response) {
	t.Helper()
	for header, want := range map[string]string{
		"X-Content-Type-Options":       "nosniff",
		"Referrer-Policy":              "no-referrer",
		"Permissions-Policy":           "camera=(self), microphone=(), geolocation=(), payment=(), usb=()",
		"Cross-Origin-Opener-Policy":   "same-origin",
		"Cross-Origin-Resource-Policy": "same-origin",
		"Content-Security-Policy":      part.Policy,
	} {
		if got := response.Header.Get(header); got != want {
			t.Errorf("%s: %s is %q, want %q", name, header, got, want)
		}
	}
}

func TestEveryAnswerIsGuarded(t *testing.T) {
	for _, target := range []string{"/", "/page.wasm", "/sw.js", "/demo.jpg"} {
		guarded(t, target, ask(t, "GET", target))
	}
	for _, wanted := range []string{
		"default-src 'none'", "script-src 'self' 'wasm-unsafe-eval'", "connect-src 'self'",
		"require-trusted-types-for 'script'", "trusted-types app",
	} {
		if !strings.Contains("; "+part.Policy+";", "; "+wanted+";") {
			t.Errorf("the policy lacks %q: %s", wanted, part.Policy)
		}
	}
	if strings.Contains(part.Policy, "unsafe-inline") || strings.Contains(part.Policy, "'unsafe-eval'") {
		t.Errorf("the policy lets the page's text run: %s", part.Policy)
	}
}

func TestCompressionFollowsWhatTheBrowserTakes(t *testing.T) {
	decoders := map[string]func(io.Reader) (io.Reader, error){
		"":     func(r io.Reader) (io.Reader, error) { return r, nil },
		"br":   func(r io.Reader) (io.Reader, error) { return brotli.NewReader(r), nil },
		"gzip": func(r io.Reader) (io.Reader, error) { return gzip.NewReader(r) },
	}
	for accepted, want := range map[string]string{
		"": "", "br": "br", "gzip, deflate, br, zstd": "br", "gzip": "gzip", "GZIP;q=0.5": "gzip",
		"br;q=0, gzip": "gzip", "*": "br", "*;q=0": "", "br;q=0,*": "gzip", "identity": "", "br; q=1.0": "br", "br;q=x": "",
	} {
		response := ask(t, "GET", "/page.wasm", "Accept-Encoding", accepted)
		if got := response.Header.Get("Content-Encoding"); got != want {
			t.Errorf("accepting %q: sent as %q, want %q", accepted, got, want)
			continue
		}
		reader, err := decoders[want](response.Body)
		if err != nil {
			t.Errorf("accepting %q: %v", accepted, err)
			continue
		}
		if data, err := io.ReadAll(reader); err != nil || string(data) != "\x00asm" {
			t.Errorf("accepting %q: %q, %v", accepted, data, err)
		}
		if response.Header.Get("Vary") != "Accept-Encoding" || response.ContentLength <= 0 {
			t.Errorf("accepting %q: vary %q, length %d", accepted, response.Header.Get("Vary"), response.ContentLength)
		}
	}
	if response := ask(t, "GET", "/demo.jpg", "Accept-Encoding", "br"); response.Header.Get("Content-Encoding") != "" {
		t.Error("a photograph was compressed again")
	}
}

func TestUnchangedPartsAreNotSentAgain(t *testing.T) {
	plain := ask(t, "GET", "/page.wasm")
	packed := ask(t, "GET", "/page.wasm", "Accept-Encoding", "br")
	tag, packedTag := plain.Header.Get("ETag"), packed.Header.Get("ETag")
	if tag != `"bb"` || packedTag != `"bb-br"` {
		t.Fatalf("tags %s and %s, want \"bb\" and \"bb-br\"", tag, packedTag)
	}
	if got := plain.Header.Get("Cache-Control"); got != "no-cache" {
		t.Errorf("Cache-Control %q, want no-cache", got)
	}
	for _, c := range []struct {
		sent, accepted string
		want           int
	}{
		{tag, "", 304}, {packedTag, "br", 304}, {"W/" + tag, "", 304}, {`"x", ` + tag, "", 304}, {"*", "", 304},
		{packedTag, "", 200}, {tag, "br", 200}, {`"other"`, "", 200},
	} {
		response := ask(t, "GET", "/page.wasm", "If-None-Match", c.sent, "Accept-Encoding", c.accepted)
		if response.StatusCode != c.want {
			t.Errorf("If-None-Match %s, accepting %q: %d, want %d", c.sent, c.accepted, response.StatusCode, c.want)
		}
		if text := body(t, response); c.want == 304 && text != "" {
			t.Errorf("If-None-Match %s: a body of %d bytes", c.sent, len(text))
		}
	}
}

func TestHeadSendsHeadersAlone(t *testing.T) {
	response := ask(t, "HEAD", "/page.wasm", "Accept-Encoding", "br")
	if text := body(t, response); text != "" || response.StatusCode != 200 {
		t.Errorf("HEAD: %d with %d bytes, want 200 with none", response.StatusCode, len(text))
	}
	if response.Header.Get("ETag") == "" || response.Header.Get("Content-Type") != "application/wasm" {
		t.Errorf("HEAD: headers %v", response.Header)
	}
}

func TestRangesAreCutFromWhatIsNotCompressed(t *testing.T) {
	if got := body(t, ask(t, "GET", "/demo.jpg", "Range", "bytes=1-1")); got != "p" {
		t.Errorf("the second byte of the photograph is %q, want p", got)
	}
	if response := ask(t, "GET", "/page.wasm", "Range", "bytes=0-0", "Accept-Encoding", "br"); response.StatusCode != 200 {
		t.Errorf("a range of a compressed part: %d, want the whole", response.StatusCode)
	}
}

func TestPageThatWasNotBuiltSaysHow(t *testing.T) {
	_, err := web.Handler(fstest.MapFS{".gitignore": {}}, []string{host})
	if err == nil || !strings.Contains(place.Hint(err), "make build") {
		t.Errorf("error %v with hint %q, want make build", err, place.Hint(err))
	}
	broken := fstest.MapFS{"parts.json": {Data: []byte("{")}}
	if _, err := web.Handler(broken, []string{host}); err == nil {
		t.Error("a broken list was taken")
	}
	lacking := small(t)
	delete(lacking, "sw.js")
	if _, err := web.Handler(lacking, []string{host}); err == nil {
		t.Error("a page without its service worker was taken")
	}
}
