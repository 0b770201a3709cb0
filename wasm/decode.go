//go:build js

package main

import (
	"errors"
	"fmt"
	"syscall/js"
	"time"

	"maulstick/render/photo"
	"maulstick/render/place"
)

// stripRows is how many rows of the photograph are read from the browser at a
// time: about 6 MB of a 24-megapixel photograph, a few milliseconds of work.
const stripRows = 256

// file is a photograph as it came; its decoded bitmap and the SHA-256 of its bytes
// if the browser has made them before the program was there; and the size that it
// is expected to have, zero if that is not known.
type file struct {
	buffer, bitmap, sum js.Value
	size                place.Pixels
}

// decode lets the browser decode a photograph, upright and in sRGB, and makes
// the Picture that it is to be copied to. The memory is taken while the browser
// decodes: clearing that of a large photograph holds the page up.
func (f file) decode() (bitmap js.Value, picture *photo.Picture, err error) {
	bitmap = f.bitmap
	if !bitmap.Truthy() {
		blob := js.Global().Get("Blob").New([]any{f.buffer})
		decoding := js.Global().Call("createImageBitmap", blob)
		if f.size.Width > 0 && f.size.Height > 0 {
			picture = photo.New(f.size.Width, f.size.Height)
		}
		bitmap, err = await(decoding)
	}
	if err != nil {
		return bitmap, nil, errors.New("opening the photograph: this browser cannot read it; save it from the phone as a JPEG and open that")
	}
	size := place.Pixels{Width: bitmap.Get("width").Int(), Height: bitmap.Get("height").Int()}
	if picture == nil || picture.Size() != size {
		picture = photo.New(size.Width, size.Height)
	}
	return bitmap, picture, nil
}

// copyOut copies a photograph strip by strip into a Picture at full resolution
// and makes its smaller copies. It tells how far it is as a fraction of one,
// gives way between strips, unless the program has only begun and holds nobody up,
// and ends early with the error that progress returns.
func copyOut(f file, progress func(float64) error) (*photo.Pyramid, error) {
	bitmap, picture, err := f.decode()
	if err != nil {
		return nil, err
	}
	defer bitmap.Call("close")
	width, height := picture.Width, picture.Height
	pyramid := photo.NewPyramid(picture)
	context, err := stripContext(width, min(stripRows, height))
	if err != nil {
		return nil, err
	}
	breath := breather{since: time.Now(), never: f.bitmap.Truthy()}
	for top := 0; top < height; top += stripRows {
		rows := min(stripRows, height-top)
		// Transparent places lie on white, as they would on paper.
		context.Call("fillRect", 0, 0, width, rows)
		context.Call("drawImage", bitmap, 0, -top)
		data := context.Call("getImageData", 0, 0, width, rows).Get("data")
		js.CopyBytesToGo(pyramid.Picture().Pix[4*width*top:], data)
		breath.breathe()
		for pyramid.Advance(top + rows) {
			breath.breathe()
		}
		if err := progress(float64(top+rows) / float64(height)); err != nil {
			return nil, err
		}
	}
	return pyramid, nil
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
	ramp := make([]byte, 4*min(256, width))
	for i := range len(ramp) / 4 {
		ramp[4*i], ramp[4*i+1], ramp[4*i+2], ramp[4*i+3] = byte(i), byte(255-i), byte(i/2), 255
	}
	image := context.Call("createImageData", len(ramp)/4, 1)
	js.CopyBytesToJS(image.Get("data"), ramp)
	context.Call("putImageData", image, 0, 0)
	back := make([]byte, len(ramp))
	js.CopyBytesToGo(back, context.Call("getImageData", 0, 0, len(ramp)/4, 1).Get("data"))
	if string(back) != string(ramp) {
		return js.Undefined(), errors.New("opening the photograph: this browser's privacy setting changes the pixels it hands out, so no reading would be true; allow canvas reading for this page")
	}
	context.Set("fillStyle", "#ffffff")
	return context, nil
}
