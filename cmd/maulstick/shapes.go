package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"strings"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// flattened is what "shapes" tells.
type flattened struct {
	Count           int         `json:"count"`
	Steps           int         `json:"steps"`
	Filter          bool        `json:"filter"`            // read through the red filter
	Shapes          []flatShape `json:"shapes"`            // from the largest to the smallest
	SmallestMM      float64     `json:"smallest_mm"`       // 0 with -count
	SmallestAreaMM2 float64     `json:"smallest_area_mm2"` // of a disc of that diameter
	SquintMM        float64     `json:"squint_mm"`         // full width at half maximum
	OutlineWithinMM float64     `json:"outline_within_mm"` // how far outlines are off the shapes at most
	CropPx          rectangle   `json:"crop_px"`
	WorkingPx       extent      `json:"working_px"` // the copy that was worked on, averaged in linear light
	Output          string      `json:"output,omitempty"`
	SVG             string      `json:"svg,omitempty"`
	unit            place.Unit
	advice
}

// flatShape is one of the shapes. Places are in its inside, fit for a mark.
type flatShape struct {
	Step         int        `json:"step"`
	AreaMM2      float64    `json:"area_mm2"`
	AreaShare    float64    `json:"area_share"` // of the canvas, 0..1
	RGB          [3]uint8   `json:"rgb"`        // sRGB codes of the mean light
	Lightness    float64    `json:"lightness"`
	MunsellValue float64    `json:"munsell_value"`
	Order        int        `json:"order"` // in the block-in, from 1
	XMM          float64    `json:"x_mm"`  // from the left and the top
	YMM          float64    `json:"y_mm"`
	XPx          float64    `json:"x_px"` // on the photograph
	YPx          float64    `json:"y_px"`
	CentroidMM   [2]float64 `json:"centroid_mm"`
	BoxMM        rectangle  `json:"box_mm"`
	AtTheFrame   bool       `json:"at_the_frame"`
}

// extent is a size in pixels as JSON has it.
type extent struct {
	Width  int `json:"width"`
	Height int `json:"height"`
}

// shapesAsked is what only "shapes" is asked for.
type shapesAsked struct {
	filter, fill                  bool
	count                         int
	smallest, squint, focal, when string
	output, svg                   string
}

const (
	// outlineWithin is how far outlines are off the shapes at most, in pixels.
	outlineWithin = 1
	// focalPart is how near to the focal point shapes belong to the focal area, as
	// a part of the picture's long side.
	focalPart = 10
	// strokeMM is how thick lines of the drawing are.
	strokeMM = 0.5
)

func shapes(_ context.Context, o *options) error {
	a := &shapesAsked{}
	if err := o.parse("finds the flat shapes that the picture is made of, and an order to block them in.", a.declare(o)); err != nil {
		return err
	}
	s, err := o.equalSteps()
	if err != nil {
		return err
	}
	canvas, err := o.canvasSize()
	if err != nil {
		return err
	}
	smallest, squint, err := a.lengths(canvas)
	if err != nil {
		return err
	}
	if err := a.check(); err != nil {
		return err
	}
	opened, crop, err := o.openOnto(canvas)
	if err != nil {
		return err
	}
	w := &workshop{photo: place.Mapping{Crop: crop, Canvas: canvas}, smallest: smallest, squint: squint}
	focal, err := a.focalArea(o, opened.Size(), w)
	if err != nil {
		return err
	}
	if err := w.flatten(opened.Picture, s, a.filter, a.count); err != nil {
		return err
	}
	r := w.tell(focal)
	r.Steps, r.Filter, r.Output, r.SVG = s.Count(), a.filter, a.output, a.svg
	r.advice = o.placeAdvice(opened.Size(), crop, canvas)
	r.Notes = append(r.Notes, opened.Notes...)
	if err := w.write(a, o.reference); err != nil {
		return err
	}
	return o.write(r)
}

