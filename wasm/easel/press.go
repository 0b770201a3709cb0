package easel

import (
	"slices"
	"strconv"
	"strings"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/place"
	"maulstick/render/study"
)

// surroundBy is one press of the keys that change the surround, in lightness.
const surroundBy = 5

// keys are what each key of the ledge and the trays does when it is pressed.
// Those of one step, one mark or one look of the cycle carry its name after a
// hyphen and stand in numbered.
var keys = map[string]func(*Easel){
	"filter": (*Easel).pressFilter,
	"mirror": func(e *Easel) { e.turnedAs(!e.doc().View.Mirror, e.doc().View.Turned) },
	"turn":   func(e *Easel) { e.turnedAs(e.doc().View.Mirror, !e.doc().View.Turned) },
	"squint": func(e *Easel) { e.look(func(l *look.Look) { l.Squint = !l.Squint }) },
	"plain":  (*Easel).pressPlain,

	"tray-line":   func(e *Easel) { e.tray(study.TrayLine) },
	"tray-shape":  func(e *Easel) { e.tray(study.TrayShape) },
	"tray-value":  func(e *Easel) { e.tray(study.TrayValue) },
	"tray-colour": func(e *Easel) { e.tray(study.TrayColour) },
	"tray-place":  func(e *Easel) { e.tray(study.TrayPlace) },
	"tray-check":  func(e *Easel) { e.tray(study.TrayCheck) },
	"tray-study":  func(e *Easel) { e.tray(study.TrayStudy) },

	"grey":        func(e *Easel) { e.tone(look.Grey) },
	"steps":       func(e *Easel) { e.tone(look.Steps) },
	"fewer":       func(e *Easel) { e.stepsBy(-1) },
	"more":        func(e *Easel) { e.stepsBy(+1) },
	"only":        func(e *Easel) { e.isolate(look.KeepOnly) },
	"darker":      func(e *Easel) { e.isolate(look.KeepDarker) },
	"lighter":     func(e *Easel) { e.isolate(look.KeepLighter) },
	"filter-red":  func(e *Easel) { e.look(func(l *look.Look) { l.AsGreys = false }) },
	"filter-grey": func(e *Easel) { e.look(func(l *look.Look) { l.AsGreys = true }) },
	"squint-less": func(e *Easel) { e.squintBy(1 / squintStep) },
	"squint-more": func(e *Easel) { e.squintBy(squintStep) },

	"mark-new":    func(e *Easel) { e.armed = !e.armed },
	"mark-delete": (*Easel).deleteMark,
	"undo":        func(e *Easel) { e.undo(true) },
	"redo":        func(e *Easel) { e.undo(false) },
	"from-x":      func(e *Easel) { e.measureFrom(func(f *place.Edges) { f.Right = !f.Right }) },
	"from-y":      func(e *Easel) { e.measureFrom(func(f *place.Edges) { f.Bottom = !f.Bottom }) },
	"unit":        (*Easel).otherUnit,

	"canvas-turn":      (*Easel).turnCanvas,
	"save-file":        (*Easel).saveFile,
	"notice-save":      (*Easel).saveFile,
	"surround-lighter": func(e *Easel) { e.show(e.doc().WithSurround(e.doc().Surround + surroundBy)) },
	"surround-darker":  func(e *Easel) { e.show(e.doc().WithSurround(e.doc().Surround - surroundBy)) },
}

// always are the keys that need no study.
var always = map[string]func(*Easel){
	"open":          func(e *Easel) { e.host.OpenFile() },
	"message-close": (*Easel).closeMessage,
	"update":        func(e *Easel) { e.leaveForUpdate() },
}

// Press answers a key of the ledge or a tray going down, by its name; a key
// that does not exist does nothing. While hands are off only the key that has
// the screen back answers.
func (e *Easel) Press(key string) {
	switch {
	case (key == "handsoff" || key == "unlock") && e.history != nil:
		e.pressLock()
	case e.lock.on:
	case always[key] != nil:
		always[key](e)
	case e.history == nil:
	case keys[key] != nil:
		keys[key](e)
	default:
		e.pressNumbered(key)
	}
	e.after()
}

// Release answers a key going up; only keys that act while held care.
func (e *Easel) Release(key string) {
	switch key {
	case "plain":
		e.plain = false
	case "handsoff", "unlock":
		e.releaseLock()
	}
	e.after()
}

// pressNumbered answers step-K, mark-ID and cycle-LOOK.
func (e *Easel) pressNumbered(key string) {
	kind, which, _ := strings.Cut(key, "-")
	number, err := strconv.Atoi(which)
	switch {
	case kind == "step" && err == nil:
		e.pressStep(number)
	case kind == "mark" && err == nil:
		e.choose(number)
	case kind == "pin" && err == nil:
		e.pressPin(number)
	case kind == "touch" && err == nil:
		e.pressTouch(number)
	case kind == "stage" && err == nil:
		e.pressStage(number)
	case kind == "entry" && err == nil:
		e.pressEntry(number)
	case kind == "part":
		e.turnTo(which)
	case kind == "fit" && slices.Contains(study.Fits(), which):
		e.fitBy(which)
	case kind == "sheet":
		e.pressSheet(which)
	case kind == "wheel":
		e.pressWheel(which)
	case kind == "row":
		e.pressRow(key)
	case kind == "use":
		if row, found := strings.CutPrefix(which, "row-"); found {
			if i, err := strconv.Atoi(row); err == nil && i >= 0 {
				e.pressUseRow(i)
			}
		}
	case kind == "stretcher" && err == nil:
		e.pressStretcher(number)
	case kind == "span" && err == nil:
		e.show(e.doc().ChoosingSpan(number))
	case kind == "strike":
		e.pressStrike(which)
	case kind == "list" && kindOf(which).String() == which:
		e.contrasts, e.row = which, ""
	case kind == "cycle" && slices.Contains(study.Cycles(), which):
		e.show(e.doc().WithCycle(which, !slices.Contains(e.doc().Cycle, which)))
	}
}

// look changes how the picture is seen.
func (e *Easel) look(change func(*look.Look)) {
	l := e.doc().Look
	change(&l)
	e.show(e.doc().WithLook(l))
}

func (e *Easel) pressPlain() {
	e.settle()
	e.plain = true
}

// tray opens a tray in place of the one that is open, or closes it.
func (e *Easel) tray(name string) {
	e.settle()
	e.moveOn()
	e.armed, e.picking, e.row, e.tool = false, false, "", inHand{}
	if e.doc().Tray == name {
		name = ""
	}
	if name != "" && name != study.TrayStudy {
		e.comeBack() // to what such a tray is about
	}
	e.show(e.doc().WithTray(name))
	e.lookAtShelf()
}

func (e *Easel) measureFrom(change func(*place.Edges)) {
	f := e.doc().From
	change(&f)
	e.show(e.doc().WithFrom(f))
}

// otherUnit changes between inches and centimetres.
func (e *Easel) otherUnit() {
	u := place.Inch
	if e.doc().Canvas.Unit.Imperial() {
		u = place.Centimetre
	}
	e.show(e.doc().WithUnit(u))
}

// leaveForUpdate keeps what is not kept and starts the new version.
func (e *Easel) leaveForUpdate() {
	if !e.says.update {
		return
	}
	if e.keeping.dirty {
		e.keepNow()
	}
	e.host.UseUpdate()
}

// greyCode is the sRGB code of the surround, for the page around the picture.
func (e *Easel) greyCode() uint8 {
	if e.history == nil {
		return colour.GreyOf(50).R
	}
	return e.surround().R
}
