package sheet

import (
	"fmt"
	"math"
	"slices"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/line"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/pile"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/study"
)

// Printable are the kinds of sheets that a study has something for, in their order.
func Printable(d study.Document) []string {
	var kinds []string
	for _, k := range study.SheetKinds() {
		if d.Lacks(k) == "" {
			kinds = append(kinds, k)
		}
	}
	return kinds
}

// Chosen are the kinds of sheets that a study asks for, as far as it has something
// for them, or else all that it has something for.
func Chosen(d study.Document) []string {
	printable := Printable(d)
	var kinds []string
	for _, k := range printable {
		if slices.Contains(d.Sheets.Kinds, k) {
			kinds = append(kinds, k)
		}
	}
	if len(kinds) == 0 {
		return printable
	}
	return kinds
}

// Of works out what the sheets of a study show. The picture is the study's
// photograph set right, d.Pixels() in size; kinds are those to print, nil for
// Chosen(d). Flat shapes and piles are those that the study's findings ask for,
// from a copy of at most render.TabletPixels. Small gives the copies of other
// references, as Wants tells them; nil if there are none. Progress may be nil; it is told how
// much is done, 0 to 1, and an error from it ends the work and is returned.
// Other errors are *place.Problem.
func Of(d study.Document, picture *photo.Picture, kinds []string, small Small, progress func(share float64) error) (Work, error) {
	chosen := kinds == nil
	if chosen {
		kinds = Chosen(d)
	}
	if progress == nil {
		progress = func(float64) error { return nil }
	}
	if picture == nil || picture.Size() != d.Pixels() {
		return Work{}, fmt.Errorf("working out the sheets of %q: the photograph is not of the study's size", d.Name)
	}
	w := Work{
		Name: d.Name, Kinds: kinds, Paper: PaperOf(d.Sheets), Resolution: d.Sheets.Resolution,
		Picture: picture, Mapping: d.Mapping(), OnCanvas: d.HasCanvas(), Face: d.Canvas.Face(), From: d.From, Struck: d.Lines.Struck,
	}
	if err := w.draw(d); err != nil {
		return Work{}, err
	}
	if chosen && w.missing(study.SheetChalk) != "" { // none of the lines lies on the canvas
		w.Kinds = slices.DeleteFunc(w.Kinds, func(k string) bool { return k == study.SheetChalk })
	}
	w.read(d)
	if slices.Contains(w.Kinds, study.SheetBoard) {
		if err := w.hang(d, small); err != nil {
			return Work{}, err
		}
	}
	m := maker{doc: d, work: &w}
	if err := m.make(progress); err != nil {
		return Work{}, err
	}
	return w, w.check()
}

// draw draws the lines and lists their marks.
func (w *Work) draw(d study.Document) error {
	if !w.OnCanvas || len(d.Lines.Uses) == 0 {
		return nil
	}
	set, err := line.Draw(d.LinePlan(), w.Mapping.Canvas)
	if err != nil {
		return err
	}
	w.Lines, w.Chalk = set, line.Chalk(set, d.Lines.From, d.LineRounding())
	for _, u := range d.Lines.Uses {
		w.Strokes = append(w.Strokes, Stroke{Weight: u.Weight, Colour: u.Colour, Strength: u.Strength})
	}
	return nil
}

// meterOf is what a look reads values with.
func meterOf(l look.Look) *colour.Meter {
	if l.Filter {
		return l.Sheet.Meter()
	}
	return colour.EyeMeter
}

// read reads the marks and the spans.
func (w *Work) read(d study.Document) {
	steps, names := d.Look.Flat(), map[int]string{}
	for _, m := range d.Marks {
		spot := place.PhotoPoint{X: m.X, Y: m.Y}
		c := w.Picture.At(int(math.Floor(m.X)), int(math.Floor(m.Y)))
		mark := Mark{
			Name: m.Name, At: w.Mapping.ToCanvas(spot), Within: w.Mapping.Uncertainty(m.Touch),
			Value: c.Value(), Step: steps.Of(colour.EyeMeter.Read(c.R, c.G, c.B)),
		}
		if mark.Name == "" {
			mark.Name = fmt.Sprintf("Mark %d", m.ID)
		}
		names[m.ID] = mark.Name
		mark.X, mark.Y = w.Mapping.Distances(mark.At, d.From)
		w.Marks = append(w.Marks, mark)
	}
	unit, compared := d.SpanOf(d.Unit)
	measure, _ := d.Spanned(unit)
	for _, s := range d.Spans {
		on, ok := d.Spanned(s)
		if !ok {
			continue
		}
		span := Span{Name: s.Name, From: names[s.From], To: names[s.To], Span: on}
		if compared && s.ID != unit.ID {
			span.In = fmt.Sprintf("%v of %s", on.In(measure), spanName(unit, names))
		}
		w.Spans = append(w.Spans, span)
	}
}

// spanName is what a span is called.
func spanName(s study.Span, names map[int]string) string {
	if s.Name != "" {
		return s.Name
	}
	return names[s.From] + " – " + names[s.To]
}

// maker works out what takes a look at the whole picture. It asks shape and pile
// itself: survey answers every question there is, and would bring the code for all
// of them into the program that prints.
type maker struct {
	doc  study.Document
	work *Work
	copy *photo.Picture

	counted []float64 // see shares; nil before
}

