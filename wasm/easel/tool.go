package easel

import (
	"fmt"
	"math"

	"maulstick/render/place"
	"maulstick/render/study"
)

// tool is what a pointer on the picture does in place of moving the picture or its
// marks.
type tool int

// The tools.
const (
	noTool    tool = iota
	cropper        // moves the crop and pulls its edges
	leveller       // draws along something that should be level
	plumber        // draws along something that should be plumb
	cornerer       // puts four corners on a flat thing
	eyeTracer      // draws the path of the eye
	spanner        // touches the mark that a span goes to
	parter         // draws round the part of the picture beside that is borrowed
	canvasser      // puts the canvas's corners on its photograph
	arrower        // draws from where something belongs to where it is painted
	carder         // touches the grey cards on the canvas's photograph
)

// toolNames are the keys that take a tool up or lay it down.
var toolNames = map[string]tool{
	"crop-hand": cropper, "level-line": leveller, "plumb-line": plumber, "corners": cornerer,
	"eye-draw": eyeTracer, "span-new": spanner, "board-part": parter, "arrow-draw": arrower, "painting-cards": carder,
}

// inHand is the tool that is in hand, and what is being done with it.
type inHand struct {
	tool    tool
	own     place.Crop          // the painter's, as the pointer came down
	grip    place.Handle        // of the crop, being pulled
	from    place.PhotoPoint    // where the pointer took hold
	drawn   []place.PhotoPoint  // what is being drawn
	corners [4]place.PhotoPoint // of the flat thing or the canvas, from its top left on clockwise
	held    int                 // the corner being moved, or the end of an arrow
	part    place.Crop          // that is borrowed, of the picture beside
	before  place.Crop          // the same, as the pointer came down
}

func init() {
	for name, t := range toolNames {
		keys[name] = func(e *Easel) { e.takeUp(t) }
	}
}

// whole says whether the tool in hand needs the whole photograph in sight.
func (e *Easel) whole() bool {
	return e.tool.tool >= cropper && e.tool.tool <= cornerer && e.history != nil
}

// seenCrop is the part of the photograph that is in sight.
func (e *Easel) seenCrop() place.Crop {
	if e.whole() {
		return place.WholeCrop(e.doc().Pixels())
	}
	return e.doc().Crop()
}

// takeUp takes a tool up, or lays down the one in hand.
func (e *Easel) takeUp(t tool) {
	e.settle()
	e.moveOn()
	e.armed, e.picking = false, false
	if e.tool.tool == t {
		t = noTool
	}
	if t == spanner && e.doc().Chosen == 0 {
		e.says.news = "Choose the mark that the span begins at first."
		return
	}
	e.comeBack()
	e.tool = inHand{tool: t}
	switch t {
	case cornerer:
		e.tool.corners = firstCorners(e.doc().Pixels())
	case parter:
		e.takePart()
	case carder:
		e.painting.failed = ""
		e.palette = paletteDesk{last: e.palette.last}
	}
}

// firstCorners is where the corners of a flat thing lie before they are moved.
func firstCorners(p place.Pixels) [4]place.PhotoPoint {
	const inset = 0.15
	w, h := float64(p.Width), float64(p.Height)
	return place.Crop{X: inset * w, Y: inset * h, Width: (1 - 2*inset) * w, Height: (1 - 2*inset) * h}.Corners()
}

// startDrawing begins what a pointer does with the tool in hand.
func (e *Easel) startDrawing(f finger) {
	e.moveOn()
	h, t := &e.hand, &e.tool
	h.doing, h.side = drawing, sideLeft
	h.runs++
	h.run = fmt.Sprintf("draw %d", h.runs)
	t.own, t.from, t.drawn = e.doc().Own, e.viewport().ToPhoto(f.x*e.dpr, f.y*e.dpr), nil
	switch t.tool {
	case cropper:
		grip, ok := e.gripAt(f)
		if t.grip = grip; !ok {
			h.doing = spent
		}
	case leveller, plumber, eyeTracer:
		p := e.onSeen(t.from)
		t.drawn = []place.PhotoPoint{p, p}
	case cornerer:
		t.held = e.nearestCorner(f)
		t.from = offset(t.from, t.corners[t.held])
	case canvasser:
		e.holdCorner(f)
	case arrower:
		e.startArrow(f)
	case parter:
		t.before = t.part
		if p, ok := e.onBeside(f.x, f.y); ok {
			t.from = p
		} else {
			h.doing = spent
		}
	}
}

// offset is how far p is from q.
func offset(p, q place.PhotoPoint) place.PhotoPoint {
	return place.PhotoPoint{X: p.X - q.X, Y: p.Y - q.Y}
}

// onSeen brings a place to the nearest that is in sight.
func (e *Easel) onSeen(p place.PhotoPoint) place.PhotoPoint {
	return nearest(e.seenCrop(), p)
}

// eyeStep is how far apart, in CSS pixels, the places of the path of the eye are.
const eyeStep = 6

