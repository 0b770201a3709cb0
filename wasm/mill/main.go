//go:build js

// Command mill runs in a worker: it does the work that would hold the screen.
// It is handed the photograph in strips of rows, so that it never holds a
// second copy, and answers each message before it is sent the next.
package main

import (
	"fmt"
	"syscall/js"

	"maulstick/render/colour"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// count is one counting of the picture's lightness, by eye and through the red
// filter, over the pixels whose centres lie in the crop.
type count struct {
	width       int
	crop        place.Crop
	eye, filter shape.Histogram
}

func main() {
	var current *count
	js.Global().Set("onmessage", js.FuncOf(func(_ js.Value, args []js.Value) any {
		message := args[0].Get("data")
		switch kind := message.Get("kind").String(); kind {
		case "begin":
			current = &count{width: message.Get("width").Int(), crop: cropOf(message.Get("crop"))}
			reply(kind, message.Get("id"), nil)
		case "rows":
			current.add(message)
			reply(kind, message.Get("id"), nil)
		case "end":
			reply(kind, message.Get("id"), current)
			current = nil
		default:
			fmt.Println("mill: a message of an unknown kind:", kind)
		}
		return nil
	}))
	js.Global().Call("postMessage", map[string]any{"kind": "ready"})
	select {}
}

// cropOf reads a crop out of a message.
func cropOf(v js.Value) place.Crop {
	return place.Crop{
		X: v.Get("x").Float(), Y: v.Get("y").Float(),
		Width: v.Get("width").Float(), Height: v.Get("height").Float(),
	}
}

// add counts a strip of rows.
func (c *count) add(message js.Value) {
	strip := message.Get("pixels")
	pixels := make([]byte, strip.Get("length").Int())
	js.CopyBytesToGo(pixels, strip)
	top := message.Get("top").Int()
	c.eye.AddRows(colour.EyeMeter, pixels, c.width, top, c.crop)
	c.filter.AddRows(colour.FilterMeter, pixels, c.width, top, c.crop)
}

// reply answers a message; at the end with the two histograms, the eye's
// first, as shape.Histogram.Bytes writes them.
func reply(kind string, id js.Value, c *count) {
	answer := map[string]any{"kind": kind, "id": id}
	if c != nil {
		data := append(c.eye.Bytes(), c.filter.Bytes()...)
		array := js.Global().Get("Uint8Array").New(len(data))
		js.CopyBytesToJS(array, data)
		answer["counts"] = array
	}
	js.Global().Call("postMessage", answer)
}
