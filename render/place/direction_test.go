package place_test

import (
	"math"
	"testing"

	"maulstick/render/place"
)

// Spans known to 0.5 mm, all the way round; the doubt about their angles is the arc sine
// of 0.5 over their length.
func TestDirectionText(t *testing.T) {
	steep := place.MM(math.Sqrt(3) * 100)
	for _, c := range []struct {
		run, rise       place.MM
		ran, rose, lies string
	}{
		{400, 300, "400 mm right", "300 mm up", "36.9° from level, rising to the right, within 0.1°"}, // 36.870, 0.057 and 0.030
		{-400, 300, "400 mm left", "300 mm up", "36.9° from level, rising to the left, within 0.1°"},
		{-400, -300, "400 mm left", "300 mm down", "36.9° from level, rising to the right, within 0.1°"},
		{400, -300, "400 mm right", "300 mm down", "36.9° from level, rising to the left, within 0.1°"},
		{100, steep, "100 mm right", "173.2 mm up", "30.0° from plumb, leaning to the right, within 0.2°"}, // 0.143
		{-100, steep, "100 mm left", "173.2 mm up", "30.0° from plumb, leaning to the left, within 0.2°"},
		{-100, -steep, "100 mm left", "173.2 mm down", "30.0° from plumb, leaning to the right, within 0.2°"},
		{100, 100, "100 mm right", "100 mm up", "45.0° from level, rising to the right, within 0.3°"}, // 0.203
		{30, 40, "30 mm right", "40 mm up", "36.9° from plumb, leaning to the right, within 0.7°"},    // 0.573 and 0.030
		// atan(1/1145.9) is 0.05 degrees, spelt 0.1 and 0.05 away; asin(0.5/1145.9) is 0.025.
		{1145.9, 1, "1145.9 mm right", "1 mm up", "0.1° from level, rising to the right, within 0.1°"},
		{0.4, 100, "0.4 mm right", "100 mm up", "plumb, as far as can be told"},
		{-100, -0.4, "100 mm left", "0.4 mm down", "level, as far as can be told"},
		{0.2, 0.2, "0.2 mm right", "0.2 mm up", "too short to tell a direction"},
	} {
		s := spanTo(c.run, c.rise)
		if ran, rose := s.RunText(place.Millimetre), s.RiseText(place.Millimetre); ran != c.ran || rose != c.rose {
			t.Errorf("%v, %v is said as %q, %q, want %q, %q", c.run, c.rise, ran, rose, c.ran, c.rose)
		}
		if lies := s.DirectionText(); lies != c.lies {
			t.Errorf("%v, %v lies %q, want %q", c.run, c.rise, lies, c.lies)
		}
	}
	if text := spanTo(-42.2, 84.4).RunText(place.Inch); text != "1 11/16 in left" { // 26.58 sixteenths
		t.Errorf("in inches a run is said as %q", text)
	}
}
