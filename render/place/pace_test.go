package place

import (
	"math"
	"testing"
)

// A letter that an eye of full sight just reads at 20 ft, the 20/20 line, is five
// minutes of arc tall, 8.87 mm, and its strokes one minute (Snellen's rule; ISO
// 8596 has the same minute for the gap of a ring).
func TestBlurOfTheTwentyTwentyLine(t *testing.T) {
	paces := float64(20 * Foot.MM() / Pace)
	if got := BlurFrom(paces, SharpSight); math.Abs(float64(got)-8.87/5) > 0.001 {
		t.Errorf("from 20 ft details of %v mm run together, want 1.774", got)
	}
	if got := BlurFrom(paces, SquintedSight); math.Abs(float64(got)-17.73) > 0.01 {
		t.Errorf("from 20 ft, squinted, details of %v mm run together, want 17.73", got)
	}
}

func TestPacesThereAndBack(t *testing.T) {
	for _, paces := range []float64{0.1, 1, 3, 10, 40} {
		for _, minutes := range []float64{SharpSight, SquintedSight} {
			if got := PacesOf(BlurFrom(paces, minutes), minutes); math.Abs(got-paces) > 1e-12*paces {
				t.Errorf("%v paces come back as %v", paces, got)
			}
		}
	}
	nan := math.NaN()
	for _, bad := range []float64{0, -1, nan} {
		if BlurFrom(bad, 1) != 0 || BlurFrom(1, bad) != 0 || PacesOf(MM(bad), 1) != 0 || PacesOf(1, bad) != 0 {
			t.Errorf("%v paces or minutes give something", bad)
		}
	}
	if b := BlurFrom(math.Inf(1), 1); b != 0 {
		t.Errorf("endless paces blur by %v", b)
	}
}
