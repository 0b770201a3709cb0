package main

import (
	"context"
	"flag"
	"fmt"
	"image"
	"math"
	"strings"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/pile"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// mixing is what "piles" tells.
type mixing struct {
	Steps      []stepMixing `json:"steps"`       // from the darkest
	NameSystem string       `json:"name_system"` // where the names come from
	Filter     bool         `json:"filter"`      // steps read through the red filter
	CropPx     rectangle    `json:"crop_px"`
	Output     string       `json:"output,omitempty"`
	advice
}

// stepMixing is the piles of one step.
type stepMixing struct {
	Step      int     `json:"step"`            // from 1, the darkest
	GreyCode  int     `json:"grey_code"`       // the sRGB code that shows the step
	AreaShare float64 `json:"area_share"`      // of the cropped picture
	MeanError float64 `json:"mean_error_de00"` // how far pixels are from their piles, CIEDE2000
	Piles     []mixed `json:"piles"`           // the largest first
}

// mixed is one colour to mix.
type mixed struct {
	RGB          [3]int  `json:"rgb"`           // sRGB codes of the mean light
	Lightness    float64 `json:"lightness"`     // CIE L*
	MunsellValue float64 `json:"munsell_value"` // 0..10
	Munsell      string  `json:"munsell"`       // hue value/chroma
	HueFamily    string  `json:"hue_family"`    // Munsell's letters
	Hue          string  `json:"hue"`           // the family in a word
	Chroma       string  `json:"chroma"`        // in a word
	Name         string  `json:"name"`
	AreaShare    float64 `json:"area_share"` // of the cropped picture; they sum to the step's
	X            int     `json:"x_px"`       // column and row of a pixel well inside an area of it
	Y            int     `json:"y_px"`
}

func piles(ctx context.Context, o *options) error {
	var filter bool
	var output string
	var each int
	err := o.parse("finds the few colours that cover each value step, to be mixed as piles of paint.", func(f *flag.FlagSet) {
		o.declareReference(f)
		f.IntVar(&o.n, "n", 5, helpSteps)
		f.IntVar(&each, "piles", pile.Found, "how many piles a step, 1 to 9; 0 finds as many as its colours need")
		f.BoolVar(&filter, "filter", false, "divide the values as they look through the red filter")
		f.StringVar(&o.canvas, "canvas", "", helpCanvas+"; the picture is cropped to its proportion")
		f.StringVar(&o.crop, "crop", "", "the painted part of the photograph in pixels, `X,Y,W,H`")
		f.StringVar(&output, "o", "", "write a palette chart, the piles on their grey cards, to a PNG `FILE`")
		o.declareJSON(f)
	})
	if err != nil {
		return err
	}
	s, err := o.equalSteps()
	if err != nil {
		return err
	}
	if each != pile.Found && (each < 1 || each > pile.Most) {
		return &place.Problem{
			Doing:  "finding piles of colour",
			What:   fmt.Sprintf("%d piles a step were asked for", each),
			Wanted: fmt.Sprintf("give a number from 1 to %d, as in -piles 3, or 0 to have it found", pile.Most),
		}
	}
	opened, crop, notes, err := o.openCropped()
	if err != nil {
		return err
	}
	meter := colour.EyeMeter
	if filter {
		meter = colour.FilterMeter
	}
	found, err := pile.Find(meter, opened.Picture, crop, s, each, func(float64) error { return ctx.Err() })
	if err != nil {
		return err
	}
	m := mix(found, s)
	m.Filter, m.CropPx, m.Output, m.advice = filter, rectangle(crop), output, notes
	m.Notes = append(m.Notes, opened.Notes...)
	if output != "" {
		if found.Pixels == 0 {
			return &place.Problem{Doing: "writing " + output, What: "the crop holds no whole pixel", Wanted: "choose a larger part with -crop"}
		}
		if err := writePicture(output, asImage(pile.Chart(found.Steps)), o.reference); err != nil {
			return err
		}
	}
	return o.write(m)
}

// mix is the piles as JSON has them.
func mix(found pile.Piles, s shape.Steps) mixing {
	m := mixing{NameSystem: colour.NameSystem}
	for k, step := range found.Steps {
		made := stepMixing{Step: k + 1, GreyCode: int(s.Tone(k + 1)), AreaShare: step.Share, MeanError: step.Error, Piles: []mixed{}}
		for _, p := range step.Piles {
			made.Piles = append(made.Piles, mixed{
				RGB:       [3]int{int(p.Colour.R), int(p.Colour.G), int(p.Colour.B)},
				Lightness: float64(p.Lightness), MunsellValue: float64(p.Munsell.Value), Munsell: p.Munsell.String(),
				HueFamily: p.Munsell.Family().String(), Hue: p.Munsell.Family().Word(), Chroma: p.Munsell.ChromaWord(),
				Name: p.Name, AreaShare: p.Share, X: int(math.Floor(p.At.X)), Y: int(math.Floor(p.At.Y)),
			})
		}
		m.Steps = append(m.Steps, made)
	}
	return m
}

// asImage is a picture for an encoder.
func asImage(p *photo.Picture) image.Image {
	return &image.RGBA{Pix: p.Pix, Stride: 4 * p.Width, Rect: image.Rect(0, 0, p.Width, p.Height)}
}

func (m mixing) text() string {
	var b strings.Builder
	for _, step := range m.Steps {
		fmt.Fprintf(&b, "step %d   %.1f %%\n", step.Step, 100*step.AreaShare)
		for _, p := range step.Piles {
			fmt.Fprintf(&b, "  %5.1f %%  value %.1f  %s (%s)  rgb %d,%d,%d  at %d,%d\n", 100*p.AreaShare, p.MunsellValue,
				p.Name, p.Munsell, p.RGB[0], p.RGB[1], p.RGB[2], p.X, p.Y)
		}
	}
	fmt.Fprintf(&b, "names: %s\n", m.NameSystem)
	if m.Output != "" {
		fmt.Fprintf(&b, "written to %s\n", m.Output)
	}
	b.WriteString(m.advice.lines())
	return b.String()
}
