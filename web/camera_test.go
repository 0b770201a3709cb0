package web_test

import (
	"bufio"
	"fmt"
	"image/color"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	permissions "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/place"
	"maulstick/web"
)

// The film that the browser takes for what a camera sees: fields of one colour each, four
// across and three down, and in the last of them a grey that changes from frame to frame.
const (
	filmWidth, filmHeight = 1280, 720
	filmAcross, filmDown  = 4, 3
	filmFrames            = 8
)

// fields are the film's colours as Y'CbCr, 8 bits in the narrow range: greys, primaries
// and others that lie well inside of what sRGB shows.
var fields = [filmAcross*filmDown - 1][3]uint8{
	{30, 128, 128}, {75, 128, 128}, {126, 128, 128}, {190, 128, 128},
	{225, 128, 128}, {90, 110, 200}, {140, 80, 80}, {70, 190, 120},
	{150, 80, 170}, {120, 150, 90}, {160, 110, 150},
}

// A matrix of Y'CbCr, by the parts of red and of blue in Y'. The film does not say which
// is its own: Chromium takes its frames for BT.601 where it hands them out as they are,
// and for BT.709 where it plays them.
type matrix struct{ red, blue float64 }

var (
	bt601 = matrix{0.299, 0.114}   // ITU-R BT.601-7, 2.5.1
	bt709 = matrix{0.2126, 0.0722} // ITU-R BT.709-6, 3.2
)

// srgbOf is such a colour in R'G'B'.
func (m matrix) srgbOf(c [3]uint8) colour.SRGB {
	y, cb, cr := (float64(c[0])-16)/219, (float64(c[1])-128)/224, (float64(c[2])-128)/224
	code := func(v float64) uint8 { return uint8(math.Round(255 * min(max(v, 0), 1))) }
	r, b := y+2*(1-m.red)*cr, y+2*(1-m.blue)*cb
	return colour.SRGB{R: code(r), G: code((y - m.red*r - m.blue*b) / (1 - m.red - m.blue)), B: code(b)}
}

// writeFilm writes the film as YUV4MPEG2, 4:2:0, thirty frames a second.
func writeFilm(t testing.TB) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "film.y4m")
	file, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	w := bufio.NewWriter(file)
	fmt.Fprintf(w, "YUV4MPEG2 W%d H%d F30:1 Ip A1:1 C420\n", filmWidth, filmHeight)
	for frame := range filmFrames {
		fmt.Fprintln(w, "FRAME")
		for plane := range 3 {
			size := place.Pixels{Width: filmWidth, Height: filmHeight}
			if plane > 0 {
				size = place.Pixels{Width: filmWidth / 2, Height: filmHeight / 2}
			}
			for y := range size.Height {
				for x := range size.Width {
					i := y*filmDown/size.Height*filmAcross + x*filmAcross/size.Width
					code := uint8(128)
					if i < len(fields) {
						code = fields[i][plane]
					} else if plane == 0 {
						code = uint8(40 + 20*frame)
					}
					w.WriteByte(code)
				}
			}
		}
	}
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	return path
}

// withCamera starts a browser that plays a film as its camera, and lends it unasked.
func withCamera(t testing.TB) *browser {
	t.Helper()
	return startBrowser(t, t.TempDir(), chromedp.Flag("use-fake-device-for-media-stream", true),
		chromedp.Flag("use-fake-ui-for-media-stream", true), chromedp.Flag("use-file-for-fake-video-capture", writeFilm(t)))
}

// noteTracks keeps every track of a camera that the page was lent.
const noteTracks = `(() => { if (window.top !== window || !navigator.mediaDevices) return;
	window.lent = [];
	const ask = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
	navigator.mediaDevices.getUserMedia = async (wanted) => {
		const stream = await ask(wanted);
		window.lent.push(...stream.getTracks());
		return stream;
	}; })()`

