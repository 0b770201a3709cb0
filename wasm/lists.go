//go:build js

package main

import (
	"fmt"
	"strconv"
	"strings"
	"syscall/js"

	"maulstick/wasm/easel"
)

// showHistogram draws the bars, and puts a handle on every edge between steps.
func (f *face) showHistogram(now easel.Face) {
	if now.Bars != f.shown.Bars {
		f.element("histogram-bars").Call("setAttribute", "d", now.Bars)
	}
	fresh := len(f.edges)
	f.edges = asMany(f.edges, len(now.Edges), f.edgeHandle)
	for i, edge := range now.Edges {
		if i < fresh && i < len(f.shown.Edges) && f.shown.Edges[i] == edge {
			continue
		}
		handle := f.edges[i]
		handle.Get("style").Set("left", fmt.Sprintf("%.2f%%", edge.At))
		handle.Call("setAttribute", "aria-label", edge.Label)
		handle.Call("setAttribute", "aria-valuenow", fmt.Sprintf("%.1f", edge.At))
		handle.Call("setAttribute", "aria-valuetext", fmt.Sprintf("L* %.1f", edge.At))
	}
}

// edgeHandle adds the handle of an edge to the histogram.
func (f *face) edgeHandle(number int) js.Value {
	handle := f.button(f.element("histogram"))
	handle.Set("id", "edge-"+strconv.Itoa(number))
	handle.Get("dataset").Set("edge", strconv.Itoa(number))
	for name, value := range map[string]string{"role": "slider", "aria-valuemin": "0", "aria-valuemax": "100"} {
		handle.Call("setAttribute", name, value)
	}
	return handle
}

// showRows lays out a list; rows that stay are changed in place, so that the one in
// focus keeps it.
func (f *face) showRows(list string, before, now []easel.Row) {
	box := f.element(list)
	if !box.Truthy() {
		return
	}
	buttons := f.rows[list]
	if len(buttons) == 0 {
		box.Call("replaceChildren")
		before = nil
	}
	fresh := len(buttons)
	buttons = asMany(buttons, len(now), func(int) js.Value { return f.button(box) })
	f.rows[list] = buttons
	for i, row := range now {
		if i < fresh && i < len(before) && before[i] == row {
			continue
		}
		f.showRow(buttons[i], row)
		if row.Pressed && !(i < len(before) && before[i].Key == row.Key && before[i].Pressed) {
			scrollTo(box, buttons[i])
		}
	}
}

// scrollTo scrolls a list, and nothing else, until a row of it is seen.
func scrollTo(box, row js.Value) {
	top := row.Get("offsetTop").Float() - box.Get("offsetTop").Float()
	bottom := top + row.Get("offsetHeight").Float()
	seen, height := box.Get("scrollTop").Float(), box.Get("clientHeight").Float()
	if top < seen || bottom > seen+height {
		box.Set("scrollTop", max(0, min(top, bottom-height)))
	}
}

// showRow puts a row's swatches and words into its key.
func (f *face) showRow(button js.Value, row easel.Row) {
	button.Get("dataset").Set("key", row.Key)
	button.Call("replaceChildren")
	if row.Picture != "" {
		image := f.child(button, "img")
		image.Set("alt", "")
		image.Get("dataset").Set("picture", row.Picture)
		f.fillPicture(image)
	}
	for _, codes := range strings.Fields(row.Swatches) {
		f.child(button, "i").Get("style").Set("backgroundColor", "rgb("+codes+")")
	}
	f.child(button, "span").Set("textContent", row.Text)
	for _, more := range [...]struct{ name, text string }{{"b", row.Figure}, {"small", row.Note}} {
		if more.text != "" {
			button.Call("append", " ")
			f.child(button, more.name).Set("textContent", more.text)
		}
	}
	setPressed(button, row.Pressed)
}

// showSpots puts what the lists are about on the picture.
func (f *face) showSpots(now []easel.Spot) {
	fresh := len(f.spots)
	f.spots = asMany(f.spots, len(now), func(int) js.Value { return f.child(f.element("spots"), "span") })
	for i, spot := range now {
		if i < fresh && i < len(f.shown.Spots) && f.shown.Spots[i] == spot {
			continue
		}
		f.spots[i].Set("textContent", spot.Text)
		f.spots[i].Get("classList").Call("toggle", "patch", spot.Side > 0)
		f.spots[i].Get("style").Call("setProperty", "--side", fmt.Sprintf("%.1fpx", spot.Side))
		f.spots[i].Get("style").Set("transform", fmt.Sprintf("translate(%.1fpx, %.1fpx)", spot.X, spot.Y))
		f.spots[i].Get("classList").Call("toggle", "chosen", spot.Chosen)
		f.spots[i].Get("classList").Call("toggle", "edge", spot.Edge)
	}
}
