//go:build js

package main

import (
	"errors"
	"fmt"
	"syscall/js"
)

// worker is the page's side of a program in a worker. One piece of work is done at a
// time.
type worker struct {
	object js.Value
	answer chan js.Value
	broken chan error
	ended  bool   // it is of no use any more
	copied copied // what lies on the mill's desk
}

// errStopped ends work that the painter stopped.
var errStopped = errors.New("the work was stopped")

// startWorker starts a worker by the page's method for it, in place of one that was
// there, and waits until it answers.
func startWorker(method string) (*worker, error) {
	object, err := attempt(js.Global().Get("parent").Get("maulstick"), method)
	if err != nil {
		return nil, fmt.Errorf("starting the worker: %w", err)
	}
	w := &worker{object: object, answer: make(chan js.Value, 16), broken: make(chan error, 1)}
	object.Set("onmessage", js.FuncOf(func(_ js.Value, args []js.Value) any {
		w.take(args[0].Get("data"))
		return nil
	}))
	object.Set("onerror", js.FuncOf(func(_ js.Value, args []js.Value) any {
		reason := args[0].Get("message")
		if reason.Type() != js.TypeString {
			reason = js.ValueOf("a part of it could not be fetched")
		}
		w.end(errors.New("the worker stopped: " + reason.String()))
		return nil
	}))
	if _, err := w.next(nil); err != nil {
		return nil, fmt.Errorf("starting the worker: %w", err)
	}
	return w, nil
}

// take takes a message from the worker.
func (w *worker) take(message js.Value) {
	if message.Get("kind").String() == "broken" {
		w.end(errors.New("the worker stopped: " + message.Get("reason").String()))
		return
	}
	w.answer <- message
}

// end has whatever is waited for fail.
func (w *worker) end(err error) {
	w.ended = true
	select {
	case w.broken <- err:
	default:
	}
}

// next waits for the worker's next answer, and passes on how far it says that it is.
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

// asked is ask whose error may be what the worker says that it cannot do, too.
func (w *worker) asked(message map[string]any, transfer ...any) (js.Value, error) {
	reply, err := w.ask(message, transfer...)
	if err != nil {
		return reply, err
	}
	return reply, refusedBy(reply)
}

// work starts the mill once the page stands, then feeds it. A mill that was stopped
// or broke is started anew for the next piece of work.
func (p *page) work() {
	for {
		w, err := startWorker("startMill")
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
