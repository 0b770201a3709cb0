//go:build js

package main

import (
	"fmt"
	"math"
	"syscall/js"
	"time"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
)

// Right implements easel.Host. Of several requests only the newest is answered, and
// none that was stopped or whose study has gone.
func (p *page) Right(id int, doc study.Document) {
	p.plots.right = id
	go func() {
		tell := everySoOften(func(share float64) { p.tell(func() { p.easel.Righting(id, share) }) })
		var pyramid *photo.Pyramid
		buffer, err := p.photograph(doc.Reference.Hash)
		if err == nil {
			pyramid, _, _, err = p.pixelsOf(fileOf(doc.Reference, buffer), doc.Righting, func(share float64) error {
				if p.plots.right != id {
					return errGivenUp
				}
				tell(share)
				return nil
			})
		}
		if p.plots.right != id {
			return
		}
		p.plots.right = 0
		p.tell(func() {
			switch {
			case err != nil:
				p.easel.RightFailed(id, fmt.Sprintf("setting %s right: %s", doc.Reference.Name, wordsOf(err)))
			case p.easel.Righted(id, pyramid.Picture()):
				p.put(pyramid, doc.Righting)
				p.onEasel, p.photos[doc.Reference.Hash] = doc.Reference.Hash, buffer
				p.letGo()
			}
		})
	}()
}

// handedShare is the part of setting a photograph right, or of printing it, that
// handing it to the plotter is.
const handedShare = 0.1

// redrawn is a photograph set right, and the size that it came in. Its pixels go to
// the plotter strip by strip and come back in the same way, so that this program never
// holds them as they came, nor the plotter as they are then.
func (p *page) redrawn(photograph file, righting study.Righting, progress func(float64) error) (pyramid *photo.Pyramid, came place.Pixels, err error) {
	err = p.plot(func() error {
		if err := progress(0); err != nil {
			return err
		}
		if err := p.handOver(photograph, progress); err != nil {
			return err
		}
		came = p.plots.size
		pyramid, err = p.takeBack(righting, progress)
		return err
	})
	return pyramid, came, err
}

// lying is what tells pictures apart that lie with the plotter: the photograph's hash
// and how it was set right. Without a hash it is not told.
func lying(hash string, righting study.Righting) string {
	if hash == "" {
		return ""
	}
	return hash + " " + righting.Key()
}

// handOver hands a photograph to the plotter as it came, unless it lies there.
func (p *page) handOver(photograph file, progress func(float64) error) error {
	t, name := &p.plots, lying(photograph.name, study.Righting{})
	if name != "" && t.holds == name {
		return nil
	}
	n, err := p.develop(photograph, nil)
	if err != nil {
		return err
	}
	defer n.close()
	lay, err := p.layOut(name, n.came, n.halved, progress)
	if err != nil {
		return err
	}
	return n.strips(lay)
}

// layOut begins to lay a picture out with the plotter, in place of the one before, and
// hands over strip after strip, each from the start of an array of its own.
func (p *page) layOut(name string, size place.Pixels, halved int, progress func(float64) error) (strip func(top, rows int, data js.Value) error, err error) {
	t := &p.plots
	w, err := t.ready()
	if err != nil {
		return nil, err
	}
	t.holds, t.size, t.halved = "", size, halved
	height := photo.Held(size, halved).Height
	if _, err := w.ask(map[string]any{"kind": "photograph", "id": 0, "width": size.Width, "height": size.Height, "halved": halved}); err != nil {
		return nil, err
	}
	return func(top, rows int, data js.Value) error {
		message := map[string]any{"kind": "photograph-rows", "id": 0, "top": top, "pixels": data}
		if _, err := w.ask(message, data.Get("buffer")); err != nil {
			return err
		}
		if top+rows == height {
			t.holds = name
		}
		if err := p.answerSetOut(); err != nil {
			return err
		}
		return progress(handedShare * float64(top+rows) / float64(height))
	}, nil
}

// startRighting makes the plotter ready to set right the photograph that it holds, and
// tells the size that it has then. What is held halved there is set right so.
func (p *page) startRighting(righting study.Righting) (w *worker, size place.Pixels, err error) {
	to, size, err := righting.Forward(p.plots.size)
	if err != nil {
		return nil, size, err
	}
	if w, err = p.plots.ready(); err != nil {
		return nil, size, err
	}
	n := math.Ldexp(1, p.plots.halved)
	to = scaling(n).Then(to).Then(scaling(1 / n))
	held := photo.Held(size, p.plots.halved)
	rows := make([]any, 0, 9)
	for _, row := range to {
		rows = append(rows, row[0], row[1], row[2])
	}
	_, err = w.asked(map[string]any{"kind": "right", "id": 0, "to": rows, "width": held.Width, "height": held.Height})
	return w, size, err
}

// scaling makes a picture so many times as large.
func scaling(by float64) place.Homography { return place.Homography{{by, 0, 0}, {0, by, 0}, {0, 0, 1}} }

// takeBack has the plotter set right the photograph that it holds.
func (p *page) takeBack(righting study.Righting, progress func(float64) error) (*photo.Pyramid, error) {
	w, size, err := p.startRighting(righting)
	if err != nil {
		return nil, err
	}
	pyramid := photo.NewPyramid(newPicture(size, p.plots.halved))
	held := pyramid.Picture().Held()
	breath := breather{since: time.Now()}
	for top := 0; top < held.Height; top += stripRows {
		rows := min(stripRows, held.Height-top)
		reply, err := w.ask(map[string]any{"kind": "righted-rows", "id": 0, "top": top, "rows": rows})
		if err != nil {
			return nil, err
		}
		fill(pyramid, top, rows, ownArray(reply.Get("pixels")), &breath)
		if err := p.answerSetOut(); err != nil {
			return nil, err
		}
		if err := progress(handedShare + (1-handedShare)*float64(top+rows)/float64(held.Height)); err != nil {
			return nil, err
		}
	}
	return pyramid, nil
}

// refusedBy is what the plotter says that it cannot do, and what would help.
func refusedBy(reply js.Value) error {
	if failed := reply.Get("failed"); failed.Truthy() {
		return &photo.Refusal{What: failed.String(), Help: reply.Get("hint").String()}
	}
	return nil
}

// wordsOf is an error with what helps against it, as the end of a sentence.
func wordsOf(err error) string {
	hint := photo.Hint(err)
	if hint == "" {
		hint = place.Hint(err)
	}
	if hint == "" {
		return err.Error()
	}
	return err.Error() + "; " + hint
}
