package easel

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"maulstick/render"
	"maulstick/render/look"
	"maulstick/render/photo"
)

// twoCameras are a tablet's.
var twoCameras = []CameraDevice{{"b", "Back"}, {"f", "Front"}}

// frames is a picture that a camera's frames come in.
func frames(width, height int) *photo.Pyramid {
	y := photo.NewPyramid(photo.New(width, height))
	y.Finish()
	return y
}

// atCamera has the greys on the easel and the camera part in sight, nothing asked yet.
func atCamera(t *testing.T) *bench {
	b := atWork(t, 1)
	b.press("tray-check")
	return b
}

// looking has the camera on, with frames of 1280 x 720 pixels.
func looking(t *testing.T) *bench {
	b := atCamera(t)
	b.press("camera-look")
	b.opens("b", frames(1280, 720))
	return b
}

// opens answers the newest Camera as a browser does.
func (b *bench) opens(device string, y *photo.Pyramid) {
	b.t.Helper()
	if len(b.cameras) == 0 {
		b.t.Fatal("no camera was asked for")
	}
	id := b.cameras[len(b.cameras)-1].id
	b.CameraOpened(id, device, twoCameras)
	b.CameraFrame(id, y)
}

// cameraPanes are the panes on the screen, first those that are not the camera's.
func (b *bench) seenPanes() (others, cameras []render.Pane) {
	plan, _ := b.Plan()
	for _, pane := range plan.Panes {
		if pane.Other.Pyramid != nil && pane.Other.Pyramid == b.camera.picture {
			cameras = append(cameras, pane)
		} else {
			others = append(others, pane)
		}
	}
	return others, cameras
}

// Nothing is asked of the browser before its key is pressed; then the live picture stands
// beside the reference under the same look, or in its place.
func TestTheCameraIsSeenBesideTheReference(t *testing.T) {
	b := atCamera(t)
	if len(b.cameras) != 0 || b.Face().Hidden["check"] || !b.Face().Disabled["key-camera-freeze"] || !b.Face().Disabled["key-camera-log"] {
		t.Fatalf("before its key is pressed %d cameras were asked for", len(b.cameras))
	}
	b.press("camera-look")
	if len(b.cameras) != 1 || b.cameras[0].device != "" || b.Watching() {
		t.Fatalf("asked for are %+v", b.cameras)
	}
	b.wantText("camera-note", "The browser may ask whether this page may use the camera: allow it. What the camera sees stays on this tablet.")
	b.CameraOpened(b.camera.last, "b", twoCameras)
	b.wantText("camera-note", "The camera is starting.")
	if others, cameras := b.seenPanes(); len(cameras) != 0 || others[0].At.Width != 900 || !b.Watching() {
		t.Errorf("before the first frame there are %+v and %+v", others, cameras)
	}
	y := frames(1280, 720)
	b.CameraFrame(b.camera.last, y)
	b.press("filter", "mirror", "squint")
	others, cameras := b.seenPanes()
	if len(others) != 1 || len(cameras) != 1 || others[0].At.Width != 450 || cameras[0].At != (render.Rect{X: 450, Width: 450, Height: 700}) {
		t.Fatalf("beside each other there are %+v and %+v", others, cameras)
	}
	c := cameras[0]
	if !c.Other.Live || c.Look != others[0].Look || !c.Look.Filter || !c.Look.Squint || !c.View.Mirror || c.Other.Crop.Width != 1280 || c.Other.Pyramid != y {
		t.Errorf("the live picture is %+v", c)
	}
	b.wantText("camera-which", "Back, 1280 x 720 pixels; camera 1 of 2.")
	if says := b.Face().Text["state-study"]; !strings.HasSuffix(says, "beside the live picture") {
		t.Errorf("above the picture it says %q", says)
	}
	b.press("camera-place")
	others, cameras = b.seenPanes()
	if len(others) != 0 || len(cameras) != 1 || cameras[0].At != (render.Rect{Width: 900, Height: 700}) || !b.Face().Pressed["key-camera-place"] {
		t.Errorf("in its place there are %+v and %+v", others, cameras)
	}
	b.press("camera-place", "camera-look")
	if others, cameras = b.seenPanes(); len(others) != 1 || others[0].At.Width != 900 || len(cameras) != 0 || b.lights != 1 || b.Watching() {
		t.Errorf("switched off %d times, there are %+v and %+v", b.lights, others, cameras)
	}
}

