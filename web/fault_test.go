package web_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"

	"maulstick/web"
	"maulstick/web/part"
)

// before puts something between the server and the browser.
type before = func(http.Handler) http.Handler

// instead answers all of the new version but its service worker in another way.
func instead(answer func(w http.ResponseWriter, r *http.Request, whole *httptest.ResponseRecorder)) before {
	return between(func(r *http.Request) bool { return r.URL.Query().Get("v") == newer }, answer)
}

// inWorker changes the text of the new version's service worker.
func inWorker(change func(w http.ResponseWriter, text []byte) []byte) before {
	mine := func(r *http.Request) bool { return strings.HasSuffix(r.URL.Path, "/"+part.Worker) }
	return between(mine, func(w http.ResponseWriter, _ *http.Request, whole *httptest.ResponseRecorder) {
		text := change(whole, whole.Body.Bytes())
		send(w, whole, text)
	})
}

// between answers some requests in another way, given the right answer.
func between(some func(*http.Request) bool, answer func(w http.ResponseWriter, r *http.Request, whole *httptest.ResponseRecorder)) before {
	return func(handler http.Handler) http.Handler {
		return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			if !some(r) {
				handler.ServeHTTP(w, r)
				return
			}
			r.Header.Del("If-None-Match")
			recorder := httptest.NewRecorder()
			handler.ServeHTTP(recorder, r)
			answer(w, r, recorder)
		})
	}
}

// send answers with the headers of the right answer and a body.
func send(w http.ResponseWriter, whole *httptest.ResponseRecorder, body []byte) {
	for name, values := range whole.Header() {
		w.Header()[name] = values
	}
	w.Header().Del("Content-Length")
	w.Header().Del("ETag")
	w.WriteHeader(whole.Code)
	_, _ = w.Write(body)
}

// sendHalf promises the whole body and sends half of it.
func sendHalf(w http.ResponseWriter, whole *httptest.ResponseRecorder) {
	for name, values := range whole.Header() {
		w.Header()[name] = values
	}
	w.Header().Set("Content-Length", strconv.Itoa(whole.Body.Len()))
	_, _ = w.Write(whole.Body.Bytes()[:whole.Body.Len()/2])
	_ = http.NewResponseController(w).Flush()
}

// only changes the one part whose address ends so: its headers or its body.
func only(name string, change func(header http.Header, body []byte) []byte) before {
	return instead(func(w http.ResponseWriter, r *http.Request, whole *httptest.ResponseRecorder) {
		body := whole.Body.Bytes()
		if strings.HasSuffix(r.URL.Path, name) {
			body = change(whole.Header(), body)
		}
		send(w, whole, body)
	})
}

// breaking answers for one part in its own way, and rightly for all others.
func breaking(name string, answer func(w http.ResponseWriter, r *http.Request, whole *httptest.ResponseRecorder)) before {
	return instead(func(w http.ResponseWriter, r *http.Request, whole *httptest.ResponseRecorder) {
		if strings.HasSuffix(r.URL.Path, name) {
			answer(w, r, whole)
			return
		}
		send(w, whole, whole.Body.Bytes())
	})
}

// login is what a network says that wants to be paid first.
var login = []byte("<!doctype html><title>Welcome</title>Log in to this network")

// setting sets one header of every part.
func setting(name, value string) before {
	return only("", func(header http.Header, body []byte) []byte {
		header.Set(name, value)
		return body
	})
}

// faults are ways in which a new version can come broken.
func faults(t *testing.T) map[string]before {
	all := bodyFaults(t)
	for name, fault := range headerFaults() {
		all[name] = fault
	}
	for name, fault := range connectionFaults() {
		all[name] = fault
	}
	for name, fault := range workerFaults() {
		all[name] = fault
	}
	if len(all) < 24 {
		t.Fatalf("there are %d faults: some have the same name", len(all))
	}
	return all
}

// bodyFaults are wrong bytes.
func bodyFaults(t *testing.T) map[string]before {
	old, err := web.Handler(versionOf(t, older), nil)
	if err != nil {
		t.Fatal(err)
	}
	return map[string]before{
		"a login page in place of every file": only("", func(_ http.Header, _ []byte) []byte { return login }),
		"a login page in place of one file": only("boot.js", func(header http.Header, _ []byte) []byte {
			header.Set("Content-Type", "text/html")
			return login
		}),
		"a login page in place of a page": only("easel.html", func(http.Header, []byte) []byte { return login }),
		"a login page of the right length": only("easel.html", func(_ http.Header, b []byte) []byte {
			return fmt.Appendf(nil, "%-*s", len(b), login)
		}),
		"a file cut short":    only("demo.jpg", func(_ http.Header, b []byte) []byte { return b[:len(b)-1] }),
		"a file too long":     only("demo.jpg", func(_ http.Header, b []byte) []byte { return append(b, '\n') }),
		"an empty file":       only("boot.js", func(http.Header, []byte) []byte { return nil }),
		"a bit turned over":   only("app.css", func(_ http.Header, b []byte) []byte { b[0] ^= 1; return b }),
		"a last bit wrong":    only("page.wasm", func(_ http.Header, b []byte) []byte { b[len(b)-1] ^= 0x80; return b }),
		"zeros of its length": only("icons/maulstick-512.png", func(_ http.Header, b []byte) []byte { return make([]byte, len(b)) }),
		"half a deployment": instead(func(w http.ResponseWriter, r *http.Request, whole *httptest.ResponseRecorder) {
			if !strings.HasSuffix(r.URL.Path, ".html") {
				send(w, whole, whole.Body.Bytes())
				return
			}
			r.Host = ""
			old.ServeHTTP(w, r)
		}),
	}
}

