package check

import (
	"math"

	"maulstick/render/crew"
	"maulstick/render/place"
)

// Match is a place of the reference found again on the painting, in millimetres of
// canvas: where it ought to be, how far off it is, to the right and down, and how
// surely, one standard deviation along the worse direction.
type Match struct {
	At     place.CanvasPoint `json:"at_mm"`
	DX     place.MM          `json:"dx_mm"`
	DY     place.MM          `json:"dy_mm"`
	Within place.MM          `json:"within_mm"`
	Alike  float64           `json:"alike"` // 0..1
}

// Tuning of matching. Lengths are parts of the canvas's long side.
const (
	windowPart  = 1.0 / 14   // the side of a window
	stridePart  = 1.0 / 28   // from window to window
	searchPart  = 0.07       // how far off a place is looked for at first
	againPart   = 0.045      // and once the overall shift is known
	leastAlike  = 0.45       // of windows that are taken for one place
	rivalAlike  = 0.9        // of the best that no other place comes up to
	hopefulPart = 0.7        // of the best of every other place, about which the rest are tried
	rivalReach  = 3          // pixels of the coarse copy within which it is the same place
	returnReach = 1          // pixels of the coarse copy that going back may be off
	sureWithin  = 1.0 / 110  // the most doubt about a match
	leastEnergy = 0.02       // of edges a pixel in a window
	correlated  = 700.0      // pixels of a field that are as good as one
	copies      = 3          // of which each is half as fine as the one before
	coarse      = copies - 1 // the one that is searched
)

// easel is reference and painting side by side, in copies of falling fineness.
type easel struct {
	size       place.Pixels
	pixel      float64 // millimetres, of the finest copy
	ref, paint [copies]field
	window     [copies]int
}

// newEasel measures the edges of two pictures of one size in OKLab.
func newEasel(ref, paint [3]plane, canvas place.Size) *easel {
	size := place.Pixels{Width: ref[0].width, Height: ref[0].height}
	e := &easel{size: size, pixel: float64(canvas.Width) / float64(size.Width)}
	side := windowPart * float64(max(size.Width, size.Height))
	for k := range copies {
		e.ref[k], e.paint[k] = fieldOf(ref), fieldOf(paint)
		e.window[k] = int(math.Round(side / float64(int(1)<<k)))
		if k+1 == copies {
			break
		}
		for i := range ref {
			ref[i], paint[i] = ref[i].halved(), paint[i].halved()
		}
	}
	return e
}

// guess is where a place of the reference, in pixels of the finest copy, is expected
// on the painting.
type guess func(x, y float64) (u, v float64)

// matches finds all sure matches about a guess, a part of the long side about, of every
// so manieth window each way.
func (e *easel) matches(expected guess, reach float64, every int) []Match {
	long := float64(max(e.size.Width, e.size.Height))
	stride := every * int(math.Round(stridePart*long))
	var places [][2]int
	for y := 0; y+e.window[0] <= e.size.Height; y += stride {
		for x := 0; x+e.window[0] <= e.size.Width; x += stride {
			places = append(places, [2]int{x, y})
		}
	}
	found := make([]*Match, len(places))
	crew.Share(len(places), 4, func(first, end int) {
		for i := first; i < end; i++ {
			if m, ok := e.match(places[i][0], places[i][1], expected, int(math.Ceil(reach*long/(1<<coarse)))); ok {
				found[i] = &m
			}
		}
	})
	var sure []Match
	for _, m := range found {
		if m != nil {
			sure = append(sure, *m)
		}
	}
	return sure
}

// match finds the window of the reference with its corner at (x, y) on the painting.
func (e *easel) match(x, y int, expected guess, reach int) (Match, bool) {
	half := float64(e.window[0]) / 2
	u, v := expected(float64(x)+half, float64(y)+half)
	side := e.window[coarse]
	cx, cy := x>>coarse, y>>coarse
	ref, paint := &e.ref[coarse], &e.paint[coarse]
	if !ref.holds(cx, cy, side) || ref.sum(cx, cy, side) < leastEnergy*float64(side*side) {
		return Match{}, false
	}
	cu, cv := int(math.Round((u-half)/(1<<coarse))), int(math.Round((v-half)/(1<<coarse)))
	bu, bv, ok := search(ref, cx, cy, paint, cu, cv, side, reach)
	if !ok {
		return Match{}, false
	}
	// From there the window of the painting has to lead back.
	if rx, ry, ok := search(paint, bu, bv, ref, cx, cy, side, rivalReach+3); !ok || max(abs(rx-cx), abs(ry-cy)) > returnReach {
		return Match{}, false
	}
	return e.sharpen(x, y, bu, bv)
}

func abs(i int) int { return max(i, -i) }

