package gpu

import (
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"maulstick/render"
	"maulstick/render/look"
	"maulstick/render/place"
)

// The window that frames are measured in: a large tablet's, near enough.
const (
	benchWidth  = 1366
	benchHeight = 1024
)

// BenchmarkFrame draws frames of a photograph of 12 megapixels. "tiles" is the
// measure to compare with: the same tiles drawn plainly, with Ebiten's own
// linear filter. "still" frames change nothing but the look, "moving" frames pan
// by a pixel. The pixels are read back once at the end, so that the work is done.
func BenchmarkFrame(b *testing.B) {
	s, y := screen(b), picture(4000, 3000)
	s.SetPhoto(y)
	crop := place.Crop{Width: 4000, Height: 3000}
	p := render.Plan{Width: benchWidth, Height: benchHeight, Crop: crop, Surround: surround}
	p.Panes = []render.Pane{{
		At:   render.Rect{Width: benchWidth, Height: benchHeight},
		View: render.Fit(crop, benchWidth, benchHeight, 14),
	}}
	drawn(b, s, p)
	dst := blank(benchWidth, benchHeight)
	pix := make([]byte, 4*benchWidth*benchHeight)
	frames := func(name string, draw func(i int)) {
		b.Run(name, func(b *testing.B) {
			draw(0)
			dst.ReadPixels(pix)
			b.ResetTimer()
			for i := range b.N {
				draw(i)
			}
			dst.ReadPixels(pix)
		})
	}
	frames("tiles", func(int) { s.drawPlainly(dst, p) })
	for _, c := range []struct {
		name string
		look look.Look
	}{
		{"photograph", look.Look{}},
		{"grey", look.Look{Tone: look.Grey}},
		{"filter", look.Look{Filter: true}},
		{"steps", look.Look{Tone: look.Steps, Steps: 5}},
		{"squint", look.Look{Squint: true, Blur: 25}},
	} {
		frames("still/"+c.name, func(int) {
			p.Panes[0].Look = c.look
			s.Draw(dst, p)
		})
		frames("moving/"+c.name, func(i int) {
			p.Panes[0].Look = c.look
			p.Panes[0].View.Centre.X = 2000 + float64(i%2)
			s.Draw(dst, p)
		})
	}
}

// drawPlainly draws a plan's tiles with DrawImage.
func (s *Screen) drawPlainly(dst *ebiten.Image, p render.Plan) {
	dst.Fill(opaque(p.Surround))
	v := p.Panes[0].View
	for _, t := range v.Tiles(p.Crop, s.tiles.pyramid, v.Level(s.tiles.pyramid.Levels())) {
		options := &ebiten.DrawImageOptions{Filter: ebiten.FilterLinear, DisableMipmaps: true}
		options.GeoM.Translate(-t.Patch.StartX-0.5, -t.Patch.StartY-0.5)
		options.GeoM.Scale(1/t.Patch.PaceX, 1/t.Patch.PaceY)
		options.GeoM.Translate(float64(t.Patch.X), float64(t.Patch.Y))
		dst.DrawImage(s.tiles.up[t.Tile].image, options)
	}
}
