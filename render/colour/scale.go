package colour

import (
	"math"
	"slices"
)

// guessShift makes a table of 32,768 first guesses out of 24-bit light: fine
// enough that a guess is never more than a few parts off.
const guessShift = 9

// Scale cuts light from none to FullLight into parts, in whole numbers.
type Scale struct {
	edges []Light // the smallest light of each part, and an end that none reaches
	guess [(int(FullLight) >> guessShift) + 1]uint16
}

// NewScale is the parts between edges, given in any order, of which there are fewer
// than 65,536; the first part starts at no light.
func NewScale(edges []Light) *Scale {
	edges = append(slices.Clone(edges), 0)
	slices.Sort(edges)
	s := &Scale{edges: append(slices.Compact(edges), math.MaxUint32)}
	part := 0
	for g := range s.guess {
		for s.edges[part+1] <= Light(g)<<guessShift {
			part++
		}
		s.guess[g] = uint16(part)
	}
	return s
}

// Edges is the smallest light of each part, and after them a Light that none
// reaches. It is shared: do not change it.
func (s *Scale) Edges() []Light { return s.edges }

// AtLeast is a part that a light, at most FullLight, falls into or lies above by a
// few parts at most: where loops over many pixels, which keep Edges at hand, begin
// to look.
func (s *Scale) AtLeast(l Light) int { return int(s.guess[l>>guessShift&(1<<(24-guessShift)-1)]) }

// Part is the part that a light falls into, from 0. Light over FullLight counts as
// white.
func (s *Scale) Part(l Light) int {
	l = min(l, FullLight)
	part := s.AtLeast(l)
	for s.edges[part+1] <= l {
		part++
	}
	return part
}
