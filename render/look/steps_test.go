package look

import (
	"math"
	"testing"

	"maulstick/render/colour"
)

// TestStepsFollowLightness: the step shown is the one that the lightness by
// float64 (CIE 15) falls into, edges at 100*k/N, and its grey is that of the
// step's middle. Lightnesses within 1e-5 of an edge are left to the edge's own
// test in package colour.
func TestStepsFollowLightness(t *testing.T) {
	for n := 2; n <= 9; n++ {
		checked := 0
		for i := 0; i < 1<<24; i += 997 {
			c := colour.SRGB{R: uint8(i >> 16), G: uint8(i >> 8), B: uint8(i)}
			at := float64(c.Lightness()) * float64(n) / 100
			if math.Abs(at-math.Round(at)) < 1e-6*float64(n) {
				continue
			}
			checked++
			step := min(math.Floor(at), float64(n-1))
			want := colour.GreyOf(colour.Lightness((step + 0.5) * 100 / float64(n)))
			if got := Apply(Look{Tone: Steps, Steps: n}, colour.SRGB{}, c); got != want {
				t.Fatalf("%d steps: %v of L* %.4f is shown as %v, want %v", n, c, c.Lightness(), got, want)
			}
		}
		if checked < 16000 {
			t.Errorf("%d steps: only %d colours were checked", n, checked)
		}
	}
}

// TestWhatIsKept isolates a step in each way and looks at every step's grey: the
// rest falls back to the surround.
func TestWhatIsKept(t *testing.T) {
	surround := colour.SRGB{R: 100, G: 100, B: 100}
	for keep, kept := range map[Keep]string{KeepAll: "12345", KeepOnly: "2", KeepDarker: "12", KeepLighter: "2345"} {
		l := Look{Tone: Steps, Steps: 5, Keep: keep, Step: 2}
		shown := ""
		for k := 1; k <= 5; k++ {
			tone := colour.GreyOf(colour.Lightness(20*k - 10))
			switch got := Apply(l, surround, tone); got {
			case tone:
				shown += string(rune('0' + k))
			case surround:
			default:
				t.Errorf("keep %d: step %d is shown as %v", keep, k, got)
			}
		}
		if shown != kept {
			t.Errorf("keep %d: steps %s are in sight, want %s", keep, shown, kept)
		}
	}
}

// TestWrongNumbersOfSteps: a look out of range is shown in as many steps as are
// allowed and never fails.
func TestWrongNumbersOfSteps(t *testing.T) {
	c := colour.SRGB{R: 130, G: 90, B: 60}
	for wrong, right := range map[int]int{-1: 2, 0: 2, 1: 2, 10: 9, 1000: 9} {
		got := Apply(Look{Tone: Steps, Steps: wrong}, colour.SRGB{}, c)
		if want := Apply(Look{Tone: Steps, Steps: right}, colour.SRGB{}, c); got != want {
			t.Errorf("%d steps show %v, want %v", wrong, got, want)
		}
	}
}
