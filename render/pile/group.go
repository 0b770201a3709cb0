package pile

import (
	"math"
	"slices"
)

// Before colours are joined one by one they are lumped into small cubes of
// OKLab, as small as keeps their number to mostLumps.
const (
	mostLumps = 1024
	firstCube = fine / 128
)

// candidates is how many groups are left when the number of piles is still to
// be found: enough for a small accent to have its own.
const candidates = 24

// mostMoves bounds how often colours are moved to the nearest pile; it settles
// long before.
const mostMoves = 60

// groups puts points into groups, counted from 0, and tells each point's: each
// groups, or as many as are found to be needed of a picture of total pixels.
// rest is called again and again meanwhile; its error ends the work.
func groups(points []point, each int, total uint64, rest func() error) ([]int, error) {
	lumps := lump(points)
	few := join(slices.Clone(lumps), candidates)
	if each != Found {
		return better(points, lumps, few, each, rest)
	}
	least := int64(math.Ceil(Least * float64(total)))
	centres := joinAlike(few, least)
	for {
		group, err := settle(points, centres, rest)
		if err != nil {
			return nil, err
		}
		settled := sumUp(points, group)
		centres = joinAlike(slices.Clone(settled), least)
		if len(centres) == len(settled) {
			return group, nil
		}
	}
}

// better joins the lumps to a number of groups in two ways, straight and by way
// of a few that have settled, and takes the closer fit: either alone can be
// caught by how the first were joined.
func better(points, lumps, few []point, each int, rest func() error) ([]int, error) {
	straight, err := settle(points, join(lumps, each), rest)
	if err != nil {
		return nil, err
	}
	settled, err := settle(points, few, rest)
	if err != nil {
		return nil, err
	}
	byWay, err := settle(points, join(sumUp(points, settled), each), rest)
	if err == nil && spread(points, byWay) < spread(points, straight) {
		return byWay, nil
	}
	return straight, err
}

// spread is the sum of the squared distances of all pixels from the middles of
// their groups.
func spread(points []point, group []int) float64 {
	centres, sum := sumUp(points, group), 0.0
	for i := range points {
		sum += float64(float64(points[i].count) * float64(square(&points[i], &centres[group[i]])))
	}
	return sum
}

// sumUp is the points of each group made one.
func sumUp(points []point, group []int) []point {
	sums := make([]point, slices.Max(group)+1)
	for i, p := range points {
		s := &sums[group[i]]
		s.count += p.count
		for j := range s.at {
			s.at[j] += p.at[j] * p.count
		}
	}
	for i := range sums {
		for j := range sums[i].at {
			sums[i].at[j] = divide(sums[i].at[j], sums[i].count)
		}
	}
	return sums
}

// divide is the whole number nearest to a quotient, halves away from 0.
func divide(n, by int64) int64 {
	if n < 0 {
		return -((-n + by/2) / by)
	}
	return (n + by/2) / by
}

// lump makes one of the points that share a small cube.
func lump(points []point) []point {
	for side := int64(firstCube); ; side *= 2 {
		key := func(p *point) [3]int64 {
			var k [3]int64
			for j, v := range p.at {
				k[j] = (v + fine) / side
			}
			return k
		}
		order := make([]int, len(points))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(a, b int) int {
			p, q := key(&points[a]), key(&points[b])
			return slices.Compare(p[:], q[:])
		})
		group, n := make([]int, len(points)), 0
		for i, of := range order {
			if i > 0 && key(&points[of]) != key(&points[order[i-1]]) {
				n++
			}
			group[of] = n
		}
		if n < mostLumps {
			return sumUp(points, group)
		}
	}
}

// square is the squared distance of two points.
func square(p, q *point) int64 {
	l, a, b := p.at[0]-q.at[0], p.at[1]-q.at[1], p.at[2]-q.at[2]
	return l*l + a*a + b*b
}

// cost is how much the squared distances of all pixels from their groups grow
// when two groups become one (Ward, J. American Statistical Association 58:236,
// 1963).
func cost(p, q *point) float64 {
	n, m := float64(p.count), float64(q.count)
	return float64(n*m) / (n + m) * float64(square(p, q))
}

// merge is two points made one.
func merge(p, q *point) point {
	both := point{count: p.count + q.count}
	for j := range both.at {
		both.at[j] = divide(p.at[j]*p.count+q.at[j]*q.count, both.count)
	}
	return both
}

