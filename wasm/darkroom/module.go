//go:build js && darkroom

package main

import (
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"syscall/js"

	"maulstick/render/photo"
)

// unpack decodes an AVIF or HEIC with the library that the command has, too, which the
// browser runs in a box of its own.
func unpack(kind photo.Kind, data []byte) (m image.Image, err error) {
	defer func() {
		if thrown := recover(); thrown != nil {
			m, err = nil, fmt.Errorf("its decoder gave it up: %v", thrown)
		}
	}()
	if kind == photo.AVIF {
		b, err := load("avif.wasm")
		if err != nil {
			return nil, err
		}
		return b.avif(data)
	}
	b, err := load("heic.wasm")
	if err != nil {
		return nil, err
	}
	return b.heic(data)
}

// box is a library compiled to WebAssembly and what it exports.
type box struct{ exports js.Value }

// load fetches a library and starts it: all at once, since a worker may wait. What it
// asks of a system (WASI) is answered with nothing: no files, no environment.
func load(name string) (box, error) {
	request := js.Global().Get("XMLHttpRequest").New()
	request.Call("open", "GET", name+js.Global().Get("location").Get("search").String(), false)
	request.Set("responseType", "arraybuffer")
	request.Call("send")
	if request.Get("status").Int() != 200 {
		return box{}, errors.New("a part of the page could not be fetched")
	}
	web := js.Global().Get("WebAssembly")
	module := web.Get("Module").New(request.Get("response"))
	imports := map[string]any{}
	wanted := web.Get("Module").Call("imports", module)
	var b box
	for i := range wanted.Length() {
		function := wanted.Index(i).Get("name").String()
		imports[function] = js.FuncOf(func(_ js.Value, args []js.Value) any { return b.system(function, args) })
	}
	instance := web.Get("Instance").New(module, map[string]any{"wasi_snapshot_preview1": imports})
	b.exports = instance.Get("exports")
	b.exports.Call("_initialize")
	return b, nil
}

// badFile is WASI's number for a file that is not open.
const badFile = 8

// system answers what a library asks of a system.
func (b *box) system(function string, args []js.Value) any {
	switch function {
	case "environ_sizes_get":
		for _, at := range args {
			b.view(at.Int(), 4).Call("fill", 0)
		}
		return 0
	case "environ_get":
		return 0
	}
	return badFile
}

// words is how many numbers the libraries tell of a picture.
const words = 5

// room takes memory of the library's.
func (b box) room(size int) int {
	at := int(uint32(b.exports.Call("malloc", size).Int()))
	if at == 0 {
		panic("there is no memory for it")
	}
	return at
}

// put copies a file into memory of the library's.
func (b box) put(data []byte) int {
	at := b.room(len(data))
	js.CopyBytesToJS(b.view(at, len(data)), data)
	return at
}

// view is a part of the library's memory.
func (b box) view(at, size int) js.Value {
	return js.Global().Get("Uint8Array").New(b.exports.Get("memory").Get("buffer"), at, size)
}

// take copies bytes out of the library's memory.
func (b box) take(at, size int) []byte {
	data := make([]byte, size)
	js.CopyBytesToGo(data, b.view(at, size))
	return data
}

// told are the numbers at a place.
func (b box) told(at int) (n [words]int) {
	data := b.take(at, 4*words)
	for i := range n {
		n[i] = int(binary.LittleEndian.Uint32(data[4*i:]))
	}
	return n
}

// decode calls the library's one function.
func (b box) decode(args ...any) error {
	if b.exports.Call("decode", args...).Int() == 0 {
		return errors.New("its pixels cannot be read")
	}
	return nil
}

// avif decodes the first picture of an AVIF.
func (b box) avif(data []byte) (image.Image, error) {
	file, at := b.put(data), b.room(4*words)
	if err := b.decode(file, len(data), 1, 0, at, at+4, at+8, at+12, 0, 0); err != nil {
		return nil, err
	}
	told := b.told(at)
	width, height, deep := told[0], told[1], told[2] > 8
	size := 4 * width * height
	if deep {
		size *= 2
	}
	out := b.room(size)
	if err := b.decode(file, len(data), 0, 0, at, at+4, at+8, at+12, b.room(8), out); err != nil {
		return nil, err
	}
	pix, bounds := b.take(out, size), image.Rect(0, 0, width, height)
	if !deep {
		return &image.RGBA{Pix: pix, Stride: 4 * width, Rect: bounds}, nil
	}
	for i := 0; i < size; i += 2 { // Go's order of bytes is the other
		pix[i], pix[i+1] = pix[i+1], pix[i]
	}
	return &image.RGBA64{Pix: pix, Stride: 8 * width, Rect: bounds}, nil
}

// What heic.wasm calls its pictures.
const (
	ofLumaAndChroma = 0
	ofColours       = 1
	ofGreys         = 2
)

// heic decodes the primary picture of a HEIC.
func (b box) heic(data []byte) (image.Image, error) {
	file, at := b.put(data), b.room(4*words)
	if err := b.decode(file, len(data), 1, at, at+4, at+8, at+12, at+16, 0); err != nil {
		return nil, err
	}
	told := b.told(at)
	width, height := told[0], told[1]
	aligned := func(n int) int { return (n + 15) &^ 15 }
	m, planes := layout(width, height, told[2], told[3])
	if m == nil {
		return nil, errors.New("its colours are stored in a way that is not known here")
	}
	size := 0
	for _, p := range planes {
		size += aligned(p.width) * p.height
	}
	out := b.room(size)
	if err := b.decode(file, len(data), 0, at, at+4, at+8, at+12, at+16, out); err != nil {
		return nil, err
	}
	pix, bounds := b.take(out, size), image.Rect(0, 0, width, height)
	switch m := m.(type) {
	case *image.YCbCr:
		y, c := aligned(planes[0].width), aligned(planes[1].width)
		first, second := y*height, y*height+c*planes[1].height
		m.Y, m.Cb, m.Cr, m.YStride, m.CStride, m.Rect = pix[:first], pix[first:second], pix[second:], y, c, bounds
	case *image.Gray:
		m.Pix, m.Stride, m.Rect = pix, aligned(width), bounds
	case *image.NRGBA:
		m.Pix, m.Stride, m.Rect = pix, aligned(4*width), bounds
		if told[4] == 1 {
			return &image.RGBA{Pix: pix, Stride: m.Stride, Rect: bounds}, nil
		}
	}
	return m, nil
}

// plane is a rectangle of bytes.
type plane struct{ width, height int }

// layout is the kind of picture that is stored so, and its planes.
func layout(width, height, space, chroma int) (image.Image, []plane) {
	switch space {
	case ofGreys:
		return &image.Gray{}, []plane{{width, height}}
	case ofColours:
		return &image.NRGBA{}, []plane{{4 * width, height}}
	case ofLumaAndChroma:
		ratio := map[int]image.YCbCrSubsampleRatio{1: image.YCbCrSubsampleRatio420, 2: image.YCbCrSubsampleRatio422, 3: image.YCbCrSubsampleRatio444}
		cw, ch := width, height
		if chroma != 3 {
			cw = (width + 1) / 2
		}
		if chroma == 1 {
			ch = (height + 1) / 2
		}
		if r, known := ratio[chroma]; known {
			return &image.YCbCr{SubsampleRatio: r}, []plane{{width, height}, {cw, ch}, {cw, ch}}
		}
	}
	return nil, nil
}
