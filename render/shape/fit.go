package shape

import (
	"math"
	"slices"

	"maulstick/render/colour"
)

// BestSteps is the n steps, 2 to 9, that show a picture with the least error:
// no other edges between the bins counted leave a smaller mean square difference
// in L* between the pixels and what their steps are shown as, which is the mean
// L* of each. They are found by dynamic programming over all edges at once, so
// that nothing can stick halfway. A picture of fewer lightnesses than steps
// leaves steps empty. The error, a *place.Problem, is about n alone.
func BestSteps(c Counted, n int) (Steps, error) {
	return fitted(c, n, func(p points, from, to int) float64 { return p.spread(from, to) })
}

// AreaSteps is the n steps, 2 to 9, whose areas differ least from one another in
// a picture, by the sum of squares; each is shown as the mean L* of what is in
// it. One lightness is never parted, so that a large flat area can make a step
// larger than the rest. A picture of fewer lightnesses than steps leaves steps
// empty. The error, a *place.Problem, is about n alone.
func AreaSteps(c Counted, n int) (Steps, error) {
	return fitted(c, n, func(p points, from, to int) float64 {
		w := p.weight[to] - p.weight[from]
		return w * w
	})
}

// WithMeans is the same steps, each shown as the mean L* of what a picture has in
// it; empty steps are shown as the grey of their middle.
func (s Steps) WithMeans(c Counted) Steps {
	if s.count == 0 {
		return s
	}
	shown := make([]colour.Lightness, s.count)
	for k, part := range Divide(c, s).Parts {
		shown[k] = s.Middle(k + 1)
		if !part.Empty {
			shown[k] = part.Mean
		}
	}
	s.show(shown)
	return s
}

// points are the bins that hold pixels, as sums over the first 0, 1, 2.. of
// them: of their pixels, and of lightness and its square times the pixels. The
// lightness is taken from the middle, 50, which keeps the sums small.
type points struct {
	bins                  []int
	weight, first, second []float64
}

// pointsHeld reads what was counted. Products are rounded before they are added,
// so that every processor finds the same sums.
func pointsHeld(c counted) points {
	p := points{weight: []float64{0}, first: []float64{0}, second: []float64{0}}
	for i, n := range c.pixels {
		if n == 0 {
			continue
		}
		last, l, w := len(p.bins), c.lightness(i)-50, float64(n)
		p.bins = append(p.bins, i)
		p.weight = append(p.weight, p.weight[last]+w)
		p.first = append(p.first, p.first[last]+float64(w*l))
		p.second = append(p.second, p.second[last]+float64(w*float64(l*l)))
	}
	return p
}

// spread is the sum of square differences of points from..to-1 from their mean.
func (p points) spread(from, to int) float64 {
	first := p.first[to] - p.first[from]
	return max(p.second[to]-p.second[from]-float64(first*first)/(p.weight[to]-p.weight[from]), 0)
}

// mean is the mean lightness of points from..to-1.
func (p points) mean(from, to int) colour.Lightness {
	return colour.Lightness(50 + (p.first[to]-p.first[from])/(p.weight[to]-p.weight[from]))
}

// fitted is n steps between whose edges the cost, added up, is least.
func fitted(c Counted, n int, cost func(p points, from, to int) float64) (Steps, error) {
	if err := checkCount(n); err != nil {
		return Steps{}, err
	}
	counts := c.counted()
	p := pointsHeld(counts)
	starts := partition(len(p.bins), n, func(from, to int) float64 { return cost(p, from, to) })
	var cuts []int
	for _, start := range starts {
		cuts = append(cuts, counts.cut(p.bins[start-1], p.bins[start]))
	}
	cuts = counts.cutEmpty(p.bins, cuts, n-1)
	edges := make([]colour.Lightness, 0, n-1)
	for _, bin := range cuts {
		edges = append(edges, edgeBelow(counts.edges[bin]))
	}
	return newSteps(edges, p.shown(cuts, middles(edges))), nil
}

