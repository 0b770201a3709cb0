package place

import (
	"math/rand/v2"
	"strings"
	"testing"
)

// Replacing the signs one after another gives what a strings.Replacer gives, which
// replaces them in one go: no sign that is put in is taken for another that follows.
func TestSignsAreReplacedOnce(t *testing.T) {
	atOnce := strings.NewReplacer(sameAs[:]...)
	random := rand.New(rand.NewPCG(1, 2))
	for range 20_000 {
		text := ""
		for range random.IntN(8) {
			// What is read and what it is read as, at random.
			text += sameAs[random.IntN(len(sameAs))]
		}
		if got, want := plain(text), strings.TrimSpace(atOnce.Replace(text)); got != want {
			t.Fatalf("%q is read as %q, want %q", text, got, want)
		}
	}
}
