package line_test

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"maulstick/render/line"
	"maulstick/render/place"
)

// draw lays a plan on a canvas; both must be readable.
func draw(t testing.TB, plan, canvas string) *line.Set {
	t.Helper()
	p, err := line.ParsePlan(plan)
	if err != nil {
		t.Fatal(err)
	}
	size, err := place.ParseSize(canvas, place.Inch)
	if err != nil {
		t.Fatal(err)
	}
	s, err := line.Draw(p, size)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Examples from books; the source stands in each row of the table, and says what
// was written down from memory.
func TestWorkedExamples(t *testing.T) {
	data, err := os.ReadFile("../../testdata/line/worked.tsv")
	if err != nil {
		t.Fatal(err)
	}
	rows := strings.Split(strings.TrimRight(string(data), "\n"), "\n")[1:]
	if len(rows) < 10 {
		t.Fatalf("there are %d rows", len(rows))
	}
	for _, row := range rows {
		cells := strings.Split(row, "\t")
		if len(cells) != 7 {
			t.Fatalf("%q has %d cells", row, len(cells))
		}
		x, y := figure(t, cells[3]), figure(t, cells[4])
		if off := offBy(draw(t, cells[0], cells[1]), cells[2], x, y); !(off <= figure(t, cells[5])) {
			t.Errorf("%s on %s: the %s at %s, %s is missed by %g mm", cells[0], cells[1], cells[2], cells[3], cells[4], off)
		}
	}
}

// figure is a number of the table, not a number for a dash.
func figure(t *testing.T, cell string) float64 {
	if cell == "-" {
		return math.NaN()
	}
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// offBy is how far the set's nearest plumb line, level line, line's end or
// crossing is from where it should be.
func offBy(s *line.Set, what string, x, y float64) float64 {
	off := math.Inf(1)
	if what == "crossing" {
		for _, c := range s.Crossings {
			off = min(off, math.Hypot(float64(c.At.X)-x, float64(c.At.Y)-y))
		}
	}
	for _, l := range s.Lines {
		switch {
		case what == "plumb" && l.From.X == l.To.X:
			off = min(off, math.Abs(float64(l.From.X)-x))
		case what == "level" && l.From.Y == l.To.Y:
			off = min(off, math.Abs(float64(l.From.Y)-y))
		case what == "end":
			for _, end := range []place.CanvasPoint{l.From, l.To} {
				off = min(off, math.Hypot(float64(end.X)-x, float64(end.Y)-y))
			}
		}
	}
	return off
}
