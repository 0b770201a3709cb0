package easel

import (
	"math"
	"reflect"
	"testing"
	"time"

	"maulstick/render/place"
	"maulstick/render/study"
)

// cropping has the greys on a canvas of 36 x 24 in and the crop in hand.
func cropping(t *testing.T, keys ...string) *bench {
	b := atWork(t, 1)
	b.press("tray-line")
	b.press(keys...)
	b.press("crop-hand")
	return b
}

func TestACropHeldToTheCanvasKeepsItsProportion(t *testing.T) {
	b := cropping(t)
	if !b.Face().Pressed["key-crop-hand"] {
		t.Error("the key does not show that the crop is in hand")
	}
	// Pulled by the bottom right corner by 300 and 50 pixels, the crop would be 900 wide or
	// 750 high. The larger pull leaves it smaller than the other one: 750 high, and since
	// the canvas is 3 to 2, 1125 wide.
	b.dragWhole(1200, 800, 900, 750)
	b.wantCrop("by its bottom right corner", 0, 0, 1125, 750)
	b.dragWhole(560, 370, 610, 400)
	b.wantCrop("moved by its middle", 50, 30, 1125, 750)
	b.dragWhole(560, 370, 900, 370)
	b.wantCrop("moved as far as the photograph goes", 75, 30, 1125, 750)
	// By the left edge the width alone is pulled; the height follows about its middle,
	// 405: 1050 wide is 700 high, from 55 to 755.
	b.dragWhole(75, 405, 150, 405)
	b.wantCrop("by its left edge", 150, 55, 1050, 700)
	for _, want := range [][4]float64{{75, 30, 1125, 750}, {50, 30, 1125, 750}, {0, 0, 1125, 750}, {0, 0, 1200, 800}} {
		b.press("undo")
		b.wantCrop("after Undo, once for each drag", want[0], want[1], want[2], want[3])
	}
	if b.doc().Own != (place.Crop{}) || b.Face().Disabled["key-crop-centred"] == false {
		t.Error("undone as far as it goes, the crop is still the painter's own")
	}
}

// freeCrop has a crop of 800 x 500 pixels from 200, 150 on, held to nothing.
func freeCrop(t *testing.T, keys ...string) *bench {
	b := cropping(t, append(keys, "hold-free")...)
	b.dragWhole(0, 0, 200, 150)
	b.dragWhole(1200, 800, 1000, 650)
	b.wantCrop("pulled by two corners", 200, 150, 800, 500)
	return b
}

// Every grip, taken by a finger, moves its own edges by as much as the finger moves, in
// whichever way the picture is seen: left on a mirrored screen is right on the
// photograph.
func TestEveryGripOfAFreeCrop(t *testing.T) {
	for _, keys := range [][]string{{}, {"mirror"}, {"turn"}, {"mirror", "turn"}} {
		for name, grip := range grips {
			b := freeCrop(t, keys...)
			// The grip is at 200, 600 or 1000 across and 150, 400 or 650 down.
			x, y := 600+400*float64(grip.X), 400+250*float64(grip.Y)
			b.dragWhole(x, y, x+30, y+20)
			want := map[string][4]float64{
				"middle": {230, 170, 800, 500},
				"left":   {230, 150, 770, 500}, "right": {200, 150, 830, 500},
				"top": {200, 170, 800, 480}, "bottom": {200, 150, 800, 520},
				"top-left": {230, 170, 770, 480}, "top-right": {200, 170, 830, 480},
				"bottom-left": {230, 150, 770, 520}, "bottom-right": {200, 150, 830, 520},
			}[name]
			b.wantCrop(name+" seen "+wayRound(b.doc().View), want[0], want[1], want[2], want[3])
		}
	}
	b := freeCrop(t, "mirror")
	// 1000 pixels across the photograph stand at 450 - 400 * 872/1200 = 159.3 CSS pixels
	// on the mirrored screen, left of the middle. A finger that moves from there by 29.07
	// to the right moves 40 pixels to the photograph's left.
	b.drag(1, 159.333, 350, 188.4, 350)
	if c := b.doc().Crop(); !near(c.X, 200, 1e-6) || !near(c.Width, 760, 0.01) {
		t.Errorf("the edge on the left of a mirrored screen moved the crop to %v", c)
	}
}

