package main

import (
	"context"
	"flag"
	"fmt"
	"strings"

	"maulstick/render/place"
	"maulstick/render/shape"
)

// hardness is what "edges" tells.
type hardness struct {
	Shares    shape.EdgeShares `json:"shares"`         // of the length of all edges
	LengthMM  float64          `json:"length_mm"`      // of all edges together, on the canvas
	Outlines  shape.EdgeShares `json:"outline_shares"` // of the length of the flat shapes' outlines
	Smallest  float64          `json:"smallest_mm"`    // no flat shape is smaller
	Sharpest  []stretch        `json:"sharpest"`
	Softest   []stretch        `json:"softest"`
	Contrasts []contrast       `json:"contrasts"`       // by kind, then by rank
	Focal     []focus          `json:"focal,omitempty"` // with -focal
	At        *edgeReading     `json:"at,omitempty"`    // with -at
	Limits    shape.EdgeLimits `json:"limits"`          // the widest edge of each class, and the viewing distance
	Noise     float64          `json:"noise_lightness"` // the picture's, as a standard deviation of L*
	Working   extent           `json:"working_px"`      // the size at which edges were measured
	CropPx    rectangle        `json:"crop_px"`
	WidthIs   string           `json:"width_convention"`
	Output    string           `json:"output,omitempty"`
	advice
}

// spotPlace is a place on the photograph and on the canvas, from its left and
// top edges.
type spotPlace struct {
	XPx float64 `json:"x_px"`
	YPx float64 `json:"y_px"`
	XMM float64 `json:"x_mm"`
	YMM float64 `json:"y_mm"`
}

// stretch is a stretch of an edge.
type stretch struct {
	spotPlace
	Class     string  `json:"class"`
	WidthMM   float64 `json:"width_mm"`
	WidthPx   float64 `json:"width_px"` // pixels of the photograph
	WidthText string  `json:"width_text"`
	LengthMM  float64 `json:"length_mm"`
	Contrast  float64 `json:"contrast_lightness"`
}

// edgeReading is the edge nearest to a spot.
type edgeReading struct {
	spotPlace
	Class     string  `json:"class"` // "none" if there is no edge near
	WidthMM   float64 `json:"width_mm,omitempty"`
	WidthPx   float64 `json:"width_px,omitempty"`
	WidthText string  `json:"width_text,omitempty"`
	Contrast  float64 `json:"contrast_lightness,omitempty"`
	AwayMM    float64 `json:"away_mm"` // from the spot
}

// contrast is a place where two neighbouring areas differ.
type contrast struct {
	Kind string `json:"kind"` // value, hue, sharpness or all
	Rank int    `json:"rank"` // from 1, the strongest
	spotPlace
	RadiusMM   float64 `json:"radius_mm"`
	Lightness  float64 `json:"difference_lightness"`
	Hue        float64 `json:"difference_hue_cie94"`
	WidthRatio float64 `json:"width_ratio"` // of the edges in both areas; 1 where there are too few
	Darker     area    `json:"darker"`
	Lighter    area    `json:"lighter"`
	Words      string  `json:"words"`
}

// area is one side of a contrast.
type area struct {
	spotPlace
	RGB       [3]uint8 `json:"rgb"`
	Lightness float64  `json:"lightness"`
	Step      int      `json:"step"`
	Name      string   `json:"name"`
}

// focus is where the strongest contrast of a kind lies from the focal point.
type focus struct {
	Kind       string  `json:"kind"`
	DistanceMM float64 `json:"distance_mm"`
	There      bool    `json:"at_focal_point"`
	Rank       int     `json:"rank_at_focal_point"` // 0 if none listed lies there
	Words      string  `json:"words"`
}

const widthConvention = "an edge's width is the stretch over which its lightness goes from a tenth to nine tenths of the way between its sides"

// listed is how many edges and contrasts a list holds at most.
const listed = 5

// edgeFlags are the flags that only this command has.
type edgeFlags struct{ distance, focal, smallest, output string }

