package place_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"maulstick/render/place"
)

// size is a size that must be readable.
func size(t *testing.T, typed string) place.Size {
	t.Helper()
	s, err := place.ParseSize(typed, place.Inch)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A photograph of 4.75 x 10.1 in and a canvas of 33 x 70 in both come to 0.47
// and line up: common practice, no source. In exact figures the photograph's
// short side becomes 4.75 / 10.1 x 70 = 3325/101 in, 8/101 in short of 33.
func TestCompareCommonPractice(t *testing.T) {
	photo, canvas := size(t, "4.75x10.1in"), size(t, "33x70in")
	fit := place.Compare(float64(photo.Width), float64(photo.Height), canvas)
	for _, ratio := range []float64{fit.PhotoRatio, fit.CanvasRatio} {
		if math.Round(100*ratio) != 47 {
			t.Errorf("a ratio is %g, want 0.47", ratio)
		}
	}
	if want := 8.0 / 101 * 25.4; math.Abs(float64(fit.Mismatch)-want) > 1e-9 {
		t.Errorf("the mismatch is %v mm, want %v", fit.Mismatch, want)
	}
	if !fit.Fits || !fit.Short || fit.Turned {
		t.Errorf("fit is %+v, want one that fits, is short and not turned", fit)
	}
}

func TestCompare(t *testing.T) {
	for _, c := range []struct {
		width, height       float64
		canvas              string
		mismatch            float64 // mm
		short, fits, turned bool
	}{
		{3000, 2000, "36 x 24", 0, false, true, false},
		{2000, 3000, "36 x 24", 0, false, true, true},
		{4000, 3000, "36 x 24", 3 * 25.4, false, false, false}, // 27 in against 24
		{3000, 1000, "30 x 20 cm", 100, true, false, false},    // 10 cm against 20
		{1000, 1000, "30 x 20 cm", 100, false, false, false},   // a square is never turned
		{1000, 2000, "30 x 30 cm", 150, true, false, false},
		{36, 24.13, "36 x 24", 0.13 * 25.4, false, false, false}, // over an eighth
		{36, 24.12, "36 x 24", 0.12 * 25.4, false, true, false},  // under an eighth
	} {
		fit := place.Compare(c.width, c.height, size(t, c.canvas))
		if math.Abs(float64(fit.Mismatch)-c.mismatch) > 1e-9 || fit.Fits != c.fits || fit.Turned != c.turned {
			t.Errorf("%g x %g on %s: %+v", c.width, c.height, c.canvas, fit)
		}
		if c.mismatch > 0 && fit.Short != c.short {
			t.Errorf("%g x %g on %s: short is %v", c.width, c.height, c.canvas, fit.Short)
		}
	}
	for _, bad := range [][2]float64{{0, 3}, {-1, 3}, {math.NaN(), 3}, {3, math.NaN()}, {3, math.Inf(1)}} {
		if got := place.Proportion(bad[0], bad[1]); got != 0 {
			t.Errorf("%v has the proportion %g", bad, got)
		}
	}
}

func TestCentredCrop(t *testing.T) {
	for _, c := range []struct {
		photo  place.Pixels
		canvas string
		want   place.Crop
	}{
		{place.Pixels{Width: 6000, Height: 4000}, "24 x 36", place.Crop{X: (6000 - 4000*2/3.) / 2, Width: 4000 * 2 / 3., Height: 4000}},
		{place.Pixels{Width: 6000, Height: 4000}, "36 x 24", place.Crop{Width: 6000, Height: 4000}},
		{place.Pixels{Width: 6000, Height: 4000}, "40 x 20", place.Crop{Y: 500, Width: 6000, Height: 3000}},
		{place.Pixels{Width: 1, Height: 1}, "10 x 5 cm", place.Crop{Y: 0.25, Width: 1, Height: 0.5}},
	} {
		got := place.CentredCrop(c.photo, size(t, c.canvas))
		for _, off := range []float64{got.X - c.want.X, got.Y - c.want.Y, got.Width - c.want.Width, got.Height - c.want.Height} {
			if math.Abs(off) > 1e-9 {
				t.Errorf("%v on %s: %v, want %v", c.photo, c.canvas, got, c.want)
			}
		}
	}
	random := rand.New(rand.NewPCG(5, 6))
	for range 20_000 {
		photo := place.Pixels{Width: 1 + random.IntN(12_000), Height: 1 + random.IntN(12_000)}
		canvas := place.Size{Width: place.MM(1 + 3000*random.Float64()), Height: place.MM(1 + 3000*random.Float64())}
		crop := place.CentredCrop(photo, canvas)
		if err := crop.Check(photo); err != nil {
			t.Fatalf("%v on %v: %v", photo, canvas, err)
		}
		if crop.Width != float64(photo.Width) && crop.Height != float64(photo.Height) {
			t.Fatalf("%v on %v: %v touches no two edges", photo, canvas, crop)
		}
		if off := crop.Width/crop.Height/float64(canvas.Width/canvas.Height) - 1; math.Abs(off) > 1e-12 {
			t.Fatalf("%v on %v: %v has another proportion, by %g", photo, canvas, crop, off)
		}
	}
}

func TestCropCheck(t *testing.T) {
	photo := place.Pixels{Width: 100, Height: 50}
	if err := place.WholeCrop(photo).Check(photo); err != nil {
		t.Error(err)
	}
	for _, crop := range []place.Crop{
		{}, {Width: 10}, {Height: 10}, {Width: -1, Height: 5}, {X: -1, Width: 10, Height: 10}, {Y: -1, Width: 10, Height: 10},
		{X: 91, Width: 10, Height: 10}, {Y: 41, Width: 10, Height: 10}, {Width: math.NaN(), Height: 1}, {X: math.Inf(1), Width: 1, Height: 1},
	} {
		if err := crop.Check(photo); err == nil || place.Hint(err) == "" {
			t.Errorf("%v: %v", crop, err)
		}
	}
	crop := place.Crop{X: 10, Y: 10, Width: 20, Height: 20}
	for p, want := range map[place.PhotoPoint]bool{{X: 10, Y: 10}: true, {X: 30, Y: 30}: true, {X: 9.9, Y: 15}: false, {X: 15, Y: 30.1}: false} {
		if crop.Contains(p) != want {
			t.Errorf("%v contains %v: %v", crop, p, !want)
		}
	}
}

// A worked example: the pixel in column 1200, row 800 of a photograph of 2400 x
// 3600 on a canvas of 24 x 36 in, where a pixel is a hundredth of an inch.
func TestMappingWorkedExample(t *testing.T) {
	photo, canvas := place.Pixels{Width: 2400, Height: 3600}, size(t, "24 x 36 in")
	m := place.Mapping{Crop: place.CentredCrop(photo, canvas), Canvas: canvas}
	p := m.ToCanvas(place.PhotoPoint{X: 1200.5, Y: 800.5})
	left, bottom := m.Distances(p, place.Edges{Bottom: true})
	right, top := m.Distances(p, place.Edges{Right: true})
	for name, pair := range map[string][2]place.MM{
		"left": {left, 12.005 * 25.4}, "right": {right, 11.995 * 25.4}, "top": {top, 8.005 * 25.4}, "bottom": {bottom, 27.995 * 25.4},
		"pixel": {m.Pixel(), 0.254}, "uncertainty": {m.Uncertainty(0), 0.127}, "with a touch": {m.Uncertainty(1.2), 1.3 * 0.254},
	} {
		if math.Abs(float64(pair[0]-pair[1])) > 1e-9 {
			t.Errorf("%s: %v mm, want %v", name, pair[0], pair[1])
		}
	}
}

// From the photograph to the canvas and back, anywhere, on any crop and canvas.
func TestMappingReturns(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	for range 100_000 {
		photo := place.Pixels{Width: 10 + random.IntN(12_000), Height: 10 + random.IntN(12_000)}
		crop := place.Crop{X: random.Float64() * float64(photo.Width-5), Y: random.Float64() * float64(photo.Height-5)}
		crop.Width = 1 + random.Float64()*(float64(photo.Width)-crop.X-1)
		crop.Height = 1 + random.Float64()*(float64(photo.Height)-crop.Y-1)
		m := place.Mapping{Crop: crop, Canvas: place.Size{Width: place.MM(10 + 5000*random.Float64()), Height: place.MM(10 + 5000*random.Float64())}}
		p := place.PhotoPoint{X: random.Float64() * float64(photo.Width), Y: random.Float64() * float64(photo.Height)}
		back := m.ToPhoto(m.ToCanvas(p))
		if math.Abs(back.X-p.X) > 1e-9 || math.Abs(back.Y-p.Y) > 1e-9 {
			t.Fatalf("%+v: %v comes back as %v", m, p, back)
		}
	}
	m := place.Mapping{Crop: place.Crop{Width: 100, Height: 100}, Canvas: place.Size{Width: 200, Height: 400}}
	if m.Pixel() != 4 {
		t.Errorf("a stretched pixel is %v mm, want its longer side, 4", m.Pixel())
	}
	if p := m.ToCanvas(place.PhotoPoint{X: -1, Y: 101}); p.X != -2 || p.Y != 404 {
		t.Errorf("a place outside the crop lands at %v", p)
	}
}

// Where what is painted begins is told from the edges that are measured from.
func TestInsetText(t *testing.T) {
	m := place.Mapping{Canvas: size(t, "36 x 24 in")}
	for _, from := range []place.Edges{{}, {Right: true}, {Bottom: true}, {Right: true, Bottom: true}} {
		if got := m.InsetText(from); got != "" {
			t.Errorf("all of the canvas begins %q", got)
		}
	}
	m.Inset = place.Sides{Left: 25.4, Top: -19.05, Right: 0, Bottom: 38.1}
	for from, want := range map[place.Edges]string{
		{}:                          "1 in inside the left edge and 3/4 in beyond the top edge of the canvas",
		{Right: true}:               "at the right edge and 3/4 in beyond the top edge of the canvas",
		{Right: true, Bottom: true}: "at the right edge and 1 1/2 in inside the bottom edge of the canvas",
	} {
		if got := m.InsetText(from); got != want {
			t.Errorf("from %+v it begins %q, want %q", from, got, want)
		}
	}
}
