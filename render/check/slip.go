package check

import (
	"cmp"
	"math"
	"slices"

	"maulstick/render/place"
)

// Slip is a part of the painting that is off where the drawing as a whole is not: by
// how much, to the right and down, and how surely, one standard deviation of the
// worse direction. At is where it belongs.
type Slip struct {
	At      place.CanvasPoint
	DX, DY  place.MM
	Within  place.MM
	Matches int // that agree on it
}

// Size is how far the slip is.
func (s Slip) Size() place.MM { return place.MM(math.Hypot(float64(s.DX), float64(s.DY))) }

const (
	leastSlip  = 1.0 / 240 // of the long side: about 5/32 in on 36 in
	sureSlip   = 3.0       // standard deviations, of one match
	sureGroup  = 3.5       // the same, of those that agree
	leastVotes = 3         // matches that have to agree
	slipReach  = 1.6       // windows between matches of one slip
	slipAgree  = 2.5       // millimetres, or a third of it, that they may differ by
	countReach = 1.5       // spreads about a slip's middle within which its matches are averaged
)

// slips gathers the matches that the whole leaves off into slips, the largest first.
func slips(w Whole, spread float64, matches []Match, canvas place.Size) []Slip {
	long := float64(max(canvas.Width, canvas.Height))
	type stray struct {
		Match
		rx, ry float64
	}
	var strays []stray
	for _, m := range matches {
		rx, ry := miss(w, m, canvas)
		doubt := math.Hypot(float64(m.Within), spread/2)
		if math.Hypot(rx, ry) > max(leastSlip*long, sureSlip*doubt) {
			strays = append(strays, stray{m, rx, ry})
		}
	}
	group := make([]int, len(strays))
	for i := range group {
		group[i] = i
	}
	root := func(i int) int {
		for group[i] != i {
			i = group[i]
		}
		return i
	}
	for i, a := range strays {
		for j, b := range strays[:i] {
			near := math.Hypot(float64(a.At.X-b.At.X), float64(a.At.Y-b.At.Y)) < slipReach*windowPart*long
			size := max(math.Hypot(a.rx, a.ry), math.Hypot(b.rx, b.ry))
			if near && math.Hypot(a.rx-b.rx, a.ry-b.ry) < max(slipAgree, size/3) {
				group[root(i)] = root(j)
			}
		}
	}
	gathered := map[int][]stray{}
	for i, s := range strays {
		gathered[root(i)] = append(gathered[root(i)], s)
	}
	var found []Slip
	for _, members := range gathered {
		if len(members) < leastVotes {
			continue
		}
		// The middle of a moved part has moved as one; towards its rim it is drawn
		// into what has not. Its slip is where most of its matches agree.
		best, most := 0, -1.0
		agree := func(a, b stray) float64 {
			r := math.Hypot(a.rx-b.rx, a.ry-b.ry) / (2 * slipAgree)
			return max(1-r*r, 0)
		}
		for i, a := range members {
			sum := 0.0
			for _, b := range members {
				sum += agree(a, b)
			}
			if sum *= 1 + math.Hypot(a.rx, a.ry)/long; sum > most {
				best, most = i, sum
			}
		}
		var s Slip
		var weight, squares, x, y, dx, dy float64
		for _, b := range members {
			k := agree(members[best], b)
			if k == 0 {
				continue
			}
			s.Matches++
			k /= math.Pow(float64(b.Within), 2) + 0.25
			weight += k
			x, y = x+k*float64(b.At.X), y+k*float64(b.At.Y)
			dx, dy = dx+k*b.rx, dy+k*b.ry
			squares += k * (b.rx*b.rx + b.ry*b.ry)
		}
		if s.Matches < leastVotes {
			continue
		}
		dx, dy = dx/weight, dy/weight
		s.At = place.CanvasPoint{X: place.MM(x / weight), Y: place.MM(y / weight)}
		s.DX, s.DY = place.MM(dx), place.MM(dy)
		scatter := max(squares/weight-dx*dx-dy*dy, 0)
		s.Within = place.MM(math.Sqrt(scatter/2 + 1/weight*4 + math.Pow(float64(w.ShiftWithin), 2) + 0.25*spread*spread))
		if s.Size() > sureGroup*s.Within {
			found = append(found, s)
		}
	}
	slices.SortFunc(found, func(a, b Slip) int {
		return cmp.Or(cmp.Compare(b.Size(), a.Size()), cmp.Compare(a.At.Y, b.At.Y), cmp.Compare(a.At.X, b.At.X))
	})
	return found
}
