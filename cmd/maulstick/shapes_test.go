package main

import (
	"image"
	"image/color"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// tiles writes a PNG for a canvas of 36 x 24 in, fifty pixels an inch: a ground of
// L* 70, on it a box of 12 x 10 in of L* 30, a disc 6 in across of L* 90, and a
// speck half an inch wide. Codes by CIE 15 and IEC 61966-2-1.
func tiles(t *testing.T) string {
	t.Helper()
	m := image.NewNRGBA(image.Rect(0, 0, 1800, 1200))
	for i := range 1800 * 1200 {
		x, y := i%1800, i/1800
		c := color.NRGBA{171, 171, 171, 255}
		switch {
		case x >= 100 && x < 700 && y >= 100 && y < 600:
			c = color.NRGBA{71, 71, 71, 255}
		case math.Hypot(float64(x)-1199.5, float64(y)-599.5) < 150:
			c = color.NRGBA{226, 226, 226, 255}
		case x >= 900 && x < 925 && y >= 1000 && y < 1025:
			c = color.NRGBA{71, 71, 71, 255}
		}
		m.SetNRGBA(x, y, c)
	}
	return saved(t, "tiles.png", m)
}

// Areas and places are elementary geometry: 120 sq in, 9 pi sq in, and the rest.
func TestShapesOfTiles(t *testing.T) {
	name := tiles(t)
	folder := t.TempDir()
	output, drawing := filepath.Join(folder, "shapes.png"), filepath.Join(folder, "shapes.svg")
	fields := askJSON(t, "shapes", "-reference", name, "-canvas", "36x24in", "-n", "5", "-smallest", "2in", "-o", output, "-svg", drawing)
	near(t, fields, "count", 3, 0)
	near(t, fields, "smallest_mm", 50.8, 1e-9)
	near(t, fields, "smallest_area_mm2", math.Pi*25.4*25.4, 1e-6)
	near(t, fields, "squint_mm", 12.7, 1e-9)
	list := fields["shapes"].([]any)
	const sqIn = 25.4 * 25.4
	for i, want := range []struct {
		area       float64
		step, grey float64
		order      float64
	}{{864 - 120 - 9*math.Pi, 4, 171, 1}, {120, 2, 71, 2}, {9 * math.Pi, 5, 226, 3}} {
		s := list[i].(map[string]any)
		near(t, s, "step", want.step, 0)
		near(t, s, "area_mm2", want.area*sqIn, 0.01*want.area*sqIn)
		near(t, s, "area_share", want.area/864, 0.01*want.area/864)
		near(t, s, "order", want.order, 0)
		for _, code := range s["rgb"].([]any) {
			if math.Abs(code.(float64)-want.grey) > 1 {
				t.Errorf("shape %d is %v, want grey %v", i, s["rgb"], want.grey)
			}
		}
	}
	disc := list[2].(map[string]any)
	for name, want := range map[string]float64{"x_mm": 24 * 25.4, "y_mm": 12 * 25.4, "x_px": 1200, "y_px": 600} {
		near(t, disc, name, want, 6)
	}
	working := fields["working_px"].(map[string]any)
	if n := working["width"].(float64) * working["height"].(float64); n > 2e6 || n < 1.9e6 {
		t.Errorf("the working copy is %v", working)
	}
	picture := readPNG(t, output)
	if got := picture.At(picture.Bounds().Dx()*2/3, picture.Bounds().Dy()/2); color.GrayModel.Convert(got).(color.Gray).Y != 226 {
		t.Errorf("the middle of the disc is painted %v", got)
	}
	svg, err := os.ReadFile(drawing)
	if err != nil || !strings.Contains(string(svg), `width="914.4mm" height="609.6mm"`) || strings.Count(string(svg), "<path") != 3 {
		t.Errorf("the drawing begins %.200q: %v", svg, err)
	}
}

func TestShapesAsAsked(t *testing.T) {
	few := askJSON(t, "shapes", "-reference", demo, "-canvas", "36x24in", "-count", "5")
	if n := few["count"].(float64); n < 4 || n > 6 {
		t.Errorf("asked for 5 shapes, got %v", n)
	}
	// The fig's stem is the focal point.
	for when, order := range map[string]float64{"first": 1, "last": few["count"].(float64)} {
		fields := askJSON(t, "shapes", "-reference", demo, "-canvas", "36x24in", "-count", "5", "-focal", "1200,800", "-focal-area", when)
		found := false
		for _, s := range fields["shapes"].([]any) {
			s := s.(map[string]any)
			found = found || s["order"].(float64) == order && math.Hypot(s["x_px"].(float64)-1200, s["y_px"].(float64)-800) < 800
		}
		if !found {
			t.Errorf("with the focal area %s no shape near it has place %v", when, order)
		}
	}
	_, text, _ := ask("shapes", "-reference", demo, "-canvas", "36x24in", "-smallest", "4in")
	if !strings.Contains(text, "none under a disc 4 in across") || !strings.Contains(text, "from the left") {
		t.Errorf("the text is %q", text)
	}
}
