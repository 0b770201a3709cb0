package easel

import (
	"fmt"
	"math"

	"maulstick/render/colour"
	"maulstick/render/place"
	"maulstick/render/study"
)

// besideEdge is how far off the picture a touch still means its edge, in CSS
// pixels.
const besideEdge = 12

// placing says whether touches are about marks: the Place tray is open and the
// marks are in sight.
func (e *Easel) placing() bool {
	return e.doc().Tray == study.TrayPlace && !e.plain && !e.away()
}

// marksShown says whether marks stand on the picture: while places are read, lines
// go through them or are compared with them, something is borrowed to them, or nothing
// else is.
func (e *Easel) marksShown() bool {
	d := e.doc()
	lined := d.Tray == study.TrayLine && (d.Parts.Line == "lines" || d.Parts.Line == "crossings")
	return !e.plain && !e.whole() && !e.away() && (e.onPart("board") || d.Tray == study.TrayPlace || d.Tray == "" || lined)
}

// reading is the mark whose place is being read, if there is one.
func (e *Easel) reading() (study.Mark, bool) {
	if !e.placing() {
		return study.Mark{}, false
	}
	return e.doc().Mark(e.doc().Chosen)
}

// markNear is the mark nearest to a place in CSS pixels, within reach, or 0.
// Of two equally near the later one, which lies on top, is meant.
func (e *Easel) markNear(x, y float64) int {
	v, crop := e.viewport(), e.doc().Crop()
	nearest, id := float64(reach), 0
	for _, m := range e.doc().Marks {
		if !crop.Contains(point(m)) {
			continue
		}
		mx, my := v.ToScreen(point(m))
		if d := math.Hypot(mx/e.dpr-x, my/e.dpr-y); d <= nearest {
			nearest, id = d, m.ID
		}
	}
	return id
}

// beginMove prepares for moving a mark with a pointer, in a run of its own.
func (e *Easel) beginMove() {
	h := &e.hand
	h.runs++
	h.run = fmt.Sprintf("move %d", h.runs)
	h.chosen, h.doing, h.side = e.doc().Chosen, marking, sideLeft
	h.offsetX, h.offsetY, h.moved, h.fresh = 0, 0, false, false
}

// placeMark sets a new mark where a pointer is; the pointer then moves it.
// Close beside the picture its edge is meant; further off nothing is placed.
func (e *Easel) placeMark(f finger) {
	e.hand.fresh = false
	v := e.viewport()
	touched := v.ToPhoto(f.x*e.dpr, f.y*e.dpr)
	p := e.onCrop(touched)
	if math.Hypot(p.X-touched.X, p.Y-touched.Y)*v.Scale > besideEdge*e.dpr {
		e.says.news = "Touch the picture itself to place a mark."
		return
	}
	if len(e.doc().Marks) >= study.MostMarks {
		e.says.news = "This study holds as many marks as it can. Delete one first."
		return
	}
	e.beginMove()
	e.hand.moved, e.hand.fresh = true, true
	e.hand.armed, e.armed = e.armed, false
	e.do(e.doc().WithMark(p, e.touch(f.device)), e.hand.run)
	e.hand.mark = e.doc().Chosen
	e.says.news = e.label(e.doc().Chosen) + " placed."
}

// grab chooses a mark and lets the pointer move it. The mark keeps its place
// under the finger, so that it does not jump.
func (e *Easel) grab(id int) {
	e.beginMove()
	e.hand.mark = id
	e.keepOffset()
	e.show(e.doc().Choosing(id))
}

// keepOffset notes where the mark being moved is beside the finger.
func (e *Easel) keepOffset() {
	h := &e.hand
	if m, ok := e.doc().Mark(h.mark); ok {
		x, y := e.viewport().ToScreen(point(m))
		h.offsetX, h.offsetY = x-h.down[0].x*e.dpr, y-h.down[0].y*e.dpr
	}
}

