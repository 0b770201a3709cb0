package main

import (
	"context"
	"flag"
	"fmt"
	"strings"

	"maulstick/render/place"
)

// cut is what "crop" tells.
type cut struct {
	CropPx      rectangle `json:"crop_px"`
	PhotoRatio  float64   `json:"photo_ratio"`  // short side over long
	CropRatio   float64   `json:"crop_ratio"`   // of the crop given, or of the one told
	CanvasRatio float64   `json:"canvas_ratio"` // of the composition
	// How far the crop that was given, or without one the whole photograph,
	// misses the canvas's far edge, laid long side to long side.
	MismatchMM   float64   `json:"mismatch_mm"`
	MismatchText string    `json:"mismatch_text"`
	MismatchOf   string    `json:"mismatch_of"` // crop or photograph
	Short        bool      `json:"short"`       // it ends before the edge
	Fits         bool      `json:"fits"`        // within 1/8 in over the whole canvas
	Turned       bool      `json:"turned"`      // one is upright, the other lies
	Composed     sized     `json:"composed"`    // what the crop fills
	Instead      []instead `json:"canvas_instead"`
	TiltDeg      float64   `json:"tilt_deg"` // how far the photograph is turned clockwise
	Stretchers   []offered `json:"stretchers,omitempty"`
	Output       string    `json:"output,omitempty"`
	advice
}

// sized is a flat size.
type sized struct {
	WidthMM  float64 `json:"width_mm"`
	HeightMM float64 `json:"height_mm"`
	Text     string  `json:"text"`
}

// instead is a canvas of the crop's proportion, as wide or as high as the one
// there is.
type instead struct {
	Keeps string `json:"keeps"` // width or height
	sized
}

// offered is a stock stretcher and the difference that it makes.
type offered struct {
	Name         string  `json:"name"`
	Kind         string  `json:"kind"` // inch, metric, figure, landscape or marine
	sized                // the way round the crop stands
	Ratio        float64 `json:"ratio"`
	MismatchMM   float64 `json:"mismatch_mm"`
	MismatchText string  `json:"mismatch_text"`
	Fits         bool    `json:"fits"`
	WiderMM      float64 `json:"wider_mm"` // than the canvas there is
	HigherMM     float64 `json:"higher_mm"`
	Source       string  `json:"source"`
}

// offers is how many stretchers are told.
const offers = 6

func crop(_ context.Context, o *options) error {
	var c cropping
	err := o.parse("tells which part of the photograph fills the canvas, and which canvases suit it.", func(f *flag.FlagSet) {
		c.declare(o, f)
	})
	if err != nil {
		return err
	}
	if err := o.composed(&c); err != nil {
		return err
	}
	size, opened, err := o.photoSizeOf()
	if err != nil {
		return err
	}
	squared, turn, part, err := o.cutOut(c, size)
	if err != nil {
		return err
	}
	told := cutOf(turn, part, c, o.crop != "")
	if c.locked {
		part = part.Locked(c.composition.Size.Aspect())
		told.CropPx = rectangle(part)
	}
	if err := o.offer(&told, c, squared.size, part); err != nil {
		return err
	}
	if note := squared.note(); note != "" {
		told.Notes = append(told.Notes, note)
	}
	if opened != nil {
		told.Notes = append(told.Notes, opened.Notes...)
	}
	if c.output != "" {
		if opened == nil {
			return o.missing("reference", "photo.jpg; without it there is no picture to write")
		}
		if err := o.writeCrop(c.output, opened.Picture, squared, turn, part); err != nil {
			return err
		}
		told.Output = c.output
	}
	return o.write(told)
}

// cutOut is the photograph squared up, then turned, then cropped.
func (o *options) cutOut(c cropping, size place.Pixels) (squared squaring, turn place.Turn, part place.Crop, err error) {
	if squared, err = o.squareUp(c, size); err != nil {
		return squared, turn, part, err
	}
	if turn, err = o.turnOf(c, squared.size); err != nil {
		return squared, turn, part, err
	}
	part, err = o.partOf(turn, c.composition.Size)
	return squared, turn, part, err
}

