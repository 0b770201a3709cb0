package shape

import (
	"cmp"
	"container/heap"
	"math"

	"maulstick/render/place"
)

// cut is how far a line through the middles of pixels' sides is from the corners
// that it cuts.
var cut = math.Sqrt(1.0 / 8)

// Simplify is the outline with fewer places, and without the stairs of pixels:
// no place of the border is farther from the line in its stead than the
// tolerance, in pixels. One under 0.36 pixels leaves the outline as it is.
//
// The line is first led through the middles of the pixels' sides, but for
// junctions and the picture's border, which stay where they are. Then it takes
// away, again and again, the place that makes the smallest triangle with
// its neighbours (Visvalingam and Whyatt, Line generalisation by repeated
// elimination of points, Cartographic Journal 30, 1993), but none whose triangle
// holds another place: so no line comes to cross itself or another, none changes
// sides, junctions stay, and the arcs stay the same borders in the same order.
func (o *Outline) Simplify(tolerance float64) *Outline {
	if !(tolerance > cut) {
		return o
	}
	s := newSimplifier(o, tolerance-cut)
	for len(s.queue) > 0 {
		c := heap.Pop(&s.queue).(removal)
		if n := &s.nodes[c.node]; n.alive && n.area == c.area && s.mayGo(c.node) {
			s.remove(c.node)
		}
	}
	return s.outline(o)
}

// spot is a place in half pixels: a corner of pixels, or the middle of a side.
type spot struct{ x, y int32 }

// node is a place of an arc with its neighbours along it, -1 at the ends.
type node struct {
	spot
	arc        int32
	prev, next int32
	origin     int32 // of the arc's places before anything was taken away
	area       int64 // twice that of its triangle when it was queued
	alive      bool
}

// removal is a place that may go.
type removal struct {
	area int64
	node int32
}

// removals is a heap with the smallest triangle first, of equal ones the first.
type removals []removal

func (c removals) Len() int { return len(c) }
func (c removals) Less(i, j int) bool {
	if c[i].area != c[j].area {
		return c[i].area < c[j].area
	}
	return c[i].node < c[j].node
}
func (c removals) Swap(i, j int) { c[i], c[j] = c[j], c[i] }
func (c *removals) Push(v any)   { *c = append(*c, v.(removal)) }
func (c *removals) Pop() any {
	last := len(*c) - 1
	v := (*c)[last]
	*c = (*c)[:last]
	return v
}

// simplifier takes places away from an outline.
type simplifier struct {
	tolerance2 float64 // squared, in half pixels
	columns    int     // of places in half pixels
	nodes      []node
	first      []int32 // of each arc
	size       []int32 // of each arc: places left, both ends counted
	queue      removals
	taken      []uint8         // at each place: how many nodes lie there
	direct     map[[2]int]bool // pairs of places that an arc joins directly
	original   [][]spot
}

func newSimplifier(o *Outline, tolerance float64) *simplifier {
	s := &simplifier{tolerance2: 4 * tolerance * tolerance, columns: 2*o.Width + 1, direct: map[[2]int]bool{}}
	s.taken = make([]uint8, s.columns*(2*o.Height+1))
	for i := range o.Arcs {
		s.addArc(int32(i), smoothed(&o.Arcs[i]))
	}
	for i := range s.nodes {
		s.enqueue(int32(i))
	}
	return s
}

// smoothed is a traced arc led through the middles of the pixels' sides between
// its ends; as it is along the picture's border.
func smoothed(a *Arc) []spot {
	half := func(p place.PhotoPoint) spot { return spot{int32(2 * p.X), int32(2 * p.Y)} }
	spots := []spot{half(a.Points[0])}
	for k, p := range a.Points[1:] {
		from, to := half(a.Points[k]), half(p)
		if a.Border() {
			spots = append(spots, to)
			continue
		}
		way := spot{int32(cmp.Compare(to.x, from.x)), int32(cmp.Compare(to.y, from.y))}
		for m := (spot{from.x + way.x, from.y + way.y}); m != (spot{to.x + way.x, to.y + way.y}); m.x, m.y = m.x+2*way.x, m.y+2*way.y {
			spots = append(spots, m)
		}
	}
	if !a.Border() {
		spots = append(spots, half(a.Points[len(a.Points)-1]))
	}
	return spots
}

// addArc makes the places of an arc known.
func (s *simplifier) addArc(arc int32, spots []spot) {
	start, last := int32(len(s.nodes)), int32(len(spots)-1)
	for k, p := range spots {
		k := int32(k)
		n := node{spot: p, arc: arc, prev: start + k - 1, next: start + k + 1, origin: k, alive: true}
		if k == 0 {
			n.prev = -1
		}
		if k == last {
			n.next = -1
		}
		s.nodes = append(s.nodes, n)
		s.taken[s.index(p)]++
	}
	s.first = append(s.first, start)
	s.size = append(s.size, last+1)
	s.original = append(s.original, spots)
	if last == 1 {
		s.direct[s.pair(start, start+1)] = true
	}
}

