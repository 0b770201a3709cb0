package easel

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/place"
)

func TestMarksOffTheCanvasSayIt(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-place")
	x, y := b.screenOf(place.PhotoPoint{X: 50, Y: 400})
	b.tap(Mouse, x, y)
	b.Type("canvas", "10 x 10 in")
	if note := b.Face().Text["place-note"]; !strings.Contains(note, "not on the canvas") || b.figures() != "hidden" {
		t.Errorf("a mark that is cut off reads %q, %q", b.figures(), note)
	}
	if k := b.Face().Marks[0]; k.Visible || !strings.Contains(k.Label, "not on the canvas") {
		t.Errorf("a mark that is cut off is shown: %+v", k)
	}
	b.press("undo")
	if b.figures() == "hidden" {
		t.Error("undoing the canvas did not bring the mark back onto it")
	}
}

func TestWithoutACanvasPlacesAskForOne(t *testing.T) {
	b := newBench(t, 1)
	b.Show(greysDoc(), greys(), true)
	b.press("tray-place")
	b.tap(Mouse, 450, 350)
	if note := b.Face().Text["place-note"]; !strings.Contains(note, "size of the canvas") || b.figures() != "hidden" {
		t.Errorf("without a canvas a mark reads %q, %q", b.figures(), note)
	}
	b.wantText("squint-strength", "Squint: what is under 1/40 of the long side runs together.")
}

func TestSquintIsSaidInCanvasUnits(t *testing.T) {
	b := atWork(t, 1)
	// 1/40 of 36 in is 0.9 in: 14.4 sixteenths, to the nearest 7/8 in.
	b.wantText("squint-strength", "Squint: what is under 7/8 in on the canvas runs together, as from 10 paces with half-closed eyes.")
	b.press("squint-more", "squint-more")
	b.wantText("squint-strength", "Squint: what is under 1 13/16 in on the canvas runs together, as from 21 paces with half-closed eyes.")
	if blur := b.doc().Look.Blur; !near(float64(blur), 1.8*25.4, 1e-9) || !b.doc().Look.Squint {
		t.Errorf("the squint is %v mm, want 1.8 in", blur)
	}
	for range 40 {
		b.press("squint-less")
	}
	if f := b.Face(); !f.Disabled["key-squint-less"] || f.Disabled["key-squint-more"] {
		t.Error("the weakest squint can be made weaker")
	}
	b.press("unit")
	b.wantText("squint-strength", "Squint: what is under 0.1 cm on the canvas runs together.")
}

func TestStepsFollowTheirKeys(t *testing.T) {
	b := atWork(t, 1)
	l := func() look.Look { return b.doc().Look }
	b.press("step-4")
	if l().Tone != look.Steps || l().Keep != look.KeepOnly || l().Step != 4 {
		t.Errorf("step 4 gave %+v", l())
	}
	b.press("darker")
	if l().Keep != look.KeepDarker || l().Step != 4 {
		t.Errorf("and all darker gave %+v", l())
	}
	if f := b.Face(); !f.Steps[3].Pressed || f.Steps[2].Pressed || !f.Pressed["key-darker"] || f.Pressed["key-only"] {
		t.Error("the keys do not show the step that is isolated")
	}
	b.press("step-2")
	if l().Keep != look.KeepDarker || l().Step != 2 {
		t.Errorf("step 2 gave %+v, want and all darker kept", l())
	}
	b.press("step-2")
	if l().Keep != look.KeepAll {
		t.Errorf("step 2 again gave %+v, want all steps", l())
	}
	b.press("more", "more", "more", "more", "more", "more")
	if l().Steps != 9 || !b.Face().Disabled["key-more"] {
		t.Errorf("more steps gave %d", l().Steps)
	}
	b.press("steps", "step-10", "step-0", "step-x")
	if l().Tone != look.Colour {
		t.Errorf("Steps pressed while on gave %+v, want full colour", l())
	}
	b.press("grey", "grey")
	if l().Tone != look.Colour {
		t.Errorf("Grey pressed twice gave %+v", l())
	}
}

func TestOldCountsAreIgnored(t *testing.T) {
	b := atWork(t, 1)
	b.Type("canvas", "10 x 10 in")
	n := len(b.counts)
	old, last := b.counts[n-2], b.counts[n-1]
	if old.ID == last.ID || old.Crop == last.Crop {
		t.Fatalf("another crop was not counted: %+v", b.counts)
	}
	eye, filter := histograms(greys(), old.Crop)
	b.Counted(old.ID, eye, filter)
	if b.Face().Steps[0].Share != "" {
		t.Error("shares of another crop are shown")
	}
	eye, filter = histograms(greys(), last.Crop)
	b.Counted(last.ID, eye, filter)
	if b.Face().Steps[0].Share == "" {
		t.Error("shares are not shown")
	}
}

func TestSurroundStaysGrey(t *testing.T) {
	b := atWork(t, 1)
	for range 20 {
		b.press("surround-lighter")
	}
	// Lightness 80 is Y 56.7 % (CIE 15), sRGB code 198.
	if p, _ := b.Plan(); b.Face().Surround != 198 || p.Surround.R != 198 || p.Surround.G != 198 || p.Surround.B != 198 {
		t.Errorf("the lightest surround is %d on the page and %v behind the picture", b.Face().Surround, p.Surround)
	}
}

func ExampleEasel_Face() {
	e := New(&bench{}, time.Now)
	e.Started()
	fmt.Println(e.Face().Text["state-study"])
	// Output: Open a photograph to begin.
}

// A step whose grey is the surround's own is not lost when it is isolated.
func TestSurroundStandsOffFromIsolatedSteps(t *testing.T) {
	for _, c := range []struct {
		keys []string
		want colour.Lightness
	}{
		{[]string{"step-1"}, 50},
		{[]string{"step-3"}, 35},
		{[]string{"step-3", "darker"}, 65},
		{[]string{"step-3", "lighter"}, 35},
		{[]string{"more", "step-5", "darker"}, 50}, // between two steps: lighter than all would glare
		{[]string{"step-3", "plain"}, 50},
	} {
		b := atWork(t, 1)
		for _, key := range c.keys {
			b.Press(key)
		}
		plan, _ := b.Plan()
		if want := colour.GreyOf(c.want); plan.Surround != want || b.Face().Surround != want.R {
			t.Errorf("after %v the surround is %v behind the picture and %d around it, want %v", c.keys, plan.Surround, b.Face().Surround, want)
		}
	}
}

// A bare size after one in feet is in inches: nobody says a canvas in bare feet.
func TestBareSizesAreInTheSmallUnit(t *testing.T) {
	b := atWork(t, 1)
	for _, c := range []struct{ first, then, want string }{
		{`2' 9" x 5' 10"`, "4 3/4 x 10.1", "4 3/4 x 10.1 in"},
		{"0.84 x 1.78 m", "84 x 178", "84 x 178 cm"},
	} {
		b.Type("canvas", c.first)
		b.Type("canvas", c.then)
		if got := b.doc().Canvas.Typed; got != c.want {
			t.Errorf("%q after %q is taken as %q, want %q", c.then, c.first, got, c.want)
		}
	}
}
