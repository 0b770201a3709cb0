package check

import (
	"bytes"
	"flag"
	"image"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// easelFile is where the photograph of testdata/check is drawn anew.
var easelFile = flag.String("easel", "", "a file to draw the simulated photograph of the fig on the easel into")

// figOnTheEasel is the demo's reference, repainted with the stem put 16 mm to the right
// and 10 mm down, on an easel with cards of values 2, 5, 9
// and 2 and two piles below it.
func figOnTheEasel(t testing.TB) (reference, shot *photo.Picture, r *repaint, s *studio) {
	t.Helper()
	p := load(t, "photo/fig-in-red-bowl.jpg")
	canvas := place.Size{Width: 914.4, Height: 609.6}
	reference, err := photo.Reduced(p, place.CentredCrop(p.Size(), canvas), 1200)
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(36, 24))
	s = newStudio(rng, place.Pixels{Width: 1600, Height: 1200}, canvas)
	s.clutter, s.glare, s.quality, s.tone, s.floor = nil, nil, 85, 0.3, 2
	s.wall, s.wood = colour.Linear{R: 0.15, G: 0.13, B: 0.11}, colour.Linear{R: 0.3, G: 0.2, B: 0.1}
	s.lamp = colour.Linear{R: 0.8, G: 0.75, B: 0.66}
	for i, v := range []colour.Value{2, 5, 9, 0, 0, 2} {
		x := [6]float64{-0.62, -0.44, -0.26, 0.12, 0.30, 0.48}[i]
		y := float64(v.Luminance())
		c := colour.Linear{R: y, G: y, B: y}
		switch i {
		case 3:
			c = colour.SRGB{R: 170, G: 60, B: 50}.Linear()
		case 4:
			c = colour.SRGB{R: 90, G: 110, B: 60}.Linear()
		}
		s.clutter = append(s.clutter, clutter{x, 0.50, x + 0.12, 0.58, c})
	}
	r = &repaint{canvas: canvas, flat: 0.5, soft: 1.5, whole: Whole{Across: 1, Down: 1}}
	r.slips = []slipped{{x: 430, y: 270, dx: 16, dy: 10, core: 70, rim: 90}}
	r.shapes = flattened(t, reference, canvas, 5, shape.SmallestFor(canvas))
	return reference, s.shoot(t, r.paint(reference)), r, s
}

// The picture in testdata is what the simulator draws, but for its compression, and its
// slip is found.
func TestFigOnTheEasel(t *testing.T) {
	reference, shot, r, s := figOnTheEasel(t)
	if *easelFile != "" {
		var file bytes.Buffer
		m := &image.RGBA{Pix: shot.Pix, Stride: 4 * shot.Width, Rect: image.Rect(0, 0, shot.Width, shot.Height)}
		if err := jpeg.Encode(&file, m, &jpeg.Options{Quality: 85}); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(*easelFile, file.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	report := asked(t, reference, shot, s.canvas, nil)
	if report.Declined.Reason != "" {
		t.Fatal(report.Declined)
	}
	if off := quadApart(report.Canvas.Corners, s.corners()); off > 2 {
		t.Errorf("the corners are %.1f pixels off", off)
	}
	k := r.slips[0]
	t.Logf("slips %+v; whole %+v", report.Drawing.Slips, report.Drawing.Whole)
	if len(report.Drawing.Slips) != 1 {
		t.Fatalf("%d slips", len(report.Drawing.Slips))
	}
	if f := report.Drawing.Slips[0]; max(float64(f.DX)-k.dx, k.dx-float64(f.DX), float64(f.DY)-k.dy, k.dy-float64(f.DY)) > 25.4/8 {
		t.Errorf("the slip is told to be %+v", f)
	}
	for _, v := range report.Values.Shapes {
		if v.Off() {
			t.Errorf("value at %.0f told %.2f steps off, within %.2f", v.At, v.Difference, v.Within)
		}
	}
}
