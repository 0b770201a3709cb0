package shape

import "math"

// The variances of the smoothing before both gradients, in pixels squared of
// their level.
var (
	fineVariance   = fineSmoothing.variance() + gradientVariance
	coarseVariance = fineVariance + coarseSmoothing.variance()
)

// Widths of edges on the level they are measured at, as variances of their
// Gaussians in pixels squared: what is wider than widestHere is measured on a
// smaller copy, where noise is less, if there is one; narrower than narrowest
// cannot be told.
const (
	widestHere = 2.25
	widestLast = 4 * widestHere
	narrowest  = 0.04
)

// span is how many crests to each side are averaged at least and at most.
const (
	leastSpan = 3
	mostSpan  = 24
)

// A width counts as known when noise gives its variance a standard deviation of
// no more than wantedShare of it, or of wantedLeast.
const (
	wantedShare = 0.1
	wantedLeast = 0.025
)

// blurred is an edge's measure at one crest.
type blurred struct {
	variance float64 // of the edge's own Gaussian, in pixels squared of the level; may fall under 0 in noise
	crest    bool    // it rises more steeply than its surroundings by more than noise would make it
	contrast float64 // between its sides, L*
}

// measure is the width of an edge at every crest of a line, from the ratio of
// its gradients at two known amounts of smoothing (Zhuo and Sim, Defocus map
// estimation from a single image, Pattern Recognition 44, 2011, 1852-1858, with
// both gradients smoothed): an edge blurred by variance v, smoothed by a and by
// b, has gradients whose squares are as (v+b) to (v+a). The gradients are first
// averaged over as many neighbours as the noise calls for.
func (s *edgeScene) measure(line []crest) []blurred {
	fine, coarse := sums(line)
	out := make([]blurred, len(line))
	for i := range line {
		g, h := s.average(fine, coarse, i)
		apparent := s.apparent(g, h)
		around := line[max(i-leastSpan, 0):min(i+leastSpan+1, len(line))]
		v := correct(s.level, apparent, around)
		total := max(apparent, narrowest) + s.prior + fineVariance
		near, far := mean(fine, coarse, max(i-leastSpan, 0), min(i+leastSpan, len(line)-1))
		out[i] = blurred{
			variance: v,
			contrast: g * math.Sqrt(2*math.Pi*total),
			crest:    near-far > surely*s.noise.difference,
		}
	}
	return out
}

// leastExcess is what the squared ratio of the gradients exceeds 1 by at least:
// below it an edge is as wide as can be told.
const leastExcess = 1e-3

// apparent is the variance of an edge if all smoothing were Gaussian.
func (s *edgeScene) apparent(g, h float64) float64 {
	excess := max(g*g/(h*h)-1, leastExcess)
	return (coarseVariance-fineVariance)/excess - fineVariance - s.prior
}

// sums are the gradients of a line added up: entry i holds those before i.
func sums(line []crest) (fine, coarse []float64) {
	fine, coarse = make([]float64, len(line)+1), make([]float64, len(line)+1)
	for i, c := range line {
		fine[i+1] = fine[i] + float64(c.fine)
		coarse[i+1] = coarse[i] + float64(c.coarse)
	}
	return fine, coarse
}

// average is both gradients at a crest, averaged over the neighbours that lie as
// far to either side, as few as noise allows.
func (s *edgeScene) average(fine, coarse []float64, i int) (g, h float64) {
	last := len(fine) - 2
	for span := leastSpan; ; span *= 2 {
		from, to := max(i-span, 0), min(i+span, last)
		n := float64(to - from + 1)
		g, h = mean(fine, coarse, from, to)
		if span >= mostSpan || (from == 0 && to == last) || s.known(g, h, n) {
			return g, h
		}
	}
}

// mean is both gradients averaged over the crests from..to.
func mean(fine, coarse []float64, from, to int) (g, h float64) {
	n := float64(to - from + 1)
	return (fine[to+1] - fine[from]) / n, (coarse[to+1] - coarse[from]) / n
}

// surely is how many times the noise of the difference of both gradients that
// difference is at least where an edge lies: on a steep slope noise makes
// crests as well, but none that stands out.
const surely = 5

// known says whether two gradients averaged over n crests give the width surely
// enough. Crests nearer than twice the root of pi times the smoothing share
// their noise.
func (s *edgeScene) known(g, h, n float64) bool {
	apart := max(n/(2*math.Sqrt(math.Pi*(fineVariance+s.prior))), 1)
	a, b := s.noise.fine/g, s.noise.coarse/h
	relative := math.Sqrt(max(a*a+b*b-2*s.noise.common*a*b, 0) / apart)
	ratio := g * g / (h * h)
	excess := max(ratio-1, leastExcess)
	unsure := (coarseVariance - fineVariance) * 2 * ratio * relative / (excess * excess)
	return unsure <= max(wantedShare*s.apparent(g, h), wantedLeast)
}
