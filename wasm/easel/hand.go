package easel

import (
	"math"
	"slices"
	"time"

	"maulstick/render"
	"maulstick/render/look"
	"maulstick/render/place"
	"maulstick/render/study"
)

const (
	reach      = 28                     // CSS pixels from a mark within which a touch is on it
	tapAgain   = 350 * time.Millisecond // the two taps of a double tap end within it
	tapLongest = 300 * time.Millisecond // a longer touch is no tap of two
	restToMark = 350 * time.Millisecond // a finger resting so long places a mark
	palmAfter  = 500 * time.Millisecond // touches after a pen are a palm's for so long
)

// slop is how far each device trembles in a tap, in CSS pixels.
var slop = [...]float64{Mouse: 3, Touch: 8, Pen: 4}

// markSlop is how far each device must go before a mark that was there goes
// with it, so that choosing a mark does not move it.
var markSlop = [...]float64{Mouse: 1, Touch: 3, Pen: 2}

// pointing is how far off each device points, in CSS pixels.
var pointing = [...]float64{Mouse: 1, Touch: 2, Pen: 1}

// doing is what the pointers on the picture are doing.
type doing int

const (
	idle     doing = iota
	resting        // one is down and has not moved
	panning        // one moves the picture
	marking        // one moves a mark
	pinching       // two move and zoom the picture
	drawing        // one does what the tool in hand does
	spent          // what was done is over, but a pointer is still down
)

// finger is a pointer that is down: where it is, and where and when it came.
type finger struct {
	id           int
	device       Device
	x, y         float64 // CSS pixels
	fromX, fromY float64
	since        time.Time
}

// hand is the pointers on the picture and what they do together.
type hand struct {
	down  []finger // at most two, the first to come first
	doing doing
	start render.Viewport // as what is being done began
	view  study.View      // as what is being done began
	held  [2]place.PhotoPoint

	mark             int     // being moved
	run              string  // the name of the move in the study's history
	offsetX, offsetY float64 // from the finger to the mark, device pixels
	chosen           int     // the mark that was chosen before
	moved            bool    // the mark follows the finger
	fresh            bool    // the mark was placed by this touch
	armed            bool    // the mark was placed because its key was on
	side             side    // of the magnified round

	runs   int // how many moves there have been
	penUp  time.Time
	penned bool // a pen has been used
	tap    tap  // the last one
}

// tap is a short touch, with what takes back what it did.
type tap struct {
	at     time.Time
	x, y   float64
	run    string
	chosen int
	look   look.Look

	picking bool // it was to pick the neutral
}

func (h *hand) busy() bool { return h.doing != idle && h.doing != spent }

// Pointer answers one pointer event on the picture. One pointer moves a mark
// or else the picture, two move and zoom it; while a pen is down, and shortly
// after, touches are a resting palm and do nothing.
func (e *Easel) Pointer(p Pointer) {
	if !isNumber(p.X, p.Y) || p.Device < Mouse || p.Device > Pen || math.Abs(p.X)+math.Abs(p.Y) > 1e6 {
		return
	}
	e.tickHand(e.now())
	switch {
	case p.Kind == Down && e.ready() && !e.lock.on && !e.palm(p):
		e.pointerDown(p)
	case p.Kind == Move:
		e.pointerMove(p)
	case p.Kind == Up:
		e.pointerUp(p)
	case p.Kind == Cancel:
		e.pointerCancel(p)
	}
	e.after()
}

// palm says whether a pointer is a hand resting beside a pen.
func (e *Easel) palm(p Pointer) bool {
	if p.Device != Touch {
		return false
	}
	penDown := slices.ContainsFunc(e.hand.down, func(f finger) bool { return f.device == Pen })
	return penDown || e.hand.penned && e.now().Sub(e.hand.penUp) < palmAfter
}

func (e *Easel) finger(id int) int {
	return slices.IndexFunc(e.hand.down, func(f finger) bool { return f.id == id })
}

