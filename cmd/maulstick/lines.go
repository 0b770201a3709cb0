package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"strconv"
	"strings"

	"maulstick/render/line"
	"maulstick/render/place"
)

// divided is what "lines" tells. Places are in millimetres from the canvas's top
// left corner.
type divided struct {
	Plan      string       `json:"plan"` // as it was understood
	CanvasMM  [2]float64   `json:"canvas_mm"`
	Lines     []drawnLine  `json:"lines"`     // in the order of the plan, each once
	Crossings []crossing   `json:"crossings"` // those where most lines meet first
	Labels    []squareName `json:"labels,omitempty"`
	Near      *nearby      `json:"near,omitempty"` // with -near
	Output    string       `json:"output,omitempty"`
	unit      place.Unit
	advice
}

// drawnLine is one line, from edge to edge.
type drawnLine struct {
	Kind  string   `json:"kind"`
	Also  []string `json:"also,omitempty"` // other constructions that give the same line
	Label string   `json:"label"`
	Depth int      `json:"depth"`
	X1    float64  `json:"x1_mm"`
	Y1    float64  `json:"y1_mm"`
	X2    float64  `json:"x2_mm"`
	Y2    float64  `json:"y2_mm"`
}

// crossing is where lines meet.
type crossing struct {
	X       float64 `json:"x_mm"`
	Y       float64 `json:"y_mm"`
	Lines   int     `json:"lines"`   // how many meet
	Through []int   `json:"through"` // which, counted from 0 in the list of lines
	OnEdge  bool    `json:"on_edge"`
}

// squareName is the name of a row or column of squares.
type squareName struct {
	Text string  `json:"text"`
	Edge string  `json:"edge"`
	X    float64 `json:"x_mm"`
	Y    float64 `json:"y_mm"`
}

// nearby is what lies nearest to a point.
type nearby struct {
	X        float64       `json:"x_mm"`
	Y        float64       `json:"y_mm"`
	Crossing *nearCrossing `json:"crossing,omitempty"`
	Line     *nearLine     `json:"line,omitempty"`
}

// nearCrossing is the nearest crossing, and how far the point is from it.
type nearCrossing struct {
	crossing
	Right    float64 `json:"right_mm"` // the point is so far to its right
	Below    float64 `json:"below_mm"`
	Distance float64 `json:"distance_mm"`
}

// nearLine is the nearest line, and how far the point is from it.
type nearLine struct {
	drawnLine
	Distance float64 `json:"distance_mm"` // over 0 to the right of it, or below a level line
}

const helpUse = "the lines, constructions with commas between them, a `PLAN` of diagonals:DEPTH, thirds, golden,\nrabatment, reciprocal, divide:NxM, squares:SIZE:CORNER, plumb:X, level:Y and angled:X:Y:DEGREES;\nX is from the left, Y from the top, degrees from level, rising to the right"

// planned is the plan of -use, drawn on the canvas.
func (o *options) planned(use string) (*line.Set, error) {
	canvas, err := o.canvasSize()
	if err != nil {
		return nil, err
	}
	if strings.TrimSpace(use) == "" {
		return nil, o.missing("use", "diagonals:2,thirds")
	}
	plan, err := line.ParsePlan(use)
	if err != nil {
		return nil, err
	}
	return line.Draw(plan, canvas)
}

func lines(_ context.Context, o *options) error {
	var use, near, output string
	err := o.parse("divides the canvas and tells where the lines cross.", func(f *flag.FlagSet) {
		f.StringVar(&o.canvas, "canvas", "", helpCanvas)
		f.StringVar(&use, "use", "", helpUse)
		f.StringVar(&near, "near", "", "tell the nearest crossing and line to a point, `X,Y` from the left and the top, as in 12in,8in")
		f.StringVar(&output, "o", "", "write the lines, in millimetres of canvas, to an SVG `FILE`")
		o.declareJSON(f)
	})
	if err != nil {
		return err
	}
	s, err := o.planned(use)
	if err != nil {
		return err
	}
	r := tellLines(s)
	if near != "" {
		if r.Near, err = nearest(s, near); err != nil {
			return err
		}
	}
	if output != "" {
		var svg bytes.Buffer
		if err := s.WriteSVG(&svg, strokeMM); err != nil {
			return err
		}
		if err := writeFile(output, "-o lines.svg", svg.Bytes()); err != nil {
			return err
		}
		r.Output = output
	}
	return o.write(r)
}

