package easel

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"maulstick/render"
	"maulstick/render/place"
	"maulstick/render/study"
)

func init() {
	for name, do := range map[string]func(*Easel){
		"arrow-new":  (*Easel).newArrow,
		"arrow-away": (*Easel).takeChosenAway,
	} {
		keys[name] = do
	}
}

// arrows are the painter's on the photograph that is turned to.
func (e *Easel) arrows() []study.Arrow {
	n, ok := e.checkedEntry()
	if !ok {
		return nil
	}
	return n.Arrows
}

// The ends of an arrow.
const (
	noEnd = iota
	tailEnd
	headEnd
)

// startArrow takes hold of an end of the chosen arrow that a finger is near to, or begins
// another arrow.
func (e *Easel) startArrow(f finger) {
	t := &e.tool
	t.held, t.from = noEnd, e.onSeen(t.from)
	a, ok := e.arrowShown()
	if !ok {
		return
	}
	v := e.viewport()
	away := func(p place.PhotoPoint) float64 {
		x, y := v.ToScreen(p)
		return math.Hypot(x/e.dpr-f.x, y/e.dpr-f.y)
	}
	from, to := e.ends(a)
	switch tail, head := away(from), away(to); {
	case head < reach && head < tail+1: // of two that lie together the head goes first
		t.held = headEnd
	case tail < reach:
		t.held = tailEnd
	}
}

// leastArrow is how long an arrow is drawn at least, in CSS pixels: a touch draws none.
const leastArrow = 6

// drawArrow draws an arrow from where something belongs to where it is painted.
func (e *Easel) drawArrow(f finger) {
	n, ok := e.checkedEntry()
	if !ok || math.Hypot(f.x-f.fromX, f.y-f.fromY) < leastArrow {
		return
	}
	to := e.onSeen(e.viewport().ToPhoto(f.x*e.dpr, f.y*e.dpr))
	if a, held := e.arrowShown(); held && e.tool.held != noEnd {
		tail, head := e.ends(a)
		if e.tool.held == tailEnd {
			tail = to
		} else {
			head = to
		}
		e.do(e.doc().WithArrow(n.ID, e.painting.arrow-1, e.arrowOf(tail, head, f.device)), e.hand.run)
		return
	}
	k := len(n.Arrows)
	if e.history.Running(e.hand.run) {
		k-- // the one being drawn
	}
	if !e.roomForArrow(k) {
		return
	}
	e.do(e.doc().WithArrow(n.ID, k, e.arrowOf(e.tool.from, to, f.device)), e.hand.run)
	e.painting.arrow = k + 1
}

// roomForArrow says whether a photograph with so many arrows holds another, and tells if
// it does not.
func (e *Easel) roomForArrow(has int) bool {
	if has < study.MostArrows {
		return true
	}
	e.tell(fmt.Sprintf("A photograph holds no more than %d arrows. Take one away first.", study.MostArrows))
	return false
}

// arrowOf is an arrow between two places of the photograph that a device has touched.
func (e *Easel) arrowOf(from, to place.PhotoPoint, touched Device) study.Arrow {
	m := e.doc().Mapping()
	a, b := m.ToCanvas(from), m.ToCanvas(to)
	// Both ends are touched, and seen on pictures of some thousand pixels.
	within := math.Sqrt2 * float64(m.Uncertainty(e.touch(touched)))
	if p := e.painting.both.Painting; p != nil {
		within = math.Hypot(within, float64(m.Canvas.Width)/float64(p.Width))
	}
	return study.Arrow{X: a.X, Y: a.Y, DX: b.X - a.X, DY: b.Y - a.Y, Touch: place.MM(within)}
}

// newArrow puts an arrow of no length into the middle of what is seen, to be moved by its
// two ends.
func (e *Easel) newArrow() {
	n, ok := e.checkedEntry()
	if !ok || !e.ready() || !e.roomForArrow(len(n.Arrows)) {
		return
	}
	middle := e.onSeen(e.viewport().Centre)
	e.settle()
	e.do(e.doc().WithArrow(n.ID, len(n.Arrows), e.arrowOf(middle, middle, Touch)), "")
	e.painting.arrow, e.painting.told, e.tool = len(n.Arrows)+1, "drawing", inHand{tool: arrower}
	e.says.news = "An arrow stands in the middle. Move its two ends: where it belongs, and where it is painted."
}

// takeChosenAway takes the chosen arrow away, or the chosen card while cards are touched.
func (e *Easel) takeChosenAway() {
	if e.carding() {
		e.takeTouchAway()
		return
	}
	e.takeArrowAway()
}