// A finger on the live picture, its key and Enter freeze it and let it go; a palm beside a
// pen, a second finger and the second of two taps do not. Nothing of it is a step to undo.
func TestTheLivePictureIsFrozen(t *testing.T) {
	b := looking(t)
	before := b.doc()
	frozen := func(what string, want bool) {
		t.Helper()
		_, cameras := b.seenPanes()
		if b.camera.frozen != want || len(cameras) != 1 || cameras[0].Other.Live == want || b.Watching() == want || b.Face().Pressed["key-camera-freeze"] != want {
			t.Errorf("%s: frozen is %v, the pane is %+v", what, b.camera.frozen, cameras)
		}
	}
	b.tap(Touch, 700, 350)
	frozen("a finger on it", true)
	b.wantText("camera-note", "Frozen. Put it into the log as a photograph of the canvas, or touch it to look again.")
	b.tap(Touch, 700, 350)
	frozen("a finger again", false)
	b.wantText("camera-note", "Touch the live picture to freeze it. The camera sets its own exposure: compare values within one picture, not between two.")
	b.tap(Touch, 200, 350)
	frozen("a finger on the reference", false)
	b.clock = b.clock.Add(time.Second)
	for i := range 2 {
		b.touch(Down, 40+i, 700, 350)
	}
	for i := range 2 {
		b.touch(Up, 40+i, 700, 350)
	}
	frozen("two fingers", true)
	b.press("camera-freeze")
	frozen("its key", false)
	if !b.Key("Enter", false, false) || !b.Key("Enter", false, true) == false {
		t.Error("Enter means nothing, or a held one does")
	}
	frozen("Enter", true)
	b.Key("Escape", false, false)
	frozen("Escape", false)
	b.clock = b.clock.Add(time.Second)
	b.Pointer(Pointer{Kind: Down, ID: 7, Device: Pen, X: 200, Y: 300})
	b.touch(Down, 8, 700, 350)
	frozen("a palm", false)
	b.Pointer(Pointer{Kind: Up, ID: 7, Device: Pen, X: 200, Y: 300})
	if !reflect.DeepEqual(b.doc(), before) {
		t.Errorf("the study became %+v", b.doc())
	}
}

// Behind a frozen picture the camera goes off after a minute; touched, it is asked for
// again, and the frozen picture stays until the first frame.
func TestTheCameraRestsBehindAFrozenPicture(t *testing.T) {
	b := looking(t)
	was := b.camera.picture
	b.press("camera-freeze")
	b.wait(59 * time.Second)
	if b.lights != 0 {
		t.Fatal("the camera goes off too soon")
	}
	b.wait(2 * time.Second)
	if _, cameras := b.seenPanes(); b.lights != 1 || len(cameras) != 1 {
		t.Fatalf("after a minute it was switched off %d times, there are %+v", b.lights, cameras)
	}
	b.wantText("camera-note", "Frozen, and the camera is off meanwhile. Touch the picture to look again.")
	b.tap(Touch, 700, 350)
	if len(b.cameras) != 2 || b.cameras[1].device != "b" || b.camera.picture != was || b.Watching() {
		t.Fatalf("touched, cameras asked for are %+v", b.cameras)
	}
	b.opens("b", frames(640, 480))
	if _, cameras := b.seenPanes(); len(cameras) != 1 || !cameras[0].Other.Live || cameras[0].Other.Crop.Width != 640 {
		t.Errorf("live again there are %+v", cameras)
	}
}