// make makes the values, the piles and the outlines, as far as they are printed.
func (m *maker) make(progress func(float64) error) error {
	tasks := []struct {
		kind string
		do   func(func(float64) error) error
	}{
		{study.SheetValues, m.values}, {study.SheetPalette, m.piles}, {study.SheetCartoon, m.outlines},
	}
	var wanted []func(func(float64) error) error
	for _, t := range tasks {
		if slices.Contains(m.work.Kinds, t.kind) && (t.kind != study.SheetCartoon || m.work.OnCanvas) {
			wanted = append(wanted, t.do)
		}
	}
	if len(wanted) == 0 {
		return progress(1)
	}
	y := photo.NewPyramid(m.work.Picture)
	y.Finish()
	m.copy = render.TabletCopy(y, m.work.Mapping.Crop, render.TabletPixels)
	const copied = 0.2
	for i, do := range wanted {
		from := copied + (1-copied)*float64(i)/float64(len(wanted))
		to := copied + (1-copied)*float64(i+1)/float64(len(wanted))
		if err := do(part(progress, from, to)); err != nil {
			return err
		}
	}
	return progress(1)
}

// onCopy carries places of the copy to the canvas.
func (m *maker) onCopy() place.Mapping {
	return place.Mapping{Crop: place.WholeCrop(m.copy.Size()), Canvas: m.work.Mapping.Canvas}
}

// planPixels is how many pixels the value plan has at most.
const planPixels = 600_000

// shares is how much of the photograph itself lies in each step: counted as for the
// screen, so that both tell the same, cleaned of specks or not.
func (m *maker) shares() []float64 {
	if m.counted == nil {
		var h shape.Histogram
		p := m.work.Picture
		h.AddRows(meterOf(m.doc.Look), p.Pix, p.Held().Width, 0, p.OnHeld(m.work.Mapping.Crop))
		m.counted = h.Shares(m.doc.Look.Flat())
	}
	return m.counted
}

// values makes the value plan.
func (m *maker) values(progress func(float64) error) error {
	l, steps := m.doc.Look, m.doc.Look.Flat()
	meter := meterOf(l)
	v := Values{Steps: steps, Filter: l.Filter}
	small := photo.NewPyramid(m.copy)
	small.Finish()
	plan := render.TabletCopy(small, place.WholeCrop(m.copy.Size()), planPixels)
	v.Width, v.Height = plan.Width, plan.Height
	if err := progress(0.2); err != nil {
		return err
	}
	v.Shares = m.shares()
	if !m.doc.Finding.Clean {
		v.Labels = shape.StepLabels(plan, meter, steps)
		m.work.Values = v
		return progress(1)
	}
	whole := place.WholeCrop(plan.Size())
	pixel := place.Mapping{Crop: whole, Canvas: m.work.Mapping.Canvas}.Pixel()
	c, err := shape.Clean(plan, whole, meter, steps, float64(m.doc.SmallestSize()/pixel), part(progress, 0.2, 1))
	if err != nil {
		return err
	}
	v.Labels = c.Step
	m.work.Values = v
	return nil
}

// piles gathers the piles, on the copy; their steps have the shares of the value plan.
func (m *maker) piles(progress func(float64) error) error {
	found, err := pile.Find(meterOf(m.doc.Look), m.copy, place.WholeCrop(m.copy.Size()), m.doc.Look.Flat(), m.doc.Finding.Each, progress)
	if err != nil {
		return err
	}
	m.work.Piles = found.Steps
	for k, share := range m.shares() {
		m.work.Piles[k].Share = share
	}
	return nil
}

// outlineWithin is how far outlines are off the shapes at most, in pixels of the
// copy.
const outlineWithin = 1

// outlines finds the flat shapes and traces them.
func (m *maker) outlines(progress func(float64) error) error {
	d, canvas := m.doc, m.work.Mapping.Canvas
	squint := shape.SquintFor(d.SmallestSize())
	if d.Finding.Count > 0 {
		squint = shape.SquintForCount(canvas)
	}
	to := m.onCopy()
	squinted, err := render.SquintedCopy(m.copy, canvas, squint, part(progress, 0, 0.3))
	if err != nil {
		return err
	}
	h, err := shape.Flatten(shape.Scene{
		Plain: m.copy, Squinted: squinted, Labels: shape.StepLabels(squinted, meterOf(d.Look), d.Look.Flat()),
		Sigma: look.Sigma(float64(squint / to.Pixel())),
	}, part(progress, 0.3, 0.9))
	if err != nil {
		return err
	}
	flat := h.Smallest(shape.SmallestArea(d.SmallestSize(), to))
	if d.Finding.Count > 0 {
		flat = h.About(d.Finding.Count)
	}
	for _, arc := range flat.Trace().Simplify(outlineWithin).Arcs {
		if arc.Border() {
			continue // the canvas's own edge is drawn
		}
		o := Outline{Closed: arc.Closed}
		points := arc.Points
		if arc.Closed {
			points = points[:len(points)-1]
		}
		for _, p := range points {
			o.Points = append(o.Points, to.ToCanvas(p))
		}
		m.work.Outlines = append(m.work.Outlines, o)
	}
	return progress(1)
}
