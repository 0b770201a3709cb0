package check

import (
	"iter"
	"math"
	"slices"
)

const (
	resamples      = 30 // fits to shapes drawn by chance
	resampleRounds = 4  // of least absolute offsets, and of Tukey's each
)

// resampled is how far the readings of shapes stray in L*, root mean square, if the
// exposure is fitted to as many shapes drawn from them by chance, some more than once
// and others not at all (B. Efron, Bootstrap methods, The Annals of Statistics 7:1,
// 1979): much where a few shapes decide what the rest are held against. Draws that
// leave a shape out tell what it would read if it had no say in the fit itself; the
// more of the two counts.
func (f *fitting) resampled(of [][]int, shapes []ShapeValue) []float64 {
	type strays struct{ n, squares float64 }
	all, without := make([]strays, len(of)), make([]strays, len(of))
	now := make([]float64, len(of))
	for i := range of {
		now[i] = f.read(shapes[i], of[i])
	}
	for drawn := range draws(len(of), resamples) {
		g := f.copied()
		g.drawn = drawn
		g.run(0, resampleRounds)
		for i := range of {
			off := g.read(shapes[i], of[i]) - now[i]
			all[i].n, all[i].squares = all[i].n+1, all[i].squares+off*off
			if drawn[i] == 0 {
				without[i].n, without[i].squares = without[i].n+1, without[i].squares+off*off
			}
		}
	}
	for i := range now {
		now[i] = math.Sqrt(max(all[i].squares/all[i].n, without[i].squares/max(without[i].n, 1)))
	}
	return now
}

// draws are shapes drawn by chance, as many as there are, so many times: how often each
// was drawn. They are always the same.
func draws(shapes, times int) iter.Seq[[]float64] {
	return func(yield func([]float64) bool) {
		state := uint32(1)
		for range times {
			drawn := make([]float64, shapes)
			for range shapes {
				state = state*1664525 + 1013904223
				drawn[(state>>8)%uint32(shapes)]++
			}
			if !yield(drawn) {
				return
			}
		}
	}
}

// copied shares the pieces, and nothing that a fit changes.
func (f *fitting) copied() *fitting {
	g := *f
	for _, s := range []*[]float64{&g.gains, &g.offsets, &g.doubts, &g.trust, &g.normal} {
		*s = slices.Clone(*s)
	}
	return &g
}