func edges(_ context.Context, o *options) error {
	var flags edgeFlags
	err := o.parse("tells where edges are lost, soft, firm and sharp, and where neighbouring areas differ most.", func(f *flag.FlagSet) {
		o.declareReference(f)
		f.StringVar(&o.canvas, "canvas", "", helpCanvas)
		f.StringVar(&o.crop, "crop", "", helpCrop)
		f.StringVar(&o.at, "at", "", "read the edge nearest to a pixel, `X,Y`, as in 1200,800")
		f.StringVar(&flags.focal, "focal", "", "the pixel that the eye should go to, `X,Y`")
		f.StringVar(&flags.distance, "distance", "", "how far off the canvas is seen, a `LENGTH` as in 6ft; without it the canvas's diagonal")
		f.IntVar(&o.n, "n", 5, helpSteps)
		f.StringVar(&flags.smallest, "smallest", "", "no flat shape smaller than a disc of this diameter, a `LENGTH`; without it a sixteenth of the\ncanvas's short side")
		f.StringVar(&flags.output, "o", "", "write the flat shapes' outlines to a PNG `FILE`, the harder the darker and thicker")
		o.declareJSON(f)
	})
	if err != nil {
		return err
	}
	canvas, err := o.canvasSize()
	if err != nil {
		return err
	}
	distance, err := seenFrom(flags.distance, canvas)
	if err != nil {
		return err
	}
	steps, err := o.equalSteps()
	if err != nil {
		return err
	}
	opened, crop, err := o.openOnto(canvas)
	if err != nil {
		return err
	}
	r := &edgeReader{o: o, flags: flags, steps: steps, full: place.Mapping{Crop: crop, Canvas: canvas}}
	h, err := r.read(opened.Picture, distance)
	if err != nil {
		return err
	}
	h.advice = o.placeAdvice(opened.Size(), crop, canvas)
	h.Notes = append(h.Notes, opened.Notes...)
	return o.write(h)
}

// seenFrom reads a viewing distance; 0 if none is given.
func seenFrom(text string, canvas place.Size) (place.MM, error) {
	if text == "" {
		return 0, nil
	}
	distance, _, err := place.ParseLength(text, canvas.Unit)
	if err != nil {
		return 0, err
	}
	if distance <= 0 {
		return 0, &place.Problem{Doing: "reading the distance " + text, What: "it is not over 0", Wanted: "give how far off the canvas is seen, as in -distance 6ft"}
	}
	return distance, nil
}

func (h hardness) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "sharp %.0f %%, firm %.0f %%, soft %.0f %%, lost %.0f %% of the length of all edges\n",
		100*h.Shares.Sharp, 100*h.Shares.Firm, 100*h.Shares.Soft, 100*h.Shares.Lost)
	fmt.Fprintf(&b, "sharp %.0f %%, firm %.0f %%, soft %.0f %%, lost %.0f %% of the length of the flat shapes' outlines\n",
		100*h.Outlines.Sharp, 100*h.Outlines.Firm, 100*h.Outlines.Soft, 100*h.Outlines.Lost)
	if h.At != nil {
		fmt.Fprintf(&b, "%s\n", h.At.text())
	}
	list := func(title string, stretches []stretch) {
		for i, s := range stretches {
			fmt.Fprintf(&b, "%s %d   %s wide (%s), %.0f L*, at %.0f,%.0f\n", title, i+1, s.WidthText, s.Class, s.Contrast, s.XPx, s.YPx)
		}
	}
	list("sharpest", h.Sharpest)
	list("softest", h.Softest)
	for _, c := range h.Contrasts {
		fmt.Fprintf(&b, "contrast of %s %d   %s, at %.0f,%.0f\n", strings.Replace(c.Kind, "all", "all kinds", 1), c.Rank, c.Words, c.XPx, c.YPx)
	}
	for _, f := range h.Focal {
		fmt.Fprintf(&b, "%s\n", f.Words)
	}
	if h.Output != "" {
		fmt.Fprintf(&b, "written to %s\n", h.Output)
	}
	b.WriteString(h.advice.lines())
	return b.String()
}

func (r *edgeReading) text() string {
	if r.Class == shape.NoEdge.String() {
		return "there is no edge near this spot"
	}
	return fmt.Sprintf("the edge here is %s: %s wide, %.0f L*", r.Class, r.WidthText, r.Contrast)
}
