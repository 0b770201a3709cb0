package gpu

import (
	"image"

	"github.com/hajimehoshi/ebiten/v2"

	"maulstick/render"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// stage is a pane's picture in full colour, squinted if need be, before it is
// looked at; and what it was made for.
type stage struct {
	picture, seen *ebiten.Image // seen is a round's picture after the look
	made, whole   bool          // whole when no tile was missing
	view          render.Viewport
	crop          place.Crop
	sigma         float64
	puts          int // how many tiles had been put up
}

func (st *stage) release() {
	for _, img := range []*ebiten.Image{st.picture, st.seen} {
		if img != nil {
			img.Deallocate()
		}
	}
}

// prepare makes a stage's picture for a pane, unless it is that already.
func (s *Screen) prepare(st *stage, p render.Plan, pane render.Pane) {
	sigma := p.Sigma(pane.Look)
	same := st.made && st.view == pane.View && st.crop == p.Crop && st.sigma == sigma
	if same && (st.whole || st.puts == s.tiles.puts) {
		return
	}
	st.picture = atLeast(st.picture, pane.View.Width, pane.View.Height)
	st.made, st.view, st.crop, st.sigma, st.puts = true, pane.View, p.Crop, sigma, s.tiles.puts
	if squint, on := p.Squint(pane, s.tiles.pyramid); on {
		if st.whole = s.squint(st.picture, squint); st.whole {
			return
		}
		s.sample(st.picture, p, pane)
		return
	}
	st.whole = s.sample(st.picture, p, pane)
}

// sample draws a pane's picture from tiles and says whether all that it wants
// are up. If not, smaller copies are drawn first and stand in.
func (s *Screen) sample(dst *ebiten.Image, p render.Plan, pane render.Pane) bool {
	y := s.tiles.pyramid
	wanted := pane.View.Level(y.Levels())
	patches := pane.View.Tiles(p.Crop, y, wanted)
	whole := true
	for _, t := range patches {
		whole = whole && s.tiles.up[t.Tile] != nil
	}
	if !whole {
		dst.Clear()
		for k := y.Levels() - 1; k > wanted; k-- {
			s.patches(dst, pane.View.Tiles(p.Crop, y, k))
		}
	}
	s.patches(dst, patches)
	return whole
}

// patches draws those patches whose tiles are up.
func (s *Screen) patches(dst *ebiten.Image, patches []render.TilePatch) {
	for _, t := range patches {
		if held := s.tiles.up[t.Tile]; held != nil {
			s.read(dst, held.image, t.Patch, held.width, held.height, look.ShadeSample)
		}
	}
}

// read draws a patch from a source of the given size.
func (s *Screen) read(dst, source *ebiten.Image, p look.Patch, width, height int, shader look.Shader) {
	s.quad(dst, p, 0, 0, shader, &ebiten.DrawTrianglesShaderOptions{
		Blend:    ebiten.BlendCopy,
		Uniforms: p.Uniforms(width, height),
		Images:   [4]*ebiten.Image{source},
	})
}

// squint draws a pane's picture through a blur, if all the tiles that it
// depends on are up, and says whether it did.
func (s *Screen) squint(dst *ebiten.Image, q render.Squint) bool {
	for _, id := range q.Tiles() {
		if s.tiles.up[id] == nil {
			return false
		}
	}
	w, h := s.blur(q.Work)
	s.read(dst, s.work[2], q.Patch, w, h, look.ShadeBlurred)
	return true
}

// blur makes the blurred picture in work[2], unless it is there already, and
// returns its size.
func (s *Screen) blur(q render.Work) (width, height int) {
	w, h := q.Width, q.Height
	if s.done == q {
		return s.doneWidth, s.doneHeight
	}
	s.work[0] = atLeast(s.work[0], w, h)
	for _, id := range q.Tiles() {
		s.cut(s.work[0], q, id)
	}
	for range q.Halvings {
		hw, hh, patch := render.Halved(w, h)
		s.work[1] = atLeast(s.work[1], hw, hh)
		s.read(s.work[1], s.work[0], patch, w, h, look.ShadeSample)
		s.work[0], s.work[1] = s.work[1], s.work[0]
		w, h = hw, hh
	}
	for i, pass := range []look.Shader{look.ShadeAcross, look.ShadeDown} {
		s.work[i+1] = atLeast(s.work[i+1], w, h)
		s.quad(s.work[i+1], look.Patch{Width: w, Height: h}, 0, 0, pass, &ebiten.DrawTrianglesShaderOptions{
			Blend:    ebiten.BlendCopy,
			Uniforms: q.Blur.Uniforms(pass, w, h),
			Images:   [4]*ebiten.Image{s.work[i]},
		})
	}
	s.done, s.doneWidth, s.doneHeight = q, w, h
	return w, h
}

// cut copies what a squint needs of one tile.
func (s *Screen) cut(dst *ebiten.Image, q render.Work, id render.Tile) {
	left, top := id.Column*photo.TileCore, id.Row*photo.TileCore
	region := image.Rect(q.Left, q.Top, q.Left+q.Width, q.Top+q.Height)
	part := region.Intersect(image.Rect(left, top, left+photo.TileCore, top+photo.TileCore))
	at := look.Patch{X: part.Min.X - q.Left, Y: part.Min.Y - q.Top, Width: part.Dx(), Height: part.Dy()}
	s.quad(dst, at, part.Min.X-left+photo.Gutter, part.Min.Y-top+photo.Gutter, look.ShadePlain,
		&ebiten.DrawTrianglesShaderOptions{Blend: ebiten.BlendCopy, Images: [4]*ebiten.Image{s.tiles.up[id].image}})
}