// declare declares the flags.
func (a *shapesAsked) declare(o *options) func(*flag.FlagSet) {
	return func(f *flag.FlagSet) {
		o.declareReference(f)
		f.StringVar(&o.canvas, "canvas", "", helpCanvas)
		f.StringVar(&o.crop, "crop", "", helpCrop)
		f.IntVar(&o.n, "n", 5, helpSteps)
		f.BoolVar(&a.filter, "filter", false, "read the values through the red filter")
		f.StringVar(&a.smallest, "smallest", "", "no shape smaller than a disc of this diameter on the canvas, a `LENGTH` as in 2in; without\nit a sixteenth of the canvas's short side")
		f.IntVar(&a.count, "count", 0, "about how many shapes, instead of -smallest")
		f.StringVar(&a.squint, "squint", "", "squint by this width on the canvas first, a `LENGTH`, 0 for none; without it a quarter of\n-smallest, or, with -count, a 512th of the canvas's short side")
		f.StringVar(&a.focal, "focal", "", "the focal point, the pixel in column X and row Y, `X,Y`")
		f.StringVar(&a.when, "focal-area", "first", "when to block in what is near the focal point: `first` or last")
		f.StringVar(&a.output, "o", "", "write the picture in flat shapes, each in its mean colour, to a PNG `FILE`")
		f.StringVar(&a.svg, "svg", "", "write the outlines, in millimetres of canvas, to an SVG `FILE`")
		f.BoolVar(&a.fill, "fill", false, "fill the outlines of -svg with the shapes' colours")
		o.declareJSON(f)
	}
}

// smallestOf is the smallest size of shapes as -smallest says it, or the usual one.
func smallestOf(text string, canvas place.Size) (place.MM, error) {
	if text == "" {
		return shape.SmallestFor(canvas), nil
	}
	smallest, _, err := place.ParseLength(text, canvas.Unit)
	return smallest, err
}

// lengths are the smallest size and the squint's width.
func (a *shapesAsked) lengths(canvas place.Size) (smallest, squint place.MM, err error) {
	if smallest, err = smallestOf(a.smallest, canvas); err != nil {
		return 0, 0, err
	}
	squint = shape.SquintFor(smallest)
	if a.count > 0 {
		squint = shape.SquintForCount(canvas)
	}
	if a.squint != "" {
		squint, _, err = place.ParseLength(a.squint, canvas.Unit)
	}
	return smallest, squint, err
}

// check refuses flags that do not go together.
func (a *shapesAsked) check() error {
	problem := func(what, wanted string) error {
		return &place.Problem{Doing: "reading the flags", What: what, Wanted: wanted}
	}
	switch {
	case a.count < 0:
		return problem(fmt.Sprintf("%d shapes were asked for", a.count), "give a number over 0, as in -count 30")
	case a.when != "first" && a.when != "last":
		return problem("the focal area is to come "+fmt.Sprintf("%q", a.when), "give -focal-area first or last")
	case a.fill && a.svg == "":
		return problem("-fill is given without -svg", "name the drawing, as in -svg shapes.svg")
	}
	return nil
}

// focalArea is where the focal point is on the canvas, nil if there is none.
func (a *shapesAsked) focalArea(o *options, size place.Pixels, w *workshop) (*place.CanvasPoint, error) {
	if a.focal == "" {
		return nil, nil
	}
	x, y, err := o.spotOf(a.focal, size)
	if err != nil {
		return nil, err
	}
	w.when = shape.FocalFirst
	if a.when == "last" {
		w.when = shape.FocalLast
	}
	at := w.photo.ToCanvas(place.PhotoPoint{X: float64(x) + 0.5, Y: float64(y) + 0.5})
	return &at, nil
}

// workshop is a photograph being flattened.
type workshop struct {
	photo, copy      place.Mapping // onto the canvas
	smallest, squint place.MM
	when             shape.Focal
	flat             *shape.Flat
	outline          *shape.Outline
}

// flatten finds the shapes.
func (w *workshop) flatten(p *photo.Picture, s shape.Steps, filter bool, count int) error {
	y := photo.NewPyramid(p)
	y.Finish()
	plain := render.TabletCopy(y, w.photo.Crop, render.TabletPixels)
	w.copy = place.Mapping{Crop: place.WholeCrop(plain.Size()), Canvas: w.photo.Canvas}
	squinted, err := render.SquintedCopy(plain, w.copy.Canvas, w.squint, nil)
	if err != nil {
		return err
	}
	meter := colour.EyeMeter
	if filter {
		meter = colour.FilterMeter
	}
	h, err := shape.Flatten(shape.Scene{
		Plain: plain, Squinted: squinted, Labels: shape.StepLabels(squinted, meter, s),
		Sigma: look.Sigma(float64(w.squint / w.copy.Pixel())),
	}, nil)
	if err != nil {
		return err
	}
	if count > 0 {
		w.flat, w.smallest = h.About(count), 0
	} else {
		w.flat = h.Smallest(shape.SmallestArea(w.smallest, w.copy))
	}
	w.outline = w.flat.Trace().Simplify(outlineWithin)
	return nil
}

