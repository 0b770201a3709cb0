package check

import (
	"math"
	"slices"

	"maulstick/render/place"
)

// Whole is how the drawing as a whole lies off the canvas, about the canvas's
// middle: what a painter who had put everything consistently would have done.
type Whole struct {
	DX, DY       place.MM // shift, to the right and down
	Turn         float64  // degrees, over 0 clockwise
	Across, Down float64  // stretch, 1 where there is none

	// One standard deviation of each.
	ShiftWithin                          place.MM
	TurnWithin, AcrossWithin, DownWithin float64
}

// at is how far the whole is off at a place, relative to the canvas's middle.
func (w Whole) at(x, y float64) (dx, dy float64) {
	turn := w.Turn * math.Pi / 180
	return float64(w.DX) + (w.Across-1)*x - turn*y, float64(w.DY) + turn*x + (w.Down-1)*y
}

const (
	leastSpread = 1.0  // millimetres: what squaring up leaves in doubt
	mostTurn    = 6.0  // degrees, of what is taken for a turn
	mostStretch = 0.12 // the same
)

// fitWhole fits shift, turn and two stretches to matches, those that stray counting
// less and in the end not at all (Tukey's biweight), beginning with the fit to three
// matches that leaves the least median (P. J. Rousseeuw, Least median of squares
// regression, Journal of the American Statistical Association 79:871, 1984).
// spread is how far matches that agree stray, millimetres.
func fitWhole(matches []Match, canvas place.Size) (w Whole, spread float64, ok bool) {
	if len(matches) < 6 {
		return Whole{}, 0, false
	}
	w, ok = leastMedian(matches, canvas)
	if !ok {
		return Whole{}, 0, false
	}
	for range 12 {
		spread = max(1.4826*median(misses(w, matches, canvas))/1.177, leastSpread)
		m, v := make([]float64, 25), make([]float64, 5)
		total := 0.0
		for _, match := range matches {
			rx, ry := miss(w, match, canvas)
			r := math.Hypot(rx, ry) / (4 * spread)
			if r >= 1 {
				continue
			}
			weight := (1 - r*r) * (1 - r*r) / (math.Pow(float64(match.Within), 2) + leastSpread*leastSpread)
			total += weight
			addWhole(m, v, match, canvas, weight)
		}
		// A slight pull to a drawing neither turned nor stretched.
		half := math.Hypot(float64(canvas.Width), float64(canvas.Height)) / 4
		for i := 2; i < 5; i++ {
			m[6*i] += 1e-3 * total * half * half
		}
		inverse := inverted(m, 5)
		if !solve(m, v) {
			return Whole{}, 0, false
		}
		w = wholeOf(v)
		// Windows overlap: four neighbours are about one.
		const shared = 4
		deviation := func(i int) float64 { return math.Sqrt(shared * inverse[i]) }
		w.ShiftWithin = place.MM(max(deviation(0), deviation(1)))
		w.TurnWithin, w.AcrossWithin, w.DownWithin = deviation(2)*180/math.Pi, deviation(3), deviation(4)
	}
	return w, spread, true
}

// inverted is the diagonal of the inverse of a matrix.
func inverted(m []float64, n int) []float64 {
	diagonal := make([]float64, n)
	for i := range n {
		v := make([]float64, n)
		v[i] = 1
		if solve(slices.Clone(m), v) {
			diagonal[i] = v[i]
		}
	}
	return diagonal
}

// wholeOf is the whole of five figures: shift across and down, turn in radians,
// stretches less one.
func wholeOf(v []float64) Whole {
	return Whole{DX: place.MM(v[0]), DY: place.MM(v[1]), Turn: v[2] * 180 / math.Pi, Across: 1 + v[3], Down: 1 + v[4]}
}

// addWhole adds a match to the normal equations.
func addWhole(m, v []float64, match Match, canvas place.Size, weight float64) {
	x, y := fromMiddle(match.At, canvas)
	for _, row := range [2]struct {
		at  [5]float64
		off float64
	}{{[5]float64{1, 0, -y, x, 0}, float64(match.DX)}, {[5]float64{0, 1, x, 0, y}, float64(match.DY)}} {
		for i := range 5 {
			for j := range 5 {
				m[5*i+j] += weight * row.at[i] * row.at[j]
			}
			v[i] += weight * row.at[i] * row.off
		}
	}
}

// fromMiddle is a canvas place relative to the canvas's middle.
func fromMiddle(p place.CanvasPoint, canvas place.Size) (x, y float64) {
	return float64(p.X - canvas.Width/2), float64(p.Y - canvas.Height/2)
}

// miss is what the whole leaves of a match.
func miss(w Whole, m Match, canvas place.Size) (dx, dy float64) {
	x, y := fromMiddle(m.At, canvas)
	wx, wy := w.at(x, y)
	return float64(m.DX) - wx, float64(m.DY) - wy
}

// misses are the lengths of what is left.
func misses(w Whole, matches []Match, canvas place.Size) []float64 {
	lengths := make([]float64, len(matches))
	for i, m := range matches {
		dx, dy := miss(w, m, canvas)
		lengths[i] = math.Hypot(dx, dy)
	}
	return lengths
}

func median(values []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	sorted := slices.Clone(values)
	slices.Sort(sorted)
	return sorted[len(sorted)/2]
}

// leastMedian tries fits to three matches far apart, always the same ones.
func leastMedian(matches []Match, canvas place.Size) (best Whole, ok bool) {
	least := math.Inf(1)
	n := uint32(len(matches))
	state := uint32(1)
	next := func() uint32 {
		state = state*1664525 + 1013904223
		return (state >> 8) % n
	}
	for range 600 {
		i, j, k := next(), next(), next()
		if i == j || j == k || i == k {
			continue
		}
		m, v := make([]float64, 25), make([]float64, 5)
		for _, at := range []uint32{i, j, k} {
			addWhole(m, v, matches[at], canvas, 1)
		}
		for d := range 5 {
			m[6*d] += 1e-9 * (1 + m[6*d])
		}
		if !solve(m, v) {
			continue
		}
		w := wholeOf(v)
		if math.Abs(w.Turn) > mostTurn || math.Abs(w.Across-1) > mostStretch || math.Abs(w.Down-1) > mostStretch {
			continue
		}
		if off := median(misses(w, matches, canvas)); off < least {
			best, least, ok = w, off, true
		}
	}
	return best, ok
}
