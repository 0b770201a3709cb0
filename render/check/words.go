package check

import (
	"fmt"
	"math"

	"maulstick/render/place"
)

// OffText says how far something is off, in the words of the easel: "3/4 in too far
// right, 1/2 in low"; "in place" where neither shows at 1/16 in.
func OffText(dx, dy place.MM, u place.Unit) string {
	const shows = 25.4 / 32
	across, down := "", ""
	if math.Abs(float64(dx)) >= shows {
		across = place.Text(place.MM(math.Abs(float64(dx))), u, 16) + " too far " + pick(dx > 0, "right", "left")
	}
	if math.Abs(float64(dy)) >= shows {
		down = place.Text(place.MM(math.Abs(float64(dy))), u, 16) + " " + pick(dy > 0, "low", "high")
	}
	switch {
	case across == "" && down == "":
		return "in place"
	case across == "" || down == "":
		return across + down
	}
	return across + ", " + down
}

func pick(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}

// StepsText says a difference of values: "one step too dark", "half a step too light",
// "1.3 steps too light", "right" under a quarter.
func StepsText(steps float64) string {
	way := pick(steps > 0, "too light", "too dark")
	switch size := math.Abs(steps); {
	case size < 0.25:
		return "right"
	case size < 0.4:
		return "a third of a step " + way
	case size < 0.65:
		return "half a step " + way
	case size < 0.85:
		return "three quarters of a step " + way
	case size < 1.15:
		return "one step " + way
	default:
		return fmt.Sprintf("%.1f steps %s", size, way)
	}
}

// RangeText says whether the values are compressed, if that can be told.
func (v Values) RangeText() string {
	figures := fmt.Sprintf("%.0f %% of the reference's, within %.0f", 100*v.Range, 100*v.RangeWithin)
	switch {
	case v.Range+2*v.RangeWithin < 1:
		return "compressed, " + figures
	case v.Range-2*v.RangeWithin > 1:
		return "wider than the reference's, " + figures
	default:
		return "not surely compressed, " + figures
	}
}

// Note is what to know of figures: of the drawing, the values or the colour.
type Note struct{ Of, Text string }

// Notes are what to know of the figures.
func (r *Report) Notes() []Note {
	var notes []Note
	if !r.Canvas.Found {
		notes = append(notes, Note{"drawing", "the corners are as they were given: each pixel that one is off shifts what lies near it as far"})
	}
	if !r.carded {
		notes = append(notes, Note{"values", "without grey cards exposure, the camera's curve and uneven light are fitted to the values themselves: they are less sure, and a painting too light or too dark all over is not told"})
	}
	return append(notes, Note{"colour", "the photograph's white is fitted to the reference: a painting too warm or too cool all over is not told"})
}
