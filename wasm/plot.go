//go:build js

package main

import (
	"fmt"
	"syscall/js"
	"time"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/setout"
)

// plotting is the page's side of the plotter.
type plotting struct {
	standby
	holds    string       // the photograph that lies there whole, "" for none; see lying
	size     place.Pixels // of the photograph that there is room for there
	halved   int          // how often it is halved there
	printing bool         // it is busy with a message that takes long

	setOut *setOutRequest // the newest, until it is answered
	right  int            // the number of the newest Right, 0 for none that is still wanted
	print  int            // the same of PrintSheets
}

// setOutRequest asks for lines to be set out.
type setOutRequest struct {
	id  int
	ask setout.Ask
}

// plotterRest is how long a photograph lies with the plotter after its last use.
const plotterRest = 20 * time.Second

// prepare says how the plotter is started and what it holds then.
func (t *plotting) prepare() {
	t.start, t.rest = "startPlotter", plotterRest
	t.forget = func() { t.holds, t.size = "", place.Pixels{} }
}

// plot does work with the plotter once that is free.
func (p *page) plot(work func() error) error {
	t := &p.plots
	return t.do(work, func() bool { return t.size.Width > 0 })
}

// plotted has the plotter do one piece of work, and is its answer. What it cannot do is
// a *photo.Refusal.
func (p *page) plotted(message map[string]any) (reply js.Value, err error) {
	message["id"] = 0
	err = p.plot(func() error {
		w, err := p.plots.ready()
		if err != nil {
			return err
		}
		reply, err = w.asked(message)
		return err
	})
	return reply, err
}

// StopPlotting implements easel.Host. A plotter that prints is given up in the middle
// of that; what it sets right ends with the strip that it is at. Lines that are to be
// set out come all the same.
func (p *page) StopPlotting() {
	p.plots.right = 0
	p.plots.stopPrinting()
}

// stopPrinting gives up what is being printed, if anything is.
func (t *plotting) stopPrinting() {
	t.print = 0
	if t.worker != nil && t.printing {
		t.worker.end(errStopped)
	}
}

// SetOut implements easel.Host. Of several requests only the newest is answered.
func (p *page) SetOut(id int, ask setout.Ask) {
	waiting := p.plots.setOut != nil
	p.plots.setOut = &setOutRequest{id, ask}
	if waiting {
		return // whoever answers the one before goes on with this
	}
	go func() {
		err := p.plot(p.answerSetOut)
		if request := p.plots.setOut; err != nil && request != nil {
			p.plots.setOut = nil
			failed := setout.Answer{Err: "setting the lines out: " + err.Error(), Hint: "load the page again"}
			p.tell(func() { p.easel.SetOut(request.id, failed) })
		}
	}()
}

// answerSetOut answers the newest request to set lines out, if one waits. Long work
// calls it in between.
func (p *page) answerSetOut() error {
	for t := &p.plots; t.setOut != nil; {
		request := t.setOut
		answer, err := t.setLinesOut(request.ask)
		if err != nil {
			return err
		}
		if request == t.setOut {
			t.setOut = nil
			p.tell(func() { p.easel.SetOut(request.id, answer) })
		}
	}
	return nil
}

// setLinesOut has the plotter set lines out. An error is the worker's; what is wrong
// with the plan is in the answer.
func (t *plotting) setLinesOut(ask setout.Ask) (answer setout.Answer, err error) {
	question, err := ask.MarshalBinary()
	if err != nil {
		return setout.Answer{Err: err.Error()}, nil
	}
	w, err := t.ready()
	if err != nil {
		return answer, err
	}
	reply, err := w.ask(map[string]any{"kind": "set-out", "id": 0, "ask": arrayOf(question)})
	if err != nil {
		return answer, err
	}
	if err := refusedBy(reply); err != nil {
		return setout.Answer{Err: err.Error(), Hint: photo.Hint(err)}, nil
	}
	if err := answer.UnmarshalBinary(bytesOf(reply.Get("answer").Get("buffer"))); err != nil {
		return answer, fmt.Errorf("reading the lines: %w", err)
	}
	return answer, nil
}