func (s *simplifier) index(p spot) int { return int(p.y)*s.columns + int(p.x) }

// pair is two places without regard to their order.
func (s *simplifier) pair(a, b int32) [2]int {
	i, j := s.index(s.nodes[a].spot), s.index(s.nodes[b].spot)
	return [2]int{min(i, j), max(i, j)}
}

// enqueue queues a place with the triangle that it makes now; the ends of an arc
// stay.
func (s *simplifier) enqueue(i int32) {
	n := &s.nodes[i]
	if n.prev < 0 || n.next < 0 {
		return
	}
	n.area = cross(s.nodes[n.prev].spot, n.spot, s.nodes[n.next].spot)
	n.area = max(n.area, -n.area)
	heap.Push(&s.queue, removal{n.area, i})
}

// cross is twice the area of a triangle, over zero if it turns right.
func cross(a, b, c spot) int64 {
	return int64(b.x-a.x)*int64(c.y-a.y) - int64(b.y-a.y)*int64(c.x-a.x)
}

// mayGo says whether a place can be taken away without harm.
func (s *simplifier) mayGo(i int32) bool {
	n := s.nodes[i]
	a, c := s.nodes[n.prev], s.nodes[n.next]
	ends := a.prev < 0 && c.next < 0
	first := s.nodes[s.first[n.arc]]
	round := first.spot == s.original[n.arc][len(s.original[n.arc])-1]
	if (round && s.size[n.arc] <= 4) || (ends && s.direct[s.pair(n.prev, n.next)]) {
		return false // a closed line stays a triangle at least
	}
	return s.within(a, c) && s.empty(a.spot, n.spot, c.spot)
}

// within says whether all original places between two lie close enough to the
// straight piece that joins them.
func (s *simplifier) within(a, c node) bool {
	dx, dy := float64(c.x-a.x), float64(c.y-a.y)
	long2 := dx*dx + dy*dy
	for _, p := range s.original[a.arc][a.origin+1 : c.origin] {
		px, py := float64(p.x-a.x), float64(p.y-a.y)
		// All of it is whole numbers and so exact, but for a division.
		along, off := px*dx+py*dy, px*dy-py*dx
		away2 := off * off / long2
		switch {
		case along < 0:
			away2 = px*px + py*py
		case along > long2:
			away2 = (px-dx)*(px-dx) + (py-dy)*(py-dy)
		}
		if away2 > s.tolerance2 {
			return false
		}
	}
	return true
}

// empty says whether a triangle holds no place but its own corners, its sides
// counted in.
func (s *simplifier) empty(a, b, c spot) bool {
	top, bottom := min(a.y, b.y, c.y), max(a.y, b.y, c.y)
	for y := top; y <= bottom; y++ {
		left, right := math.Inf(1), math.Inf(-1)
		for _, e := range [3][2]spot{{a, b}, {b, c}, {c, a}} {
			p, q := e[0], e[1]
			if y < min(p.y, q.y) || y > max(p.y, q.y) {
				continue
			}
			if p.y == q.y {
				left, right = min(left, float64(min(p.x, q.x))), max(right, float64(max(p.x, q.x)))
				continue
			}
			x := float64(p.x) + float64(int64(y-p.y)*int64(q.x-p.x))/float64(q.y-p.y)
			left, right = min(left, x), max(right, x)
		}
		const slack = 1e-6 // far less than a corner can be off a side
		for x := int32(math.Ceil(left - slack)); float64(x) <= right+slack; x++ {
			p := spot{x, y}
			if s.taken[s.index(p)] > 0 && p != a && p != b && p != c {
				return false
			}
		}
	}
	return true
}

// remove takes a place away.
func (s *simplifier) remove(i int32) {
	n := &s.nodes[i]
	n.alive = false
	s.taken[s.index(n.spot)]--
	s.size[n.arc]--
	s.nodes[n.prev].next, s.nodes[n.next].prev = n.next, n.prev
	if s.size[n.arc] == 2 {
		s.direct[s.pair(n.prev, n.next)] = true
	}
	s.enqueue(n.prev)
	s.enqueue(n.next)
}

// outline is what is left.
func (s *simplifier) outline(o *Outline) *Outline {
	out := &Outline{Width: o.Width, Height: o.Height, Arcs: make([]Arc, len(o.Arcs)), Rings: o.Rings}
	for i, a := range o.Arcs {
		a.Points = make([]place.PhotoPoint, 0, s.size[i])
		for n := s.first[i]; n >= 0; n = s.nodes[n].next {
			a.Points = append(a.Points, place.PhotoPoint{X: float64(s.nodes[n].x) / 2, Y: float64(s.nodes[n].y) / 2})
		}
		out.Arcs[i] = a
	}
	return out
}
