package check

import "math"

const (
	resamples      = 10 // fits to shapes drawn by chance
	resampleRounds = 5  // of least absolute offsets, and of Tukey's each
)

// resampled is how far the readings of shapes stray, as standard deviations in L*, if
// the exposure is fitted to as many shapes drawn from them by chance, some more than
// once and others not at all (B. Efron, Bootstrap methods, The Annals of Statistics
// 7:1, 1979): much where a few shapes decide what the rest are held against.
func (f *fitting) resampled(of [][]int, shapes []ShapeValue) []float64 {
	sums, squares := make([]float64, len(of)), make([]float64, len(of))
	state := uint32(1) // always the same draws
	for range resamples {
		drawn := make([]float64, len(of))
		for range of {
			state = state*1664525 + 1013904223
			drawn[(state>>8)%uint32(len(of))]++
		}
		g := *f
		g.drawn = drawn
		g.gains, g.offsets = append([]float64(nil), f.gains...), append([]float64(nil), f.offsets...)
		g.doubts, g.trust, g.normal = append([]float64(nil), f.doubts...), append([]float64(nil), f.trust...), nil
		g.run(resampleRounds, resampleRounds)
		for i := range of {
			off := lighter(shapes[i].reference.Luminance(), g.gain(f.gains[of[i][0]], of[i]...))
			sums[i] += off
			squares[i] += off * off
		}
	}
	const n = resamples
	for i := range sums {
		sums[i] = math.Sqrt(max(squares[i]/n-sums[i]*sums[i]/(n*n), 0) * n / (n - 1))
	}
	return sums
}
