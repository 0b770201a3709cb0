package web_test

import (
	"encoding/json"
	"io"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"maulstick/web"
	"maulstick/web/part"
)

// tablets are as many as may stand in a large class.
const tablets = 30

// BenchmarkTablets compares what thirty tablets at once fetch in a second, all parts of
// the page each, packed by brotli, with the same bytes from the standard library's server
// for plain files: over HTTPS, as the studio's tablets do, and without, where the library
// hands files to the system to send, and ours lie in memory.
func BenchmarkTablets(b *testing.B) {
	names, folder := packedParts(b), b.TempDir()
	for _, name := range names {
		copyPart(b, name, filepath.Join(folder, filepath.FromSlash(name)))
	}
	plain := http.FileServer(http.Dir(folder))
	for b.Loop() {
		for unit, start := range map[string]func(http.Handler) *httptest.Server{
			"times-a-plain-server-https": httptest.NewTLSServer, "times-a-plain-server-http": httptest.NewServer,
		} {
			// The page answers to the name that it is served under.
			var ours http.Handler
			a := start(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { ours.ServeHTTP(w, r) }))
			ours = (&site{t: b}).handler(web.Built())(a.Listener.Addr().String())
			e := start(plain)
			if got, want := fetchAll(b, a, names), fetchAll(b, e, names); got != want {
				b.Fatalf("we send %d bytes, the server for plain files %d", got, want)
			}
			var ratios []float64
			for range 4 * rounds { // each is a quarter of a second
				ratios = append(ratios, crowd(b, e, names).Seconds()/crowd(b, a, names).Seconds())
			}
			b.ReportMetric(median(ratios), unit)
			a.Close()
			e.Close()
		}
	}
}

// packedParts are the addresses of the page's parts of which there is a packed form.
func packedParts(b *testing.B) (names []string) {
	b.Helper()
	text, err := fs.ReadFile(web.Built(), "parts.json")
	if err != nil {
		b.Fatal(err)
	}
	var list struct{ Parts []part.Part }
	if err := json.Unmarshal(text, &list); err != nil {
		b.Fatal(err)
	}
	for _, one := range list.Parts {
		// A server for plain files has a page of its own at index.html.
		if part.Packed(one.URL) && filepath.Base(one.URL) != "index.html" {
			names = append(names, one.URL)
		}
	}
	return names
}

// copyPart writes the packed form of a part.
func copyPart(b *testing.B, name, path string) {
	b.Helper()
	data, err := fs.ReadFile(web.Built(), name+".br")
	if err == nil {
		err = os.MkdirAll(filepath.Dir(path), 0o700)
	}
	if err == nil {
		err = os.WriteFile(path, data, 0o600)
	}
	if err != nil {
		b.Fatal(err)
	}
}

// crowd is how long thirty tablets take that fetch everything at once.
func crowd(b *testing.B, s *httptest.Server, names []string) time.Duration {
	b.Helper()
	var all sync.WaitGroup
	begun := time.Now()
	for range tablets {
		all.Go(func() { fetchAll(b, s, names) })
	}
	all.Wait()
	return time.Since(begun)
}

// fetchAll fetches parts as one tablet does, over connections of its own, and counts their
// bytes.
func fetchAll(b *testing.B, s *httptest.Server, names []string) (bytes int64) {
	transport := s.Client().Transport.(*http.Transport).Clone()
	transport.DisableCompression = true
	defer transport.CloseIdleConnections()
	for _, name := range names {
		request, err := http.NewRequest(http.MethodGet, s.URL+"/"+name, nil)
		if err != nil {
			b.Error(err)
			return bytes
		}
		request.Header.Set("Accept-Encoding", "br")
		response, err := transport.RoundTrip(request)
		if err != nil {
			b.Error(err)
			return bytes
		}
		n, err := io.Copy(io.Discard, response.Body)
		response.Body.Close()
		if err != nil || response.StatusCode != http.StatusOK {
			b.Errorf("fetching %s: %s, %v", name, response.Status, err)
		}
		bytes += n
	}
	return bytes
}
