//go:build js

package main

import (
	"errors"
	"fmt"
	"syscall/js"

	"maulstick/render/photo"
)

// stripRows is how many rows of the photograph are read from the browser at a
// time: about 6 MB of a 24-megapixel photograph, a few milliseconds of work.
const stripRows = 256

// decode lets the browser decode a photograph, upright and in sRGB, and copies
// it strip by strip into a Picture at full resolution. It tells how far it is
// as a fraction of one, and gives way between strips; it ends early with the
// error that progress returns.
func decode(buffer js.Value, progress func(float64) error) (*photo.Picture, error) {
	blob := js.Global().Get("Blob").New([]any{buffer})
	bitmap, err := await(js.Global().Call("createImageBitmap", blob))
	if err != nil {
		return nil, errors.New("opening the photograph: this browser cannot read it; save it from the phone as a JPEG and open that")
	}
	defer bitmap.Call("close")
	width, height := bitmap.Get("width").Int(), bitmap.Get("height").Int()
	picture := photo.New(width, height)
	breathe()
	context, err := stripContext(width, min(stripRows, height))
	if err != nil {
		return nil, err
	}
	for top := 0; top < height; top += stripRows {
		rows := min(stripRows, height-top)
		// Transparent places lie on white, as they would on paper.
		context.Call("fillRect", 0, 0, width, rows)
		context.Call("drawImage", bitmap, 0, -top)
		data := context.Call("getImageData", 0, 0, width, rows).Get("data")
		js.CopyBytesToGo(picture.Pix[4*width*top:], data)
		if err := progress(float64(top+rows) / float64(height)); err != nil {
			return nil, err
		}
		breathe()
	}
	return picture, nil
}

// stripContext is a canvas that pixels are read back from, once it has been
// shown to return what was put into it: some privacy settings return noise.
func stripContext(width, height int) (js.Value, error) {
	canvas := js.Global().Get("document").Call("createElement", "canvas")
	canvas.Set("width", width)
	canvas.Set("height", height)
	context := canvas.Call("getContext", "2d", map[string]any{
		"willReadFrequently": true, "colorSpace": "srgb", "alpha": false,
	})
	if !context.Truthy() {
		return js.Undefined(), fmt.Errorf("opening the photograph: the browser has no room for a strip %d pixels wide", width)
	}
	ramp := make([]byte, 4*256)
	for i := range 256 {
		ramp[4*i], ramp[4*i+1], ramp[4*i+2], ramp[4*i+3] = byte(i), byte(255-i), byte(i/2), 255
	}
	wide := js.Global().Get("document").Call("createElement", "canvas")
	wide.Set("width", 256)
	wide.Set("height", 1)
	trial := wide.Call("getContext", "2d", map[string]any{"willReadFrequently": true, "colorSpace": "srgb", "alpha": false})
	image := trial.Call("createImageData", 256, 1)
	js.CopyBytesToJS(image.Get("data"), ramp)
	trial.Call("putImageData", image, 0, 0)
	back := make([]byte, len(ramp))
	js.CopyBytesToGo(back, trial.Call("getImageData", 0, 0, 256, 1).Get("data"))
	if string(back) != string(ramp) {
		return js.Undefined(), errors.New("opening the photograph: this browser's privacy setting changes the pixels it hands out, so no reading would be true; allow canvas reading for this page")
	}
	context.Set("fillStyle", "#ffffff")
	return context, nil
}
