package main

import (
	"context"
	"flag"
	"fmt"
	"strings"

	"maulstick/render/line"
)

// chalkList is what "chalk" tells.
type chalkList struct {
	Plan     string      `json:"plan"`
	CanvasMM [2]float64  `json:"canvas_mm"`
	From     string      `json:"from"`        // the corner: distances run along each edge from its end there
	Rounding float64     `json:"rounding_mm"` // one division of the rule
	Marks    []chalkMark `json:"marks"`       // edge by edge
	Joins    []chalkJoin `json:"joins"`       // in the order to draw
	Travel   float64     `json:"travel_mm"`   // of the rule, in all
	Before   measured    `json:"before"`      // both diagonals of the canvas, which should be equal
	Check    *measured   `json:"check,omitempty"`
	advice
}

// chalkMark is a mark to make.
type chalkMark struct {
	Name  string  `json:"name"`
	Edge  string  `json:"edge"`
	MM    float64 `json:"distance_mm"` // as chalked, from the corner's end of the edge
	Text  string  `json:"text"`
	Exact float64 `json:"exact_mm"`
	Error float64 `json:"error_mm"` // distance_mm less exact_mm
	From  string  `json:"from"`     // the end of the edge that distance_mm is measured from

	heading string // of the edge
	off     string // the error in words, "" for none
}

// chalkJoin is two marks, or corners of the canvas, to snap a line between.
type chalkJoin struct {
	From string  `json:"from"`
	To   string  `json:"to"`
	Kind string  `json:"kind"`
	Line string  `json:"line"`
	X1   float64 `json:"x1_mm"` // as chalked, from the top left
	Y1   float64 `json:"y1_mm"`
	X2   float64 `json:"x2_mm"`
	Y2   float64 `json:"y2_mm"`
}

// measured is a distance to measure on the canvas.
type measured struct {
	From  string  `json:"from"`
	To    string  `json:"to"`
	MM    float64 `json:"distance_mm"` // as chalked
	Text  string  `json:"text"`
	Exact float64 `json:"exact_mm"`
}

func chalk(_ context.Context, o *options) error {
	var use, round string
	err := o.parse("lists the marks to measure along the canvas's edges, and which to join.", func(f *flag.FlagSet) {
		f.StringVar(&o.canvas, "canvas", "", helpCanvas)
		f.StringVar(&use, "use", "", helpUse)
		f.StringVar(&o.from, "from", "left,top", "the two `EDGES` to measure from: left or right along top and bottom, top or bottom along the sides")
		f.StringVar(&round, "round", "", "the finest division of your rule: `1/8`, 1/16 or 1/32 of an inch, or mm; without it 1/16, or mm\non a canvas in metric units")
		o.declareJSON(f)
	})
	if err != nil {
		return err
	}
	s, err := o.planned(use)
	if err != nil {
		return err
	}
	corner, err := o.edges()
	if err != nil {
		return err
	}
	rounding := line.RoundingFor(s.Canvas.Unit)
	if round != "" {
		if rounding, err = line.ParseRounding(round); err != nil {
			return err
		}
	}
	return o.write(tellChalk(s, line.Chalk(s, corner, rounding)))
}

// tellChalk is the list as it is shown.
func tellChalk(s *line.Set, list line.List) chalkList {
	r := chalkList{
		Plan: s.Plan.String(), CanvasMM: [2]float64{float64(s.Canvas.Width), float64(s.Canvas.Height)},
		From: line.CornerName(list.Corner), Rounding: float64(list.Rounding.Grain()),
		Marks: []chalkMark{}, Joins: []chalkJoin{}, Travel: float64(list.Travel), advice: missed(s),
		Before: measured{"one corner", "the corner opposite", float64(list.Check.CanvasDiagonal), list.Check.CanvasDiagonalIs, float64(list.Check.CanvasDiagonal)},
	}
	for _, m := range list.Marks {
		r.Marks = append(r.Marks, chalkMark{
			m.Name, m.Edge.String(), float64(m.Chalk), m.Text, float64(m.Exact), float64(m.Error), m.Edge.End(list.Corner),
			m.Edge.Heading(list.Corner), list.Rounding.ErrorText(m.Error),
		})
	}
	for _, j := range list.Joins {
		l, p, q := s.Lines[j.Line], j.From.At, j.To.At
		r.Joins = append(r.Joins, chalkJoin{j.From.Name, j.To.Name, string(l.Kind), l.Label, float64(p.X), float64(p.Y), float64(q.X), float64(q.Y)})
	}
	if c := list.Check; c.Text != "" {
		r.Check = &measured{c.From, c.To, float64(c.Distance), c.Text, float64(c.Exact)}
	}
	return r
}

func (r chalkList) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "before you begin: both diagonals of the canvas measure %s\n", r.Before.Text)
	b.WriteString("mark, each from the end that stands above it and never from the mark before:\n")
	for i, m := range r.Marks {
		if i == 0 || r.Marks[i-1].Edge != m.Edge {
			b.WriteString(m.heading + "\n")
		}
		off := m.off
		if off != "" {
			off = ", " + off
		}
		fmt.Fprintf(&b, "  %-10s %s%s\n", m.Name, m.Text, off)
	}
	b.WriteString("join, in this order:\n")
	for i, j := range r.Joins {
		fmt.Fprintf(&b, "%3d  %s – %s   %s: %s\n", i+1, j.From, j.To, j.Kind, j.Line)
	}
	if c := r.Check; c != nil {
		fmt.Fprintf(&b, "check at the end: from %s to %s it is %s\n", c.From, c.To, c.Text)
	}
	b.WriteString(r.advice.lines())
	return b.String()
}
