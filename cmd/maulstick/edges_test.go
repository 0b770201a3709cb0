package main

import (
	"image"
	"image/color"
	"math"
	"path/filepath"
	"strings"
	"testing"
)

// scene writes a grey PNG of the codes that a function gives and says where it is.
func scene(t *testing.T, width, height int, code func(x, y float64) float64) string {
	t.Helper()
	m := image.NewGray(image.Rect(0, 0, width, height))
	for i := range m.Pix {
		m.Pix[i] = uint8(math.Round(code(float64(i%width)+0.5, float64(i/width)+0.5)))
	}
	return saved(t, "scene.png", m)
}

// twoEdges is dark, light and dark again: a sharp edge 1.5 px wide at column 200
// and a soft one 40 px wide at column 600, from a tenth to nine tenths, which is
// 2.5631 standard deviations.
func twoEdges(t *testing.T) string {
	return scene(t, 800, 600, func(x, y float64) float64 {
		edge := func(at, width float64) float64 { return math.Erf((x - at) / (width / 2.5631 * math.Sqrt2)) }
		return 120 + 35*(edge(200, 1.5)-edge(600, 40)-1)
	})
}

// entry is one of a list of the JSON.
func entry(t *testing.T, fields map[string]any, name string, i int) map[string]any {
	t.Helper()
	list, _ := fields[name].([]any)
	if len(list) <= i {
		t.Fatalf("%s is %v", name, fields[name])
	}
	return list[i].(map[string]any)
}

// On a canvas of 40 x 30 in a pixel is 1/20 in: the edges are where they were
// made and as wide, on the photograph and on the canvas; they share the length.
func TestEdgesOfTwo(t *testing.T) {
	name := twoEdges(t)
	output := filepath.Join(t.TempDir(), "edges.png")
	fields := askJSON(t, "edges", "-reference", name, "-canvas", "40x30in", "-focal", "200,300", "-at", "590,300", "-o", output)
	sharp, soft := entry(t, fields, "sharpest", 0), entry(t, fields, "softest", 0)
	near(t, sharp, "x_px", 200, 0.5)
	near(t, sharp, "x_mm", 10*25.4, 1)
	near(t, sharp, "width_px", 1.5, 0.15)
	near(t, soft, "x_px", 600, 2)
	near(t, soft, "width_px", 40, 4)
	near(t, soft, "width_mm", 2*25.4, 0.2*25.4)
	equal(t, sharp, map[string]any{"class": "sharp"})
	equal(t, soft, map[string]any{"class": "soft"})
	shares := fields["shares"].(map[string]any)
	near(t, shares, "sharp", 0.5, 0.05)
	near(t, shares, "soft", 0.5, 0.05)
	at := fields["at"].(map[string]any)
	equal(t, at, map[string]any{"class": "soft"})
	near(t, at, "width_px", 40, 4)
	near(t, at, "x_px", 600, 2)
	near(t, at, "away_mm", 9.5*1.27, 3)
	limits := fields["limits"].(map[string]any)
	near(t, limits, "distance_mm", 50*25.4, 1e-6) // the diagonal of 40 x 30
	picture := readPNG(t, output)
	if b := picture.Bounds(); b.Dx() != 800 || b.Dy() != 600 {
		t.Fatalf("the picture is %v", b)
	}
	darkest := func(from, to int) uint8 {
		code := uint8(255)
		for x := from; x < to; x++ {
			code = min(code, color.GrayModel.Convert(picture.At(x, 300)).(color.Gray).Y)
		}
		return code
	}
	if s, p, f := darkest(195, 205), darkest(300, 500), darkest(590, 610); s != 0 || f <= s || p <= f {
		t.Errorf("the sharp edge is drawn in %d, the soft one in %d, the picture in %d and up", s, f, p)
	}
	_, text, _ := ask("edges", "-reference", name, "-canvas", "40x30in", "-focal", "200,300", "-at", "400,300")
	for _, want := range []string{"of the length of all edges", "sharpest 1", "softest 1", "there is no edge near this spot", "contrast of value 1", "lies at your focal point"} {
		if !strings.Contains(text, want) {
			t.Errorf("the text lacks %q: %s", want, text)
		}
	}
}

