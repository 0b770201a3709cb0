package easel

import (
	"reflect"
	"testing"

	"maulstick/render/place"
)

func TestGripsStandOnTheCrop(t *testing.T) {
	for _, keys := range [][]string{{}, {"mirror"}, {"turn"}} {
		b := freeCrop(t, keys...)
		f := b.Face()
		if len(f.Handles) != 9 || f.Handles[0].Name != "middle" {
			t.Fatalf("there are %d handles, the first %+v", len(f.Handles), f.Handles)
		}
		for _, h := range f.Handles {
			g := grips[h.Name]
			if x, y := b.onWhole(600+400*float64(g.X), 400+250*float64(g.Y)); !near(h.X, x, 1e-6) || !near(h.Y, y, 1e-6) {
				t.Errorf("seen %s the grip %s stands at %.2f, %.2f, want %.2f, %.2f", wayRound(b.doc().View), h.Name, h.X, h.Y, x, y)
			}
			if h.Label == "" {
				t.Errorf("the grip %s is not named", h.Name)
			}
		}
		// The crop is symmetrical in the photograph, 800 x 500 pixels about its middle, so
		// that its frame is the same however the picture is seen.
		k := 872.0 / 1200
		if r := f.Frame; r == nil || !near(r.X, 450-400*k, 1e-6) || !near(r.Y, 350-250*k, 1e-6) || !near(r.Width, 800*k, 1e-6) || !near(r.Height, 500*k, 1e-6) {
			t.Errorf("seen %s the crop's frame is %+v", wayRound(b.doc().View), r)
		}
		b.Press("plain")
		if f = b.Face(); len(f.Handles) != 0 || f.Frame != nil {
			t.Error("handles stand on the picture while Plain is held")
		}
		b.Release("plain")
		b.press("crop-hand")
		if f = b.Face(); len(f.Handles) != 0 || f.Frame != nil {
			t.Error("handles stay when the crop is laid down")
		}
	}
}

// A nudge goes in the screen's directions, by pixels of the photograph.
func TestNudgesOfGripsGoAsTheScreenDoes(t *testing.T) {
	for _, c := range []struct {
		keys        []string
		right, down float64 // on the photograph for 1 each on the screen
	}{{nil, 1, 1}, {[]string{"mirror"}, -1, 1}, {[]string{"turn"}, -1, -1}, {[]string{"mirror", "turn"}, 1, -1}} {
		for name, g := range grips {
			b := freeCrop(t, c.keys...)
			b.NudgeHandle(name, 3, 2)
			x, y, w, h := 200.0, 150.0, 800.0, 500.0
			switch dx := 3 * c.right; g.X {
			case -1:
				x, w = x+dx, w-dx
			case 1:
				w += dx
			}
			switch dy := 2 * c.down; g.Y {
			case -1:
				y, h = y+dy, h-dy
			case 1:
				h += dy
			}
			if name == "middle" {
				x, y = x+3*c.right, y+2*c.down
			}
			b.wantCrop(name+" nudged, seen "+wayRound(b.doc().View), x, y, w, h)
		}
	}
}

func TestARowOfNudgesIsOneStep(t *testing.T) {
	b := freeCrop(t)
	for range 5 {
		b.NudgeHandle("left", 1, 0)
	}
	b.NudgeHandle("top", 0, 1)
	b.wantCrop("nudged", 205, 151, 795, 499)
	b.press("undo")
	b.wantCrop("one Undo", 205, 150, 795, 500)
	b.press("undo")
	b.wantCrop("two", 200, 150, 800, 500)
	// Held to the canvas of 3 to 2, an edge takes the other sides with it about its middle:
	// 15 pixels more of width are 10 of height, 5 on either side.
	b = cropping(t)
	b.dragWhole(1200, 800, 1050, 700)
	b.dragWhole(500, 350, 530, 380)
	b.wantCrop("held", 30, 30, 1050, 700)
	b.NudgeHandle("right", 15, 0)
	b.wantCrop("nudged where it is held", 30, 25, 1065, 710)
}

func TestHandlesThatAreNotThereDoNothing(t *testing.T) {
	b := freeCrop(t)
	before := b.doc()
	for _, name := range []string{"", "corner-0", "middle ", "x"} {
		b.NudgeHandle(name, 5, 5)
	}
	b.press("crop-hand")
	b.NudgeHandle("left", 5, 0)
	if !reflect.DeepEqual(b.doc(), before) {
		t.Errorf("a handle that is not there made the study %+v", b.doc())
	}
}

func TestCornersAreMovedByFingerAndNudge(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-line", "part-straighten", "corners")
	b.wantText("straighten-note", "Put the corners on those of the flat thing, type its size, then square up.")
	// At first they stand 15 % in from every edge: 180 of 1200 and 120 of 800.
	at := func(i int) place.PhotoPoint { return b.tool.corners[i] }
	if at(0) != (place.PhotoPoint{X: 180, Y: 120}) || at(2) != (place.PhotoPoint{X: 1020, Y: 680}) {
		t.Fatalf("the corners stand at %v", b.tool.corners)
	}
	handles := b.Face().Handles
	if x, y := b.onWhole(1020, 120); len(handles) != 4 || !near(handles[1].X, x, 1e-6) || !near(handles[1].Y, y, 1e-6) || handles[1].Label != "Move the top right corner of the flat thing" {
		t.Errorf("the handles are %+v", handles)
	}
	if plan, _ := b.Plan(); len(plan.Strokes) != 4 || plan.Strokes[3].To != at(0) {
		t.Errorf("the corners are joined by %+v", plan.Strokes)
	}
	// The finger takes the nearest corner from where it is, so that it does not jump.
	b.dragWhole(200, 150, 240, 180)
	if p := at(0); !near(p.X, 220, 1e-6) || !near(p.Y, 150, 1e-6) {
		t.Errorf("dragged by 40 and 30 the top left corner is at %v", p)
	}
	b.dragWhole(1000, 700, 1300, 900)
	if p := at(2); p != (place.PhotoPoint{X: 1200, Y: 800}) {
		t.Errorf("dragged off the photograph the bottom right corner is at %v", p)
	}
	b.NudgeHandle("corner-1", -1, 2)
	if p := at(1); !near(p.X, 1019, 1e-6) || !near(p.Y, 122, 1e-6) {
		t.Errorf("nudged the top right corner is at %v", p)
	}
	b.press("mirror")
	b.NudgeHandle("corner-3", 1, 1)
	if p := at(3); !near(p.X, 179, 1e-6) || !near(p.Y, 681, 1e-6) {
		t.Errorf("nudged on a mirrored screen the bottom left corner is at %v", p)
	}
	b.NudgeHandle("corner-4", 1, 1)
	b.NudgeHandle("left", 1, 1)
	if b.doc().Own.Width > 0 {
		t.Error("moving corners changed the crop")
	}
}
