package place

import (
	"math"
	"strconv"
)

// RunText spells how far the span goes to the right or the left, "12 in right".
func (s Span) RunText(u Unit) string { return towards(s.Run(), u, "right", "left") }

// RiseText spells how far the span goes up or down, "9 in up".
func (s Span) RiseText(u Unit) string { return towards(s.Rise(), u, "up", "down") }

// towards spells a length with its direction.
func towards(l MM, u Unit, over, under string) string {
	if l < 0 {
		l, over = -l, under
	}
	return Text(l, u, readIn) + " " + over
}

// DirectionText says how the span lies: plumb or level where it cannot be told from
// that, else its angle from level, or from plumb where it is steeper than 45 degrees,
// to a tenth of a degree, to which side, and how surely, which is rounded up to a
// tenth with what spelling the angle rounds away.
func (s Span) DirectionText() string {
	switch {
	case !s.Tells():
		return "too short to tell a direction"
	case s.Plumb():
		return "plumb, as far as can be told"
	case s.Level():
		return "level, as far as can be told"
	}
	angle, from := s.FromLevel(), " from level, rising to the "
	if math.Abs(float64(angle)) > 45 {
		angle, from = s.FromPlumb(), " from plumb, leaning to the "
	}
	side := "right"
	if angle < 0 {
		angle, side = -angle, "left"
	}
	tenths := math.Round(float64(angle) * 10)
	doubt := math.Ceil(float64(s.AngleWithin())*10 + math.Abs(float64(angle)*10-tenths) - halfSlack)
	degrees := func(tenths float64) string { return strconv.FormatFloat(tenths/10, 'f', 1, 64) + "°" }
	return degrees(tenths) + from + side + ", within " + degrees(doubt)
}
