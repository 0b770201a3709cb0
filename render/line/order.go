package line

import (
	"cmp"
	"math"
	"slices"

	"maulstick/render/place"
)

// order is the way through the lines, and how far the rule travels on it.
func (s *Set) order(corner place.Edges) (order []int, travel place.MM) {
	var level, plumb, slanted []int
	for i, l := range s.Lines {
		switch {
		case l.From.Y == l.To.Y:
			level = append(level, i)
		case l.From.X == l.To.X:
			plumb = append(plumb, i)
		default:
			slanted = append(slanted, i)
		}
	}
	s.sweep(level, corner.Bottom, func(l Line) place.MM { return l.From.Y })
	s.sweep(plumb, corner.Right, func(l Line) place.MM { return l.From.X })
	order = append(order, level...)
	if n := len(order); n > 0 && len(plumb) > 0 {
		last := order[n-1]
		if s.travel(last, plumb[len(plumb)-1]) < s.travel(last, plumb[0])-shorter {
			slices.Reverse(plumb)
		}
	}
	order = append(order, plumb...)
	order = append(order, s.wander(order, slanted)...)
	for i := 1; i < len(order); i++ {
		travel += place.MM(s.travel(order[i-1], order[i]))
	}
	return order, travel
}

// sweep sorts parallel lines from the corner's side on: no way is shorter.
func (s *Set) sweep(lines []int, far bool, at func(Line) place.MM) {
	slices.SortStableFunc(lines, func(i, j int) int {
		order := cmp.Compare(at(s.Lines[i]), at(s.Lines[j]))
		if far {
			return -order
		}
		return order
	})
}

// travel is how far a rule moves from one line to another: the mean of its two
// ends, whichever way round it is laid, in millimetres.
func (s *Set) travel(i, j int) float64 {
	a, b := s.Lines[i], s.Lines[j]
	apart := func(p, q place.CanvasPoint) float64 { return math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)) }
	return min(apart(a.From, b.From)+apart(a.To, b.To), apart(a.From, b.To)+apart(a.To, b.From)) / 2
}

// wander finds a short way through lines in any direction, after those drawn
// before: to the nearest next, then stretches of the way are turned round, or
// lines moved to elsewhere on it, as long as that shortens it.
func (s *Set) wander(before, lines []int) []int {
	way := slices.Clone(lines)
	if len(before) > 0 {
		way = append([]int{before[len(before)-1]}, way...)
	}
	n := len(way)
	apart := make([][]float64, n) // by place in way, to begin with
	for i := range way {
		apart[i] = make([]float64, n)
		for j := range way {
			apart[i][j] = s.travel(way[i], way[j])
		}
	}
	tour := make([]int, n)
	for i := range tour {
		tour[i] = i
	}
	for i := 1; i < n; i++ {
		nearest := i
		for j := i + 1; j < n; j++ {
			if apart[tour[i-1]][tour[j]] < apart[tour[i-1]][tour[nearest]] {
				nearest = j
			}
		}
		tour[i], tour[nearest] = tour[nearest], tour[i]
	}
	fixed := min(len(before), 1)
	for range 50 {
		if turned, moved := turn(tour, apart, fixed), move(tour, apart, fixed); !turned && !moved {
			break
		}
	}
	result := make([]int, 0, n)
	for _, i := range tour[fixed:] {
		result = append(result, way[i])
	}
	return result
}

// shorter is by how much a change has to shorten the way, in millimetres, so that
// rounding cannot go round in circles.
const shorter = 1e-6

// leg is how far it is between two places of a tour; nothing before its start and
// behind its end.
func leg(tour []int, apart [][]float64, i, j int) float64 {
	if min(i, j) < 0 || max(i, j) >= len(tour) {
		return 0
	}
	return apart[tour[i]][tour[j]]
}

// turn turns stretches round, behind the fixed start, where that shortens the way.
func turn(tour []int, apart [][]float64, fixed int) (better bool) {
	for i := fixed; i < len(tour); i++ {
		for j := i + 1; j < len(tour); j++ {
			now := leg(tour, apart, i-1, i) + leg(tour, apart, j, j+1)
			then := leg(tour, apart, i-1, j) + leg(tour, apart, i, j+1)
			if then < now-shorter {
				slices.Reverse(tour[i : j+1])
				better = true
			}
		}
	}
	return better
}

// move moves single lines to elsewhere on the way where that shortens it.
func move(tour []int, apart [][]float64, fixed int) (better bool) {
	for i := fixed; i < len(tour); i++ {
		saved := leg(tour, apart, i-1, i) + leg(tour, apart, i, i+1) - leg(tour, apart, i-1, i+1)
		for j := fixed; j <= len(tour); j++ { // to before j
			if j == i || j == i+1 {
				continue
			}
			added := leg(tour, apart, j-1, i) + leg(tour, apart, i, j) - leg(tour, apart, j-1, j)
			if added >= saved-shorter {
				continue
			}
			line := tour[i]
			if j > i {
				copy(tour[i:], tour[i+1:j])
				tour[j-1] = line
			} else {
				copy(tour[j+1:i+1], tour[j:i])
				tour[j] = line
			}
			better = true
			break
		}
	}
	return better
}
