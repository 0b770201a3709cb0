package shape

import (
	"math/bits"

	"maulstick/render/place"
)

// Outside is the shape beyond the picture's border.
const Outside = -1

// Arc is a border that two shapes share, from one junction to the next; a
// junction is a corner of pixels where more than two borders meet. Places are in pixels of
// the picture that was flattened, (0, 0) the top left corner of its first one:
// as traced they are corners of pixels, whole numbers, and simplified they are
// whole or halves. A closed arc runs round without a
// junction, or from a junction back to itself; its first place is then its last
// one again.
type Arc struct {
	Points      []place.PhotoPoint
	Left, Right int32 // the shapes on either side as one walks along, with y down; Outside beyond the picture
	Closed      bool
}

// Border says whether the arc runs along the picture's border.
func (a *Arc) Border() bool { return a.Left == Outside || a.Right == Outside }

// Outline is the borders of all shapes, each shared one once.
type Outline struct {
	Width, Height int // of the picture, in pixels
	Arcs          []Arc
	Rings         [][]Ring // of each shape: first the outer one, then those round its holes
}

// Ring is a closed line round a shape, or round a hole in it: arcs one after
// another with the shape on the left of all of them. A positive number n stands
// for arc n-1 as it runs, a negative one -n for arc n-1 walked backwards. A
// ring never crosses itself or another; where two pixels of a shape touch at a
// corner alone it may touch itself there.
type Ring []int32

// Points are the places along a ring, the first not repeated at the end.
func (o *Outline) Points(r Ring) []place.PhotoPoint {
	var points []place.PhotoPoint
	for _, n := range r {
		if n > 0 {
			p := o.Arcs[n-1].Points
			points = append(points, p[:len(p)-1]...)
			continue
		}
		p := o.Arcs[-n-1].Points
		for i := len(p) - 1; i > 0; i-- {
			points = append(points, p[i])
		}
	}
	return points
}

// The four ways along the borders of pixels, each to the right of the one before
// it, y being down.
const (
	east = iota
	south
	west
	north
)

var wayX, wayY = [4]int{1, 0, -1, 0}, [4]int{0, 1, 0, -1}

// tracer walks the borders between shapes.
type tracer struct {
	width, height int
	ids           []uint32
	corners       []uint8 // of (width+1)*(height+1): a bit for each way in which a border leaves
	walked        []uint8 // the same for borders walked already, either way
	arcs          []Arc
	ends          []ends
}

// ends are the ways in which an arc sets out and arrives.
type ends struct{ out, in int }

// Trace is the outline of a flattened picture, along the borders of its pixels:
// places only where it turns and at junctions. Simplify smooths it.
func (f *Flat) Trace() *Outline {
	t := &tracer{width: f.Width, height: f.Height, ids: f.IDs}
	t.findBorders()
	junctions := func(n int) bool { return n > 2 }
	loops := func(n int) bool { return n == 2 }
	for _, kind := range []func(int) bool{junctions, loops} {
		for i, ways := range t.corners {
			if !kind(bits.OnesCount8(ways)) {
				continue
			}
			for way := east; way <= north; way++ {
				if (ways&^t.walked[i])>>way&1 == 1 {
					t.walk(i, way)
				}
			}
		}
	}
	return &Outline{Width: f.Width, Height: f.Height, Arcs: t.arcs, Rings: t.rings(len(f.Shapes))}
}

// at is the shape of a pixel, Outside beyond the border.
func (t *tracer) at(x, y int) int32 {
	if x < 0 || y < 0 || x >= t.width || y >= t.height {
		return Outside
	}
	return int32(t.ids[y*t.width+x])
}

// findBorders marks at each corner the ways in which a border leaves it.
func (t *tracer) findBorders() {
	w := t.width + 1
	t.corners = make([]uint8, w*(t.height+1))
	t.walked = make([]uint8, len(t.corners))
	for y := 0; y <= t.height; y++ {
		for x := 0; x <= t.width; x++ {
			i := y*w + x
			below := t.at(x, y)
			if x < t.width && below != t.at(x, y-1) {
				t.corners[i] |= 1 << east
				t.corners[i+1] |= 1 << west
			}
			if y < t.height && below != t.at(x-1, y) {
				t.corners[i] |= 1 << south
				t.corners[i+w] |= 1 << north
			}
		}
	}
}

