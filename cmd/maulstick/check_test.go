package main

import (
	"bytes"
	"fmt"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// writePNG writes a picture beside the test.
func writePNG(t *testing.T, name string, p *photo.Picture) string {
	t.Helper()
	name = filepath.Join(t.TempDir(), name)
	file, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := png.Encode(file, asImage(p)); err != nil {
		t.Fatal(err)
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
	return name
}

// onTheEasel is the demo's picture on a canvas of 36 x 24 in, moved by so many pixels of
// its own to the right, photographed at a slant before a grey wall.
func onTheEasel(t *testing.T, moved int) (name string, corners place.Quad) {
	t.Helper()
	data, err := os.ReadFile(demo)
	if err != nil {
		t.Fatal(err)
	}
	opened, err := photo.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	crop := place.CentredCrop(opened.Size(), place.Size{Width: 36, Height: 24})
	small, err := photo.Reduced(opened.Picture, crop, 1200)
	if err != nil {
		t.Fatal(err)
	}
	painting := photo.New(small.Width, small.Height)
	for y := range small.Height {
		for x := range small.Width {
			c := small.At(x-moved, y)
			copy(painting.Pix[4*(y*small.Width+x):], []byte{c.R, c.G, c.B, 255})
		}
	}
	corners = place.Quad{{X: 210, Y: 190}, {X: 1310, Y: 160}, {X: 1330, Y: 930}, {X: 190, Y: 900}}
	to, err := place.QuadToQuad(place.WholeCrop(painting.Size()).Corners(), corners)
	if err != nil {
		t.Fatal(err)
	}
	shot, err := photo.Warp(painting, to, place.Pixels{Width: 1500, Height: 1100}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return writePNG(t, "canvas.png", shot), corners
}

// A painting moved by 9 pixels of 1200 on 36 in, 6.86 mm, is told to be so: corners are
// found within 2 pixels, and nothing else is off.
func TestCheckOfAMovedPainting(t *testing.T) {
	painting, corners := onTheEasel(t, 9)
	overlay := filepath.Join(t.TempDir(), "overlay.png")
	fields := askJSON(t, "check", "-reference", demo, "-painting", painting, "-canvas", "36x24in", "-o", overlay)
	equal(t, fields, map[string]any{"declined": "", "corners_found": true})
	for i, c := range fields["corners"].([]any) {
		x, y := c.([]any)[0].(float64), c.([]any)[1].(float64)
		if off := math.Hypot(x-corners[i].X, y-corners[i].Y); off > 2 {
			t.Errorf("corner %d is %.2f pixels off", i, off)
		}
	}
	shift := fields["shift_mm"].([]any)
	if dx, dy := shift[0].(float64), shift[1].(float64); math.Abs(dx-9*914.4/1200) > 1 || math.Abs(dy) > 1 {
		t.Errorf("the shift is %v", shift)
	}
	near(t, fields, "turn_deg", 0, 0.1)
	if slips := listOf(t, fields, "slips"); len(slips) != 0 {
		t.Errorf("slips: %v", slips)
	}
	values := listOf(t, fields, "values")
	if len(values) < 5 {
		t.Fatalf("%d values", len(values))
	}
	for _, v := range values {
		if v["off"].(bool) || v["step_reference"].(float64) < 1 || v["step_painting"].(float64) > 5 {
			t.Errorf("value %v", v)
		}
		for _, name := range []string{"x_mm", "y_mm", "difference_steps", "uncertainty_steps"} {
			if _, ok := v[name].(float64); !ok {
				t.Errorf("%s is %v", name, v[name])
			}
		}
	}
	if b := readPNG(t, overlay).Bounds(); b.Dx() != 1200 || b.Dy() != 800 {
		t.Errorf("the overlay is %v", b)
	}
	var list []string
	for _, c := range corners {
		list = append(list, strconv.Itoa(int(c.X)), strconv.Itoa(int(c.Y)))
	}
	_, text, _ := ask("check", "-reference", demo, "-painting", painting, "-canvas", "36x24in", "-corners", strings.Join(list, ","))
	for _, want := range []string{"1/4 in too far right", "no part slips", "order of values: kept", "as they were given"} {
		if !strings.Contains(text, want) {
			t.Errorf("the text lacks %q: %s", want, text)
		}
	}
	list = nil
	for _, c := range fields["corners"].([]any) {
		for _, v := range c.([]any) {
			list = append(list, strconv.FormatFloat(v.(float64), 'f', -1, 64))
		}
	}
	given := askJSON(t, "check", "-reference", demo, "-painting", painting, "-canvas", "36x24in", "-corners", strings.Join(list, ","))
	equal(t, given, map[string]any{"declined": "", "corners_found": false})
	if got, want := fmt.Sprint(given["corners"]), fmt.Sprint(fields["corners"]); got != want {
		t.Errorf("given as they were told, the corners are %s, want %s", got, want)
	}
}

// The overlay is written over neither of the two photographs.
func TestOverlayLeavesThePhotographs(t *testing.T) {
	painting, _ := onTheEasel(t, 9)
	before, err := os.ReadFile(painting)
	if err != nil {
		t.Fatal(err)
	}
	status, _, stderr := ask("check", "-reference", demo, "-painting", painting, "-canvas", "36x24in", "-o", painting)
	if status == 0 || !strings.Contains(stderr, "the photograph itself") {
		t.Errorf("asked to write over the painting's photograph it exits with %d: %s", status, stderr)
	}
	if after, err := os.ReadFile(painting); err != nil || !bytes.Equal(after, before) {
		t.Errorf("the painting's photograph is changed, %v", err)
	}
}

// Of the painting in testdata a part was put 16 mm to the right and 10 mm down, and no
// value was changed: with cards all of that is told.
func TestCheckOfTheEasel(t *testing.T) {
	fields := askJSON(t, "check", "-reference", demo, "-painting", "../../testdata/check/fig-on-the-easel.jpg", "-canvas", "36x24in",
		"-cards", "2@240,1140+5@420,1140+9@600,1140+2@1340,1140")
	slips := listOf(t, fields, "slips")
	if len(slips) != 1 {
		t.Fatalf("slips: %v", slips)
	}
	near(t, slips[0], "dx_mm", 16, 25.4/8)
	near(t, slips[0], "dy_mm", 10, 25.4/8)
	near(t, slips[0], "x_mm", 430, 90)
	near(t, slips[0], "y_mm", 270, 90)
	for _, v := range listOf(t, fields, "values") {
		if v["off"].(bool) {
			t.Errorf("value %v", v)
		}
	}
}

// A bare canvas, and a wall without one, are declined with a reason and without figures.
func TestCheckDeclines(t *testing.T) {
	bare := photo.New(1500, 1100)
	for i := range bare.Width * bare.Height {
		x, y := i%bare.Width, i/bare.Width
		code := byte(110)
		if x > 200 && x < 1300 && y > 150 && y < 883 {
			code = 225
		}
		copy(bare.Pix[4*i:], []byte{code, code, code, 255})
	}
	wall := photo.New(600, 400)
	for _, c := range []struct {
		picture    *photo.Picture
		canvas     string
		want, hint string
	}{
		{bare, "36x24in", "too little to match", "go on until more"},
		{wall, "36x24in", "no four edges", "with -corners"},
		{wall, "24x36in", "no four edges", "not turned alike"},
	} {
		name := writePNG(t, "canvas.png", c.picture)
		fields := askJSON(t, "check", "-reference", demo, "-painting", name, "-canvas", c.canvas)
		if len(listOf(t, fields, "slips"))+len(listOf(t, fields, "values")) > 0 {
			t.Errorf("%v though nothing can be told", fields)
		}
		if hint, _ := fields["hint"].(string); !strings.Contains(fields["declined"].(string), c.want) || !strings.Contains(hint, c.hint) {
			t.Errorf("declined with %v and hint %v, want %q and %q", fields["declined"], fields["hint"], c.want, c.hint)
		}
	}
}

// cardsAndPiles is a photograph of three cards, values 2, 5 and 9, with the first once
// more at the end, and of two piles, as sRGB has them but half as light.
func cardsAndPiles(t *testing.T) string {
	t.Helper()
	grey := func(v colour.Value) color.RGBA {
		c := colour.GreyOf(v.Luminance().Lightness())
		return color.RGBA{c.R, c.G, c.B, 255}
	}
	m := []color.RGBA{grey(2), grey(5), grey(9), {170, 60, 50, 255}, {120, 120, 120, 255}, grey(2)}
	p := photo.New(60*len(m), 120)
	for i := range p.Width * p.Height {
		c := m[i%p.Width/60]
		for k, code := range []uint8{c.R, c.G, c.B} {
			p.Pix[4*i+k] = colour.Encode(colour.Decode(code) / 2)
		}
		p.Pix[4*i+3] = 255
	}
	return writePNG(t, "palette.png", p)
}

const threeCards = "2@30,60 5@90,60 L91.0@150,60 2@330,60"

// Cards undo half the light: a grey of code 120 reads its CIE lightness.
func TestCardsUndoExposure(t *testing.T) {
	name := cardsAndPiles(t)
	fields := askJSON(t, "cards", "-photo", name, "-cards", threeCards, "-at", "270,60")
	spot := fields["at"].(map[string]any)
	near(t, spot, "lightness", float64(colour.SRGB{R: 120, G: 120, B: 120}.Lightness()), 1)
	near(t, fields, "light_rise", 0, 0.01)
	near(t, fields, "promised_greys_lightness", 1, 0)
	if residual := fields["residual_lightness"].(float64); residual > 1 {
		t.Errorf("the residual is %v", residual)
	}
	if len(listOf(t, fields, "cards")) != 4 {
		t.Errorf("cards: %v", fields["cards"])
	}
	_, text, _ := ask("cards", "-photo", name, "-cards", "2@30,60 9@150,60")
	if !strings.Contains(text, "gain and gamma") || !strings.Contains(text, "nothing to check them by") {
		t.Errorf("the text is %q", text)
	}
}

// Piles are held against their cards and the plan: the red is 45 L*, value 4.4, and reads
// too light through the filter (the README's own red has 44.7 and 1.6 steps).
func TestPaletteAgainstCardsAndPlan(t *testing.T) {
	name := cardsAndPiles(t)
	fields := askJSON(t, "palette", "-photo", name, "-cards", threeCards, "-piles", "5@210,60 270,60", "-reference", demo, "-canvas", "36x24in")
	list := listOf(t, fields, "piles")
	red, grey := list[0], list[1]
	want := colour.SRGB{R: 170, G: 60, B: 50}
	near(t, red, "lightness", float64(want.Lightness()), 1.5)
	near(t, red, "difference_steps", (float64(want.Lightness())-51.6)/20, 0.1)
	if !strings.Contains(red["red_filter_warning"].(string), "lighter") || !strings.Contains(red["temperature"].(string), "warm") {
		t.Errorf("the red is %v", red)
	}
	if grey["red_filter_warning"] != nil || grey["temperature"] != "neither warm nor cool" {
		t.Errorf("the grey is %v", grey)
	}
	for i, p := range list {
		planned := p["nearest_planned"].(map[string]any)
		if planned["name"] == "" || p["card_value"] == nil || p["card_named"] != (i == 0) || planned["near"] != (planned["off_de00"].(float64) <= 15) {
			t.Errorf("no pile is planned near %v", p)
		}
	}
	_, told, _ := ask("palette", "-photo", name, "-cards", threeCards, "-piles", "5@210,60 270,60", "-reference", demo, "-canvas", "36x24in")
	if !strings.Contains(told, "against the card of value 5: ") || !strings.Contains(told, "against its planned step's value of ") {
		t.Errorf("the text is %q", told)
	}
	_, text, _ := ask("palette", "-photo", name, "-cards", threeCards, "-piles", "4@270,60")
	if !strings.Contains(text, "half a step too light") {
		t.Errorf("the text is %q", text)
	}
}

func TestCheckRefusals(t *testing.T) {
	name := cardsAndPiles(t)
	for _, c := range []struct {
		want string
		args []string
	}{
		{"-painting is missing", []string{"check", "-reference", demo, "-canvas", "36x24in"}},
		{"-canvas is missing", []string{"check", "-reference", demo, "-painting", demo}},
		{"-reference is missing", []string{"check", "-painting", demo, "-canvas", "36x24in"}},
		{"not 8", []string{"check", "-reference", demo, "-painting", demo, "-canvas", "36x24in", "-corners", "1,2,3"}},
		{"not 8", []string{"check", "-reference", demo, "-painting", demo, "-canvas", "36x24in", "-corners", "1.5,2,3"}},
		{"no number", []string{"check", "-reference", demo, "-painting", demo, "-canvas", "36x24in", "-corners", "1.5,2,90,x,91,80,3,81"}},
		{"not on the photograph", []string{"check", "-reference", demo, "-painting", demo, "-canvas", "36x24in", "-corners", "1.5,2,90000,1,91,80,3,81"}},
		{"no such file", []string{"check", "-reference", demo, "-painting", "nowhere.jpg", "-canvas", "36x24in"}},
		{"no @", []string{"check", "-reference", demo, "-painting", name, "-canvas", "36x24in", "-cards", "2:30,60"}},
		{"-photo is missing", []string{"cards", "-cards", "2@30,60"}},
		{"-cards is missing", []string{"cards", "-photo", name}},
		{"no value from 0 to 10", []string{"cards", "-photo", name, "-cards", "12@30,60"}},
		{"no lightness", []string{"cards", "-photo", name, "-cards", "L120@30,60"}},
		{"out of order", []string{"cards", "-photo", name, "-cards", "9@30,60 2@150,60"}},
		{"-piles is missing", []string{"palette", "-photo", name, "-cards", threeCards}},
		{"not on the photograph", []string{"palette", "-photo", name, "-cards", threeCards, "-piles", "5@900,60"}},
		{"no number", []string{"palette", "-photo", name, "-cards", threeCards, "-piles", "red@30,60"}},
	} {
		status, out, complaint := ask(c.args...)
		if status == 0 || out != "" || !strings.Contains(complaint, c.want) || !strings.Contains(complaint, "\nhint: ") {
			t.Errorf("%v ends with %d, writes %q and says %q", c.args, status, out, complaint)
		}
	}
}
