// Package palette reads a photograph of grey cards and mixed piles of paint: what the
// cards tell of the photograph, how each pile stands against its card and to the piles
// that are planned, and where even patches lie on it.
package palette

import (
	"errors"
	"slices"

	"maulstick/render/card"
	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/pile"
	"maulstick/render/place"
)

// Touch is a pile as it was touched on the photograph.
type Touch struct {
	At   place.PhotoPoint
	Card *colour.Value // that it is to match; nil for that of its nearest planned pile
}

// Ask asks about a photograph.
type Ask struct {
	Cards []card.Card      // none where only patches are to be found
	Piles []Touch          // are read by the cards
	Plan  []Step           // the piles that are planned, none without a plan
	Step  colour.Lightness // how wide a step is
	Sheet colour.Sheet     // of the red filter
	Find  bool             // even patches, too
}

// Step is the piles that are planned for a step.
type Step struct {
	Value colour.Value // that it is shown in
	Piles []Pile
}

// Pile is a planned pile.
type Pile struct {
	Colour colour.SRGB
	Name   string // by colour.NameSystem
}

// PlanOf is a plan as Ask has it.
func PlanOf(p pile.Piles) []Step {
	var plan []Step
	for _, s := range p.Steps {
		step := Step{Value: s.Value}
		for _, one := range s.Piles {
			step.Piles = append(step.Piles, Pile{one.Colour, one.Name})
		}
		plan = append(plan, step)
	}
	return plan
}

// Answer answers an Ask.
type Answer struct {
	Cards *Cards    // nil where none were asked about
	Piles []Reading // in the order of the Touches
	Found []place.PhotoPoint

	// Wrong is why the cards cannot be used, and Wanted what helps; then Cards is nil,
	// and no pile is read.
	Wrong, Wanted string
}

// Cards is what the cards tell.
type Cards struct {
	Faces    []Face // by value, the darkest first
	Method   string // what was fitted
	Residual colour.Lightness
	Checked  int     // how many cards that is told by, see card.Calibration
	Rise     float64 // of the light, see card.Calibration
	Lighter  string  // where to, see there
	Measured bool
	Colours  colour.Lightness // how far off readings of colours are at most, of 19 in 20
	Greys    colour.Lightness // the same of greys
}

// Face is a card as it was read.
type Face struct {
	Value  colour.Value
	At     place.PhotoPoint
	Shown  colour.SRGB      // its mean light as it is stored
	Uneven colour.Lightness // across it
	Reads  colour.Lightness // by the cards
}

// Read answers. What is wrong with cards is in the answer.
func Read(p *photo.Picture, a Ask) Answer {
	if p.Halved > 0 {
		return readHalved(p, a)
	}
	var answer Answer
	if a.Find {
		answer.Found = Patches(p)
	}
	if len(a.Cards) == 0 {
		return answer
	}
	c, err := card.Calibrate(p, a.Cards)
	if err != nil {
		answer.Wrong, answer.Wanted = wrong(err)
		return answer
	}
	answer.Cards = tell(c)
	for _, t := range a.Piles {
		answer.Piles = append(answer.Piles, a.read(p, c, t))
	}
	return answer
}

// readHalved answers about a picture that is held halved, from the pixels that are there.
func readHalved(p *photo.Picture, a Ask) Answer {
	scale := 1 / float64(int(1)<<p.Halved)
	held := func(at place.PhotoPoint) place.PhotoPoint { return place.PhotoPoint{X: at.X * scale, Y: at.Y * scale} }
	back := func(at *place.PhotoPoint) { at.X, at.Y = at.X/scale, at.Y/scale }
	cards, piles := slices.Clone(a.Cards), slices.Clone(a.Piles)
	for i := range cards {
		cards[i].At = held(cards[i].At)
	}
	for i := range piles {
		piles[i].At = held(piles[i].At)
	}
	a.Cards, a.Piles = cards, piles
	answer := Read(p.AsHeld(), a)
	for i := range answer.Found {
		back(&answer.Found[i])
	}
	for i := range answer.Piles {
		back(&answer.Piles[i].At)
	}
	if answer.Cards != nil {
		for i := range answer.Cards.Faces {
			back(&answer.Cards.Faces[i].At)
		}
	}
	return answer
}

// wrong is what is wrong, and what helps.
func wrong(err error) (what, wanted string) {
	var problem *place.Problem
	if errors.As(err, &problem) {
		return problem.What, problem.Wanted
	}
	return err.Error(), ""
}

// tell is a calibration as plain figures.
func tell(c card.Calibration) *Cards {
	told := &Cards{Method: c.Method(), Residual: colour.Lightness(c.Residual), Checked: c.Checked, Rise: c.Rise, Lighter: c.Lighter, Measured: c.Measured}
	told.Colours, told.Greys = c.Promise()
	for _, f := range c.Faces {
		told.Faces = append(told.Faces, Face{f.Value, f.At, f.Patch.Light.SRGB(), colour.Lightness(f.Patch.Uneven), f.Reads})
	}
	return told
}
