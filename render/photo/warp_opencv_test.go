//go:build !js

package photo

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/place"
)

// tilted is a case of testdata/warp/cases.json, in whose numbers whole
// coordinates are the centres of pixels.
type tilted struct {
	Corners   [4][2]float64 `json:"src_quad_TL_TR_BR_BL"`
	Size      [2]int        `json:"dst_size"`
	H         [3][3]float64 `json:"H_src_to_dst"`
	Focal     float64       `json:"focal_px"`
	Principal [2]float64    `json:"principal_point"`
	Aspect    float64       `json:"true_aspect"`
	Probes    []struct {
		To   [2]float64 `json:"dst"`
		From [2]float64 `json:"src"`
		RGB  [3]float64 `json:"rgb"`
	} `json:"probes"`
}

// tilt is the one case, its corners and their places in the squared picture.
func tilt(t testing.TB) (c tilted, from, to place.Quad) {
	t.Helper()
	data, err := os.ReadFile("../../testdata/warp/cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []tilted
	if err := json.Unmarshal(data, &cases); err != nil || len(cases) != 1 {
		t.Fatalf("%d cases: %v", len(cases), err)
	}
	c = cases[0]
	w, h := float64(c.Size[0]), float64(c.Size[1])
	for i, corner := range c.Corners {
		from[i] = place.PhotoPoint{X: corner[0] + 0.5, Y: corner[1] + 0.5}
	}
	return c, from, place.Quad{{X: 0.5, Y: 0.5}, {X: w - 0.5, Y: 0.5}, {X: w - 0.5, Y: h - 0.5}, {X: 0.5, Y: h - 0.5}}
}

func load(t testing.TB, name string) *Picture {
	t.Helper()
	data, err := os.ReadFile("../../testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	return p.Picture
}

// squared is what Warp makes of the case.
func squared(t testing.TB) (c tilted, from *Picture, h place.Homography, out *Picture) {
	t.Helper()
	c, corners, to := tilt(t)
	h, err := place.QuadToQuad(corners, to)
	if err != nil {
		t.Fatal(err)
	}
	from = load(t, "warp/citrus-tilted.jpg")
	out, err = Warp(from, h, place.Pixels{Width: c.Size[0], Height: c.Size[1]}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return c, from, h, out
}

// luma is how light a code is as a JPEG stores it (ITU-T T.871), at the
// photograph's full resolution: decoders spread the colours, stored at half of
// it, in ways of their own.
func luma(c colour.SRGB) float64 {
	return 0.299*float64(c.R) + 0.587*float64(c.G) + 0.114*float64(c.B)
}

// mixed reads codes between four pixels, as OpenCV's linear interpolation does.
func mixed(p *Picture, at place.PhotoPoint) (sum float64) {
	x, y := math.Floor(at.X-0.5), math.Floor(at.Y-0.5)
	fx, fy := at.X-0.5-x, at.Y-0.5-y
	for j := range 2 {
		for i := range 2 {
			w := math.Abs(1-float64(i)-fx) * math.Abs(1-float64(j)-fy)
			sum += w * luma(p.At(int(x)+i, int(y)+j))
		}
	}
	return sum
}

// The corners of a print photographed at a slant are solved as OpenCV 4.6 and
// ImageMagick solve them (testdata/warp/cases.json), and every pixel of OpenCV's
// own squared picture is the one that our homography finds: codes read between
// four pixels as OpenCV reads them, at places that it rounds to 1/32 of a pixel.
func TestHomographyMatchesOpenCV(t *testing.T) {
	c, from, h, _ := squared(t)
	half := place.Homography{{1, 0, 0.5}, {0, 1, 0.5}, {0, 0, 1}} // from their pixels to ours
	unhalf, _ := half.Inverse()
	theirs := half.Then(h).Then(unhalf)
	for i := range 3 {
		for j := range 3 {
			if got, want := theirs[i][j]/theirs[2][2], c.H[i][j]; math.Abs(got-want) > 1e-9*max(math.Abs(want), 1) {
				t.Errorf("row %d column %d is %v, want %v", i, j, got, want)
			}
		}
	}
	back, _ := h.Inverse()
	for _, probe := range c.Probes {
		p, ok := back.Apply(place.PhotoPoint{X: probe.To[0] + 0.5, Y: probe.To[1] + 0.5})
		if !ok || math.Abs(p.X-0.5-probe.From[0]) > 6e-5 || math.Abs(p.Y-0.5-probe.From[1]) > 6e-5 {
			t.Errorf("%v comes from %v, want %v", probe.To, p, probe.From)
		}
	}
	want := load(t, "warp/citrus-squared.png")
	sum, worst := 0.0, 0.0
	for y := range want.Height {
		for x := range want.Width {
			p, _ := back.Apply(place.PhotoPoint{X: float64(x) + 0.5, Y: float64(y) + 0.5})
			off := math.Abs(mixed(from, p) - luma(want.At(x, y)))
			sum += off
			worst = max(worst, off)
		}
	}
	mean := sum / float64(want.Width*want.Height)
	if mean > 0.5 || worst > 5 {
		t.Errorf("lumas are %.3f codes off on average, %.2f at worst", mean, worst)
	}
}

// What Warp makes of it is the same picture: in blocks of 8 by 8 pixels, where
// the ways of reading matter little, its light is OpenCV's within a code on
// average, far nearer than a picture one pixel aside.
func TestWarpMatchesOpenCV(t *testing.T) {
	_, _, _, out := squared(t)
	want := load(t, "warp/citrus-squared.png")
	var sum, aside float64 // aside: against OpenCV's picture one pixel to the left
	n := 0
	shifted := New(want.Width, want.Height)
	copy(shifted.Pix, want.Pix[4:])
	block := func(p *Picture, x, y int) float64 {
		var l colour.Linear
		l.R, l.G, l.B = meanLight(p, x, y, 3, 0), meanLight(p, x, y, 3, 1), meanLight(p, x, y, 3, 2)
		return luma(l.SRGB())
	}
	for y := range out.Height/8 - 1 {
		for x := range out.Width/8 - 1 {
			got := block(out, x, y)
			sum += math.Abs(got - block(want, x, y))
			aside += math.Abs(got - block(shifted, x, y))
			n++
		}
	}
	mean, moved := sum/float64(n), aside/float64(n)
	t.Logf("blocks are %.2f codes off on average; a pixel aside they would be %.2f", mean, moved)
	if mean > 1 || mean > moved/3 {
		t.Errorf("blocks are %.2f codes off on average; a pixel aside they would be %.2f", mean, moved)
	}
}
