package web_test

import (
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/verdict"
)

// The photograph of a painting, and what it was painted from.
const (
	paintedAfter = "../testdata/photo/fig-in-red-bowl-1800.jpg"
	onTheEasel   = "../testdata/check/fig-on-the-easel.jpg"
)

// asPNG writes a photograph as decoded by the command, so that a browser and the command
// read the same pixels of it.
func asPNG(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	opened, err := photo.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), strings.TrimSuffix(filepath.Base(name), ".jpg")+".png")
	file, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	p := opened.Picture
	if err := png.Encode(file, &image.NRGBA{Pix: p.Pix, Stride: 4 * p.Width, Rect: image.Rect(0, 0, p.Width, p.Height)}); err != nil {
		t.Fatal(err)
	}
	return path
}

// checkJSON is what the command tells of a check.
type checkJSON struct {
	Corners [4][2]float64
	Found   bool    `json:"corners_found"`
	Within  float64 `json:"corners_uncertainty_px"`
	Bow     float64 `json:"lens_bow"`

	Declined string
	Shift    [2]float64 `json:"shift_mm"`
	Turn     float64    `json:"turn_deg"`
	Stretch  [2]float64
	Matched  int `json:"matched_places"`
	Slips    []struct {
		X      float64 `json:"x_mm"`
		Y      float64 `json:"y_mm"`
		DX     float64 `json:"dx_mm"`
		DY     float64 `json:"dy_mm"`
		Within float64 `json:"uncertainty_mm"`
	}
	Values []struct {
		X          float64 `json:"x_mm"`
		Y          float64 `json:"y_mm"`
		Reference  int     `json:"step_reference"`
		Painting   int     `json:"step_painting"`
		Difference float64 `json:"difference_steps"`
		Within     float64 `json:"uncertainty_steps"`
		Off        bool
	}
	Range       float64 `json:"value_range"`
	Broken      int     `json:"value_order_broken_pairs"`
	Temperature *struct{ Reference, Painting string }
	Kept        [][2]string `json:"opposites_kept"`
	Lost        [][2]string `json:"opposites_lost"`
	Notes       []string
}

// toldBy is what the command tells of two photographs.
func toldBy(t testing.TB, reference, painting string, more ...string) (told checkJSON) {
	t.Helper()
	args := append([]string{"run", "../cmd/maulstick", "check", "-reference", reference, "-painting", painting, "-canvas", "36x24in", "-json"}, more...)
	out, err := exec.Command("go", args...).Output()
	if err != nil {
		t.Fatalf("go %s: %v", strings.Join(args, " "), err)
	}
	if err := json.Unmarshal(out, &told); err != nil {
		t.Fatal(err)
	}
	return told
}

// atCheck opens the reference and a photograph of the painting in the part of the tray
// that checks it.
func (p *tab) atCheck(reference, painting string) {
	p.t.Helper()
	p.settle()
	p.openPhoto(reference)
	p.press("tray-line")
	p.press("part-canvas")
	p.settle()
	p.fill("canvas", "36 x 24 in")
	p.press("tray-check")
	p.press("part-painting")
	p.logs(painting)
}

// logs takes a photograph of the painting.
func (p *tab) logs(painting string) {
	p.t.Helper()
	before := len(p.snapshot().Study.Log)
	p.chooseIn("log-file", painting)
	p.await("the photograph of the painting is in the log", `window.maulstick.snapshot().study.log.length === %s`, before+1)
	p.settle()
}

// checks has the painting checked and returns what the page found.
func (p *tab) checks() *verdict.Answer {
	p.t.Helper()
	p.press("painting-check")
	p.await("the painting is checked", `!window.maulstick.snapshot().checking`)
	p.settle()
	return eval[*verdict.Answer](p, `window.maulstick.snapshot().check`)
}

