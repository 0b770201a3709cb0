// Package render turns a study, a photograph and a viewport into a Plan: the
// ordered passes that put the picture on the screen. A Plan is plain data; the
// processor executes it here, the graphics unit in package gpu.
package render

import (
	"slices"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// Viewport is the window through which the cropped photograph is seen. Lengths
// are device pixels of the screen; the picture is first turned upside down if
// Turned, then mirrored if Mirror, about the point at the viewport's centre.
type Viewport struct {
	Width, Height int              // device pixels
	Scale         float64          // device pixels a photo pixel, over zero, at most 16
	Centre        place.PhotoPoint // the photo place at the viewport's centre
	Mirror        bool             // left and right exchanged
	Turned        bool             // turned by half a turn
}

// Rect is a rectangle of device pixels, right and down from the top left.
type Rect struct{ X, Y, Width, Height int }

// Pane is one picture on the screen: the photograph seen through View under
// Look, drawn at At, which is as large as View.
type Pane struct {
	At    Rect
	View  Viewport
	Look  look.Look
	Made  *Made // shown in place of the photograph, without a squint; nil for the photograph
	Other Other // shown in place of the photograph, squinted at as that is
	Round bool  // a round with a rim and a cross hair, not a rectangle
}

// Other is another picture than the plan's photograph, or none. A pane that shows one
// has its view in pixels of that, and no strokes.
type Other struct {
	Pyramid *photo.Pyramid // nil for none
	Crop    place.Crop     // nothing of it outside is shown
	Live    bool           // its pixels change from frame to frame: it is drawn quickly rather than exactly
}

// Plan is all that the screen shows: the surround, then the panes in order, each
// with the strokes over it.
type Plan struct {
	Width, Height int         // device pixels of the whole screen
	Crop          place.Crop  // nothing of the photograph outside it is shown
	Canvas        place.Size  // gives lengths on the canvas their size in photo pixels
	Surround      colour.SRGB // an even grey
	Panes         []Pane      // the picture, and the magnified round if there is one
	Strokes       []Stroke    // lines over the photograph in every pane that shows it, in order
}

// Live says whether a picture in the plan changes from frame to frame.
func (p Plan) Live() bool {
	return slices.ContainsFunc(p.Panes, func(pane Pane) bool { return pane.Other.Live })
}

// Shows is the part of its picture that a pane shows, in pixels of that.
func (p Plan) Shows(pane Pane) place.Crop {
	if pane.Other.Pyramid != nil {
		return pane.Other.Crop
	}
	return p.Crop
}

// Source is the picture that a pane is drawn from in the photograph's place, nil for
// the photograph.
func (pane Pane) Source() *photo.Pyramid {
	if pane.Made != nil {
		return pane.Made.Pyramid
	}
	return pane.Other.Pyramid
}
