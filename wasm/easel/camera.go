package easel

import (
	"fmt"
	"slices"
	"time"

	"maulstick/render"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
)

// CameraDevice is one of the tablet's cameras. Browsers name cameras only to a page that
// may use them.
type CameraDevice struct{ ID, Name string }

// lens is how far the camera is.
type lens int

const (
	lensOff   lens = iota
	lensAsked      // the browser has been asked, and may be asking the painter
	lensOn
)

// camera is what is seen through one of the tablet's cameras: no part of the study.
type camera struct {
	lens    lens
	last    int            // the number of the newest Camera
	why     string         // it is off, in sentences; "" where nothing is wrong
	on      string         // the device that is on, or was last
	all     []CameraDevice // that there are
	picture *photo.Pyramid // overwritten by every frame; nil before the first
	silent  bool           // it is on and sends nothing
	frozen  bool
	since   time.Time // it was frozen
	touched time.Time // the live picture was, last
	inPlace bool      // of the reference, else beside it
	logging bool      // the log is being given a frozen frame
}

func init() {
	for name, do := range map[string]func(*Easel){
		"camera-look":   (*Easel).pressCamera,
		"camera-freeze": (*Easel).freeze,
		"camera-place":  (*Easel).placeCamera,
		"camera-other":  (*Easel).otherCamera,
		"camera-log":    (*Easel).logFrame,
	} {
		keys[name] = do
	}
}

// onCamera says whether the part about the camera is in sight: only then is one on.
func (e *Easel) onCamera() bool {
	d := e.doc()
	return e.history != nil && d.Tray == study.TrayCheck && d.Parts.Check == "camera" && !e.lock.on
}

// throughCamera says whether there is a picture of the camera's on the screen.
func (e *Easel) throughCamera() bool { return e.camera.picture != nil && e.onCamera() }

// Watching says whether frames of the camera are wanted.
func (e *Easel) Watching() bool { return e.camera.lens == lensOn && !e.camera.frozen }

// pressCamera asks for the camera, or lets go of it and of what is frozen.
func (e *Easel) pressCamera() {
	if e.camera.lens == lensOff && e.camera.picture == nil {
		e.askCamera(e.camera.on)
		return
	}
	e.dropCamera("")
}

// askCamera asks for a camera by its device, "" for one at the back.
func (e *Easel) askCamera(device string) {
	c := &e.camera
	c.last++
	c.lens, c.why, c.silent, c.frozen, c.logging = lensAsked, "", false, false, false
	e.host.Camera(c.last, device)
}

// dropCamera lets go of the camera and of its picture.
func (e *Easel) dropCamera(why string) {
	e.restCamera()
	e.settle()
	c := &e.camera
	c.picture, c.frozen, c.logging, c.why = nil, false, false, why
	e.keepSize()
}

// restCamera switches the camera off; its picture stays.
func (e *Easel) restCamera() {
	c := &e.camera
	if c.lens != lensOff {
		e.host.CameraOff()
	}
	c.last++ // answers that are on their way are of no use
	c.lens, c.silent = lensOff, false
}

// checkCamera lets go of the camera where its picture cannot be seen.
func (e *Easel) checkCamera() {
	if c := &e.camera; !e.onCamera() && (c.lens != lensOff || c.picture != nil || c.why != "") {
		e.dropCamera("")
	}
}

// placeCamera has the camera's picture in the place of the reference, or beside it.
func (e *Easel) placeCamera() {
	e.settle()
	e.camera.inPlace = !e.camera.inPlace
	e.keepSize()
}

// otherCamera goes on to the next camera.
func (e *Easel) otherCamera() {
	c := &e.camera
	if len(c.all) < 2 || c.lens == lensAsked {
		return
	}
	at := slices.IndexFunc(c.all, func(d CameraDevice) bool { return d.ID == c.on })
	e.askCamera(c.all[(at+1)%len(c.all)].ID)
}

// CameraOpened answers the Camera of that number: which device is on, and all that there
// are. Of a number that is not the newest it is ignored.
func (e *Easel) CameraOpened(id int, device string, all []CameraDevice) {
	if c := &e.camera; id == c.last && c.lens == lensAsked {
		c.lens, c.on, c.all = lensOn, device, all
	}
	e.after()
}

// CameraFrame says that the camera's frames are in that picture from now on, its levels
// made; each overwrites the one before.
func (e *Easel) CameraFrame(id int, y *photo.Pyramid) {
	if c := &e.camera; id == c.last && c.lens == lensOn && y != nil && y != c.picture {
		if c.picture == nil {
			e.settle()
			e.says.news = "The camera is on."
		}
		c.picture = y
		e.keepSize()
	}
	e.after()
}

// CameraSilent says whether the camera that is on sends no frames.
func (e *Easel) CameraSilent(id int, silent bool) {
	if c := &e.camera; id == c.last && c.lens == lensOn {
		c.silent = silent
	}
	e.after()
}

// CameraFailed says that the camera of that number cannot be seen through, or no longer,
// and why. What is frozen stays.
func (e *Easel) CameraFailed(id int, why NoCamera, more string) {
	c := &e.camera
	if id == c.last && c.lens != lensOff {
		e.restCamera()
		if !c.frozen {
			e.dropCamera("")
		}
		if c.why = why.words(more); why == CameraUnfit {
			c.on = "" // another one, the next time
		}
		e.says.news = c.why
	}
	e.after()
}

