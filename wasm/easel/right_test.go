package easel

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
)

// straightening has the greys on a canvas of 36 x 24 in, with marks at both ends of what
// should be level: 500 pixels across and 40 higher on the right.
func straightening(t *testing.T, keys ...string) *bench {
	b := atWork(t, 1)
	b.do(b.doc().WithMark(place.PhotoPoint{X: 200, Y: 400}, 1), "")
	b.do(b.doc().WithMark(place.PhotoPoint{X: 700, Y: 360}, 1), "")
	b.press("tray-line", "part-straighten")
	b.press(keys...)
	return b
}

// fall is how far the line between both marks falls to the right of level.
func (b *bench) fall() (dx, dy float64) {
	first, _ := b.doc().Mark(1)
	second, _ := b.doc().Mark(2)
	return second.X - first.X, second.Y - first.Y
}

// A line that rises 40 pixels over 500 is atan(0.08) = 4.5739 degrees off. The turned
// picture is just large enough for 1200 x 800 pixels: 1200 cos + 800 sin = 1196.18 +
// 63.80 = 1259.97 wide, and 800 cos + 1200 sin = 797.45 + 95.69 = 893.15 high.
func TestTheHorizonIsLevelled(t *testing.T) {
	for _, keys := range [][]string{{}, {"mirror"}, {"turn"}} {
		for _, ends := range [][4]float64{{200, 400, 700, 360}, {700, 360, 200, 400}} {
			b := straightening(t, append(keys, "level-line")...)
			b.wantText("straighten-note", "Draw along something that should be level, from end to end.")
			before := b.doc()
			b.dragWhole(ends[0], ends[1], ends[2], ends[3])
			if len(b.righted) != 1 || !near(float64(b.righted[0].Righting.Tilt), 4.5739, 1e-4) {
				t.Fatalf("the photograph is to be set right %d times, %+v", len(b.righted), b.righted)
			}
			if !reflect.DeepEqual(b.doc(), before) || b.tool.tool != noTool {
				t.Error("the study changed before there were pixels, or the line is still in hand")
			}
			if !b.setRightAsAsked() {
				t.Fatal("the new pixels were not taken")
			}
			if size := b.picture.Size(); size != (place.Pixels{Width: 1260, Height: 894}) || b.doc().Pixels() != size {
				t.Errorf("the picture is %v", size)
			}
			if dx, dy := b.fall(); !near(dy, 0, 1e-6) || !near(dx, math.Hypot(500, 40), 1e-6) {
				t.Errorf("the line now falls %v over %v pixels", dy, dx)
			}
			b.wantText("straighten-note", "The photograph is turned by 4.57° clockwise. Take it as it came to square it up.")
			b.wantValue("tilt", "4.57")
			if c := b.doc().Crop(); !turnOf(t, b.doc()).Holds(c) || !near(float64(c.Aspect()), 1.5, 1e-9) {
				t.Errorf("the crop is %v", c)
			}
		}
	}
}

func TestAnUprightIsMadePlumb(t *testing.T) {
	b := atWork(t, 1)
	b.do(b.doc().WithMark(place.PhotoPoint{X: 600, Y: 100}, 1), "")
	b.do(b.doc().WithMark(place.PhotoPoint{X: 640, Y: 600}, 1), "")
	b.press("tray-line", "part-straighten", "plumb-line")
	b.dragWhole(640, 600, 600, 100)
	// Its upper end leans 40 pixels to the left over 500: it is turned clockwise.
	if !near(float64(b.righted[0].Righting.Tilt), 4.5739, 1e-4) || !b.setRightAsAsked() {
		t.Fatalf("the photograph is to be turned by %v", b.righted[0].Righting.Tilt)
	}
	if dx, dy := b.fall(); !near(dx, 0, 1e-6) || !(dy > 0) {
		t.Errorf("the line now leans %v over %v pixels", dx, dy)
	}
	// A second line adds to the first: 1 degree further, tan(1 degree) = 0.017455.
	b.press("plumb-line")
	b.dragWhole(600-500*0.017455, 200, 600, 700)
	if got := float64(b.righted[1].Righting.Tilt); !near(got, 5.5739, 1e-3) {
		t.Errorf("after a second line the photograph is to be turned by %v in all", got)
	}
}

