//go:build js

// Command mill runs in a worker: it does the work that would hold the screen. It
// counts the photograph strip by strip as it is handed over, so that it never holds
// a second copy, and answers questions about a small one that it keeps. It answers
// each message before it is sent the next.
package main

import (
	"fmt"
	"syscall/js"

	"maulstick/render/colour"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// mill is what the worker holds.
type mill struct {
	count *count
	desk  *desk
}

// count is one counting of the picture's lightness, by eye and through the red
// filter, over the pixels whose centres lie in the crop.
type count struct {
	width       int
	crop        place.Crop
	filtered    *colour.Meter
	eye, filter shape.Histogram
}

func main() {
	var m mill
	js.Global().Set("onmessage", js.FuncOf(func(_ js.Value, args []js.Value) any {
		message := args[0].Get("data")
		answer := m.answer(message.Get("kind").String(), message)
		answer["kind"], answer["id"] = message.Get("kind"), message.Get("id")
		js.Global().Call("postMessage", answer)
		return nil
	}))
	js.Global().Call("postMessage", map[string]any{"kind": "ready"})
	select {}
}

// answer does what a message asks for and returns what is to be sent back.
func (m *mill) answer(kind string, message js.Value) map[string]any {
	answer := map[string]any{}
	switch kind {
	case "begin":
		m.count = &count{
			width: message.Get("width").Int(), crop: cropOf(message.Get("crop")),
			filtered: colour.Sheet(message.Get("sheet").Int()).Meter(),
		}
	case "rows":
		m.count.add(message)
	case "end":
		answer["counts"] = array(append(m.count.eye.Bytes(), m.count.filter.Bytes()...))
		m.count = nil
	case "copy":
		m.desk = newDesk(message)
	case "copy-rows":
		m.desk.lay(message)
	case "survey":
		if err := m.desk.survey(message, answer); err != nil {
			answer["failed"] = err.Error()
		}
	default:
		fmt.Println("mill: a message of an unknown kind:", kind)
	}
	return answer
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
	pixels := bytesOf(message.Get("pixels"))
	top := message.Get("top").Int()
	c.eye.AddRows(colour.EyeMeter, pixels, c.width, top, c.crop)
	c.filter.AddRows(c.filtered, pixels, c.width, top, c.crop)
}

// bytesOf copies bytes out of an array of the browser's.
func bytesOf(array js.Value) []byte {
	data := make([]byte, array.Get("length").Int())
	js.CopyBytesToGo(data, array)
	return data
}

// array copies bytes into an array of the browser's.
func array(data []byte) js.Value {
	array := js.Global().Get("Uint8Array").New(len(data))
	js.CopyBytesToJS(array, data)
	return array
}
