package main

import (
	"context"
	"flag"
	"fmt"
	"strconv"
	"strings"

	"maulstick/render/place"
)

// spanned is what "span" tells of the line between two spots.
type spanned struct {
	DistanceMM          float64       `json:"distance_mm"`
	RunMM               float64       `json:"run_mm"`  // to the right
	RiseMM              float64       `json:"rise_mm"` // up
	AngleFromLevelDeg   float64       `json:"angle_from_level_deg"`
	AngleFromPlumbDeg   float64       `json:"angle_from_plumb_deg"`
	UncertaintyMM       float64       `json:"uncertainty_mm"`
	AngleUncertaintyDeg float64       `json:"angle_uncertainty_deg"`
	DistanceText        string        `json:"distance_text"`
	RunText             string        `json:"run_text"`
	RiseText            string        `json:"rise_text"`
	UncertaintyText     string        `json:"uncertainty_text"` // of the texts, as place.WithinText spells it
	DirectionText       string        `json:"direction_text"`   // from level or from plumb, whichever is nearer
	Plumb               bool          `json:"plumb"`            // within the uncertainty
	Level               bool          `json:"level"`
	HalfMM              [2]float64    `json:"half_mm"` // from the left and the top edge
	ThirdsMM            [2][2]float64 `json:"thirds_mm"`
	Compared            *comparison   `json:"compared,omitempty"`
	Aimed               *aim          `json:"aimed,omitempty"`
	CropPx              rectangle     `json:"crop_px"`
	Convention          string        `json:"convention"`
	advice
}

// comparison is how often a unit goes into the span.
type comparison struct {
	Ratio       float64 `json:"ratio"`
	Uncertainty float64 `json:"uncertainty"`
	Text        string  `json:"text"`  // the nearest simple fraction
	Holds       bool    `json:"holds"` // within the uncertainty
	UnitMM      float64 `json:"unit_mm"`
}

// aim is how the span's line passes another spot.
type aim struct {
	MissMM        float64 `json:"miss_mm"`
	UncertaintyMM float64 `json:"uncertainty_mm"`
	Along         float64 `json:"along"` // 0 at the first spot, 1 at the second
	Hits          bool    `json:"hits"`  // within the uncertainty
	Behind        bool    `json:"behind"`
	missText      string
}

const spanConvention = "spots name a pixel by column and row counted from 0 at the top left, and mean its centre; the run is over 0 to the right and the rise over 0 up; the angle from level is over 0 where the right end is higher, the one from plumb where the upper end leans right"

// spots are the spots that "span" was given.
type spots struct{ from, to, unit, at string }

func span(_ context.Context, o *options) error {
	var given spots
	err := o.parse("measures the canvas between two spots of the photograph.", func(f *flag.FlagSet) {
		o.declareReference(f)
		f.StringVar(&o.photoSize, "photo-size", "", helpPhotoSize)
		f.StringVar(&o.canvas, "canvas", "", helpCanvas)
		f.StringVar(&given.from, "from", "", "the first spot: "+helpAt)
		f.StringVar(&given.to, "to", "", "the second spot, `X,Y`")
		f.StringVar(&given.unit, "unit", "", "two spots whose distance is the unit to compare with, `X,Y,X,Y`")
		f.StringVar(&given.at, "at", "", "does the span point at this spot? `X,Y`")
		f.StringVar(&o.crop, "crop", "", helpCrop)
		o.declareJSON(f)
	})
	if err != nil {
		return err
	}
	canvas, err := o.canvasSize()
	switch {
	case err != nil:
		return err
	case given.from == "":
		return o.missing("from", "1200,800")
	case given.to == "":
		return o.missing("to", "1500,400")
	}
	size, opened, err := o.photoSizeOf()
	if err != nil {
		return err
	}
	crop, err := o.cropOf(size, place.CentredCrop(size, canvas))
	if err != nil {
		return err
	}
	told, err := o.measure(given, place.Mapping{Crop: crop, Canvas: canvas}, size)
	if err != nil {
		return err
	}
	told.advice = o.placeAdvice(size, crop, canvas)
	if opened != nil {
		told.Notes = append(told.Notes, opened.Notes...)
	}
	return o.write(told)
}

// measure is the span between the spots given, compared and followed if asked.
func (o *options) measure(given spots, m place.Mapping, size place.Pixels) (spanned, error) {
	s, err := o.spanBetween(m, given.from, given.to, size)
	if err != nil {
		return spanned{}, err
	}
	told := spannedOf(m, s)
	if err := o.compare(&told, m, s, given.unit, size); err != nil {
		return told, err
	}
	return told, o.follow(&told, m, s, given.at, size)
}

