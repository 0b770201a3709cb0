package easel

import (
	"math"

	"maulstick/render/look"
	"maulstick/render/study"
)

// tapped answers a touch that came and went in one place; run is what it did
// to a mark already.
func (e *Easel) tapped(f finger, run string) {
	now := e.now()
	last := e.hand.tap
	e.hand.tap = tap{}
	if now.Sub(f.since) > tapLongest {
		if run == "" {
			e.tapOn(f)
		}
		return
	}
	if !last.at.IsZero() && now.Sub(last.at) < tapAgain && math.Hypot(f.x-last.x, f.y-last.y) < reach {
		e.takeBack(run)
		e.takeBackTap(last)
		e.seeWhole()
		return
	}
	t := tap{at: now, x: f.x, y: f.y, run: run, chosen: e.hand.chosen, look: e.doc().Look, picking: e.picking}
	if run == "" {
		t.chosen = e.doc().Chosen
		t.run = e.tapOn(f)
	}
	e.hand.tap = t
}

// tapOn does what a tap does under the open tray and names the run it made.
func (e *Easel) tapOn(f finger) (run string) {
	switch {
	case e.placing():
		if e.placeMark(f); e.hand.fresh {
			run = e.hand.run
		}
		e.hand.doing = idle
	case e.marksShown():
		if id := e.markNear(f.x, f.y); id != 0 {
			e.choose(id)
		}
	case e.picking:
		run = e.pickNeutral(f.x*e.dpr, f.y*e.dpr)
	case e.doc().Tray == study.TrayValue && e.doc().Parts.Value == "steps", e.throughCamera() && e.doc().Look.Tone == look.Steps:
		e.pickAt(f.x*e.dpr, f.y*e.dpr)
	}
	return run
}

// takeBackTap undoes the first of two taps.
func (e *Easel) takeBackTap(t tap) {
	e.takeBack(t.run)
	e.show(e.doc().WithLook(t.look).Choosing(t.chosen))
	e.picking = t.picking
}
