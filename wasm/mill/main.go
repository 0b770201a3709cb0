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
	"maulstick/wasm/worker"
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
	worker.Serve(m.answer)
}

// answer does what a message asks for and returns what is to be sent back.
func (m *mill) answer(kind string, message js.Value) (answer map[string]any, transfer []any) {
	answer = map[string]any{}
	switch kind {
	case "begin":
		m.count = &count{
			width: message.Get("width").Int(), crop: cropOf(message.Get("crop")),
			filtered: colour.Sheet(message.Get("sheet").Int()).Meter(),
		}
	case "rows":
		m.count.add(message)
	case "end":
		answer["counts"] = worker.Array(append(m.count.eye.Bytes(), m.count.filter.Bytes()...))
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
	return answer, nil
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
	pixels := worker.Bytes(message.Get("pixels"))
	top := message.Get("top").Int()
	c.eye.AddRows(colour.EyeMeter, pixels, c.width, top, c.crop)
	c.filter.AddRows(c.filtered, pixels, c.width, top, c.crop)
}
