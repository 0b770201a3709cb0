//go:build js

package main

import (
	"fmt"
	"sync"
	"syscall/js"
	"time"

	"maulstick/render/check"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
	"maulstick/render/verdict"
	"maulstick/wasm/easel"
)

// comparing is the page's side of the callipers, which are started when they are first
// needed, and anew for the next work after they broke or were stopped.
type comparing struct {
	lock   sync.Mutex        // held by whoever the callipers work for
	worker *worker           // nil while there is none
	holds  map[string]string // what lies there under each name; see layIn
	uses   int

	newest   int  // the number of the newest check, 0 for none that is still wanted
	checking bool // it is a check that they work for
}

// callipersRest is how long pictures lie with the callipers after their last use: the
// memory that they take is given back only with the worker itself.
const callipersRest = 60 * time.Second

// measure does work with the callipers once they are free, unless it is wanted no more.
func (p *page) measure(wanted func() bool, work func(w *worker) error) error {
	c := &p.compares
	c.lock.Lock()
	defer c.lock.Unlock()
	if !wanted() {
		return errGivenUp
	}
	c.uses++
	if c.worker == nil || c.worker.ended {
		c.giveUp()
		w, err := startWorker("startCallipers")
		if err != nil {
			return err
		}
		c.worker, c.holds = w, map[string]string{}
	}
	err := work(c.worker)
	if c.worker.ended {
		c.giveUp()
		return err
	}
	uses := c.uses
	time.AfterFunc(callipersRest, func() { c.rest(uses) })
	return err
}

// rest gives the callipers up if they have not been used again. If they are being used
// they have been.
func (c *comparing) rest(uses int) {
	if !c.lock.TryLock() {
		return
	}
	defer c.lock.Unlock()
	if c.uses == uses {
		c.giveUp()
	}
}

// giveUp ends the worker, if there is one, and what it holds.
func (c *comparing) giveUp() {
	if c.worker != nil {
		c.worker.object.Call("terminate")
	}
	c.worker, c.holds = nil, nil
}

// layIn begins to lay a picture with the callipers under a name, in the place of what
// lay there, and hands over strip after strip. Key tells the picture apart; whole says
// that the last strip has come. With a part only that is laid there, in so many pixels.
func (p *page) layIn(w *worker, name, key string, size place.Pixels, halved int, part *place.Crop, side int) (each strip, whole func(), err error) {
	c := &p.compares
	delete(c.holds, name)
	message := map[string]any{"kind": "picture", "id": 0, "name": name, "width": size.Width, "height": size.Height, "halved": halved}
	if part != nil {
		message["part"], message["side"] = cropMessage(*part), side
	}
	_, err = w.asked(message)
	each = func(_, _ int, data js.Value) error {
		_, err := w.asked(map[string]any{"kind": "rows", "id": 0, "name": name, "pixels": data}, data.Get("buffer"))
		return err
	}
	return each, func() { c.holds[name] = key }, err
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
	each, whole, err := p.layIn(w, name, r.Hash, n.came, n.halved, nil, 0)
	if err != nil {
		return err
	}
	height := photo.Held(n.came, n.halved).Height
	err = n.strips(func(top, rows int, data js.Value) error {
		if err := each(top, rows, data); err != nil {
			return err
		}
		return progress(float64(top+rows) / float64(height))
	})
	if err == nil {
		whole()
	}
	return err
}

// layEasel lays a part of the picture on the easel with the callipers, in so many pixels,
// unless it lies there.
func (p *page) layEasel(w *worker, name string, part place.Crop, side int, progress func(share float64) error) error {
	picture := p.picture
	key := fmt.Sprint(p.onEasel, p.righting.Key(), part, side)
	if p.compares.holds[name] == key {
		return nil
	}
	each, whole, err := p.layIn(w, name, key, picture.Size(), picture.Halved, &part, side)
	if err != nil {
		return err
	}
	held := picture.Held()
	breath := breather{since: time.Now()}
	for top := 0; top < held.Height; top += stripRows {
		rows := min(stripRows, held.Height-top)
		data := arrayOf(picture.Pix[4*held.Width*top : 4*held.Width*(top+rows)])
		if err := each(top, rows, data); err != nil {
			return err
		}
		breath.breathe()
		if err := progress(float64(top+rows) / float64(held.Height)); err != nil {
			return err
		}
	}
	whole()
	return nil
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
			if !wanted() { // stopped while the callipers were being started
				return errGivenUp
			}
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
		if err := p.layEasel(w, "reference", ask.Part, check.Side, part(paintingShare, referenceShare)); err != nil {
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
