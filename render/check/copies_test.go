package check

import (
	"math"
	"testing"

	"maulstick/render/card"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// asked is what is made of a photograph of a painting, with the cards shown on it if any.
func asked(t *testing.T, reference, shot *photo.Picture, canvas place.Size, cards *card.Calibration) Report {
	t.Helper()
	steps, err := shape.EqualSteps(5)
	if err != nil {
		t.Fatal(err)
	}
	q := Question{Reference: reference, Crop: place.WholeCrop(reference.Size()), Painting: shot, Canvas: canvas, Steps: steps}
	if cards != nil {
		q.True = cards.True
	}
	r, err := Run(q)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Of a perfect copy, photographed by chance, the corners are found within 2 pixels or
// the canvas is declined; no slip and no value is told to be off, and the whole is in
// place.
func TestPerfectCopies(t *testing.T) {
	var right, wrong, invented, alarms, shapes int
	declined := map[string]int{}
	for seed := range seeds() {
		reference, s, _ := scene(t, seed, place.Pixels{Width: 1600, Height: 1200})
		report := asked(t, reference, s.shoot(t, reference), s.canvas, nil)
		if reason := report.Declined.Reason; reason != "" {
			declined[reason]++
			t.Logf("scene %d: %s", seed, reason)
		}
		if report.Canvas.Found {
			off := quadApart(report.Canvas.Corners, s.corners())
			t.Logf("scene %d: corners %.2f px off, within %.2f, bow %.3f for %.3f", seed, off, report.Canvas.Within, report.Canvas.Bow.K, s.k1)
			if off <= 2 {
				right++
			} else {
				wrong++
			}
		}
		if report.Nothing {
			continue
		}
		d := report.Drawing
		shapes += len(report.Values.Shapes)
		for _, v := range report.Values.Shapes {
			if v.Off() {
				alarms++
				t.Logf("scene %d: L* %.0f, %.3f of it, told %+.2f steps off within %.2f", seed, v.Reference, v.Share, v.Difference, v.Within)
			}
		}
		t.Logf("scene %d: %d matches, whole %+.2f, spread %.2f, slips %+v", seed, len(d.Matches), d.Whole, d.Spread, d.Slips)
		invented += len(d.Slips)
		if math.Hypot(float64(d.Whole.DX), float64(d.Whole.DY)) > 2 || math.Abs(d.Whole.Turn) > 0.2 || math.Abs(d.Whole.Across-1) > 0.006 || math.Abs(d.Whole.Down-1) > 0.006 {
			t.Errorf("scene %d: the whole is told to be %+v off", seed, d.Whole)
		}
	}
	t.Logf("of %d canvases %d were found within 2 pixels, %d elsewhere", *scenes, right, wrong)
	t.Logf("on %d perfect copies %d slips were invented, and of %d values %d told to be off; declined: %v", *scenes, invented, shapes, alarms, declined)
	if invented > 0 || wrong > 0 {
		t.Errorf("%d slips were invented on perfect copies, %d canvases found in the wrong place", invented, wrong)
	}
	if float64(alarms) > 0.02*float64(shapes) {
		t.Errorf("%d of %d right values were told to be off", alarms, shapes)
	}
	if right*10 < *scenes*8 {
		t.Errorf("only %d of %d canvases were found", right, *scenes)
	}
}
