//go:build js

package main

import (
	"errors"
	"syscall/js"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/wasm/worker"
)

// reduce makes ready to make small copies of parts of a picture whose rows are to come.
func (p *plotter) reduce(message js.Value) error {
	p.reducing = nil
	size := place.Pixels{Width: message.Get("width").Int(), Height: message.Get("height").Int()}
	parts := message.Get("parts")
	var all []*photo.Reducing
	for i := range parts.Get("length").Int() {
		v := parts.Index(i)
		part := place.Crop{X: v.Get("x").Float(), Y: v.Get("y").Float(), Width: v.Get("width").Float(), Height: v.Get("height").Float()}
		r, err := photo.NewReducing(size, part, v.Get("side").Int())
		if err != nil {
			return err
		}
		all = append(all, r)
	}
	p.reducing, p.reduced = all, size
	return nil
}

// addRows adds the rows that come next to every copy.
func (p *plotter) addRows(rows []byte) {
	for _, r := range p.reducing {
		r.Add(rows)
	}
}

// rowsAtATime is how many rows of a picture set right are made between two copies.
const rowsAtATime = 64

// reduceRight makes the copies of the picture that the warping makes.
func (p *plotter) reduceRight() error {
	if p.warping == nil || p.width != p.reduced.Width {
		return errors.New("making small copies: there is no photograph to set right")
	}
	rows := make([]byte, 4*p.width*rowsAtATime)
	for top := 0; top < p.reduced.Height; top += rowsAtATime {
		count := min(rowsAtATime, p.reduced.Height-top)
		p.warping.Rows(top, rows[:4*p.width*count])
		p.addRows(rows[:4*p.width*count])
	}
	return nil
}

// handCopies hands the copies over, and forgets them.
func (p *plotter) handCopies(answer map[string]any) (transfer []any) {
	copies := []any{}
	for _, r := range p.reducing {
		c := r.Picture()
		pixels := worker.Array(c.Pix)
		copies = append(copies, map[string]any{"width": c.Width, "height": c.Height, "pixels": pixels})
		transfer = append(transfer, pixels.Get("buffer"))
	}
	answer["copies"] = copies
	p.reducing = nil
	return transfer
}
