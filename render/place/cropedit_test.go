package place_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"maulstick/render/place"
)

// same compares two crops up to rounding.
func same(t *testing.T, what string, got, want place.Crop) {
	t.Helper()
	for _, pair := range [][2]float64{{got.X, want.X}, {got.Y, want.Y}, {got.Width, want.Width}, {got.Height, want.Height}} {
		if !(math.Abs(pair[0]-pair[1]) <= 1e-9) {
			t.Errorf("%s: %v, want %v", what, got, want)
			return
		}
	}
}

// Crops pulled on a photograph of 1000 x 800 pixels, worked by hand.
func TestCropByHand(t *testing.T) {
	photo := place.Pixels{Width: 1000, Height: 800}
	crop := place.Crop{X: 100, Y: 100, Width: 300, Height: 200}
	for _, c := range []struct {
		what   string
		handle place.Handle
		dx, dy float64
		aspect place.Aspect
		want   place.Crop
	}{
		{"moved", place.Handle{}, 50, -30, 0, place.Crop{X: 150, Y: 70, Width: 300, Height: 200}},
		{"moved into the corner", place.Handle{}, 5000, 5000, 1.5, place.Crop{X: 700, Y: 600, Width: 300, Height: 200}},
		{"nudged", place.Handle{}, -1, 0, 0, place.Crop{X: 99, Y: 100, Width: 300, Height: 200}},
		{"free corner", place.Handle{X: 1, Y: 1}, 20, -50, 0, place.Crop{X: 100, Y: 100, Width: 320, Height: 150}},
		{"free top left", place.Handle{X: -1, Y: -1}, -200, 40, 0, place.Crop{X: 0, Y: 140, Width: 400, Height: 160}},
		{"free side", place.Handle{X: 1}, 20, 500, 0, place.Crop{X: 100, Y: 100, Width: 320, Height: 200}},
		{"pushed through", place.Handle{X: 1}, -900, 0, 0, place.Crop{X: 100, Y: 100, Width: 16, Height: 200}},
		{"locked corner, the larger pull", place.Handle{X: 1, Y: 1}, 30, 100, 1.5, place.Crop{X: 100, Y: 100, Width: 450, Height: 300}},
		{"locked side, about the middle", place.Handle{X: 1}, 30, 7, 1.5, place.Crop{X: 100, Y: 90, Width: 330, Height: 220}},
		{"locked top", place.Handle{Y: -1}, 0, 100, 1.5, place.Crop{X: 175, Y: 200, Width: 150, Height: 100}},
		{"locked corner to the edge", place.Handle{X: 1, Y: 1}, 5000, 0, 1.5, place.Crop{X: 100, Y: 100, Width: 900, Height: 600}},
		{"locked side as far as the photograph", place.Handle{X: 1}, 5000, 0, 1.5, place.Crop{X: 100, Y: 0, Width: 900, Height: 600}},
		{"locked top left to the edge", place.Handle{X: -1, Y: -1}, -5000, -5000, 1.5, place.Crop{X: 0, Y: 300 - 800.0/3, Width: 400, Height: 800.0 / 3}},
		{"locked and pushed through", place.Handle{X: 1, Y: 1}, -5000, -5000, 1.5, place.Crop{X: 100, Y: 100, Width: 24, Height: 16}},
		{"out of all measure", place.Handle{X: -1, Y: 1}, -1e300, 1e300, 0, place.Crop{X: 0, Y: 100, Width: 400, Height: 700}},
		{"no number", place.Handle{X: 1}, math.NaN(), 0, 0, crop},
	} {
		same(t, c.what, crop.Pulled(c.handle, c.dx, c.dy, photo, c.aspect), c.want)
	}
}

// However a crop is pulled, it stays on the photograph, keeps what is opposite
// the handle and, locked, its aspect.
func TestPulledCropsStay(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 42))
	for range 50_000 {
		photo := place.Pixels{Width: 20 + r.IntN(6000), Height: 20 + r.IntN(6000)}
		aspect := place.Aspect(math.Exp(2*r.Float64() - 1))
		crop := place.WholeCrop(photo).Locked(aspect)
		shrunk := 0.1 + 0.9*r.Float64()
		crop.Width, crop.Height = crop.Width*shrunk, crop.Height*shrunk
		crop = crop.Moved(r.Float64()*4000, r.Float64()*4000, photo)
		h := place.Handle{X: r.IntN(3) - 1, Y: r.IntN(3) - 1}
		for _, keep := range []place.Aspect{0, aspect} {
			got := crop.Pulled(h, 9000*(r.Float64()-0.5), 9000*(r.Float64()-0.5), photo, keep)
			if err := got.Check(photo); err != nil {
				t.Fatalf("%v held by %v: %v", crop, h, err)
			}
			if keep > 0 && math.Abs(float64(got.Aspect()/keep)-1) > 1e-9 {
				t.Fatalf("%v held by %v: %v has the aspect %v, not %v", crop, h, got, got.Aspect(), keep)
			}
			opposite := map[int][2]float64{1: {crop.X, got.X}, -1: {crop.X + crop.Width, got.X + got.Width}}[h.X]
			if math.Abs(opposite[0]-opposite[1]) > 1e-8 {
				t.Fatalf("%v held by %v: %v", crop, h, got)
			}
			opposite = map[int][2]float64{1: {crop.Y, got.Y}, -1: {crop.Y + crop.Height, got.Y + got.Height}}[h.Y]
			if math.Abs(opposite[0]-opposite[1]) > 1e-8 {
				t.Fatalf("%v held by %v: %v", crop, h, got)
			}
		}
	}
}

// A crop locked to a canvas is the largest about its middle; of the whole
// photograph that is the centred crop that studies have. A canvas changed to the
// crop instead has its proportion.
func TestLockedAndCanvases(t *testing.T) {
	photo, canvas := place.Pixels{Width: 6000, Height: 4000}, size(t, "24 x 36 in")
	same(t, "the whole photograph locked", place.WholeCrop(photo).Locked(canvas.Aspect()), place.CentredCrop(photo, canvas))
	crop := place.Crop{X: 10, Y: 20, Width: 100, Height: 200}
	same(t, "locked to a square", crop.Locked(1), place.Crop{X: 10, Y: 70, Width: 100, Height: 100})
	same(t, "locked to nothing", crop.Locked(0), crop)
	wide, high := crop.Canvases(canvas)
	closeTo(t, "as wide", float64(wide.Height), 48*inch, 1e-9)
	closeTo(t, "as high", float64(high.Width), 18*inch, 1e-9)
	if wide.Width != canvas.Width || high.Height != canvas.Height || wide.Unit != place.Inch {
		t.Errorf("the canvases are %v and %v", wide, high)
	}
}