// refusing has the page refused a camera with an error of that name.
func refusing(name string) string {
	return fmt.Sprintf(`if (navigator.mediaDevices) navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException('by the test', %q))`, name)
}

// lookThrough opens the camera part and looks through the camera.
func (p *tab) lookThrough() {
	p.t.Helper()
	p.press("tray-check")
	p.settle()
	p.startCamera()
}

// startCamera looks through the camera, its part being open.
func (p *tab) startCamera() {
	p.t.Helper()
	p.press("camera-look")
	p.await("the camera is on", `window.maulstick.snapshot().camera?.on === true`)
	p.settle()
}

// cameraPane is the part of the picture's area that the camera's picture is seen in, and
// how, worked out from the sizes.
func cameraPane(s snapshot, inPlace bool) (at render.Rect, view render.Viewport) {
	at = render.Rect{Width: s.Area.Width, Height: s.Area.Height}
	switch {
	case inPlace:
	case at.Width >= at.Height:
		at.X, at.Width = at.Width/2, at.Width-at.Width/2
	default:
		at.Y, at.Height = at.Height/2, at.Height-at.Height/2
	}
	view = render.Fit(place.Crop{Width: filmWidth, Height: filmHeight}, at.Width, at.Height, 14)
	view.Mirror = s.Study.View.Mirror
	return at, view
}

// showsFilm holds the middle of every field of the film, as the screen shows it, to its
// colour under the look that is on. A field may be off by the rounding of the browser's
// conversion and of the look; one whose step that could change is left out.
func (p *tab) showsFilm(t *testing.T, what string, inPlace bool, m matrix) {
	t.Helper()
	const within = 3
	seen := p.picture()
	s := p.snapshot()
	at, view := cameraPane(s, inPlace)
	grey := surroundOf(seen)
	held := 0
	for i, field := range fields {
		middle := place.PhotoPoint{
			X: (float64(i%filmAcross) + 0.5) * filmWidth / filmAcross, Y: (float64(i/filmAcross) + 0.5) * filmHeight / filmDown,
		}
		x, y := view.ToScreen(middle)
		c := seen.NRGBAAt(at.X+int(x), at.Y+int(y))
		rgb := m.srgbOf(field)
		if s.Study.Look.Tone == look.Steps && stepUnsure(s.Study.Look, grey, rgb, within) {
			continue
		}
		want := look.Apply(s.Study.Look, grey, rgb)
		if !nearTo(c, want, within) {
			t.Errorf("%s: field %d of %v is %v, want %v", what, i, rgb, c, want)
		}
		held++
	}
	if held < len(fields)-3 {
		t.Errorf("%s: only %d fields could be held to anything", what, held)
	}
}

// stepUnsure says whether a colour off by so many codes could be of another step.
func stepUnsure(l look.Look, grey colour.SRGB, c colour.SRGB, within int) bool {
	move := func(v uint8, by int) uint8 { return uint8(min(max(int(v)+by, 0), 255)) }
	for _, by := range []int{-within, within} {
		if look.Apply(l, grey, colour.SRGB{R: move(c.R, by), G: move(c.G, by), B: move(c.B, by)}) != look.Apply(l, grey, c) {
			return true
		}
	}
	return false
}

func nearTo(c color.NRGBA, want colour.SRGB, within int) bool {
	for _, d := range []int{int(c.R) - int(want.R), int(c.G) - int(want.G), int(c.B) - int(want.B)} {
		if d < -within || d > within {
			return false
		}
	}
	return true
}

// lit is how many of the tracks that the page was lent are still live.
func (p *tab) lit() int {
	p.t.Helper()
	return eval[int](p, `window.lent.filter((t) => t.readyState === 'live').length`)
}