// tell is what was found.
func (w *workshop) tell(focal *place.CanvasPoint) flattened {
	pixel := shape.PixelArea(w.copy)
	r := flattened{
		Count: len(w.flat.Shapes), SmallestMM: float64(w.smallest), SmallestAreaMM2: pixel * shape.SmallestArea(w.smallest, w.copy),
		SquintMM: float64(w.squint), OutlineWithinMM: outlineWithin * float64(w.copy.Pixel()),
		CropPx: rectangle(w.photo.Crop), WorkingPx: extent{w.flat.Width, w.flat.Height}, unit: w.copy.Canvas.Unit,
	}
	for _, s := range w.flat.Shapes {
		at, centre := w.copy.ToCanvas(s.Place), w.copy.ToCanvas(s.Centroid)
		corner := w.copy.ToCanvas(place.PhotoPoint{X: float64(s.Left), Y: float64(s.Top)})
		end := w.copy.ToCanvas(place.PhotoPoint{X: float64(s.Left + s.Width), Y: float64(s.Top + s.Height)})
		onPhoto := w.photo.ToPhoto(at)
		r.Shapes = append(r.Shapes, flatShape{
			Step: int(s.Label), AreaMM2: pixel * float64(s.Area), AreaShare: s.Share,
			RGB: [3]uint8{s.Colour.R, s.Colour.G, s.Colour.B}, Lightness: float64(s.Lightness), MunsellValue: float64(s.Value),
			XMM: float64(at.X), YMM: float64(at.Y), XPx: onPhoto.X, YPx: onPhoto.Y,
			CentroidMM: [2]float64{float64(centre.X), float64(centre.Y)},
			BoxMM:      rectangle{float64(corner.X), float64(corner.Y), float64(end.X - corner.X), float64(end.Y - corner.Y)},
			AtTheFrame: s.AtTheFrame,
		})
	}
	area := shape.FocalArea{}
	if focal != nil {
		area = shape.FocalArea{When: w.when, At: w.copy.ToPhoto(*focal), Near: float64(max(w.flat.Width, w.flat.Height)) / focalPart}
	}
	for i, k := range w.flat.BlockIn(area) {
		r.Shapes[k].Order = i + 1
	}
	return r
}

// write writes the files that were asked for.
func (w *workshop) write(a *shapesAsked, reference string) error {
	if a.output != "" {
		if err := writePicture(a.output, asImage(w.flat.Draw()), reference); err != nil {
			return err
		}
	}
	if a.svg == "" {
		return nil
	}
	d := shape.Drawing{Outline: w.outline, Mapping: w.copy, Stroke: strokeMM}
	if a.fill {
		d.Filled = w.flat.Shapes
	}
	var out bytes.Buffer
	if err := d.WriteSVG(&out); err != nil {
		return err
	}
	return writeFile(a.svg, "-svg shapes.svg", out.Bytes(), reference)
}

// text lists the shapes in the order of the block-in.
func (r flattened) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d shapes", r.Count)
	if r.SmallestMM > 0 {
		fmt.Fprintf(&b, ", none under a disc %s across", place.Text(place.MM(r.SmallestMM), r.unit, fine))
	}
	fmt.Fprintf(&b, "; squinted by %s\n", place.Text(place.MM(r.SquintMM), r.unit, fine))
	byOrder := make([]flatShape, len(r.Shapes))
	for _, s := range r.Shapes {
		byOrder[s.Order-1] = s
	}
	for _, s := range byOrder {
		fmt.Fprintf(&b, "%3d   step %d   %5.1f %%   value %.1f   rgb %3d,%3d,%3d   at %s from the left, %s from the top\n",
			s.Order, s.Step, 100*s.AreaShare, s.MunsellValue, s.RGB[0], s.RGB[1], s.RGB[2],
			place.Text(place.MM(s.XMM), r.unit, 16), place.Text(place.MM(s.YMM), r.unit, 16))
	}
	for _, name := range []string{r.Output, r.SVG} {
		if name != "" {
			fmt.Fprintf(&b, "written to %s\n", name)
		}
	}
	b.WriteString(r.advice.lines())
	return b.String()
}
