package shape

import (
	"math"

	"maulstick/render/place"
)

// EdgeMap is the edges as a picture, for a look: a class for every pixel of the
// crop, NoEdge where there is none. Edges are one pixel wide, whatever their own
// width. Left and Top say which pixel of the picture that was measured is the
// first.
type EdgeMap struct {
	Left, Top, Width, Height int
	Class                    []EdgeClass // rows from the top
}

// Map draws the edges.
func (e *Edges) Map() EdgeMap {
	m := e.emptyMap()
	for _, s := range e.Strands {
		for i := range s {
			m.line(s[max(i-1, 0)], s[i])
		}
	}
	return m
}

// emptyMap is a map of the crop without an edge.
func (e *Edges) emptyMap() EdgeMap {
	c := e.Mapping.Crop
	left, right := place.Centres(c.X, c.Width, 0, math.MaxInt32)
	top, bottom := place.Centres(c.Y, c.Height, 0, math.MaxInt32)
	m := EdgeMap{Left: left, Top: top, Width: right - left, Height: bottom - top}
	m.Class = make([]EdgeClass, m.Width*m.Height)
	return m
}

// put marks the pixel of a place; a harder class covers a softer one.
func (m *EdgeMap) put(px, py float64, class EdgeClass) {
	x, y := int(math.Floor(px))-m.Left, int(math.Floor(py))-m.Top
	if x >= 0 && y >= 0 && x < m.Width && y < m.Height {
		at := &m.Class[y*m.Width+x]
		*at = max(*at, class)
	}
}

// line draws from one place to the next, in the class of the nearer.
func (m *EdgeMap) line(a, b EdgePoint) {
	steps := int(math.Ceil(max(math.Abs(b.At.X-a.At.X), math.Abs(b.At.Y-a.At.Y)))) + 1
	for i := 0; i <= steps; i++ {
		t := float64(i) / float64(steps)
		class := a.Class
		if 2*i > steps {
			class = b.Class
		}
		m.put(a.At.X+float64(t*(b.At.X-a.At.X)), a.At.Y+float64(t*(b.At.Y-a.At.Y)), class)
	}
}

// Near is the place of an edge nearest to a place on the photograph, no farther
// than reach pixels; ok is false if there is none.
func (e *Edges) Near(at place.PhotoPoint, reach float64) (near EdgePoint, ok bool) {
	best := reach * reach
	for _, s := range e.Strands {
		for _, p := range s {
			dx, dy := p.At.X-at.X, p.At.Y-at.Y
			if d := dx*dx + dy*dy; d <= best {
				near, best, ok = p, d, true
			}
		}
	}
	return near, ok
}
