package gpu

import (
	"image"

	"github.com/hajimehoshi/ebiten/v2"

	"maulstick/render"
	"maulstick/render/look"
)

// mostQuads is how many rectangles are drawn in one go: more corners than they have
// cannot be counted in 16 bits.
const mostQuads = 1 << 14

// strokes is the memory that lines are handed to the graphics unit in.
type strokes struct {
	corners []ebiten.Vertex
	order   []uint16 // of the corners of as many rectangles as there ever were
}

// stroke draws the plan's strokes over a pane's picture, its corner at (x, y).
func (s *Screen) stroke(dst *ebiten.Image, p render.Plan, pane render.Pane, x, y int) {
	if len(p.Strokes) == 0 || pane.Other.Pyramid != nil {
		return
	}
	corner := dst.Bounds().Min.Add(image.Pt(x, y))
	seen := pane.View.Inside(p.Crop).Image().Add(corner).Intersect(dst.Bounds())
	if seen.Empty() {
		return
	}
	part := dst.SubImage(seen).(*ebiten.Image)
	program := s.program(look.Shader{Reader: look.ReadStroke})
	l := &s.strokes
	for streak := range p.Streaks(pane) {
		l.add(streak, float32(corner.X), float32(corner.Y))
		if len(l.corners) == 4*mostQuads {
			l.draw(part, program)
		}
	}
	l.draw(part, program)
}

// add adds the rectangle that a streak shows in, of a picture with its corner at
// (x, y), with what stroke.kage asks for.
func (l *strokes) add(s look.Streak, x, y float32) {
	const slack = 1.0 / 32 // units move corners by a part of a pixel
	breadth, reach := s.Breadth()+slack, s.Reach+0.5+slack
	strength, casing := float32(s.Strength), float32(s.Casing)
	v := ebiten.Vertex{
		SrcY:   float32(s.Reach + 0.5),
		ColorR: (float32(s.Core.R) - casing) * strength, ColorG: (float32(s.Core.G) - casing) * strength,
		ColorB: (float32(s.Core.B) - casing) * strength, ColorA: 255 * strength,
		Custom1: float32(s.Half + 0.5), Custom2: float32(s.Margin()), Custom3: casing * strength,
	}
	for i := range 4 {
		along, off := reach, breadth
		if i%2 == 0 {
			along = -reach
		}
		if i < 2 {
			off = -breadth
		}
		v.DstX = x + float32(s.X+along*s.AlongX-off*s.AlongY)
		v.DstY = y + float32(s.Y+along*s.AlongY+off*s.AlongX)
		v.SrcX, v.Custom0 = float32(along), float32(off)
		l.corners = append(l.corners, v)
	}
}

// draw draws the rectangles that have been added, and forgets them.
func (l *strokes) draw(dst *ebiten.Image, program *ebiten.Shader) {
	if len(l.corners) == 0 {
		return
	}
	for first := len(l.order) / 6 * 4; first < len(l.corners); first += 4 {
		for _, c := range corners {
			l.order = append(l.order, uint16(first)+c)
		}
	}
	dst.DrawTrianglesShader(l.corners, l.order[:len(l.corners)/4*6], program, nil)
	l.corners = l.corners[:0]
}
