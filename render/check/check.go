// Package check compares a photographed painting with its reference: it finds the
// canvas and its lens's bow, squares it up, finds places of the reference again on the
// painting, and tells what is off in drawing, value and colour, by how much and how
// surely. Where it cannot tell it declines with a reason.
package check

import (
	"errors"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// Question is what to compare.
type Question struct {
	Reference *photo.Picture
	Crop      place.Crop // the painted part of the reference
	Painting  *photo.Picture
	Canvas    place.Size
	Corners   *place.Quad // of the canvas on the painting's photograph; nil to have them found
	Steps     shape.Steps
	Smallest  place.MM // of shapes whose values are compared; 0 for SmallestFor

	// True turns light of the photograph, at a place of it, into light under even
	// light, as grey cards give it, and is called for many places at once; nil without
	// cards.
	True func(at place.PhotoPoint, light colour.Linear) colour.Linear

	// Outline is the canvas as FindCanvas found it before, so that it need not be found
	// again; nil else, and without effect beside Corners.
	Outline *Canvas

	// Progress is told how far the check is, 0 to 1; its error ends it. It may be nil.
	Progress func(share float64) error
}

// How far a check is once the canvas is found, both pictures are squared up, the drawing
// is compared, and the values are.
const foundShare, squaredShare, drawnShare, valuedShare = 0.33, 0.42, 0.6, 0.87

// tell says how far the check is.
func (q Question) tell(share float64) error {
	if q.Progress == nil {
		return nil
	}
	return q.Progress(share)
}

// SmallestFor is the size of the smallest shapes whose values are compared unless the
// painter says another: a 24th of the canvas's short side.
func SmallestFor(canvas place.Size) place.MM { return min(canvas.Width, canvas.Height) / 24 }

// Report is what was found.
type Report struct {
	Canvas   Canvas
	Drawing  Drawing
	Values   Values
	Colour   Colour
	Declined Declined // why nothing, or not all, can be told; empty where all is
	Nothing  bool     // nothing could be compared

	ref, painting lit
	width         place.MM // of the canvas
	carded        bool
}

// Run compares. What cannot be told is in Declined; an error is a question that makes
// no sense.
func Run(q Question) (Report, error) {
	r, err := run(q)
	if r.Nothing && (q.Canvas.Height > q.Canvas.Width) != (q.Reference.Height > q.Reference.Width) {
		r.Declined.Help = "the canvas and the reference are not turned alike: if that is not meant, exchange the sides of the canvas; else " + r.Declined.Help
	}
	return r, err
}

// run is Run without what it adds to the help.
func run(q Question) (Report, error) {
	r := Report{width: q.Canvas.Width, carded: q.True != nil}
	if err := r.findCanvas(q); err != nil {
		return r, r.decline(err, true)
	}
	if err := q.tell(foundShare); err != nil {
		return r, err
	}
	size := frameOf(q.Canvas, workSide)
	var err error
	if r.ref, err = cropped(q.Reference, q.Crop, size); err != nil {
		return r, err
	}
	if r.painting, err = squared(q.Painting, r.Canvas, size, q.True); err != nil {
		return r, err
	}
	if err := q.tell(squaredShare); err != nil {
		return r, err
	}
	r.Drawing, err = compareDrawing(r.ref.lab(), r.painting.lab(), q.Canvas)
	if err != nil {
		return r, r.decline(err, true)
	}
	if err := q.tell(drawnShare); err != nil {
		return r, err
	}
	smallest := q.Smallest
	if smallest == 0 {
		smallest = SmallestFor(q.Canvas)
	}
	ref, painting := r.ref.halved(), r.painting.halved()
	if r.Values, err = compareValues(ref, painting, r.Drawing, q.Canvas, q.Steps, smallest, q.True != nil); err != nil {
		return r, r.decline(err, false)
	}
	if err := q.tell(valuedShare); err != nil {
		return r, err
	}
	r.Colour, err = compareColour(ref, painting, r.Values, r.Drawing, q.Canvas)
	return r, err
}

// decline notes a reason; any other error is returned.
func (r *Report) decline(err error, nothing bool) error {
	var d *Declined
	if !errors.As(err, &d) {
		return err
	}
	r.Declined, r.Nothing = *d, nothing
	return nil
}

// findCanvas takes the corners given, with the bow that their edges show if any, or
// finds them.
func (r *Report) findCanvas(q Question) (err error) {
	if q.Corners == nil && q.Outline != nil {
		r.Canvas = *q.Outline
		return nil
	}
	if q.Corners == nil {
		r.Canvas, err = FindCanvas(q.Painting, q.Canvas)
		return err
	}
	if err := q.Corners.Check(); err != nil {
		return err
	}
	r.Canvas = GivenCanvas(q.Painting, *q.Corners)
	return nil
}

// halved is a picture at half its size.
func (l lit) halved() lit {
	out := newLit(max(l.width/2, 1), max(l.height/2, 1))
	for k := range 3 {
		p := newPlane(l.width, l.height)
		for i := range p.v {
			p.v[i] = l.rgb[3*i+k]
		}
		for i, v := range p.halved().v {
			out.rgb[3*i+k] = v
		}
	}
	return out
}