// A film of known colours is read back from the screen under every kind of look, beside
// the reference and in its place; frozen it stands still, and goes into the log as it was:
// where the browser hands out frames as they are, and where it does not, for which it is
// made to lack that.
func TestCamera(t *testing.T) {
	s := newSite(t)
	b := withCamera(t)
	for what, c := range map[string]struct {
		script string
		matrix matrix
	}{
		"frames as they are": {matrix: bt601},
		"a video drawn":      {`delete window.MediaStreamTrackProcessor`, bt709},
		"a silent video":     {`delete window.MediaStreamTrackProcessor; delete HTMLVideoElement.prototype.requestVideoFrameCallback`, bt709},
	} {
		t.Run(what, func(t *testing.T) {
			p := b.openFresh(t, landscape, s.url(), noteTracks, c.script)
			p.settleKept()
			p.lookThrough()
			if seen := p.snapshot().Camera; seen.Width != filmWidth || seen.Height != filmHeight {
				t.Fatalf("the camera is %+v", seen)
			}
			p.looksAtFilm(t, c.matrix)
			p.freezes(t, c.matrix)
			p.logsFrame(t, c.matrix)
			if faults := p.complaints(); len(faults) > 0 {
				t.Errorf("the console complains: %q", faults)
			}
			p.close()
		})
	}
}

// looksAtFilm looks at the film under every kind of look.
func (p *tab) looksAtFilm(t *testing.T, m matrix) {
	t.Helper()
	p.showsFilm(t, "in full colour", false, m)
	for _, keys := range [][]string{{"grey"}, {"filter"}, {"filter", "grey", "steps"}, {"only"}, {"steps", "mirror"}, {"mirror"}} {
		for _, key := range keys {
			p.press(key)
		}
		p.showsFilm(t, strings.Join(keys, " and "), false, m)
	}
	p.press("squint")
	p.showsFilm(t, "squinted at", false, m)
	p.press("squint")
	p.press("camera-place")
	p.showsFilm(t, "in its place", true, m)
	p.press("camera-place")
}

// freezes touches the live picture: it is drawn no more, until it is touched again.
func (p *tab) freezes(t *testing.T, m matrix) {
	t.Helper()
	at, _ := cameraPane(p.snapshot(), false)
	middle := p.over((float64(at.X)+float64(at.Width)/2)/float64(p.snapshot().Area.Width), 0.5)
	p.moves(t, "live", true)
	p.tapAlone(middle)
	p.await("it is frozen", `window.maulstick.snapshot().camera.frozen`)
	p.settle()
	p.moves(t, "frozen", false)
	p.showsFilm(t, "frozen", false, m)
	p.press("grey")
	p.showsFilm(t, "frozen and grey", false, m)
	p.press("grey")
	time.Sleep(400 * time.Millisecond) // a second tap at once would be the same touch
	p.tapAlone(middle)
	p.await("it is live", `!window.maulstick.snapshot().camera.frozen`)
	p.moves(t, "live again", true)
	p.press("camera-freeze")
	p.await("it is frozen", `window.maulstick.snapshot().camera.frozen`)
	p.settle()
}

// moves says whether pictures go on being drawn, and fails if they should or should not.
func (p *tab) moves(t *testing.T, what string, want bool) {
	t.Helper()
	before := p.frames().Drawn
	time.Sleep(time.Second)
	if after := p.frames().Drawn; after > before != want {
		t.Errorf("%s: in a second %d pictures are drawn", what, after-before)
	}
}

// logsFrame puts what is frozen into the log, and lays that beside the reference.
func (p *tab) logsFrame(t *testing.T, m matrix) {
	t.Helper()
	p.press("camera-log")
	p.await("it is in the log", `window.maulstick.snapshot().study.log.length === 1`)
	p.settleKept()
	if text := p.text("camera-note"); text != "Written down, with the photograph of the canvas." {
		t.Errorf("the page says %q", text)
	}
	photograph := p.snapshot().Study.Log[0].Photograph
	if photograph == nil || photograph.Width != filmWidth || photograph.Height != filmHeight || !strings.HasSuffix(photograph.Name, ".png") {
		t.Fatalf("in the log is %+v", photograph)
	}
	p.press("tray-study")
	p.press("part-log")
	p.press("entry-1")
	p.press("log-beside")
	p.settle()
	p.showsFilm(t, "from the log", false, m)
}