// shown is the mean lightness of what lies between cuts, or the middle.
func (p points) shown(cuts []int, middles []colour.Lightness) []colour.Lightness {
	from := 0
	for k := range middles {
		to := from
		for to < len(p.bins) && (k == len(cuts) || p.bins[to] < cuts[k]) {
			to++
		}
		if to > from {
			middles[k] = p.mean(from, to)
		}
		from = to
	}
	return middles
}

// partition divides m points in a row into n runs, or m if that is fewer, none
// of them empty, with the least sum of costs; it returns where each run but the
// first starts. The cost of a run must obey the quadrangle inequality, as the
// spread about a mean and the square of a weight do: then the best last start
// never moves down as points are added, and halving finds it for all of them in
// the order of m log m.
func partition(m, n int, cost func(from, to int) float64) []int {
	n = min(n, m)
	if n < 2 {
		return nil
	}
	best := make([]float64, m+1) // best[j] is the least cost of the first j points
	for j := 1; j <= m; j++ {
		best[j] = cost(0, j)
	}
	start := make([][]int32, n+1) // start[k][j] is where the last of k runs starts
	for k := 2; k <= n; k++ {
		layer := layer{runs: k, before: best, best: make([]float64, m+1), start: make([]int32, m+1), cost: cost}
		layer.fill(k, m, k-1, m-1)
		best, start[k] = layer.best, layer.start
	}
	starts := make([]int, n-1)
	for k, end := n, m; k >= 2; k-- {
		end = int(start[k][end])
		starts[k-2] = end
	}
	return starts
}

// layer is the best partitions of every number of points into so many runs.
type layer struct {
	runs         int
	before, best []float64
	start        []int32
	cost         func(from, to int) float64
}

// fill finds the best partitions of from..to points, whose last run is known to
// start at low..high.
func (l *layer) fill(from, to, low, high int) {
	if from > to {
		return
	}
	middle := (from + to) / 2
	least, at := math.Inf(1), low
	for i := low; i <= min(high, middle-1); i++ {
		if sum := l.before[i] + l.cost(i, middle); sum < least {
			least, at = sum, i
		}
	}
	l.best[middle], l.start[middle] = least, int32(at)
	l.fill(from, middle-1, low, at)
	l.fill(middle+1, to, at, high)
}

// cut is the first bin of the lighter of two steps that part between two bins
// with nothing in between: of the gaps between grey codes there, or without any
// of the bins, the one nearest to halfway.
func (c counted) cut(darker, lighter int) int {
	halfway := (c.lightness(darker) + c.lightness(lighter)) / 2
	at, atGap, least := lighter, false, math.Inf(1)
	for bin := darker + 1; bin <= lighter; bin++ {
		gap, away := c.isGap(bin), math.Abs(float64(edgeBelow(c.edges[bin]))-halfway)
		if gap && !atGap || gap == atGap && away < least {
			at, atGap, least = bin, gap, away
		}
	}
	return at
}

// isGap says whether a bin, not the first, starts between two grey codes.
func (c counted) isGap(bin int) bool {
	return c.edges[bin].Grey() != (c.edges[bin] - 1).Grey()
}

// cutEmpty adds cuts until there are n, where every bin that is held is a step
// of its own already: each new one in the gap between grey codes farthest from
// all that is there, so that only empty steps come of it.
func (c counted) cutEmpty(held, cuts []int, n int) []int {
	for len(cuts) < n {
		there := []float64{0, 100}
		for _, bin := range held {
			there = append(there, c.lightness(bin))
		}
		for _, bin := range cuts {
			there = append(there, float64(edgeBelow(c.edges[bin])))
		}
		cuts = append(cuts, c.farthest(there))
		slices.Sort(cuts)
	}
	return cuts
}

// farthest is the bin that starts in the gap between grey codes farthest from
// the nearest of some lightnesses.
func (c counted) farthest(there []float64) int {
	at, most := 1, -1.0
	for bin := 1; bin < len(c.pixels); bin++ {
		if !c.isGap(bin) {
			continue
		}
		away := math.Inf(1)
		for _, l := range there {
			away = min(away, math.Abs(float64(edgeBelow(c.edges[bin]))-l))
		}
		if away > most {
			at, most = bin, away
		}
	}
	return at
}
