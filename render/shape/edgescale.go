package shape

import (
	"math"
	"sync"
)

// edgeScale corrects the variances of edges that are read from their gradients:
// what smoothing by so few pixels does is no exact Gaussian, and so a narrow
// edge appears wider than it is, by a quarter at one pixel, and not the same in
// all directions. It is found by measuring edges of known width.
type edgeScale [slants]([]float64)

const (
	// slants is how many directions scales are found for, from along the rows
	// to a slant of 45 degrees; all others mirror these.
	slants     = 5
	slantApart = math.Pi / 4 / (slants - 1)
	// halvings is how many scales there are: one for the picture itself and one
	// for all halved copies.
	halvings = 2
)

// knownVariances are those of the edges that are measured, in pixels squared.
var knownVariances = []float64{0.01, 0.0625, 0.16, 0.3025, 0.49, 0.81, 1.44, 2.25}

var edgeScales = sync.OnceValue(func() (scales [halvings]edgeScale) {
	for level := range scales {
		for slant := range slants {
			for _, v := range knownVariances {
				scales[level][slant] = append(scales[level][slant], apparentVariance(level, v, float64(slant)*slantApart))
			}
		}
	}
	return scales
})

// correct is the variance of an edge of an apparent one that rises in a
// direction, read between the known ones.
func correct(level int, apparent, nx, ny float64) float64 {
	scale := edgeScales()[min(level, halvings-1)]
	nx, ny = math.Abs(nx), math.Abs(ny)
	slant := math.Atan2(min(nx, ny), max(nx, ny)) / slantApart
	k := min(int(slant), slants-2)
	t := slant - float64(k)
	return (1-t)*known(scale[k], apparent) + t*known(scale[k+1], apparent)
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

// apparentVariance is how wide straight edges of a variance appear on average
// over places between the pixels.
func apparentVariance(level int, v, angle float64) float64 {
	sum, shifts := 0.0, []float64{0.125, 0.375, 0.625, 0.875}
	for _, shift := range shifts {
		sum += apparentAt(level, v, angle, shift)
	}
	return sum / float64(len(shifts))
}

// apparentAt measures one edge of a variance, in pixels squared of the level.
func apparentAt(level int, v, angle, shift float64) float64 {
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
