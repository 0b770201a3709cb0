// Package survey answers questions about a whole picture that take a moment: its
// flat shapes, its edges, its piles, its tones. It works on a copy of at most two
// megapixels, in a worker or on the command line alike, and its answers are plain
// values that are kept with the study.
package survey

import (
	"encoding/json"
	"fmt"
	"math"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// Kind is what a question is about.
type Kind string

// The kinds of questions.
const (
	Flat  Kind = "flat"  // flat shapes, their outlines and the order of the block-in
	Edges Kind = "edges" // lost, soft, firm and sharp edges, and the strongest contrasts
	Piles Kind = "piles" // the few colours that cover each value step
	Tones Kind = "tones" // warm and cool, opposites, and where the red filter misleads
	Clean Kind = "clean" // value steps without specks
)

// Kinds are all kinds.
func Kinds() []Kind { return []Kind{Flat, Edges, Piles, Tones, Clean} }

// Ask is a question. Equal questions about the same photograph have equal answers;
// of what a kind does not depend on the fields are zero. Lengths are on the canvas.
type Ask struct {
	Kind     Kind              `json:"kind"`
	Crop     place.Crop        `json:"crop_px"` // what is painted, in pixels of the photograph
	Canvas   place.Size        `json:"canvas"`
	Steps    shape.Steps       `json:"steps"`
	Filter   bool              `json:"filter"` // values are read through the red filter
	Sheet    colour.Sheet      `json:"sheet"`
	Smallest place.MM          `json:"smallest_mm"` // no shape or speck is smaller
	Count    int               `json:"count"`       // about how many flat shapes; 0 goes by Smallest
	Each     int               `json:"each"`        // piles a step; 0 finds as many as there are
	Wheel    colour.Wheel      `json:"wheel"`       // of the opposites
	Neutral  colour.SRGB       `json:"neutral"`     // picked as neither warm nor cool; black to find one
	White    bool              `json:"white"`       // white counts as neutral
	Focal    *place.PhotoPoint `json:"focal_px"`    // where the eye is to go, on the photograph
	Last     bool              `json:"focal_last"`  // the focal area is blocked in last, not first
	Outlines bool              `json:"outlines"`    // the flat shapes' outlines are wanted as SVG
}

// Key is the question in one line, the same for equal questions.
func (a Ask) Key() string {
	data, err := json.Marshal(a)
	if err != nil {
		// Only what is no number cannot be written, and no study holds that.
		return fmt.Sprintf("%+v", a)
	}
	return string(data)
}

// meter is what values are read with.
func (a Ask) meter() *colour.Meter {
	if a.Filter {
		return a.Sheet.Meter()
	}
	return colour.EyeMeter
}

// Copy is the picture that is surveyed, and how it lies on the photograph: its top
// left corner at (Left, Top), each of its pixels Side photo pixels wide and high.
type Copy struct {
	Picture         *photo.Picture
	Left, Top, Side float64 // photo pixels
}

// NewCopy is the copy of the crop of a photograph, of a pyramid that holds all its
// pixels. The pyramid may be that of a smaller copy: (left, top) is then where it
// begins on the photograph and side how wide its pixels are there.
func NewCopy(y *photo.Pyramid, left, top, side float64, crop place.Crop) Copy {
	own := place.Crop{X: (crop.X - left) / side, Y: (crop.Y - top) / side, Width: crop.Width / side, Height: crop.Height / side}
	p := render.TabletCopy(y, own, render.TabletPixels)
	c := Copy{Picture: p, Side: math.Max(own.Width/float64(p.Width), 1)}
	c.Left = own.X + (own.Width-float64(p.Width)*c.Side)/2
	c.Top = own.Y + (own.Height-float64(p.Height)*c.Side)/2
	if float64(p.Width) == math.Floor(own.Width) { // taken pixel by pixel
		c.Side, c.Left, c.Top = 1, math.Floor(c.Left+0.5), math.Floor(c.Top+0.5)
	}
	c.Left, c.Top, c.Side = left+c.Left*side, top+c.Top*side, c.Side*side
	return c
}

// whole is the whole copy as a crop of itself.
func (c Copy) whole() place.Crop { return place.WholeCrop(c.Picture.Size()) }

// onPhoto is a place of the copy on the photograph.
func (c Copy) onPhoto(p place.PhotoPoint) place.PhotoPoint {
	return place.PhotoPoint{X: c.Left + p.X*c.Side, Y: c.Top + p.Y*c.Side}
}

// onCopy is a place of the photograph on the copy.
func (c Copy) onCopy(p place.PhotoPoint) place.PhotoPoint {
	return place.PhotoPoint{X: (p.X - c.Left) / c.Side, Y: (p.Y - c.Top) / c.Side}
}

// Made is a picture that stands for the photograph, on which it lies as its copy
// does.
func (c Copy) Made(p *photo.Picture) *render.Made {
	y := photo.NewPyramid(p)
	y.Finish()
	return &render.Made{Pyramid: y, Left: c.Left, Top: c.Top, Side: c.Side}
}
