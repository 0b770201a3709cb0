package main

import (
	"image"
	"image/color"
	"math"
	"path/filepath"
	"strings"
	"testing"
)

// Common practice, no source: a canvas of 33 x 70 in has diagonals of 77.39 in.
// The rest is Pythagoras and the law of cosines.
func TestSquareOfAFrame(t *testing.T) {
	fields := askJSON(t, "square", "-canvas", "70x33in", "-diagonals", "77.5,77.25")
	near(t, fields, "out_mm", 0.25*25.4, 1e-9)
	near(t, fields, "nominal_mm", math.Sqrt(5989)*25.4, 1e-9)
	near(t, fields, "lean_mm", (77.25*77.25-77.5*77.5)/280*25.4, 1e-9)
	equal(t, fields, map[string]any{"square": false, "out_text": "1/4 in", "nominal_text": "77.39 in"})
	if ease := fields["ease"].([]any); len(ease) != 2 || ease[0] != "top left" || ease[1] != "bottom right" {
		t.Errorf("ease %v", ease)
	}
	for typed, want := range map[string]string{
		"77.25,77.5": "bottom left and the top right", "196.5cm,196.2": "top left and the bottom right",
		"196,2; 196,5 cm": "bottom left and the top right", "6' 5 1/2\", 77.25in": "top left and the bottom right",
		"77 7/16,77 3/8": "near enough", "77.39,77.39": "the canvas is square",
	} {
		status, text, complaint := ask("square", "-canvas", "70x33in", "-diagonals", typed)
		if status != 0 || !strings.Contains(text, want) {
			t.Errorf("%s: %q %q, want %q", typed, text, complaint, want)
		}
	}
	if _, text, _ := ask("square", "-canvas", "5'10\" x 2'9\"", "-diagonals", "77.9,77.9"); !strings.Contains(text, "1/2 in longer than the sides allow") {
		t.Errorf("diagonals that are too long: %q", text)
	} else if !strings.Contains(text, "77.39 in") {
		t.Errorf("a canvas in feet: %q", text)
	}
}

// 3-4-5 on a photograph where a pixel is a hundredth of an inch.
func TestSpanOfSpots(t *testing.T) {
	fields := askJSON(t, "span", "-photo-size", "3600x2400", "-canvas", "36x24in", "-from", "100,900", "-to", "400,500", "-unit", "10,10,10,310", "-at", "700,100")
	near(t, fields, "distance_mm", 127, 1e-9)
	near(t, fields, "run_mm", 76.2, 1e-9)
	near(t, fields, "rise_mm", 101.6, 1e-9)
	near(t, fields, "angle_from_level_deg", math.Atan2(4, 3)*180/math.Pi, 1e-9)
	near(t, fields, "angle_from_plumb_deg", math.Atan2(3, 4)*180/math.Pi, 1e-9)
	near(t, fields, "uncertainty_mm", 0.127*math.Sqrt2, 1e-9)
	near(t, fields, "angle_uncertainty_deg", math.Asin(math.Sqrt2/1000)*180/math.Pi, 1e-9)
	equal(t, fields, map[string]any{"distance_text": "5 in", "run_text": "3 in right", "rise_text": "4 in up", "direction_text": "36.9° from plumb, leaning to the right, within 0.2°", "plumb": false, "level": false})
	compared := fields["compared"].(map[string]any)
	near(t, compared, "ratio", 5.0/3, 1e-9)
	equal(t, compared, map[string]any{"text": "1 2/3", "holds": true})
	aimed := fields["aimed"].(map[string]any)
	near(t, aimed, "miss_mm", 0, 1e-9)
	near(t, aimed, "along", 2, 1e-9)
	equal(t, aimed, map[string]any{"hits": true, "behind": false})
	half := fields["half_mm"].([]any)
	if math.Abs(half[0].(float64)-2.505*25.4) > 1e-9 || math.Abs(half[1].(float64)-7.005*25.4) > 1e-9 {
		t.Errorf("the half is at %v", half)
	}
	_, text, _ := ask("span", "-photo-size", "3600x2400", "-canvas", "36x24in", "-crop", "0,0,1800,1200", "-from", "100,900", "-to", "100,500", "-at", "100,1000")
	for _, want := range []string{"8 in: 0 in right, 8 in up, within 1/16 in\nplumb, as far as can be told\n", "points away"} {
		if !strings.Contains(text, want) {
			t.Errorf("the text is %q, want %q in it", text, want)
		}
	}
	photo := askJSON(t, "span", "-reference", demo, "-canvas", "36x24in", "-from", "1200,800", "-to", "1500,800")
	near(t, photo, "distance_mm", 300.0/2572*36*25.4, 1e-9)
	equal(t, photo, map[string]any{"level": true})
}