// walk follows a border from a corner to the next junction, or round to the
// corner itself.
func (t *tracer) walk(start, way int) {
	w := t.width + 1
	x, y := start%w, start/w
	a := Arc{Points: []place.PhotoPoint{corner(x, y)}}
	a.Left, a.Right = t.sides(x, y, way)
	first := way
	for {
		t.walked[y*w+x] |= 1 << way
		x, y = x+wayX[way], y+wayY[way]
		i := y*w + x
		t.walked[i] |= 1 << (way ^ 2)
		if i == start || bits.OnesCount8(t.corners[i]) != 2 {
			a.Points = append(a.Points, corner(x, y))
			a.Closed = i == start
			break
		}
		onward := bits.TrailingZeros8(t.corners[i] &^ (1 << (way ^ 2)))
		if onward != way {
			a.Points = append(a.Points, corner(x, y))
		}
		way = onward
	}
	t.arcs = append(t.arcs, a)
	t.ends = append(t.ends, ends{first, way})
}

func corner(x, y int) place.PhotoPoint {
	return place.PhotoPoint{X: float64(x), Y: float64(y)}
}

// sides are the shapes to the left and the right of the border that leaves a
// corner one way.
func (t *tracer) sides(x, y, way int) (left, right int32) {
	switch way {
	case east:
		return t.at(x, y-1), t.at(x, y)
	case south:
		return t.at(x, y), t.at(x-1, y)
	case west:
		return t.at(x-1, y), t.at(x-1, y-1)
	default:
		return t.at(x-1, y-1), t.at(x, y-1)
	}
}

// rings joins the arcs to closed lines, those of each shape together.
func (t *tracer) rings(shapes int) [][]Ring {
	leaving := map[place.PhotoPoint][]int32{} // half arcs by the place they leave
	for i := range t.arcs {
		p := t.arcs[i].Points
		n := int32(i + 1)
		leaving[p[0]] = append(leaving[p[0]], n)
		leaving[p[len(p)-1]] = append(leaving[p[len(p)-1]], -n)
	}
	rings := make([][]Ring, shapes)
	used := map[int32]bool{}
	for i := range t.arcs {
		for _, n := range [2]int32{int32(i + 1), -int32(i + 1)} {
			s := t.leftOf(n)
			if s == Outside || used[n] {
				continue
			}
			var ring Ring
			for !used[n] {
				used[n] = true
				ring = append(ring, n)
				n = t.next(n, leaving)
			}
			rings[s] = append(rings[s], ring)
			if last := len(rings[s]) - 1; last > 0 && t.outer(ring) {
				rings[s][0], rings[s][last] = rings[s][last], rings[s][0]
			}
		}
	}
	return rings
}

// leftOf is the shape on the left of a half arc.
func (t *tracer) leftOf(n int32) int32 {
	if n > 0 {
		return t.arcs[n-1].Left
	}
	return t.arcs[-n-1].Right
}

// next is the half arc with which a ring goes on after another one. At a corner
// where its shape touches itself it turns left, to stay with the pixels that it
// has walked along.
func (t *tracer) next(n int32, leaving map[place.PhotoPoint][]int32) int32 {
	shape := t.leftOf(n)
	way, at := t.arrival(n)
	best, bestTurn := n, 4
	for _, m := range leaving[at] {
		if t.leftOf(m) != shape {
			continue
		}
		// 0 to the left, 1 straight on, 2 to the right, 3 back.
		if turn := (t.departure(m) - way + 5) & 3; turn < bestTurn {
			best, bestTurn = m, turn
		}
	}
	return best
}

// arrival is the way in which a half arc ends, and where.
func (t *tracer) arrival(n int32) (way int, at place.PhotoPoint) {
	if n > 0 {
		p := t.arcs[n-1].Points
		return t.ends[n-1].in, p[len(p)-1]
	}
	return t.ends[-n-1].out ^ 2, t.arcs[-n-1].Points[0]
}

// departure is the way in which a half arc sets out.
func (t *tracer) departure(n int32) int {
	if n > 0 {
		return t.ends[n-1].out
	}
	return t.ends[-n-1].in ^ 2
}

// outer says whether a ring runs round its shape, not round a hole: with the
// shape on the left and y down, the area that it encloses is then negative.
func (t *tracer) outer(r Ring) bool {
	o := Outline{Arcs: t.arcs}
	return area2(o.Points(r)) < 0
}

// area2 is twice the area that a closed line encloses, over zero if it runs to
// the right, y being down.
func area2(p []place.PhotoPoint) float64 {
	sum := 0.0
	for i, a := range p {
		b := p[(i+1)%len(p)]
		sum += float64(a.X*b.Y) - float64(b.X*a.Y)
	}
	return sum
}