// search is the place on g most like a window of f, within a reach of a place; ok is
// false where it is not like enough, on the rim, or not the only one. Every other
// place of every other row is tried first, then the rest about all that could be best.
func search(f *field, x, y int, g *field, u, v, side, reach int) (bu, bv int, ok bool) {
	wide := 2*reach + 1
	scores := make([]float64, wide*wide)
	const untried = -2
	for at := range scores {
		scores[at] = untried
	}
	best := -1
	try := func(i, j int) {
		at := j*wide + i
		if i < 0 || j < 0 || i >= wide || j >= wide || scores[at] != untried {
			return
		}
		scores[at] = -1
		if a, b := u+i-reach, v+j-reach; g.holds(a, b, side) {
			scores[at] = alike(f, x, y, g, a, b, side)
			if best < 0 || scores[at] > scores[best] {
				best = at
			}
		}
	}
	for j := 0; j < wide; j += 2 {
		for i := 0; i < wide; i += 2 {
			try(i, j)
		}
	}
	if best < 0 || scores[best] < leastAlike-0.2 {
		return 0, 0, false
	}
	hopeful := hopefulPart * scores[best]
	for j := 0; j < wide; j += 2 {
		for i := 0; i < wide; i += 2 {
			if scores[j*wide+i] > hopeful {
				for k := range 9 {
					try(i+k%3-1, j+k/3-1)
				}
			}
		}
	}
	bi, bj := best%wide, best/wide
	if scores[best] < leastAlike-0.1 || bi == 0 || bj == 0 || bi == wide-1 || bj == wide-1 {
		return 0, 0, false
	}
	for at, s := range scores {
		if s > rivalAlike*scores[best] && max(abs(at%wide-bi), abs(at/wide-bj)) > rivalReach {
			return 0, 0, false
		}
	}
	return u + bi - reach, v + bj - reach, true
}

// sharpen follows a match of the coarse copy to the finest, to a part of a pixel.
func (e *easel) sharpen(x, y, u, v int) (Match, bool) {
	// Where the window's corner fell between pixels of the coarse copy.
	u, v = u<<coarse, v<<coarse
	u, v = u+x-(x>>coarse)<<coarse, v+y-(y>>coarse)<<coarse
	for k := coarse - 1; k >= 0; k-- {
		fx, fy := x>>k, y>>k
		bu, bv, best := e.climb(k, fx, fy, u>>k, v>>k)
		if best < leastAlike-0.05 {
			return Match{}, false
		}
		u, v = bu<<k+x-fx<<k, bv<<k+y-fy<<k
	}
	return e.settle(x, y, u, v)
}

// climb goes from a place on a copy of the painting to the most alike beside it, as
// long as there is one, a few pixels at most.
func (e *easel) climb(k, x, y, u, v int) (bu, bv int, best float64) {
	const steps = 4
	side, ref, paint := e.window[k], &e.ref[k], &e.paint[k]
	tried := map[[2]int]bool{}
	best = -2
	if !ref.holds(x, y, side) {
		return u, v, best
	}
	for range steps {
		fromU, fromV := u, v
		for i := range 9 {
			a, b := fromU+i%3-1, fromV+i/3-1
			if tried[[2]int{a, b}] || !paint.holds(a, b, side) {
				continue
			}
			tried[[2]int{a, b}] = true
			if s := alike(ref, x, y, paint, a, b, side); s > best {
				best, u, v = s, a, b
			}
		}
		if u == fromU && v == fromV {
			break
		}
	}
	return u, v, best
}

// settle reads the peak between pixels and weighs how sure it is.
func (e *easel) settle(x, y, u, v int) (Match, bool) {
	side, f, g := e.window[0], &e.ref[0], &e.paint[0]
	if !g.holds(u-1, v-1, side) || !g.holds(u+1, v+1, side) {
		return Match{}, false
	}
	score := func(i, j int) float64 { return alike(f, x, y, g, u+i, v+j, side) }
	middle := score(0, 0)
	if middle < leastAlike {
		return Match{}, false
	}
	top := func(before, after float64) float64 {
		bend := before - 2*middle + after
		if bend >= 0 {
			return 0
		}
		return min(max((before-after)/(2*bend), -0.5), 0.5)
	}
	dx, dy := top(score(-1, 0), score(1, 0)), top(score(0, -1), score(0, 1))
	// What is left unlike is noise; how far it moves the best place follows from
	// how fast the window changes (the bound of Cramer and Rao).
	xx, xy, yy := f.structure(x, y, side)
	energy := f.sum(x, y, side)
	noise := energy * (1 - middle*middle) / (2 * float64(side*side)) * correlated
	least := (xx + yy - math.Hypot(xx-yy, 2*xy)) / 2
	if !(least > 0) {
		return Match{}, false
	}
	within := math.Sqrt(noise/least) * e.pixel
	long := float64(max(e.size.Width, e.size.Height)) * e.pixel
	if within > sureWithin*long {
		return Match{}, false
	}
	half := float64(side) / 2
	return Match{
		At: place.CanvasPoint{X: place.MM((float64(x) + half) * e.pixel), Y: place.MM((float64(y) + half) * e.pixel)},
		DX: place.MM((float64(u-x) + dx) * e.pixel), DY: place.MM((float64(v-y) + dy) * e.pixel),
		Within: place.MM(within), Alike: middle,
	}, true
}