// offer tells stock stretchers, if they are asked for, near the crop that was
// given or else the whole photograph.
func (o *options) offer(told *cut, c cropping, size place.Pixels, part place.Crop) error {
	kinds, err := kindsOf(c.kinds)
	if err != nil || !c.stretchers && c.kinds == "" {
		return err
	}
	if o.crop == "" {
		part = place.WholeCrop(size)
	}
	told.Stretchers = offersOf(place.Offers(part, c.face, c.border, offers, kinds...))
	if len(told.Stretchers) == 0 {
		told.Notes = append(told.Notes, "no stock stretcher is near this canvas in size")
	}
	return nil
}

// cutOf is a crop of a photograph, turned or not, as it is shown; given says that
// the painter chose it.
func cutOf(turn place.Turn, part place.Crop, c cropping, given bool) cut {
	photo, canvas := turn.Photo, c.composition.Size
	compared := place.WholeCrop(photo)
	told := cut{MismatchOf: "photograph"}
	if given {
		compared, told.MismatchOf = part, "crop"
	}
	f := fitOf(place.Compare(compared.Width, compared.Height, canvas), canvas)
	told.CropPx = rectangle(part)
	told.PhotoRatio = place.Proportion(float64(photo.Width), float64(photo.Height))
	told.CropRatio, told.CanvasRatio = place.Proportion(part.Width, part.Height), f.CanvasRatio
	told.MismatchMM, told.MismatchText = f.MismatchMM, f.MismatchText
	told.Short, told.Fits, told.Turned = f.Short, f.Fits, f.Turned
	told.Composed = sizedOf(canvas)
	wide, high := compared.Canvases(canvas)
	told.Instead = []instead{{"width", sizedOf(c.composition.Face(wide))}, {"height", sizedOf(c.composition.Face(high))}}
	told.advice = turnedAdvice(told.Turned, c.face)
	if told.TiltDeg = float64(turn.Tilt); turn.Tilt != 0 {
		told.Notes = append(told.Notes, turnNote(turn))
	}
	return told
}

func sizedOf(s place.Size) sized {
	return sized{
		WidthMM: float64(s.Width), HeightMM: float64(s.Height),
		Text: place.Text(s.Width, s.Unit, 16) + " x " + place.Text(s.Height, s.Unit, 16),
	}
}

// offersOf are stock sizes as they are shown.
func offersOf(list []place.Offer) []offered {
	var told []offered
	for _, o := range list {
		f := fitOf(o.Fit, o.Size) // of the composition on it
		told = append(told, offered{
			Name: o.Stretcher.Name(), Kind: o.Stretcher.Kind, sized: sizedOf(o.Size), Ratio: f.CanvasRatio,
			MismatchMM: f.MismatchMM, MismatchText: f.MismatchText, Fits: f.Fits,
			WiderMM: float64(o.Wider), HigherMM: float64(o.Higher), Source: o.Stretcher.Source,
		})
	}
	return told
}

func (c cut) text() string {
	var b strings.Builder
	p := c.CropPx
	fmt.Fprintf(&b, "crop       left %.1f, top %.1f, %.1f x %.1f pixels\n", p.X, p.Y, p.Width, p.Height)
	fmt.Fprintf(&b, "photograph %.2f\ncrop       %.2f\ncanvas     %.2f   (short side over long)\n", c.PhotoRatio, c.CropRatio, c.CanvasRatio)
	verdict := "it has to be cropped"
	if c.Fits {
		verdict = "it lines up"
	}
	fmt.Fprintf(&b, "mismatch   of the %s %s: %s\n", c.MismatchOf, c.MismatchText, verdict)
	if !c.Fits {
		fmt.Fprintf(&b, "or change the canvas to %s or %s\n", c.Instead[0].Text, c.Instead[1].Text)
	}
	for _, s := range c.Stretchers {
		size := s.Text
		if s.Kind == "figure" || s.Kind == "landscape" || s.Kind == "marine" {
			size = s.Name + ", " + size
		}
		fmt.Fprintf(&b, "stretcher  %s: %.2f, mismatch %s\n", size, s.Ratio, s.MismatchText)
	}
	b.WriteString(c.advice.lines())
	return b.String()
}
