package line_test

import (
	"testing"

	"maulstick/render/line"
	"maulstick/render/place"
)

func TestErrorText(t *testing.T) {
	for _, c := range []struct {
		rounding string
		off      place.MM
		want     string
	}{
		{"1/16", -25.4 / 48, "0.021 in short"}, {"1/8", 25.4 / 24, "0.042 in long"}, {"1/32", 25.4 * 0.0004, ""}, {"1/32", 25.4 * 0.0006, "0.001 in long"},
		{"mm", -0.4, "0.4 mm short"}, {"mm", 0.333, "0.3 mm long"}, {"mm", 0.04, ""}, {"mm", -0.06, "0.1 mm short"}, {"mm", 0, ""},
	} {
		if got := rounding(t, c.rounding).ErrorText(c.off); got != c.want {
			t.Errorf("to %s, %v mm is said as %q, want %q", c.rounding, c.off, got, c.want)
		}
	}
	if got := (line.Rounding{Unit: place.Foot, Denominator: 16}).ErrorText(1); got != "0.039 in long" {
		t.Errorf("in feet and inches a millimetre is said as %q", got)
	}
}

// The distance that is spelt is the one from the end that is said: it lies that far from
// there on the canvas.
func TestEndsOfEdges(t *testing.T) {
	s := draw(t, "diagonals:2,divide:5x3", "36x24in")
	for _, corner := range corners {
		for _, m := range line.Chalk(s, corner, rounding(t, "1/32")).Marks {
			from := map[string]place.MM{"left": m.At.X, "right": s.Canvas.Width - m.At.X, "top": m.At.Y, "bottom": s.Canvas.Height - m.At.Y}
			if off := from[m.Edge.End(corner)] - m.Chalk; max(off, -off) > 25.4/64+1e-9 {
				t.Errorf("%s lies %v mm off the %s from the %s", m.Name, off, m.Text, m.Edge.End(corner))
			}
		}
	}
	for edge, want := range map[line.Edge]string{
		line.Top: "top edge, from the right", line.Bottom: "bottom edge, from the right",
		line.Left: "left edge, from the top", line.Right: "right edge, from the top",
	} {
		if got := edge.Heading(place.Edges{Right: true}); got != want {
			t.Errorf("from the top right the heading is %q, want %q", got, want)
		}
	}
}
