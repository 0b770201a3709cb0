//go:build js

package main

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"syscall/js"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/wasm/easel"
)

// The frames of a camera are asked for, and read, no larger than this.
const (
	cameraLong  = 1280
	cameraShort = 720
)

// lens is the camera that is on, and the picture that its frames are read into.
type lens struct {
	id      int // the number of the newest Camera; 0 once it is off
	stream  js.Value
	reader  js.Value     // of the frames themselves, where the browser hands them out
	data    js.Value     // what reader's newest frame was copied to
	size    place.Pixels // of that
	video   js.Value     // that plays them, where it does not
	context js.Value     // of a canvas that video is drawn on, as large as the picture
	pyramid *photo.Pyramid
	fresh   bool // a frame has come that was not taken
	armed   bool // the browser will tell when the next one comes
	came    js.Func
}

// Camera implements easel.Host.
func (p *page) Camera(id int, device string) {
	p.CameraOff()
	p.lens.id = id
	go p.openCamera(id, device)
}

// CameraOff implements easel.Host. The light goes off with the tracks, and with nothing
// else.
func (p *page) CameraOff() {
	stopTracks(p.lens.stream)
	p.letGoReader()
	if p.lens.video.Truthy() {
		p.lens.video.Set("srcObject", nil)
		p.lens.video.Call("remove")
		p.lens.came.Release()
	}
	p.lens = lens{}
}

// stopTracks ends all tracks of a stream, if there is one.
func stopTracks(stream js.Value) {
	if !stream.Truthy() {
		return
	}
	tracks := stream.Call("getTracks")
	for i := range tracks.Length() {
		tracks.Index(i).Call("stop")
	}
}

// openCamera asks the browser for a camera. One that it lends too late is given back.
func (p *page) openCamera(id int, device string) {
	devices := p.window.Get("navigator").Get("mediaDevices")
	if !devices.Truthy() || !devices.Get("getUserMedia").Truthy() {
		p.noCamera(id, "", "")
		return
	}
	stream, err := await(devices.Call("getUserMedia", map[string]any{"audio": false, "video": wanted(device)}))
	if err != nil {
		name, more, _ := strings.Cut(err.Error(), ": ")
		p.noCamera(id, name, more)
		return
	}
	if id != p.lens.id {
		stopTracks(stream)
		return
	}
	p.lens.stream = stream
	track := stream.Call("getVideoTracks").Index(0)
	p.followTrack(id, track)
	p.begin(stream)
	all, _ := await(devices.Call("enumerateDevices"))
	if id != p.lens.id {
		return
	}
	p.tell(func() {
		p.easel.CameraOpened(id, track.Call("getSettings").Get("deviceId").String(), camerasOf(all))
	})
}

// wanted are the constraints on a camera: a device, or one at the back.
func wanted(device string) map[string]any {
	video := map[string]any{
		"width": map[string]any{"ideal": cameraLong}, "height": map[string]any{"ideal": cameraShort},
		"frameRate": map[string]any{"ideal": 30},
	}
	if device == "" {
		video["facingMode"] = map[string]any{"ideal": "environment"}
	} else {
		video["deviceId"] = map[string]any{"exact": device}
	}
	return video
}

// camerasOf are the cameras among a browser's devices.
func camerasOf(devices js.Value) []easel.CameraDevice {
	var all []easel.CameraDevice
	for i := 0; devices.Truthy() && i < devices.Length(); i++ {
		if d := devices.Index(i); d.Get("kind").String() == "videoinput" {
			all = append(all, easel.CameraDevice{ID: d.Get("deviceId").String(), Name: d.Get("label").String()})
		}
	}
	return all
}

// noCamera tells why there is no camera: the name of what the browser threw, "" if it has
// none to lend, and what it says besides.
func (p *page) noCamera(id int, name, more string) {
	permission := ""
	state := js.Undefined()
	if permissions := p.window.Get("navigator").Get("permissions"); permissions.Truthy() {
		// Some browsers do not know this permission.
		state, _ = await(permissions.Call("query", map[string]any{"name": "camera"}))
	}
	if state.Truthy() {
		permission = state.Get("state").String()
	}
	allowed := true
	if rules := p.document.Get("featurePolicy"); rules.Truthy() {
		allowed = rules.Call("allowsFeature", "camera").Bool()
	}
	why := easel.WhyNoCamera(name, p.window.Get("isSecureContext").Bool(), allowed, permission)
	p.tell(func() { p.easel.CameraFailed(id, why, more) })
}

