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
	Stretchers   []offered `json:"stretchers,omitempty"`
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

// cropping is how "crop" was asked for.
type cropping struct {
	turned, locked, stretchers bool
	turnover, margin, kinds    string
}

// offers is how many stretchers are told.
const offers = 6

func crop(_ context.Context, o *options) error {
	var c cropping
	err := o.parse("tells which part of the photograph fills the canvas, and which canvases suit it.", func(f *flag.FlagSet) {
		f.StringVar(&o.reference, "reference", "", helpReference)
		f.StringVar(&o.photoSize, "photo-size", "", helpPhotoSize)
		f.StringVar(&o.canvas, "canvas", "", helpCanvas)
		f.StringVar(&o.crop, "crop", "", helpCrop)
		f.BoolVar(&c.locked, "lock", false, "cut the crop given by -crop down to the canvas's proportion")
		f.BoolVar(&c.turned, "turned", false, "the canvas stands the other way round")
		f.StringVar(&c.turnover, "turnover", "", "the composition goes on round the edges by this `LENGTH`")
		f.StringVar(&c.margin, "margin", "", "a margin of this `LENGTH` is kept out of the composition on all sides")
		f.BoolVar(&c.stretchers, "stretchers", false, "offer stock stretchers near the crop's proportion and the canvas's size")
		f.StringVar(&c.kinds, "kinds", "", "only stretchers of these `KINDS`: inch, metric, figure, landscape, marine")
		o.declareJSON(f)
	})
	if err != nil {
		return err
	}
	face, composed, border, err := o.composed(c)
	if err != nil {
		return err
	}
	kinds, err := kindsOf(c.kinds)
	if err != nil {
		return err
	}
	size, opened, err := o.photoSizeOf()
	if err != nil {
		return err
	}
	part, err := o.cropOf(size, place.CentredCrop(size, composed))
	if err != nil {
		return err
	}
	told := cutOf(size, part, composed, o.crop != "")
	if c.locked {
		told.CropPx = rectangle(part.Locked(composed.Aspect()))
	}
	told.advice = turnedAdvice(told.Turned, composed)
	if c.stretchers || c.kinds != "" {
		suited := part
		if o.crop == "" {
			suited = place.WholeCrop(size)
		}
		told.Stretchers = offersOf(place.Offers(suited, face, border, offers, kinds...))
		if len(told.Stretchers) == 0 {
			told.Notes = append(told.Notes, "no stock stretcher is near this canvas in size")
		}
	}
	if opened != nil {
		told.Notes = append(told.Notes, opened.Notes...)
	}
	return o.write(told)
}

// composed is the canvas's face, the size that the crop fills on it, and the
// border between them.
func (o *options) composed(c cropping) (face, composed place.Size, border place.Border, err error) {
	face, err = o.canvasSize()
	if err != nil {
		return face, composed, border, err
	}
	if c.turned {
		face = face.Turned()
	}
	border.TurnoverIn = true
	if c.turnover != "" {
		if border.Turnover, _, err = place.ParseLength(c.turnover, face.Unit); err != nil {
			return face, composed, border, err
		}
	}
	if c.margin != "" {
		margin, _, err := place.ParseLength(c.margin, face.Unit)
		if err != nil {
			return face, composed, border, err
		}
		border.Margin = place.Sides{Left: margin, Top: margin, Right: margin, Bottom: margin}
	}
	composition, err := border.Compose(face)
	return face, composition.Size, border, err
}

// kindsOf are the kinds of stretcher that -kinds names, none where it is not
// given.
func kindsOf(list string) ([]string, error) {
	if list == "" {
		return nil, nil
	}
	known := map[string]bool{}
	for _, s := range place.Stretchers() {
		known[s.Kind] = true
	}
	var kinds []string
	for kind := range strings.SplitSeq(list, ",") {
		kind = strings.TrimSpace(kind)
		if !known[kind] {
			return nil, &place.Problem{
				Doing:  "choosing stretchers",
				What:   fmt.Sprintf("%q is no kind of them", kind),
				Wanted: "name some of inch, metric, figure, landscape and marine, as in -kinds inch,metric",
			}
		}
		kinds = append(kinds, kind)
	}
	return kinds, nil
}

// cutOf is a crop as it is shown; given says that the painter chose it.
func cutOf(photo place.Pixels, part place.Crop, canvas place.Size, given bool) cut {
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
	told.Instead = []instead{{"width", sizedOf(wide)}, {"height", sizedOf(high)}}
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
