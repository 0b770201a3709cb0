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
	box := f.element("histogram")
	for len(f.edges) > len(now.Edges) {
		last := len(f.edges) - 1
		f.edges[last].Call("remove")
		f.edges = f.edges[:last]
	}
	fresh := len(f.edges)
	for len(f.edges) < len(now.Edges) {
		handle := f.document.Call("createElement", "button")
		handle.Set("type", "button")
		handle.Get("dataset").Set("edge", strconv.Itoa(len(f.edges)+1))
		for name, value := range map[string]string{"role": "slider", "aria-valuemin": "0", "aria-valuemax": "100"} {
			handle.Call("setAttribute", name, value)
		}
		box.Call("append", handle)
		f.edges = append(f.edges, handle)
	}
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
	for len(buttons) > len(now) {
		last := len(buttons) - 1
		buttons[last].Call("remove")
		buttons = buttons[:last]
	}
	fresh := len(buttons)
	for len(buttons) < len(now) {
		button := f.document.Call("createElement", "button")
		button.Set("type", "button")
		box.Call("append", button)
		buttons = append(buttons, button)
	}
	f.rows[list] = buttons
	for i, row := range now {
		if i < fresh && i < len(before) && before[i] == row {
			continue
		}
		f.showRow(buttons[i], row)
	}
}

// showRow puts a row's swatches and words into its key.
func (f *face) showRow(button js.Value, row easel.Row) {
	button.Get("dataset").Set("key", row.Key)
	button.Call("replaceChildren")
	for _, codes := range strings.Fields(row.Swatches) {
		swatch := f.document.Call("createElement", "i")
		swatch.Get("style").Set("backgroundColor", "rgb("+codes+")")
		button.Call("append", swatch)
	}
	words := f.document.Call("createElement", "span")
	words.Set("textContent", row.Text)
	button.Call("append", words)
	setPressed(button, row.Pressed)
}

// showSpots puts what the lists are about on the picture.
func (f *face) showSpots(now []easel.Spot) {
	for len(f.spots) > len(now) {
		last := len(f.spots) - 1
		f.spots[last].Call("remove")
		f.spots = f.spots[:last]
	}
	fresh := len(f.spots)
	for len(f.spots) < len(now) {
		spot := f.document.Call("createElement", "span")
		f.element("spots").Call("append", spot)
		f.spots = append(f.spots, spot)
	}
	for i, spot := range now {
		if i < fresh && i < len(f.shown.Spots) && f.shown.Spots[i] == spot {
			continue
		}
		f.spots[i].Set("textContent", spot.Text)
		f.spots[i].Get("style").Set("transform", fmt.Sprintf("translate(%.1fpx, %.1fpx)", spot.X, spot.Y))
		f.spots[i].Get("classList").Call("toggle", "chosen", spot.Chosen)
	}
}