func TestTheWholePhotographIsSeenWhileItIsCropped(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-line", "hold-free", "crop-hand")
	b.dragWhole(1200, 800, 600, 400)
	b.press("crop-hand") // laid down again
	if plan, _ := b.Plan(); plan.Crop != b.doc().Crop() {
		t.Errorf("the crop laid down, %v is seen of %v", plan.Crop, b.doc().Crop())
	}
	b.wait(time.Second)
	b.Wheel(450, 350, -300)
	view := b.doc().View
	b.press("crop-hand")
	plan, _ := b.Plan()
	if plan.Crop != (place.Crop{Width: 1200, Height: 800}) || !near(plan.Panes[0].View.Scale, 872.0/1200, 1e-9) {
		t.Errorf("with the crop in hand %v is seen at %v", plan.Crop, plan.Panes[0].View.Scale)
	}
	b.press("crop-hand")
	if b.doc().View != view {
		t.Error("taking the crop in hand changed how closely the picture is seen")
	}
}

func TestAFingerOffTheCropDoesNotPullIt(t *testing.T) {
	b := freeCrop(t)
	before := b.doc()
	b.dragWhole(100, 60, 300, 300)
	if !reflect.DeepEqual(b.doc(), before) {
		t.Errorf("a finger far off the crop made it %v", b.doc().Crop())
	}
	// A second finger neither pulls nor zooms while all of the photograph is in sight.
	x, y := b.onWhole(600, 400)
	b.touch(Down, 1, x, y)
	b.touch(Down, 2, x+200, y)
	b.touch(Move, 2, x+300, y)
	b.touch(Up, 2, x+300, y)
	b.touch(Up, 1, x, y)
	if !reflect.DeepEqual(b.doc(), before) {
		t.Errorf("a second finger made the study %+v", b.doc())
	}
}

func TestACancelledDragPutsTheCropBack(t *testing.T) {
	b := freeCrop(t)
	for _, end := range []func(){
		func() { b.touch(Cancel, 1, 300, 300) },
		func() { b.Key("Escape", false, false); b.touch(Up, 1, 300, 300) },
		func() { b.Resize(800, 600, 1); b.touch(Up, 1, 300, 300); b.Resize(900, 700, 1) },
	} {
		x, y := b.onWhole(200, 150)
		b.wait(time.Second)
		b.touch(Down, 1, x, y)
		b.touch(Move, 1, x+50, y+50)
		if b.doc().Crop().X == 200 {
			t.Fatal("a finger did not pull the crop")
		}
		end()
		b.wantCrop("given up", 200, 150, 800, 500)
	}
	if b.tool.tool != cropper {
		t.Error("giving up a drag laid the crop down")
	}
}

// What changes the study while a finger pulls the crop stays.
func TestADragOfTheCropChangesNothingElse(t *testing.T) {
	b := freeCrop(t)
	x, y := b.onWhole(200, 150)
	b.touch(Down, 1, x, y)
	b.touch(Move, 1, x+10, y+10)
	b.Type("study-name", "heron")
	b.touch(Move, 1, x+20, y+20)
	b.touch(Up, 1, x+20, y+20)
	if b.doc().Name != "heron" || !near(b.doc().Crop().X, 200+20*1200.0/872, 1e-6) {
		t.Errorf("after a drag the study is called %q, its crop %v", b.doc().Name, b.doc().Crop())
	}
}

// A tool is laid down by its key, by another one, by another part, tray or study, by
// Escape and by Hands off.
func TestToolsAreLaidDown(t *testing.T) {
	for name, lay := range map[string]func(*bench){
		"its key":      func(b *bench) { b.press("level-line") },
		"another part": func(b *bench) { b.press("part-canvas") },
		"another tray": func(b *bench) { b.press("tray-place") },
		"Escape":       func(b *bench) { b.Key("Escape", false, false) },
		"Hands off":    func(b *bench) { b.press("handsoff") },
		"a study":      func(b *bench) { b.Show(greysDoc(), greys(), true) },
	} {
		b := atWork(t, 1)
		b.press("tray-line", "part-straighten", "level-line")
		if lay(b); b.tool.tool != noTool || b.Face().Pressed["key-level-line"] {
			t.Errorf("%s does not lay the tool down", name)
		}
		if name == "Escape" && b.doc().Tray != "line" {
			t.Error("Escape laid the tool down and closed the tray at once")
		}
	}
	b := atWork(t, 1)
	b.press("tray-line", "level-line", "plumb-line")
	if f := b.Face(); f.Pressed["key-level-line"] || !f.Pressed["key-plumb-line"] {
		t.Error("two tools are in hand")
	}
}