// Wherever its picture cannot be seen the camera is off, and stays off when one comes
// back: what a browser still answers to what was asked before is ignored.
func TestTheCameraIsOffWhereItIsNotSeen(t *testing.T) {
	for what, leave := range map[string]func(b *bench){
		"another tray":     func(b *bench) { b.press("tray-value") },
		"no tray":          func(b *bench) { b.press("tray-check") },
		"the page hidden":  func(b *bench) { b.Leave(); b.Return() },
		"hands off":        func(b *bench) { b.press("handsoff") },
		"another study":    func(b *bench) { b.Show(b.doc(), greys(), true) },
		"its key":          func(b *bench) { b.press("camera-look") },
		"Escape":           func(b *bench) { b.Key("Escape", false, false) },
		"it is taken away": func(b *bench) { b.CameraFailed(b.cameras[0].id, CameraTaken, "") },
	} {
		for _, begin := range []func(*testing.T) *bench{looking, func(t *testing.T) *bench {
			b := atCamera(t)
			b.press("camera-look")
			return b
		}} {
			b := begin(t)
			asked := b.cameras[0].id
			leave(b)
			b.CameraOpened(asked, "b", twoCameras)
			b.CameraFrame(asked, frames(640, 480))
			b.CameraSilent(asked, true)
			if _, cameras := b.seenPanes(); b.lights != 1 || b.Watching() || b.camera.picture != nil || len(cameras) != 0 {
				t.Errorf("%s: switched off %d times, wanted are frames %v, there are %+v", what, b.lights, b.Watching(), cameras)
			}
		}
	}
	b := looking(t)
	b.Leave()
	b.Return()
	b.wantText("camera-note", "The camera was let go when the page went out of sight. Press Look through it to look on.")
	b.press("tray-value", "tray-check")
	b.wantText("camera-note", "Stand where you see the canvas, and look through the camera. The browser asks you first; what the camera sees stays on this tablet.")
}

// Each way in which a browser refuses a camera has words, with what to do. The names are
// those of Media Capture and Streams (W3C), 10.3, and of Permissions (W3C) for the states.
func TestWhyThereIsNoCamera(t *testing.T) {
	for _, c := range []struct {
		name       string
		secure     bool
		allowed    bool
		permission string
		want       NoCamera
		says       string
	}{
		{"", false, true, "", CameraInsecure, "https"},
		{"", true, true, "", CameraMissing, "up to date"},
		{"NotAllowedError", true, false, "denied", CameraForbidden, "camera=(self)"},
		{"SecurityError", true, true, "", CameraForbidden, "rule"},
		{"NotAllowedError", true, true, "denied", CameraDenied, "settings"},
		{"NotAllowedError", true, true, "granted", CameraDenied, "tablet's settings"},
		{"NotAllowedError", true, true, "", CameraDenied, "settings"},
		{"NotAllowedError", true, true, "prompt", CameraUnheard, "not answered"},
		{"NotFoundError", true, true, "granted", CameraNone, "No camera"},
		{"NotReadableError", true, true, "granted", CameraBusy, "another program"},
		{"AbortError", true, true, "granted", CameraBusy, "another program"},
		{"OverconstrainedError", true, true, "granted", CameraUnfit, "not there any more"},
		{"InvalidStateError", true, true, "granted", CameraUnknown, "no frame"},
	} {
		why := WhyNoCamera(c.name, c.secure, c.allowed, c.permission)
		if why != c.want {
			t.Errorf("%+v: the reason is %d", c, why)
		}
		b := atCamera(t)
		b.press("camera-look")
		b.CameraFailed(b.camera.last, why, "no frame")
		note := b.Face().Text["camera-note"]
		if !strings.Contains(note, c.says) || b.Face().Says != note || b.Face().Pressed["key-camera-look"] {
			t.Errorf("%+v: the page says %q", c, note)
		}
		b.press("camera-look")
		if len(b.cameras) != 2 || b.cameras[1].device != "" {
			t.Errorf("%+v: pressed again, cameras asked for are %+v", c, b.cameras)
		}
	}
	for why := CameraUnknown; why <= CameraNoise; why++ {
		if text := why.words(""); len(strings.Fields(text)) < 10 || !strings.HasSuffix(text, ".") {
			t.Errorf("reason %d says %q", why, text)
		}
	}
}

