package palette

import (
	"cmp"
	"math"
	"slices"

	"maulstick/render/card"
	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// How even patches are found: on square cells, four to the side of what is read about
// a touch.
const (
	cellsASide   = 4
	mostApart    = 2.5     // CIEDE2000, between neighbouring cells of a patch
	mostSpread   = 6.0     // L* within a cell, from its lightest pixel to its darkest
	mostOfAll    = 1.0 / 8 // of the photograph: what is larger is the ground
	mostFound    = 60
	leastInside  = cellsASide/2 + 1 // cells from the middle of a patch to the nearest of another
	patchUneven  = 4.0              // L* across what is read
	patchClipped = 0.02
)

// Patches are the middles of even patches on a photograph, cards and piles as far as can
// be told, in rows from the top left on: each at the centre of a pixel. The painter has
// to say what each is. What takes an eighth of the photograph and more is passed over,
// and so is what is not even where it would be read.
func Patches(p *photo.Picture) []place.PhotoPoint {
	half := card.HalfSide(p.Size())
	g := newGrid(p, max(int(2*half/cellsASide), 1))
	labels, areas := g.regions()
	depth := g.depths(labels)
	best := make([]int, len(areas)) // the cell of each region that lies deepest
	for i := range best {
		best[i] = -1
	}
	for i, label := range labels {
		if label >= 0 && (best[label] < 0 || depth[i] > depth[best[label]]) {
			best[label] = i
		}
	}
	var found []place.PhotoPoint
	for label, i := range best {
		if i < 0 || depth[i] < leastInside || float64(areas[label]) > mostOfAll*float64(len(labels)) {
			continue
		}
		at := g.middle(labels, depth, label, depth[i])
		if patch := card.ReadPatch(p, at, half); patch.Uneven <= patchUneven && patch.Clipped <= patchClipped {
			found = append(found, at)
		}
	}
	inRows(found, 4*half)
	return found[:min(len(found), mostFound)]
}

// inRows sorts places into rows of that height, and each row from the left.
func inRows(found []place.PhotoPoint, height float64) {
	slices.SortFunc(found, func(a, b place.PhotoPoint) int {
		return cmp.Or(cmp.Compare(math.Floor(a.Y/height), math.Floor(b.Y/height)), cmp.Compare(a.X, b.X))
	})
}

// grid is a photograph in square cells.
type grid struct {
	side, columns, rows int
	lab                 []colour.Lab
	even                []bool
}

// newGrid averages light in cells of that side; what is left over at the right and the
// bottom is passed over.
func newGrid(p *photo.Picture, side int) grid {
	g := grid{side: side, columns: p.Width / side, rows: p.Height / side}
	for y := range g.rows {
		for x := range g.columns {
			var sum colour.Linear
			low, high := colour.Luminance(1), colour.Luminance(0)
			for dy := range side {
				for dx := range side {
					l := p.At(x*side+dx, y*side+dy).Linear()
					sum.R, sum.G, sum.B = sum.R+l.R, sum.G+l.G, sum.B+l.B
					v := l.Luminance()
					low, high = min(low, v), max(high, v)
				}
			}
			n := float64(side * side)
			g.lab = append(g.lab, colour.Linear{R: sum.R / n, G: sum.G / n, B: sum.B / n}.XYZ().Lab())
			g.even = append(g.even, high.Lightness()-low.Lightness() <= mostSpread)
		}
	}
	return g
}

// regions joins even cells with those neighbours that look alike: the region of each
// cell, -1 for none, and how many cells each has.
func (g grid) regions() (labels, areas []int) {
	labels = make([]int, len(g.lab))
	for i := range labels {
		labels[i] = -1
	}
	for start := range labels {
		if labels[start] >= 0 || !g.even[start] {
			continue
		}
		label, area := len(areas), 0
		labels[start] = label
		for queue := []int{start}; len(queue) > 0; area++ {
			i := queue[len(queue)-1]
			queue = queue[:len(queue)-1]
			g.around(i, func(j int) {
				if labels[j] < 0 && g.even[j] && g.lab[i].Difference(g.lab[j]) <= mostApart {
					labels[j] = label
					queue = append(queue, j)
				}
			})
		}
		areas = append(areas, area)
	}
	return labels, areas
}

// around visits the four neighbours of a cell.
func (g grid) around(i int, visit func(j int)) {
	if x := i % g.columns; x > 0 {
		visit(i - 1)
	}
	if x := i % g.columns; x < g.columns-1 {
		visit(i + 1)
	}
	if i >= g.columns {
		visit(i - g.columns)
	}
	if i < len(g.lab)-g.columns {
		visit(i + g.columns)
	}
}

// depths are how many cells each lies inside its region, 1 at the rim, in steps that may
// go slantwise; what lies beyond the photograph is of no region.
func (g grid) depths(labels []int) []int {
	depth := make([]int, len(labels))
	pass := func(i, x, y int, before [4][2]int) {
		if labels[i] < 0 {
			return
		}
		least := math.MaxInt
		for _, d := range before {
			near := 0
			if nx, ny := x+d[0], y+d[1]; nx >= 0 && ny >= 0 && nx < g.columns && ny < g.rows {
				if j := ny*g.columns + nx; labels[j] == labels[i] {
					near = depth[j]
				}
			}
			least = min(least, near+1)
		}
		if depth[i] == 0 || least < depth[i] {
			depth[i] = least
		}
	}
	for i := range labels {
		pass(i, i%g.columns, i/g.columns, [4][2]int{{-1, 0}, {-1, -1}, {0, -1}, {1, -1}})
	}
	for i := len(labels) - 1; i >= 0; i-- {
		pass(i, i%g.columns, i/g.columns, [4][2]int{{1, 0}, {1, 1}, {0, 1}, {-1, 1}})
	}
	return depth
}

// middle is the centre of a pixel in the deepest cell of a region that lies nearest to
// the mean of all that are as deep.
func (g grid) middle(labels, depth []int, label, deepest int) place.PhotoPoint {
	var x, y, n float64
	each := func(visit func(cx, cy float64)) {
		for i := range labels {
			if labels[i] == label && depth[i] == deepest {
				visit(float64(i%g.columns), float64(i/g.columns))
			}
		}
	}
	each(func(cx, cy float64) { x, y, n = x+cx, y+cy, n+1 })
	x, y = x/n, y/n
	best, off := place.PhotoPoint{}, math.Inf(1)
	each(func(cx, cy float64) {
		if d := math.Hypot(cx-x, cy-y); d < off {
			best, off = place.PhotoPoint{X: cx, Y: cy}, d
		}
	})
	side := float64(g.side)
	return place.PhotoPoint{X: math.Floor((best.X+0.5)*side) + 0.5, Y: math.Floor((best.Y+0.5)*side) + 0.5}
}