func (e *Easel) pointerDown(p Pointer) {
	if e.finger(p.ID) >= 0 {
		e.abandon()
		e.hand.drop()
	}
	if p.Device == Pen {
		e.penDown()
	}
	if len(e.hand.down) == 2 || e.hand.doing == spent || len(e.hand.down) == 1 && (e.whole() || e.partDrawn() || e.cornering() || e.paletteSeen()) {
		return
	}
	if e.overCamera(p.X, p.Y) {
		if len(e.hand.down) == 0 {
			e.touchCamera()
		}
		return
	}
	if !e.paletteSeen() && e.overOther(p.X, p.Y) && (e.tool.tool != parter && !e.cornering() || len(e.hand.down) > 0 || e.plain) {
		return
	}
	e.hand.down = append(e.hand.down, finger{
		id: p.ID, device: p.Device, x: p.X, y: p.Y, fromX: p.X, fromY: p.Y, since: e.now(),
	})
	if len(e.hand.down) == 2 {
		e.startPinch()
		return
	}
	e.startOne()
}

// penDown undoes what a palm did before its pen came down.
func (e *Easel) penDown() {
	e.hand.penned = true
	if slices.ContainsFunc(e.hand.down, func(f finger) bool { return f.device == Touch }) {
		e.abandon()
		e.hand.drop()
	}
}

// startOne begins what one pointer does, from where it is now.
func (e *Easel) startOne() {
	h := &e.hand
	h.start, h.view = e.viewport(), e.doc().View
	h.doing = resting
	f := h.down[0]
	if e.paletteSeen() {
		e.startTouch(f)
		return
	}
	if e.tool.tool != noTool && !e.plain && (e.tool.tool != parter || e.overOther(f.x, f.y)) {
		e.startDrawing(f)
		return
	}
	if !e.placing() {
		return
	}
	id := e.markNear(f.x, f.y)
	switch {
	case e.armed || len(e.doc().Marks) == 0:
		e.placeMark(f)
	case id != 0:
		e.grab(id)
	}
}

// startPinch begins moving and zooming with two pointers. A mark that the
// first has only just touched was not meant.
func (e *Easel) startPinch() {
	h := &e.hand
	if h.doing == marking && (h.fresh || !h.moved) && e.now().Sub(h.down[0].since) < tapLongest {
		e.takeBackMove()
	}
	if h.doing == drawing {
		e.takeBackDrawing()
	}
	h.start, h.view, h.doing = e.viewport(), e.doc().View, pinching
	h.holdPlaces(e.dpr)
}

func (e *Easel) pointerMove(p Pointer) {
	i := e.finger(p.ID)
	if i < 0 {
		return
	}
	h := &e.hand
	h.down[i].x, h.down[i].y = p.X, p.Y
	f := h.down[i]
	switch h.doing {
	case resting:
		if f.gone() > slop[f.device] {
			h.doing = panning
			e.movePan(f)
		}
	case panning:
		e.movePan(f)
	case marking:
		e.moveMark(f)
	case pinching:
		e.movePinch()
	case drawing:
		e.moveDrawing(f)
	}
}

// gone is how far a pointer is from where it came, in CSS pixels.
func (f finger) gone() float64 { return math.Hypot(f.x-f.fromX, f.y-f.fromY) }

func (e *Easel) movePan(f finger) {
	e.see(e.hand.start.Pan((f.x-f.fromX)*e.dpr, (f.y-f.fromY)*e.dpr))
}

// movePinch keeps the two places of the photograph that were first touched
// under the two fingers, as far as that goes without turning the picture.
func (e *Easel) movePinch() {
	h := &e.hand
	v := h.start
	apart := math.Hypot(h.down[0].x-h.down[1].x, h.down[0].y-h.down[1].y) * e.dpr
	held := math.Hypot(h.held[0].X-h.held[1].X, h.held[0].Y-h.held[1].Y)
	if held > 0 && apart > 0 {
		v.Scale = min(max(apart/held, e.furthest()), render.MaxScale)
	}
	middle := place.PhotoPoint{X: (h.held[0].X + h.held[1].X) / 2, Y: (h.held[0].Y + h.held[1].Y) / 2}
	x, y := (h.down[0].x+h.down[1].x)/2, (h.down[0].y+h.down[1].y)/2
	e.see(v.Hold(middle, x*e.dpr, y*e.dpr))
}