// choose chooses a mark and brings it into sight.
func (e *Easel) choose(id int) {
	m, ok := e.doc().Mark(id)
	if !ok {
		return
	}
	if e.tool.tool == spanner && e.doc().Chosen != 0 && e.doc().Chosen != id {
		e.spanTo(id)
	}
	e.show(e.doc().Choosing(id))
	if !e.ready() || !e.doc().Crop().Contains(point(m)) {
		return
	}
	v := e.viewport()
	if x, y := v.ToScreen(point(m)); !onArea(v, x, y) {
		e.see(v.Hold(point(m), float64(v.Width)/2, float64(v.Height)/2))
	}
}

func (e *Easel) moveMark(f finger) {
	h := &e.hand
	if !h.moved && f.gone() <= markSlop[f.device] {
		return
	}
	h.moved = true
	p := e.viewport().ToPhoto(f.x*e.dpr+h.offsetX, f.y*e.dpr+h.offsetY)
	e.do(e.doc().MovedMark(h.mark, e.onCrop(p), e.touch(f.device)), h.run)
}

// takeBackMove undoes what the pointer has done to a mark.
func (e *Easel) takeBackMove() {
	e.takeBack(e.hand.run)
	e.show(e.doc().Choosing(e.hand.chosen))
	if e.hand.fresh {
		e.armed = e.hand.armed
	}
}

// onCrop brings a place to the nearest that is painted.
func (e *Easel) onCrop(p place.PhotoPoint) place.PhotoPoint {
	return nearest(e.doc().Crop(), p)
}

// nearest is the place inside a crop that is nearest to another.
func nearest(c place.Crop, p place.PhotoPoint) place.PhotoPoint {
	return place.PhotoPoint{
		X: min(max(p.X, c.X), c.X+c.Width),
		Y: min(max(p.Y, c.Y), c.Y+c.Height),
	}
}

// touch is how far off a device may be at the present zoom, in photo pixels.
func (e *Easel) touch(d Device) float64 {
	return e.doubted(pointing[d] * e.dpr / e.viewport().Scale)
}

// doubted is a doubt in photo pixels with that of a photograph that is held averaged: half
// a pixel that is held, of which place.Mapping.Uncertainty counts half of one of the
// photograph's own. All are independent.
func (e *Easel) doubted(doubt float64) float64 {
	half := math.Ldexp(0.5, e.picture.Halved)
	return math.Sqrt(doubt*doubt + half*half - 0.25)
}

// nudge moves the chosen mark by device pixels of the screen's directions and
// keeps it in sight. A row of nudges on one mark counts as one step.
func (e *Easel) nudge(dx, dy float64) {
	m, ok := e.reading()
	if !ok {
		return
	}
	v := e.viewport()
	x, y := v.ToScreen(point(m))
	p := e.onCrop(v.ToPhoto(x+dx, y+dy))
	e.do(e.doc().MovedMark(m.ID, p, e.doubted(0.5/v.Scale)), fmt.Sprintf("nudge %d", m.ID))
	if x, y = v.ToScreen(p); !onArea(v, x, y) {
		e.see(v.Hold(p, min(max(x, 0), float64(v.Width)), min(max(y, 0), float64(v.Height))))
	}
}

// placeInMiddle places a mark without a pointer: at the middle of what is in
// sight, from where the arrow keys move it.
func (e *Easel) placeInMiddle() {
	at, _ := e.halves()
	e.placeMark(finger{device: Mouse, x: float64(at.Width) / e.dpr / 2, y: float64(at.Height) / e.dpr / 2})
	if e.hand.fresh {
		e.hand.doing = idle
	}
}

// deleteMark deletes the chosen mark.
func (e *Easel) deleteMark() {
	id := e.doc().Chosen
	if id == 0 {
		return
	}
	e.says.news = e.label(id) + " deleted. Undo brings it back."
	e.do(e.doc().WithoutMark(id), "")
}

// label is what a mark is called on the screen.
func (e *Easel) label(id int) string {
	if m, ok := e.doc().Mark(id); ok && m.Name != "" {
		return m.Name
	}
	return fmt.Sprintf("Mark %d", id)
}

// at is the colour of the photograph at full resolution under a place, and
// whether it can be read yet.
func (e *Easel) at(p place.PhotoPoint) (colour.SRGB, bool) {
	if !e.filled || e.picture == nil {
		return colour.SRGB{}, false
	}
	return e.picture.At(int(math.Floor(p.X)), int(math.Floor(p.Y))), true
}