// The demo photograph, 2572 x 1740, on canvases near its proportion.
func TestCropOfAPhotograph(t *testing.T) {
	fields := askJSON(t, "crop", "-reference", demo, "-canvas", "36x24in", "-stretchers", "-kinds", "inch")
	near(t, fields, "photo_ratio", 1740.0/2572, 1e-12)
	near(t, fields, "canvas_ratio", 2.0/3, 1e-12)
	near(t, fields, "mismatch_mm", (1740.0/2572*36-24)*25.4, 1e-9)
	equal(t, fields, map[string]any{"fits": false, "short": false, "turned": false, "mismatch_of": "photograph", "mismatch_text": "23/64 in past the far edge"})
	part := fields["crop_px"].(map[string]any)
	near(t, part, "width", 2572, 0)
	near(t, part, "height", 2572*2/3.0, 1e-9)
	near(t, part, "y", (1740-2572*2/3.0)/2, 1e-9)
	instead := fields["canvas_instead"].([]any)[0].(map[string]any)
	near(t, instead, "height_mm", 1740.0/2572*36*25.4, 1e-9)
	first := fields["stretchers"].([]any)[0].(map[string]any)
	equal(t, first, map[string]any{"name": "24 x 36 in", "text": "36 in x 24 in", "kind": "inch", "wider_mm": 0.0})
	near(t, first, "mismatch_mm", (1740.0/2572*36-24)*25.4, 1e-9)
}

// A crop by hand, locked, turned, on a canvas with a border: 30 x 20 in less 1 in
// all round is 28 x 18, with 1 in of turnover 32 x 22.
func TestCropByHandOnACanvas(t *testing.T) {
	size := []string{"-photo-size", "3000x2000", "-canvas", "30x20in"}
	fields := askJSON(t, append([]string{"crop", "-crop", "100,100,1500,1500"}, size...)...)
	near(t, fields, "crop_ratio", 1, 0)
	near(t, fields, "mismatch_mm", 254, 1e-9)
	equal(t, fields, map[string]any{"mismatch_of": "crop"})
	locked := askJSON(t, append([]string{"crop", "-crop", "100,100,1500,1500", "-lock"}, size...)...)["crop_px"].(map[string]any)
	near(t, locked, "height", 1000, 1e-9)
	near(t, locked, "y", 350, 1e-9)
	for flag, want := range map[string][2]float64{"-margin=1in": {28, 18}, "-turnover=1in": {32, 22}, "-turned": {20, 30}} {
		composed := askJSON(t, append([]string{"crop", flag}, size...)...)["composed"].(map[string]any)
		near(t, composed, "width_mm", want[0]*25.4, 1e-9)
		near(t, composed, "height_mm", want[1]*25.4, 1e-9)
	}
	// Canvases are advised by the face that is bought. Wrapped by 1 1/2 in, 36 x 73 in of 33 x
	// 70 are painted: as wide, 36 x 1740/2572 = 24.355 in are, on a canvas 21.355 in high.
	wrapped := []string{"crop", "-photo-size", "2572x1740", "-canvas", "33x70in", "-turnover", "1.5in"}
	near(t, askJSON(t, wrapped...)["canvas_instead"].([]any)[0].(map[string]any), "height_mm", (36*1740.0/2572-3)*25.4, 1e-9)
	if _, text, _ := ask(wrapped...); !strings.Contains(text, "change the canvas to 33 in x 21 3/8 in or 104 7/8 in x 70 in\n") || !strings.Contains(text, "give 70 in x 33 in") {
		t.Errorf("wrapped it is %q", text)
	}
	if _, text, _ := ask("crop", "-turned", "-photo-size", "3000x2000", "-canvas", "30x20in"); !strings.Contains(text, "note: the canvas stands upright and the photograph lies") {
		t.Errorf("turned it is %q", text)
	}
	if _, text, _ := ask("crop", "-photo-size", "3000x2000", "-canvas", "9x6m", "-stretchers"); !strings.Contains(text, "note: no stock stretcher") {
		t.Errorf("of nine metres it is %q", text)
	}
	if _, text, _ := ask("crop", "-photo-size", "92x73", "-canvas", "90x70cm", "-kinds", "figure"); !strings.Contains(text, "stretcher  30 figure, 92.0 cm x 73.0 cm: 0.79, mismatch none") {
		t.Errorf("a French canvas is %q", text)
	}
}

