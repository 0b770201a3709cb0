// Package survey answers questions about a whole picture that take a moment: its
// flat shapes, its edges, its piles, its tones. It works on a copy of at most two
// megapixels, in a worker or on the command line alike, and its answers are plain
// values that are kept with the study.
package survey

import (
	"fmt"
	"math"
	"slices"

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
	Kind     Kind
	Crop     place.Crop // what is painted, in pixels of the photograph
	Canvas   place.Size
	Steps    shape.Steps
	Filter   bool // values are read through the red filter
	Sheet    colour.Sheet
	Smallest place.MM          // no shape or speck is smaller
	Count    int               // about how many flat shapes; 0 goes by Smallest
	Each     int               // piles a step; 0 finds as many as there are
	Wheel    colour.Wheel      // of the opposites
	Neutral  colour.SRGB       // picked as neither warm nor cool; black to find one
	White    bool              // white counts as neutral
	Focal    *place.PhotoPoint // where the eye is to go, on the photograph
	Last     bool              // the focal area is blocked in last, not first
	Outlines bool              // the flat shapes' outlines are wanted as SVG
}

// least and most are how long a canvas is that questions are about.
const least, most place.MM = 1, 100_000

// check refuses a question that has no answer.
func (a Ask) check() error {
	refuse := func(what string) error { return fmt.Errorf("surveying the picture: %s", what) }
	if !slices.Contains(Kinds(), a.Kind) {
		return refuse(fmt.Sprintf("there is no question of kind %q", a.Kind))
	}
	if a.Kind == Tones {
		if !slices.Contains(colour.Wheels(), a.Wheel) {
			return refuse(fmt.Sprintf("there is no wheel of colours number %d", int(a.Wheel)))
		}
		return nil
	}
	if a.Steps.Count() == 0 {
		return refuse("there are no steps to divide its values into")
	}
	if a.Kind == Piles {
		return nil
	}
	switch {
	case !(min(a.Canvas.Width, a.Canvas.Height) >= least && max(a.Canvas.Width, a.Canvas.Height) <= most):
		return refuse(fmt.Sprintf("the canvas of %g x %g mm is none", float64(a.Canvas.Width), float64(a.Canvas.Height)))
	case !(a.Smallest >= 0 && a.Smallest <= most):
		return refuse(fmt.Sprintf("the smallest size of %g mm is none", float64(a.Smallest)))
	case a.Focal != nil && math.IsNaN(a.Focal.X+a.Focal.Y):
		return refuse("the focal point is not two numbers")
	}
	return nil
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
	view := render.TabletView(own, render.TabletPixels)
	corner := view.ToPhoto(0, 0)
	return Copy{
		Picture: render.TabletCopy(y, own, render.TabletPixels),
		Left:    left + corner.X*side, Top: top + corner.Y*side, Side: side / view.Scale,
	}
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