// moveDrawing goes on with it.
func (e *Easel) moveDrawing(f finger) {
	if e.paletteSeen() {
		e.moveTouch(f)
		return
	}
	t := &e.tool
	p := e.viewport().ToPhoto(f.x*e.dpr, f.y*e.dpr)
	switch t.tool {
	case cropper:
		d, by := e.doc(), offset(p, t.from)
		d.Own = t.own
		e.do(d.Pulled(t.grip, by.X, by.Y), e.hand.run)
	case leveller, plumber:
		t.drawn = []place.PhotoPoint{t.drawn[0], e.onSeen(p)}
	case eyeTracer:
		last := t.drawn[len(t.drawn)-1]
		p = e.onSeen(p)
		if math.Hypot(p.X-last.X, p.Y-last.Y)*e.viewport().Scale >= eyeStep*e.dpr && len(t.drawn) < study.MostEye {
			t.drawn = append(t.drawn, p)
		}
	case cornerer:
		e.moveCorner(t.held, offset(p, t.from))
	case parter:
		e.drawPart(f)
	case canvasser:
		e.dragCorner(f)
	case arrower:
		e.drawArrow(f)
	}
}

// leastDrawn is how long a level or plumb is drawn at least, in CSS pixels. A finger is
// off by two or so at either end, which on a line this short comes to 2 degrees and
// more on a shorter one; a touch that was no line turns nothing.
const leastDrawn = 100

// endDrawing takes what was drawn.
func (e *Easel) endDrawing(f finger) {
	if e.paletteSeen() {
		return
	}
	t := &e.tool
	drawn := t.drawn
	t.drawn = nil
	switch t.tool {
	case leveller, plumber:
		if off := offset(drawn[1], drawn[0]); math.Hypot(off.X, off.Y)*e.viewport().Scale < leastDrawn*e.dpr {
			e.tell("Draw along it from end to end: a line as short as that says little about what is level or plumb.")
			return
		}
		e.straighten(drawn[0], drawn[1], t.tool == plumber)
	case eyeTracer:
		e.drawEye(drawn)
	case spanner:
		e.spanAt(f)
	}
}

// drawEye takes a stroke of the path of the eye that has a length.
func (e *Easel) drawEye(drawn study.EyePath) {
	if len(drawn) <= 2 {
		return
	}
	d := e.doc().WithEye(drawn)
	e.says.news = "The path of the eye is drawn."
	if len(d.Eye) == len(e.doc().Eye) {
		e.says.news = "This study holds no more of the path of the eye. Wipe it away to draw another."
	}
	e.do(d, "")
}

// takeBackDrawing undoes what the pointer did with the tool.
func (e *Easel) takeBackDrawing() {
	e.takeBack(e.hand.run)
	e.tool.drawn = nil
	if e.tool.tool == parter {
		e.tool.part = e.tool.before
	}
}

// gripReach is how far from a crop's edge a finger takes hold of it, in CSS pixels.
const gripReach = 30

// gripAt is what a finger takes hold of the crop by: an edge or a corner that is near,
// else its middle from anywhere inside. ok is false outside of it.
func (e *Easel) gripAt(f finger) (grip place.Handle, ok bool) {
	v, c := e.viewport(), e.doc().Crop()
	p := v.ToPhoto(f.x*e.dpr, f.y*e.dpr)
	reach := gripReach * e.dpr / v.Scale
	grip.X = nearEnd(p.X, c.X, c.X+c.Width, reach)
	grip.Y = nearEnd(p.Y, c.Y, c.Y+c.Height, reach)
	inside := p.X > c.X-reach && p.X < c.X+c.Width+reach && p.Y > c.Y-reach && p.Y < c.Y+c.Height+reach
	return grip, inside
}

// nearEnd is -1 or 1 for the end that a place is near to, the nearer of both, else 0.
func nearEnd(at, first, last, reach float64) int {
	a, b := math.Abs(at-first), math.Abs(at-last)
	switch {
	case min(a, b) > min(reach, (last-first)/3):
		return 0
	case a <= b:
		return -1
	}
	return 1
}

// nearestCorner is the corner of the flat thing that a finger is nearest to.
func (e *Easel) nearestCorner(f finger) int {
	v, nearest, least := e.viewport(), 0, math.Inf(1)
	for i, c := range e.tool.corners {
		x, y := v.ToScreen(c)
		if d := math.Hypot(x-f.x*e.dpr, y-f.y*e.dpr); d < least {
			nearest, least = i, d
		}
	}
	return nearest
}

// moveCorner puts a corner of the flat thing elsewhere on the photograph.
func (e *Easel) moveCorner(i int, to place.PhotoPoint) {
	e.tool.corners[i] = e.onSeen(to)
}

// underFinger is the place of the photograph that a pointer is setting, to be seen
// in the magnified round.
func (e *Easel) underFinger() (place.PhotoPoint, bool) {
	switch t := e.tool; {
	case len(e.hand.down) == 0:
	case e.hand.doing == marking:
		m, ok := e.doc().Mark(e.hand.mark)
		return point(m), ok
	case e.hand.doing != drawing:
	case t.tool == leveller || t.tool == plumber:
		return t.drawn[1], true
	case t.tool == cornerer:
		return t.corners[t.held], true
	case t.tool == arrower:
		f := e.hand.down[0]
		return e.onSeen(e.viewport().ToPhoto(f.x*e.dpr, f.y*e.dpr)), true
	}
	return place.PhotoPoint{}, false
}
