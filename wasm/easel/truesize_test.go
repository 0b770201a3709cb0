package easel

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"maulstick/render/place"
)

// sized has the greys on a canvas of 36 x 24 in and the Place tray open at its size.
func sized(t *testing.T, dpr float64) *bench {
	b := atWork(t, dpr)
	b.press("tray-place", "part-size")
	return b
}

// inch is how many CSS pixels an inch of the canvas has on the screen: 33 1/3 pixels of
// the photograph, as the plan shows them.
func (b *bench) inch() float64 {
	plan, _ := b.Plan()
	v := plan.Panes[0].View
	x0, _ := v.ToScreen(place.PhotoPoint{X: 300, Y: 400})
	x1, _ := v.ToScreen(place.PhotoPoint{X: 300 + 100.0/3, Y: 400})
	return math.Abs(x1-x0) / b.dpr
}

// A CSS pixel is 1/96 in by definition (CSS Values and Units Module Level 4, 6.2). Until
// the screen is calibrated it is taken to be.
func TestTheCanvasIsShownAtItsTrueSize(t *testing.T) {
	for _, dpr := range []float64{1, 2} {
		for name, want := range map[string]float64{"1": 96, "2": 48, "4": 24, "8": 12} {
			b := sized(t, dpr)
			b.press("size-" + name)
			if got := b.inch(); !near(got, want, 1e-6) || !b.Face().Pressed["key-size-"+name] {
				t.Errorf("at 1/%s an inch of canvas has %v CSS pixels, want %v", name, got, want)
			}
			text := map[string]string{"1": "the true size", "2": "half the true size", "4": "a quarter of the true size", "8": "an eighth of the true size"}[name]
			b.wantText("size-note", "Seen at "+text+", if the screen is as browsers take it: calibrate it.")
			b.press("mirror")
			if got := b.inch(); !near(got, want, 1e-6) {
				t.Errorf("mirrored an inch of canvas has %v CSS pixels", got)
			}
			b.press("size-fit")
			if !b.doc().View.Fit {
				t.Error("Fit does not show the whole picture")
			}
		}
	}
}

func TestACalibratedScreenShowsTheTrueSize(t *testing.T) {
	b := sized(t, 2)
	b.Calibrated(5) // CSS pixels a millimetre
	b.press("size-2")
	if got := b.inch(); !near(got, 25.4*5/2, 1e-6) {
		t.Errorf("at half size an inch of canvas has %v CSS pixels, want 63.5", got)
	}
	b.wantText("size-note", "Seen at half the true size.")
	if b.pixels != 0 {
		t.Error("what the page said was kept is to be kept again")
	}
	for _, wrong := range []float64{0, -5, 0.5, 50, math.NaN(), math.Inf(1)} {
		if b.Calibrated(wrong); b.screenPixels() != 5 {
			t.Errorf("%v CSS pixels a millimetre were believed", wrong)
		}
	}
	b.press("size-1") // 127 CSS pixels an inch
	b.Wheel(450, 350, -200)
	want := fmt.Sprintf("Seen at %.3g %% of the canvas's true size.", 100*b.inch()/127)
	if b.wantText("size-note", want); b.Face().Pressed["key-size-1"] {
		t.Error("seen closer, the true size is said to be seen")
	}
}

// A bank card is 85.60 x 53.98 mm (ISO/IEC 7810:2019, ID-1).
func TestTheScreenIsCalibratedByACard(t *testing.T) {
	b := sized(t, 1)
	// 96/25.4 CSS pixels a millimetre: 323.53 and 204.02.
	if card := b.Face().Card; !near(card[0], 323.53, 0.005) || !near(card[1], 204.02, 0.005) {
		t.Errorf("at first the card is %v", card)
	}
	b.wantValue("card-width", "323.5")
	before := b.doc()
	b.Type("card-width", "400")
	if card := b.Face().Card; !near(card[0], 400, 1e-9) || !near(card[1], 400*53.98/85.60, 1e-9) || !near(b.pixels, 400/85.60, 1e-9) {
		t.Errorf("as wide as typed the card is %v, kept are %v CSS pixels a millimetre", card, b.pixels)
	}
	b.press("card-wider", "card-wider", "card-narrower")
	if card := b.Face().Card; !near(card[0], 400.5, 1e-9) || !near(b.pixels, 400.5/85.60, 1e-9) {
		t.Errorf("half a pixel wider the card is %v", card)
	}
	if !reflect.DeepEqual(b.doc(), before) { // it is the screen's, not the study's
		t.Error("calibrating changed the study")
	}
	b.press("size-1")
	if got := b.inch(); !near(got, 25.4*400.5/85.60, 1e-6) {
		t.Errorf("an inch of canvas has %v CSS pixels", got)
	}
	for _, typed := range []string{"", "x", "NaN", "1e999"} {
		if b.Type("card-width", typed); !near(b.Face().Card[0], 400.5, 1e-9) {
			t.Errorf("%q made the card %v", typed, b.Face().Card)
		}
	}
	for typed, want := range map[string]float64{"-9": 323.5275591 / 3, "99999": 323.5275591 * 3} {
		if b.Type("card-width", typed); !near(max(b.Face().Card[0], b.Face().Card[1]), want, 1e-6) {
			t.Errorf("%q made the card %v, want it no further off than %v", typed, b.Face().Card, want)
		}
	}
	b.Type("card-width", "400")
	b.Show(greysDoc(), greys(), true)
	if !near(b.Face().Card[0], 400, 1e-9) {
		t.Error("another study forgot how large the screen's pixels are")
	}
}