// The light of the camera is out wherever its picture cannot be seen.
func TestCameraIsOffWhereItIsNotSeen(t *testing.T) {
	s := newSite(t)
	b := withCamera(t)
	hide := func(hidden string) string {
		return fmt.Sprintf(`(() => { Object.defineProperty(document, 'visibilityState', {value: %q, configurable: true});
			document.dispatchEvent(new Event('visibilitychange')); })()`, hidden)
	}
	for what, leave := range map[string]func(p *tab){
		"its key":               func(p *tab) { p.press("camera-look") },
		"another tray":          func(p *tab) { p.press("tray-value") },
		"no tray":               func(p *tab) { p.press("tray-check") },
		"hands off":             func(p *tab) { p.press("tray-study"); p.press("part-study"); p.press("handsoff") },
		"the page hidden":       func(p *tab) { eval[chromedp.Void](p, hide("hidden")) },
		"another study":         func(p *tab) { p.openPhoto(photograph) },
		"the frame loaded anew": func(p *tab) { eval[chromedp.Void](p, `window.frames[0].location.reload()`) },
	} {
		t.Run(what, func(t *testing.T) {
			p := b.openFresh(t, landscape, s.url(), noteTracks)
			p.settleKept()
			p.lookThrough()
			if p.lit() != 1 {
				t.Fatalf("looking through it %d cameras are on", p.lit())
			}
			leave(p)
			p.await("the light is out", `window.lent.every((t) => t.readyState === 'ended')`)
			if what == "the page hidden" {
				eval[chromedp.Void](p, hide("visible"))
				if text := p.text("camera-note"); !strings.Contains(text, "out of sight") || p.lit() != 0 {
					t.Errorf("seen again the page says %q", text)
				}
			}
			p.close()
		})
	}
}

// Every way in which a browser refuses a camera is told in words, with what to do, and the
// study goes on without.
func TestCameraRefused(t *testing.T) {
	s := newSite(t)
	forbidding := newSite(t)
	forbidding.stop()
	forbidding.start(func(addr string) http.Handler {
		inner := forbidding.handler(web.Built())(addr)
		return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			inner.ServeHTTP(forbidder{w}, r)
		})
	})
	lending := withCamera(t)
	without := startBrowser(t, t.TempDir(), chromedp.Flag("use-fake-ui-for-media-stream", true))
	asking := startBrowser(t, t.TempDir(), chromedp.Flag("use-fake-device-for-media-stream", true))
	for what, c := range map[string]struct {
		b      *browser
		site   *site
		script string
		set    permissions.PermissionSetting
		says   string
	}{
		"refused by the browser's settings": {b: asking, set: permissions.PermissionSettingDenied, says: "refused to this page"},
		"not answered":                      {b: asking, script: refusing("NotAllowedError"), set: permissions.PermissionSettingPrompt, says: "not answered"},
		"refused by the system":             {b: lending, script: refusing("NotAllowedError"), says: "refused to this page"},
		"forbidden by the server":           {b: lending, site: forbidding, says: "camera=(self)"},
		"none":                              {b: without, says: "No camera was found"},
		"busy":                              {b: lending, script: refusing("NotReadableError"), says: "another program"},
		"ended while it started":            {b: lending, script: refusing("AbortError"), says: "another program"},
		"gone":                              {b: lending, script: refusing("OverconstrainedError"), says: "not there any more"},
		"for another reason":                {b: lending, script: refusing("InvalidStateError"), says: "by the test"},
		"a browser without":                 {b: lending, script: `Object.defineProperty(navigator, 'mediaDevices', {value: undefined})`, says: "lends no camera"},
	} {
		t.Run(what, func(t *testing.T) {
			from := s
			if c.site != nil {
				from = c.site
			}
			scripts := []string{c.script}
			if c.script == "" {
				scripts = nil
			}
			p := c.b.openFresh(t, landscape, from.url(), scripts...)
			defer p.close()
			p.settle()
			if c.set != "" {
				call(p, permissions.SetPermission, permissions.SetPermissionParams{
					Permission: &permissions.PermissionDescriptor{Name: "camera"}, Setting: c.set, Origin: strings.TrimSuffix(from.url(), "/"),
					BrowserContextID: chromedp.FromContext(p.ctx).BrowserContextID,
				})
			}
			p.press("tray-check")
			p.settle()
			before := p.studyText()
			p.press("camera-look")
			p.await("it is told why", `document.getElementById('camera-note').textContent.includes(%s)`, c.says)
			if text := p.text("camera-note"); !inSentences(text) {
				t.Errorf("the page says %q", text)
			}
			if eval[bool](p, `document.getElementById('key-camera-look').getAttribute('aria-pressed') === 'true'`) {
				t.Error("its key shows that the camera is on")
			}
			p.settle()
			if now := p.studyText(); now != before {
				t.Errorf("the study goes from %s to %s", before, now)
			}
		})
	}
}

