//go:build js

package main

import (
	"fmt"
	"syscall/js"

	"maulstick/wasm/easel"
)

// handleOf is the button of a handle.
func (f *face) handleOf(int) js.Value { return f.button(f.element("handles")) }

// showHandles puts the handles of the tool in hand on the picture.
func (f *face) showHandles(now []easel.Handle) {
	fresh := len(f.handles)
	f.handles = asMany(f.handles, len(now), f.handleOf)
	for i, h := range now {
		if i < fresh && i < len(f.shown.Handles) && f.shown.Handles[i] == h {
			continue
		}
		f.handles[i].Get("dataset").Set("handle", h.Name)
		f.handles[i].Call("setAttribute", "aria-label", h.Label)
		f.handles[i].Get("style").Set("transform", fmt.Sprintf("translate(%.0fpx, %.0fpx)", h.X, h.Y))
	}
}

// showFrame puts a frame about a part of the picture: the crop being pulled, or what is
// borrowed.
func (f *face) showFrame(id string, before, now *easel.Frame) {
	frame := f.element(id)
	if !frame.Truthy() || now == before || now != nil && before != nil && *now == *before {
		return
	}
	frame.Set("hidden", now == nil)
	if now == nil {
		return
	}
	style := frame.Get("style")
	style.Set("transform", fmt.Sprintf("translate(%.1fpx, %.1fpx)", now.X, now.Y))
	style.Set("width", fmt.Sprintf("%.1fpx", now.Width))
	style.Set("height", fmt.Sprintf("%.1fpx", now.Height))
}

// showOutline draws the canvas's outline on its photograph.
func (f *face) showOutline(before, now string) {
	box := f.element("outline")
	if !box.Truthy() || now == before {
		return
	}
	box.Call("toggleAttribute", "hidden", now == "")
	for _, id := range []string{"outline-casing", "outline-line"} {
		f.element(id).Call("setAttribute", "points", now)
	}
}

// showCard draws the outline of a bank card.
func (f *face) showCard(now [2]float64) {
	card := f.element("card")
	if !card.Truthy() || now == f.shown.Card {
		return
	}
	card.Get("style").Set("width", fmt.Sprintf("%.2fpx", now[0]))
	card.Get("style").Set("height", fmt.Sprintf("%.2fpx", now[1]))
}

// nudges are how far the arrow keys move a handle, in photo pixels on the screen.
var nudges = map[string][2]float64{
	"ArrowLeft": {-1, 0}, "ArrowRight": {1, 0}, "ArrowUp": {0, -1}, "ArrowDown": {0, 1},
}

// farNudge is how much further they move it with Shift held.
const farNudge = 20

// listenHandles lets the arrow keys move the handle that has the focus.
func (p *page) listenHandles() {
	listen(p.document.Call("getElementById", "handles"), "keydown", func(event js.Value) {
		by, ok := nudges[event.Get("key").String()]
		name := event.Get("target").Get("dataset").Get("handle")
		if !ok || !name.Truthy() {
			return
		}
		times := 1.0
		if event.Get("shiftKey").Bool() {
			times = farNudge
		}
		event.Call("preventDefault")
		p.tell(func() { p.easel.NudgeHandle(name.String(), times*by[0], times*by[1]) })
	})
}
