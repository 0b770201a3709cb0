package check

import "math"

const (
	rivals      = 30  // fits begun with shapes drawn by chance
	rivalRounds = 10  // with all shapes, after that
	usualCost   = 0.3 // in pieces that stray, of a figure one deviation from what is usual
	rivalCost   = 1.5 // the same, that makes a fit e times less likely than another
)

// settled puts the best of several fits in the place of this one, each begun with shapes
// drawn by chance, so that some begin without what is painted off: a fit that has begun
// with a large shape that is off may have bent the exposure to it, and takes the rest for
// off instead. The best is that by which the fewest pieces stray. It returns by how much
// L* each shape reads differently by fits that are nearly as good.
func (f *fitting) settled(of [][]int, shapes []ShapeValue) []float64 {
	tries := []*fitting{f.copied()}
	for drawn := range draws(len(of), rivals) {
		g := newFitting(f.pieces, f.carded)
		g.drawn = drawn
		g.run(resampleRounds, resampleRounds)
		g.drawn = nil
		g.run(0, rivalRounds)
		tries = append(tries, g)
	}
	spread := mostFit
	for _, g := range tries {
		spread = min(spread, g.spread)
	}
	costs := make([]float64, len(tries))
	best := 0
	for i, g := range tries {
		costs[i] = g.cost(spread)
		if costs[i] < costs[best] {
			best = i
		}
	}
	*f = *tries[best]
	apart := make([]float64, len(of))
	for i := range of {
		now := f.read(shapes[i], of[i])
		for j, g := range tries {
			off := (g.read(shapes[i], of[i]) - now) * math.Exp((costs[best]-costs[j])/rivalCost)
			apart[i] = max(apart[i], math.Abs(off))
		}
	}
	return apart
}

// cost is how badly a fit explains the pieces, in pieces that stray by so much.
func (f *fitting) cost(spread float64) float64 {
	g := *f
	g.spread = spread
	sum := g.strays(f.shine)
	for k := range exposed {
		off := (f.exposure[k] - f.mean[k]) / f.stray[k]
		sum += usualCost * off * off
	}
	return sum
}

// read is by how much L* a shape is too light by this fit.
func (f *fitting) read(s ShapeValue, of []int) float64 {
	return lighter(s.reference.Luminance(), f.gain(f.gains[of[0]], of...))
}
