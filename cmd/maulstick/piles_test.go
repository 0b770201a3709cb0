package main

import (
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"maulstick/render/colour"
)

// listOf is a list of objects of the JSON.
func listOf(t *testing.T, fields map[string]any, name string) []map[string]any {
	t.Helper()
	all, ok := fields[name].([]any)
	if !ok {
		t.Fatalf("%s is %v, want a list", name, fields[name])
	}
	list := make([]map[string]any, len(all))
	for i, one := range all {
		list[i] = one.(map[string]any)
	}
	return list
}

// Flat colours of known names come back as the piles of their steps, with a
// pixel of each: names as the ColorChecker's orange, green and purplish blue
// have them, and the lightness by CIE 15.
func TestPilesOfFlatColours(t *testing.T) {
	colours := []color.RGBA{{214, 126, 44, 255}, {70, 148, 73, 255}, {80, 91, 166, 255}, {85, 85, 85, 255}}
	m := image.NewRGBA(image.Rect(0, 0, 80, 20))
	for i := range 80 * 20 {
		m.SetRGBA(i%80, i/80, colours[i%80/20])
	}
	name := filepath.Join(t.TempDir(), "flat.png")
	file, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := png.Encode(file, m); err != nil {
		t.Fatal(err)
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
	fields := askJSON(t, "piles", "-reference", name, "-n", "5")
	want := map[string][]float64{ // step, share, column from and to, lightness
		"strong orange":          {4, 0.25, 0, 20, 61.0},
		"strong yellowish green": {3, 0.25, 20, 40, 55.3},
		"strong purplish blue":   {3, 0.25, 40, 60, 40.8},
		"dark grey":              {2, 0.25, 60, 80, 36.1},
	}
	for k, step := range listOf(t, fields, "steps") {
		near(t, step, "step", float64(k+1), 0)
		for _, p := range listOf(t, step, "piles") {
			w, ok := want[p["name"].(string)]
			if !ok {
				t.Errorf("step %d has the pile %v", k+1, p)
				continue
			}
			delete(want, p["name"].(string))
			near(t, step, "step", w[0], 0)
			near(t, p, "area_share", w[1], 1e-12)
			near(t, p, "x_px", (w[2]+w[3])/2, 8)
			near(t, p, "lightness", w[4], 0.6)
			x, y := int(p["x_px"].(float64)), int(p["y_px"].(float64))
			rgb := p["rgb"].([]any)
			if at := m.RGBAAt(x, y); float64(at.R) != rgb[0] || float64(at.G) != rgb[1] || float64(at.B) != rgb[2] {
				t.Errorf("%v is told as %v", at, rgb)
			}
		}
	}
	if len(want) != 0 {
		t.Errorf("no pile is %v", want)
	}
	equal(t, fields, map[string]any{"name_system": colour.NameSystem})
}

// On a photograph the piles of each step share out what "steps" tells of it,
// the number asked for is given, and the chart is written.
func TestPilesOfAPhotograph(t *testing.T) {
	output := filepath.Join(t.TempDir(), "palette.png")
	fields := askJSON(t, "piles", "-reference", demo, "-canvas", "36x24in", "-n", "4", "-piles", "3", "-o", output)
	shares := askJSON(t, "steps", "-reference", demo, "-canvas", "36x24in", "-n", "4")["area_share"].([]any)
	for k, step := range listOf(t, fields, "steps") {
		near(t, step, "area_share", shares[k].(float64), 0)
		sum, list := 0.0, listOf(t, step, "piles")
		for _, p := range list {
			sum += p["area_share"].(float64)
			if v := p["munsell_value"].(float64); v < 0 || v > 10 {
				t.Errorf("a pile has value %v", v)
			}
		}
		if len(list) != 3 || math.Abs(sum-shares[k].(float64)) > 1e-14 {
			t.Errorf("step %d has %d piles of %v together, want 3 of %v", k+1, len(list), sum, shares[k])
		}
	}
	if b := readPNG(t, output).Bounds(); b.Dx() != 1920 || b.Dy() < 4*200 {
		t.Errorf("the chart is %v", b)
	}
	_, text, _ := ask("piles", "-reference", demo)
	if !strings.Contains(text, "step 3") || !strings.Contains(text, "orange") || !strings.Contains(text, "ISCC-NBS") {
		t.Errorf("the text is %q", text)
	}
}

func TestPilesRefusals(t *testing.T) {
	for _, c := range []struct {
		want string
		args []string
	}{
		{"10 piles", []string{"-reference", demo, "-piles", "10"}},
		{"-1 piles", []string{"-reference", demo, "-piles", "-1"}},
		{"1 steps", []string{"-reference", demo, "-n", "1"}},
		{"-reference is missing", nil},
		{"the photograph itself", []string{"-reference", demo, "-crop", "0,0,50,50", "-o", demo}},
		{"no whole pixel", []string{"-reference", demo, "-crop", "1.6,1.6,0.2,0.2", "-o", filepath.Join(t.TempDir(), "palette.png")}},
	} {
		status, out, complaint := ask(append([]string{"piles"}, c.args...)...)
		if status == 0 || out != "" || !strings.Contains(complaint, c.want) || !strings.Contains(complaint, "\nhint: ") {
			t.Errorf("%v ends with %d, writes %q and says %q", c.args, status, out, complaint)
		}
	}
}
