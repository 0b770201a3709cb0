//go:build js

package main

import (
	"errors"
	"fmt"
	"runtime"
	"syscall/js"
	"time"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
)

// stripRows is how many rows of the photograph are read from the browser at a
// time: about 6 MB of a 24-megapixel photograph, a few milliseconds of work.
// Of a photograph wider than wideStrip it is a quarter: browsers of tablets have no
// canvas of more than 16.7 megapixels.
const (
	stripRows = 256
	wideStrip = 16384
)

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

// negative is a photograph that has been decoded, upright and in sRGB, and hands out its
// pixels as they are to be held.
type negative struct {
	came   place.Pixels // the size upright
	halved int          // how often it is to be halved for want of room
	notes  []string     // what the painter should know of it
	strips func(each strip) error
	close  func()
}

// strip takes rows of a photograph as it is held, from the top down. The array is the
// strip's own and begins with its memory.
type strip func(top, rows int, data js.Value) error

// develop decodes a photograph: by the browser, or in the darkroom where that cannot, or
// would show it otherwise than it means. What is to be done meanwhile may be nil.
func (p *page) develop(f file, meanwhile func()) (negative, error) {
	if f.bitmap.Truthy() {
		return byBrowser(f.bitmap, false), nil
	}
	data := bytesOf(f.buffer)
	header, err := photo.Inspect(data)
	cut := photo.Cut(err)
	if err != nil && !cut {
		return negative{}, err
	}
	tries := header.Kind == photo.AVIF || header.Kind == photo.HEIC || header.Kind == photo.JPEGXL
	if cut || photo.Misread(header, data) || !header.Everywhere() && !tries {
		return p.inDarkroom(f.buffer)
	}
	data = nil
	decoding := js.Global().Call("createImageBitmap", js.Global().Get("Blob").New([]any{f.buffer}))
	if meanwhile != nil {
		meanwhile()
	}
	bitmap, err := await(decoding)
	switch {
	case err == nil:
		return byBrowser(bitmap, header.Profile != nil || header.Kind == photo.PNG || tries), nil
	case header.Kind == photo.JPEGXL:
		return negative{}, header.Unopened()
	}
	return p.inDarkroom(f.buffer)
}

// byBrowser is a photograph that the browser has decoded; tagged says whether its file may
// name colours other than sRGB's.
func byBrowser(bitmap js.Value, tagged bool) negative {
	came := place.Pixels{Width: bitmap.Get("width").Int(), Height: bitmap.Get("height").Int()}
	n := negative{came: came, halved: halvings(came), close: func() { bitmap.Call("close") }}
	if tagged {
		n.notes = stronger(bitmap, came)
	}
	n.strips = func(each strip) error { return readStrips(bitmap, came, n.halved, each) }
	return n
}

// copyOut copies a photograph strip by strip into a Picture and makes its smaller copies.
// It tells how far it is as a fraction of one, gives way between strips, unless the
// program has only begun and holds nobody up, and ends early with the error that progress
// returns. The memory is taken while the browser decodes: clearing that of a large
// photograph holds the page up.
func (p *page) copyOut(f file, progress func(float64) error) (*photo.Pyramid, []string, error) {
	var picture *photo.Picture
	n, err := p.develop(f, func() {
		if f.size.Width > 0 && f.size.Height > 0 {
			picture = newPicture(f.size, halvings(f.size))
		}
	})
	if err != nil {
		return nil, nil, err
	}
	defer n.close()
	if picture == nil || picture.Size() != n.came {
		picture = newPicture(n.came, n.halved)
	}
	pyramid := photo.NewPyramid(picture)
	breath := breather{since: time.Now(), never: f.bitmap.Truthy()}
	err = n.strips(func(top, rows int, data js.Value) error {
		fill(pyramid, top, rows, data, &breath)
		return progress(float64(top+rows) / float64(picture.Held().Height))
	})
	if err != nil {
		return nil, nil, err
	}
	return pyramid, n.notes, nil
}

// largePicture is from how many pixels on the memory of a picture is worth a look for what
// nothing holds any more, which takes some milliseconds.
const largePicture = 4_000_000

// newPicture takes the memory of a picture, of a large one once that of those which
// nothing holds any more is free: a program's memory never shrinks, so one more would
// stay with it.
func newPicture(size place.Pixels, halved int) *photo.Picture {
	if size.Width*size.Height >= largePicture {
		runtime.GC()
	}
	return photo.NewHalved(size, halved)
}

// readStrips reads the pixels of a decoded photograph from the top down, halved so many
// times in linear light, and ends early with the error that each returns.
func readStrips(bitmap js.Value, size place.Pixels, halved int, each strip) error {
	high := stripRows
	if size.Width > wideStrip {
		high = stripRows / 4
	}
	context, err := stripContext(size.Width, min(high, size.Height))
	if err != nil {
		return fmt.Errorf("opening the photograph: %w", err)
	}
	held := photo.Held(size, halved)
	var full, small []byte
	for top := 0; top < size.Height; top += high {
		rows := min(high, size.Height-top)
		// Transparent places lie on white, as they would on paper.
		context.Call("fillRect", 0, 0, size.Width, rows)
		context.Call("drawImage", bitmap, 0, -top)
		data := context.Call("getImageData", 0, 0, size.Width, rows).Get("data")
		if halved > 0 {
			if full == nil {
				full, small = make([]byte, 4*size.Width*rows), make([]byte, 4*held.Width*rows>>halved+4*held.Width)
			}
			js.CopyBytesToGo(full, data)
			letGoOf(data)
			photo.Halve(full[:4*size.Width*rows], size.Width, halved, small)
			count := photo.Held(place.Pixels{Width: size.Width, Height: rows}, halved).Height
			data = arrayOf(small[:4*held.Width*count])
			giveWay()
		}
		if err := each(top>>halved, min(high>>halved, held.Height-top>>halved), data); err != nil {
			return err
		}
		letGoOf(data)
	}
	return nil
}

// stripsOf hands over the pixels of a picture that is here from the top down, and ends early
// with the error that each returns.
func stripsOf(picture *photo.Picture, each strip) error {
	held := picture.Held()
	for top := 0; top < held.Height; top += stripRows {
		rows := min(stripRows, held.Height-top)
		if err := each(top, rows, arrayOf(picture.Pix[4*held.Width*top:4*held.Width*(top+rows)])); err != nil {
			return err
		}
	}
	return nil
}

// letGoOf frees the memory of an array that was not handed on: else it would wait until
// this program clears away, which knows nothing of how large it is.
func letGoOf(data js.Value) {
	buffer := data.Get("buffer")
	if buffer.Get("transfer").Type() == js.TypeFunction && buffer.Get("byteLength").Int() > 0 {
		buffer.Call("transfer", 0)
	}
}

// fill puts a strip of rows into a picture, the rows above being there, and makes as
// much of its smaller copies as they allow.
func fill(pyramid *photo.Pyramid, top, rows int, data js.Value, breath *breather) {
	picture := pyramid.Picture()
	js.CopyBytesToGo(picture.Pix[4*picture.Held().Width*top:], data)
	breath.breathe()
	for pyramid.Advance(top + rows) {
		breath.breathe()
	}
}

// errNoise refuses what a browser would change.
var errNoise = errors.New("this browser's privacy setting changes the pixels it hands out, so no reading would be true; allow canvas reading for this page")

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
		return js.Undefined(), fmt.Errorf("the browser has no room for a strip %d pixels wide", width)
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
		return js.Undefined(), errNoise
	}
	context.Set("fillStyle", "#ffffff")
	return context, nil
}
