//go:build js

package main

import (
	"fmt"
	"syscall/js"
	"time"

	"maulstick/render/check"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
	"maulstick/render/verdict"
	"maulstick/wasm/easel"
)

// comparing is the page's side of the callipers.
type comparing struct {
	standby
	holds map[string]string // what lies there under each name; see layIn

	newest   int  // the number of the newest check, 0 for none that is still wanted
	checking bool // it is a check that they work for
}

// callipersRest is how long pictures lie with the callipers after their last use.
const callipersRest = 60 * time.Second

// prepare says how the callipers are started and what they hold then.
func (c *comparing) prepare() {
	c.start, c.rest = "startCallipers", callipersRest
	c.forget = func() { c.holds = map[string]string{} }
}

// measure does work with the callipers once they are free and have been started, unless it
// is wanted no more.
func (p *page) measure(wanted func() bool, work func(w *worker) error) error {
	c := &p.compares
	return c.do(func() error {
		if !wanted() {
			return errGivenUp
		}
		w, err := c.ready()
		switch {
		case err != nil:
			return err
		case !wanted():
			return errGivenUp
		}
		return work(w)
	}, func() bool { return true })
}

// layIn begins to lay a picture with the callipers under a name, in the place of what
// lay there, and hands over strip after strip. Key tells the picture apart. With a part
// only that is laid there, in so many pixels.
func (p *page) layIn(w *worker, name, key string, size place.Pixels, halved int, part *place.Crop, side int, progress func(float64) error) (strip, error) {
	c := &p.compares
	delete(c.holds, name)
	message := map[string]any{"kind": "picture", "id": 0, "name": name, "width": size.Width, "height": size.Height, "halved": halved}
	if part != nil {
		message["part"], message["side"] = cropMessage(*part), side
	}
	height := photo.Held(size, halved).Height
	_, err := w.asked(message)
	return func(top, rows int, data js.Value) error {
		if _, err := w.asked(map[string]any{"kind": "rows", "id": 0, "name": name, "pixels": data}, data.Get("buffer")); err != nil {
			return err
		}
		if top+rows == height {
			c.holds[name] = key
		}
		return progress(float64(top+rows) / float64(height))
	}, err
}

// layPhotograph lays a photograph with the callipers as it came, in the place of another,
// unless it lies there.
func (p *page) layPhotograph(w *worker, r study.Reference, progress func(share float64) error) error {
	const name = "photograph"
	if p.compares.holds[name] == r.Hash {
		return nil
	}
	buffer, err := p.photograph(r.Hash)
	if err != nil {
		return err
	}
	n, err := p.develop(fileOf(r, buffer), nil)
	if err != nil {
		return err
	}
	defer n.close()
	each, err := p.layIn(w, name, r.Hash, n.came, n.halved, nil, 0, progress)
	if err != nil {
		return err
	}
	return n.strips(each)
}

// layEasel lays a part of the picture on the easel with the callipers, in so many pixels,
// unless it lies there.
func (p *page) layEasel(w *worker, part place.Crop, side int, progress func(share float64) error) error {
	const name = "reference"
	key := fmt.Sprint(p.onEasel, p.righting.Key(), part, side)
	if p.compares.holds[name] == key {
		return nil
	}
	each, err := p.layIn(w, name, key, p.picture.Size(), p.picture.Halved, &part, side, progress)
	if err != nil {
		return err
	}
	return stripsOf(p.picture, each)
}

// The parts of a check that laying both pictures with the callipers is.
const (
	paintingShare  = 0.15
	referenceShare = 0.05
)

// CheckPainting implements easel.Host.
func (p *page) CheckPainting(id int, ask easel.PaintingAsk) {
	p.compares.newest = id
	wanted := func() bool { return p.compares.newest == id }
	go func() {
		tell := everySoOften(func(share float64) { p.tell(func() { p.easel.Checking(id, share) }) })
		var answer verdict.Answer
		var both verdict.Pictures
		err := p.measure(wanted, func(w *worker) (err error) {
			p.compares.checking = true
			defer func() { p.compares.checking = false }()
			answer, both, err = p.checked(w, ask, func(share float64) error {
				if !wanted() {
					return errGivenUp
				}
				tell(share)
				return nil
			})
			return err
		})
		if !wanted() {
			return
		}
		p.compares.newest = 0
		p.tell(func() {
			if err != nil {
				p.easel.CheckFailed(id, "checking the painting: "+wordsOf(err))
				return
			}
			p.easel.Checked(id, answer, both)
		})
	}()
}

// checked has the callipers find the canvas, or check what is painted on it.
func (p *page) checked(w *worker, ask easel.PaintingAsk, progress func(share float64) error) (answer verdict.Answer, both verdict.Pictures, err error) {
	question, err := ask.Ask.MarshalBinary()
	if err != nil {
		return answer, both, err
	}
	part := func(from, share float64) func(float64) error {
		return func(done float64) error { return progress(from + share*done) }
	}
	if err := p.layPhotograph(w, ask.Photograph, part(0, paintingShare)); err != nil {
		return answer, both, err
	}
	kind, from := "find", paintingShare
	if !ask.Find {
		kind, from = "check", paintingShare+referenceShare
		if err := p.layEasel(w, ask.Part, check.Side, part(paintingShare, referenceShare)); err != nil {
			return answer, both, err
		}
	}
	w.object.Call("postMessage", map[string]any{"kind": kind, "id": 0, "ask": arrayOf(question)})
	reply, err := w.next(func(share float64) { _ = progress(from + (1-from)*share) }) // StopChecking ends the worker
	if err == nil {
		err = refusedBy(reply)
	}
	if err != nil {
		return answer, both, err
	}
	if err := answer.UnmarshalBinary(bytesOf(reply.Get("answer").Get("buffer"))); err != nil {
		return answer, both, err
	}
	if !reply.Get("painting").Truthy() {
		return answer, both, nil
	}
	width, height := reply.Get("width").Int(), reply.Get("height").Int()
	if both.Painting, err = (pixels{width, height, ownArray(reply.Get("painting"))}).picture(); err != nil {
		return answer, both, err
	}
	both.Reference, err = (pixels{width, height, ownArray(reply.Get("reference"))}).picture()
	return answer, both, err
}

// StopChecking implements easel.Host: the callipers are given up in the middle of their
// work, unless it is another and the check still waits for its turn.
func (p *page) StopChecking() {
	c := &p.compares
	if c.newest = 0; c.checking {
		c.worker.end(errStopped)
	}
}
