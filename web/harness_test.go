package web_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"io/fs"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"maulstick/render/palette"
	"maulstick/render/place"
	"maulstick/render/study"
	"maulstick/web"
)

// patience is how long a test waits for the page before it fails: software
// drawing on a loaded machine is slow.
const patience = 2 * time.Minute

// site serves a built page on a loopback port that it keeps when it is stopped
// and started again, so that the browser takes it for the same place.
type site struct {
	t      testing.TB
	addr   string
	server *http.Server
}

// newSite serves the page that was built into the program.
func newSite(t testing.TB) *site {
	t.Helper()
	return newSiteOf(t, web.Built())
}

// newSiteOf serves a built page of the test's own.
func newSiteOf(t testing.TB, built fs.FS) *site {
	t.Helper()
	s := &site{t: t, addr: "127.0.0.1:0"}
	s.start(s.handler(built))
	t.Cleanup(s.stop)
	return s
}

// handler is what answers for a built page; a test may put its own before it.
func (s *site) handler(built fs.FS) func(addr string) http.Handler {
	return func(addr string) http.Handler {
		h, err := web.Handler(built, []string{addr})
		if err != nil {
			s.t.Fatalf("%v (run make build)", err)
		}
		return h
	}
}

// start answers on the site's port; the first time on one that is free.
func (s *site) start(handler func(addr string) http.Handler) {
	s.t.Helper()
	listener, err := net.Listen("tcp", s.addr)
	for deadline := time.Now().Add(patience); err != nil && time.Now().Before(deadline); {
		time.Sleep(20 * time.Millisecond)
		listener, err = net.Listen("tcp", s.addr)
	}
	if err != nil {
		s.t.Fatal(err)
	}
	s.addr = listener.Addr().String()
	s.server = &http.Server{Handler: handler(s.addr)}
	go s.server.Serve(listener)
}

// stop ends the server and every connection to it at once.
func (s *site) stop() {
	if s.server != nil {
		s.server.Close()
		s.server = nil
	}
}

func (s *site) url() string { return "http://" + s.addr + "/" }

// browser is a Chromium of its own with a profile that outlives it.
type browser struct {
	t       testing.TB
	ctx     context.Context
	process *os.Process
	ended   bool
}

// startBrowser starts Chromium on a profile folder; flags are added to its own.
func startBrowser(t testing.TB, profile string, flags ...chromedp.ExecAllocatorOption) *browser {
	t.Helper()
	name := os.Getenv("CHROMIUM")
	if name == "" {
		name = "chromium"
	}
	program, err := exec.LookPath(name)
	if err != nil {
		t.Fatalf("%v: run make tools, or name the browser in CHROMIUM", err)
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(program), chromedp.UserDataDir(profile), chromedp.NoSandbox,
		chromedp.Flag("use-gl", "angle"), chromedp.Flag("use-angle", "swiftshader"),
		chromedp.Flag("enable-unsafe-swiftshader", true), chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("hide-scrollbars", false),
		chromedp.ModifyCmdFunc(func(cmd *exec.Cmd) {
			// A group of its own, so that all of it can be killed at once.
			cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
		}))
	allocator, _ := chromedp.NewExecAllocator(context.Background(), append(options, flags...)...)
	ctx, _ := chromedp.NewContext(allocator)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("starting %s: %v", program, err)
	}
	b := &browser{t: t, ctx: ctx, process: chromedp.FromContext(ctx).Browser.Process()}
	t.Cleanup(b.close)
	return b
}

// close ends the browser as a user would.
func (b *browser) close() {
	if !b.ended {
		b.ended = true
		ctx, stop := context.WithTimeout(b.ctx, 20*time.Second)
		defer stop()
		_ = chromedp.Cancel(ctx)
		_ = syscall.Kill(-b.process.Pid, syscall.SIGKILL)
	}
}

// kill ends every process of the browser at once, as a power cut would.
func (b *browser) kill() {
	if !b.ended {
		b.ended = true
		_ = syscall.Kill(-b.process.Pid, syscall.SIGKILL)
		ctx, stop := context.WithTimeout(b.ctx, 20*time.Second)
		defer stop()
		_ = chromedp.Cancel(ctx)
	}
}

// screenSize is what a page is shown on.
type screenSize struct {
	width, height int // CSS pixels
	dpr           float64
}

var landscape = screenSize{1180, 820, 1}

// tab is one page of a browser.
type tab struct {
	t       testing.TB
	ctx     context.Context
	mu      sync.Mutex
	faults  []string // what the page's console complained of
	fetched []string // URLs asked for
}

