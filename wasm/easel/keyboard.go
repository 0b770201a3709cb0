package easel

import (
	"slices"

	"maulstick/render/look"
	"maulstick/render/study"
)

// coarser is how much further a nudge goes, and how many device pixels an
// arrow pans, with Shift held.
const (
	coarser = 10
	panBy   = 60 // CSS pixels
)

// arrows are the directions of the arrow keys on the screen.
var arrows = map[string][2]float64{
	"ArrowLeft": {-1, 0}, "ArrowRight": {1, 0}, "ArrowUp": {0, -1}, "ArrowDown": {0, 1},
}

// turns are the keys of page-turner pedals and presenters, and whether they go
// on or back through the cycle of looks.
var turns = map[string]int{
	"PageDown": 1, "PageUp": -1, "ArrowRight": 1, "ArrowLeft": -1, "ArrowDown": 1, "ArrowUp": -1, " ": 1,
}

// Key answers a key of the keyboard, by the name that browsers give it, while
// the focus is on the picture or a mark; PageUp and PageDown also come from
// elsewhere. It says whether the key meant anything, so that the browser must
// not act on it. repeat tells a key that is held down from one pressed anew.
func (e *Easel) Key(key string, shift, repeat bool) (used bool) {
	if !e.ready() || e.lock.on {
		return false
	}
	used = e.paletteSeen() && e.touchKey(key, shift) || e.moveKey(key, shift) || e.actKey(key, repeat) || e.turnKey(key, repeat)
	e.after()
	return used
}

// moveKey moves the chosen mark by a device pixel, or with Shift held and no
// mark chosen the picture, and zooms.
func (e *Easel) moveKey(key string, shift bool) bool {
	if to, ok := arrows[key]; ok {
		_, chosen := e.reading()
		switch {
		case chosen && shift:
			e.nudge(coarser*to[0], coarser*to[1])
		case chosen:
			e.nudge(to[0], to[1])
		case shift:
			e.pan(-panBy*e.dpr*to[0], -panBy*e.dpr*to[1])
		default:
			return false
		}
		return true
	}
	switch key {
	case "+", "=":
		e.zoomKey(closerBy)
	case "-", "_":
		e.zoomKey(1 / closerBy)
	case "0":
		e.seeWhole()
	default:
		return false
	}
	return true
}

// actKey places, deletes and lets go of marks.
func (e *Easel) actKey(key string, repeat bool) bool {
	switch key {
	case "Delete", "Backspace":
		if _, chosen := e.reading(); !chosen || repeat {
			return false
		}
		e.deleteMark()
	case "Enter":
		if e.throughCamera() && !repeat {
			e.freeze()
			return true
		}
		if !e.placing() || repeat {
			return false
		}
		e.settle()
		e.placeInMiddle()
	case "Escape":
		return e.escape()
	default:
		return false
	}
	return true
}

// escape gives up the last thing begun.
func (e *Easel) escape() bool {
	_, chosen := e.reading()
	switch {
	case e.hand.busy():
		e.abandon()
	case e.says.message != "":
		e.says.message = ""
	case e.armed || e.picking || e.tool.tool != noTool:
		e.armed, e.picking, e.tool = false, false, inHand{}
	case chosen:
		e.show(e.doc().Choosing(0))
	case e.paletteSeen() && e.palette.chosen != 0:
		e.pressTouch(0)
	case e.camera.frozen && e.throughCamera():
		e.freeze()
	case e.doc().Tray != "":
		e.show(e.doc().WithTray(""))
	default:
		return false
	}
	return true
}

// turnKey steps through the painter's cycle of looks. A pedal held down too
// long is one step.
func (e *Easel) turnKey(key string, repeat bool) bool {
	by, ok := turns[key]
	cycle := e.doc().Cycle
	if !ok || len(cycle) == 0 {
		return false
	}
	if repeat {
		return true
	}
	e.settle()
	at := slices.IndexFunc(cycle, e.looksLike)
	switch {
	case at >= 0:
		at = (at + by + len(cycle)) % len(cycle)
	case by < 0:
		at = len(cycle) - 1
	default:
		at = 0
	}
	l, mirror := e.cycleLook(cycle[at])
	e.show(e.doc().WithLook(l))
	e.refit()
	e.turnedAs(mirror, e.doc().View.Turned)
	e.says.news = cycleNames[cycle[at]]
	return true
}

// cycleNames are the looks of the cycle as they are read aloud.
var cycleNames = map[string]string{
	study.CyclePhotograph: "Photograph.",
	study.CycleGrey:       "Grey.",
	study.CycleFilter:     "Red filter.",
	study.CycleSteps:      "Steps.",
	study.CycleSquint:     "Squint.",
	study.CycleMirror:     "Mirror.",
}

// cycleLook is one look of the cycle, exactly, with the painter's own number
// of steps, squint and way of seeing the filter.
func (e *Easel) cycleLook(item string) (l look.Look, mirror bool) {
	now := e.doc().Look
	l = look.Look{
		AsGreys: now.AsGreys, Steps: now.Steps, Division: now.Division, Blur: now.Blur, Sheet: now.Sheet, Neutral: now.Neutral,
	}
	switch item {
	case study.CycleGrey:
		l.Tone = look.Grey
	case study.CycleFilter:
		l.Filter = true
	case study.CycleSteps:
		l.Tone = look.Steps
	case study.CycleSquint:
		l.Squint = true
	case study.CycleMirror:
		mirror = true
	}
	return l, mirror
}

// looksLike says whether the picture is seen exactly as in a look of the
// cycle, but for a step that is chosen and not isolated.
func (e *Easel) looksLike(item string) bool {
	l, mirror := e.cycleLook(item)
	now := e.doc().Look
	if now.Keep == look.KeepAll {
		now.Step = 0
	}
	return now == l && e.doc().View.Mirror == mirror
}