// A card that does not fit lying stands upright: on a phone of 163 pixels an inch, or a
// tablet held upright of 132.
func TestTheCardStandsWhereItCannotLie(t *testing.T) {
	for _, c := range []struct {
		width  int // CSS pixels of the page
		inch   float64
		stands bool
	}{{390, 163, true}, {390, 96, false}, {820, 132, true}, {1180, 132, false}} {
		b := sized(t, 1)
		b.Resize(c.width, 400, 2)
		b.Calibrated(c.inch / 25.4)
		f := b.Face()
		long, short := c.inch*85.60/25.4, c.inch*53.98/25.4
		want := [2]float64{long, short}
		if c.stands {
			want = [2]float64{short, long}
		}
		if !near(f.Card[0], want[0], 1e-6) || !near(f.Card[1], want[1], 1e-6) || strings.Contains(f.Text["card-note"], "upright") != c.stands {
			t.Errorf("%d pixels wide, %v an inch, the card is %v: %s", c.width, c.inch, f.Card, f.Text["card-note"])
		}
		if room := float64(c.width); f.Card[0] > room {
			t.Errorf("the card is %v wide where there are %v", f.Card[0], room)
		}
	}
}

// A true size that is smaller than the picture fits stays under fingers and wheel.
func TestATrueSizeSmallerThanFittingStays(t *testing.T) {
	b := sized(t, 1)
	b.press("size-8") // 432 x 288 CSS pixels in 900 x 700
	b.drag(1, 450, 350, 500, 380)
	if got := b.inch(); !near(got, 12, 1e-6) {
		t.Errorf("moved by a finger an inch has %v CSS pixels, want 12", got)
	}
	x, y := b.viewport().ToScreen(middle)
	b.Wheel(x, y, 400)
	if x1, y1 := b.viewport().ToScreen(middle); !near(b.inch(), 12, 1e-6) || !near(x1, x, 1e-6) || !near(y1, y, 1e-6) {
		t.Errorf("moved away an inch has %v CSS pixels, and the middle went from %v, %v to %v, %v", b.inch(), x, y, x1, y1)
	}
	b.touch(Down, 1, 400, 350)
	b.touch(Down, 2, 500, 350)
	b.touch(Move, 2, 600, 350)
	if got := b.inch(); !near(got, 24, 1e-6) {
		t.Errorf("pinched to twice the size an inch has %v CSS pixels", got)
	}
	b.touch(Up, 2, 600, 350)
	b.touch(Up, 1, 400, 350)
	again := b.reopened(t, greys())
	if !near(again.inch(), b.inch(), 1e-6) {
		t.Error("reopened the picture is seen at another size")
	}
	if b.Key("0", false, false); !b.doc().View.Fit {
		t.Error("the picture does not fit again")
	}
}

func TestWithoutACanvasThereIsNoTrueSize(t *testing.T) {
	b := newBench(t, 1)
	b.Show(greysDoc(), greys(), true)
	b.press("tray-place", "part-size", "size-1")
	b.wantText("size-note", "Type the size of the canvas under Line first.")
	if !b.doc().View.Fit || !b.Face().Disabled["key-size-1"] || b.Face().Disabled["key-size-fit"] {
		t.Error("a canvas of no size was shown at its size")
	}
}

// With a margin, what is painted has its true size: 33 in of 36 are 1200 pixels wide.
func TestTheTrueSizeIsOfWhatIsPainted(t *testing.T) {
	b := sized(t, 1)
	b.Type("margin", "1 1/2 in")
	b.press("size-1")
	plan, _ := b.Plan()
	if got, want := plan.Panes[0].View.Scale, 33*96.0/1200; !near(got, want, 1e-9) {
		t.Errorf("a pixel of the photograph has %v CSS pixels, want %v", got, want)
	}
}

// A tray that opens or closes makes the picture's area another, and leaves the canvas
// at the size that it is shown at, until the painter zooms.
func TestTheTrueSizeOutlastsTrays(t *testing.T) {
	b := atWork(t, 1)
	b.press("size-4")
	part := b.seenPart()
	if !near(part, 0.25, 1e-9) {
		t.Fatalf("a quarter of the true size is %v of it", part)
	}
	b.Resize(900, 400, 1)
	if got := b.seenPart(); !near(got, part, 1e-9) {
		t.Errorf("in a lower area the canvas is seen at %v of its size", got)
	}
	b.Wheel(450, 200, -100)
	zoomed := b.seenPart()
	b.Resize(900, 700, 1)
	if got := b.seenPart(); near(got, part, 1e-3) || near(zoomed, part, 1e-3) {
		t.Errorf("zoomed, the canvas is seen at %v and then at %v of its size", zoomed, got)
	}
}