// A camera that is taken away while its picture is frozen leaves that; one that sends
// nothing for a while says so.
func TestTheCameraIsTakenAway(t *testing.T) {
	b := looking(t)
	b.CameraSilent(b.camera.last, true)
	b.wantText("camera-note", "The camera sends nothing just now: another program may have taken it, or a switch covers it. It goes on by itself.")
	b.CameraSilent(b.camera.last, false)
	b.press("camera-freeze")
	b.CameraFailed(b.camera.last, CameraTaken, "")
	b.wantText("camera-note", "The camera was taken away: unplugged, or the leave to use it withdrawn. Press Look through it to ask for it again.")
	if _, cameras := b.seenPanes(); len(cameras) != 1 || b.Face().Disabled["key-camera-log"] {
		t.Errorf("what was frozen is %+v", cameras)
	}
}

// One camera follows the other, and a chosen one that is gone is not asked for again.
func TestAnotherCamera(t *testing.T) {
	b := looking(t)
	b.press("camera-other")
	if last := b.cameras[len(b.cameras)-1]; last.device != "f" || !b.Face().Disabled["key-camera-other"] {
		t.Fatalf("asked for is %+v", last)
	}
	b.opens("f", frames(640, 480))
	b.wantText("camera-which", "Front, 640 x 480 pixels; camera 2 of 2.")
	b.press("camera-look", "camera-look")
	if last := b.cameras[len(b.cameras)-1]; last.device != "f" {
		t.Errorf("looked through again, asked for is %+v", last)
	}
	b.CameraFailed(b.camera.last, CameraUnfit, "")
	b.press("camera-look")
	if last := b.cameras[len(b.cameras)-1]; last.device != "" {
		t.Errorf("after the chosen one is gone, asked for is %+v", last)
	}
	b = looking(t)
	b.CameraOpened(b.camera.last, "b", nil)
	b.camera.all = twoCameras[:1]
	if b.press("camera-other"); len(b.cameras) != 1 || !b.Face().Disabled["key-camera-other"] {
		t.Errorf("of one camera another is asked for: %+v", b.cameras)
	}
}

// What is frozen goes into the log as a photograph of the canvas, under the time.
func TestAFrozenFrameGoesIntoTheLog(t *testing.T) {
	b := looking(t)
	if b.press("camera-log"); len(b.frames) != 0 {
		t.Fatal("a frame goes into the log that is not frozen")
	}
	b.press("camera-freeze", "camera-log")
	if len(b.frames) != 1 || b.frame != b.camera.picture.Picture() || b.frames[0] != "camera "+b.clock.Format("2006-01-02 15-04-05")+".png" {
		t.Fatalf("given to the log are %q", b.frames)
	}
	b.Logged(cloud(1))
	b.wantText("camera-note", "Written down, with the photograph of the canvas.")
	if log := b.doc().Log; len(log) != 1 || log[0].Photograph.Hash != cloud(1).Hash {
		t.Errorf("the log is %+v", log)
	}
	b.press("camera-freeze")
	b.wantText("camera-note", "Touch the live picture to freeze it. The camera sets its own exposure: compare values within one picture, not between two.")
}

// The keys for looks work here, and a touch on the reference picks its step.
func TestLooksAtTheCamera(t *testing.T) {
	b := looking(t)
	b.press("grey")
	if !b.Face().Pressed["camera-grey"] {
		t.Error("grey does not show that it is on")
	}
	b.press("steps")
	b.tap(Touch, 225, 350) // the middle one of nine bands
	_, cameras := b.seenPanes()
	if l := cameras[0].Look; l.Tone != look.Steps || l.Keep != look.KeepOnly || l.Step == 0 || !b.Face().Pressed["camera-only"] {
		t.Errorf("a touch on the reference has the camera under %+v", l)
	}
	b.press("only")
	if l := b.doc().Look; l.Keep != look.KeepAll {
		t.Errorf("all steps again is %+v", l)
	}
}
