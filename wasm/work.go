//go:build js

package main

import (
	"errors"
	"fmt"
	"syscall/js"
)

// worker is the page's side of the mill. One piece of work is done at a time.
type worker struct {
	object js.Value
	answer chan js.Value
	broken chan error
	copied copied // what lies on the mill's desk
}

// errStopped ends work that the painter stopped.
var errStopped = errors.New("the work was stopped")

// startWorker starts the mill, in place of one that was there, and waits until it
// answers.
func startWorker() (*worker, error) {
	object, err := attempt(js.Global().Get("parent").Get("maulstick"), "startMill")
	if err != nil {
		return nil, fmt.Errorf("starting the worker: %w", err)
	}
	w := &worker{object: object, answer: make(chan js.Value, 16), broken: make(chan error, 1)}
	object.Set("onmessage", js.FuncOf(func(_ js.Value, args []js.Value) any {
		w.answer <- args[0].Get("data")
		return nil
	}))
	object.Set("onerror", js.FuncOf(func(_ js.Value, args []js.Value) any {
		w.end(errors.New("the worker stopped: " + args[0].Get("message").String()))
		return nil
	}))
	if _, err := w.next(nil); err != nil {
		return nil, fmt.Errorf("starting the worker: %w", err)
	}
	return w, nil
}

// end has whatever is waited for fail.
func (w *worker) end(err error) {
	select {
	case w.broken <- err:
	default:
	}
}

// next waits for the mill's next answer, and passes on how far it says that it is.
func (w *worker) next(progress func(share float64)) (js.Value, error) {
	for {
		select {
		case v := <-w.answer:
			if v.Get("kind").String() != "progress" {
				return v, nil
			}
			if progress != nil {
				progress(v.Get("share").Float())
			}
		case err := <-w.broken:
			return js.Undefined(), err
		}
	}
}

// ask sends a message and waits for its answer.
func (w *worker) ask(message map[string]any, transfer ...any) (js.Value, error) {
	w.object.Call("postMessage", message, transfer)
	return w.next(nil)
}

// work starts the mill once the page stands, then feeds it. A mill that was stopped
// or broke is started anew for the next piece of work.
func (p *page) work() {
	for {
		w, err := startWorker()
		if err != nil {
			p.tell(func() { p.easel.Refuse(err) })
			return
		}
		p.worker = w
		for err == nil {
			select {
			case request := <-p.counts:
				err = p.count(w, request)
			case request := <-p.surveys:
				err = p.survey(w, request)
			}
		}
		if !errors.Is(err, errStopped) {
			p.tell(func() { p.easel.Refuse(err) })
		}
	}
}