// freeze holds the newest frame, or lets it go again.
func (e *Easel) freeze() {
	c := &e.camera
	switch {
	case c.picture == nil || c.lens == lensAsked:
	case !c.frozen:
		c.frozen, c.since, c.logging, c.why = true, e.now(), false, ""
		e.says.news = "Frozen."
	case c.lens == lensOff:
		e.askCamera(c.on)
	default:
		c.frozen, c.logging, c.why = false, false, ""
		e.says.news = "Live again."
	}
}

// touchCamera answers a finger on the camera's picture. A second one, or the second of
// two taps, is the same touch.
func (e *Easel) touchCamera() {
	if now := e.now(); now.Sub(e.camera.touched) >= tapAgain {
		e.camera.touched = now
		e.freeze()
	}
}

// overCamera says whether a place of the area, in CSS pixels, is the camera's picture's.
func (e *Easel) overCamera(x, y float64) bool { return e.throughCamera() && e.overOther(x, y) }

// logFrame gives the log what is frozen, as a photograph of the canvas.
func (e *Easel) logFrame() {
	if c := &e.camera; c.frozen && c.picture != nil {
		c.logging, e.log.note = true, ""
		e.host.LogFrame("camera "+e.now().Format("2006-01-02 15-04-05")+".png", c.picture.Picture())
	}
}

// frozenAlone is how long the camera stays on behind a frozen picture, from where it is
// live again at once.
const frozenAlone = time.Minute

// cameraDue is when the camera behind a frozen picture goes off.
func (e *Easel) cameraDue() time.Time {
	if c := &e.camera; c.frozen && c.lens == lensOn {
		return c.since.Add(frozenAlone)
	}
	return time.Time{}
}

func (e *Easel) tickCamera(now time.Time) {
	if due := e.cameraDue(); !due.IsZero() && !now.Before(due) {
		e.restCamera()
	}
}

// cameraPane is how the camera's picture is seen: as a whole, under the look that the
// reference has.
func (e *Easel) cameraPane() (render.Pane, bool) {
	if !e.throughCamera() {
		return render.Pane{}, false
	}
	at, second := e.halves()
	if !e.camera.inPlace {
		at = second
	}
	y := e.camera.picture
	crop := place.WholeCrop(y.Picture().Size())
	view := render.Fit(crop, at.Width, at.Height, margin*e.dpr)
	view.Mirror, view.Turned = e.doc().View.Mirror, e.doc().View.Turned
	return render.Pane{At: at, View: view, Look: e.seenLook(), Other: render.Other{Pyramid: y, Crop: crop, Live: e.Watching()}}, !at.Empty()
}

// cameraText says where the camera's picture is seen, after other words.
func (e *Easel) cameraText() string {
	seen := "live"
	if e.camera.frozen {
		seen = "frozen"
	}
	if e.camera.inPlace {
		return "the " + seen + " picture in its place"
	}
	return "beside the " + seen + " picture"
}

// faceCamera is the part of the Check tray about the camera.
func (e *Easel) faceCamera(f *Face) {
	c, l := &e.camera, e.doc().Look
	f.Pressed["key-camera-look"] = c.lens != lensOff || c.picture != nil
	f.Pressed["key-camera-freeze"] = c.frozen
	f.Pressed["key-camera-place"] = c.inPlace
	f.Pressed["camera-grey"] = l.Tone == look.Grey
	f.Pressed["camera-steps"] = l.Tone == look.Steps
	f.Pressed["camera-only"] = l.Tone == look.Steps && l.Keep == look.KeepOnly
	for id, key := range map[string]string{"camera-grey": "grey", "camera-steps": "steps", "camera-only": "only"} {
		f.Disabled[id] = f.Disabled["key-"+key]
	}
	e.disable(f, "camera-freeze", c.picture == nil || c.lens == lensAsked)
	e.disable(f, "camera-other", len(c.all) < 2 || c.lens == lensAsked)
	e.disable(f, "camera-log", !c.frozen)
	f.Text["camera-note"], f.Text["camera-which"] = e.cameraNote(), e.cameraWhich()
}

// cameraWhich is which camera it is, and how large its picture is.
func (e *Easel) cameraWhich() string {
	c := &e.camera
	at := slices.IndexFunc(c.all, func(d CameraDevice) bool { return d.ID == c.on })
	if at < 0 || c.picture == nil {
		return ""
	}
	size := c.picture.Picture().Size()
	text := fmt.Sprintf("%d x %d pixels", size.Width, size.Height)
	if name := c.all[at].Name; name != "" {
		text = name + ", " + text
	}
	if len(c.all) > 1 {
		text += fmt.Sprintf("; camera %d of %d", at+1, len(c.all))
	}
	return sentence(text)
}

// cameraNote says what the camera does, or what can be done to have it.
func (e *Easel) cameraNote() string {
	c := &e.camera
	switch {
	case c.lens == lensAsked:
		return "The browser may ask whether this page may use the camera: allow it. What the camera sees stays on this tablet."
	case c.logging && e.log.note != "":
		return e.log.note
	case c.why != "":
		return c.why
	case c.frozen && c.lens == lensOff:
		return "Frozen, and the camera is off meanwhile. Touch the picture to look again."
	case c.frozen:
		return "Frozen. Put it into the log as a photograph of the canvas, or touch it to look again."
	case c.silent:
		return "The camera sends nothing just now: another program may have taken it, or a switch covers it. It goes on by itself."
	case c.lens == lensOff:
		return "Stand where you see the canvas, and look through the camera. The browser asks you first; what the camera sees stays on this tablet."
	case c.picture == nil:
		return "The camera is starting."
	}
	return "Touch the live picture to freeze it. The camera sets its own exposure: compare values within one picture, not between two."
}
