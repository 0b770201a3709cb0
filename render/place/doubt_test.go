package place_test

import (
	"testing"

	"maulstick/render/place"
)

// The doubt about figures is theirs and what spelling rounds away, rounded up to
// sixteenths or millimetres: worked by hand.
func TestWithinText(t *testing.T) {
	const inch = 25.4
	for _, c := range []struct {
		doubt   place.MM
		unit    place.Unit
		figures []place.MM
		want    string
	}{
		{0.01, place.Inch, nil, "1/16 in"}, {inch / 16, place.Inch, nil, "1/16 in"}, {inch/16 + 0.001, place.Inch, nil, "1/8 in"},
		{24, place.Inch, nil, "1 in"}, {0, place.Foot, nil, "1/16 in"}, {320, place.Foot, nil, "1 ft 5/8 in"},
		{17.0 / 64 * inch, place.Inch, []place.MM{10 * inch, 3 * inch}, "5/16 in"},
		// 10 1/64 in is spelt 10 in, a quarter of a sixteenth away: 3.9 and 0.25 are over 4.
		{3.7 / 16 * inch, place.Inch, []place.MM{10.015625 * inch}, "1/4 in"},
		{3.9 / 16 * inch, place.Inch, []place.MM{10.015625 * inch}, "5/16 in"},
		{3.9 / 16 * inch, place.Inch, []place.MM{3 * inch, -10.015625 * inch}, "5/16 in"},
		{0.2, place.Centimetre, nil, "0.1 cm"}, {1.01, place.Centimetre, nil, "0.2 cm"}, {3.2, place.Millimetre, nil, "4 mm"},
		{0.7, place.Centimetre, []place.MM{100.4}, "0.2 cm"}, {0.7, place.Centimetre, []place.MM{100.25}, "0.1 cm"},
		{0.98, place.Millimetre, []place.MM{100.04}, "2 mm"}, {1.5, place.Metre, []place.MM{2000.4}, "0.002 m"},
	} {
		if got := place.WithinText(c.doubt, c.unit, c.figures...); got != c.want {
			t.Errorf("a doubt of %v mm about %v is said as %q, want %q", c.doubt, c.figures, got, c.want)
		}
	}
	// The ends of a span, 0.3 and 0.4 mm, come to 0.5; its length of 50.2 mm is spelt 5.0 cm,
	// 0.2 mm away, and a run of 30.4 mm 3.0 cm, 0.4 mm away: 0.9 in all.
	if got := spanTo(30.4, 39.95).WithinText(place.Centimetre); got != "0.1 cm" {
		t.Errorf("a span is known within %q", got)
	}
	if got := spanTo(30.4, 40.49).WithinText(place.Centimetre); got != "0.1 cm" { // 0.5 and 0.49
		t.Errorf("a span is known within %q", got)
	}
	if got := spanTo(0.7, 40).WithinText(place.Inch); got != "1/16 in" { // 0.5 and 0.7 of 1.5875
		t.Errorf("a span is known within %q", got)
	}
}
