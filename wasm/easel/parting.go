package easel

import (
	"math"

	"maulstick/render/place"
)

// leastPart is how long the sides of a part that is drawn are at least, in CSS pixels: a
// touch draws none.
const leastPart = 12

// takePart takes up the tool that draws round a part of the picture beside. It begins
// with the middle of that.
func (e *Easel) takePart() {
	if a, _, ok := e.beside(); ok && a.pin != 0 {
		c := a.crop
		const inset = 0.25
		e.tool.part = place.Crop{X: c.X + inset*c.Width, Y: c.Y + inset*c.Height, Width: (1 - 2*inset) * c.Width, Height: (1 - 2*inset) * c.Height}
		return
	}
	e.tool = inHand{}
}

// partDrawn says whether a pointer is drawing round a part of the picture beside.
func (e *Easel) partDrawn() bool { return e.hand.doing == drawing && e.tool.tool == parter }

// drawPart draws round a part, from where the pointer came down.
func (e *Easel) drawPart(f finger) {
	t := &e.tool
	p, ok := e.onBeside(f.x, f.y)
	if !ok {
		return
	}
	t.part = t.before
	if math.Abs(f.x-f.fromX) >= leastPart && math.Abs(f.y-f.fromY) >= leastPart {
		drawn := place.Crop{X: min(p.X, t.from.X), Y: min(p.Y, t.from.Y), Width: math.Abs(p.X - t.from.X), Height: math.Abs(p.Y - t.from.Y)}
		if drawn.Width > 0 && drawn.Height > 0 {
			t.part = drawn
		}
	}
}

// nudgePart moves a handle of the part by pixels of the screen.
func (e *Easel) nudgePart(name string, right, down float64) {
	a, seen, ok := e.beside()
	grip, isGrip := grips[name]
	if !ok || !isGrip || e.tool.tool != parter || e.tool.part.Width == 0 {
		return
	}
	by := offset(seen.under(right/e.dpr, down/e.dpr), seen.under(0, 0))
	e.tool.part = e.tool.part.Pulled(grip, by.X, by.Y, a.size(), 0)
}

// facePart is the frame about the part, and its handles.
func (e *Easel) facePart(f *Face) {
	_, seen, ok := e.beside()
	c := e.tool.part
	if !ok || c.Width == 0 {
		return
	}
	for _, name := range gripOrder {
		g := grips[name]
		x, y := seen.at(place.PhotoPoint{X: c.X + c.Width*float64(1+g.X)/2, Y: c.Y + c.Height*float64(1+g.Y)/2})
		words := "the part"
		if name != "middle" {
			words = gripWords[name] + " of the part"
		}
		f.Handles = append(f.Handles, Handle{Name: "part-" + name, X: x, Y: y, Label: "Move " + words})
	}
	x0, y0 := seen.at(place.PhotoPoint{X: c.X, Y: c.Y})
	x1, y1 := seen.at(place.PhotoPoint{X: c.X + c.Width, Y: c.Y + c.Height})
	f.Part = &Frame{X: min(x0, x1), Y: min(y0, y1), Width: math.Abs(x1 - x0), Height: math.Abs(y1 - y0)}
}
