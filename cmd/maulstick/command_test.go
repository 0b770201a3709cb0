package main

import (
	"bytes"
	"context"
	"encoding/json"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const demo = "../../testdata/photo/fig-in-red-bowl.jpg"

// ask runs the command in this process.
func ask(args ...string) (status int, stdout, stderr string) {
	var out, errors bytes.Buffer
	status = run(context.Background(), args, &out, &errors)
	return status, out.String(), errors.String()
}

// askJSON runs a reading that must succeed and reads its JSON.
func askJSON(t *testing.T, args ...string) map[string]any {
	t.Helper()
	status, stdout, stderr := ask(append(args, "-json")...)
	if status != 0 || stderr != "" {
		t.Fatalf("%v exits with %d: %s", args, status, stderr)
	}
	var fields map[string]any
	if err := json.Unmarshal([]byte(stdout), &fields); err != nil {
		t.Fatalf("%v writes no JSON: %v\n%s", args, err, stdout)
	}
	return fields
}

// near compares a number of the JSON.
func near(t *testing.T, fields map[string]any, name string, want, tolerance float64) {
	t.Helper()
	got, ok := fields[name].(float64)
	if !ok || math.Abs(got-want) > tolerance {
		t.Errorf("%s is %v, want %v within %v", name, fields[name], want, tolerance)
	}
}

// equal compares fields of the JSON that are no numbers.
func equal(t *testing.T, fields map[string]any, want map[string]any) {
	t.Helper()
	for name, w := range want {
		if fields[name] != w {
			t.Errorf("%s is %v, want %v", name, fields[name], w)
		}
	}
}

// Common practice, no source: a 4.75 x 10.1 in photograph and a 33 x 70 in canvas
// both come to 0.47 and are close enough to line up. The rest is arithmetic:
// 4.75/10.1*70 = 32.9208 in, 0.0792 in short of 33.
func TestRatioOfNearlyEqualProportions(t *testing.T) {
	fields := askJSON(t, "ratio", "-photo", "4.75x10.1in", "-canvas", "33x70in")
	near(t, fields, "photo_ratio", 4.75/10.1, 1e-12)
	near(t, fields, "canvas_ratio", 33.0/70, 1e-12)
	near(t, fields, "mismatch_mm", 2.0119, 5e-5)
	near(t, fields, "short_side_mm", 32.9208*25.4, 2e-3)
	equal(t, fields, map[string]any{"fits": true, "short": true, "turned": false, "mismatch_text": "5/64 in short at the far edge"})
	_, text, _ := ask("ratio", "-canvas", "33x70in", "-photo", "4.75x10.1in")
	if strings.Count(text, "0.47") != 2 || !strings.Contains(text, "5/64 in short") {
		t.Errorf("the text is %q", text)
	}
}

func TestRatioOfAPhotograph(t *testing.T) {
	fields := askJSON(t, "ratio", "-reference", demo, "-canvas", "60x40cm")
	near(t, fields, "photo_ratio", 1740.0/2572, 1e-12)
	near(t, fields, "mismatch_mm", 1740.0/2572*600-400, 1e-9)
	equal(t, fields, map[string]any{"fits": false, "short": false, "turned": false})
	exact := askJSON(t, "ratio", "-photo-size", "3000x2000", "-canvas", "36x24in")
	near(t, exact, "mismatch_mm", 0, 1e-9)
	equal(t, exact, map[string]any{"fits": true, "mismatch_text": "none"})
}

// A canvas that stands the other way round is said, with a hint, and the
// figures are still those of the canvas as it was given.
func TestTurnedCanvasIsSaid(t *testing.T) {
	for _, command := range [][]string{
		{"ratio", "-photo-size", "3000x2000", "-canvas", "24x36in"},
		{"place", "-photo-size", "3000x2000", "-canvas", "24x36in", "-at", "1500,1000"},
	} {
		fields := askJSON(t, command...)
		hint, _ := fields["hint"].(string)
		if !strings.Contains(hint, "36 in x 24 in") || fields["notes"] == nil {
			t.Errorf("%v says %v and hints %q", command, fields["notes"], hint)
		}
		if _, text, _ := ask(command...); !strings.Contains(text, "hint: ") {
			t.Errorf("%v gives no hint as text: %q", command, text)
		}
	}
	// Of 3000 x 2000, 24 x 36 in shows 1333 1/3 columns from 833 1/3: column 1500
	// is 24/1333.3333*(1500.5-833.3333) = 12.009 in from the left.
	fields := askJSON(t, "place", "-photo-size", "3000x2000", "-canvas", "24x36in", "-at", "1500,1000")
	near(t, fields, "x_mm", 12.009*25.4, 1e-6)
}

// The example of a photograph of 2400 x 3600 pixels on 24 x 36 in, a hundred
// pixels an inch: column 1200 is 12.005 in from the left, row 800 is 8.005 in
// from the top and 27.995 from the bottom.
func TestPlaceByArithmetic(t *testing.T) {
	fields := askJSON(t, "place", "-photo-size", "2400x3600", "-canvas", "24x36in", "-at", "1200,800", "-from", "left,bottom")
	near(t, fields, "x_mm", 12.005*25.4, 1e-9)
	near(t, fields, "y_mm", 27.995*25.4, 1e-9)
	near(t, fields, "uncertainty_mm", 0.005*25.4, 1e-9) // half a pixel
	equal(t, fields, map[string]any{"x_text": "12 in", "y_text": "28 in", "x_from": "left", "y_from": "bottom", "uncertainty_text": "1/16 in"})
	for _, name := range []string{"value", "lightness", "step"} {
		if _, there := fields[name]; there {
			t.Errorf("%s is told without a picture", name)
		}
	}
	fields = askJSON(t, "place", "-photo-size", "2400x3600", "-canvas", "24x36in", "-at", "1200,800", "-from", "bottom,right", "-crop", "1000,500,1200,1800")
	near(t, fields, "x_mm", (1200-200.5)/50*25.4, 1e-9)
	near(t, fields, "y_mm", (1800-300.5)/50*25.4, 1e-9)
	fields = askJSON(t, "place", "-photo-size", "3000x2000", "-canvas", "90x60cm", "-at", "0,1999")
	near(t, fields, "x_mm", 0.15, 1e-9)
	near(t, fields, "y_mm", 599.85, 1e-9)
	equal(t, fields, map[string]any{"x_text": "0.0 cm", "uncertainty_text": "0.1 cm"}) // half a pixel and what the text leaves out, 0.3 mm, up to a millimetre
}

// A picture tells the value there as well, the same as "value" tells; the crop
// of the demo photograph for 36 x 24 in is its full width and 1714 2/3 rows.
func TestPlaceReadsTheValue(t *testing.T) {
	fields := askJSON(t, "place", "-reference", demo, "-canvas", "36x24in", "-at", "1200,800", "-from", "left,bottom")
	near(t, fields, "x_mm", 1200.5/2572*36*25.4, 1e-9)
	near(t, fields, "y_mm", (24-(800.5-38.0/3)/2572*36)*25.4, 1e-9)
	reading := askJSON(t, "value", "-reference", demo, "-at", "1200,800")
	for _, name := range []string{"value", "lightness"} {
		near(t, fields, name, reading[name].(float64), 0)
	}
	near(t, fields, "step", math.Floor(reading["lightness"].(float64)/20)+1, 0)
	stretched := askJSON(t, "place", "-reference", demo, "-canvas", "36x24in", "-at", "50,50", "-crop", "0,0,500,500")
	if notes, _ := stretched["notes"].([]any); len(notes) == 0 || !strings.Contains(notes[0].(string), "stretched by 50.0 %") {
		t.Errorf("a stretching crop is noted as %v", stretched["notes"])
	}
}

// Value agrees with the two standards worked out here from the codes it tells:
// IEC 61966-2-1 light, CIE 15 lightness, the ASTM D1535 polynomial.
func TestValueByTheStandards(t *testing.T) {
	fields := askJSON(t, "value", "-reference", demo, "-at", "1929,435")
	light := func(name string) float64 {
		e := fields[name].(float64) / 255
		if e <= 0.04045 {
			return e / 12.92
		}
		return math.Pow((e+0.055)/1.055, 2.4)
	}
	r, g, b := light("r"), light("g"), light("b")
	for prefix, y := range map[string]float64{
		"":          0.2126*r + 0.7152*g + 0.0722*b, // IEC 61966-2-1, to four figures
		"filtered_": 0.75*r + 0.19*g + 0.06*b,       // a cut-on near 600 nm
	} {
		near(t, fields, prefix+"lightness", 116*math.Cbrt(y)-16, 0.01)
		v, _ := fields[prefix+"value"].(float64)
		percent := v * (1.1914 + v*(-0.22533+v*(0.23352+v*(-0.020484+v*0.00081939))))
		if math.Abs(percent-100*y) > 0.02 {
			t.Errorf("%svalue %v stands for a luminance of %v %%, want %v", prefix, v, percent, 100*y)
		}
	}
	near(t, fields, "r", 201, 3) // Chromium 156 reads 201, 20, 0 there
	near(t, fields, "g", 20, 3)
	near(t, fields, "b", 0, 3)
}

// greys writes a PNG of columns of greys and says where it is.
func greys(t *testing.T, codes []uint8, width, height int) string {
	t.Helper()
	m := image.NewGray(image.Rect(0, 0, width*len(codes), height))
	for i := range m.Pix {
		m.Pix[i] = codes[i%m.Stride/width]
	}
	return saved(t, "greys.png", m)
}

// saved is the file that a picture was written to.
func saved(t *testing.T, name string, m image.Image) string {
	t.Helper()
	name = filepath.Join(t.TempDir(), name)
	file, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	if err := png.Encode(file, m); err != nil {
		t.Fatal(err)
	}
	return name
}

// Greys of L* 10, 30, 50, 70, 90 and 90 again, by CIE 15 and IEC 61966-2-1, fall
// one into each of five steps and two into the last, and the picture in flat
// steps shows them unchanged.
func TestStepsOfGreys(t *testing.T) {
	codes := []uint8{27, 71, 119, 171, 226, 226}
	name := greys(t, codes, 10, 6)
	output := filepath.Join(t.TempDir(), "steps.png")
	fields := askJSON(t, "steps", "-o", output, "-reference", name, "-n", "5")
	numbers(t, fields, "edges_lightness", 20, 40, 60, 80)
	numbers(t, fields, "area_share", 1.0/6, 1.0/6, 1.0/6, 1.0/6, 2.0/6)
	numbers(t, fields, "grey_code", 27, 71, 119, 171, 226)
	picture := readPNG(t, output)
	for x := range 60 {
		if got := color.GrayModel.Convert(picture.At(x, 3)).(color.Gray).Y; got != codes[x/10] {
			t.Fatalf("column %d of the flat steps is %d, want %d", x, got, codes[x/10])
		}
	}
	fields = askJSON(t, "steps", "-reference", name, "-n", "2", "-crop", "0,0,30,6", "-o", output)
	numbers(t, fields, "area_share", 2.0/3, 1.0/3) // code 119 is L* 50.03
	if b := readPNG(t, output).Bounds(); b.Dx() != 30 || b.Dy() != 6 {
		t.Errorf("the cropped picture is %v", b)
	}
	_, text, _ := ask("steps", "-reference", name, "-n", "5")
	if !strings.Contains(text, "step 5   lightness  80 to 100   shown as value  9.0    33.3 %") {
		t.Errorf("the text is %q", text)
	}
}

// numbers compares a list of the JSON.
func numbers(t *testing.T, fields map[string]any, name string, want ...float64) {
	t.Helper()
	got, _ := fields[name].([]any)
	if len(got) != len(want) {
		t.Fatalf("%s is %v, want %v", name, got, want)
	}
	for i, w := range want {
		if math.Abs(got[i].(float64)-w) > 1e-12 {
			t.Errorf("%s is %v, want %v", name, got, want)
		}
	}
}

func readPNG(t *testing.T, name string) image.Image {
	t.Helper()
	file, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	m, err := png.Decode(file)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// Through the red filter the bowl, a saturated red, turns light: most of its lit
// side is in the two lightest of five steps, against next to none without it.
func TestFilterLightensTheRedBowl(t *testing.T) {
	share := func(args ...string) float64 {
		list := askJSON(t, append([]string{"steps", "-reference", demo, "-crop", "1400,300,600,300"}, args...)...)["area_share"].([]any)
		return list[3].(float64) + list[4].(float64)
	}
	if plain, filtered := share(), share("-filter"); plain > 0.1 || filtered < 0.6 {
		t.Errorf("of the bowl's lit side %.2f is in steps 4 and 5, through the filter %.2f", plain, filtered)
	}
}
