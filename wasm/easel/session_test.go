package easel

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"maulstick/render/look"
	"maulstick/render/place"
	"maulstick/render/study"
)

// A painter's whole session, from an empty easel to a mark read in inches.
func TestThePaintersSession(t *testing.T) {
	b := newBench(t, 2)
	b.Started()
	b.wantText("state-study", "Open a photograph to begin.")
	b.press("open")
	if b.opened != 1 {
		t.Fatal("the key to open a photograph did not ask for one")
	}
	b.Opening("greys.png", 0.404)
	b.wantText("message-text", "Opening greys.png: 40 %")
	b.Show(greysDoc(), greys(), false)
	if len(b.kept) != 1 || !reflect.DeepEqual(b.awake, []bool{true}) {
		t.Fatalf("a new study was kept %d times, and the screen asked awake %v", len(b.kept), b.awake)
	}
	b.press("tray-study")
	b.wantText("photo-ratio", "0.67")
	b.wantText("canvas-ratio", "–")
	b.Type("canvas", "33 x 70 in")
	b.wantText("canvas-ratio", "0.47")
	if b.Face().Hidden["key-canvas-turn"] {
		t.Error("an upright canvas for a lying photograph is not offered turned")
	}
	b.wantText("key-canvas-turn", "Turn to 70 x 33 in")
	b.press("canvas-turn")
	if c := b.doc().Crop(); !near(c.Height, 1200*33.0/70, 1e-9) || c.Width != 1200 || !near(c.Y, (800-1200*33.0/70)/2, 1e-9) {
		t.Errorf("the crop for 70 x 33 in is %v", c)
	}
	b.wantText("canvas-note", "The canvas is 70 in wide and 33 in high.")

	b.press("filter")
	if l := b.doc().Look; !l.Filter || l.AsGreys {
		t.Errorf("the red filter made the look %+v", l)
	}
	b.press("tray-value", "filter-grey")
	if l := b.doc().Look; !l.Filter || !l.AsGreys {
		t.Errorf("the red filter as greys made the look %+v", l)
	}
	b.press("filter")
	b.Filled()
	if len(b.counts) != 1 {
		t.Fatalf("the steps were asked for %d times, want once", len(b.counts))
	}
	if f := b.Face(); len(f.Steps) != 5 || f.Steps[0].Share != "" {
		t.Errorf("before the count the steps are %+v, want five without a share", f.Steps)
	}
	eye, filter := histograms(greys(), b.counts[0].Crop)
	b.Counted(b.counts[0].ID, eye, filter)
	// Bands of lightness 6, 17 | 28, 39 | 50 | 61, 72 | 83, 94 fall into five
	// steps whose edges are 20, 40, 60, 80. They are 267, 267, 133, 267 and 266
	// pixels wide of 1200: 22.25, 22.25, 11.08, 22.25 and 22.17 %. Whole numbers
	// below come to 99, and the first of the largest remainders has the one left.
	want := []string{"23 %", "22 %", "11 %", "22 %", "22 %"}
	for i, s := range b.Face().Steps {
		if s.Share != want[i] {
			t.Errorf("step %d has %q of the picture, want %q", i+1, s.Share, want[i])
		}
	}
	b.press("lighter")
	if l := b.doc().Look; l.Tone != look.Steps || l.Keep != look.KeepLighter || l.Step != 3 {
		t.Errorf("isolating with no step chosen gave %+v, want the middle step and all lighter", l)
	}
	x, y := b.screenOf(place.PhotoPoint{X: 200, Y: 400})
	b.tap(Touch, x, y)
	if l := b.doc().Look; l.Step != 1 || l.Keep != look.KeepLighter {
		t.Errorf("a tap on lightness 17 picked %+v, want step 1 and all lighter", l)
	}
	b.press("lighter", "squint", "mirror", "turn")
	if d := b.doc(); d.Look.Keep != look.KeepAll || !d.Look.Squint || !d.View.Mirror || !d.View.Turned {
		t.Errorf("look %+v, view %+v", d.Look, d.View)
	}
	b.Press("plain")
	if plan, _ := b.Plan(); plan.Panes[0].Look.Tone != look.Colour || plan.Panes[0].Look.Squint || !plan.Panes[0].View.Mirror {
		t.Errorf("while Plain is held the pane is %+v, want the photograph as it stands", plan.Panes[0])
	}
	b.Release("plain")
	if plan, _ := b.Plan(); plan.Panes[0].Look != b.doc().Look {
		t.Error("letting Plain go did not bring the look back")
	}

	b.press("tray-place")
	b.wantText("place-note", "Touch the picture to place a mark.")
	x, y = b.screenOf(place.PhotoPoint{X: 600, Y: 400})
	b.tap(Mouse, x, y)
	if got, want := b.figures(), "35 in from the left, 16 1⁄2 in from the top, which is at the bottom of the upside-down picture"; got != want {
		t.Errorf("the middle of the canvas reads %q, want %q", got, want)
	}
	// The middle of 1200 pixels is in the fifth of nine bands, lightness 50:
	// sRGB 119, Munsell value 4.9 (ASTM D1535: value 5 is Y 19.27 %, from memory).
	if note := b.Face().Text["place-note"]; !strings.HasSuffix(note, "Value 4.9, step 3 of 5.") {
		t.Errorf("the note at lightness 50 is %q", note)
	}
	b.press("from-x", "from-y")
	if got, want := b.figures(), "35 in from the right, 16 1⁄2 in from the bottom, which is at the top of the upside-down picture"; got != want {
		t.Errorf("from the other edges it reads %q, want %q", got, want)
	}
	b.press("unit")
	if got := b.figures(); !strings.HasPrefix(got, "88.9 cm") || !strings.Contains(got, " 41.9 cm") {
		t.Errorf("in centimetres it reads %q, want 88.9 and 41.9", got)
	}
	b.Type("mark-name", "the stalk")
	b.press("mark-delete", "undo")
	if m := b.onlyMark(); m.Name != "the stalk" {
		t.Errorf("after deleting and undoing the mark is %+v", m)
	}

	b.wait(2 * time.Second)
	last := b.kept[len(b.kept)-1]
	again := newBench(t, 2)
	again.Show(last, greys(), true)
	again.Filled()
	if !reflect.DeepEqual(again.doc(), b.doc()) {
		t.Error("the study that was kept opens to another state")
	}
	p, _ := b.Plan()
	if q, ok := again.Plan(); !ok || !reflect.DeepEqual(p, q) {
		t.Errorf("the study that was kept looks different:\n%+v\n%+v", p, q)
	}
}

