package check

import (
	"errors"
	"flag"
	"fmt"
	"image"
	"image/png"
	"math/rand/v2"
	"os"
	"testing"

	"maulstick/render/photo"
	"maulstick/render/place"
)

// scenes is how many random scenes each trial runs through.
var scenes = flag.Int("scenes", 20, "random scenes a trial")

// dump writes pictures of failed scenes to a folder.
var dump = flag.String("dump", "", "folder for pictures of scenes that went wrong")

func save(t testing.TB, name string, p *photo.Picture) {
	if *dump == "" {
		return
	}
	f, err := os.Create(*dump + "/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, &image.NRGBA{Pix: p.Pix, Stride: 4 * p.Width, Rect: image.Rect(0, 0, p.Width, p.Height)}); err != nil {
		t.Fatal(err)
	}
}

// scene is a random scene: a reference cropped to its canvas, and a studio.
func scene(t testing.TB, seed uint64, size place.Pixels) (reference *photo.Picture, s *studio, rng *rand.Rand) {
	rng = rand.New(rand.NewPCG(seed, 6))
	p := load(t, pictures[rng.IntN(len(pictures))])
	canvas := place.Size{Width: 914.4, Height: 609.6}
	if p.Height > p.Width {
		canvas.Width, canvas.Height = canvas.Height, canvas.Width
	}
	crop := place.CentredCrop(p.Size(), canvas)
	if rng.IntN(2) == 0 { // another part of it
		crop.Width, crop.Height = crop.Width*0.8, crop.Height*0.8
		crop.X, crop.Y = rng.Float64()*(float64(p.Width)-crop.Width), rng.Float64()*(float64(p.Height)-crop.Height)
	}
	reference, err := photo.Reduced(p, crop, 1200)
	if err != nil {
		t.Fatal(err)
	}
	return reference, newStudio(rng, size, canvas), rng
}

// The corners of a canvas photographed by chance are found within 2 pixels, or it
// is declined.
func TestCornersOfRandomScenes(t *testing.T) {
	right, declined, wrong := 0, map[string]int{}, 0
	for seed := range uint64(*scenes) {
		reference, s, _ := scene(t, seed, place.Pixels{Width: 1600, Height: 1200})
		shot := s.shoot(t, reference)
		found, err := FindCanvas(shot, s.canvas)
		var d *Declined
		switch {
		case errors.As(err, &d):
			declined[d.Reason]++
			t.Logf("scene %d: %s", seed, d.Reason)
			save(t, fmt.Sprintf("declined-%d.png", seed), shot)
		case err != nil:
			t.Fatal(err)
		default:
			off := quadApart(found.Corners, s.corners())
			t.Logf("scene %d: %.2f px off, within %.2f, bow %.3f for %.3f", seed, off, found.Within, found.Bow.K, s.k1)
			if off > 2 {
				wrong++
				t.Logf("   found %v\n   true %v", found.Corners, s.corners())
				save(t, fmt.Sprintf("wrong-%d.png", seed), shot)
			} else {
				right++
			}
		}
	}
	t.Logf("of %d canvases %d were found within 2 pixels, %d wrongly, declined: %v", *scenes, right, wrong, declined)
	if wrong > 0 {
		t.Errorf("%d of %d canvases were found in the wrong place", wrong, *scenes)
	}
	if right*10 < *scenes*7 {
		t.Errorf("only %d of %d canvases were found", right, *scenes)
	}
}
