//go:build js

package main

import (
	"fmt"
	"syscall/js"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
)

// smallAsk asks for a small copy of a part of a photograph, set right.
type smallAsk struct {
	part place.Crop // in pixels of it set right; zero for the whole
	side int        // the copy's long side at most
	file bool       // the copy is to be a PNG file, else its pixels
}

// smaller has the plotter make small copies of a photograph, and tells the size that it
// came in. The data of a copy that is to be a file is that of the file. One that stays as it came goes by strip by strip and is held by nobody.
func (p *page) smaller(photograph file, righting study.Righting, asks []smallAsk, progress func(float64) error) (copies []pixels, came place.Pixels, err error) {
	err = p.plot(func() error {
		if err := progress(0); err != nil {
			return err
		}
		if righting.None() {
			copies, came, err = p.reduced(photograph, asks, progress)
		} else {
			copies, came, err = p.reducedRight(photograph, righting, asks, progress)
		}
		return err
	})
	return copies, came, err
}

// reduced makes small copies of a photograph as it came.
func (p *page) reduced(photograph file, asks []smallAsk, progress func(float64) error) ([]pixels, place.Pixels, error) {
	bitmap, size, err := photograph.decode(nil)
	if err != nil {
		return nil, size, err
	}
	defer bitmap.Call("close")
	w, err := p.startReducing(size, asks)
	if err != nil {
		return nil, size, err
	}
	err = readStrips(bitmap, size, func(top, rows int, data js.Value) error {
		if _, err := w.ask(map[string]any{"kind": "reduce-rows", "id": 0, "pixels": data}, data.Get("buffer")); err != nil {
			return err
		}
		if err := p.answerSetOut(); err != nil {
			return err
		}
		return progress(float64(top+rows) / float64(size.Height))
	})
	if err != nil {
		return nil, size, err
	}
	copies, err := takeReduced(w, "reduced")
	return copies, size, err
}

// reducedRight makes small copies of a photograph set right.
func (p *page) reducedRight(photograph file, righting study.Righting, asks []smallAsk, progress func(float64) error) ([]pixels, place.Pixels, error) {
	if err := p.handOver(photograph, progress); err != nil {
		return nil, place.Pixels{}, err
	}
	came := p.plots.size
	_, size, err := p.startRighting(righting)
	if err != nil {
		return nil, came, err
	}
	w, err := p.startReducing(size, asks)
	if err != nil {
		return nil, came, err
	}
	copies, err := takeReduced(w, "reduced-right")
	return copies, came, err
}

// startReducing tells the plotter which copies it is to make of a picture of that size.
func (p *page) startReducing(size place.Pixels, asks []smallAsk) (*worker, error) {
	w, err := p.plots.ready()
	if err != nil {
		return nil, err
	}
	parts := make([]any, len(asks))
	for i, a := range asks {
		part := a.part
		if part.Width == 0 {
			part = place.WholeCrop(size)
		}
		message := cropMessage(part)
		message["side"], message["file"] = a.side, a.file
		parts[i] = message
	}
	reply, err := w.ask(map[string]any{"kind": "reduce", "id": 0, "width": size.Width, "height": size.Height, "parts": parts})
	if err == nil {
		err = refusedBy(reply)
	}
	return w, err
}

// takeReduced has the copies handed over.
func takeReduced(w *worker, kind string) ([]pixels, error) {
	reply, err := w.ask(map[string]any{"kind": kind, "id": 0})
	if err == nil {
		err = refusedBy(reply)
	}
	if err != nil {
		return nil, err
	}
	list := reply.Get("copies")
	copies := make([]pixels, list.Get("length").Int())
	for i := range copies {
		copies[i] = pixelsOf(list.Index(i))
	}
	return copies, nil
}

// besideSide is the long side of the copy of a photograph that is seen beside the one on
// the easel: as long as half of a large tablet's screen, with something to spare for a
// crop. It comes to 16 MB at most, and a third of that in smaller copies.
const besideSide = 2048

// Lay implements easel.Host.
func (p *page) Lay(id int, r study.Reference, righting study.Righting) {
	go func() {
		pyramid, err := p.layCopy(id, r, righting)
		p.tell(func() {
			if err != nil {
				p.easel.LayFailed(id, fmt.Sprintf("laying %s beside: %s", r.Name, wordsOf(err)))
				return
			}
			p.easel.Laid(id, pyramid)
		})
	}()
}

// layCopy makes the copy, unless it is wanted no more.
func (p *page) layCopy(id int, r study.Reference, righting study.Righting) (*photo.Pyramid, error) {
	buffer, err := p.photograph(r.Hash)
	if err != nil {
		return nil, err
	}
	tell := everySoOften(func(share float64) { p.tell(func() { p.easel.Laying(id, share) }) })
	copies, _, err := p.smaller(fileOf(r, buffer), righting, []smallAsk{{side: besideSide}}, func(share float64) error {
		if !p.easel.Wants(id) {
			return errGivenUp
		}
		tell(share)
		return nil
	})
	if err != nil {
		return nil, err
	}
	picture, err := copies[0].picture()
	if err != nil {
		return nil, err
	}
	pyramid := photo.NewPyramid(picture)
	pyramid.Finish()
	return pyramid, nil
}
