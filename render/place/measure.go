package place

import (
	"math"
	"strconv"
)

// finestPart is the smallest part that a comparison by eye is told in: eighths.
const finestPart = 8

// saidPart is the smallest part that is said without a thought: quarters.
const saidPart = 4

// mostUnits is how many units are counted: the longest side in the shortest.
const mostUnits = float64(largestSide / smallestSide)

// Measure is how often a unit goes into a span, as painters compare by eye.
type Measure struct {
	Ratio  float64 // over 0, or 0 where there is no telling
	Within float64 // how surely the ratio is known
	// The ratio in whole units and a fraction in lowest terms, no finer than
	// eighths; Den is 1 where there is no fraction.
	Whole, Num, Den int
	// Off is the ratio less that fraction, and Holds whether the fraction cannot
	// be told from the ratio.
	Off   float64
	Holds bool
}

// In compares the span with a unit. Its fraction is the nearest of wholes, halves, thirds
// and quarters, as painters say them, if that is within the uncertainty; else the one of
// the smallest denominator that is; if there is none, the nearest, which then does not
// hold. A unit that does not tell a length, or goes into the span over
// 100,000 times, gives a Measure of zeros.
// The ratio's uncertainty is of the first order (JCGM 100:2008, 5.1.6).
func (s Span) In(unit Span) Measure {
	ratio := float64(s.Length() / unit.Length())
	if !unit.Tells() || !(ratio <= mostUnits) {
		return Measure{}
	}
	m := Measure{Ratio: ratio}
	m.Within = math.Hypot(float64(s.Within()), ratio*float64(unit.Within())) / float64(unit.Length())
	num, den := simplest(ratio, m.Within)
	m.Off = ratio - float64(num)/float64(den)
	m.Holds = math.Abs(m.Off) <= m.Within
	m.Whole, m.Num, m.Den = num/den, num%den, den
	return m
}

// simplest is the nearest fraction up to saidPart if it is no further than within from the
// ratio, else that of the smallest denominator that is not, or the nearest one, none finer
// than finestPart. A ratio over nothing is never called 0.
func simplest(ratio, within float64) (num, den int) {
	if num, den = nearestPart(ratio, saidPart, 0); den > 0 && math.Abs(ratio-float64(num)/float64(den)) <= within {
		return num, den
	}
	if num, den = nearestPart(ratio, finestPart, within); den == 0 {
		return 0, 1
	}
	return num, den
}

// nearestPart is the fraction nearest to a ratio of those with denominators up to a
// finest, or the first that is no further than within; 0, 0 if there is none but 0.
func nearestPart(ratio float64, finest int, within float64) (num, den int) {
	best := math.Inf(1)
	for d := 1; d <= finest; d++ {
		n := int(math.Round(ratio * float64(d)))
		if n == 0 {
			continue
		}
		off := math.Abs(ratio - float64(n)/float64(d))
		if off <= within {
			return n, d
		}
		if off < best-1e-12 { // so that 2/4 does not beat 1/2 by rounding
			num, den, best = n, d, off
		}
	}
	return num, den
}

// String spells the fraction: "2 1/3", "3/4", "2"; with "a little over" or "a
// little under" before it where it does not hold; "under 1/8" where the span is
// too short for any.
func (m Measure) String() string {
	var text string
	switch {
	case m.Den == 0:
		return unspelt
	case m.Whole == 0 && m.Num == 0:
		return "under 1/" + strconv.Itoa(finestPart)
	case m.Num == 0:
		text = strconv.Itoa(m.Whole)
	case m.Whole == 0:
		text = strconv.Itoa(m.Num) + "/" + strconv.Itoa(m.Den)
	default:
		text = strconv.Itoa(m.Whole) + " " + strconv.Itoa(m.Num) + "/" + strconv.Itoa(m.Den)
	}
	switch {
	case m.Holds:
		return text
	case m.Off > 0:
		return "a little over " + text
	}
	return "a little under " + text
}
