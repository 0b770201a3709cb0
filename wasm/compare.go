//go:build js

package main

import (
	"sync"
	"syscall/js"
	"time"

	"maulstick/render/photo"
)

// comparing is the page's side of the callipers, which are started when they are first
// needed, and anew for the next work after they broke or were stopped.
type comparing struct {
	lock   sync.Mutex        // held by whoever the callipers work for
	worker *worker           // nil while there is none
	holds  map[string]string // the hashes of the photographs that lie there whole, by the names they lie under
	uses   int
}

// callipersRest is how long photographs lie with the callipers after their last use: the
// memory that they take is given back only with the worker itself.
const callipersRest = time.Minute

// compare does work with the callipers once they are free.
func (p *page) compare(work func(w *worker) error) error {
	c := &p.compares
	c.lock.Lock()
	defer c.lock.Unlock()
	c.uses++
	uses := c.uses
	if c.worker == nil || c.worker.ended {
		c.giveUp()
		w, err := startWorker("startCallipers")
		if err != nil {
			return err
		}
		c.worker = w
	}
	err := work(c.worker)
	if c.worker.ended {
		c.giveUp()
	}
	time.AfterFunc(callipersRest, func() { c.rest(uses) })
	return err
}

// rest gives the callipers up if they have not been used again.
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
	c.worker, c.holds = nil, map[string]string{}
}

// layWhole hands a photograph to the callipers as it came, under a name, unless it lies
// there. Only work that was passed to compare may call it.
func (p *page) layWhole(w *worker, name string, photograph file, progress func(share float64) error) error {
	c := &p.compares
	if photograph.name != "" && c.holds[name] == photograph.name {
		return nil
	}
	n, err := p.develop(photograph, nil)
	if err != nil {
		return err
	}
	defer n.close()
	delete(c.holds, name)
	if _, err := w.ask(map[string]any{"kind": "picture", "id": 0, "name": name, "width": n.came.Width, "height": n.came.Height, "halved": n.halved}); err != nil {
		return err
	}
	height := photo.Held(n.came, n.halved).Height
	err = n.strips(func(top, rows int, data js.Value) error {
		if _, err := w.ask(map[string]any{"kind": "rows", "id": 0, "name": name, "pixels": data}, data.Get("buffer")); err != nil {
			return err
		}
		return progress(float64(top+rows) / float64(height))
	})
	if err == nil {
		c.holds[name] = photograph.name
	}
	return err
}