func (e *Easel) pointerUp(p Pointer) {
	i := e.finger(p.ID)
	if i < 0 {
		return
	}
	h := &e.hand
	f := h.down[i]
	f.x, f.y = p.X, p.Y
	h.down = slices.Delete(h.down, i, i+1)
	if f.device == Pen {
		h.penUp = e.now()
	}
	was := h.doing
	if len(h.down) > 0 {
		e.goOnAlone()
		return
	}
	h.doing = idle
	switch {
	case was == resting:
		e.tapped(f, "")
	case was == marking && f.gone() <= slop[f.device]:
		e.tapped(f, h.run)
	case was == drawing:
		e.endDrawing(f)
	}
}

// goOnAlone lets the pointer that is left of two pan from where it is.
func (e *Easel) goOnAlone() {
	h := &e.hand
	if h.doing != pinching {
		return
	}
	h.down[0].fromX, h.down[0].fromY = h.down[0].x, h.down[0].y
	h.start, h.view, h.doing = e.viewport(), e.doc().View, panning
}

// pointerCancel gives up what is being done: the system took the pointer.
func (e *Easel) pointerCancel(p Pointer) {
	i := e.finger(p.ID)
	if i < 0 {
		return
	}
	if e.hand.down[i].device == Pen {
		e.hand.penUp = e.now()
	}
	e.abandon()
	e.hand.down = slices.Delete(e.hand.down, i, i+1)
	if len(e.hand.down) == 0 {
		e.hand.doing = idle
	}
}

// settle ends what the pointers on the picture are doing and lets it stand;
// those still down do nothing more until they are lifted.
func (e *Easel) settle() {
	e.hand.doing = spent
	if len(e.hand.down) == 0 {
		e.hand.doing = idle
	}
}

// drop forgets the pointers on the picture: none of them will be heard of.
func (h *hand) drop() { h.down, h.doing = nil, idle }

// rebase lets what is being done go on from where it is after the area has
// changed its size under the pointers.
func (e *Easel) rebase() {
	h := &e.hand
	if !h.busy() || !e.ready() {
		return
	}
	h.start = e.viewport()
	switch h.doing {
	case panning:
		h.down[0].fromX, h.down[0].fromY = h.down[0].x, h.down[0].y
	case pinching:
		h.holdPlaces(e.dpr)
	case marking:
		e.keepOffset()
	case drawing:
		e.abandon()
	}
}

// holdPlaces notes which places of the photograph are under the two fingers.
func (h *hand) holdPlaces(dpr float64) {
	for i, f := range h.down {
		h.held[i] = h.start.ToPhoto(f.x*dpr, f.y*dpr)
	}
}

// abandon puts back what the pointers on the picture have done so far; those
// still down do nothing more until they are lifted.
func (e *Easel) abandon() {
	h := &e.hand
	switch h.doing {
	case marking:
		e.takeBackMove()
	case drawing:
		e.takeBackDrawing()
	case panning, pinching:
		e.show(e.doc().WithView(h.viewNow(e.doc().View)))
	}
	e.settle()
}

// viewNow is the view as the gesture began, turned as it is now.
func (h *hand) viewNow(now study.View) study.View {
	v := h.view
	v.Mirror, v.Turned = now.Mirror, now.Turned
	return v
}

func (e *Easel) handDue() time.Time {
	if e.hand.doing != resting || !e.placing() {
		return time.Time{}
	}
	return e.hand.down[0].since.Add(restToMark)
}

// tickHand places a mark under a finger that rests.
func (e *Easel) tickHand(now time.Time) {
	if due := e.handDue(); !due.IsZero() && !now.Before(due) {
		e.placeMark(e.hand.down[0])
		if e.hand.doing == resting {
			e.hand.doing = spent
		}
	}
}
