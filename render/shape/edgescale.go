package shape

import (
	"math"
	"sync"
)

// edgeScale corrects the variances of edges that are read from their gradients:
// what smoothing by so few pixels does is no exact Gaussian, and so a narrow
// edge appears wider than it is, by a quarter at one pixel. It is found by
// measuring edges of known width. An edge along the rows or columns keeps its
// place between the pixels and has a scale for each; a slanting one goes through
// all places and has one of its own for each slant.
type edgeScale struct {
	straight [phases][]float64
	slanting [slants][]float64
}

const (
	// phases is how many places between the pixels scales are found for, from
	// their centres to halfway between two.
	phases     = 3
	phaseApart = 0.5 / (phases - 1)
	// slants is how many directions scales are found for, up to 45 degrees; all
	// others mirror these.
	slants     = 4
	slantApart = math.Pi / 4 / slants
	// halvings is how many scales there are: one for the picture itself and one
	// for all halved copies.
	halvings = 2
)

// knownVariances are those of the edges that are measured, in pixels squared.
var knownVariances = []float64{0.01, 0.0625, 0.16, 0.3025, 0.49, 0.81, 1.44, 2.25}

var edgeScales = sync.OnceValue(func() *[halvings]edgeScale {
	scales := new([halvings]edgeScale)
	for level := range scales {
		s := &scales[level]
		for _, v := range knownVariances {
			for phase := range phases {
				s.straight[phase] = append(s.straight[phase], apparentVariance(level, v, 0, float64(phase)*phaseApart))
			}
			for slant := range slants {
				angle := float64(slant+1) * slantApart
				both := (apparentVariance(level, v, angle, 0.25) + apparentVariance(level, v, angle, 0.75)) / 2
				s.slanting[slant] = append(s.slanting[slant], both)
			}
		}
	}
	return scales
})

// correct is the variance of an edge of an apparent one, read between the known
// ones by the direction and the place of the crests that it was read from.
func correct(level int, apparent float64, crests []crest) float64 {
	s := &edgeScales()[min(level, halvings-1)]
	var nx, ny, off float64
	for _, c := range crests {
		nx += math.Abs(float64(c.nx))
		ny += math.Abs(float64(c.ny))
		off += math.Abs(float64(c.off))
	}
	slant := math.Atan2(min(nx, ny), max(nx, ny)) / slantApart
	if k := int(slant); k >= 1 {
		k = min(k, slants-1)
		return between(s.slanting[k-1], s.slanting[k], slant-float64(k), apparent)
	}
	phase := min(off/float64(len(crests))/phaseApart, phases-1)
	k := min(int(phase), phases-2)
	straight := between(s.straight[k], s.straight[k+1], phase-float64(k), apparent)
	return (1-slant)*straight + slant*known(s.slanting[0], apparent)
}

// between is the variance of an apparent one, t of the way from one scale to
// another.
func between(a, b []float64, t, apparent float64) float64 {
	return (1-t)*known(a, apparent) + t*known(b, apparent)
}

// known is the variance of an apparent one in one direction: between the known
// ones, and parallel to the nearest beyond them.
func known(scale []float64, apparent float64) float64 {
	last := len(scale) - 1
	if d := apparent - scale[last]; d >= 0 {
		return knownVariances[last] + d
	}
	for k := last; k > 0; k-- {
		if below := scale[k-1]; apparent >= below {
			t := (apparent - below) / (scale[k] - below)
			return knownVariances[k-1] + t*(knownVariances[k]-knownVariances[k-1])
		}
	}
	return knownVariances[0] + apparent - scale[0]
}

// trialSide is the side of the pictures that scales are made from, in pixels of
// the level, and trialMargin how far from their border edges are measured: it
// mirrors the picture and bends a slanting edge.
const (
	trialSide   = 26
	trialMargin = 7
)

// apparentVariance is how wide a straight edge of a variance, in pixels squared
// of the level, appears that passes so far from a pixel's centre.
func apparentVariance(level int, v, angle, shift float64) float64 {
	side := trialSide << level
	pixel := float64(int(1) << level)
	sin, cos := math.Sincos(angle)
	deviation := math.Sqrt(2*v) * pixel
	p := newPlane(side, side)
	for y := range side {
		for x := range side {
			s := (float64(x)-float64(side/2)-shift*pixel)*cos + (float64(y)-float64(side/2))*sin
			p.at[y*side+x] = int32(math.Round(lightUnit * (20 + 30*math.Erfc(-s/deviation))))
		}
	}
	free := &pace{}
	for range level {
		p = p.halved(free)
	}
	s := newScene(p, level, 0, free)
	var g, h float64
	for _, c := range s.crests(2, free) {
		if min(c.x, c.y) >= trialMargin && max(c.x, c.y) < trialSide-trialMargin {
			g, h = g+float64(c.fine), h+float64(c.coarse)
		}
	}
	return s.apparent(g, h)
}
