package web_test

import (
	"encoding/json"
	"image"
	"image/jpeg"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/cdproto/tracing"
	"github.com/chromedp/chromedp"

	"maulstick/render/photo"
)

const (
	megapixels24Width  = 6000
	megapixels24Height = 4000
)

// megapixels24 writes a 24-megapixel JPEG: the demo's photograph enlarged, with
// a grain as sensors have it, since an enlargement alone is too smooth.
func megapixels24(t testing.TB) string {
	t.Helper()
	data, err := os.ReadFile("../testdata/photo/fig-in-red-bowl.jpg")
	if err != nil {
		t.Fatal(err)
	}
	small, err := photo.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	large := image.NewRGBA(image.Rect(0, 0, megapixels24Width, megapixels24Height))
	grain := uint32(1)
	for y := range megapixels24Height {
		for x := range megapixels24Width {
			c := small.At(x*small.Width/megapixels24Width, y*small.Height/megapixels24Height)
			grain = grain*1664525 + 1013904223 // Numerical Recipes' quick generator
			off := int(grain>>28) - 8
			at := large.Pix[4*(y*megapixels24Width+x):]
			for i, v := range []uint8{c.R, c.G, c.B} {
				at[i] = uint8(min(max(int(v)+off, 0), 255))
			}
			at[3] = 255
		}
	}
	path := filepath.Join(t.TempDir(), "24 megapixels.jpg")
	file, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	if err := jpeg.Encode(file, large, &jpeg.Options{Quality: 90}); err != nil {
		t.Fatal(err)
	}
	return path
}

// noteCost notes the drawing program's memory, and marks for the browser's
// tracing when it has decoded a photograph.
const noteCost = `(() => {
	const instantiate = WebAssembly.instantiateStreaming;
	WebAssembly.instantiateStreaming = async (...given) => {
		const made = await instantiate(...given);
		window.top.memory = made.instance.exports.mem;
		return made;
	};
	const decode = window.createImageBitmap;
	window.createImageBitmap = async (...given) => {
		const bitmap = await decode(...given);
		performance.mark('decoded');
		return bitmap;
	};
})()`

// traced is one entry of the browser's tracing; times are in microseconds.
type traced struct {
	Name      string
	Thread    int     `json:"tid"`
	At        float64 `json:"ts"`
	Took      float64 `json:"dur"`
	Processor float64 `json:"tdur"` // time of the processor that it took
	Args      struct{ Name string }
}

// trace notes what the browser does while something is done.
func (p *tab) trace(do func()) []traced {
	p.t.Helper()
	var entries []traced
	whole := make(chan bool, 1)
	p.must(chromedp.Listen(p.ctx, func(event any) {
		switch e := event.(type) {
		case *tracing.EventDataCollected:
			for _, v := range e.Value {
				var one traced
				// Entries of other kinds have other arguments.
				if json.Unmarshal(v, &one) == nil {
					entries = append(entries, one)
				}
			}
		case *tracing.EventTracingComplete:
			whole <- true
		}
	}))
	call(p, tracing.Start, tracing.StartParams{TraceConfig: &tracing.TraceConfig{
		IncludedCategories: []string{"toplevel", "devtools.timeline", "blink.user_timing"},
	}})
	do()
	call(p, tracing.End, cdp.Empty{})
	select {
	case <-whole:
	case <-time.After(patience):
		p.t.Fatal("the browser does not hand over its tracing")
	}
	return entries
}

