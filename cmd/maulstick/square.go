package main

import (
	"context"
	"flag"
	"fmt"
	"strings"

	"maulstick/render/place"
)

// squareness is what "square" tells of a stretched canvas.
type squareness struct {
	Square     bool     `json:"square"` // out by under 1/8 in
	OutMM      float64  `json:"out_mm"` // the longer diagonal less the shorter
	OutText    string   `json:"out_text"`
	NominalMM  float64  `json:"nominal_mm"` // what both diagonals would measure
	Nominal    string   `json:"nominal_text"`
	LeanMM     float64  `json:"lean_mm"` // the top edge past the bottom one, to the right
	SkewDeg    float64  `json:"skew_deg"`
	Ease       []string `json:"ease"` // the corners that stand too far out
	SidesMM    float64  `json:"sides_off_mm"`
	Convention string   `json:"convention"`
	advice
}

const diagonalConvention = "-diagonals gives first the diagonal from the top left to the bottom right, then the one from the bottom left to the top right"

func square(_ context.Context, o *options) error {
	var diagonals string
	err := o.parse("tells whether a stretched canvas is square, by its two diagonals.", func(f *flag.FlagSet) {
		f.StringVar(&o.canvas, "canvas", "", helpCanvas)
		f.StringVar(&diagonals, "diagonals", "", "both diagonals as measured, `LENGTH,LENGTH` as in 77.5,77.25: first from the top left\nto the bottom right, then from the bottom left to the top right; with decimal commas\nset ; between them; without a unit they are in the canvas's, inches after feet")
		o.declareJSON(f)
	})
	if err != nil {
		return err
	}
	canvas, err := o.canvasSize()
	if err != nil {
		return err
	}
	if diagonals == "" {
		return o.missing("diagonals", "77.5,77.25")
	}
	if canvas.Unit == place.Foot {
		canvas.Unit = place.Inch // diagonals are compared to less than a foot
	}
	falling, rising, err := place.ParseDiagonals(diagonals, canvas.Unit)
	if err != nil {
		return err
	}
	q, err := place.CheckSquare(canvas, falling, rising)
	if err != nil {
		return err
	}
	return o.write(squarenessOf(q, canvas.Unit))
}

// squarenessOf is a check as it is shown.
func squarenessOf(q place.Squareness, unit place.Unit) squareness {
	s := squareness{
		Square: q.Square, OutMM: float64(q.Out), OutText: place.FineText(q.Out, unit),
		NominalMM: float64(q.Nominal), Nominal: place.Decimal(q.Nominal, unit, 2),
		LeanMM: float64(q.Lean), SkewDeg: float64(q.Skew), SidesMM: float64(q.Sides),
		Ease: []string{}, Convention: diagonalConvention,
	}
	if q.Out > 0 {
		s.Ease = []string{q.Ease[0].String(), q.Ease[1].String()}
	}
	if off := max(q.Sides, -q.Sides); off >= 25.4/8 {
		s.Notes = append(s.Notes, "together the diagonals are "+place.FineText(off, unit)+" "+longer(q.Sides)+" than the sides allow: measure the sides again")
	}
	return s
}

// longer is how a length differs.
func longer(l place.MM) string {
	if l < 0 {
		return "shorter"
	}
	return "longer"
}

func (s squareness) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "out by %s; both diagonals would be %s\n", s.OutText, s.Nominal)
	switch {
	case len(s.Ease) == 0:
		b.WriteString("the canvas is square\n")
	case s.Square:
		fmt.Fprintf(&b, "near enough to square: under 1/8 in\nto better it, ease the %s and the %s corner towards each other\n", s.Ease[0], s.Ease[1])
	default:
		fmt.Fprintf(&b, "ease the %s and the %s corner towards each other\n", s.Ease[0], s.Ease[1])
	}
	b.WriteString(s.advice.lines())
	return b.String()
}
