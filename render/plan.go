// Package render turns a study, a photograph and a viewport into a Plan: the
// ordered passes that put the picture on the screen. A Plan is plain data; the
// processor executes it here, the graphics unit in package gpu.
package render

import (
	"maulstick/render/colour"
	"maulstick/render/look"
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
	Round bool  // a round with a rim and a cross hair, not a rectangle
}

// Plan is all that the screen shows: the surround, then the panes in order, each
// with the strokes over it.
type Plan struct {
	Width, Height int         // device pixels of the whole screen
	Crop          place.Crop  // nothing of the photograph outside it is shown
	Canvas        place.Size  // gives lengths on the canvas their size in photo pixels
	Surround      colour.SRGB // an even grey
	Panes         []Pane      // the picture, and the magnified round if there is one
	Strokes       []Stroke    // lines over the picture in every pane, in order
}