// tellsAlike holds the page's figures to the command's, numbers to a millionth: engines round
// exponentials otherwise.
func tellsAlike(t *testing.T, what string, page *verdict.Answer, command checkJSON) {
	t.Helper()
	if page == nil {
		t.Fatalf("%s: the page found nothing", what)
	}
	var got, want []float64
	both := func(a, b float64) { got, want = append(got, a), append(want, b) }
	for i, c := range page.Canvas.Corners {
		both(c.X, command.Corners[i][0])
		both(c.Y, command.Corners[i][1])
	}
	both(page.Canvas.Within, command.Within)
	both(page.Canvas.Bow.K, command.Bow)
	w := page.Whole
	for i, v := range [...]float64{float64(w.DX), float64(w.DY), w.Turn, w.Across, w.Down} {
		both(v, [...]float64{command.Shift[0], command.Shift[1], command.Turn, command.Stretch[0], command.Stretch[1]}[i])
	}
	both(float64(len(page.Matches)), float64(command.Matched))
	both(page.Range.Of, command.Range)
	both(float64(len(page.Broken)), float64(command.Broken))
	if len(page.Slips) != len(command.Slips) || len(page.Values) != len(command.Values) || page.Canvas.Found != command.Found {
		t.Fatalf("%s: the page has %d slips and %d values, the command %d and %d", what, len(page.Slips), len(page.Values), len(command.Slips), len(command.Values))
	}
	for i, s := range page.Slips {
		c := command.Slips[i]
		both(float64(s.At.X), c.X)
		both(float64(s.At.Y), c.Y)
		both(float64(s.DX), c.DX)
		both(float64(s.DY), c.DY)
		both(float64(s.Within), c.Within)
	}
	for i, v := range page.Values {
		c := command.Values[i]
		both(float64(v.At.X), c.X)
		both(float64(v.At.Y), c.Y)
		both(float64(v.StepReference), float64(c.Reference))
		both(float64(v.StepPainting), float64(c.Painting))
		both(v.Difference, c.Difference)
		both(v.Within, c.Within)
		if v.Off != c.Off {
			t.Errorf("%s: value %d is off in one of both", what, i)
		}
	}
	for i := range got {
		if math.Abs(got[i]-want[i]) > 1e-6*max(1, math.Abs(want[i])) {
			t.Errorf("%s: figure %d is %v in the page, and %v by the command", what, i, got[i], want[i])
		}
	}
	if page.Declined != command.Declined {
		t.Errorf("%s: the page declines %q, the command %q", what, page.Declined, command.Declined)
	}
	if c := page.Colour; (c == nil) != (command.Temperature == nil) || c != nil && (c.Reference != command.Temperature.Reference || c.Painting != command.Temperature.Painting || fmt.Sprint(c.Kept, c.Lost) != fmt.Sprint(command.Kept, command.Lost)) {
		t.Errorf("%s: the page tells of colours %+v, the command %+v, %v, %v", what, c, command.Temperature, command.Kept, command.Lost)
	}
}