// forbidder answers with a rule that forbids the camera.
type forbidder struct{ http.ResponseWriter }

func (f forbidder) WriteHeader(status int) {
	f.Header().Set("Permissions-Policy", "camera=()")
	f.ResponseWriter.WriteHeader(status)
}

func (f forbidder) Write(data []byte) (int, error) {
	f.Header().Set("Permissions-Policy", "camera=()")
	return f.ResponseWriter.Write(data)
}

// A camera that is taken away is told, and what was frozen stays.
func TestCameraTakenAway(t *testing.T) {
	s := newSite(t)
	p := withCamera(t).open(landscape, s.url(), noteTracks)
	p.settleKept()
	p.lookThrough()
	taken := `for (const t of window.lent) { t.stop(); t.dispatchEvent(new Event('ended')); }`
	eval[chromedp.Void](p, `for (const t of window.lent) t.dispatchEvent(new Event('mute'))`)
	p.await("it is told", `document.getElementById('camera-note').textContent.includes('sends nothing')`)
	eval[chromedp.Void](p, `for (const t of window.lent) t.dispatchEvent(new Event('unmute'))`)
	p.await("it goes on", `document.getElementById('camera-note').textContent.startsWith('Touch the live picture')`)
	p.press("camera-freeze")
	eval[chromedp.Void](p, taken)
	p.await("it is told", `document.getElementById('camera-note').textContent.includes('taken away')`)
	p.showsFilm(t, "frozen before", false, bt601)
	p.press("camera-freeze")
	p.await("the camera is on again", `window.maulstick.snapshot().camera?.on === true`)
	p.settle()
	eval[chromedp.Void](p, taken)
	p.await("its picture is gone", `window.maulstick.snapshot().camera === null`)
	p.await("it is told", `document.getElementById('camera-note').textContent.includes('taken away')`)
}

// All of it is done by keyboard alone.
func TestCameraByKeyboard(t *testing.T) {
	s := newSite(t)
	p := withCamera(t).open(landscape, s.url(), noteTracks)
	p.settleKept()
	p.byKey("tray-check")
	p.settle()
	p.byKey("camera-look")
	p.await("the camera is on", `window.maulstick.snapshot().camera?.on === true`)
	p.byKey("camera-freeze")
	p.await("it is frozen", `window.maulstick.snapshot().camera.frozen`)
	p.byKey("camera-log")
	p.await("it is in the log", `window.maulstick.snapshot().study.log.length === 1`)
	eval[chromedp.Void](p, `document.getElementById('overlay').focus()`)
	p.keys("\r")
	p.await("Enter on the picture lets it go", `!window.maulstick.snapshot().camera.frozen`)
	p.byKey("camera-place")
	p.showsFilm(t, "in its place", true, bt601)
	p.byKey("camera-look")
	p.await("the light is out", `window.lent.every((t) => t.readyState === 'ended')`)
}
