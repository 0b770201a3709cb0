// Package look holds the ways of seeing the picture. Each way is written twice,
// side by side: NAME.go for the processor and NAME.kage for the graphics unit,
// and the two are tested equal.
package look

import (
	"maulstick/render/colour"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// Tone is how the picture's values are shown.
type Tone int

// The tones of a look.
const (
	Colour      Tone = iota // as the photograph is
	Grey                    // each colour as the grey of its lightness
	Steps                   // a few flat greys
	Temperature             // warm colours orange, cool ones blue, as light as they are
	Misled                  // orange where the red filter reads too light, blue where too dark
)

// Keep says which steps stay in sight when one is isolated.
type Keep int

// What an isolated step keeps beside itself.
const (
	KeepAll     Keep = iota // nothing is isolated
	KeepOnly                // the step alone
	KeepDarker              // the step and all darker
	KeepLighter             // the step and all lighter
)

// Look is one way of seeing the picture. The zero value is the photograph in
// full colour.
type Look struct {
	Tone    Tone     `json:"tone"`
	Filter  bool     `json:"filter"`   // values are read through the red filter
	AsGreys bool     `json:"as_greys"` // the filter's picture in greys, not in red light
	Steps   int      `json:"steps"`    // how many, 2..9
	Keep    Keep     `json:"keep"`     // what stays in sight, with Tone Steps
	Step    int      `json:"step"`     // the isolated step, 1 (darkest)..Steps
	Squint  bool     `json:"squint"`   // blurred light first
	Blur    place.MM `json:"blur_mm"`  // the squint's full width at half maximum, on the canvas

	Division shape.Steps `json:"division"` // the steps, as many as Steps says; without any they are equal

	Sheet   colour.Sheet `json:"sheet"`   // of the red filter
	Neutral colour.SRGB  `json:"neutral"` // what is neither warm nor cool; black for the white of sRGB
}
