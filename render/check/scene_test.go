package check

import (
	"flag"
	"iter"
	"math/rand/v2"
	"testing"

	"maulstick/render/photo"
	"maulstick/render/place"
)

// scenes is how many random scenes each trial runs through.
var scenes = flag.Int("scenes", 20, "random scenes a trial")

// first keeps scenes that the package is tuned on apart from those that prove it,
// which begin at 0.
var first = flag.Uint64("first", 0, "the first of the random scenes")

// seeds are those of the scenes of a trial.
func seeds() iter.Seq[uint64] {
	return func(yield func(uint64) bool) {
		for i := range uint64(*scenes) {
			if !yield(*first + i) {
				return
			}
		}
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
