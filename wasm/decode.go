//go:build js

package main

import (
	"errors"
	"fmt"
	"syscall/js"
	"time"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
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
	name                string // the sum in hex, "" where it is not known yet
}

// photographOf is the photograph on a study's easel.
func photographOf(doc study.Document, buffer js.Value) file { return fileOf(doc.Reference, buffer) }

// fileOf is a photograph of a study.
func fileOf(r study.Reference, buffer js.Value) file {
	return file{buffer: buffer, name: r.Hash, size: place.Pixels{Width: r.Width, Height: r.Height}}
}

// decode lets the browser decode a photograph, upright and in sRGB, and tells its
// size. What is to be done meanwhile may be nil.
func (f file) decode(meanwhile func()) (bitmap js.Value, size place.Pixels, err error) {
	bitmap = f.bitmap
	if !bitmap.Truthy() {
		blob := js.Global().Get("Blob").New([]any{f.buffer})
		decoding := js.Global().Call("createImageBitmap", blob)
		if meanwhile != nil {
			meanwhile()
		}
		bitmap, err = await(decoding)
	}
	if err != nil {
		return bitmap, size, errors.New("opening the photograph: this browser cannot read it; save it from the phone as a JPEG and open that")
	}
	return bitmap, place.Pixels{Width: bitmap.Get("width").Int(), Height: bitmap.Get("height").Int()}, nil
}

// copyOut copies a photograph strip by strip into a Picture at full resolution
// and makes its smaller copies. It tells how far it is as a fraction of one,
// gives way between strips, unless the program has only begun and holds nobody up,
// and ends early with the error that progress returns. The memory is taken while the
// browser decodes: clearing that of a large photograph holds the page up.
func copyOut(f file, progress func(float64) error) (*photo.Pyramid, error) {
	var picture *photo.Picture
	bitmap, size, err := f.decode(func() {
		if f.size.Width > 0 && f.size.Height > 0 {
			picture = photo.New(f.size.Width, f.size.Height)
		}
	})
	if err != nil {
		return nil, err
	}
	defer bitmap.Call("close")
	if picture == nil || picture.Size() != size {
		picture = photo.New(size.Width, size.Height)
	}
	pyramid := photo.NewPyramid(picture)
	breath := breather{since: time.Now(), never: f.bitmap.Truthy()}
	err = readStrips(bitmap, size, func(top, rows int, data js.Value) error {
		fill(pyramid, top, rows, data, &breath)
		return progress(float64(top+rows) / float64(size.Height))
	})
	if err != nil {
		return nil, err
	}
	return pyramid, nil
}

// readStrips reads the pixels of a decoded photograph from the top down, stripRows at
// a time, and ends early with the error that each returns.
func readStrips(bitmap js.Value, size place.Pixels, each func(top, rows int, data js.Value) error) error {
	context, err := stripContext(size.Width, min(stripRows, size.Height))
	if err != nil {
		return err
	}
	for top := 0; top < size.Height; top += stripRows {
		rows := min(stripRows, size.Height-top)
		// Transparent places lie on white, as they would on paper.
		context.Call("fillRect", 0, 0, size.Width, rows)
		context.Call("drawImage", bitmap, 0, -top)
		data := context.Call("getImageData", 0, 0, size.Width, rows).Get("data")
		if err := each(top, rows, data); err != nil {
			return err
		}
	}
	return nil
}

// fill puts a strip of rows into a picture, the rows above being there, and makes as
// much of its smaller copies as they allow.
func fill(pyramid *photo.Pyramid, top, rows int, data js.Value, breath *breather) {
	picture := pyramid.Picture()
	js.CopyBytesToGo(picture.Pix[4*picture.Width*top:], data)
	breath.breathe()
	for pyramid.Advance(top + rows) {
		breath.breathe()
	}
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