// join makes one of the two groups that it costs least to join, until only few
// are left.
func join(all []point, few int) []point {
	nearest := make([]int, len(all))
	costs := make([]float64, len(all))
	look := func(i int) {
		nearest[i], costs[i] = -1, math.Inf(1)
		for j := range all {
			if j == i {
				continue
			}
			if c := cost(&all[i], &all[j]); c < costs[i] {
				nearest[i], costs[i] = j, c
			}
		}
	}
	for i := range all {
		look(i)
	}
	for len(all) > few {
		i := 0
		for j, c := range costs {
			if c < costs[i] {
				i = j
			}
		}
		gone := nearest[i]
		i, gone = min(i, gone), max(i, gone)
		all[i] = merge(&all[i], &all[gone])
		last := len(all) - 1
		all[gone], nearest[gone], costs[gone] = all[last], nearest[last], costs[last]
		all, nearest, costs = all[:last], nearest[:last], costs[:last]
		refresh(all, nearest, costs, i, gone, look)
	}
	return all
}

// refresh mends who is nearest to whom after group i has taken in another, into
// whose place the last group has moved.
func refresh(all []point, nearest []int, costs []float64, i, moved int, look func(int)) {
	last := len(all)
	for k := range all {
		switch nearest[k] {
		case i, moved:
			look(k)
			continue
		case last:
			nearest[k] = moved
		}
		if c := cost(&all[k], &all[i]); k != i && c < costs[k] {
			nearest[k], costs[k] = i, c
		}
	}
	look(i)
}

// joinAlike joins groups until each holds the least number of pixels, any two
// differ by Apart, and there are no more than mostFound.
func joinAlike(all []point, least int64) []point {
	for len(all) > 1 {
		i, j := tooSmall(all, least)
		if i < 0 {
			i, j = tooAlike(all)
		}
		if i < 0 {
			break
		}
		all[min(i, j)] = merge(&all[i], &all[j])
		all = slices.Delete(all, max(i, j), max(i, j)+1)
	}
	return join(all, mostFound)
}

// tooSmall is the smallest group and its nearest neighbour, -1 if it is large
// enough.
func tooSmall(all []point, least int64) (small, nearest int) {
	for i := range all {
		if all[i].count < all[small].count {
			small = i
		}
	}
	if all[small].count >= least {
		return -1, -1
	}
	nearest = -1
	for j := range all {
		if j != small && (nearest < 0 || square(&all[small], &all[j]) < square(&all[small], &all[nearest])) {
			nearest = j
		}
	}
	return small, nearest
}

// tooAlike is the two groups that differ least, -1 if they differ enough.
func tooAlike(all []point) (i, j int) {
	i, j = -1, -1
	nearest := Apart
	for a := range all {
		lab := all[a].lab()
		for b := range a {
			if off := lab.Difference(all[b].lab()); off < nearest {
				i, j, nearest = b, a, off
			}
		}
	}
	return i, j
}

// settle moves each point to the nearest centre, and the centres to the middle
// of their points, until nothing moves; the squared distances only ever fall. A
// centre that keeps no point is dropped.
func settle(points, centres []point, rest func() error) ([]int, error) {
	group := make([]int, len(points))
	for range mostMoves {
		if err := rest(); err != nil {
			return nil, err
		}
		moved := false
		for i := range points {
			best := 0
			for c := range centres {
				if square(&points[i], &centres[c]) < square(&points[i], &centres[best]) {
					best = c
				}
			}
			moved = moved || group[i] != best
			group[i] = best
		}
		dense(group)
		next := sumUp(points, group)
		if !moved && sameMiddles(next, centres) {
			break
		}
		centres = next
	}
	return group, nil
}

// sameMiddles says whether two lists of groups have the same middles.
func sameMiddles(all, others []point) bool {
	return slices.EqualFunc(all, others, func(p, q point) bool { return p.at == q.at })
}

// dense numbers groups anew, from 0 without a gap, in their old order.
func dense(group []int) {
	renamed := make([]int, slices.Max(group)+1)
	for _, g := range group {
		renamed[g] = 1
	}
	n := 0
	for g, used := range renamed {
		renamed[g] = n
		n += used
	}
	for i, g := range group {
		group[i] = renamed[g]
	}
}