// followTrack tells when the camera is taken away, or sends nothing for a while.
func (p *page) followTrack(id int, track js.Value) {
	listen(track, "ended", func(js.Value) { p.tell(func() { p.easel.CameraFailed(id, easel.CameraTaken, "") }) })
	for event, silent := range map[string]bool{"mute": true, "unmute": false} {
		listen(track, event, func(js.Value) { p.tell(func() { p.easel.CameraSilent(id, silent) }) })
	}
}

// begin has the frames of a stream come. Where the browser hands them out as they are they
// are copied in a small part of the time that it takes to draw a video and read it back.
func (p *page) begin(stream js.Value) {
	if processor := p.window.Get("MediaStreamTrackProcessor"); processor.Truthy() {
		track := stream.Call("getVideoTracks").Index(0)
		p.lens.reader = processor.New(map[string]any{"track": track}).Get("readable").Call("getReader")
	} else {
		p.play(stream)
	}
	p.awaitFrame()
}

// letGoReader gives up reading frames as they are.
func (p *page) letGoReader() {
	if p.lens.reader.Truthy() {
		p.lens.reader.Call("cancel").Call("catch", js.Global().Get("Object"))
		p.lens.reader = js.Undefined()
	}
}

// play has the stream decoded, out of sight.
func (p *page) play(stream js.Value) {
	document := js.Global().Get("document")
	video := document.Call("createElement", "video")
	video.Set("muted", true)
	video.Set("playsInline", true)
	video.Set("hidden", true)
	video.Set("srcObject", stream)
	document.Get("body").Call("append", video)
	p.lens.video = video
	p.lens.came = js.FuncOf(func(js.Value, []js.Value) any {
		p.frameIs()
		return nil
	})
	video.Call("play").Call("catch", js.Global().Get("Object")) // it ends with the camera
}

// frameIs notes that a frame has come, and lets the game take it.
func (p *page) frameIs() {
	p.lens.armed, p.lens.fresh = false, true
	p.game.gate.wake()
}

// awaitFrame has the browser tell when a frame comes: one that decodes videos without
// telling is looked at whenever it draws.
func (p *page) awaitFrame() {
	l := &p.lens
	if l.armed || l.fresh || !l.stream.Truthy() {
		return
	}
	l.armed = true
	switch {
	case l.reader.Truthy():
		go p.readFrame(l.id, l.reader)
	case l.video.Get("requestVideoFrameCallback").Truthy():
		l.video.Call("requestVideoFrameCallback", l.came)
	default:
		p.window.Call("requestAnimationFrame", l.came)
	}
}

// readFrame waits for a frame and copies it. If the browser cannot do that the stream is
// played instead.
func (p *page) readFrame(id int, reader js.Value) {
	result, err := await(reader.Call("read"))
	if err != nil || !result.Get("value").Truthy() {
		return // the track has ended, and tells so itself
	}
	frame := result.Get("value")
	copied := id == p.lens.id && p.copyFrame(frame)
	frame.Call("close")
	switch {
	case id != p.lens.id:
	case copied:
		p.frameIs()
	default:
		p.letGoReader()
		p.lens.armed = false
		p.play(p.lens.stream)
		p.awaitFrame()
	}
}

// copyFrame copies a frame that needs neither turning nor reducing, and says whether it
// did.
func (p *page) copyFrame(frame js.Value) bool {
	l := &p.lens
	shown, seen := frame.Get("visibleRect"), place.Pixels{Width: frame.Get("displayWidth").Int(), Height: frame.Get("displayHeight").Int()}
	upright := frame.Get("rotation").Equal(js.ValueOf(0)) && !frame.Get("flip").Truthy()
	if !upright || !shown.Truthy() || shown.Get("width").Int() != seen.Width || shown.Get("height").Int() != seen.Height || fitted(seen) != seen {
		return false
	}
	if l.size != seen {
		l.size, l.data = seen, js.Global().Get("Uint8Array").New(4*seen.Width*seen.Height)
	}
	_, err := await(frame.Call("copyTo", l.data, map[string]any{"format": "RGBA", "colorSpace": "srgb"}))
	return err == nil
}