func TestLinesThatCannotBeLevelAreRefused(t *testing.T) {
	const short, steep = "Draw along it from end to end: ", "Straightening by a line along the horizon: it is over 45 degrees off"
	for _, c := range []struct {
		ends [4]float64
		says string
	}{
		{[4]float64{200, 400, 203, 403}, short}, // a finger that trembled
		{[4]float64{200, 400, 330, 400}, short}, // 94 CSS pixels
		{[4]float64{200, 100, 260, 700}, steep},
	} {
		b := straightening(t, "level-line")
		b.dragWhole(c.ends[0], c.ends[1], c.ends[2], c.ends[3])
		if text := b.Face().Text["message-text"]; len(b.righted) != 0 || !strings.HasPrefix(text, c.says) {
			t.Errorf("a line %v says %q and asks for %d pictures", c.ends, text, len(b.righted))
		}
	}
}

// What is said about something that was tried goes once the painter is at something
// else; that a file could not be opened stays until it is closed.
func TestMessagesDoNotOutliveWhatTheyAreAbout(t *testing.T) {
	for name, moveOn := range map[string]func(*bench){
		"another line": func(b *bench) { b.dragWhole(200, 400, 700, 400) },
		"another tool": func(b *bench) { b.press("plumb-line") },
		"another part": func(b *bench) { b.press("part-canvas") },
		"another tray": func(b *bench) { b.press("tray-place") },
		"Undo":         func(b *bench) { b.press("undo") },
	} {
		b := straightening(t, "level-line")
		b.dragWhole(200, 100, 260, 700)
		if b.Face().Hidden["message"] {
			t.Fatal("a steep line is not refused")
		}
		if moveOn(b); !b.Face().Hidden["message"] {
			t.Errorf("after %s the message is still there: %q", name, b.Face().Text["message-text"])
		}
		b.Refuse(errors.New("opening heron.txt: it is no photograph"))
		if moveOn(b); b.Face().Hidden["message"] {
			t.Errorf("after %s nothing says that a file could not be opened", name)
		}
	}
}

func TestTheTiltIsTyped(t *testing.T) {
	b := straightening(t)
	for typed, want := range map[string]place.Degrees{"1.5": 1.5, "-2,25": -2.25, " 3° ": 3, "45": 45} {
		b.Type("tilt", typed)
		if got := b.righted[len(b.righted)-1].Righting.Tilt; got != want || !b.setRightAsAsked() || b.doc().Righting.Tilt != want {
			t.Errorf("%q turns the photograph by %v, want %v", typed, got, want)
		}
	}
	b.Type("tilt", "-2")
	b.setRightAsAsked()
	b.wantText("straighten-note", "The photograph is turned by 2.00° anticlockwise. Take it as it came to square it up.")
	asked := len(b.righted)
	for _, typed := range []string{"46", "-45.1", "a little", "NaN", "Inf", "1 2"} {
		b.Type("tilt", typed)
		f := b.Face()
		if note := "Type degrees from -45 to 45, clockwise over 0, as in 1.5."; f.Text["right-note"] != note || f.Hidden["right-note"] || f.Says != note || f.Value["tilt"] != typed {
			t.Errorf("%q in the field %q is refused with %q", typed, f.Value["tilt"], f.Text["right-note"])
		}
	}
	if len(b.righted) != asked {
		t.Error("what was refused was asked for")
	}
	b.Type("tilt", "")
	if !b.setRightAsAsked() || !b.doc().Righting.None() || b.Face().Value["tilt"] != "" || !b.Face().Hidden["right-note"] {
		t.Errorf("nothing typed leaves the photograph set right as %+v", b.doc().Righting)
	}
	b.Type("tilt", "0")
	if len(b.righted) != asked+1 {
		t.Error("no other tilt was asked for")
	}
}

// tilted is a study turned by 5 degrees, and the picture from before.
func tilted(t *testing.T) (*bench, study.Document) {
	b := straightening(t)
	before := b.doc()
	b.Type("tilt", "5")
	if !b.setRightAsAsked() {
		t.Fatal("the pixels were not taken")
	}
	return b, before
}