func TestTheMagnifiedRoundStandsBesideWhatIsDrawn(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-line", "part-straighten", "level-line")
	x, y := b.onWhole(300, 400)
	b.touch(Down, 1, x, y)
	b.touch(Move, 1, x+100, y+10)
	plan, _ := b.Plan()
	at := place.PhotoPoint{X: 300 + 100*1200.0/872, Y: 400 + 10*1200.0/872}
	if len(plan.Panes) != 2 || !plan.Panes[1].Round {
		t.Fatal("there is no round")
	}
	if c := plan.Panes[1].View.Centre; !near(c.X, at.X, 1e-6) || !near(c.Y, at.Y, 1e-6) {
		t.Errorf("the round shows %v, want the end of the line, %v", c, at)
	}
	if n := len(plan.Strokes); n != 1 || !near(plan.Strokes[0].From.X, 300, 1e-6) || plan.Strokes[0].To != plan.Panes[1].View.Centre {
		t.Errorf("what is drawn is seen as %+v", plan.Strokes)
	}
	b.touch(Cancel, 1, x, y)
	if plan, _ = b.Plan(); len(plan.Strokes) != 0 || len(plan.Panes) != 1 || len(b.righted) != 0 {
		t.Error("a cancelled line was not forgotten")
	}
}

func TestThePathOfTheEyeIsDrawn(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-line", "part-crossings", "eye-draw")
	b.wantText("crossings-note", "Draw on the picture how the eye is to go, from the focal point to the second one.")
	b.drag(1, 200, 200, 600, 300)
	d := b.doc()
	if len(d.Eye) != 1 {
		t.Fatalf("%d strokes were drawn", len(d.Eye))
	}
	// Ten moves of 41 CSS pixels each; 200, 200 is 250 and 150 CSS pixels from the middle
	// of the picture, and a CSS pixel is 1200/872 of the photograph's.
	k := 1200.0 / 872
	path := d.Eye[0]
	if first, last := path[0], path[len(path)-1]; len(path) != 12 ||
		!near(first.X, 600-250*k, 1e-6) || !near(first.Y, 400-150*k, 1e-6) || !near(last.X, 600+150*k, 1e-6) || !near(last.Y, 400-50*k, 1e-6) {
		t.Errorf("the path has %d places from %v to %v", len(path), first, last)
	}
	plan, _ := b.Plan()
	if len(plan.Strokes) != 11 || plan.Strokes[10].To != path[11] {
		t.Errorf("the path is drawn in %d strokes", len(plan.Strokes))
	}
	b.drag(1, 600, 300, 3000, 300) // off the picture: its edge is meant
	if d = b.doc(); len(d.Eye) != 2 || d.Eye[1][len(d.Eye[1])-1].X != 1200 {
		t.Errorf("a second stroke went to %v", d.Eye)
	}
	b.press("undo")
	if len(b.doc().Eye) != 1 {
		t.Error("Undo does not take one stroke back")
	}
	b.tap(Touch, 300, 300)
	if len(b.doc().Eye) != 1 {
		t.Error("a tap drew a path")
	}
	b.press("eye-clear")
	if plan, _ = b.Plan(); len(b.doc().Eye) != 0 || len(plan.Strokes) != 0 || !b.Face().Disabled["key-eye-clear"] {
		t.Error("the path was not wiped away")
	}
	b.press("undo")
	if len(b.doc().Eye) != 1 {
		t.Error("Undo does not bring the path back")
	}
}

func TestThePathOfTheEyeHasItsLimit(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-line", "part-crossings")
	long := study.EyePath{}
	for i := range study.MostEye - 5 {
		long = append(long, place.PhotoPoint{X: float64(i % 100)})
	}
	b.do(b.doc().WithEye(long), "")
	b.press("eye-draw")
	b.drag(1, 200, 200, 600, 300)
	if says := b.Face().Says; len(b.doc().Eye) != 1 || says != "This study holds no more of the path of the eye. Wipe it away to draw another." {
		t.Errorf("with no room left there are %d strokes, and it says %q", len(b.doc().Eye), says)
	}
}

func TestThePathOfTheEyeIsDrawnStraight(t *testing.T) {
	b := atWork(t, 1)
	b.press("tray-line", "part-crossings", "eye-straight")
	if says := b.Face().Says; says != "Give the picture a focal point and a second one first." || len(b.doc().Eye) != 0 {
		t.Errorf("without points it says %q", says)
	}
	b.press("part-lines", "use-thirds")
	b.setLines()
	b.press("part-crossings", "row-crossing-1", "focal-here", "row-crossing-4", "second-here", "eye-straight")
	// Thirds of 1200 x 800 cross at 400 and 800 across and 266 2/3 and 533 1/3 down.
	want := study.EyePath{{X: 400, Y: 800.0 / 3}, {X: 800, Y: 1600.0 / 3}}
	if eye := b.doc().Eye; len(eye) != 1 || len(eye[0]) != 2 || math.Hypot(eye[0][0].X-want[0].X, eye[0][0].Y-want[0].Y)+math.Hypot(eye[0][1].X-want[1].X, eye[0][1].Y-want[1].Y) > 1e-6 {
		t.Errorf("the path goes %v, want %v", eye, want)
	}
}