// A nearer eye makes softer edges of the same picture.
func TestEdgesFromNearer(t *testing.T) {
	name := twoEdges(t)
	far := askJSON(t, "edges", "-reference", name, "-canvas", "40x30in", "-distance", "8ft")
	close := askJSON(t, "edges", "-reference", name, "-canvas", "40x30in", "-distance", "18in")
	equal(t, entry(t, far, "softest", 0), map[string]any{"class": "soft"})
	equal(t, entry(t, close, "softest", 0), map[string]any{"class": "lost"})
	near(t, far["limits"].(map[string]any), "distance_mm", 8*12*25.4, 1e-6)
}

// The strongest contrast of value is where the one pair of areas meets, and its
// figures are those of the codes there.
func TestContrastsOfTwoAreas(t *testing.T) {
	name := scene(t, 600, 400, func(x, y float64) float64 {
		if x < 240 {
			return 27 // L* 10
		}
		return 226 // L* 90
	})
	fields := askJSON(t, "edges", "-reference", name, "-canvas", "60x40cm", "-focal", "500,200")
	first := entry(t, fields, "contrasts", 0)
	equal(t, first, map[string]any{"kind": "value"})
	near(t, first, "rank", 1, 0)
	near(t, first, "x_px", 240, first["radius_mm"].(float64)/3) // a pixel is a millimetre
	near(t, first, "difference_lightness", 80, 1)
	near(t, first["darker"].(map[string]any), "step", 1, 0)
	near(t, first["lighter"].(map[string]any), "step", 5, 0)
	if words := first["words"]; words != "step 1 against step 5, 80 L*" {
		t.Errorf("in words: %v", words)
	}
	focal := entry(t, fields, "focal", 0)
	equal(t, focal, map[string]any{"kind": "value", "at_focal_point": false})
	if words, _ := focal["words"].(string); !strings.Contains(words, "cm") || !strings.Contains(words, "left of your focal point") {
		t.Errorf("the focal point: %v", focal)
	}
}

// A photograph too large to be measured as it is gives the same figures in its
// own pixels.
func TestEdgesOfALargePhotograph(t *testing.T) {
	name := scene(t, 3200, 2400, func(x, y float64) float64 {
		return 120 + 50*math.Erf((x-1300)/(12/2.5631*math.Sqrt2))
	})
	fields := askJSON(t, "edges", "-reference", name, "-canvas", "40x30in")
	first := entry(t, fields, "sharpest", 0)
	near(t, first, "width_px", 12, 1.2)
	near(t, first, "x_px", 1300, 2)
	near(t, first, "width_mm", 12*25.4/80, 1.2*25.4/80)
	near(t, fields["working_px"].(map[string]any), "width", 1600, 0)
}

func TestEdgesRefuses(t *testing.T) {
	name := twoEdges(t)
	for _, c := range []struct {
		want string
		args []string
	}{
		{"-canvas is missing", []string{"-reference", name}},
		{"-reference is missing", []string{"-canvas", "4x3in"}},
		{"not on the photograph", []string{"-reference", name, "-canvas", "4x3in", "-at", "800,3"}},
		{"not 2", []string{"-reference", name, "-canvas", "4x3in", "-focal", "8"}},
		{"cropped away", []string{"-reference", name, "-canvas", "3x3in", "-focal", "8,8"}},
		{"holds 10 x 10 pixels", []string{"-reference", name, "-canvas", "3x3in", "-crop", "5,5,10,10"}},
		{"distance", []string{"-reference", name, "-canvas", "4x3in", "-distance", "0in"}},
		{"1 steps", []string{"-reference", name, "-canvas", "4x3in", "-n", "1"}},
		{"the photograph itself", []string{"-reference", name, "-canvas", "4x3in", "-o", name}},
	} {
		status, stdout, stderr := ask(append([]string{"edges"}, c.args...)...)
		lines := strings.Split(strings.TrimSuffix(stderr, "\n"), "\n")
		if status == 0 || stdout != "" || len(lines) != 2 || !strings.HasPrefix(lines[1], "hint: ") || !strings.Contains(lines[0], c.want) {
			t.Errorf("%v exits with %d, writes %q and says %q, want %q", c.args, status, stdout, stderr, c.want)
		}
	}
}