func TestUndoAndRedoWaitForThePixels(t *testing.T) {
	b, before := tilted(t)
	after := b.doc()
	b.press("undo")
	if !reflect.DeepEqual(b.doc(), after) || len(b.righted) != 2 || !b.righted[1].Righting.None() {
		t.Fatalf("Undo changed the study before the pixels came, or asked for %+v", b.righted[1].Righting)
	}
	b.press("undo", "redo")
	if len(b.righted) != 2 {
		t.Error("a second Undo or a Redo was asked for meanwhile")
	}
	b.Easel.Righting(b.right.last, 0.376)
	if f := b.Face(); f.Text["line-finding"] != "Setting the photograph right: 38 %" || f.Hidden["line-asking"] {
		t.Errorf("it is told as %q", f.Text["line-finding"])
	}
	if !b.setRightAsAsked() || !b.doc().Righting.None() || b.picture.Size() != before.Pixels() {
		t.Errorf("undone the photograph is set right as %+v", b.doc().Righting)
	}
	if !reflect.DeepEqual(b.doc().Marks, before.Marks) || !b.Face().Hidden["line-asking"] {
		t.Error("undone the marks are elsewhere, or it is still told to be set right")
	}
	b.press("redo")
	if !b.doc().Righting.None() || b.righted[2].Righting.Tilt != 5 {
		t.Fatal("Redo did not ask for pixels first")
	}
	if !b.setRightAsAsked() || !reflect.DeepEqual(b.doc(), after) {
		t.Errorf("redone the study is %+v, want %+v", b.doc(), after)
	}
}

func TestEditsMeanwhileAreKept(t *testing.T) {
	b := straightening(t)
	b.Type("tilt", "5")
	b.Type("study-name", "heron")
	b.do(b.doc().WithMark(place.PhotoPoint{X: 600, Y: 400}, 1), "")
	if !b.setRightAsAsked() || b.doc().Name != "heron" || len(b.doc().Marks) != 3 {
		t.Fatalf("the study is %+v", b.doc())
	}
	// The middle of the photograph is the middle of the turned picture, 1266 x 902.
	if m := b.doc().Marks[2]; !near(m.X, 633, 1e-9) || !near(m.Y, 451, 1e-9) {
		t.Errorf("a mark placed meanwhile went to %s", describe(m))
	}
	// What was to be undone is no longer the step before: it stays.
	b.press("undo")
	b.Type("study-name", "egret")
	if b.setRightAsAsked() || b.doc().Name != "egret" || b.doc().Righting.Tilt != 5 || b.picture.Size() != (place.Pixels{Width: 1266, Height: 902}) {
		t.Errorf("an edit during an Undo left the study %+v", b.doc())
	}
}

func TestPixelsThatAreNotWantedAreNotTaken(t *testing.T) {
	refused := func(what string, b *bench, before study.Document, taken bool) {
		t.Helper()
		if taken || !reflect.DeepEqual(b.doc(), before) || b.picture != greys() {
			t.Errorf("%s: taken %v, the study is %+v", what, taken, b.doc().Righting)
		}
	}
	b := straightening(t)
	before := b.doc()
	b.Type("tilt", "5")
	first, size := b.right.last, b.right.size
	b.Type("tilt", "7")
	refused("an older request's", b, before, b.Righted(first, photo.New(size.Width, size.Height)))
	refused("none", b, before, b.Righted(b.right.last, nil))
	refused("of a wrong size", b, before, b.Righted(b.right.last, photo.New(size.Width, size.Height)))
	refused("a second time", b, before, b.setRightAsAsked())

	b.Type("tilt", "5")
	b.press("plot-stop")
	refused("after Stop", b, before, b.setRightAsAsked())
	if b.halts != 1 || !b.Face().Hidden["line-asking"] {
		t.Errorf("Stop was passed on %d times", b.halts)
	}
	b.press("plot-stop")
	if b.halts != 1 {
		t.Error("nothing was stopped again")
	}

	b.Type("tilt", "5")
	b.RightFailed(b.right.last-1, "too late")
	b.RightFailed(b.right.last, "this photograph does not fit into memory")
	b.wantText("message-text", "This photograph does not fit into memory.")
	refused("after a failure", b, before, b.setRightAsAsked())

	b.Type("tilt", "5")
	b.Show(greysDoc(), greys(), true)
	refused("of the study before", b, greysDoc(), b.setRightAsAsked())
	if b.halts != 2 {
		t.Error("another study did not stop what was made for the one before")
	}
}

// What was found about the pixels before is forgotten, and asked anew.
func TestNewPixelsAreCountedAnew(t *testing.T) {
	b := straightening(t)
	b.press("tray-value")
	b.count()
	counts, key := len(b.counts), b.PhotoKey()
	b.Type("tilt", "5")
	b.setRightAsAsked()
	if b.Easel.counts.known || len(b.counts) != counts+1 || b.PhotoKey() == key {
		t.Errorf("after new pixels %d counts were asked for, was %d; the photograph is known by %q", len(b.counts), counts, b.PhotoKey())
	}
}

