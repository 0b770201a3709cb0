// Package study holds one saved piece of work. A Document is a small value,
// never changed in place; undo keeps whole documents; its file form is open,
// versioned and canonical.
package study

import (
	"maulstick/render/look"
	"maulstick/render/place"
)

// Format is the newest form of document this program writes.
const Format = 5

// Reference is a photograph that a study works from, kept apart from the
// document under its hash.
type Reference struct {
	Name   string `json:"name"`   // as the painter's file was called
	Hash   string `json:"sha256"` // of the file's bytes as they came, lower-case hex
	Bytes  int    `json:"bytes"`
	Width  int    `json:"width_px"` // upright, as it came
	Height int    `json:"height_px"`
}

// Canvas is what is painted on, and how the painter typed its size.
type Canvas struct {
	Width  place.MM   `json:"width_mm"`
	Height place.MM   `json:"height_mm"`
	Unit   place.Unit `json:"unit"` // lengths are shown in it
	Typed  string     `json:"typed"`

	Border place.Border `json:"border"` // about the composition
}

// Mark is a placed point of the photograph. Like every other place in a document
// it lies on the photograph as it is set right.
type Mark struct {
	ID    int     `json:"id"` // never used twice in a study, from 1
	Name  string  `json:"name"`
	X     float64 `json:"x_px"` // photo pixels, see place.PhotoPoint
	Y     float64 `json:"y_px"`
	Touch float64 `json:"touch_px"` // how far off the touch may be, in photo pixels
}

// View is how the painter last looked at the picture.
type View struct {
	Fit     bool    `json:"fit"`  // the whole crop, as large as fits
	Zoom    float64 `json:"zoom"` // times the fitting size, at least 1; 1 when Fit
	CentreX float64 `json:"centre_x_px"`
	CentreY float64 `json:"centre_y_px"`
	Mirror  bool    `json:"mirror"`
	Turned  bool    `json:"turned"`
}

// Document is one state of a study. Slices and maps in it are never written
// to after it has been made: an edit copies what it changes.
type Document struct {
	Format    int         `json:"maulstick_study"`
	ID        string      `json:"id"`
	Name      string      `json:"name"`
	Reference Reference   `json:"reference"`
	Righting  Righting    `json:"righting"`
	Canvas    Canvas      `json:"canvas"`
	Own       place.Crop  `json:"crop"` // the painter's; without a width the largest centred one
	Hold      string      `json:"hold"` // what the crop is held to
	Marks     []Mark      `json:"marks"`
	Chosen    int         `json:"chosen"` // the mark being read, 0 for none
	NextMark  int         `json:"next_mark"`
	From      place.Edges `json:"from"`
	Spans     []Span      `json:"spans"`
	Span      int         `json:"span"` // the one being read, 0 for none
	Unit      int         `json:"unit"` // the span that others are compared with, 0 for none
	NextSpan  int         `json:"next_span"`
	Parting   int         `json:"parting"` // into how many parts the chosen span is divided: 1, 2 or 3
	Lines     Lines       `json:"lines"`
	Eye       []EyePath   `json:"eye"`
	Look      look.Look   `json:"look"`
	View      View        `json:"view"`
	Tray      string      `json:"tray"`               // the open tray, "" for none
	Surround  int         `json:"surround_lightness"` // L*, 20..80
	Cycle     []string    `json:"cycle"`              // the looks that a page-turner steps through
	Finding   Finding     `json:"finding"`
	Shown     string      `json:"shown"` // in place of the photograph, "" for nothing
	Parts     Parts       `json:"parts"` // of the trays
	Sheets    Sheets      `json:"sheets"`
	Board     Board       `json:"board"`
	Log       []Entry     `json:"log"`
	NextEntry int         `json:"next_entry"`
	Compared  []int       `json:"compared"` // notes of the log whose photographs are seen side by side, two at most
	Palette   Palette     `json:"palette"`
	Checked   []Checked   `json:"checked"` // checks of the painting, in the order of the log
}

// EyePath is one stroke of the path that the eye is to take, as it was drawn.
type EyePath []place.PhotoPoint
