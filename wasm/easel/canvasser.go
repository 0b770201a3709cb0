package easel

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"maulstick/render"
	"maulstick/render/check"
	"maulstick/render/place"
	"maulstick/render/study"
)

// pressCorners takes up the tool that puts the canvas's corners on its photograph, or
// lays it down. Where they are not known yet, they are looked for.
func (e *Easel) pressCorners() {
	n, ok := e.checkedEntry()
	if !ok {
		return
	}
	e.takeUp(canvasser)
	if e.tool.tool != canvasser {
		return
	}
	e.takeCorners()
	if _, found := e.painting.found[n.ID]; !found && len(n.Corners) == 0 && !e.painting.busy {
		e.findCanvas()
	}
}

// takeCorners lays the corners where they are known to be, or where they are to be
// dragged from.
func (e *Easel) takeCorners() {
	n, ok := e.checkedEntry()
	if !ok {
		return
	}
	size := place.Pixels{Width: n.Photograph.Width, Height: n.Photograph.Height}
	e.tool.corners = firstCorners(size)
	if c, known := e.outlineOf(n); known {
		e.tool.corners = c.Corners
	}
}

// outlineOf is the canvas on the photograph of a note as it is known: where the painter
// put its corners, or where it was found.
func (e *Easel) outlineOf(n study.Entry) (check.Canvas, bool) {
	if len(n.Corners) == 4 {
		c := check.Canvas{Corners: place.Quad(n.Corners)}
		if a := e.verdict(); a != nil && a.Canvas.Corners == c.Corners {
			return a.Canvas, true
		}
		return c, true
	}
	c, known := e.painting.found[n.ID]
	return c, known
}

// cornering says whether the canvas's corners are being put on its photograph, which is
// then in the place of the one on the easel.
func (e *Easel) cornering() bool { return e.tool.tool == canvasser && e.onCheck("painting") }

// carding says whether the grey cards on the canvas's photograph are being touched: it is in
// the place of the one on the easel then, too.
func (e *Easel) carding() bool {
	if e.tool.tool != carder || !e.onCheck("painting") {
		return false
	}
	_, ok := e.checkedEntry()
	return ok
}

// putting says whether corners or cards are being put on the canvas's photograph.
func (e *Easel) putting() bool { return e.cornering() || e.carding() }

// canvasAside is the photograph that the corners are put on.
func (e *Easel) canvasAside() (aside, bool) {
	n, ok := e.checkedEntry()
	if !ok || !e.cornering() {
		return aside{}, false
	}
	return aside{
		name: entryName(n), reference: *n.Photograph,
		crop: place.WholeCrop(place.Pixels{Width: n.Photograph.Width, Height: n.Photograph.Height}),
	}, true
}

// canvasPane is how that photograph is seen, and how many pixels of its small copy there
// are for each of its own; ok is false while there is none.
func (e *Easel) canvasPane() (pane render.Pane, scale [2]float64, ok bool) {
	a, ok := e.canvasAside()
	if !ok {
		return pane, scale, false
	}
	at, _ := e.halves()
	return e.paneOf(a, at)
}

// onCanvas is the place of that photograph that is seen at a place of the area, in CSS
// pixels.
func (e *Easel) onCanvas(x, y float64) (place.PhotoPoint, bool) {
	pane, scale, ok := e.canvasPane()
	if !ok {
		return place.PhotoPoint{}, false
	}
	p := pane.View.ToPhoto(x*e.dpr, y*e.dpr)
	return place.PhotoPoint{X: p.X / scale[0], Y: p.Y / scale[1]}, true
}

// holdCorner takes hold of the corner nearest to a finger.
func (e *Easel) holdCorner(f finger) {
	t := &e.tool
	pane, scale, ok := e.canvasPane()
	if !ok {
		e.hand.doing = spent
		return
	}
	least := math.Inf(1)
	for i, c := range t.corners {
		x, y := besideAt(pane, scale, e.dpr, c)
		if d := math.Hypot(x-f.x, y-f.y); d < least {
			t.held, least = i, d
		}
	}
	p, _ := e.onCanvas(f.x, f.y)
	t.from = offset(p, t.corners[t.held])
}

// dragCorner moves the corner that is held.
func (e *Easel) dragCorner(f finger) {
	if p, ok := e.onCanvas(f.x, f.y); ok {
		e.putCorner(e.tool.held, offset(p, e.tool.from), e.hand.run)
	}
}

// putCorner puts a corner of the canvas elsewhere, as a step to undo.
func (e *Easel) putCorner(i int, to place.PhotoPoint, run string) {
	n, ok := e.checkedEntry()
	if !ok {
		return
	}
	corners := e.tool.corners
	corners[i] = to
	e.do(e.doc().WithCorners(n.ID, corners[:]...), run)
	e.takeCorners()
}

// nudgeCorner moves a corner by pixels of the photograph in the screen's directions.
func (e *Easel) nudgeCorner(name string, right, down float64) {
	pane, _, ok := e.canvasPane()
	number, is := strings.CutPrefix(name, "canvas-")
	i, err := strconv.Atoi(number)
	if !ok || !is || err != nil || i < 0 || i > 3 {
		return
	}
	if pane.View.Mirror != pane.View.Turned {
		right = -right
	}
	if pane.View.Turned {
		down = -down
	}
	c := e.tool.corners[i]
	e.putCorner(i, place.PhotoPoint{X: c.X + right, Y: c.Y + down}, "nudge "+name)
}

// cornerRound is the magnified round beside the finger that moves a corner.
func (e *Easel) cornerRound() (view render.Pane, ok bool) {
	pane, scale, ok := e.canvasPane()
	if !ok || e.hand.doing != drawing || len(e.hand.down) == 0 {
		return pane, false
	}
	c := e.tool.corners[e.tool.held]
	pane.View.Centre = place.PhotoPoint{X: c.X * scale[0], Y: c.Y * scale[1]}
	return pane, true
}

// outlineSteps is into how many parts a side is cut where the lens bows it.
const outlineSteps = 12

// faceCanvas is the handles at the canvas's corners, and its outline.
func (e *Easel) faceOutline(f *Face) {
	pane, scale, ok := e.canvasPane()
	if !ok || e.plain {
		return
	}
	n, _ := e.checkedEntry()
	outline, _ := e.outlineOf(n)
	outline.Corners = e.tool.corners
	var points []string
	for i, p := range outline.Corners {
		x, y := besideAt(pane, scale, e.dpr, p)
		f.Handles = append(f.Handles, Handle{
			Name: fmt.Sprintf("canvas-%d", i), X: x, Y: y, Label: fmt.Sprintf("Move the %s corner of the canvas", place.Corner(i)),
		})
		for _, q := range bowed(outline, i) {
			x, y := besideAt(pane, scale, e.dpr, q)
			points = append(points, fmt.Sprintf("%.1f,%.1f", x, y))
		}
	}
	f.Outline = strings.Join(points, " ")
}

// bowed is a side of the canvas from a corner on, bent as the lens bends it.
func bowed(c check.Canvas, i int) []place.PhotoPoint {
	a, b := c.Corners[i], c.Corners[(i+1)%4]
	if c.Bow.K == 0 || c.Bow.Photo.Width == 0 {
		return []place.PhotoPoint{a}
	}
	from, to := c.Bow.Straight(a), c.Bow.Straight(b)
	var points []place.PhotoPoint
	for k := range outlineSteps {
		t := float64(k) / outlineSteps
		points = append(points, c.Bow.Bent(place.PhotoPoint{X: from.X + t*(to.X-from.X), Y: from.Y + t*(to.Y-from.Y)}))
	}
	return points
}
