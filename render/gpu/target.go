package gpu

import (
	"image"
	"image/color"

	"github.com/hajimehoshi/ebiten/v2"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/look"
)

// Target is what a plan is drawn on: an image, or a Canvas, which saves copying an image
// of the whole screen to it.
type Target interface {
	Bounds() image.Rectangle
	Fill(c color.Color)
	DrawTriangles(corners []ebiten.Vertex, order []uint16, img *ebiten.Image, options *ebiten.DrawTrianglesOptions)
	DrawTrianglesShader(corners []ebiten.Vertex, order []uint16, program *ebiten.Shader, options *ebiten.DrawTrianglesShaderOptions)
}

// Canvas is the browser's canvas as a target.
type Canvas struct{ ebiten.FinalScreen }

// turned is a patch in the rows that a program on the target counts: OpenGL counts those
// of the browser's canvas from the bottom up, which Ebiten hides of images alone.
func turned(dst Target, p look.Patch) look.Patch {
	if _, canvas := dst.(Canvas); canvas {
		p.Y, p.PaceY = dst.Bounds().Dy()-1-p.Y, -p.PaceY
	}
	return p
}

// ground fills a target with the surround; of a live plan, which is drawn many times a
// second, only what no picture is going to cover.
func (s *Screen) ground(dst Target, p render.Plan) {
	if !p.Live() || !tiled(p) || !s.wantedUp() {
		dst.Fill(opaque(p.Surround))
		return
	}
	if s.white == nil {
		s.white = blank(1, 1)
		s.white.Fill(color.White)
	}
	var bare []ebiten.Vertex
	var order []uint16
	for _, pane := range p.Panes {
		at := pane.At.Image().Add(dst.Bounds().Min)
		in := pane.View.Inside(p.Shows(pane)).Image().Add(at.Min)
		for _, r := range []image.Rectangle{
			{at.Min, image.Pt(at.Max.X, in.Min.Y)}, {image.Pt(at.Min.X, in.Max.Y), at.Max},
			{image.Pt(at.Min.X, in.Min.Y), image.Pt(in.Min.X, in.Max.Y)}, {image.Pt(in.Max.X, in.Min.Y), image.Pt(at.Max.X, in.Max.Y)},
		} {
			for _, corner := range corners {
				order = append(order, uint16(len(bare))+corner)
			}
			bare = append(bare, evenly(r, p.Surround)...)
		}
	}
	dst.DrawTriangles(bare, order, s.white, nil)
}

// evenly is a rectangle of one colour, drawn from a white picture.
func evenly(r image.Rectangle, c colour.SRGB) []ebiten.Vertex {
	var around []ebiten.Vertex
	for i := range 4 {
		x, y := i%2, i/2
		around = append(around, ebiten.Vertex{
			DstX: float32(r.Min.X + x*r.Dx()), DstY: float32(r.Min.Y + y*r.Dy()), SrcX: float32(x), SrcY: float32(y),
			ColorR: float32(c.R) / 255, ColorG: float32(c.G) / 255, ColorB: float32(c.B) / 255, ColorA: 1,
		})
	}
	return around
}

// tiled says whether panes share the screen among them.
func tiled(p render.Plan) bool {
	area := 0
	for _, pane := range p.Panes {
		area += pane.At.Width * pane.At.Height
		if pane.Round || pane.View.Inside(p.Shows(pane)).Empty() {
			return false
		}
	}
	return area == p.Width*p.Height
}
