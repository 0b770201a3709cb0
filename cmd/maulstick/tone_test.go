package main

import (
	"image"
	"image/color"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"maulstick/render/colour"
)

// columnsOf writes a picture of flat columns, ten pixels each.
func columnsOf(t *testing.T, colours ...color.NRGBA) string {
	t.Helper()
	m := image.NewNRGBA(image.Rect(0, 0, 10*len(colours), 8))
	for y := range 8 {
		for x := range 10 * len(colours) {
			m.SetNRGBA(x, y, colours[x/10])
		}
	}
	return saved(t, "columns.png", m)
}

// The red 204,38,30 by IEC 61966-2-1 and CIE 15: its linear light is 0.6038, 0.0194
// and 0.0130. To the eye that is a luminance of 0.1432, L* 44.69; through weights of
// 0.75, 0.19 and 0.06 it is 0.4573, L* 73.37, which is 1.434 steps of 20 more.
func TestRedFilterOnOneColour(t *testing.T) {
	fields := askJSON(t, "redfilter", "-rgb", "204,38,30")
	near(t, fields, "lightness", 44.69, 0.01)
	near(t, fields, "filtered_lightness", 73.37, 0.01)
	near(t, fields, "difference_steps", 1.434, 0.001)
	equal(t, fields, map[string]any{"sheet": "red", "sentence": "through the filter this reads 1.4 steps lighter than it is"})
	last := 0.0
	for _, sheet := range []string{"orange", "red", "deep"} {
		fields := askJSON(t, "redfilter", "-rgb", "204,38,30", "-sheet", sheet)
		if got := fields["difference_steps"].(float64); got <= last {
			t.Errorf("through the %s sheet the red is %.2f steps off, after %.2f", sheet, got, last)
		} else {
			last = got
		}
	}
	near(t, askJSON(t, "redfilter", "-rgb", "128,128,128"), "difference_steps", 0, 1e-4)
}

// A picture of four columns: cadmium red light (1.68 steps too light by the table of
// pigments), a grey, cerulean blue (0.72 too dark) and a grey.
func TestRedFilterOnAPicture(t *testing.T) {
	name := columnsOf(t, color.NRGBA{R: 231, G: 56, B: 8, A: 255}, color.NRGBA{R: 90, G: 90, B: 90, A: 255},
		color.NRGBA{G: 100, B: 160, A: 255}, color.NRGBA{R: 200, G: 200, B: 200, A: 255})
	output := filepath.Join(t.TempDir(), "misled.png")
	fields := askJSON(t, "redfilter", "-reference", name, "-o", output)
	for field, want := range map[string]float64{
		"half_step_share": 0.5, "whole_step_share": 0.25, "half_step_lighter_share": 0.25,
		"half_step_darker_share": 0.25, "whole_step_lighter_share": 0.25, "whole_step_darker_share": 0,
	} {
		near(t, fields, field, want, 1e-12)
	}
	m := readPNG(t, output)
	at := func(x int) colour.SRGB {
		c := color.NRGBAModel.Convert(m.At(x, 4)).(color.NRGBA)
		return colour.SRGB{R: c.R, G: c.G, B: c.B}
	}
	if c := at(5); c.R <= c.B+50 {
		t.Errorf("what reads too light is painted %v, not orange", c)
	}
	if c := at(25); c.B <= c.R+20 {
		t.Errorf("what reads too dark is painted %v, not blue", c)
	}
	if c := at(15); c != (colour.SRGB{R: 90, G: 90, B: 90}) {
		t.Errorf("a grey is painted %v", c)
	}
	for x, l := range map[int]colour.SRGB{5: {R: 231, G: 56, B: 8}, 25: {G: 100, B: 160}} {
		if off := at(x).Lightness() - l.Lightness(); off > 1 || off < -1 {
			t.Errorf("at %d the tint is %.2f L* off the picture", x, off)
		}
	}
	if _, text, _ := ask("redfilter", "-reference", name); !strings.Contains(text, "too light  25.0 %") {
		t.Errorf("the text is %q", text)
	}
}

