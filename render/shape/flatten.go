package shape

import (
	"fmt"
	"math"

	"maulstick/render/colour"
)

// work is a long piece of work that tells how far it is, a stage after another.
// A nil one tells nothing.
type work struct {
	report       func(float64) error // may be nil
	start, share float64             // of the present stage, in the whole
	err          error               // what ended the work
}

// stage begins a stage: where it starts in the whole, 0..1, and its share of it.
func (w *work) stage(start, share float64) { w.start, w.share = start, share }

// done tells that i of n parts of the stage are done, and says whether to go on.
func (w *work) done(i, n int) bool {
	if w == nil {
		return true
	}
	if w.err == nil && w.report != nil && n > 0 {
		w.err = w.report(w.start + w.share*float64(i)/float64(n))
	}
	return w.err == nil
}

// often is how many pixels are worked on between two reports.
const often = 1 << 16

// due says whether pixel i is one at which to report.
func due(i int) bool { return i%often == 0 }

// Flatten works out all ways to flatten a scene. It takes time in proportion to
// the pixels, a second or so for two megapixels, and about forty bytes a pixel
// while it runs. Progress may be nil; it is called with 0..1, and an error from
// it ends the work and is returned.
//
// The finest shapes are areas of one label into which a disc as wide as the
// squint's transitions goes, 4 standard deviations and 2 pixels; without a
// squint all areas of one label. So the thin bands of half-tones that a squint
// draws between a dark and a light make no shapes. The pixels between are given
// to the shapes around them by seeded region growing (Adams and Bischof, IEEE
// Trans. Pattern Anal. Mach. Intell. 16, 1994): the pixel nearest in linear light
// to a shape's own border comes first. The border between two flat areas thus
// runs where the light is halfway between theirs, wherever the steps' edges lie;
// for that it is grown twice, the second time from what lies as far from the
// borders found first.
func Flatten(sc Scene, progress func(done float64) error) (*Hierarchy, error) {
	p := sc.Plain
	n := p.Width * p.Height
	if n == 0 || sc.Squinted.Size() != p.Size() || len(sc.Labels) != n {
		return nil, fmt.Errorf("flattening a picture: of %d x %d pixels the squinted copy has %d x %d and %d are labelled, where all are wanted",
			p.Width, p.Height, sc.Squinted.Width, sc.Squinted.Height, len(sc.Labels))
	}
	w := &work{report: progress}
	h := flatten(w, &sc)
	w.stage(1, 0)
	if !w.done(0, 1) {
		return nil, w.err
	}
	return h, nil
}

// flatten does the work of Flatten; what it returns counts only if the work has
// not ended early.
func flatten(w *work, sc *Scene) *Hierarchy {
	g := newGrower(w, sc)
	w.stage(0.15, 0.2)
	g.grow(w)
	w.stage(0.35, 0.05)
	base, labels := g.components(w)
	if g.reach > 1 && w.err == nil {
		w.stage(0.4, 0.1)
		g.regrow(w, base, labels)
		w.stage(0.5, 0.2)
		g.grow(w)
		w.stage(0.7, 0.05)
		base, labels = g.components(w)
	}
	h := &Hierarchy{width: g.width, height: g.height, base: base}
	if w.err == nil {
		w.stage(0.75, 0.05)
		h.regions = measure(w, base, labels, sc.Plain)
		h.merge(w)
	}
	return h
}

// components numbers the connected areas of a grid, in the order in which their
// first pixels are met; two neighbouring pixels belong to one area if same says
// so. With each comes the label of its first pixel.
func components(w *work, width, height int, same func(i, j int) bool, label func(i int) uint8) (ids []uint32, labels []uint8) {
	ids = make([]uint32, width*height)
	var parent []uint32
	find := func(r uint32) uint32 {
		for parent[r] != r {
			parent[r] = parent[parent[r]]
			r = parent[r]
		}
		return r
	}
	for i := range ids {
		if due(i) && !w.done(i, len(ids)) {
			return nil, nil
		}
		left := i%width > 0 && same(i, i-1)
		up := i >= width && same(i, i-width)
		switch {
		case left && up:
			a, b := find(ids[i-1]), find(ids[i-width])
			ids[i] = min(a, b)
			parent[max(a, b)] = min(a, b)
		case left:
			ids[i] = ids[i-1]
		case up:
			ids[i] = ids[i-width]
		default:
			ids[i] = uint32(len(parent))
			parent = append(parent, ids[i])
		}
	}
	// A root is the first number of its area, so new numbers rise in order.
	number := make([]uint32, len(parent))
	for i, r := range ids {
		root := find(r)
		if number[root] == 0 {
			labels = append(labels, label(i))
			number[root] = uint32(len(labels))
		}
		ids[i] = number[root] - 1
	}
	return ids, labels
}

// axial and diagonal are the lengths of a chamfer distance to a neighbour beside
// and across a corner (Borgefors 1986): a pixel's side counts 3, and the
// distance is within 8 % of the straight one.
const axial, diagonal = 3, 4

// distances is, for each pixel, the chamfer distance to the nearest one of
// another label, kept below 65536; and, if framed, to what lies beyond the
// picture's border.
func distances[T uint8 | uint32](w *work, labels []T, width, height int, framed bool) []uint16 {
	d := make([]uint16, len(labels))
	frame := uint16(math.MaxUint16)
	if framed {
		frame = axial
	}
	pass := func(part, first, end, pace, row int) {
		for y := first; y != end; y += pace {
			if start := y * width; start/often != (start+width)/often && !w.done(part*height+(y-first)*pace, 2*height) {
				return
			}
			for k := range width {
				x := k
				if pace < 0 {
					x = width - 1 - k
				}
				i := y*width + x
				own, best := labels[i], uint16(math.MaxUint16)
				if pace < 0 {
					best = d[i]
				}
				near := func(j int, inside bool, step uint16) {
					switch {
					case !inside:
						best = min(best, frame)
					case labels[j] != own:
						best = min(best, step)
					case d[j] < math.MaxUint16-step:
						best = min(best, d[j]+step)
					}
				}
				before, ahead := k > 0, k+1 < width
				above := y != first
				near(i-pace, before, axial)
				near(i-row, above, axial)
				near(i-row-pace, above && before, diagonal)
				near(i-row+pace, above && ahead, diagonal)
				if framed && !ahead {
					best = min(best, frame)
				}
				d[i] = best
			}
		}
	}
	pass(0, 0, height, 1, width)
	pass(1, height-1, -1, -1, -width)
	return d
}

// ranks is the place of each label in the order from the darkest mean light to
// the lightest.
func ranks(w *work, sc *Scene) [256]int {
	var sum, count [256]uint64
	for i, l := range sc.Labels {
		if due(i) && !w.done(i, len(sc.Labels)) {
			break
		}
		c := sc.Squinted.Pix[4*i : 4*i+3 : 4*i+3]
		sum[l] += uint64(colour.EyeMeter.Read(c[0], c[1], c[2]))
		count[l]++
	}
	var rank [256]int
	for l := range rank {
		for o := range rank {
			if count[l] > 0 && count[o] > 0 && float64(sum[o])/float64(count[o]) < float64(sum[l])/float64(count[l]) {
				rank[l]++
			}
		}
	}
	return rank
}
