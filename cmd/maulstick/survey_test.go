package main

import (
	"math"
	"os"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/survey"
)

// surveyed is what the tablet answers about the demo's photograph: on its small copy,
// where the commands read every pixel.
func surveyed(t *testing.T, a survey.Ask) survey.Answer {
	t.Helper()
	data, err := os.ReadFile(demo)
	if err != nil {
		t.Fatal(err)
	}
	opened, err := photo.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	y := photo.NewPyramid(opened.Picture)
	y.Finish()
	if a.Crop = place.WholeCrop(opened.Picture.Size()); a.Canvas.Width > 0 {
		a.Crop = place.CentredCrop(opened.Picture.Size(), a.Canvas)
	}
	if a.Steps, err = shape.EqualSteps(5); err != nil {
		t.Fatal(err)
	}
	found, err := survey.New(survey.NewCopy(y, 0, 0, 1, a.Crop)).Answer(a, nil)
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// The tablet says of warm and cool, of opposites and of the red filter what the
// commands say.
func TestSurveyedTonesAreTheCommands(t *testing.T) {
	found := surveyed(t, survey.Ask{Kind: survey.Tones}).Tones
	said := askJSON(t, "temperature", "-reference", demo)
	equal(t, said, map[string]any{"verdict": found.Verdict, "neutral": map[bool]string{true: "found", false: "white"}[found.Found]})
	near(t, said, "lights", float64(found.Lights.Warmth), 0.5)
	near(t, said, "shadows", float64(found.Shadows.Warmth), 0.5)
	near(t, said, "lights_share", found.Lights.Area, 0.01)
	near(t, said, "shadows_share", found.Shadows.Area, 0.01)
	near(t, said, "lights_coloured_share", found.Lights.Coloured, 0.01)
	near(t, said, "shadows_coloured_share", found.Shadows.Coloured, 0.01)
	for i, v := range []uint8{found.Neutral.R, found.Neutral.G, found.Neutral.B} {
		if got := said["neutral_rgb"].([]any)[i].(float64); math.Abs(got-float64(v)) > 2 {
			t.Errorf("the neutral is %v and %v", said["neutral_rgb"], found.Neutral)
		}
	}
	misled := askJSON(t, "redfilter", "-reference", demo)
	near(t, misled, "half_step_share", found.Misled.Half(), 0.01)
	near(t, misled, "whole_step_share", found.Misled.Whole(), 0.01)
	near(t, misled, "half_step_lighter_share", found.Misled.HalfLighter+found.Misled.WholeLighter, 0.01)
	near(t, misled, "whole_step_darker_share", found.Misled.WholeDarker, 0.01)
	if pairs := askJSON(t, "opposites", "-reference", demo)["pairs"].([]any); len(pairs) != len(found.Pairs) {
		t.Errorf("there are %d and %d pairs of opposites", len(pairs), len(found.Pairs))
	}
}

// The tablet finds the piles that the command finds.
func TestSurveyedPilesAreTheCommands(t *testing.T) {
	found := surveyed(t, survey.Ask{Kind: survey.Piles, Each: 2}).Piles
	said := askJSON(t, "piles", "-reference", demo, "-n", "5", "-piles", "2")["steps"].([]any)
	if len(said) != len(found.Steps) {
		t.Fatalf("piles of %d and %d steps", len(said), len(found.Steps))
	}
	for k, step := range found.Steps {
		fields := said[k].(map[string]any)
		near(t, fields, "area_share", step.Share, 0.01)
		near(t, fields, "grey_code", float64(step.Grey), 0)
		piles := fields["piles"].([]any)
		if len(piles) != len(step.Piles) {
			t.Errorf("step %d has %d and %d piles", k+1, len(piles), len(step.Piles))
			continue
		}
		for i, p := range step.Piles {
			fields := piles[i].(map[string]any)
			near(t, fields, "area_share", p.Share, 0.015)
			near(t, fields, "munsell_value", float64(p.Value), 0.1)
			rgb := fields["rgb"].([]any)
			c := colour.SRGB{R: uint8(rgb[0].(float64)), G: uint8(rgb[1].(float64)), B: uint8(rgb[2].(float64))}
			if off := c.Lab().Difference(p.Colour.Lab()); off > 2 {
				t.Errorf("pile %d of step %d is %v and %v", i+1, k+1, c, p.Colour)
			}
		}
	}
}

// The tablet finds the flat shapes that the command finds, in the same order.
func TestSurveyedShapesAreTheCommands(t *testing.T) {
	canvas := place.Size{Width: 600, Height: 400, Unit: place.Centimetre}
	found := surveyed(t, survey.Ask{Kind: survey.Flat, Canvas: canvas, Smallest: 30}).Flat
	said := askJSON(t, "shapes", "-reference", demo, "-canvas", "60x40cm", "-n", "5", "-smallest", "30mm")
	near(t, said, "count", float64(found.Count), 0)
	shapes := said["shapes"].([]any)
	if len(shapes) != len(found.Shapes) {
		t.Fatalf("%d and %d shapes are told", len(shapes), len(found.Shapes))
	}
	for i, s := range found.Shapes {
		fields := shapes[i].(map[string]any)
		near(t, fields, "step", float64(s.Step), 0)
		near(t, fields, "area_mm2", s.Area, 1e-6)
		near(t, fields, "area_share", s.Share, 1e-12)
		near(t, fields, "munsell_value", float64(s.Value), 1e-9)
		near(t, fields, "order", float64(s.Order), 0)
		near(t, fields, "x_px", s.At.X, 1)
		near(t, fields, "y_px", s.At.Y, 1)
	}
}

// The tablet's cleaned steps cover what the command's do.
func TestSurveyedCleanIsTheCommands(t *testing.T) {
	canvas := place.Size{Width: 600, Height: 400, Unit: place.Centimetre}
	found := surveyed(t, survey.Ask{Kind: survey.Clean, Canvas: canvas, Smallest: 5}).Clean
	said := askJSON(t, "steps", "-reference", demo, "-canvas", "60x40cm", "-n", "5", "-clean", "5mm")
	for k, share := range found.Shares {
		if got := said["area_share"].([]any)[k].(float64); math.Abs(got-share) > 0.01 {
			t.Errorf("step %d covers %v and %v", k+1, got, share)
		}
	}
	near(t, said, "mean_error_lightness", float64(found.MeanError), 0.2)
}

// The tablet tells as much of the edges lost, soft, firm and sharp as the command,
// which measures on more pixels and so sees a little more sharpness.
func TestSurveyedEdgesAreTheCommands(t *testing.T) {
	canvas := place.Size{Width: 600, Height: 400, Unit: place.Centimetre}
	found := surveyed(t, survey.Ask{Kind: survey.Edges, Canvas: canvas, Smallest: 25}).Edges
	said := askJSON(t, "edges", "-reference", demo, "-canvas", "60x40cm", "-smallest", "25mm")
	shares := said["shares"].(map[string]any)
	near(t, shares, "lost", found.Shares.Lost, 0.1)
	near(t, shares, "soft", found.Shares.Soft, 0.1)
	near(t, shares, "firm", found.Shares.Firm, 0.1)
	near(t, shares, "sharp", found.Shares.Sharp, 0.1)
	if contrasts := said["contrasts"].([]any); len(contrasts) != len(found.Contrasts) {
		t.Errorf("%d and %d contrasts are told", len(contrasts), len(found.Contrasts))
	}
}