// Warm lights over cool shadows, the other way round, and greys.
func TestTemperatureOfAPicture(t *testing.T) {
	grey, dark := color.NRGBA{R: 128, G: 128, B: 128, A: 255}, color.NRGBA{R: 20, G: 20, B: 20, A: 255}
	sun := columnsOf(t, color.NRGBA{R: 250, G: 220, B: 180, A: 255}, color.NRGBA{R: 40, G: 55, B: 80, A: 255}, grey)
	fields := askJSON(t, "temperature", "-reference", sun)
	equal(t, fields, map[string]any{"verdict": "lights warmer than shadows", "neutral": "found"})
	numbers(t, fields, "neutral_rgb", 255, 255, 255)
	if fields["lights"].(float64) <= 0 || fields["shadows"].(float64) >= 0 {
		t.Errorf("lights %v, shadows %v", fields["lights"], fields["shadows"])
	}
	near(t, fields, "lights_coloured_share", 1.0/3, 1e-12)
	near(t, fields, "shadows_coloured_share", 1.0/3, 1e-12)
	north := columnsOf(t, color.NRGBA{R: 200, G: 215, B: 240, A: 255}, color.NRGBA{R: 90, G: 60, B: 40, A: 255}, grey)
	equal(t, askJSON(t, "temperature", "-reference", north), map[string]any{"verdict": "lights cooler than shadows"})
	greys := columnsOf(t, grey, dark)
	equal(t, askJSON(t, "temperature", "-reference", greys), map[string]any{"verdict": "no clear difference", "lights": 0.0, "shadows": 0.0})

	// What is picked as neutral is neither; by it a true grey is cool.
	picked := askJSON(t, "temperature", "-reference", sun, "-neutral", "5,4")
	equal(t, picked, map[string]any{"neutral": "picked", "lights": 0.0})
	// 250,220,180 is 0.956, 0.716 and 0.456 of linear light; over 0.956 and encoded
	// again that is 255, 224.4 and 183.7.
	numbers(t, picked, "neutral_rgb", 255, 224, 184)
	output := filepath.Join(t.TempDir(), "warm.png")
	askJSON(t, "temperature", "-reference", sun, "-o", output)
	if r, _, b, _ := readPNG(t, output).At(5, 4).RGBA(); r <= b {
		t.Error("the warm lights are not painted orange")
	}
}

// Three stops down in linear light, stored again: the same verdict, and the same
// figures to half a unit.
func TestTemperatureDoesNotKnowExposure(t *testing.T) {
	file, err := os.Open("../../testdata/shape/sunset.jpg")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	m, _, err := image.Decode(file)
	if err != nil {
		t.Fatal(err)
	}
	dark := image.NewNRGBA(m.Bounds())
	for y := range m.Bounds().Dy() {
		for x := range m.Bounds().Dx() {
			c := color.NRGBAModel.Convert(m.At(x, y)).(color.NRGBA)
			down := func(code uint8) uint8 { return colour.Encode(colour.Decode(code) / 8) }
			dark.SetNRGBA(x, y, color.NRGBA{R: down(c.R), G: down(c.G), B: down(c.B), A: 255})
		}
	}
	name := filepath.Join(t.TempDir(), "dark.png")
	if err := writePicture(name, dark); err != nil {
		t.Fatal(err)
	}
	light, down := askJSON(t, "temperature", "-reference", file.Name()), askJSON(t, "temperature", "-reference", name)
	equal(t, down, map[string]any{"verdict": light["verdict"]})
	near(t, down, "lights", light["lights"].(float64), 0.5)
	near(t, down, "shadows", light["shadows"].(float64), 0.5)
	if light["verdict"] != "lights cooler than shadows" {
		t.Errorf("a blue sky over a warm hill: %v", light["verdict"])
	}
}

func TestTemperatureOfOneColour(t *testing.T) {
	for rgb, want := range map[string]string{"255,128,0": "clearly warm", "0,0,255": "clearly cool", "128,128,128": "neither warm nor cool", "150,145,139": "warm", "139,145,152": "cool"} {
		equal(t, askJSON(t, "temperature", "-rgb", rgb), map[string]any{"temperature": want})
	}
}

// The opposite of yellow is violet to a painter, purple-blue by Munsell (5Y and 5PB),
// and blue as light.
func TestOppositesOfOneColour(t *testing.T) {
	fields := askJSON(t, "opposites", "-rgb", "255,255,0")
	list := fields["opposites"].([]any)
	want := map[string]string{"painter": "violet", "munsell": "purple", "additive": "blue"}
	if len(list) != len(want) {
		t.Fatalf("opposites %v", list)
	}
	for _, item := range list {
		o := item.(map[string]any)
		if name := o["opposite_hue"]; name != want[o["wheel"].(string)] || o["says"] == "" {
			t.Errorf("%v: the opposite is %v", o["wheel"], name)
		}
	}
	one := askJSON(t, "opposites", "-rgb", "255,255,0", "-wheel", "additive")["opposites"].([]any)
	numbers(t, one[0].(map[string]any), "rgb", 0, 0, 255)
	if grey := askJSON(t, "opposites", "-rgb", "90,90,90"); len(grey["opposites"].([]any)) != 0 || grey["notes"] == nil {
		t.Errorf("a grey has %v", grey)
	}
}