// open makes a tab of that size and loads the address, without waiting for
// more than the browser does. Scripts run before any of the page's own.
func (b *browser) open(size screenSize, url string, scripts ...string) *tab {
	b.t.Helper()
	return newTab(b.t, b.ctx, size, url, scripts)
}

// openFresh is open with storage that nothing else shares.
func (b *browser) openFresh(t testing.TB, size screenSize, url string, scripts ...string) *tab {
	t.Helper()
	return newTab(t, b.ctx, size, url, scripts, chromedp.WithNewBrowserContext())
}

func newTab(t testing.TB, parent context.Context, size screenSize, url string, scripts []string, options ...chromedp.ContextOption) *tab {
	t.Helper()
	ctx, cancel := chromedp.NewContext(parent, options...)
	p := &tab{t: t, ctx: ctx}
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("the page's console: %q", p.complaints())
		}
		cancel()
	})
	p.must(chromedp.Do(ctx))
	p.must(chromedp.Listen(ctx, p.listen))
	call(p, network.Enable, network.EnableParams{})
	call(p, log.Enable, cdp.Empty{})
	for _, script := range scripts {
		call(p, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
	}
	p.resize(size)
	p.must(chromedp.Do(ctx, chromedp.Navigate(url)))
	return p
}

// call sends one command of the browser's protocol.
func call[P, R any](p *tab, command cdp.Command[P, R], params P) R {
	p.t.Helper()
	ctx, stop := context.WithTimeout(p.ctx, patience)
	defer stop()
	answer, err := chromedp.Run(ctx, func(ctx context.Context, t *chromedp.Target) (R, error) {
		return cdp.Call(ctx, t, command, params)
	})
	p.must(err)
	return answer
}

// eval runs a script and returns its value, a promise's once it is kept.
func eval[T any](p *tab, script string, values ...any) T {
	p.t.Helper()
	v, err := evaluate[T](p, script, values...)
	if err != nil {
		p.t.Fatalf("%s: %v", script, err)
	}
	return v
}

func evaluate[T any](p *tab, script string, values ...any) (T, error) {
	p.t.Helper()
	ctx, stop := context.WithTimeout(p.ctx, patience)
	defer stop()
	for i, v := range values {
		text, err := json.Marshal(v)
		p.must(err)
		values[i] = string(text)
	}
	if len(values) > 0 {
		script = fmt.Sprintf(script, values...)
	}
	return chromedp.Run(ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
}

func (p *tab) must(err error) {
	p.t.Helper()
	if err != nil {
		p.t.Fatal(err)
	}
}

// listen notes what the page asks for and what its console complains of.
func (p *tab) listen(event any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		p.fetched = append(p.fetched, e.Request.URL)
	case *runtime.EventExceptionThrown:
		fault := e.ExceptionDetails.Text
		if e.ExceptionDetails.Exception != nil {
			fault += " " + e.ExceptionDetails.Exception.Description
		}
		p.faults = append(p.faults, fault)
	case *runtime.EventConsoleAPICalled:
		if e.Type == "error" || e.Type == "warning" || strings.HasPrefix(words(e.Args), "panic:") {
			p.faults = append(p.faults, words(e.Args))
		}
	case *log.EventEntryAdded:
		if e.Entry.Level == "error" || e.Entry.Level == "warning" {
			p.faults = append(p.faults, e.Entry.Text+" "+e.Entry.URL)
		}
	}
}

// words are what was written on the console.
func words(args []*runtime.RemoteObject) string {
	var said []string
	for _, arg := range args {
		said = append(said, strings.Trim(arg.Description+string(arg.Value), `"`))
	}
	return strings.Join(said, " ")
}

func (p *tab) complaints() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]string(nil), p.faults...)
}

func (p *tab) requests() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]string(nil), p.fetched...)
}

func (p *tab) resize(size screenSize) {
	p.t.Helper()
	p.must(chromedp.Do(p.ctx, chromedp.EmulateViewport(int64(size.width), int64(size.height),
		chromedp.EmulateScale(size.dpr), chromedp.EmulateTouch)))
}

// await waits until a script's value is true.
func (p *tab) await(what, script string, values ...any) {
	p.t.Helper()
	deadline := time.Now().Add(patience)
	for !p.holds(script, append([]any(nil), values...)...) {
		if time.Now().After(deadline) {
			p.t.Fatalf("waited in vain until %s; the page is at %s", what, eval[string](p, `JSON.stringify(window.maulstick?.snapshot?.())??''`))
		}
		time.Sleep(20 * time.Millisecond)
	}
}

