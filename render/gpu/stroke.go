package gpu

import (
	"image"
	"math"
	"slices"

	"github.com/hajimehoshi/ebiten/v2"

	"maulstick/render"
	"maulstick/render/look"
)

const (
	// What counts corners has 16 bits, and no stroke has more than three times 8.
	mostCorners = 1<<16 - 24
	// Sixteenths of a pixel move a corner by less than this.
	slack = 1.0 / 16
	// How far inside the end of a stroke its own shape ends, in pixels: where an end
	// has faded in in full.
	inner = 2
)

// strokes is the memory that lines are handed to the graphics unit in.
type strokes struct {
	corners []ebiten.Vertex
	order   []uint16
	shapes  [2][]point // of a part of one stroke, and what is left of it
	around  []uint16   // the corners of one that are still to be split off
}

// point is a place in a picture, in pixels right and down from its corner.
type point [2]float64

// stroke draws some of the plan's strokes over a pane's picture, its corner at (x, y).
func (s *Screen) stroke(dst Target, p render.Plan, pane render.Pane, some []render.Stroke, x, y int) {
	p.Strokes = some
	if len(some) == 0 || pane.Other.Pyramid != nil {
		return
	}
	corner := dst.Bounds().Min.Add(image.Pt(x, y))
	seen := pane.View.Inside(p.Crop).Image().Intersect(dst.Bounds().Sub(corner))
	if seen.Empty() {
		return
	}
	program := s.program(look.Shader{Reader: look.ReadStroke})
	l := &s.strokes
	for streak := range p.Streaks(pane) {
		l.add(streak, seen, corner)
		if len(l.corners) > mostCorners {
			l.draw(dst, program)
		}
	}
	l.draw(dst, program)
}

// add adds the shapes that a streak shows in, inside a rectangle of a picture whose
// corner is at a place, with what stroke.kage asks for. A unit that moves a corner
// moves the line with it, so that corners lie where every unit can put them, and
// none outside, where a unit would make others. The ends have shapes of their own:
// along a line from edge to edge no unit counts finely enough to end it.
func (l *strokes) add(s look.Streak, inside image.Rectangle, at image.Point) {
	strength, casing, reach := float32(s.Strength)/255, float32(s.Casing), s.Reach+0.5
	v := ebiten.Vertex{
		ColorR: (float32(s.Core.R) - casing) * strength, ColorG: (float32(s.Core.G) - casing) * strength,
		ColorB: (float32(s.Core.B) - casing) * strength, ColorA: float32(s.Strength),
		Custom1: float32(s.Half + 0.5), Custom2: float32(s.Margin()), Custom3: casing * strength,
	}
	cuts := []float64{-reach - slack, inner - reach, reach - inner, reach + slack}
	if reach < 2*inner {
		cuts = []float64{-reach - slack, 0, reach + slack}
	}
	for i, end := range cuts[1:] {
		shape := l.shape(s, cuts[i], end, inside)
		l.split(shape)
		for _, p := range shape {
			x, y := p[0], p[1]
			if reach >= 1+slack { // else its middle has to be where the ends meet
				x, y = onGrid(x), onGrid(y)
			}
			right, down := x-s.X, y-s.Y
			v.DstX, v.DstY = float32(x+float64(at.X)), float32(y+float64(at.Y))
			v.SrcX, v.Custom0 = inner, float32(down*s.AlongX-right*s.AlongY)
			switch along := right*s.AlongX + down*s.AlongY; i {
			case 0:
				v.SrcX = float32(reach + along)
			case len(cuts) - 2:
				v.SrcX = float32(reach - along)
			}
			l.corners = append(l.corners, v)
		}
	}
}

// shape is what lies inside a rectangle of the part of a streak between two places
// along it, corner by corner around it.
func (l *strokes) shape(s look.Streak, start, end float64, inside image.Rectangle) []point {
	breadth := s.Breadth() + slack
	shape, rest := l.shapes[0][:0], l.shapes[1]
	for _, c := range [4]point{{start, -breadth}, {end, -breadth}, {end, breadth}, {start, breadth}} {
		shape = append(shape, point{s.X + c[0]*s.AlongX - c[1]*s.AlongY, s.Y + c[0]*s.AlongY + c[1]*s.AlongX})
	}
	for axis, edges := range [2][2]int{{inside.Min.X, inside.Max.X}, {inside.Min.Y, inside.Max.Y}} {
		for i, edge := range edges {
			rest = cut(rest[:0], shape, axis, float64(edge), 1-2*float64(i))
			shape, rest = rest, shape
		}
	}
	l.shapes = [2][]point{shape, rest}
	return shape
}

// split adds the triangles of a shape whose corners are about to be added, the
// shortest new side first, so that only two are as long as the line: what a unit
// steps along thinner ones is not fine enough, and each costs it time.
func (l *strokes) split(shape []point) {
	around, n := l.around[:0], len(shape)
	for i := range n {
		around = append(around, uint16(i))
	}
	first := uint16(len(l.corners))
	for ; n > 2; n-- {
		best, least := 0, math.Inf(1)
		for i := range n {
			a, b := shape[around[(i+n-1)%n]], shape[around[(i+1)%n]]
			if d := math.Hypot(b[0]-a[0], b[1]-a[1]); d < least {
				best, least = i, d
			}
		}
		l.order = append(l.order, first+around[(best+n-1)%n], first+around[best], first+around[(best+1)%n])
		around = slices.Delete(around, best, best+1)
	}
	l.around = around
}

// cut appends to a shape what of another lies beyond an edge across an axis, on the
// side where places are more, or less if side is -1.
func cut(to, from []point, axis int, edge, side float64) []point {
	for i, p := range from {
		last := from[(i+len(from)-1)%len(from)]
		before, after := side*(last[axis]-edge), side*(p[axis]-edge)
		if before < 0 != (after < 0) {
			met := last
			met[axis], met[1-axis] = edge, last[1-axis]+(p[1-axis]-last[1-axis])*before/(before-after)
			to = append(to, met)
		}
		if after >= 0 {
			to = append(to, p)
		}
	}
	return to
}

// onGrid is the nearest place along one direction that every unit can put a corner
// at. OpenGL ES 3.0 asks for no more than 4 SUBPIXEL_BITS (from memory).
func onGrid(at float64) float64 { return math.Round(16*at) / 16 }

// draw draws the shapes that have been added, and forgets them.
func (l *strokes) draw(dst Target, program *ebiten.Shader) {
	if len(l.order) > 0 {
		dst.DrawTrianglesShader(l.corners, l.order, program, nil)
	}
	l.corners, l.order = l.corners[:0], l.order[:0]
}
