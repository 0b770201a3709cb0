package shape

import (
	"container/heap"
	"slices"
	"sort"
)

// Hierarchy is all ways to flatten a picture, from its finest shapes to a single
// one: the smallest shape merges into the neighbour it is closest to, again and
// again. It is worked out once; any smallest size and any number of shapes is
// then read from it.
//
// The closest neighbour is the one with the least square of the CIELAB
// difference of mean colours, divided by the length of the border shared: the
// border's cost in the functional of Mumford and Shah as Koepfler, Lopez and
// Morel merge by it (A multiscale algorithm for image segmentation by
// variational method, SIAM J. Numer. Anal. 31, 1994), for a region far smaller
// than its neighbour. Neighbours of one label become one shape at once. Borders
// that remain are not touched.
type Hierarchy struct {
	width, height int
	base          []uint32 // of each pixel: its finest region
	regions       []region
	merges        []joining // sizes never fall
}

// joining makes a region part of another, whose label stays.
type joining struct {
	from, into uint32
	size       uint32 // the area of the smallest region at that time
	left       uint32 // how many shapes there are afterwards
	fused      bool   // it follows from the merge before, the two having one label
}

// mergesBelow is how many merges it takes until no shape is under an area.
func (h *Hierarchy) mergesBelow(area float64) int {
	return sort.Search(len(h.merges), func(i int) bool { return float64(h.merges[i].size) >= area })
}

// mergesTo is how many merges it takes to come as near as can be to a count.
// Merges that happen at once are not torn apart.
func (h *Hierarchy) mergesTo(count int) int {
	left := func(merges int) int {
		if merges == 0 {
			return len(h.regions)
		}
		return int(h.merges[merges-1].left)
	}
	before := sort.Search(len(h.merges), func(i int) bool { return int(h.merges[i].left) <= count })
	if len(h.regions) <= count || before == len(h.merges) {
		return min(before, len(h.merges))
	}
	after := before + 1
	for before > 0 && h.merges[before].fused {
		before--
	}
	for after < len(h.merges) && h.merges[after].fused {
		after++
	}
	if left(before)-count < count-left(after) {
		return before
	}
	return after
}

// merger works out a hierarchy.
type merger struct {
	*Hierarchy
	sums   []region
	labs   [][3]int32
	parent []uint32
	near   [][]border // of each living region: its neighbours, maybe old or repeated
	queue  sizes
	shared []uint32 // by neighbour: the length of border collected
	left   int
}

// border is a neighbour and the length of the shared border in sides of pixels.
type border struct{ to, length uint32 }

// find is the living region that a region has become part of.
func (m *merger) find(r uint32) uint32 {
	for m.parent[r] != r {
		m.parent[r] = m.parent[m.parent[r]]
		r = m.parent[r]
	}
	return r
}

// merge works the whole hierarchy out.
func (h *Hierarchy) merge(w *work) {
	w.stage(0.8, 0.08)
	m := &merger{Hierarchy: h, sums: slices.Clone(h.regions), left: len(h.regions)}
	m.near = neighbours(w, h.base, h.width, len(h.regions))
	m.labs = make([][3]int32, m.left)
	m.parent = make([]uint32, m.left)
	m.shared = make([]uint32, m.left)
	w.stage(0.88, 0.04)
	for i := range m.sums {
		if due(i) && !w.done(i, m.left) {
			return
		}
		m.labs[i] = m.sums[i].lab()
		m.parent[i] = uint32(i)
		m.queue = append(m.queue, sized{m.sums[i].area, uint32(i)})
	}
	heap.Init(&m.queue)
	w.stage(0.92, 0.08)
	const rounds = 1024
	for total, i := m.left, 0; m.left > 1; i++ {
		if i%rounds == 0 && !w.done(total-m.left, total) {
			return
		}
		m.mergeSmallest()
	}
}

// mergeSmallest merges the smallest region into the neighbour closest to it.
func (m *merger) mergeSmallest() {
	least := m.queue[0]
	for m.parent[least.id] != least.id || m.sums[least.id].area != least.area {
		if m.parent[least.id] == least.id {
			m.queue[0].area = m.sums[least.id].area
			heap.Fix(&m.queue, 0)
		} else {
			heap.Pop(&m.queue)
		}
		least = m.queue[0]
	}
	id := least.id
	m.tidy(id)
	into := m.closest(id)
	label := m.sums[into].label
	m.join(joining{from: id, into: into, size: least.area})
	for _, b := range m.near[id] {
		if o := m.find(b.to); o != into && m.sums[o].label == label {
			m.join(joining{from: o, into: into, size: least.area, fused: true})
			m.near[into], m.near[o] = joined(m.near[into], m.near[o])
		}
	}
	m.near[into], m.near[id] = joined(m.near[into], m.near[id])
	m.labs[into] = m.sums[into].lab()
}

