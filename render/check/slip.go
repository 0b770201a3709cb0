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
	sureFew    = 4.7       // the same, where only a few agree: at the rim of something they err alike
	fewVotes   = 5         // fewer than these are few
	leastVotes = 4         // matches that have to agree: three do so by chance too often
	slipReach  = 1.6       // windows between matches of one slip
	slipAgree  = 2.5       // millimetres, or a third of it, that neighbours may differ by
	plateau    = 3.0       // millimetres within which matches agree on how far a slip goes
)

// stray is a match that the whole leaves off, and by how much.
type stray struct {
	Match
	rx, ry float64
}

func (s stray) size() float64 { return math.Hypot(s.rx, s.ry) }

// apart is how far two strays differ.
func (s stray) apart(o stray) float64 { return math.Hypot(s.rx-o.rx, s.ry-o.ry) }

// agrees is 1 for a stray that is off alike, down to 0 for one that differs by a reach
// in millimetres and its doubt.
func (s stray) agrees(o stray, reach float64) float64 {
	r := s.apart(o) / (reach + float64(s.Within))
	return max(1-r*r, 0)
}

// mostAgreed is the member that most others agree with, those that are further off
// counting for more; under 0 where too few agree with any.
func mostAgreed(members []stray, reach float64) int {
	best, most := -1, 0.0
	for i, a := range members {
		sum, votes := 0.0, 0
		for _, b := range members {
			if k := a.agrees(b, reach); k > 0 {
				sum += k
				votes++
			}
		}
		if sum *= a.size(); votes >= leastVotes && sum > most {
			best, most = i, sum
		}
	}
	return best
}

// slips gathers the matches that the whole leaves off into slips, the largest first.
func slips(w Whole, spread float64, matches []Match, canvas place.Size) []Slip {
	long := float64(max(canvas.Width, canvas.Height))
	var strays []stray
	for _, m := range matches {
		rx, ry := miss(w, m, canvas)
		doubt := math.Hypot(float64(m.Within), spread/2)
		if math.Hypot(rx, ry) > max(leastSlip*long, sureSlip*doubt) {
			strays = append(strays, stray{m, rx, ry})
		}
	}
	var found []Slip
	for _, members := range neighbours(strays, slipReach*windowPart*long) {
		if s, ok := agreed(members, w, spread); ok {
			found = append(found, s)
		}
	}
	slices.SortFunc(found, func(a, b Slip) int {
		return cmp.Or(cmp.Compare(b.Size(), a.Size()), cmp.Compare(a.At.Y, b.At.Y), cmp.Compare(a.At.X, b.At.X))
	})
	return found
}

// neighbours are groups of strays in which each is near to another and off alike.
func neighbours(strays []stray, reach float64) [][]stray {
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
			near := math.Hypot(float64(a.At.X-b.At.X), float64(a.At.Y-b.At.Y)) < reach
			if near && a.apart(b) < max(slipAgree, max(a.size(), b.size())/3) {
				group[root(i)] = root(j)
			}
		}
	}
	gathered := make([][]stray, len(strays))
	for i, s := range strays {
		gathered[root(i)] = append(gathered[root(i)], s)
	}
	return slices.DeleteFunc(gathered, func(g []stray) bool { return len(g) < leastVotes })
}

// agreed is the slip that a group tells of. The middle of a moved part has moved as
// one; towards its rim it is drawn into what has not. Its slip is where most matches
// agree, and where as many do, the furthest; if hardly any agree closely, where they do
// loosely. What goes further still leaves it in doubt.
func agreed(members []stray, w Whole, spread float64) (s Slip, ok bool) {
	reach := plateau
	best := mostAgreed(members, reach)
	if best < 0 {
		reach = 5.0 / 3 * plateau
		if best = mostAgreed(members, reach); best < 0 {
			return s, false
		}
	}
	var weight, squares, x, y, dx, dy float64
	for _, b := range members {
		k := members[best].agrees(b, reach)
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
	dx, dy = dx/weight, dy/weight
	s.At = place.CanvasPoint{X: place.MM(x / weight), Y: place.MM(y / weight)}
	s.DX, s.DY = place.MM(dx), place.MM(dy)
	beyond := 0.0
	for _, b := range members {
		further := (b.rx*dx+b.ry*dy)/math.Hypot(dx, dy) - math.Hypot(dx, dy) - float64(b.Within)
		beyond += math.Pow(max(further, 0), 2) / float64(len(members))
	}
	scatter := max(squares/weight-dx*dx-dy*dy, 0)
	s.Within = place.MM(math.Sqrt(scatter/2 + 4/weight + beyond + math.Pow(float64(w.ShiftWithin), 2) + 0.25*spread*spread))
	sure := place.MM(sureGroup)
	if s.Matches < fewVotes {
		sure = sureFew
	}
	return s, s.Size() > sure*s.Within
}
