package shape

import (
	"math"
	"testing"

	"maulstick/render/colour"
)

// The edges and middles of five steps are the project's convention: equal
// parts of CIE L*.
func TestFiveEqualSteps(t *testing.T) {
	s, err := EqualSteps(5)
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range []colour.Lightness{20, 40, 60, 80} {
		if got := s.Edges()[k]; got != want {
			t.Errorf("edge %d lies at L* %v, want %v", k+1, got, want)
		}
	}
	if n := len(s.Edges()); n != 4 {
		t.Errorf("5 steps have %d edges, want 4", n)
	}
	// Codes of the greys of L* 10, 30, 50, 70, 90, by CIE 15 and IEC 61966-2-1:
	// L* 50 is Y 0.18419, encoded 118.9; the others worked out in the same way.
	for k, want := range []uint8{27, 71, 119, 171, 226} {
		if got := s.Middle(k + 1); got != colour.Lightness(10+20*k) {
			t.Errorf("the middle of step %d is L* %v", k+1, got)
		}
		if got := s.Tone(k + 1); got != want {
			t.Errorf("step %d is shown as code %d, want %d", k+1, got, want)
		}
	}
}

func TestNumberOfSteps(t *testing.T) {
	for n := -1; n <= 12; n++ {
		s, err := EqualSteps(n)
		if allowed := n >= 2 && n <= 9; allowed != (err == nil) {
			t.Errorf("EqualSteps(%d) gives error %v", n, err)
		} else if allowed && (s.Count() != n || len(s.Edges()) != n-1 || len(s.Thresholds()) != n-1) {
			t.Errorf("EqualSteps(%d) has %d steps, %d edges, %d thresholds", n, s.Count(), len(s.Edges()), len(s.Thresholds()))
		}
	}
}

// Every grey falls into the step that its lightness, worked out here from the
// two standards alone, belongs to; white and black fall into the end steps.
func TestStepOfEveryGrey(t *testing.T) {
	for n := FewestSteps; n <= MostSteps; n++ {
		s, err := EqualSteps(n)
		if err != nil {
			t.Fatal(err)
		}
		for code := range 256 {
			want := min(int(greyLightness(code)*float64(n)/100)+1, n)
			got := s.Of(colour.EyeMeter.Read(uint8(code), uint8(code), uint8(code)))
			if got != want {
				t.Errorf("of %d steps grey %d (L* %.4f) falls into %d, want %d", n, code, greyLightness(code), got, want)
			}
		}
	}
}

// greyLightness is CIE 15 L* of an IEC 61966-2-1 grey.
func greyLightness(code int) float64 {
	e := float64(code) / 255
	y := e / 12.92
	if e > 0.04045 {
		y = math.Pow((e+0.055)/1.055, 2.4)
	}
	if y <= 216.0/24389 {
		return y * 24389 / 27
	}
	return 116*math.Cbrt(y) - 16
}

// A light on an edge belongs to the lighter step, one below it to the darker.
func TestTiesGoToTheLighterStep(t *testing.T) {
	for n := FewestSteps; n <= MostSteps; n++ {
		s, err := EqualSteps(n)
		if err != nil {
			t.Fatal(err)
		}
		for k, threshold := range s.Thresholds() {
			edge := s.Edges()[k]
			if threshold.Lightness() < edge || (threshold-1).Lightness() >= edge {
				t.Errorf("threshold %d of %d steps is not the first light of L* %v", k+1, n, edge)
			}
			if s.Of(threshold) != k+2 || s.Of(threshold-1) != k+1 {
				t.Errorf("at edge %d of %d steps: on it step %d, below it step %d", k+1, n, s.Of(threshold), s.Of(threshold-1))
			}
		}
	}
}
