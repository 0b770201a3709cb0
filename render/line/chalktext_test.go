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