// takeArrowAway takes the chosen arrow away.
func (e *Easel) takeArrowAway() {
	if n, ok := e.checkedEntry(); ok && e.painting.arrow > 0 {
		e.settle()
		e.do(e.doc().WithoutArrow(n.ID, e.painting.arrow-1), "")
		e.painting.arrow, e.row = 0, ""
	}
}

// arrowShown is the painter's arrow that has handles: the chosen one.
func (e *Easel) arrowShown() (study.Arrow, bool) {
	k, all := e.painting.arrow-1, e.arrows()
	if k < 0 || k >= len(all) || !e.onCheck("painting") || e.putting() {
		return study.Arrow{}, false
	}
	return all[k], true
}

// ends are where an arrow begins and ends on the photograph.
func (e *Easel) ends(a study.Arrow) (from, to place.PhotoPoint) {
	return e.onPhotograph(place.CanvasPoint{X: a.X, Y: a.Y}), e.onPhotograph(place.CanvasPoint{X: a.X + a.DX, Y: a.Y + a.DY})
}

// nudgeArrow moves an end of the chosen arrow by pixels of the photograph.
func (e *Easel) nudgeArrow(name string, by place.PhotoPoint) {
	a, ok := e.arrowShown()
	n, _ := e.checkedEntry()
	if !ok || name != "arrow-from" && name != "arrow-to" {
		return
	}
	from, to := e.ends(a)
	moved := &to
	if name == "arrow-from" {
		moved = &from
	}
	*moved = e.onSeen(place.PhotoPoint{X: moved.X + by.X, Y: moved.Y + by.Y})
	e.do(e.doc().WithArrow(n.ID, e.painting.arrow-1, e.arrowOf(from, to, Mouse)), "nudge "+name+strconv.Itoa(e.painting.arrow))
}

// longestArrow is how long the longest of the slips' arrows is drawn about, in CSS pixels.
const longestArrow = 80

// arrowTimes is how many times as long as they are the slips' arrows are drawn.
func (e *Easel) arrowTimes() float64 {
	a := e.compared()
	if a == nil || len(a.Slips) == 0 || !e.ready() {
		return 1
	}
	pixel := e.viewport().Scale / e.dpr / (float64(e.doc().Size().Width) / e.doc().Crop().Width) // CSS pixels a mm
	longest := float64(a.Slips[0].Size()) * pixel
	times := 1.0
	for _, t := range []float64{2, 3, 5, 10} {
		if t*longest <= longestArrow {
			times = t
		}
	}
	return times
}

// checkStrokes are the arrows over the picture: of the slips, and of the painter.
func (e *Easel) checkStrokes() []render.Stroke {
	if !e.onCheck("painting") || e.putting() || e.painting.told != "drawing" {
		return nil
	}
	var all []render.Stroke
	if a := e.compared(); a != nil {
		times := place.MM(e.arrowTimes())
		for i, s := range a.Slips {
			from := e.onPhotograph(s.At)
			to := e.onPhotograph(place.CanvasPoint{X: s.At.X + times*s.DX, Y: s.At.Y + times*s.DY})
			all = append(all, e.arrowStrokes(from, to, e.row == slipRow(i))...)
		}
	}
	for k, a := range e.arrows() {
		from, to := e.ends(a)
		all = append(all, e.arrowStrokes(from, to, e.painting.arrow == k+1)...)
	}
	return all
}

// arrowStrokes are the lines of an arrow.
func (e *Easel) arrowStrokes(from, to place.PhotoPoint, chosen bool) []render.Stroke {
	width := 2.5
	if chosen {
		width = 5
	}
	shaft := e.through([]place.PhotoPoint{from, to}, width, 1)
	length := math.Hypot(to.X-from.X, to.Y-from.Y)
	if length == 0 {
		return nil
	}
	head := min(14*e.dpr/e.viewport().Scale, length)
	dx, dy := (to.X-from.X)/length*head, (to.Y-from.Y)/length*head
	const spread = 0.5
	left := place.PhotoPoint{X: to.X - dx + spread*dy, Y: to.Y - dy - spread*dx}
	right := place.PhotoPoint{X: to.X - dx - spread*dy, Y: to.Y - dy + spread*dx}
	return slices.Concat(shaft, e.through([]place.PhotoPoint{left, to, right}, width, 1))
}

// slipRow is the key of the row of a slip.
func slipRow(i int) string { return fmt.Sprintf("row-slip-%d", i+1) }