// TestPaintingIsChecked has the page check a photograph of a painting: its figures are
// the command's, first with the canvas found, then with corners moved by the keyboard. A
// row of the list goes to its place; the check is kept with the study, is there again when
// the page is opened anew, and can be undone.
func TestPaintingIsChecked(t *testing.T) {
	reference, painting := asPNG(t, paintedAfter), asPNG(t, onTheEasel)
	p := startBrowser(t, t.TempDir()).open(landscape, newSite(t).url())
	p.atCheck(reference, painting)
	if fetched := strings.Join(p.requests(), " "); strings.Contains(fetched, "callipers") {
		t.Error("the callipers are fetched before they are needed")
	}
	page := p.checks()
	tellsAlike(t, "found", page, toldBy(t, reference, painting))
	if len(page.Slips) == 0 || len(page.Values) == 0 {
		t.Fatalf("the page found %+v", page)
	}
	if rows := eval[int](p, `document.querySelectorAll('#painting-rows button').length`); rows != len(page.Slips) {
		t.Errorf("%d rows list %d slips", rows, len(page.Slips))
	}
	before := p.snapshot()
	p.press("row-slip-1")
	p.settle()
	at := page.Slips[0].At
	m := place.Mapping{Crop: before.Crop, Canvas: before.Study.Size()}.ToPhoto(at)
	if s := p.snapshot(); s.Scale <= before.Scale*2 || math.Abs(s.Study.View.CentreX-m.X) > 1 || math.Abs(s.Study.View.CentreY-m.Y) > 1 {
		t.Errorf("the first slip is seen about %v, %v at %v, want about %v", s.Study.View.CentreX, s.Study.View.CentreY, s.Scale, m)
	}
	p.press("row-slip-1")
	for _, key := range []string{"seen-lighter", "seen-divided", "seen-turn", "seen-over"} {
		p.press(key)
		p.settle()
	}

	p.press("painting-corners")
	p.settle()
	eval[bool](p, `document.querySelector('[data-handle="canvas-0"]').focus() ?? true`)
	p.keys(kb.ArrowRight + kb.ArrowRight + kb.ArrowDown)
	corners := p.snapshot().Study.Log[0].Corners
	if len(corners) != 4 || math.Abs(corners[0].X-page.Canvas.Corners[0].X-2) > 1e-9 || math.Abs(corners[0].Y-page.Canvas.Corners[0].Y-1) > 1e-9 {
		t.Fatalf("the corners are put at %v, and were found at %v", corners, page.Canvas.Corners)
	}
	if !strings.Contains(p.text("painting-note"), "check it") {
		t.Errorf("it says %q", p.text("painting-note"))
	}
	moved := p.checks()
	if moved.Canvas.Found || moved.Canvas.Corners != place.Quad(corners) {
		t.Errorf("the page checks by %+v", moved.Canvas)
	}
	p.press("undo")
	p.settle()
	if d := p.snapshot().Study; len(d.Checked) != 1 || !d.Checked[0].Found {
		t.Errorf("undone, the checks are %+v", d.Checked)
	}
	p.press("redo")
	p.settleKept()
	p.press("part-stages")
	p.settle()
	if text := p.text("stages-rows"); !strings.Contains(text, "in") || !strings.Contains(text, "step") {
		t.Errorf("the strip says %q", text)
	}
	kept := p.snapshot().Study.Checked
	p.reload()
	p.settle()
	if d := p.snapshot().Study; len(d.Checked) != 1 || d.Checked[0].Off != kept[0].Off || d.Checked[0].Found {
		t.Errorf("opened anew, the checks are %+v, and were %+v", d.Checked, kept)
	}
	if complaints := p.complaints(); len(complaints) > 0 {
		t.Errorf("the console says %q", complaints)
	}
}

// TestCheckIsStoppedAndDeclined stops a check, which leaves nothing, and has one declined:
// then the corners are asked for.
func TestCheckIsStoppedAndDeclined(t *testing.T) {
	p := startBrowser(t, t.TempDir()).open(landscape, newSite(t).url())
	p.atCheck(paintedAfter, onTheEasel)
	p.press("painting-check")
	p.await("something is told of how far it is", `!document.getElementById('check-asking').hidden`)
	p.press("painting-stop")
	p.settle()
	if s := p.snapshot(); len(s.Study.Checked) != 0 || p.shown("check-asking") {
		t.Errorf("stopped, %d checks are kept", len(s.Study.Checked))
	}
	p.logs(paintedAfter) // no canvas is on it
	p.press("painting-check")
	p.await("the corners are asked for", `document.querySelectorAll('[data-handle^="canvas-"]').length === 4`)
	p.settle()
	if note := p.text("painting-note"); !strings.Contains(note, "four corners") {
		t.Errorf("it says %q", note)
	}
	if s := p.snapshot(); len(s.Study.Checked) != 0 {
		t.Errorf("a check is kept: %+v", s.Study.Checked)
	}
}

// fillPainting has the painting of the demo checked, and measures the tray before with its
// cards touched.
func (p *tab) fillPainting() {
	p.t.Helper()
	p.press("tray-line")
	p.press("part-canvas")
	p.settle()
	p.fill("canvas", "36 x 24 in")
	p.press("tray-check")
	p.settle()
	p.logs(onTheEasel)
	p.touchCanvasCards(4)
	p.measure(p.t, "painting's cards")
	p.checks()
}