// spanBetween is the span between two spots as flags give them.
func (o *options) spanBetween(m place.Mapping, from, to string, size place.Pixels) (place.Span, error) {
	a, err := o.painted(m, from, size)
	if err != nil {
		return place.Span{}, err
	}
	b, err := o.painted(m, to, size)
	if err != nil {
		return place.Span{}, err
	}
	if a == b {
		return place.Span{}, &place.Problem{
			Doing: "measuring from " + from + " to " + to, What: "both are the same spot",
			Wanted: "name two spots, as in -from 1200,800 -to 1500,400",
		}
	}
	return m.Span(a, b, 0, 0), nil
}

// painted is the centre of a pixel that a flag gives, which must be on the
// canvas.
func (o *options) painted(m place.Mapping, at string, size place.Pixels) (place.PhotoPoint, error) {
	x, y, err := o.spotOf(at, size)
	if err != nil {
		return place.PhotoPoint{}, err
	}
	spot := place.PhotoPoint{X: float64(x) + 0.5, Y: float64(y) + 0.5}
	return spot, onCanvas(m.Crop, spot, at)
}

// compare tells the span in the unit that a flag gives, if it does.
func (o *options) compare(told *spanned, m place.Mapping, s place.Span, unit string, size place.Pixels) error {
	if unit == "" {
		return nil
	}
	numbers, err := whole(unit, 4)
	if err != nil {
		return &place.Problem{
			Doing: "reading the unit " + strconv.Quote(unit), What: err.Error(),
			Wanted: "give columns and rows of two pixels, as in -unit 1200,800,1500,800",
		}
	}
	spot := func(i int) string { return fmt.Sprintf("%d,%d", numbers[i], numbers[i+1]) }
	u, err := o.spanBetween(m, spot(0), spot(2), size)
	if err != nil {
		return err
	}
	c := s.In(u)
	told.Compared = &comparison{Ratio: c.Ratio, Uncertainty: c.Within, Text: c.String(), Holds: c.Holds, UnitMM: float64(u.Length())}
	return nil
}

// follow tells how the span passes the spot that a flag gives, if it does.
func (o *options) follow(told *spanned, m place.Mapping, s place.Span, at string, size place.Pixels) error {
	if at == "" {
		return nil
	}
	spot, err := o.painted(m, at, size)
	if err != nil {
		return err
	}
	a := s.PointsAt(m.ToCanvas(spot), m.Uncertainty(0))
	told.Aimed = &aim{
		MissMM: float64(a.Miss), UncertaintyMM: float64(a.Within), Along: a.Along, Hits: a.Hits, Behind: a.Behind,
		missText: place.Text(a.Miss, m.Canvas.Unit, 16),
	}
	return nil
}

// spannedOf is a span as it is shown.
func spannedOf(m place.Mapping, s place.Span) spanned {
	unit := m.Canvas.Unit
	told := spanned{
		DistanceMM: float64(s.Length()), RunMM: float64(s.Run()), RiseMM: float64(s.Rise()),
		AngleFromLevelDeg: float64(s.FromLevel()), AngleFromPlumbDeg: float64(s.FromPlumb()),
		UncertaintyMM: float64(s.Within()), AngleUncertaintyDeg: float64(s.AngleWithin()),
		DistanceText:    place.Text(s.Length(), unit, 16),
		RunText:         s.RunText(unit),
		RiseText:        s.RiseText(unit),
		UncertaintyText: s.WithinText(unit),
		DirectionText:   s.DirectionText(),
		Plumb:           s.Plumb(), Level: s.Level(),
		HalfMM: pair(s.At(0.5)), CropPx: rectangle(m.Crop), Convention: spanConvention,
	}
	for i, p := range s.Divided(3) {
		told.ThirdsMM[i] = pair(p)
	}
	return told
}

// pair is a place on the canvas as JSON has it.
func pair(p place.CanvasPoint) [2]float64 { return [2]float64{float64(p.X), float64(p.Y)} }

func (s spanned) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s, %s, within %s\n%s\n", s.DistanceText, s.RunText, s.RiseText, s.UncertaintyText, s.DirectionText)
	if c := s.Compared; c != nil {
		fmt.Fprintf(&b, "%s of the unit (%.3f within %.3f)\n", c.Text, c.Ratio, c.Uncertainty)
	}
	if a := s.Aimed; a != nil {
		verdict := "misses"
		if a.Hits {
			verdict = "meets"
		}
		if a.Behind {
			verdict = "points away from, and backwards " + verdict
		}
		fmt.Fprintf(&b, "%s the spot: passes it at %s\n", verdict, a.missText)
	}
	b.WriteString(s.advice.lines())
	return b.String()
}