// headerFaults are the right bytes under wrong headers.
func headerFaults() map[string]before {
	return map[string]before{
		"a policy taken off": setting("Content-Security-Policy", ""),
		"a policy loosened":  setting("Content-Security-Policy", strings.Replace(part.Policy, "connect-src 'self'", "connect-src *", 1)),
		"a type taken off":   only("page.wasm", func(header http.Header, b []byte) []byte { header.Set("Content-Type", ""); return b }),
		"programs as text":   only(".wasm", func(header http.Header, b []byte) []byte { header.Set("Content-Type", "text/plain"); return b }),
		"pages to be fetched": only(".html", func(header http.Header, b []byte) []byte {
			header.Set("Content-Type", "application/octet-stream")
			return b
		}),
		"styles as a page": only(".css", func(header http.Header, b []byte) []byte { header.Set("Content-Type", "text/html"); return b }),
	}
}

// connectionFaults are answers that do not come, or not all of them.
func connectionFaults() map[string]before {
	return map[string]before{
		"a redirect to a login page": instead(func(w http.ResponseWriter, r *http.Request, _ *httptest.ResponseRecorder) {
			http.Redirect(w, r, "/index.html?v="+newer+"&login", http.StatusFound)
		}),
		"one file redirected to itself": breaking("mill.wasm", func(w http.ResponseWriter, r *http.Request, _ *httptest.ResponseRecorder) {
			http.Redirect(w, r, "/mill.wasm", http.StatusMovedPermanently)
		}),
		"a file that lacks": breaking("mill.js", func(w http.ResponseWriter, r *http.Request, _ *httptest.ResponseRecorder) {
			http.NotFound(w, r)
		}),
		"a server at its limits": breaking("plotter.wasm", func(w http.ResponseWriter, _ *http.Request, _ *httptest.ResponseRecorder) {
			http.Error(w, "later", http.StatusServiceUnavailable)
		}),
		"the right bytes as an error": breaking("app.css", func(w http.ResponseWriter, _ *http.Request, whole *httptest.ResponseRecorder) {
			whole.Code = http.StatusInternalServerError
			send(w, whole, whole.Body.Bytes())
		}),
		"a connection that breaks": breaking("page.wasm", func(http.ResponseWriter, *http.Request, *httptest.ResponseRecorder) {
			panic(http.ErrAbortHandler)
		}),
		"a connection that breaks half-way": breaking("demo.jpg", func(w http.ResponseWriter, _ *http.Request, whole *httptest.ResponseRecorder) {
			sendHalf(w, whole)
			panic(http.ErrAbortHandler)
		}),
		"a silence half-way": breaking("demo.jpg", func(w http.ResponseWriter, r *http.Request, whole *httptest.ResponseRecorder) {
			sendHalf(w, whole)
			<-r.Context().Done()
		}),
		"a silence from the start": breaking("boot.js", func(_ http.ResponseWriter, r *http.Request, _ *httptest.ResponseRecorder) {
			<-r.Context().Done()
		}),
	}
}

// workerFaults are a service worker that is not the one that was built.
func workerFaults() map[string]before {
	return map[string]before{
		"a login page in place of the service worker": inWorker(func(w http.ResponseWriter, _ []byte) []byte {
			w.Header().Set("Content-Type", "text/html")
			return login
		}),
		"a login page that calls itself a script":  inWorker(func(http.ResponseWriter, []byte) []byte { return login }),
		"a service worker cut short":               inWorker(func(_ http.ResponseWriter, b []byte) []byte { return b[:len(b)/2] }),
		"a service worker without its last letter": inWorker(func(_ http.ResponseWriter, b []byte) []byte { return b[:len(b)-2] }),
		"a list that was changed": inWorker(func(_ http.ResponseWriter, b []byte) []byte {
			return []byte(strings.Replace(string(b), `"bytes":`, `"bytes":1`, 1))
		}),
	}
}
