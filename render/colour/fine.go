package colour

import (
	"math"
	"sync"
)

// FineParts is how many equal parts of lightness the fine scale has. It is the
// least common multiple of 1 to 9, so that the edges of every number of equal
// steps are edges of parts too; 252 parts are half a step of 20 L*.
const FineParts = 2520

// guessShift makes a table of 32,768 first guesses out of 24-bit light: fine
// enough that a guess is never more than a few parts off.
const guessShift = 9

// FineScale cuts lightness into FineParts equal parts in whole numbers: part i
// holds the light from L* 100*i/2520 up to, not including, 100*(i+1)/2520;
// white is in the last.
type FineScale struct {
	edges [FineParts + 1]Light // the smallest light of each part, and an end that none reaches
	guess [(int(FullLight) >> guessShift) + 1]uint16
}

// Fine is the one fine scale, made at the first use.
var Fine = sync.OnceValue(func() *FineScale {
	s := new(FineScale)
	for i := range FineParts {
		s.edges[i] = Edge(Lightness(float64(100*i) / FineParts))
	}
	s.edges[FineParts] = math.MaxUint32
	part := 0
	for g := range s.guess {
		for s.edges[part+1] <= Light(g)<<guessShift {
			part++
		}
		s.guess[g] = uint16(part)
	}
	return s
})

// Part is the part that a light falls into, 0 to FineParts-1. Light over
// FullLight counts as white.
func (s *FineScale) Part(l Light) int {
	l = min(l, FullLight)
	part := int(s.guess[l>>guessShift])
	for s.edges[part+1] <= l {
		part++
	}
	return part
}

// Thresholds is the table behind Part for a shader to search: entry k is the
// smallest Light of part k+1. It rises strictly, so twelve halvings find how
// many entries a Light reaches, which is its part. It is a copy.
func (s *FineScale) Thresholds() []Light {
	return append([]Light(nil), s.edges[1:FineParts]...)
}
