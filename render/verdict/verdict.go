// Package verdict is a check of a painting in plain figures: a question that a program
// without room for the work puts to one that has it, and the answer. Both cross as bytes.
package verdict

import (
	"maulstick/render/card"
	"maulstick/render/check"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// Ask is a question about a photograph of the painting.
type Ask struct {
	Canvas   place.Size
	Outline  *check.Canvas      // as it was found before; nil to have it found
	Corners  []place.PhotoPoint // of the canvas on the photograph, as given: four, or none
	Steps    shape.Steps
	Smallest place.MM    // as in check.Question
	Cards    []card.Card // on the photograph; none for a check without
}

// Answer is what was found; see check.Report. If the question is refused, Err says why
// and Hint what would be right, each for the painter, and the rest is empty.
type Answer struct {
	Canvas   check.Canvas
	Whole    check.Whole
	Spread   place.MM
	Matches  []check.Match
	Slips    []check.Slip
	Values   []Value
	Range    Range
	Broken   [][2]int // pairs of Values whose order is turned round
	Colour   *Colour  // nil where it was not compared
	Declined string
	Help     string
	Nothing  bool
	Notes    []check.Note

	Err, Hint string
}

// Value is check.ShapeValue without what only the check needs.
type Value struct {
	At                  place.CanvasPoint
	Share               float64
	Reference, Painting float64 // L*
	StepReference       int
	StepPainting        int
	Difference, Within  float64 // steps
	Off                 bool
}

// Range is how wide the painting's values lie; see check.Values.
type Range struct {
	Of, Within float64
	Text       string
}

// Colour is the temperature of lights against shadows, in words, and what became of the
// reference's opposites, by their hues.
type Colour struct {
	Reference, Painting string
	Kept, Lost          [][2]string
}

// Pictures are the painting squared up and the painted part of the reference, of one
// size; nil without a canvas.
type Pictures struct{ Painting, Reference *photo.Picture }

// Find answers where the canvas is on the painting's photograph, and nothing else. It
// is no method of the question, since a program that only asks would hold it all the same.
func Find(a Ask, painting *photo.Picture) Answer {
	canvas, err := check.FindCanvas(painting.AsHeld(), a.Canvas)
	if err != nil {
		return refused(err)
	}
	return Answer{Canvas: scaled(canvas, 1/heldScale(painting), painting.Size())}
}

// Check compares. The reference is that part of the picture alone that is painted; see
// check.Side for how small it may be. What is told of the work's progress is as in
// check.Question.
func Check(a Ask, reference, painting *photo.Picture, progress func(share float64) error) (Answer, Pictures) {
	q, err := question(a, reference, painting)
	if err != nil {
		return refused(err), Pictures{}
	}
	q.Progress = progress
	r, err := check.Run(q)
	if err != nil {
		return refused(err), Pictures{}
	}
	answer := told(r)
	answer.Canvas = scaled(r.Canvas, 1/heldScale(painting), painting.Size())
	return answer, Pictures{Painting: r.Painting(), Reference: r.Reference()}
}

// question is the question that the check takes, about the pictures as they are held.
func question(a Ask, reference, painting *photo.Picture) (check.Question, error) {
	q := check.Question{
		Reference: reference, Crop: place.WholeCrop(reference.Size()), Painting: painting.AsHeld(),
		Canvas: a.Canvas, Steps: a.Steps, Smallest: a.Smallest,
	}
	scale := heldScale(painting)
	if len(a.Corners) == 4 {
		var quad place.Quad
		for i, c := range a.Corners {
			quad[i] = place.PhotoPoint{X: c.X * scale, Y: c.Y * scale}
		}
		q.Corners = &quad
	}
	if a.Outline != nil {
		outline := scaled(*a.Outline, scale, q.Painting.Size())
		q.Outline = &outline
	}
	if len(a.Cards) == 0 {
		return q, nil
	}
	cards := make([]card.Card, len(a.Cards))
	for i, c := range a.Cards {
		c.At = place.PhotoPoint{X: c.At.X * scale, Y: c.At.Y * scale}
		cards[i] = c
	}
	calibration, err := card.Calibrate(q.Painting, cards)
	q.True = calibration.True
	return q, err
}

// heldScale is how many pixels are held for each of a picture's own, across and down.
func heldScale(p *photo.Picture) float64 { return 1 / float64(int(1)<<p.Halved) }

// scaled is a canvas on a picture of another size.
func scaled(c check.Canvas, by float64, size place.Pixels) check.Canvas {
	for i, p := range c.Corners {
		c.Corners[i] = place.PhotoPoint{X: p.X * by, Y: p.Y * by}
	}
	c.Within *= by
	c.Bow.Photo = size
	return c
}

// refused is the answer to a question that makes no sense, or that is declined.
func refused(err error) Answer {
	if d, ok := err.(*check.Declined); ok {
		return Answer{Declined: d.Reason, Help: d.Help, Nothing: true}
	}
	return Answer{Err: err.Error(), Hint: place.Hint(err)}
}

// told is a report in plain figures.
func told(r check.Report) Answer {
	a := Answer{
		Canvas: r.Canvas, Whole: r.Drawing.Whole, Spread: r.Drawing.Spread, Matches: r.Drawing.Matches, Slips: r.Drawing.Slips,
		Declined: r.Declined.Reason, Help: r.Declined.Help, Nothing: r.Nothing,
	}
	if r.Nothing || len(r.Values.Shapes) == 0 {
		return a
	}
	for _, v := range r.Values.Shapes {
		a.Values = append(a.Values, Value{
			At: v.At, Share: v.Share, Reference: float64(v.Reference), Painting: float64(v.Painting),
			StepReference: v.StepReference, StepPainting: v.StepPainting, Difference: v.Difference, Within: v.Within, Off: v.Off(),
		})
	}
	a.Range = Range{Of: r.Values.Range, Within: r.Values.RangeWithin, Text: r.Values.RangeText()}
	a.Broken, a.Notes = r.Values.Broken, r.Notes()
	a.Colour = &Colour{
		Reference: r.Colour.Reference.Verdict(), Painting: r.Colour.Painting.Verdict(),
		Kept: shape.Hues(r.Colour.Kept), Lost: shape.Hues(r.Colour.Lost),
	}
	return a
}
