package easel

import (
	"fmt"
	"strconv"
	"strings"

	"maulstick/render/place"
)

// Handle is something on the picture that is moved by a finger or by the arrow keys.
// X and Y are CSS pixels from the top left corner of the picture's area.
type Handle struct {
	Name  string
	X, Y  float64
	Label string
}

// Frame is a rectangle on the picture, all of which but it is shaded; CSS pixels from
// the top left corner of the picture's area.
type Frame struct{ X, Y, Width, Height float64 }

// grips are what a crop is pulled by, by the names of their handles.
var grips = map[string]place.Handle{
	"top-left": {X: -1, Y: -1}, "top": {Y: -1}, "top-right": {X: 1, Y: -1}, "right": {X: 1},
	"bottom-right": {X: 1, Y: 1}, "bottom": {Y: 1}, "bottom-left": {X: -1, Y: 1}, "left": {X: -1}, "middle": {},
}

// gripOrder is their order for the keyboard.
var gripOrder = []string{"middle", "top-left", "top", "top-right", "right", "bottom-right", "bottom", "bottom-left", "left"}

// gripWords say what each is.
var gripWords = map[string]string{
	"middle": "the crop", "top-left": "the top left corner", "top": "the top edge", "top-right": "the top right corner",
	"right": "the right edge", "bottom-right": "the bottom right corner", "bottom": "the bottom edge",
	"bottom-left": "the bottom left corner", "left": "the left edge",
}

// faceHandles is the handles of the tool in hand, and the crop's frame.
func (e *Easel) faceHandles(f *Face) {
	if !e.ready() || e.plain {
		return
	}
	v := e.viewport()
	at := func(name, label string, p place.PhotoPoint) {
		x, y := v.ToScreen(p)
		f.Handles = append(f.Handles, Handle{Name: name, X: x / e.dpr, Y: y / e.dpr, Label: label})
	}
	switch e.tool.tool {
	case cropper:
		c := e.doc().Crop()
		for _, name := range gripOrder {
			g := grips[name]
			at(name, "Move "+gripWords[name], place.PhotoPoint{
				X: c.X + c.Width*float64(1+g.X)/2, Y: c.Y + c.Height*float64(1+g.Y)/2,
			})
		}
		x0, y0 := v.ToScreen(place.PhotoPoint{X: c.X, Y: c.Y})
		x1, y1 := v.ToScreen(place.PhotoPoint{X: c.X + c.Width, Y: c.Y + c.Height})
		f.Frame = &Frame{X: min(x0, x1) / e.dpr, Y: min(y0, y1) / e.dpr, Width: max(x1-x0, x0-x1) / e.dpr, Height: max(y1-y0, y0-y1) / e.dpr}
	case parter:
		e.facePart(f)
	case canvasser:
		e.faceOutline(f)
	case arrower:
		if a, ok := e.arrowShown(); ok {
			from, to := e.ends(a)
			at("arrow-from", "Move where it belongs", from)
			at("arrow-to", "Move where it is painted", to)
		}
	case cornerer:
		for i, p := range e.tool.corners {
			at(fmt.Sprintf("corner-%d", i), fmt.Sprintf("Move the %s corner of the flat thing", place.Corner(i)), p)
		}
	}
}

// NudgeHandle moves a handle by photo pixels in the screen's directions, a corner of a
// flat thing or a grip of the crop. A row of nudges counts as one step.
func (e *Easel) NudgeHandle(name string, right, down float64) {
	if e.still() || !isNumber(right, down) || !e.ready() {
		return
	}
	v := e.viewport()
	from := v.ToPhoto(0, 0)
	to := v.ToPhoto(right*v.Scale, down*v.Scale)
	by := offset(to, from)
	switch e.tool.tool {
	case cropper:
		if grip, ok := grips[name]; ok {
			e.do(e.doc().Pulled(grip, by.X, by.Y), "nudge "+name)
		}
	case parter:
		e.nudgePart(strings.TrimPrefix(name, "part-"), right, down)
	case canvasser:
		e.nudgeCorner(name, right, down)
	case arrower:
		e.nudgeArrow(name, by)
	case cornerer:
		number, _ := strings.CutPrefix(name, "corner-")
		if corner, err := strconv.Atoi(number); err == nil && corner >= 0 && corner < 4 {
			p := e.tool.corners[corner]
			e.moveCorner(corner, place.PhotoPoint{X: p.X + by.X, Y: p.Y + by.Y})
		}
	}
	e.after()
}
