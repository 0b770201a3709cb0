package main

import (
	"context"
	"flag"
	"fmt"
	"math"
	"strings"

	"maulstick/render/card"
	"maulstick/render/check"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// checked is what "check" tells. Lengths are on the canvas, to the right and down.
// Uncertainties are one standard deviation.
type checked struct {
	Corners       [4][2]float64 `json:"corners"` // of the canvas on the painting's photograph in pixels, from the top left; zeros where there are none
	CornersFound  bool          `json:"corners_found"`
	CornersWithin float64       `json:"corners_uncertainty_px"`
	Bow           float64       `json:"lens_bow"` // shift at the photograph's corner, as a part of half its diagonal
	Declined      string        `json:"declined"` // why nothing, or not all, can be told

	ShiftMM       [2]float64 `json:"shift_mm"` // of the whole drawing
	ShiftWithin   float64    `json:"shift_uncertainty_mm"`
	TurnDeg       float64    `json:"turn_deg"` // over 0 clockwise, about the middle of the canvas
	TurnWithin    float64    `json:"turn_uncertainty_deg"`
	Stretch       [2]float64 `json:"stretch"` // across and down
	StretchWithin [2]float64 `json:"stretch_uncertainty"`
	Matched       int        `json:"matched_places"`
	Slips         []slip     `json:"slips"` // beyond that, the largest first

	Values      []valueOff `json:"values"` // what is off most first
	Range       float64    `json:"value_range"`
	RangeWithin float64    `json:"value_range_uncertainty"`
	RangeText   string     `json:"value_range_text"`
	Broken      int        `json:"value_order_broken_pairs"`

	Temperature *temperatureKept `json:"temperature,omitempty"`
	Kept        [][2]string      `json:"opposites_kept"`
	Lost        [][2]string      `json:"opposites_lost"`

	Output string `json:"output,omitempty"`
	advice
	unit   place.Unit
	canvas place.Size
}

// slip is a part of the painting that is off by itself; its place is where it belongs.
type slip struct {
	X      float64 `json:"x_mm"`
	Y      float64 `json:"y_mm"`
	DX     float64 `json:"dx_mm"`
	DY     float64 `json:"dy_mm"`
	Within float64 `json:"uncertainty_mm"`
	Places int     `json:"matched_places"`
}

// valueOff is the value of a shape of the reference and of the painting there.
type valueOff struct {
	X          float64 `json:"x_mm"`
	Y          float64 `json:"y_mm"`
	Share      float64 `json:"area_share"`
	Reference  int     `json:"step_reference"`
	Painting   int     `json:"step_painting"`
	Difference float64 `json:"difference_steps"` // over 0 where the painting is too light
	Within     float64 `json:"uncertainty_steps"`
	Off        bool    `json:"off"` // surely, by half a step or more
}

// temperatureKept is lights against shadows.
type temperatureKept struct {
	Reference string `json:"reference"`
	Painting  string `json:"painting"`
	Kept      bool   `json:"kept"`
}

// checkAsked is how a check was asked for.
type checkAsked struct {
	painting, corners, cards, smallest, output string
}

func checkPainting(_ context.Context, o *options) error {
	var a checkAsked
	err := o.parse("compares a photograph of the painting with the reference: what is off, by how much and how surely.", func(f *flag.FlagSet) {
		o.declareReference(f)
		f.StringVar(&a.painting, "painting", "", "the photograph of the painting, a `FILE`")
		f.StringVar(&o.canvas, "canvas", "", helpCanvas)
		f.StringVar(&o.crop, "crop", "", helpCrop)
		f.StringVar(&a.corners, "corners", "", "the canvas's four corners on the photograph of the painting, `X,Y,...` in pixels,\nor with decimals from its edges, as \"corners\" is told; without them they are found")
		f.StringVar(&a.cards, "cards", "", "on the photograph of the painting, "+helpCards)
		f.IntVar(&o.n, "n", 5, helpSteps)
		f.StringVar(&a.smallest, "smallest", "", "compare values of shapes no smaller than a disc of this diameter, a `LENGTH`; without\nit a 24th of the canvas's short side")
		f.StringVar(&a.output, "o", "", "write the painting squared up, with the reference laid over it and arrows for slips, to a PNG `FILE`")
		o.declareJSON(f)
	})
	if err != nil {
		return err
	}
	q, notes, err := a.question(o)
	if err != nil {
		return err
	}
	report, err := check.Run(q)
	if err != nil {
		return err
	}
	told := tellCheck(report, q.Canvas)
	told.Notes = append(told.Notes, notes...)
	if a.output != "" {
		overlay := report.Overlay()
		if overlay == nil {
			told.Notes = append(told.Notes, "without the canvas's corners there is nothing to write")
		} else if err := writePicture(a.output, asImage(overlay), o.reference, a.painting); err != nil {
			return err
		} else {
			told.Output = a.output
		}
	}
	return o.write(told)
}

// question is what was asked, with what is to be said of the photographs.
func (a *checkAsked) question(o *options) (q check.Question, notes []string, err error) {
	if a.painting == "" {
		return q, nil, o.missing("painting", "canvas.jpg")
	}
	if q.Canvas, err = o.canvasSize(); err != nil {
		return q, nil, err
	}
	if q.Steps, err = o.equalSteps(); err != nil {
		return q, nil, err
	}
	if a.smallest != "" {
		if q.Smallest, _, err = place.ParseLength(a.smallest, q.Canvas.Unit); err != nil {
			return q, nil, err
		}
	}
	reference, crop, err := o.openOnto(q.Canvas)
	if err != nil {
		return q, nil, err
	}
	painting, err := o.openAnother(a.painting)
	if err != nil {
		return q, nil, err
	}
	q.Reference, q.Crop, q.Painting = reference.Picture, crop, painting.Picture
	for _, n := range reference.Notes {
		notes = append(notes, "of the reference: "+n)
	}
	for _, n := range painting.Notes {
		notes = append(notes, "of the painting's photograph: "+n)
	}
	if a.corners != "" {
		quad, err := o.quadOf(a.corners, painting.Size())
		if err != nil {
			return q, nil, err
		}
		q.Corners = &quad
	}
	if a.cards != "" {
		given, err := parseCards(a.cards)
		if err != nil {
			return q, nil, err
		}
		c, err := card.Calibrate(painting.Picture, given)
		if err != nil {
			return q, nil, err
		}
		q.True = c.True
	}
	return q, notes, nil
}

// openAnother opens a photograph that is not the reference.
func (o *options) openAnother(name string) (photo.Opened, error) {
	other := *o
	other.reference = name
	return other.open()
}

// tellCheck is a report as JSON has it.
func tellCheck(r check.Report, canvas place.Size) checked {
	c := checked{
		CornersFound: r.Canvas.Found, CornersWithin: r.Canvas.Within, Bow: r.Canvas.Bow.K,
		Declined: r.Declined.Reason, Stretch: [2]float64{1, 1},
		Slips: []slip{}, Values: []valueOff{}, Kept: [][2]string{}, Lost: [][2]string{}, unit: canvas.Unit, canvas: canvas,
	}
	c.Hint = r.Declined.Help
	switch r.Declined.Wants {
	case check.WantsCorners:
		c.Hint += " (corners are given with -corners)"
	case check.WantsCards:
		c.Hint += " (cards are given with -cards)"
	}
	for i, corner := range r.Canvas.Corners {
		c.Corners[i] = [2]float64{corner.X, corner.Y}
	}
	if r.Nothing {
		return c
	}
	w := r.Drawing.Whole
	c.ShiftMM, c.ShiftWithin = [2]float64{float64(w.DX), float64(w.DY)}, float64(w.ShiftWithin)
	c.TurnDeg, c.TurnWithin = w.Turn, w.TurnWithin
	c.Stretch, c.StretchWithin = [2]float64{w.Across, w.Down}, [2]float64{w.AcrossWithin, w.DownWithin}
	c.Matched = len(r.Drawing.Matches)
	for _, s := range r.Drawing.Slips {
		c.Slips = append(c.Slips, slip{float64(s.At.X), float64(s.At.Y), float64(s.DX), float64(s.DY), float64(s.Within), s.Matches})
	}
	if len(r.Values.Shapes) == 0 {
		return c
	}
	for _, v := range r.Values.Shapes {
		c.Values = append(c.Values, valueOff{float64(v.At.X), float64(v.At.Y), v.Share, v.StepReference, v.StepPainting, v.Difference, v.Within, v.Off()})
	}
	c.Range, c.RangeWithin, c.RangeText, c.Broken = r.Values.Range, r.Values.RangeWithin, r.Values.RangeText(), len(r.Values.Broken)
	from, to := r.Colour.Reference.Verdict(), r.Colour.Painting.Verdict()
	c.Temperature = &temperatureKept{from, to, from == to}
	c.Kept, c.Lost = shape.Hues(r.Colour.Kept), shape.Hues(r.Colour.Lost)
	for _, n := range r.Notes() {
		c.Notes = append(c.Notes, n.Text)
	}
	return c
}

func (c checked) text() string {
	var b strings.Builder
	if c.Declined != "" {
		fmt.Fprintf(&b, "declined: %s\n", c.Declined)
	}
	if c.Matched > 0 {
		c.writeDrawing(&b)
	}
	if len(c.Values) > 0 {
		c.writeValues(&b)
	}
	if c.Output != "" {
		fmt.Fprintf(&b, "written to %s\n", c.Output)
	}
	return b.String() + c.advice.lines()
}

// length spells a length in the canvas's unit.
func (c checked) length(mm float64) string { return place.Text(place.MM(mm), c.unit, 16) }

// offText spells how far something is off, in words.
func (c checked) offText(dx, dy float64) string {
	return check.OffText(place.MM(dx), place.MM(dy), c.unit)
}

func (c checked) writeDrawing(b *strings.Builder) {
	fmt.Fprintf(b, "the whole: %s, within %s; turned %.1f degrees, within %.1f; %.1f %% across and %.1f %% down of the size it should have\n",
		c.offText(c.ShiftMM[0], c.ShiftMM[1]), place.WithinText(place.MM(c.ShiftWithin), c.unit, place.MM(c.ShiftMM[0]), place.MM(c.ShiftMM[1])),
		c.TurnDeg, max(math.Ceil(10*c.TurnWithin)/10, 0.1), 100*c.Stretch[0], 100*c.Stretch[1])
	if len(c.Slips) == 0 {
		fmt.Fprintf(b, "no part slips from that, of %d places matched\n", c.Matched)
	}
	for _, s := range c.Slips {
		fmt.Fprintf(b, "%s from the left, %s from the top: %s, within %s\n", c.length(s.X), c.length(s.Y), c.offText(s.DX, s.DY),
			place.WithinText(place.MM(s.Within), c.unit, place.MM(s.DX), place.MM(s.DY)))
	}
}

func (c checked) writeValues(b *strings.Builder) {
	off := 0
	for _, v := range c.Values {
		if v.Off {
			off++
			fmt.Fprintf(b, "%s from the left, %s from the top, step %d: %s, within %.1f\n", c.length(v.X), c.length(v.Y), v.Reference, check.StepsText(v.Difference), v.Within)
		}
	}
	if off == 0 {
		fmt.Fprintf(b, "no value is surely half a step off, of %d shapes\n", len(c.Values))
	}
	fmt.Fprintf(b, "range of values: %s\n", c.RangeText)
	if c.Broken > 0 {
		fmt.Fprintf(b, "order of values: broken in %d pairs of shapes\n", c.Broken)
	} else {
		b.WriteString("order of values: kept\n")
	}
	if t := c.Temperature; t != nil {
		kept := "kept"
		if !t.Kept {
			kept = "not kept: " + t.Painting + " on the painting"
		}
		fmt.Fprintf(b, "%s on the reference: %s\n", t.Reference, kept)
	}
	for _, p := range c.Kept {
		fmt.Fprintf(b, "opposites %s and %s: kept\n", p[0], p[1])
	}
	for _, p := range c.Lost {
		fmt.Fprintf(b, "opposites %s and %s: lost\n", p[0], p[1])
	}
}
