package main

import (
	"image/color"
	"math"
	"path/filepath"
	"strings"
	"testing"
)

// list is a list of numbers of the JSON.
func list(t *testing.T, fields map[string]any, name string) []float64 {
	t.Helper()
	got, ok := fields[name].([]any)
	if !ok {
		t.Fatalf("%s is %v", name, fields[name])
	}
	var numbers []float64
	for _, n := range got {
		numbers = append(numbers, n.(float64))
	}
	return numbers
}

// Greys of L* 10, 30, 50, 70, 90 and 90 again (27, 71, 119, 171, 226 by CIE 15 and
// IEC 61966-2-1) leave the error of what is in a step about its mean: by the best
// fit in two steps, 10, 30 and 50 about 30, and 70, 90, 90 about 83 1/3.
func TestStepsFittedToGreys(t *testing.T) {
	name := greys(t, []uint8{27, 71, 119, 171, 226, 226}, 10, 6)
	fields := askJSON(t, "steps", "-reference", name, "-n", "2", "-fit", "best")
	numbers(t, fields, "area_share", 0.5, 0.5)
	near(t, fields, "mean_error_lightness", math.Sqrt((400+0+400+177.78+44.44+44.44)/6), 0.1)
	if e := list(t, fields, "edges_lightness"); len(e) != 1 || e[0] < 58 || e[0] > 62 {
		t.Errorf("the edge lies at %v, want the middle between 50 and 70", e)
	}
	equal(t, fields, map[string]any{"fit": "best", "notan": "notan of two: dark and light"})
	fields = askJSON(t, "steps", "-reference", name, "-n", "3", "-fit", "area")
	numbers(t, fields, "area_share", 2.0/6, 2.0/6, 2.0/6)
	fields = askJSON(t, "steps", "-reference", name, "-n", "5", "-fit", "best")
	near(t, fields, "mean_error_lightness", 0, 1e-9)
	numbers(t, fields, "grey_code", 27, 71, 119, 171, 226)
}

// Cards of the values 3, 5 and 7 part at the middles of their lightnesses; from
// the polynomial of ASTM D1535 (6.39, 19.27 and 41.99 per cent of light) and CIE 15
// these are L* 30.38, 51.00 and 70.86.
func TestStepsOfCards(t *testing.T) {
	name := greys(t, []uint8{27, 71, 119, 171, 226}, 4, 4)
	fields := askJSON(t, "steps", "-reference", name, "-fit", "cards", "-cards", "3,5,7", "-n", "3")
	for i, want := range []float64{(30.38 + 51.00) / 2, (51.00 + 70.86) / 2} {
		if e := list(t, fields, "edges_lightness"); len(e) != 2 || math.Abs(e[i]-want) > 0.01 {
			t.Errorf("the edges are %v, want %v there", e, want)
		}
	}
	numbers(t, fields, "area_share", 0.4, 0.2, 0.4)
	near(t, fields, "mean_error_lightness", math.Sqrt((20.38*20.38+0.38*0.38+1.0*1.0+0.86*0.86+19.14*19.14)/5), 0.1)
}

// Empty steps are said, in JSON and as text.
func TestEmptyStepsAreSaid(t *testing.T) {
	name := greys(t, []uint8{27, 226}, 4, 4)
	for _, fit := range []string{"equal", "best", "area"} {
		fields := askJSON(t, "steps", "-reference", name, "-fit", fit, "-n", "4")
		notes, _ := fields["notes"].([]any)
		if empty := list(t, fields, "empty_steps"); len(empty) != 2 || len(notes) != 1 || !strings.Contains(notes[0].(string), "are empty") {
			t.Errorf("-fit %s: empty %v, notes %v", fit, empty, notes)
		}
	}
	if _, text, _ := ask("steps", "-reference", name, "-n", "4"); !strings.Contains(text, "steps 2 and 3 are empty") {
		t.Errorf("the text is %q", text)
	}
}

// On the demo photograph the best fit strays less than every other at every number
// of steps; each step's fields agree with the lists; shares sum to 1.
func TestFitsOfAPhotograph(t *testing.T) {
	for _, n := range []string{"2", "5", "9"} {
		best := askJSON(t, "steps", "-reference", demo, "-n", n, "-fit", "best")
		least := best["mean_error_lightness"].(float64)
		for _, fit := range []string{"equal", "area"} {
			other := askJSON(t, "steps", "-reference", demo, "-n", n, "-fit", fit)
			if e := other["mean_error_lightness"].(float64); e <= least {
				t.Errorf("%s steps: -fit %s strays by %v, the best fit by %v", n, fit, e, least)
			}
		}
		sum := 0.0
		for i, share := range list(t, best, "area_share") {
			step := best["each_step"].([]any)[i].(map[string]any)
			near(t, step, "area_share", share, 0)
			if from, to, mean := step["from_lightness"].(float64), step["to_lightness"].(float64), step["mean_lightness"].(float64); from > mean || mean > to {
				t.Errorf("step %d reaches from %v to %v and has a mean of %v", i+1, from, to, mean)
			}
			sum += share
		}
		if math.Abs(sum-1) > 1e-12 {
			t.Errorf("the shares sum to %v", sum)
		}
	}
	key := askJSON(t, "steps", "-reference", demo)["key"].(map[string]any)
	equal(t, key, map[string]any{"level": "middle", "spread": "wide"})
}

// Cleaning takes specks away in the picture that is written and in the shares: on
// a canvas of 40 cm for 40 pixels a centimetre is one of them.
func TestCleanSteps(t *testing.T) {
	codes := make([]uint8, 40)
	for i := range codes {
		codes[i] = 119
	}
	codes[20] = 226
	name := greys(t, codes, 1, 2) // a speck of 1 x 2 pixels
	output := filepath.Join(t.TempDir(), "clean.png")
	for _, c := range []struct {
		clean string
		share float64
		shown uint8
	}{{"1px", 1.0 / 40, 226}, {"2px", 0, 119}, {"1cm", 1.0 / 40, 226}, {"2cm", 0, 119}} {
		fields := askJSON(t, "steps", "-reference", name, "-canvas", "40x2cm", "-clean", c.clean, "-o", output)
		if got := list(t, fields, "area_share")[4]; math.Abs(got-c.share) > 1e-12 {
			t.Errorf("-clean %s leaves a share of %v, want %v", c.clean, got, c.share)
		}
		if got := color.GrayModel.Convert(readPNG(t, output).At(20, 1)).(color.Gray).Y; got != c.shown {
			t.Errorf("-clean %s shows the speck as %d, want %d", c.clean, got, c.shown)
		}
	}
}

// The histogram by grey code is told when asked for, and only then.
func TestHistogramOfGreys(t *testing.T) {
	name := greys(t, []uint8{0, 7, 7, 255}, 3, 2)
	codes := list(t, askJSON(t, "steps", "-reference", name, "-histogram"), "grey_code_pixels")
	if len(codes) != 256 || codes[0] != 6 || codes[7] != 12 || codes[255] != 6 {
		t.Errorf("the codes are %v", codes)
	}
	if _, there := askJSON(t, "steps", "-reference", name)["grey_code_pixels"]; there {
		t.Error("the histogram is told unasked")
	}
}
