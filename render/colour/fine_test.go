package colour_test

import (
	"math/rand/v2"
	"testing"

	"maulstick/render/colour"
)

// Each part starts at the first light of its lightness: the definition, tried
// on both sides of every edge and on random light.
func TestFineParts(t *testing.T) {
	s, edges := colour.Fine(), colour.Fine().Thresholds()
	if len(edges) != colour.FineParts-1 {
		t.Fatalf("%d thresholds", len(edges))
	}
	for k, e := range edges {
		if s.Part(e) != k+1 || s.Part(e-1) != k {
			t.Fatalf("about edge %d: parts %d and %d", k, s.Part(e-1), s.Part(e))
		}
	}
	if s.Part(0) != 0 || s.Part(colour.FullLight) != colour.FineParts-1 {
		t.Errorf("black is in part %d, white in %d", s.Part(0), s.Part(colour.FullLight))
	}
	r := rand.New(rand.NewPCG(3, 4))
	for range 100000 {
		l := colour.Light(r.IntN(int(colour.FullLight) + 1))
		exact := float64(l.Lightness()) / 100 * colour.FineParts
		if b := float64(s.Part(l)); exact < b-1e-6 || (exact >= b+1+1e-6 && b < colour.FineParts-1) {
			t.Fatalf("light %d of L* %v is in part %v", l, l.Lightness(), b)
		}
	}
}
