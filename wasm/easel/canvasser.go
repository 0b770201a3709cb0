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
	if _, found := e.painting.found[n.ID]; !found && len(n.Corners) == 0 && !e.painting.busy {
		e.findCanvas()
	}
}

// cornersOf are the corners where they are known to be, or where they are to be dragged
// from.
func (e *Easel) cornersOf(n study.Entry) [4]place.PhotoPoint {
	if c, known := e.outlineOf(n); known {
		return c.Corners
	}
	return firstCorners(place.Pixels{Width: n.Photograph.Width, Height: n.Photograph.Height})
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

// putsWith says whether a tool is in hand that puts something on the canvas's photograph,
// which is then in the place of the one on the easel.
func (e *Easel) putsWith(t tool) bool {
	if e.tool.tool != t || !e.onCheck("painting") {
		return false
	}
	_, ok := e.checkedEntry()
	return ok
}

// cornering says whether the canvas's corners are being put, and carding whether the grey
// cards on its photograph are being touched.
func (e *Easel) cornering() bool { return e.putsWith(canvasser) }
func (e *Easel) carding() bool   { return e.putsWith(carder) }

// putting says whether corners or cards are being put on the canvas's photograph.
func (e *Easel) putting() bool { return e.cornering() || e.carding() }

// canvasAside is the photograph that the corners are put on.
func (e *Easel) canvasAside() (aside, bool) {
	n, ok := e.checkedEntry()
	if !ok || !e.cornering() {
		return aside{}, false
	}
	return wholeAside(entryName(n), *n.Photograph), true
}

// corners are the corners that are being put, with the note whose photograph they are put
// on and how that is seen; ok is false while it is not.
func (e *Easel) corners() (all [4]place.PhotoPoint, n study.Entry, seen propped, ok bool) {
	n, ok = e.checkedEntry()
	if !ok || !e.cornering() {
		return all, n, seen, false
	}
	seen, ok = e.inPlace()
	return e.cornersOf(n), n, seen, ok
}

// holdCorner takes hold of the corner nearest to a finger.
func (e *Easel) holdCorner(f finger) {
	t := &e.tool
	corners, _, seen, ok := e.corners()
	if !ok {
		e.hand.doing = spent
		return
	}
	least := math.Inf(1)
	for i, c := range corners {
		if d := seen.away(f, c); d < least {
			t.held, least = i, d
		}
	}
	t.from = offset(seen.under(f.x, f.y), corners[t.held])
}

// dragCorner moves the corner that is held.
func (e *Easel) dragCorner(f finger) {
	if corners, n, seen, ok := e.corners(); ok {
		corners[e.tool.held] = offset(seen.under(f.x, f.y), e.tool.from)
		e.do(e.doc().WithCorners(n.ID, corners[:]...), e.hand.run)
	}
}

// nudgeCorner moves a corner by pixels of the photograph in the screen's directions.
func (e *Easel) nudgeCorner(name string, right, down float64) {
	corners, n, seen, ok := e.corners()
	number, is := strings.CutPrefix(name, "canvas-")
	i, err := strconv.Atoi(number)
	if !ok || !is || err != nil || i < 0 || i > 3 {
		return
	}
	view := seen.pane.View
	if view.Mirror != view.Turned {
		right = -right
	}
	if view.Turned {
		down = -down
	}
	corners[i] = place.PhotoPoint{X: corners[i].X + right, Y: corners[i].Y + down}
	e.do(e.doc().WithCorners(n.ID, corners[:]...), "nudge "+name)
}

// cornerRound is the magnified round beside the finger that moves a corner.
func (e *Easel) cornerRound() (view render.Pane, ok bool) {
	corners, _, seen, ok := e.corners()
	if !ok || e.hand.doing != drawing || len(e.hand.down) == 0 {
		return view, false
	}
	return seen.about(corners[e.tool.held]), true
}

// outlineSteps is into how many parts a side is cut where the lens bows it.
const outlineSteps = 12

// faceOutline is the handles at the canvas's corners, and its outline.
func (e *Easel) faceOutline(f *Face) {
	corners, n, seen, ok := e.corners()
	if !ok || e.plain {
		return
	}
	outline, _ := e.outlineOf(n)
	outline.Corners = corners
	var points []string
	for i, p := range outline.Corners {
		x, y := seen.at(p)
		f.Handles = append(f.Handles, Handle{
			Name: fmt.Sprintf("canvas-%d", i), X: x, Y: y, Label: fmt.Sprintf("Move the %s corner of the canvas", place.Corner(i)),
		})
		for _, q := range bowed(outline, i) {
			x, y := seen.at(q)
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
