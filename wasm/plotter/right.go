//go:build js

package main

import (
	"syscall/js"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/wasm/worker"
)

// right makes ready to redraw the picture, as it is held, through a homography. The new picture is
// never held: its rows are made as they are asked for.
func (p *plotter) right(message js.Value) error {
	var to place.Homography
	for i := range 9 {
		to[i/3][i%3] = message.Get("to").Index(i).Float()
	}
	size := place.Pixels{Width: message.Get("width").Int(), Height: message.Get("height").Int()}
	warping, err := photo.NewWarping(p.picture.AsHeld(), to, size)
	p.warping, p.width = warping, size.Width
	return err
}

// righted is rows of the picture set right.
func (p *plotter) righted(message js.Value) js.Value {
	rows := make([]byte, 4*p.width*message.Get("rows").Int())
	p.warping.Rows(message.Get("top").Int(), rows)
	return worker.Array(rows)
}
