package main

import (
	"context"
	"flag"
	"fmt"
	"strings"

	"maulstick/render/colour"
	"maulstick/render/place"
)

// landing is what "place" tells: where a spot lands on the canvas, and how light
// it is where there is a picture.
type landing struct {
	XMM             float64   `json:"x_mm"` // from the edge that x_from names
	YMM             float64   `json:"y_mm"`
	XText           string    `json:"x_text"`
	YText           string    `json:"y_text"`
	XFrom           string    `json:"x_from"` // left or right
	YFrom           string    `json:"y_from"` // top or bottom
	UncertaintyMM   float64   `json:"uncertainty_mm"`
	UncertaintyText string    `json:"uncertainty_text"` // of the texts, as place.WithinText spells it
	*tone                     // nil where there is no picture
	CropPx          rectangle `json:"crop_px"`
	Convention      string    `json:"convention"`
	advice
}

// tone is how light a spot is.
type tone struct {
	Value     float64 `json:"value"`     // Munsell, 0..10
	Lightness float64 `json:"lightness"` // CIE L*, 0..100
	Step      int     `json:"step"`      // from 1, the darkest
	Steps     int     `json:"steps"`
}

const convention = "-at names a pixel by column and row counted from 0 at the top left, and means its centre"

func placeSpot(_ context.Context, o *options) error {
	err := o.parse("tells where a spot of the photograph lands on the canvas.", func(f *flag.FlagSet) {
		o.declareReference(f)
		f.StringVar(&o.photoSize, "photo-size", "", helpPhotoSize)
		f.StringVar(&o.canvas, "canvas", "", helpCanvas)
		f.StringVar(&o.at, "at", "", helpAt)
		f.StringVar(&o.from, "from", "left,top", "the `EDGES` to measure from: left or right, top or bottom")
		f.StringVar(&o.crop, "crop", "", helpCrop)
		f.IntVar(&o.n, "n", 5, helpSteps)
		o.declareJSON(f)
	})
	if err != nil {
		return err
	}
	canvas, err := o.canvasSize()
	if err != nil {
		return err
	}
	from, err := o.edges()
	if err != nil {
		return err
	}
	steps, err := o.equalSteps()
	if err != nil {
		return err
	}
	size, opened, err := o.photoSizeOf()
	if err != nil {
		return err
	}
	x, y, err := o.spot(size)
	if err != nil {
		return err
	}
	crop, err := o.cropOf(size, place.CentredCrop(size, canvas))
	if err != nil {
		return err
	}
	l, err := land(place.Mapping{Crop: crop, Canvas: canvas}, x, y, from)
	if err != nil {
		return err
	}
	l.advice = o.placeAdvice(size, crop, canvas)
	if opened != nil {
		c := opened.At(x, y)
		l.tone = &tone{
			Value: float64(c.Value()), Lightness: float64(c.Lightness()),
			Step: steps.Of(colour.EyeMeter.Read(c.R, c.G, c.B)), Steps: steps.Count(),
		}
		l.Notes = append(l.Notes, opened.Notes...)
	}
	return o.write(l)
}

// land is where the centre of a pixel lands.
func land(m place.Mapping, x, y int, from place.Edges) (landing, error) {
	spot := place.PhotoPoint{X: float64(x) + 0.5, Y: float64(y) + 0.5}
	if err := onCanvas(m.Crop, spot, fmt.Sprintf("%d,%d", x, y)); err != nil {
		return landing{}, err
	}
	dx, dy := m.Distances(m.ToCanvas(spot), from)
	unsure := m.Uncertainty(0)
	unit := m.Canvas.Unit
	l := landing{
		XMM: float64(dx), YMM: float64(dy),
		XText: place.Text(dx, unit, 16), YText: place.Text(dy, unit, 16),
		UncertaintyMM: float64(unsure), UncertaintyText: place.WithinText(unsure, unit, dx, dy),
		CropPx: rectangle(m.Crop), Convention: convention,
	}
	l.XFrom, l.YFrom = from.Names()
	return l, nil
}

// onCanvas refuses a spot that the crop leaves out.
func onCanvas(c place.Crop, spot place.PhotoPoint, typed string) error {
	if c.Contains(spot) {
		return nil
	}
	return &place.Problem{
		Doing:  "finding the spot " + typed,
		What:   "it is cropped away and not on the canvas",
		Wanted: fmt.Sprintf("the canvas shows columns %.1f to %.1f and rows %.1f to %.1f; choose another part with -crop", c.X, c.X+c.Width, c.Y, c.Y+c.Height),
	}
}

// placeAdvice says when photograph and canvas stand in different ways, and when
// the crop asked for stretches the picture.
func (o *options) placeAdvice(size place.Pixels, crop place.Crop, canvas place.Size) advice {
	if o.crop == "" {
		return turnedAdvice(place.Compare(float64(size.Width), float64(size.Height), canvas).Turned, canvas)
	}
	f := place.Compare(crop.Width, crop.Height, canvas)
	a := turnedAdvice(f.Turned, canvas)
	if stretch := crop.Width / crop.Height * float64(canvas.Height/canvas.Width); f.Turned || !f.Fits {
		a.Notes = append(a.Notes, fmt.Sprintf("the crop's proportion is not the canvas's: the picture is stretched by %.1f %% one way", 100*(max(stretch, 1/stretch)-1)))
	}
	return a
}

func (l landing) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s from the %s\n%s from the %s\nwithin %s\n", l.XText, l.XFrom, l.YText, l.YFrom, l.UncertaintyText)
	if l.tone != nil {
		fmt.Fprintf(&b, "value %.1f, lightness %.0f, step %d of %d\n", l.Value, l.Lightness, l.Step, l.Steps)
	}
	b.WriteString(l.advice.lines())
	return b.String()
}