// A photograph of 24 megapixels takes little more memory than the copy that
// readings need, and once the browser has decoded it the page answers all the
// while it is laid out.
func TestLargePhotograph(t *testing.T) {
	const mb = 1 << 20
	path := megapixels24(t)
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	p := b.openFresh(t, landscape, s.url(), noteCost)
	p.settleCounted()
	memory := `window.memory.buffer.byteLength`
	before := eval[float64](p, memory)
	entries := p.trace(func() {
		p.openPhoto(path)
		p.settleCounted()
	})
	if now := p.snapshot().Study.Reference; now.Width != megapixels24Width || now.Height != megapixels24Height {
		t.Fatalf("what is open is %+v", now)
	}
	grown := eval[float64](p, memory) - before
	over := (grown - 4*megapixels24Width*megapixels24Height) / mb
	t.Logf("the program's memory grew by %.0f MiB: %.0f MiB above the copy, from %.0f MiB", grown/mb, over, before/mb)
	if over >= 64 {
		t.Errorf("a 24-megapixel photograph takes %.0f MiB more than its copy, want under 64", over)
	}
	var decoded traced
	for _, e := range entries {
		if e.Name == "decoded" {
			decoded = e
		}
	}
	if decoded.At == 0 {
		t.Fatalf("the browser's tracing of %d entries does not say when it has decoded", len(entries))
	}
	// Counted is the processor's time: what else runs on the machine is not the
	// page's doing.
	longest, tasks := 0.0, 0
	for _, e := range entries {
		piece := strings.HasSuffix(e.Name, "RunTask") || strings.HasSuffix(e.Name, "PerformMicrotaskCheckpoint")
		if !piece || e.Thread != decoded.Thread || e.At+e.Took <= decoded.At {
			continue // over before the decode was
		}
		tasks++
		longest = max(longest, e.Processor/1000)
	}
	t.Logf("after the decode the longest of %d tasks took %.0f ms of the main thread", tasks, longest)
	if tasks < 10 || longest == 0 || longest > 200 {
		t.Errorf("after the decode the longest of %d tasks took %.0f ms of the main thread, want 200 at most", tasks, longest)
	}
}

// While nobody touches it the page draws nothing, and its main thread does
// under a hundredth of what one core could.
func TestIdle(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	p := b.open(landscape, s.url())
	p.settle()
	p.press("tray-value")
	p.settleCounted()
	p.await("the page is put by", `document.documentElement.dataset.offline === 'ready'`)
	call(p, performance.Enable, performance.EnableParams{TimeDomain: performance.EnableTimeDomainThreadTicks})
	time.Sleep(time.Second)
	const span = 10 * time.Second
	before, busy := p.frames(), p.tasks()
	time.Sleep(span)
	worked := p.tasks() - busy
	if after := p.frames(); after.Run != before.Run || after.Drawn != before.Drawn {
		t.Errorf("in %v at rest frames went from %+v to %+v", span, before, after)
	}
	t.Logf("in %v at rest the main thread worked for %.0f ms", span, worked*1000)
	if worked >= span.Seconds()/100 {
		t.Errorf("in %v at rest the main thread worked for %.0f ms, want under 1 %%", span, worked*1000)
	}
}

// tasks is how many seconds the page's main thread has worked, by the browser.
func (p *tab) tasks() float64 {
	p.t.Helper()
	for _, m := range call(p, performance.GetMetrics, cdp.Empty{}).Metrics {
		if m.Name == "TaskDuration" {
			return m.Value
		}
	}
	p.t.Fatal("the browser does not tell how long its tasks took")
	return 0
}

// Through a whole session nothing is asked of any other place, and the console
// stays empty: no fault, and nothing against the policy.
func TestNothingLeavesThePage(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	p := b.open(landscape, s.url(), `addEventListener('securitypolicyviolation',
		(e) => (window.top.violations ??= []).push(e.violatedDirective + ' ' + e.blockedURI))`)
	p.settleCounted()
	p.openPhoto(photograph)
	p.work()
	p.press("tray-study")
	p.saveFile("save-file")
	p.await("the page is put by", `document.documentElement.dataset.offline === 'ready'`)
	p.reload()
	p.settleCounted()
	asked := p.requests()
	if len(asked) < 8 {
		t.Fatalf("only %q is known to have been asked for", asked)
	}
	for _, one := range asked {
		u, err := url.Parse(one)
		if err != nil || u.Scheme != "blob" && u.Host != s.addr {
			t.Errorf("the page asks for %s", one)
		}
	}
	if against := eval[[]string](p, `window.violations ?? []`); len(against) > 0 {
		t.Errorf("against the policy: %q", against)
	}
	if faults := p.complaints(); len(faults) > 0 {
		t.Errorf("the console complains: %q", faults)
	}
}