// holds says whether a condition holds. It does not while one page gives way to the next.
func (p *tab) holds(script string, values ...any) bool {
	p.t.Helper()
	yes, err := evaluate[bool](p, script, values...)
	if err != nil && !strings.Contains(err.Error(), "target navigated") {
		p.t.Fatalf("%s: %v", script, err)
	}
	return yes
}

// settle waits until a study is shown as well as it will be. The page learns
// of a change of the picture's area only with the browser's next frame.
func (p *tab) settle() {
	p.t.Helper()
	const shown = `(() => { const m = window.maulstick;
		if (!m || !m.snapshot || !m.frames) return false;
		const s = m.snapshot();
		return Boolean(s && s.study && s.filled && s.laid) && m.frames().settled; })()`
	p.await("a study is shown", shown)
	p.frame()
	p.await("the study is shown after a frame", shown)
}

// settleKept waits also until the state is written away.
func (p *tab) settleKept() {
	p.t.Helper()
	p.settle()
	p.await("the study is kept", `window.maulstick.snapshot().kept`)
}

// frames is how many frames have run and how many pictures were drawn.
type frames struct {
	Run, Drawn int
	Settled    bool
}

func (p *tab) frames() frames {
	p.t.Helper()
	return eval[frames](p, `window.maulstick.frames()`)
}

// snapshot is what window.maulstick.snapshot() tells.
type snapshot struct {
	Study *study.Document `json:"study"`
	Area  struct {
		Width  int     `json:"width_css_px"`
		Height int     `json:"height_css_px"`
		DPR    float64 `json:"device_pixel_ratio"`
	} `json:"area"`
	Crop    place.Crop `json:"crop_px"`
	Scale   float64    `json:"scale"`
	Reading *struct {
		Mark        int      `json:"mark"`
		X           place.MM `json:"x_mm"`
		Y           place.MM `json:"y_mm"`
		Uncertainty place.MM `json:"uncertainty_mm"`
		Value       *float64 `json:"value"`
		Step        *int     `json:"step"`
	} `json:"reading"`
	Plain    bool   `json:"plain"`
	HandsOff bool   `json:"hands_off"`
	Filled   bool   `json:"filled"`
	Counted  bool   `json:"counted"`
	Laid     bool   `json:"laid"`
	Kept     bool   `json:"kept"`
	Failure  string `json:"keeping_failure"`
	Camera   *struct {
		On     bool `json:"on"`
		Frozen bool `json:"frozen"`
		Width  int  `json:"width_px"`
		Height int  `json:"height_px"`
	} `json:"camera"`
	Palette *struct {
		Busy   bool               `json:"busy"`
		Answer palette.Answer     `json:"answer"`
		Found  []place.PhotoPoint `json:"found_px"`
	} `json:"palette"`
}

func (p *tab) snapshot() snapshot {
	p.t.Helper()
	return eval[snapshot](p, `window.maulstick.snapshot()`)
}

// text is the words of an element, "" while it is hidden.
func (p *tab) text(id string) string {
	p.t.Helper()
	return eval[string](p, `(() => { const e = document.getElementById(%s);
		return e && e.checkVisibility({visibilityProperty: true}) ? e.innerText.trim() : ''; })()`, id)
}

// choose gives a file to the page's file field.
func (p *tab) choose(path string) {
	p.t.Helper()
	p.chooseIn("file", path)
}

// chooseIn gives files to one of the page's file fields.
func (p *tab) chooseIn(id string, paths ...string) {
	p.t.Helper()
	for i, path := range paths {
		path, err := filepath.Abs(path)
		p.must(err)
		paths[i] = path
	}
	ctx, stop := context.WithTimeout(p.ctx, patience)
	defer stop()
	field, err := chromedp.Run(ctx, chromedp.Evaluate[*runtime.RemoteObject](fmt.Sprintf(`document.getElementById(%q)`, id)))
	p.must(err)
	call(p, dom.SetFileInputFiles, dom.SetFileInputFilesParams{Files: paths, ObjectID: field.ObjectID})
}

// see is what is on the screen, in device pixels.
func (p *tab) see() image.Image {
	p.t.Helper()
	return p.capture(nil)
}

// seePart is a part of the screen whose sides are whole CSS pixels, in device
// pixels from that part's corner.
func (p *tab) seePart(x, y, width, height float64) image.Image {
	p.t.Helper()
	return p.capture(&page.Viewport{X: x, Y: y, Width: width, Height: height, Scale: 1})
}

func (p *tab) capture(clip *page.Viewport) image.Image {
	p.t.Helper()
	p.settle()
	answer := call(p, page.CaptureScreenshot, page.CaptureScreenshotParams{Format: "png", Clip: clip})
	picture, err := png.Decode(bytes.NewReader(answer.Data))
	p.must(err)
	return picture
}