// Stripes leaning by 1 in 10 stand plumb once the photograph is turned by their
// own line, and the crop shows no grey of beyond the photograph.
func TestCropTurnsThePhotograph(t *testing.T) {
	m := image.NewGray(image.Rect(0, 0, 300, 200))
	for i := range m.Pix {
		x, y := float64(i%300)+0.5, float64(i/300)+0.5
		if math.Mod(x+y/10, 40) < 20 {
			m.Pix[i] = 255
		}
	}
	name, output := saved(t, "leaning.png", m), filepath.Join(t.TempDir(), "plumb.png")
	fields := askJSON(t, "crop", "-reference", name, "-canvas", "3x2in", "-plumb", "100,10,84,170", "-o", output)
	near(t, fields, "tilt_deg", -math.Atan(0.1)*180/math.Pi, 1e-9)
	part := fields["crop_px"].(map[string]any)
	sin, cos := math.Sincos(math.Atan(0.1))
	height := min(300/(1.5*cos+sin), 200/(1.5*sin+cos))
	near(t, part, "height", height, 1e-9)
	picture := readPNG(t, output)
	b := picture.Bounds()
	if b.Dx() != int(math.Round(1.5*height)) || b.Dy() != int(math.Round(height)) {
		t.Fatalf("the picture is %v", b)
	}
	for x := range b.Dx() {
		top, bottom := grey(picture, x, 1), grey(picture, x, b.Dy()-2)
		if (top == 0 && bottom == 255) || (top == 255 && bottom == 0) {
			t.Errorf("column %d goes from %d to %d", x, top, bottom)
		}
	}
	for _, corner := range [][2]int{{0, 0}, {b.Dx() - 1, 0}, {0, b.Dy() - 1}, {b.Dx() - 1, b.Dy() - 1}} {
		if c := grey(picture, corner[0], corner[1]); c == 119 {
			t.Errorf("corner %v shows what is beyond", corner)
		}
	}
	if notes := fields["notes"].([]any); !strings.Contains(notes[0].(string), "turned by 5.71 degrees anticlockwise") {
		t.Errorf("it is noted as %v", notes)
	}
	plain := filepath.Join(t.TempDir(), "plain.png")
	askJSON(t, "crop", "-reference", name, "-canvas", "3x2in", "-crop", "30,20,150,100", "-o", plain)
	cropped := readPNG(t, plain)
	for y := range 100 {
		for x := range 150 {
			if grey(cropped, x, y) != m.GrayAt(30+x, 20+y).Y {
				t.Fatalf("pixel %d,%d of a plain crop is altered", x, y)
			}
		}
	}
}

// grey is the code of a grey picture's pixel.
func grey(m image.Image, x, y int) uint8 { return color.GrayModel.Convert(m.At(x, y)).(color.Gray).Y }
