//go:build js

package main

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/png"
	"syscall/js"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/wasm/worker"
)

// reducing is a small copy of a part that is being made, that many pixels long; a PNG file
// of it is wanted, or its pixels.
type reducing struct {
	*photo.Reducing
	part place.Crop
	long int
	file bool
}

// reduce makes ready to make small copies of parts of a picture whose rows are to come,
// as it is held.
func (p *plotter) reduce(message js.Value) error {
	p.reducing = nil
	size := place.Pixels{Width: message.Get("width").Int(), Height: message.Get("height").Int()}
	whole := photo.Picture{Width: size.Width, Height: size.Height, Halved: message.Get("halved").Int()}
	parts := message.Get("parts")
	var all []reducing
	for i := range parts.Get("length").Int() {
		v := parts.Index(i)
		part := place.Crop{X: v.Get("x").Float(), Y: v.Get("y").Float(), Width: v.Get("width").Float(), Height: v.Get("height").Float()}
		long := v.Get("side").Int()
		r, err := photo.NewReducing(whole.Held(), whole.OnHeld(part), long)
		if err != nil {
			return err
		}
		all = append(all, reducing{r, part, long, v.Get("file").Bool()})
	}
	p.reducing, p.reduced = all, whole.Held()
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
func (p *plotter) handCopies(answer map[string]any) (transfer []any, err error) {
	copies := []any{}
	for _, r := range p.reducing {
		c := r.Picture()
		data := c.Pix
		if r.file {
			if data, err = pngOf(c); err != nil {
				return nil, err
			}
		}
		array := worker.Array(data)
		copies = append(copies, map[string]any{"width": c.Width, "height": c.Height, "pixels": array})
		transfer = append(transfer, array.Get("buffer"))
	}
	answer["copies"] = copies
	p.reducing = nil
	return transfer, nil
}

// pngOf is a picture as a PNG file.
func pngOf(p *photo.Picture) ([]byte, error) {
	var b bytes.Buffer
	picture := &image.RGBA{Pix: p.Pix, Stride: 4 * p.Width, Rect: image.Rect(0, 0, p.Width, p.Height)}
	if err := png.Encode(&b, picture); err != nil {
		return nil, fmt.Errorf("writing a picture: %w", err)
	}
	return b.Bytes(), nil
}
