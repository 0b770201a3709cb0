package main

import (
	"context"
	"flag"
	"fmt"
	"strings"

	"maulstick/render/place"
)

// fit is what "ratio" tells. A photograph's long side is laid along the
// canvas's long side; the mismatch is how far its short side then misses the
// canvas's far edge.
type fit struct {
	PhotoRatio   float64 `json:"photo_ratio"`  // short side over long
	CanvasRatio  float64 `json:"canvas_ratio"` // short side over long
	Fits         bool    `json:"fits"`         // within 1/8 in over the whole canvas
	MismatchMM   float64 `json:"mismatch_mm"`
	MismatchText string  `json:"mismatch_text"`
	Short        bool    `json:"short"`         // the photograph ends before the edge
	ShortSideMM  float64 `json:"short_side_mm"` // of the photograph so laid
	Turned       bool    `json:"turned"`        // one is upright, the other lies
	advice
}

// advice is what the painter should be told beside the figures.
type advice struct {
	Notes []string `json:"notes,omitempty"`
	Hint  string   `json:"hint,omitempty"`
}

// lines are the advice as text.
func (a advice) lines() string {
	var b strings.Builder
	for _, note := range a.Notes {
		fmt.Fprintf(&b, "note: %s\n", note)
	}
	if a.Hint != "" {
		fmt.Fprintf(&b, "hint: %s\n", a.Hint)
	}
	return b.String()
}

func ratio(_ context.Context, o *options) error {
	var printed string
	err := o.parse("tells how the photograph's proportion meets the canvas's.", func(f *flag.FlagSet) {
		f.StringVar(&printed, "photo", "", "the photograph as printed or in any unit, a `SIZE` as in 4.75x10.1in")
		o.declareReference(f)
		f.StringVar(&o.photoSize, "photo-size", "", helpPhotoSize)
		f.StringVar(&o.canvas, "canvas", "", helpCanvas)
		o.declareJSON(f)
	})
	if err != nil {
		return err
	}
	width, height, err := o.photoSides(printed)
	if err != nil {
		return err
	}
	canvas, err := o.canvasSize()
	if err != nil {
		return err
	}
	return o.write(fitOf(place.Compare(width, height, canvas), canvas))
}

// photoSides is the photograph's sides in whatever unit they are known.
func (o *options) photoSides(printed string) (width, height float64, err error) {
	if printed == "" {
		if o.reference == "" && o.photoSize == "" {
			return 0, 0, o.missing("photo", "4.75x10.1in, or -reference photo.jpg")
		}
		size, _, err := o.photoSizeOf()
		return float64(size.Width), float64(size.Height), err
	}
	if o.reference != "" || o.photoSize != "" {
		return 0, 0, o.misused("the photograph is given twice")
	}
	size, err := place.ParseSize(printed, place.Inch)
	return float64(size.Width), float64(size.Height), err
}

// fitOf is a comparison as it is shown.
func fitOf(f place.Fit, canvas place.Size) fit {
	side := "past the far edge"
	if f.Short {
		side = "short at the far edge"
	}
	text := place.FineText(f.Mismatch, canvas.Unit) + " " + side
	if f.Mismatch < 1e-6 { // what rounding leaves of nothing
		text = "none"
	}
	return fit{
		PhotoRatio: f.PhotoRatio, CanvasRatio: f.CanvasRatio, Fits: f.Fits,
		MismatchMM: float64(f.Mismatch), MismatchText: text, Short: f.Short,
		ShortSideMM: f.PhotoRatio * float64(max(canvas.Width, canvas.Height)),
		Turned:      f.Turned, advice: turnedAdvice(f.Turned, canvas),
	}
}

// fine is the denominator of fractions of an inch where a sixteenth hides what
// is being told.
const fine = 64

// turnedAdvice says that photograph and canvas stand in different ways. The
// canvas is never turned unasked.
func turnedAdvice(turned bool, canvas place.Size) advice {
	if !turned {
		return advice{}
	}
	note := "the canvas lies and the photograph stands upright"
	if canvas.Width < canvas.Height {
		note = "the canvas stands upright and the photograph lies"
	}
	return advice{
		Notes: []string{note},
		Hint: fmt.Sprintf("sizes are width x height: if the canvas is to stand as the photograph does, give %s x %s",
			place.Text(canvas.Height, canvas.Unit, fine), place.Text(canvas.Width, canvas.Unit, fine)),
	}
}

func (f fit) text() string {
	verdict := "the photograph fits the canvas"
	if !f.Fits {
		verdict = "the photograph has to be cropped to fit"
	}
	if f.Turned {
		verdict += ", once one of them is turned"
	}
	return fmt.Sprintf("photograph %.2f\ncanvas     %.2f   (short side over long)\nmismatch   %s: %s\n%s",
		f.PhotoRatio, f.CanvasRatio, f.MismatchText, verdict, f.advice.lines())
}