// frameCame says whether a frame has come that was not taken.
func (p *page) frameCame() bool { return p.lens.fresh && p.easel.Watching() }

// takeFrame puts a frame that has come into the picture, if frames are wanted, and says
// whether it did. It is called in Ebiten's Update.
func (p *page) takeFrame() bool {
	l := &p.lens
	if !p.easel.Watching() {
		l.fresh = false
		return false
	}
	defer p.awaitFrame()
	if !l.fresh {
		return false
	}
	l.fresh = false
	size := l.size
	if !l.reader.Truthy() {
		size = fitted(place.Pixels{Width: l.video.Get("videoWidth").Int(), Height: l.video.Get("videoHeight").Int()})
	}
	if size.Width == 0 || size.Height == 0 {
		return false
	}
	another := l.pyramid == nil || l.pyramid.Picture().Size() != size
	if another {
		l.pyramid, l.context = photo.NewPyramid(photo.New(size.Width, size.Height)), js.Undefined()
		l.pyramid.Finish() // it stores no smaller copies
	}
	if l.reader.Truthy() {
		js.CopyBytesToGo(l.pyramid.Picture().Pix, l.data)
	} else if !p.drawVideo(size) {
		return false
	}
	p.game.screen.Renew(l.pyramid)
	if another { // telling takes as long as drawing does
		id, pyramid := l.id, l.pyramid
		p.tell(func() { p.easel.CameraFrame(id, pyramid) })
	}
	return true
}

// drawVideo draws the frame that the video stands at into the picture. A browser that does
// not hand out what is drawn has the camera let go.
func (p *page) drawVideo(size place.Pixels) bool {
	l := &p.lens
	if !l.context.Truthy() {
		context, err := stripContext(size.Width, size.Height)
		if err != nil {
			id, why := l.id, easel.CameraUnknown
			if errors.Is(err, errNoise) {
				why = easel.CameraNoise
			}
			p.tell(func() { p.easel.CameraFailed(id, why, err.Error()) })
			return false
		}
		l.context = context
	}
	l.context.Call("drawImage", l.video, 0, 0, size.Width, size.Height)
	data := l.context.Call("getImageData", 0, 0, size.Width, size.Height).Get("data")
	js.CopyBytesToGo(l.pyramid.Picture().Pix, data)
	letGoOf(data)
	return true
}

// fitted is the size that a frame is read in.
func fitted(came place.Pixels) place.Pixels {
	long, short := float64(max(came.Width, came.Height)), float64(min(came.Width, came.Height))
	scale := min(1, cameraLong/max(long, 1), cameraShort/max(short, 1))
	return place.Pixels{Width: int(math.Round(float64(came.Width) * scale)), Height: int(math.Round(float64(came.Height) * scale))}
}

// LogFrame implements easel.Host.
func (p *page) LogFrame(name string, frame *photo.Picture) { p.frameFile(name, frame, p.logFile) }

// frameFile has the browser make a PNG of a frame, which loses nothing of what was seen.
func (p *page) frameFile(name string, frame *photo.Picture, take func(file js.Value)) {
	context, err := stripContext(frame.Width, frame.Height)
	if err != nil {
		go p.tell(func() { p.easel.Refuse(fmt.Errorf("keeping what is frozen: %w", err)) })
		return
	}
	image := context.Call("createImageData", frame.Width, frame.Height)
	js.CopyBytesToJS(image.Get("data"), frame.Pix)
	context.Call("putImageData", image, 0, 0)
	var made js.Func
	made = js.FuncOf(func(_ js.Value, args []js.Value) any {
		made.Release()
		if blob := first(args); blob.Truthy() {
			take(js.Global().Get("File").New([]any{blob}, name))
		} else {
			go p.tell(func() { p.easel.Refuse(errors.New("keeping what is frozen: the browser makes no file of it")) })
		}
		return nil
	})
	context.Get("canvas").Call("toBlob", made)
}
