package shape

import (
	"math"
	"math/bits"
)

// Weights of linear light in a difference of colours, in 256ths: about those of
// luminance, since shapes are told apart by value first.
const weightR, weightG, weightB = 54, 183, 19

// grower gives every pixel to a region that grows from a core.
type grower struct {
	*Scene
	width, height int
	rank          [256]int
	reach         int      // half the width of the narrowest core, in pixels
	base          []uint32 // of each pixel: its region, counted from 1; 0 for none yet
	from          []uint32 // of each pixel: the core's pixel from which it was reached
	run           []uint16 // of each pixel: how far within a band it was reached
	labels        []uint8  // of the regions
	queue         buckets
}

// newGrower finds the cores: the pixels that lie far enough from other labels.
// If there is none, every pixel is core.
func newGrower(w *work, sc *Scene) *grower {
	w.stage(0, 0.03)
	g := &grower{Scene: sc, width: sc.Plain.Width, height: sc.Plain.Height, rank: ranks(w, sc), reach: 1}
	if sc.Sigma > 0 {
		g.reach = int(math.Ceil(2*sc.Sigma)) + 1
	}
	n := len(sc.Labels)
	g.base, g.from, g.run = make([]uint32, n), make([]uint32, n), make([]uint16, n)
	core := make([]bool, n)
	any := false
	w.stage(0.03, 0.05)
	if g.reach > 1 {
		for i, d := range distances(w, sc.Labels, g.width, g.height, false) {
			core[i] = int(d) >= axial*g.reach
			any = any || core[i]
		}
	}
	if !any {
		for i := range core {
			core[i] = true
		}
	}
	// What is no core is numbered too, and then forgotten.
	same := func(i, j int) bool { return core[i] && core[j] && sc.Labels[i] == sc.Labels[j] }
	w.stage(0.08, 0.07)
	ids, all := components(w, g.width, g.height, same, func(int) uint8 { return 0 })
	number := make([]uint32, len(all))
	for i := range ids {
		if !core[i] {
			continue
		}
		if number[ids[i]] == 0 {
			g.labels = append(g.labels, sc.Labels[i])
			number[ids[i]] = uint32(len(g.labels))
		}
		g.base[i], g.from[i] = number[ids[i]], uint32(i)
	}
	return g
}

// regrow starts again from the regions found, each as far within its borders as
// cores reach, or as its innermost pixels are where it is narrower.
func (g *grower) regrow(w *work, base []uint32, labels []uint8) {
	d := distances(w, base, g.width, g.height, false)
	inmost := make([]uint16, len(labels))
	for i, b := range base {
		inmost[b] = max(inmost[b], d[i])
	}
	g.labels = labels
	for i, b := range base {
		g.base[i], g.from[i], g.run[i] = 0, 0, 0
		if d[i] >= min(inmost[b], uint16(min(axial*g.reach, math.MaxUint16))) {
			g.base[i], g.from[i] = b+1, uint32(i)
		}
	}
}

// components is the connected areas of one label that the regions make.
func (g *grower) components(w *work) (base []uint32, labels []uint8) {
	label := func(i int) uint8 { return g.labels[g.base[i]-1] }
	return components(w, g.width, g.height, func(i, j int) bool { return label(i) == label(j) }, label)
}

// grow gives away every pixel.
func (g *grower) grow(w *work) {
	given := 0
	for i, b := range g.base {
		if due(i) && !w.done(given, len(g.base)) {
			return
		}
		if b != 0 {
			given++
			g.spread(i)
		}
	}
	for ; ; given++ {
		if due(given) && !w.done(given, len(g.base)) {
			return
		}
		c, any := g.queue.pop()
		for any && g.base[c.pixel] != 0 {
			c, any = g.queue.pop()
		}
		if !any {
			return
		}
		i, j := int(c.pixel), int(c.by)
		g.base[i], g.from[i] = g.base[j], g.from[j]
		if g.inBand(i) {
			g.run[i] = g.run[j] + 1
		}
		g.spread(i)
	}
}

// spread offers a pixel's neighbours to its region.
func (g *grower) spread(i int) {
	x := i % g.width
	if x > 0 {
		g.offer(i-1, i)
	}
	if x+1 < g.width {
		g.offer(i+1, i)
	}
	if i >= g.width {
		g.offer(i-g.width, i)
	}
	if i+g.width < len(g.base) {
		g.offer(i+g.width, i)
	}
}

// offer puts a pixel that is not given away into the queue, by how far its light
// is from that at the border of the core. A region does not creep along a band
// between a darker and a lighter one: farther than half of a band's width, which
// counts up to half as much again in steps from side to side, it comes last.
func (g *grower) offer(i, by int) {
	if g.base[i] != 0 {
		return
	}
	level := g.difference(i, int(g.from[by]))
	if 2*int(g.run[by]) > 3*g.reach && g.inBand(i) {
		level = closeness - 1
	}
	g.queue.push(level, claim{uint32(i), uint32(by)})
}

// difference is how far two pixels' colours are apart in linear light, 0 to
// closeness-1.
func (g *grower) difference(i, j int) int {
	a, b := g.Squinted.Pix[4*i:4*i+3:4*i+3], g.Squinted.Pix[4*j:4*j+3:4*j+3]
	apart := func(k int, weight uint32) uint32 {
		p, q := wholeLight[a[k]], wholeLight[b[k]]
		return (max(p, q) - min(p, q)) * weight
	}
	return int((apart(0, weightR) + apart(1, weightG) + apart(2, weightB)) >> 8 * closeness / (fullLight + 1))
}

// inBand says whether a pixel lies between a darker label on one side and a
// lighter one on the other, within the reach.
func (g *grower) inBand(i int) bool {
	x, y := i%g.width, i/g.width
	own := g.rank[g.Labels[i]]
	between := func(j, k int) bool {
		a, b := g.rank[g.Labels[j]], g.rank[g.Labels[k]]
		return (a < own && own < b) || (b < own && own < a)
	}
	row, column := y*g.width, x
	left, right := max(x-g.reach, 0), min(x+g.reach, g.width-1)
	up, down := max(y-g.reach, 0), min(y+g.reach, g.height-1)
	return between(row+left, row+right) || between(up*g.width+column, down*g.width+column)
}

// closeness is how many differences of colour the queue tells apart.
const closeness = 4096

// claim is a pixel that a neighbour's region could have.
type claim struct{ pixel, by uint32 }

// buckets is a queue that gives the least difference first, and of equal ones
// the first that was put in.
type buckets struct {
	claims [closeness][]claim
	heads  [closeness]int
	filled [closeness / 64]uint64 // a bit for each level that holds claims
}

func (b *buckets) push(level int, c claim) {
	b.claims[level] = append(b.claims[level], c)
	b.filled[level/64] |= 1 << (level % 64)
}

func (b *buckets) pop() (c claim, any bool) {
	for w, word := range b.filled {
		if word == 0 {
			continue
		}
		level := 64*w + bits.TrailingZeros64(word)
		c = b.claims[level][b.heads[level]]
		b.heads[level]++
		if b.heads[level] == len(b.claims[level]) {
			b.claims[level], b.heads[level] = b.claims[level][:0], 0
			b.filled[w] &^= 1 << (level % 64)
		}
		return c, true
	}
	return c, false
}