func TestAFlatThingIsSquaredUp(t *testing.T) {
	b := newBench(t, 1)
	b.Show(greysDoc(), greys(), true)
	b.Filled()
	b.do(b.doc().WithMark(place.PhotoPoint{X: 10, Y: 10}, 1).WithMark(place.PhotoPoint{X: 600, Y: 400}, 1), "")
	b.press("tray-line", "part-straighten", "square-up", "corners", "square-up")
	note := "Type the size of the flat thing first, as in 8 x 10 in: its proportion cannot be told from the photograph."
	if f := b.Face(); f.Text["right-note"] != note || f.Says != note || len(b.righted) != 0 {
		t.Errorf("without a size it says %q", f.Text["right-note"])
	}
	for _, typed := range []string{"8", "x", "0 x 5 in"} {
		b.Type("flat-size", typed)
		if f := b.Face(); f.Hidden["right-note"] || f.Value["flat-size"] != typed || f.Text["right-note"] == "" {
			t.Errorf("%q in the field %q is refused with %q", typed, f.Value["flat-size"], f.Text["right-note"])
		}
	}
	b.Type("flat-size", "8 x 10 in")
	b.wantValue("flat-size", "8 x 10 in")
	for i, to := range []place.PhotoPoint{{X: 300, Y: 100}, {X: 800, Y: 140}, {X: 780, Y: 700}, {X: 320, Y: 760}} {
		from := b.tool.corners[i]
		b.dragWhole(from.X, from.Y, to.X, to.Y)
	}
	before := b.doc()
	b.press("square-up")
	if !reflect.DeepEqual(b.doc(), before) || len(b.righted) != 1 {
		t.Fatalf("squaring up changed the study at once, or was asked for %d times", len(b.righted))
	}
	if !b.setRightAsAsked() {
		t.Fatal("the pixels were not taken")
	}
	d := b.doc()
	size := d.Pixels()
	if got := float64(size.Width) / float64(size.Height); !near(got, 0.8, 1/float64(size.Height)) {
		t.Errorf("a thing of 8 x 10 in became a picture of %v", size)
	}
	// The corners of the thing are the picture's.
	h, _, _ := d.Righting.Forward(greys().Size())
	for i, want := range place.WholeCrop(size).Corners() {
		if p, ok := h.Apply(d.Righting.Corners[i]); !ok || math.Hypot(p.X-want.X, p.Y-want.Y) > 1e-6 {
			t.Errorf("corner %d went to %v, want %v", i, p, want)
		}
	}
	b.wantText("straighten-note", "The photograph is squared up to 8 x 10 in. Take it as it came to square it up otherwise.")
	b.wantText("message-text", "One mark lay outside of what is left, and went with it. Undo brings it back.")
	if len(d.Marks) != 1 || d.Marks[0].ID != 2 || !b.Face().Disabled["key-corners"] {
		t.Errorf("left are the marks %v", d.Marks)
	}
	b.Type("tilt", "1")
	b.setRightAsAsked()
	b.wantText("straighten-note", "The photograph is squared up to 8 x 10 in and turned by 1.00° clockwise. Take it as it came to square it up otherwise.")
	b.press("as-it-came")
	if !b.setRightAsAsked() || !b.doc().Righting.None() || b.picture.Size() != greys().Size() || !b.Face().Disabled["key-as-it-came"] {
		t.Errorf("as it came the photograph is set right as %+v", b.doc().Righting)
	}
	b.press("undo", "undo")
	if b.setRightAsAsked(); len(b.doc().Righting.Corners) != 4 {
		t.Error("Undo does not bring the squaring up back")
	}
}

func TestCornersThatNoRectangleHasAreRefused(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-line", "part-straighten", "corners")
	b.wantValue("flat-size", "36 x 24 in") // the canvas's, for want of another
	b.dragWhole(180, 120, 1100, 720)
	b.dragWhole(1020, 680, 100, 60)
	b.press("square-up")
	if text := b.Face().Text["message-text"]; len(b.righted) != 0 || !strings.HasPrefix(text, "Squaring up by four corners: they run round") && !strings.HasPrefix(text, "Squaring up by four corners: the outline") {
		t.Errorf("crossed corners say %q", text)
	}
	if b.tool.tool != cornerer {
		t.Error("refused corners were laid down")
	}
}
