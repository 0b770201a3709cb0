package web_test

import (
	"fmt"
	"os"
	"testing"

	"maulstick/render/photo"
	"maulstick/render/place"
)

// growing are photographs of 1 to 200 megapixels, and how often each is halved on a tablet
// of 4 GB.
var growing = []struct {
	megapixels int
	size       place.Pixels
	halved     int
}{
	{1, place.Pixels{Width: 1152, Height: 864}, 0},
	{3, place.Pixels{Width: 2000, Height: 1500}, 0},
	{12, place.Pixels{Width: 4000, Height: 3000}, 0},
	{48, place.Pixels{Width: 8064, Height: 6048}, 0},
	{100, place.Pixels{Width: 11656, Height: 8742}, 1},
	{200, place.Pixels{Width: 16320, Height: 12240}, 1},
}

// BenchmarkSizes tells how opening grows with a photograph's pixels: for each size the
// time of a megapixel in times of one of the 12-megapixel photograph, at most 1 where it
// grows no faster than the pixels, and what the page's program and its arrays take in
// bytes for a pixel of the file. The smallest are opened in less than the page takes to
// settle, which weighs on their few pixels.
func BenchmarkSizes(b *testing.B) {
	s := newSite(b)
	br := startBrowser(b, b.TempDir())
	for b.Loop() {
		each := map[int]float64{}
		for _, g := range growing {
			p := br.openFresh(b, landscape, s.url(), noteCost, tabletOf4)
			p.settleKept()
			before := p.holding()
			path, hash := largeJPEG(b, g.size)
			var took []float64
			for range 3 {
				took = append(took, p.openingTime(path, hash))
			}
			pixels := float64(g.size.Width) * float64(g.size.Height)
			each[g.megapixels] = median(took) / pixels
			now := p.holding()
			b.ReportMetric(1e6*(now.program-before.program)/pixels, fmt.Sprintf("program-bytes-a-pixel-of-%d-MP", g.megapixels))
			b.ReportMetric(1e6*(now.arrays-before.arrays)/pixels, fmt.Sprintf("array-bytes-a-pixel-of-%d-MP", g.megapixels))
			if r := p.snapshot().Study.Reference; r.Width != g.size.Width || photo.Halvings(g.size, 60_000_000) != g.halved {
				b.Errorf("%d megapixels are opened as %d pixels wide", g.megapixels, r.Width)
			}
			p.close()
		}
		for _, g := range growing {
			b.ReportMetric(each[g.megapixels]/each[12], fmt.Sprintf("times-12-MP's-at-%d-MP", g.megapixels))
		}
	}
}

// openingTime is how long a photograph takes from being chosen until it is shown whole, in
// milliseconds. What was open before is opened anew first, so that nothing is there yet.
func (p *tab) openingTime(path, hash string) float64 {
	p.t.Helper()
	p.openPhoto(photograph)
	p.settleKept()
	p.noteChoosing()
	p.choose(path)
	p.await("the photograph is shown", `(() => { const s = window.maulstick.snapshot();
		return s.study.reference.sha256 === %s && s.filled && window.maulstick.frames().settled; })()`, hash)
	took := eval[float64](p, `window.handed.then((h) => performance.now() - h.at)`)
	p.settleKept()
	return took
}

// noteChoosing has the page note when the next file is chosen, and which.
func (p *tab) noteChoosing() {
	p.t.Helper()
	eval[bool](p, `(window.handed = new Promise((done) => document.getElementById('file').addEventListener('change',
		(e) => done({ file: e.target.files[0], at: performance.now() }), { capture: true, once: true })), true)`)
}

// BenchmarkReferences compares the start of a study with 10 and with 50 references of
// twelve megapixels with that of one without, the board in sight, and what the browser
// keeps of it on the disk with the photographs' own bytes.
func BenchmarkReferences(b *testing.B) {
	paths := megapixels12(b, fifty)
	for b.Loop() {
		starts := map[int]float64{}
		for _, count := range []int{0, 10, fifty} {
			s := newSite(b)
			br := startBrowser(b, b.TempDir())
			p := br.open(landscape, s.url())
			p.settleKept()
			p.press("tray-study")
			p.press("part-board")
			p.settleKept()
			usage := `navigator.storage.estimate().then((e) => e.usageDetails.indexedDB ?? 0)`
			before, bytes := eval[float64](p, usage), 0.0
			for _, path := range paths[:count] {
				info, err := os.Stat(path)
				if err != nil {
					b.Fatal(err)
				}
				bytes += float64(info.Size())
			}
			if count > 0 {
				p.pin(paths[:count]...)
				p.settleKept()
				b.ReportMetric((eval[float64](p, usage)-before)/bytes, fmt.Sprintf("disk-times-%d-photographs", count))
			}
			var took []float64
			for range rounds {
				p.reload()
				took = append(took, eval[float64](p, `new Promise((done) => new PerformanceObserver((list) => {
					const [mark] = list.getEntriesByName('first picture');
					if (mark) done(mark.startTime);
				}).observe({type: 'mark', buffered: true}))`))
				p.settleKept()
			}
			starts[count] = median(took)
			br.close()
		}
		b.ReportMetric(starts[10]/starts[0], "start-with-10-times-none")
		b.ReportMetric(starts[fifty]/starts[0], "start-with-50-times-none")
	}
}
