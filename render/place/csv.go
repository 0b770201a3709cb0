package place

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// NamedMark is a mark of a list, and how far its touch may be off.
type NamedMark struct {
	Name  string
	At    PhotoPoint
	Touch float64 // photo pixels
}

// NamedSpan is a span of a list, between two named marks; its own name may be empty.
type NamedSpan struct {
	Name     string
	From, To NamedMark
}

// WriteMarks writes marks as comma-separated values (RFC 4180) with one row of
// names, which carry the units: where each mark lies on the photograph in pixels
// and on the canvas in millimetres from the edges that the painter measures from,
// and how surely. Millimetres have four decimals. Names that a spreadsheet would take
// for a formula begin with an apostrophe.
func WriteMarks(w io.Writer, m Mapping, from Edges, marks []NamedMark) error {
	across, down := "from_left_mm", "from_top_mm"
	if from.Right {
		across = "from_right_mm"
	}
	if from.Bottom {
		down = "from_bottom_mm"
	}
	rows := [][]string{{"mark", "photo_x_px", "photo_y_px", across, down, "within_mm"}}
	for _, mark := range marks {
		x, y := m.Distances(m.ToCanvas(mark.At), from)
		rows = append(rows, []string{
			inert(mark.Name), exactly(mark.At.X), exactly(mark.At.Y),
			figures(float64(x)), figures(float64(y)), figures(float64(m.Uncertainty(mark.Touch))),
		})
	}
	return writeRows(w, "marks", rows)
}

// WriteSpans writes spans in the same form: distance, run to the right and rise
// in millimetres on the canvas, the angle from level in degrees, and how surely.
func WriteSpans(w io.Writer, m Mapping, spans []NamedSpan) error {
	rows := [][]string{{"span", "from", "to", "distance_mm", "run_mm", "rise_mm", "within_mm", "angle_from_level_deg", "angle_within_deg"}}
	for _, span := range spans {
		s := m.Span(span.From.At, span.To.At, span.From.Touch, span.To.Touch)
		rows = append(rows, []string{
			inert(span.Name), inert(span.From.Name), inert(span.To.Name),
			figures(float64(s.Length())), figures(float64(s.Run())), figures(float64(s.Rise())), figures(float64(s.Within())),
			figures(float64(s.FromLevel())), figures(float64(s.AngleWithin())),
		})
	}
	return writeRows(w, "spans", rows)
}

// writeRows writes the rows of a list.
func writeRows(w io.Writer, what string, rows [][]string) error {
	if err := csv.NewWriter(w).WriteAll(rows); err != nil {
		return fmt.Errorf("writing the list of %s: %w", what, err)
	}
	return nil
}

// inert is a name that no spreadsheet takes for a formula: one that begins as those do
// has an apostrophe before it (OWASP, CSV Injection).
func inert(name string) string {
	if name != "" && strings.ContainsRune("=+-@\t\r", rune(name[0])) {
		return "'" + name
	}
	return name
}

// exactly is a number in as many figures as tell it from all others.
func exactly(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// figures is a number with four decimals: a tenth of a micron.
func figures(v float64) string { return strconv.FormatFloat(v, 'f', 4, 64) }
