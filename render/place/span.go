package place

import "math"

// Span is the line from one place on the canvas to another, each known along
// either edge to within a length, at least 0.
type Span struct {
	From, To             CanvasPoint
	FromWithin, ToWithin MM
}

// Span is the span between two places of the photograph, whose touches may be so
// many photo pixels off. The uncertainties are those of Mapping.Uncertainty.
func (m Mapping) Span(from, to PhotoPoint, fromTouch, toTouch float64) Span {
	return Span{
		From: m.ToCanvas(from), To: m.ToCanvas(to),
		FromWithin: m.Uncertainty(fromTouch), ToWithin: m.Uncertainty(toTouch),
	}
}

// Run is how far the span goes to the right; under 0 if it goes to the left.
func (s Span) Run() MM { return s.To.X - s.From.X }

// Rise is how far the span goes up; under 0 if it goes down.
func (s Span) Rise() MM { return s.From.Y - s.To.Y }

// Length is the distance from end to end.
func (s Span) Length() MM { return MM(math.Hypot(float64(s.Run()), float64(s.Rise()))) }

// Within is how surely length, run and rise are known: the uncertainties of both
// ends, taken as independent and combined in quadrature (JCGM 100:2008, 5.1.2).
func (s Span) Within() MM { return MM(math.Hypot(float64(s.FromWithin), float64(s.ToWithin))) }

// Tells says whether the span is longer than its uncertainty, so that it has a
// direction at all.
func (s Span) Tells() bool { return s.Length() > s.Within() }

// FromLevel is the angle between the span's line and a level one, over -90 and at
// most 90: over 0 where its right end is the higher one. Which end is From makes
// no difference. A span without length is level.
func (s Span) FromLevel() Degrees {
	run, rise := float64(s.Run()), float64(s.Rise())
	switch {
	case run < 0:
		run, rise = 0-run, 0-rise // never -0
	case run == 0:
		rise = math.Abs(rise)
	}
	return degrees(math.Atan2(rise, run))
}

// FromPlumb is the angle between the span's line and a plumb one, over -90 and at
// most 90: over 0 where its upper end leans to the right. A span without length
// is plumb.
func (s Span) FromPlumb() Degrees {
	run, rise := float64(s.Run()), float64(s.Rise())
	switch {
	case rise < 0:
		run, rise = 0-run, 0-rise // never -0
	case rise == 0:
		run = math.Abs(run)
	}
	return degrees(math.Atan2(run, rise))
}

// AngleWithin is how surely the angles are known, 90 where the span does not tell
// a direction: an end that is off by Within across the span turns it so far.
func (s Span) AngleWithin() Degrees {
	if !s.Tells() {
		return 90
	}
	return degrees(math.Asin(float64(s.Within() / s.Length())))
}

// Plumb says whether the span cannot be told from a plumb one.
func (s Span) Plumb() bool { return s.Tells() && MM(math.Abs(float64(s.Run()))) <= s.Within() }

// Level says whether the span cannot be told from a level one.
func (s Span) Level() bool { return s.Tells() && MM(math.Abs(float64(s.Rise()))) <= s.Within() }

// At is the place a share of the way along the span: 0 is From, 1 is To.
func (s Span) At(share float64) CanvasPoint {
	return CanvasPoint{
		X: s.From.X + MM(share)*s.Run(),
		Y: s.From.Y - MM(share)*s.Rise(),
	}
}

// mostParts is into how many parts a span is divided at most.
const mostParts = 1000

// Divided is the places that part the span into n equal parts, from From on, n-1
// of them: the half for 2, the thirds for 3. n is taken into 1..1000.
func (s Span) Divided(n int) []CanvasPoint {
	n = min(max(n, 1), mostParts)
	places := make([]CanvasPoint, 0, n-1)
	for i := 1; i < n; i++ {
		places = append(places, s.At(float64(i)/float64(n)))
	}
	return places
}

// Aim is how the line through a span passes a place.
type Aim struct {
	Miss   MM      // how far the line passes beside the place, at least 0
	Within MM      // how surely that is known
	Along  float64 // where it passes, as a share of the span: over 1 is beyond To
	Hits   bool    // the span tells a direction, and the miss is within its uncertainty
	Behind bool    // the place lies on From's side: the span points away from it
}

// PointsAt follows the span's line to a place known to within a length. The
// further away the place is, the more the ends' uncertainties tell there.
func (s Span) PointsAt(p CanvasPoint, within MM) Aim {
	length := float64(s.Length())
	if length == 0 {
		return Aim{Miss: Span{From: s.From, To: p}.Length(), Within: MM(math.Hypot(float64(s.Within()), float64(within)))}
	}
	run, rise := float64(s.Run())/length, float64(s.Rise())/length
	x, y := float64(p.X-s.From.X), float64(s.From.Y-p.Y)
	a := Aim{
		Miss:  MM(math.Abs(x*rise - y*run)),
		Along: (x*run + y*rise) / length,
	}
	near := math.Hypot((1-a.Along)*float64(s.FromWithin), a.Along*float64(s.ToWithin))
	a.Within = MM(math.Hypot(near, float64(within)))
	a.Hits = s.Tells() && a.Miss <= a.Within
	a.Behind = a.Along < 0
	return a
}
