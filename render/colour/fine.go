package colour

import (
	"slices"
	"sync"
)

// FineParts is how many equal parts of lightness the fine scale has. It is the
// least common multiple of 1 to 9, so that the edges of every number of equal
// steps are edges of parts too; 252 parts are half a step of 20 L*.
const FineParts = 2520

// FineScale cuts lightness into FineParts equal parts: part i holds the light from
// L* 100*i/2520 up to, not including, 100*(i+1)/2520; white is in the last.
type FineScale struct{ *Scale }

// Fine is the one fine scale, made at the first use.
var Fine = sync.OnceValue(func() *FineScale {
	var edges []Light
	for i := range FineParts {
		edges = append(edges, Edge(Lightness(float64(100*i)/FineParts)))
	}
	return &FineScale{NewScale(edges)}
})

// Thresholds is the table behind Part for a shader to search: entry k is the
// smallest Light of part k+1. It rises strictly, so twelve halvings find how
// many entries a Light reaches, which is its part. It is a copy.
func (s *FineScale) Thresholds() []Light { return slices.Clone(s.edges[1:FineParts]) }