func TestRefusedFilesLeaveTheStudyAsItWas(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-place")
	b.tap(Mouse, 300, 300)
	before, figures := b.doc(), b.figures()
	b.Opening("letter.pdf", 0)
	b.Refuse(errors.New("letter.pdf is not a picture"))
	b.wantText("message-text", "Letter.pdf is not a picture.")
	b.wantText("key-message-close", "Close")
	if !reflect.DeepEqual(b.doc(), before) || b.figures() != figures {
		t.Error("a refused file changed the study")
	}
	b.press("message-close")
	if !b.Face().Hidden["message"] {
		t.Error("the message cannot be closed")
	}
}

func TestHintsAreShownWithWhatWentWrong(t *testing.T) {
	b := newBench(t, 1)
	b.Refuse(&study.Problem{Wrong: "this kept study is damaged", Advice: "open the photograph itself"})
	b.wantText("message-text", "This kept study is damaged. Open the photograph itself.")
}

func TestOpeningCanBeStopped(t *testing.T) {
	b := atWork(t, 1)
	b.Opening("large.jpg", 0.5)
	b.wantText("key-message-close", "Stop")
	b.press("message-close")
	if b.stopped != 1 {
		t.Fatal("Stop did not stop the opening")
	}
	b.Stopped()
	if !b.Face().Hidden["message"] {
		t.Error("the opening is still shown after it was stopped")
	}
}

func TestCanvasesAreReadAsPaintersSayThem(t *testing.T) {
	// Widths and heights in millimetres by the inch of 25.4 mm (agreement of
	// 1959, NIST SP 811).
	for typed, want := range map[string]place.Size{
		"33 x 70 in":         {Width: 838.2, Height: 1778},
		"84x178cm":           {Width: 840, Height: 1780},
		`2' 9" x 5' 10"`:     {Width: 838.2, Height: 1778},
		"4 3/4 x 10.1":       {Width: 120.65, Height: 256.54},
		"  24 by 36 inches ": {Width: 609.6, Height: 914.4},
	} {
		b := atWork(t, 1)
		b.Type("canvas", typed)
		if c := b.doc().Canvas; !near(float64(c.Width), float64(want.Width), 1e-9) || !near(float64(c.Height), float64(want.Height), 1e-9) {
			t.Errorf("%q was read as %v x %v mm, want %v x %v", typed, c.Width, c.Height, want.Width, want.Height)
		}
	}
}