func TestOppositesOfAPicture(t *testing.T) {
	red, green := color.NRGBA{R: 200, G: 30, B: 30, A: 255}, color.NRGBA{R: 20, G: 130, B: 50, A: 255}
	name := columnsOf(t, red, green, color.NRGBA{R: 128, G: 128, B: 128, A: 255}, red)
	output := filepath.Join(t.TempDir(), "pairs.png")
	fields := askJSON(t, "opposites", "-reference", name, "-o", output)
	pairs := fields["pairs"].([]any)
	if len(pairs) != 1 {
		t.Fatalf("pairs %v", pairs)
	}
	for i, want := range []struct {
		hue   string
		share float64
		low   float64
	}{{"red", 0.5, 0}, {"green", 0.25, 10}} {
		side := pairs[0].([]any)[i].(map[string]any)
		equal(t, side, map[string]any{"hue": want.hue})
		near(t, side, "area_share", want.share, 1e-12)
		if x := side["x_px"].(float64); want.hue == "green" && (x < want.low || x >= want.low+10) {
			t.Errorf("green is said to be at column %v", x)
		}
	}
	if r, g, b, _ := readPNG(t, output).At(3, 3).RGBA(); r>>8 != 200 || g>>8 != 30 || b>>8 != 30 {
		t.Error("the red of the pair is not left as it is")
	}
}

// At a spot of the bowl: how far the filter is off, and the temperature relative to
// the picture's own neutral.
func TestValueTellsFilterAndTemperature(t *testing.T) {
	fields := askJSON(t, "value", "-reference", demo, "-at", "1600,400")
	near(t, fields, "difference_steps", (fields["filtered_lightness"].(float64)-fields["lightness"].(float64))/20, 1e-4)
	equal(t, fields, map[string]any{"temperature": "clearly warm"})
	if s := fields["filter_sentence"].(string); !strings.HasSuffix(s, "lighter than it is") {
		t.Errorf("of the red bowl: %q", s)
	}
}

func TestToneRefusals(t *testing.T) {
	output := filepath.Join(t.TempDir(), "x.png")
	for _, c := range []struct {
		want string
		args []string
	}{
		{"-reference is missing", []string{"redfilter"}},
		{"both given", []string{"redfilter", "-rgb", "1,2,3", "-reference", demo}},
		{"holds 2 numbers", []string{"redfilter", "-rgb", "1,2"}},
		{"256", []string{"temperature", "-rgb", "256,0,0"}},
		{"no whole number", []string{"opposites", "-rgb", "red,0,0"}},
		{`no sheet "green"`, []string{"redfilter", "-rgb", "1,2,3", "-sheet", "green"}},
		{`no wheel "cart"`, []string{"opposites", "-rgb", "1,2,3", "-wheel", "cart"}},
		{"no picture", []string{"redfilter", "-rgb", "1,2,3", "-o", output}},
		{"no picture", []string{"opposites", "-rgb", "1,2,3", "-o", output}},
		{"no picture", []string{"temperature", "-rgb", "1,2,3", "-neutral", "4,4"}},
		{"not on the photograph", []string{"temperature", "-reference", demo, "-neutral", "9999,4"}},
		{"the photograph itself", []string{"temperature", "-reference", demo, "-o", demo}},
		{"outside", []string{"opposites", "-reference", demo, "-crop", "0,0,9000,9"}},
	} {
		status, stdout, stderr := ask(c.args...)
		lines := strings.Split(strings.TrimSuffix(stderr, "\n"), "\n")
		if status == 0 || stdout != "" || len(lines) != 2 || !strings.Contains(lines[0], c.want) || !strings.HasPrefix(lines[1], "hint: ") {
			t.Errorf("%v exits with %d, writes %q and says %q; want %q", c.args, status, stdout, stderr, c.want)
		}
	}
	if _, err := os.Stat(output); err == nil {
		t.Error("a refused command has written")
	}
}