// tellLines is the set as it is shown.
func tellLines(s *line.Set) divided {
	r := divided{
		Plan: s.Plan.String(), CanvasMM: [2]float64{float64(s.Canvas.Width), float64(s.Canvas.Height)},
		Lines: []drawnLine{}, Crossings: []crossing{}, unit: s.Canvas.Unit, advice: missed(s),
	}
	for _, l := range s.Lines {
		r.Lines = append(r.Lines, tellLine(l))
	}
	for _, c := range s.Crossings {
		r.Crossings = append(r.Crossings, tellCrossing(c))
	}
	for _, n := range s.Notes {
		r.Labels = append(r.Labels, squareName{n.Text, n.Edge.String(), float64(n.At.X), float64(n.At.Y)})
	}
	return r
}

// missed tells what of the plan draws nothing.
func missed(s *line.Set) (a advice) {
	for _, m := range s.Missed {
		a.Notes = append(a.Notes, m.Why)
	}
	return a
}

func tellLine(l line.Line) drawnLine {
	d := drawnLine{
		Kind: string(l.Kind), Label: l.Label, Depth: l.Depth,
		X1: float64(l.From.X), Y1: float64(l.From.Y), X2: float64(l.To.X), Y2: float64(l.To.Y),
	}
	for _, k := range l.Also {
		d.Also = append(d.Also, string(k))
	}
	return d
}

func tellCrossing(c line.Crossing) crossing {
	return crossing{float64(c.At.X), float64(c.At.Y), len(c.Lines), c.Lines, c.OnEdge}
}

// nearest is what lies nearest to a point as it is typed.
func nearest(s *line.Set, typed string) (*nearby, error) {
	var p place.CanvasPoint
	x, y, two := strings.Cut(typed, ",")
	for _, side := range []struct {
		text string
		at   *place.MM
	}{{x, &p.X}, {y, &p.Y}} {
		var err error
		if *side.at, _, err = place.ParseLength(side.text, s.Canvas.Unit); err != nil || !two {
			return nil, &place.Problem{
				Doing: "reading the point " + strconv.Quote(typed), What: "it is not two lengths",
				Wanted: "give how far it is from the left and from the top, as in -near 12in,8in",
			}
		}
	}
	n := &nearby{X: float64(p.X), Y: float64(p.Y)}
	if i, off, ok := s.NearestCrossing(p); ok {
		n.Crossing = &nearCrossing{tellCrossing(s.Crossings[i]), float64(off.DX), float64(off.DY), float64(off.Distance)}
	}
	if i, d, _, ok := s.NearestLine(p); ok {
		n.Line = &nearLine{tellLine(s.Lines[i]), float64(d)}
	}
	return n, nil
}

// shown is how many crossings the text lists.
const shown = 24

func (r divided) text() string {
	var b strings.Builder
	at := func(mm float64) string { return place.FineText(place.MM(mm), r.unit) }
	fmt.Fprintf(&b, "%d lines, from left and top\n", len(r.Lines))
	for _, l := range r.Lines {
		kind := strings.Join(append([]string{l.Kind}, l.Also...), ", ")
		fmt.Fprintf(&b, "%-12s %s, %s to %s, %s   %s\n", kind, at(l.X1), at(l.Y1), at(l.X2), at(l.Y2), l.Label)
	}
	fmt.Fprintf(&b, "%d crossings\n", len(r.Crossings))
	for _, c := range r.Crossings[:min(shown, len(r.Crossings))] {
		edge := ""
		if c.OnEdge {
			edge = "   at the edge"
		}
		fmt.Fprintf(&b, "%3d lines meet at %s, %s%s\n", c.Lines, at(c.X), at(c.Y), edge)
	}
	if more := len(r.Crossings) - shown; more > 0 {
		fmt.Fprintf(&b, "and %d more; -json lists all\n", more)
	}
	if r.Near != nil {
		r.Near.text(&b, at)
	}
	if r.Output != "" {
		fmt.Fprintf(&b, "written to %s\n", r.Output)
	}
	b.WriteString(r.advice.lines())
	return b.String()
}

// text tells what is near a point.
func (n nearby) text(b *strings.Builder, at func(float64) string) {
	spot := at(n.X) + ", " + at(n.Y)
	if c := n.Crossing; c != nil {
		fmt.Fprintf(b, "%s is %s and %s the crossing at %s, %s\n", spot,
			sided(c.Right, at, "right of", "left of"), sided(c.Below, at, "below", "above"), at(c.X), at(c.Y))
	}
	if l := n.Line; l != nil {
		over, under := "right of", "left of"
		if l.Y1 == l.Y2 {
			over, under = "below", "above"
		}
		where := sided(l.Distance, at, over, under)
		if at(l.Distance) == at(0) {
			where = "on"
		}
		fmt.Fprintf(b, "%s is %s the line %s\n", spot, where, l.Label)
	}
}

// sided spells a distance that may be under 0.
func sided(mm float64, at func(float64) string, over, under string) string {
	if mm < 0 {
		return at(-mm) + " " + under
	}
	return at(mm) + " " + over
}