func TestCanvasesThatCannotBeAreRefusedBesideTheField(t *testing.T) {
	for _, typed := range []string{"0 x 70", "33", "33 x", "-3 x 4", "1e9 x 2", "a big one", "", "NaN x NaN", strings.Repeat("9", 500)} {
		b := atWork(t, 1)
		before := b.doc()
		b.Type("canvas", typed)
		if !reflect.DeepEqual(b.doc(), before) {
			t.Errorf("%q changed the study", typed)
		}
		f := b.Face()
		if f.Value["canvas"] != typed {
			t.Errorf("%q was taken out of the field: %q", typed, f.Value["canvas"])
		}
		if note := f.Text["canvas-note"]; !strings.Contains(note, " x ") || f.Says != note {
			t.Errorf("%q is refused with %q, and read aloud as %q: want an example", typed, note, f.Says)
		}
		b.Type("canvas", "20 x 16 in")
		if b.Face().Value["canvas"] != "20 x 16 in" || strings.Contains(b.Face().Text["canvas-note"], "example") {
			t.Errorf("after %q a good size leaves %q beside the field", typed, b.Face().Text["canvas-note"])
		}
	}
}

func TestSizeWithoutAUnitKeepsTheOneItWasReadIn(t *testing.T) {
	b := atWork(t, 1)
	b.press("unit")
	b.Type("canvas", "60 x 40")
	if c := b.doc().Canvas; !near(float64(c.Width), 600, 1e-9) || c.Typed != "60 x 40 cm" {
		t.Errorf("60 x 40, with centimetres shown, was kept as %+v", c)
	}
}

func TestMismatchOfTheCommonPractice(t *testing.T) {
	// Common practice, no source: a 4.75 x 10.1 in photograph and a 33 x 70 in
	// canvas both come to 0.47 and are near enough to line up. By hand: 70 *
	// 4.75/10.1 = 32.921 in, 0.079 in short of 33, which is 5/64 in.
	doc := study.New("x", study.Reference{Name: "x", Hash: strings.Repeat("0", 64), Bytes: 1, Width: 475, Height: 1010})
	b := newBench(t, 1)
	b.Show(doc, nil, true)
	b.Type("canvas", "33 x 70 in")
	b.wantText("photo-ratio", "0.47")
	b.wantText("canvas-ratio", "0.47")
	b.wantText("mismatch", "They line up: 5/64 in short at the far edge.")
	b.Type("canvas", "30 x 70 in")
	b.wantText("mismatch", "The photograph is 2 15/16 in long at the far edge; it is shown cropped to the canvas.")
	// It covers a canvas 70 in wide at 70 * 1010/475 = 148.84 in high, 118.84 more than 30.
	b.Type("canvas", "70 x 30 in")
	b.wantText("mismatch", "118 13/16 in of the photograph do not fit the canvas as they lie; with one of them turned it is 2 15/16 in long at the far edge. It is shown cropped.")
	if text := b.Face().Text["state-fit"]; !strings.HasSuffix(text, ", turned off by 2 15/16 in") {
		t.Errorf("above the picture stands %q", text)
	}
	b.Type("canvas", "70 x 33 in")
	if b.Face().Hidden["key-canvas-turn"] || !strings.Contains(b.Face().Text["canvas-note"], "turn") {
		t.Error("a canvas the other way round is not said")
	}
	if c := b.doc().Canvas; c.Width < c.Height {
		t.Error("a canvas the other way round was turned unasked")
	}
}

func TestEmptyEaselHoldsStill(t *testing.T) {
	b := newBench(t, 1)
	for name := range keys {
		if name != "plain" {
			b.press(name)
		}
	}
	b.press("step-1", "mark-1", "cycle-grey", "handsoff", "nonsense", "")
	b.tap(Touch, 100, 100)
	b.Wheel(1, 1, -100)
	if b.Key("ArrowLeft", false, false) || b.lock.on || len(b.kept) != 0 || b.redrawn != 0 {
		t.Error("an easel without a study did something")
	}
	if _, ok := b.Plan(); ok {
		t.Error("an easel without a study has a plan")
	}
	if f := b.Face(); !f.Hidden["study"] || f.Text["state-study"] != "" {
		t.Error("an easel whose study is still to come asks for one")
	}
	b.Started()
	if f := b.Face(); f.Hidden["study"] || f.Disabled["key-open"] || !f.Disabled["key-filter"] {
		t.Error("an easel without a study does not lead to opening one")
	}
	if math.IsNaN(float64(b.Face().Surround)) || b.Face().Surround != 119 {
		t.Errorf("the surround is %d, want the grey of lightness 50, code 119", b.Face().Surround)
	}
}

// What the page begins with comes without a bar that moves the picture, unless
// it takes long.
func TestTheStartIsQuiet(t *testing.T) {
	b := newBench(t, 1)
	b.Opening("fig.jpg", 0.1)
	if !b.Face().Hidden["message"] {
		t.Error("an opening is told at once while the page begins")
	}
	if wait := b.Tick(); wait != startQuietly {
		t.Errorf("the page looks again in %v, want %v", wait, startQuietly)
	}
	b.wait(startQuietly)
	b.wantText("message-text", "Opening fig.jpg: 10 %")
}
