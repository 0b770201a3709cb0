//go:build js

package main

import (
	"fmt"
	"syscall/js"

	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/wasm/easel"
)

// Count implements easel.Host.
func (p *page) Count(request easel.CountRequest) {
	p.counting = request.ID
	p.counts <- request
}

// count has the mill count the crop of the open picture, strip by strip; it ends
// early once another count has been asked for, or another photograph lies open.
func (p *page) count(w *worker, request easel.CountRequest) error {
	picture := p.picture
	if request.ID != p.counting || picture == nil {
		return nil
	}
	held := picture.Held()
	begin := map[string]any{
		"kind": "begin", "id": request.ID, "width": held.Width, "crop": cropMessage(picture.OnHeld(request.Crop)), "sheet": int(request.Sheet),
	}
	if _, err := w.ask(begin); err != nil {
		return fmt.Errorf("counting the steps: %w", err)
	}
	for top := 0; top < held.Height; top += stripRows {
		if request.ID != p.counting || picture != p.picture {
			return nil
		}
		rows := min(stripRows, held.Height-top)
		strip := arrayOf(picture.Pix[4*held.Width*top : 4*held.Width*(top+rows)])
		message := map[string]any{"kind": "rows", "id": request.ID, "top": top, "pixels": strip}
		if _, err := w.ask(message, strip.Get("buffer")); err != nil {
			return fmt.Errorf("counting the steps: %w", err)
		}
	}
	end, err := w.ask(map[string]any{"kind": "end", "id": request.ID})
	if err != nil {
		return fmt.Errorf("counting the steps: %w", err)
	}
	eye, filter, err := histograms(end.Get("counts"))
	if err != nil {
		return fmt.Errorf("counting the steps: %w", err)
	}
	p.tell(func() { p.easel.Counted(request.ID, *eye, *filter) })
	return nil
}

// histograms reads the two histograms that the mill sends at the end.
func histograms(counts js.Value) (eye, filter *shape.Histogram, err error) {
	data := bytesOf(counts.Get("buffer"))
	eye, filter = &shape.Histogram{}, &shape.Histogram{}
	half := len(data) / 2
	if err := eye.SetBytes(data[:half]); err != nil {
		return nil, nil, err
	}
	return eye, filter, filter.SetBytes(data[half:])
}

// cropMessage is a crop in a message to the mill.
func cropMessage(c place.Crop) map[string]any {
	return map[string]any{"x": c.X, "y": c.Y, "width": c.Width, "height": c.Height}
}