// join makes one region part of another.
func (m *merger) join(j joining) {
	m.sums[j.into].add(&m.sums[j.from])
	m.parent[j.from] = j.into
	m.left--
	j.left = uint32(m.left)
	m.merges = append(m.merges, j)
}

// joined is two lists of neighbours in one, the longer one grown, and nothing
// for the other.
func joined(a, b []border) ([]border, []border) {
	if len(a) < len(b) {
		a, b = b, a
	}
	return append(a, b...), nil
}

// tidy rewrites a region's neighbours: each living one once, in the order in
// which they are met.
func (m *merger) tidy(id uint32) {
	list := m.near[id]
	kept := list[:0]
	for _, b := range list {
		to := m.find(b.to)
		if to == id {
			continue
		}
		if m.shared[to] == 0 {
			kept = append(kept, border{to: to})
		}
		m.shared[to] += b.length
	}
	for i := range kept {
		kept[i].length = m.shared[kept[i].to]
		m.shared[kept[i].to] = 0
	}
	m.near[id] = kept
}

// closest is the neighbour that a region is closest to; of equal ones that with
// the longer border, then the one met first.
func (m *merger) closest(id uint32) uint32 {
	own := m.labs[id]
	best, bestCost := m.near[id][0], m.cost(own, m.near[id][0])
	for _, b := range m.near[id][1:] {
		// cost/length is compared by multiplying across, which is exact.
		cost := m.cost(own, b)
		this, other := cost*uint64(best.length), bestCost*uint64(b.length)
		if this < other || (this == other && b.length > best.length) {
			best, bestCost = b, cost
		}
	}
	return best.to
}

// cost is the squared difference of colours.
func (m *merger) cost(own [3]int32, b border) uint64 {
	sum := uint64(0)
	for k, v := range m.labs[b.to] {
		d := int64(v - own[k])
		sum += uint64(d * d)
	}
	return sum
}

// sized is a region in the queue with the area that it had when last looked at.
type sized struct{ area, id uint32 }

// sizes is a heap with the smallest region first, of equal ones the first.
type sizes []sized

func (s sizes) Len() int { return len(s) }
func (s sizes) Less(i, j int) bool {
	if s[i].area != s[j].area {
		return s[i].area < s[j].area
	}
	return s[i].id < s[j].id
}
func (s sizes) Swap(i, j int) { s[i], s[j] = s[j], s[i] }
func (s *sizes) Push(v any)   { *s = append(*s, v.(sized)) }
func (s *sizes) Pop() any {
	last := len(*s) - 1
	v := (*s)[last]
	*s = (*s)[:last]
	return v
}

// neighbours is the list of each region's neighbours with the length of border
// shared, perhaps in several parts. The picture is taken
// in strips, so that what is sorted at once stays small.
func neighbours(w *work, base []uint32, width, n int) [][]border {
	near := make([][]border, n)
	strip := max(often/width, 1) * width
	var pairs []uint64
	note := func(a, b uint32) {
		if a != b {
			pairs = append(pairs, uint64(min(a, b))<<32|uint64(max(a, b)))
		}
	}
	for start := 0; start < len(base) && w.done(start, len(base)); start += strip {
		pairs = pairs[:0]
		for i := start; i < min(start+strip, len(base)); i++ {
			if i%width+1 < width {
				note(base[i], base[i+1])
			}
			if i+width < len(base) {
				note(base[i], base[i+width])
			}
		}
		slices.Sort(pairs)
		for rest := pairs; len(rest) > 0; {
			run := 1
			for run < len(rest) && rest[run] == rest[0] {
				run++
			}
			a, b := uint32(rest[0]>>32), uint32(rest[0])
			near[a] = append(near[a], border{b, uint32(run)})
			near[b] = append(near[b], border{a, uint32(run)})
			rest = rest[run:]
		}
	}
	return near
}
