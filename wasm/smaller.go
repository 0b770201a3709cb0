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
// came in. The data of a copy that is to be a file is that of the file.
func (p *page) smaller(photograph file, righting study.Righting, asks []smallAsk, progress func(float64) error) (copies []pixels, came place.Pixels, err error) {
	err = p.plot(func() error {
		came, err = p.reduce(photograph, righting, func(size place.Pixels) []any { return partsOf(asks, size) }, progress)
		if err != nil {
			return err
		}
		w, err := p.plots.ready()
		if err != nil {
			return err
		}
		reply, err := w.asked(map[string]any{"kind": "reduced", "id": 0})
		if err != nil {
			return err
		}
		list := reply.Get("copies")
		for i := range list.Get("length").Int() {
			copies = append(copies, pixelsOf(list.Index(i)))
		}
		return nil
	})
	return copies, came, err
}

// partsOf are the copies that are asked for, in a message, of a picture of that size.
func partsOf(asks []smallAsk, size place.Pixels) []any {
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
	return parts
}

// reduce has small copies of parts of a photograph made, which stay with the plotter, and
// tells the size that it came in. One that is not set right goes by strip by strip and is
// held by nobody. The plotter must be free.
func (p *page) reduce(photograph file, righting study.Righting, parts func(place.Pixels) []any, progress func(float64) error) (came place.Pixels, err error) {
	if err := progress(0); err != nil {
		return came, err
	}
	begin := func(size place.Pixels, halved int) (*worker, error) {
		w, err := p.plots.ready()
		if err != nil {
			return nil, err
		}
		_, err = w.asked(map[string]any{"kind": "reduce", "id": 0, "width": size.Width, "height": size.Height, "halved": halved, "parts": parts(size)})
		return w, err
	}
	if !righting.None() {
		return p.reduceRight(photograph, righting, begin, progress)
	}
	n, err := p.develop(photograph, nil)
	if err != nil {
		return came, err
	}
	defer n.close()
	w, err := begin(n.came, n.halved)
	if err != nil {
		return n.came, err
	}
	height := photo.Held(n.came, n.halved).Height
	return n.came, n.strips(func(top, rows int, data js.Value) error {
		if _, err := w.ask(map[string]any{"kind": "reduce-rows", "id": 0, "pixels": data}, data.Get("buffer")); err != nil {
			return err
		}
		if err := p.answerSetOut(); err != nil {
			return err
		}
		return progress(float64(top+rows) / float64(height))
	})
}

// reduceRight is reduce for a photograph that is set right: the plotter has to hold it.
func (p *page) reduceRight(photograph file, righting study.Righting, begin func(place.Pixels, int) (*worker, error), progress func(float64) error) (came place.Pixels, err error) {
	if err := p.handOver(photograph, progress); err != nil {
		return came, err
	}
	came = p.plots.size
	_, size, err := p.startRighting(righting)
	if err != nil {
		return came, err
	}
	w, err := begin(size, p.plots.halved)
	if err != nil {
		return came, err
	}
	_, err = w.asked(map[string]any{"kind": "reduce-right", "id": 0})
	return came, err
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
