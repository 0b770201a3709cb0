// Package setout sets a plan of lines out on a canvas: a question that a program
// without room for exact numbers puts to one that has it, and an answer in plain
// figures. Both cross as bytes.
package setout

import (
	"maulstick/render/line"
	"maulstick/render/place"
)

// Ask is a question. Equal questions have equal answers.
type Ask struct {
	Plan     string      // as line.Plan spells it
	Canvas   place.Size  // what the lines are drawn on
	Corner   place.Edges // where the chalk list measures from
	Rounding string      // as line.ParseRounding reads it; "" goes by the canvas's unit
}

// Answer is the lines of a plan and all that follows from them, in millimetres from
// the canvas's top left corner. If the plan is refused, Err says why and Hint what
// would be right, each for the painter, and the rest is empty.
type Answer struct {
	Lines     []line.Drawn    // in the order of the plan, each once
	Crossings []line.Crossing // ranked; see line.Crossing
	Notes     []line.Note     // of squares
	Missed    []line.Missed   // constructions that draw nothing on this canvas
	Chalk     line.List
	Err, Hint string
}

// Draw is the answer to a question.
func Draw(a Ask) Answer {
	s, list, err := a.draw()
	if err != nil {
		return Answer{Err: err.Error(), Hint: place.Hint(err)}
	}
	answer := Answer{Crossings: s.Crossings, Notes: s.Notes, Missed: s.Missed, Chalk: list}
	for _, l := range s.Lines {
		answer.Lines = append(answer.Lines, l.Drawn)
	}
	return answer
}

// draw sets the plan out. Any error is a *place.Problem.
func (a Ask) draw() (*line.Set, line.List, error) {
	plan, err := line.ParsePlan(a.Plan)
	if err != nil {
		return nil, line.List{}, err
	}
	rounding := line.RoundingFor(a.Canvas.Unit)
	if a.Rounding != "" {
		if rounding, err = line.ParseRounding(a.Rounding); err != nil {
			return nil, line.List{}, err
		}
	}
	s, err := line.Draw(plan, a.Canvas)
	if err != nil {
		return nil, line.List{}, err
	}
	return s, line.Chalk(s, a.Corner, rounding), nil
}

// NearestCrossing is the index of the crossing nearest to a point, the best ranked
// of equals, and how far the point is from it; ok is false if there is none.
func (a *Answer) NearestCrossing(p place.CanvasPoint) (i int, off line.Offset, ok bool) {
	return line.NearestCrossing(a.Crossings, p)
}

// NearestLine is the index of the line nearest to a point, and how far the point is
// from it, at foot, as line.NearestLine tells it; ok is false if there is no line.
func (a *Answer) NearestLine(p place.CanvasPoint) (i int, signed place.MM, foot place.CanvasPoint, ok bool) {
	return line.NearestLine(a.Lines, p)
}
