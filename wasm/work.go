//go:build js

package main

import (
	"errors"
	"fmt"
	"syscall/js"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// worker is the page's side of the mill. One piece of work is done at a time;
// asking for another gives the one before up.
type worker struct {
	object js.Value
	begun  int // the number of the newest piece of work
	answer chan js.Value
	broken chan error
}

// startWorker starts the mill and waits until it answers.
func startWorker() (*worker, error) {
	object, err := attempt(js.Global().Get("parent").Get("maulstick"), "startMill")
	if err != nil {
		return nil, fmt.Errorf("starting the worker: %w", err)
	}
	w := &worker{object: object, answer: make(chan js.Value, 1), broken: make(chan error, 1)}
	object.Set("onmessage", js.FuncOf(func(_ js.Value, args []js.Value) any {
		w.answer <- args[0].Get("data")
		return nil
	}))
	object.Set("onerror", js.FuncOf(func(_ js.Value, args []js.Value) any {
		select {
		case w.broken <- errors.New("the worker stopped: " + args[0].Get("message").String()):
		default:
		}
		return nil
	}))
	if _, err := w.next(); err != nil {
		return nil, fmt.Errorf("starting the worker: %w", err)
	}
	return w, nil
}

// next waits for the mill's next answer.
func (w *worker) next() (js.Value, error) {
	select {
	case v := <-w.answer:
		return v, nil
	case err := <-w.broken:
		return js.Undefined(), err
	}
}

// ask sends a message and waits for its answer.
func (w *worker) ask(message map[string]any, transfer ...any) (js.Value, error) {
	w.object.Call("postMessage", message, transfer)
	return w.next()
}

// countJob is one counting of lightness over the crop of a picture.
type countJob struct {
	id      int
	picture *photo.Picture
	crop    place.Crop
}

// count has the mill count the crop, strip by strip; it ends early, with no
// histograms, once stale says that the answer is wanted no more.
func (w *worker) count(job countJob, stale func() bool) (eye, filter *shape.Histogram, err error) {
	p := job.picture
	crop := map[string]any{"x": job.crop.X, "y": job.crop.Y, "width": job.crop.Width, "height": job.crop.Height}
	if _, err := w.ask(map[string]any{"kind": "begin", "id": job.id, "width": p.Width, "crop": crop}); err != nil {
		return nil, nil, fmt.Errorf("counting the steps: %w", err)
	}
	for top := 0; top < p.Height; top += stripRows {
		if stale() {
			return nil, nil, nil
		}
		rows := min(stripRows, p.Height-top)
		strip := arrayOf(p.Pix[4*p.Width*top : 4*p.Width*(top+rows)])
		message := map[string]any{"kind": "rows", "id": job.id, "top": top, "pixels": strip}
		if _, err := w.ask(message, strip.Get("buffer")); err != nil {
			return nil, nil, fmt.Errorf("counting the steps: %w", err)
		}
	}
	end, err := w.ask(map[string]any{"kind": "end", "id": job.id})
	if err != nil {
		return nil, nil, fmt.Errorf("counting the steps: %w", err)
	}
	return histograms(end.Get("counts"))
}

// histograms reads the two histograms that the mill sends at the end.
func histograms(counts js.Value) (eye, filter *shape.Histogram, err error) {
	data := bytesOf(counts.Get("buffer"))
	eye, filter = &shape.Histogram{}, &shape.Histogram{}
	for _, h := range []*shape.Histogram{eye, filter} {
		if err := h.SetBytes(data[:min(len(data), shape.HistogramBytes)]); err != nil {
			return nil, nil, fmt.Errorf("counting the steps: %w", err)
		}
		data = data[shape.HistogramBytes:]
	}
	return eye, filter, nil
}
