package web_test

import (
	"net/http"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/chromedp"
)

// The benchmarks report ratios of two things measured in turn in one run, the
// medians of a few rounds: times of a loaded machine mean nothing by
// themselves, and neither does one round.
const rounds = 11

// median is the middle of some figures.
func median(figures []float64) float64 {
	slices.Sort(figures)
	return figures[len(figures)/2]
}

// emptyPage serves the emptiest Ebiten page with the same server, headers and
// compression as the real one.
func emptyPage(b *testing.B) *site {
	b.Helper()
	folder := b.TempDir()
	build := exec.Command("go", "run", "./web/pack", "-page", "./wasm/empty", "-out", folder)
	build.Dir = ".."
	if out, err := build.CombinedOutput(); err != nil {
		b.Fatalf("building the empty page: %v\n%s", err, out)
	}
	return newSiteOf(b, os.DirFS(folder))
}

// firstPicture is how long a page in a fresh profile takes from being asked
// for until the browser has been handed its first picture, in milliseconds.
func firstPicture(b *testing.B, br *browser, url string) float64 {
	b.Helper()
	p := br.openFresh(b, landscape, url)
	// To ask again and again would take from the time that is measured.
	took := eval[float64](p, `new Promise((done) => new PerformanceObserver((list) => {
		const [mark] = list.getEntriesByName('first picture');
		if (mark) done(mark.startTime);
	}).observe({type: 'mark', buffered: true}))`)
	p.close()
	return took
}

// BenchmarkStart compares the time to the first picture with an empty Ebiten
// page's.
func BenchmarkStart(b *testing.B) {
	ours, empty := newSite(b), emptyPage(b)
	br := startBrowser(b, b.TempDir())
	for b.Loop() {
		var a, e []float64
		for range rounds {
			a = append(a, firstPicture(b, br, ours.url()))
			e = append(e, firstPicture(b, br, empty.url()))
		}
		b.ReportMetric(median(a)/median(e), "times-an-empty-page")
	}
}

// BenchmarkDownload compares what the first picture needs to download with an
// empty Ebiten page's, as compressed for the way.
func BenchmarkDownload(b *testing.B) {
	ours, empty := newSite(b), emptyPage(b)
	br := startBrowser(b, b.TempDir())
	for b.Loop() {
		b.ReportMetric(downloaded(b, br, ours)/downloaded(b, br, empty), "times-an-empty-page")
		b.ReportMetric(weight(b, ours, "mill.wasm")/(1<<20), "MB-worker")
		b.ReportMetric(weight(b, ours, "plotter.wasm")/(1<<20), "MB-plotter")
		b.ReportMetric(weight(b, ours, "callipers.wasm")/(1<<20), "MB-callipers")
	}
}

// downloaded is how many bytes a page fetches up to its first picture; the
// demo photograph is content, not program, and is left out.
func downloaded(b *testing.B, br *browser, s *site) float64 {
	b.Helper()
	p := br.openFresh(b, landscape, s.url())
	p.await("the first picture is drawn", `performance.getEntriesByName('first picture').length > 0`)
	total := 0.0
	for _, url := range slices.Compact(slices.Sorted(slices.Values(p.requests()))) {
		part := strings.TrimPrefix(strings.Split(url, "?")[0], s.url())
		if part != "demo.jpg" && !strings.HasPrefix(part, "mill.") && !strings.HasPrefix(part, "plotter.") && !strings.HasPrefix(part, "callipers.") && part != "sw.js" {
			total += weight(b, s, part)
		}
	}
	p.close()
	return total
}

// weight is how many bytes a part has on the way to a browser.
func weight(b *testing.B, s *site, part string) float64 {
	b.Helper()
	request, err := http.NewRequest(http.MethodGet, s.url()+part, nil)
	if err != nil {
		b.Fatal(err)
	}
	request.Header.Set("Accept-Encoding", "br")
	response, err := http.DefaultTransport.RoundTrip(request)
	if err != nil {
		b.Fatal(err)
	}
	defer response.Body.Close()
	if response.StatusCode != http.StatusOK {
		b.Fatalf("%s was answered with %s", part, response.Status)
	}
	return float64(response.ContentLength)
}

// BenchmarkOpen compares opening a 24-megapixel JPEG, until it is shown whole,
// with the browser's own decoding of it.
func BenchmarkOpen(b *testing.B) {
	path := megapixels24(b)
	s := newSite(b)
	br := startBrowser(b, b.TempDir())
	p := br.open(landscape, s.url())
	p.settleKept()
	for b.Loop() {
		var opened, decoded []float64
		for range rounds {
			p.noteChoosing()
			before := p.snapshot().Study.ID
			p.choose(path)
			p.await("the photograph is shown", `(() => { const s = window.maulstick.snapshot();
				return s.study.id !== %s && s.filled && window.maulstick.frames().settled; })()`, before)
			opened = append(opened, eval[float64](p, `window.handed.then((h) => performance.now() - h.at)`))
			decoded = append(decoded, eval[float64](p, `window.handed.then(async ({ file }) => {
				const bytes = await file.arrayBuffer();
				const at = performance.now();
				const bitmap = await createImageBitmap(new Blob([bytes]));
				const c = new OffscreenCanvas(1, 1).getContext('2d');
				c.drawImage(bitmap, 0, 0);
				c.getImageData(0, 0, 1, 1);
				bitmap.close();
				return performance.now() - at; })`))
			p.settleKept()
		}
		b.ReportMetric(median(opened)/median(decoded), "times-the-browser's-decode")
	}
}

// BenchmarkIdle says what the page costs while nobody touches it.
func BenchmarkIdle(b *testing.B) {
	s := newSite(b)
	p := startBrowser(b, b.TempDir()).open(landscape, s.url())
	p.settleKept()
	call(p, performance.Enable, performance.EnableParams{})
	p.await("the steps are counted", `window.maulstick.snapshot().counted`)
	time.Sleep(2 * time.Second)
	for b.Loop() {
		const span = 10 * time.Second
		busy, run := p.tasks(), p.frames().Run
		time.Sleep(span)
		b.ReportMetric(100*(p.tasks()-busy)/span.Seconds(), "%-of-a-core")
		b.ReportMetric(float64(p.frames().Run-run), "frames")
	}
}

// close ends a tab before the test does.
func (p *tab) close() {
	p.t.Helper()
	p.must(chromedp.Cancel(p.ctx))
}
