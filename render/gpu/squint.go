package gpu

import (
	"image"

	"github.com/hajimehoshi/ebiten/v2"

	"maulstick/render"
	"maulstick/render/look"
	"maulstick/render/photo"
)

// squints are the images that a blurred picture is made in, the last one its
// result, and what that was made by.
type squints struct {
	images        [3]*ebiten.Image
	done          render.Work
	of            *photo.Pyramid
	renewed       int  // how often the pixels of that had changed
	coded         bool // the second image holds the result as codes
	width, height int
}

// forget has the next blurred picture made anew.
func (b *squints) forget() { b.done, b.of = render.Work{}, nil }

// squint draws a pane's picture through a blur, if all the tiles that it
// depends on are up, and says whether it did.
func (s *Screen) squint(dst Target, x, y int, q render.Squint, from *tiles, w way) bool {
	for _, id := range q.Tiles() {
		if from.up[id] == nil {
			return false
		}
	}
	if s.squints.done != q.Work || s.squints.of != from.pyramid || s.squints.renewed != from.renewed {
		s.blur(q.Work, from)
	}
	b := &s.squints
	// Codes would tint what is nearly neutral otherwise, which a blur makes of most.
	if w.glance != nil && w.tone != look.Temperature && w.tone != look.Misled {
		s.read(dst, x, y, q.Patch, source{s.coded(), b.width, b.height, look.ReadPhoto}, w)
		return true
	}
	s.read(dst, x, y, q.Patch, source{b.images[2], b.width, b.height, look.ReadBlurred}, w)
	return true
}

// coded is the blurred picture in codes, which are read between far more quickly than what
// the blur left, and are half a code off.
func (s *Screen) coded() *ebiten.Image {
	b := &s.squints
	if !b.coded {
		all := look.Patch{Width: b.width, Height: b.height, PaceX: 1, PaceY: 1}
		s.read(b.images[1], 0, 0, all, source{b.images[2], b.width, b.height, look.ReadBlurred}, way{})
		b.coded = true
	}
	return b.images[1]
}

// blur makes the blurred picture.
func (s *Screen) blur(q render.Work, from *tiles) {
	b, w, h := &s.squints.images, q.Width, q.Height
	s.squints.coded = false
	b[0] = atLeast(b[0], w, h)
	for _, id := range q.Tiles() {
		s.cut(b[0], q, id, from)
	}
	for range q.Halvings {
		hw, hh, patch := render.Halved(w, h)
		b[1] = atLeast(b[1], hw, hh)
		s.read(b[1], 0, 0, patch, source{b[0], w, h, look.ReadPhoto}, way{})
		b[0], b[1] = b[1], b[0]
		w, h = hw, hh
	}
	for i, pass := range []look.Reader{look.ReadAcross, look.ReadDown} {
		b[i+1] = atLeast(b[i+1], w, h)
		s.quad(b[i+1], look.Patch{Width: w, Height: h}, 0, 0, look.Shader{Reader: pass}, &ebiten.DrawTrianglesShaderOptions{
			Blend:    ebiten.BlendCopy,
			Uniforms: q.Blur.Uniforms(pass, w, h),
			Images:   [4]*ebiten.Image{b[i]},
		})
	}
	s.squints.done, s.squints.of, s.squints.renewed, s.squints.width, s.squints.height = q, from.pyramid, from.renewed, w, h
}

// cut copies what a blur needs of one tile.
func (s *Screen) cut(dst Target, q render.Work, id render.Tile, from *tiles) {
	left, top := id.Column*photo.TileCore, id.Row*photo.TileCore
	region := image.Rect(q.Left, q.Top, q.Left+q.Width, q.Top+q.Height)
	part := region.Intersect(image.Rect(left, top, left+photo.TileCore, top+photo.TileCore))
	at := look.Patch{X: part.Min.X - q.Left, Y: part.Min.Y - q.Top, Width: part.Dx(), Height: part.Dy()}
	s.quad(dst, at, part.Min.X-left+photo.Gutter, part.Min.Y-top+photo.Gutter, look.Shader{},
		&ebiten.DrawTrianglesShaderOptions{Blend: ebiten.BlendCopy, Images: [4]*ebiten.Image{from.up[id].image}})
}
