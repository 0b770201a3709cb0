package gpu

import (
	"image"

	"github.com/hajimehoshi/ebiten/v2"

	"maulstick/render"
	"maulstick/render/look"
	"maulstick/render/photo"
)

// squints are the images that a blurred picture is made in and what that was made by:
// one for each size that it is halved to, so that a live picture finds them all again, and
// one for each pass of the blur, the last one its result.
type squints struct {
	halved        []*ebiten.Image
	passed        [2]*ebiten.Image
	done          render.Work
	of            *photo.Pyramid
	renewed       int  // how often the pixels of that had changed
	coded         bool // the first pass's image holds the result as codes
	width, height int
}

// forget has the next blurred picture made anew.
func (b *squints) forget() { b.done, b.of = render.Work{}, nil }

// squint draws a pane's picture through a blur, if all the tiles that it
// depends on are up, and says whether it did.
func (s *Screen) squint(dst Target, x, y int, q render.Squint, from *tiles, w way) bool {
	b := &s.squints
	if b.done != q.Work || b.of != from.pyramid || b.renewed != from.renewed {
		for _, id := range q.Tiles() {
			if from.up[id] == nil {
				return false
			}
		}
		s.blur(q.Work, from)
	}
	// Codes would tint what is nearly neutral otherwise, which a blur makes of most.
	if w.glance != nil && w.tone != look.Temperature && w.tone != look.Misled {
		s.read(dst, x, y, q.Patch, source{s.coded(), b.width, b.height, look.ReadPhoto}, w)
		return true
	}
	s.read(dst, x, y, q.Patch, source{b.passed[1], b.width, b.height, look.ReadBlurred}, w)
	return true
}

// coded is the blurred picture in codes, which are read between far more quickly than what
// the blur left, and are half a code off.
func (s *Screen) coded() *ebiten.Image {
	b := &s.squints
	if !b.coded {
		all := look.Patch{Width: b.width, Height: b.height, PaceX: 1, PaceY: 1}
		s.read(b.passed[0], 0, 0, all, source{b.passed[1], b.width, b.height, look.ReadBlurred}, way{})
		b.coded = true
	}
	return b.passed[0]
}

// fit makes images for a picture and for what is left of it each time it is halved.
func (b *squints) fit(halvings, width, height int) {
	for len(b.halved) > halvings+1 {
		last := len(b.halved) - 1
		b.halved[last].Deallocate()
		b.halved = b.halved[:last]
	}
	for i := range halvings + 1 {
		if i == len(b.halved) {
			b.halved = append(b.halved, nil)
		}
		b.halved[i] = atLeast(b.halved[i], width, height)
		width, height, _ = render.Halved(width, height)
	}
}

// blur makes the blurred picture.
func (s *Screen) blur(q render.Work, from *tiles) {
	b := &s.squints
	b.coded, b.done, b.of, b.renewed = false, q, from.pyramid, from.renewed
	if q.Live {
		lit := q.Frame(from.pyramid)
		b.width, b.height = lit.Width, lit.Height
		b.passed[0], b.passed[1] = atLeast(b.passed[0], b.width, b.height), atLeast(b.passed[1], b.width, b.height)
		b.passed[1].SubImage(image.Rect(0, 0, b.width, b.height)).(*ebiten.Image).WritePixels(lit.Packed())
		return
	}
	b.width, b.height = s.passes(q, from)
}

// passes makes a blurred picture on the graphics unit, and says how large it is.
func (s *Screen) passes(q render.Work, from *tiles) (w, h int) {
	b := &s.squints
	w, h = q.Width, q.Height
	b.fit(q.Halvings, w, h)
	for _, id := range q.Tiles() {
		s.cut(b.halved[0], q, id, from)
	}
	for i := range q.Halvings {
		hw, hh, patch := render.Halved(w, h)
		s.read(b.halved[i+1], 0, 0, patch, source{b.halved[i], w, h, look.ReadPhoto}, way{})
		w, h = hw, hh
	}
	sharp := b.halved[q.Halvings]
	for i, pass := range []look.Reader{look.ReadAcross, look.ReadDown} {
		b.passed[i] = atLeast(b.passed[i], w, h)
		s.quad(b.passed[i], look.Patch{Width: w, Height: h}, 0, 0, look.Shader{Reader: pass}, &ebiten.DrawTrianglesShaderOptions{
			Blend:    ebiten.BlendCopy,
			Uniforms: q.Blur.Uniforms(pass, w, h),
			Images:   [4]*ebiten.Image{sharp},
		})
		sharp = b.passed[i]
	}
	return w, h
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
