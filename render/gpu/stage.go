package gpu

import (
	"maps"

	"github.com/hajimehoshi/ebiten/v2"

	"maulstick/render"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// stage is what is kept of a pane from one frame to the next: while its view
// stays, its picture in full colour, squinted if need be, before the look.
type stage struct {
	key           key
	whole, made   bool          // no tile was missing; picture is what key says
	picture, seen *ebiten.Image // seen is a picture after the look: a round's, or what finish says
	puts          int           // how many tiles had been put up
	glanced       bool          // the view moved: what is on the screen is near, not exact
	finish        finish
}

// key is all that a picture before its look depends on, but the photograph.
type key struct {
	view  render.Viewport
	crop  place.Crop
	sigma float64
	made  *render.Made
	other *photo.Pyramid

	renewed int // how often the pixels of other had changed
}

func (st *stage) release() {
	for _, img := range []*ebiten.Image{st.picture, st.seen} {
		if img != nil {
			img.Deallocate()
		}
	}
}

// way is how pixels are shown once they have been read. The zero value shows
// them as they are.
type way struct {
	tone     look.Tone
	uniforms map[string]any
	table    *ebiten.Image
	glance   map[string]any // the uniforms to read the photograph quickly; nil where that will not do
}

// way is a look's.
func (s *Screen) way(l look.Look, p render.Plan) way {
	w := way{tone: l.Shown(), uniforms: l.Uniforms(p.Surround)}
	if w.tone != look.Colour {
		w.table = s.table(l.Tables(p.Surround))
	}
	return w
}

// pane draws a pane. A view that has just changed is sampled and looked at in
// one go and quickly, since it may change again at once; one that has stayed is
// sampled to its stage, so that further looks at it cost a look only. A stage's
// first picture is exact though nothing is kept of it: most need no other. What is live
// is drawn quickly all the while, since the next frame is another: no exact drawing
// follows it until it is live no more.
func (s *Screen) pane(dst Target, st *stage, p render.Plan, pane render.Pane) {
	now := key{
		view: pane.View, crop: p.Shows(pane), sigma: p.Sigma(pane), made: pane.Made,
		other: pane.Other.Pyramid, renewed: s.from(pane).renewed,
	}
	// What is read from a blur is quick as it is.
	st.glanced = st.key != now && st.key != key{} && !pane.Round && now.sigma == 0 && !pane.Other.Live
	switch {
	case pane.Round:
		if st.key != now || !st.made || !st.whole && st.puts != s.puts {
			s.make(st, p, pane)
		}
		s.round(dst, st, p, pane)
		st.finish.forget()
	case st.key != now || !st.whole || pane.Other.Live:
		st.made = false
		w := s.way(pane.Look, p)
		if st.glanced || pane.Other.Live {
			w.glance = pane.Look.GlanceUniforms(p.Surround)
		}
		st.whole = s.picture(dst, pane.At.X, pane.At.Y, p, pane, w)
		s.stroke(dst, p, pane, p.Strokes, pane.At.X, pane.At.Y)
		st.finish.forget()
	default:
		if !st.made {
			s.make(st, p, pane)
		}
		s.rest(dst, st, p, pane)
	}
	st.key, st.puts = now, s.puts
}

// make samples a pane's picture to its stage.
func (s *Screen) make(st *stage, p render.Plan, pane render.Pane) {
	st.picture = atLeast(st.picture, pane.View.Width, pane.View.Height)
	st.picture.Clear()
	st.whole = s.picture(st.picture, 0, 0, p, pane, way{})
	st.made = true
}

// picture draws a pane's picture, its corner at (x, y), and says whether all the
// tiles that it wants are up. If not, smaller copies stand in.
func (s *Screen) picture(dst Target, x, y int, p render.Plan, pane render.Pane, w way) bool {
	squint, on := p.Squint(pane, s.tiles.pyramid)
	switch from := s.from(pane); {
	case !on:
		return s.sample(dst, x, y, p, pane, w)
	case s.squint(dst, x, y, squint, from, w):
		return true
	case s.squints.of == from.pyramid && s.squints.done.Live:
		// What was live a moment ago has no tiles up, sharp or not.
		pane.Other.Live = true
		squint, _ = p.Squint(pane, s.tiles.pyramid)
		s.squint(dst, x, y, squint, from, w)
	default:
		s.sample(dst, x, y, p, pane, w)
	}
	return false
}

// sample is picture without a squint.
func (s *Screen) sample(dst Target, x, y int, p render.Plan, pane render.Pane, w way) bool {
	from := s.from(pane)
	patches := p.Patches(pane, from.pyramid, 0)
	if len(patches) == 0 {
		return true
	}
	whole := true
	for _, t := range patches {
		whole = whole && from.up[t.Tile] != nil
	}
	for k := from.pyramid.Levels() - 1; k > patches[0].Tile.Level && !whole; k-- {
		s.patches(dst, x, y, from, p.Patches(pane, from.pyramid, k), w)
	}
	s.patches(dst, x, y, from, patches, w)
	return whole
}

// patches draws those patches whose tiles are up.
func (s *Screen) patches(dst Target, x, y int, from *tiles, patches []render.TilePatch, w way) {
	for _, t := range patches {
		if held := from.up[t.Tile]; held != nil {
			s.read(dst, x, y, t.Patch, source{held.image, held.width, held.height, look.ReadPhoto}, w)
		}
	}
}

// source is what a patch is read from: an image, how much of it there is, and
// how it is read.
type source struct {
	image         *ebiten.Image
	width, height int
	reader        look.Reader
}

// read draws a patch, moved by (x, y).
func (s *Screen) read(dst Target, x, y int, p look.Patch, from source, w way) {
	p.X, p.Y = p.X+x, p.Y+y
	uniforms := turned(dst, p).Uniforms(from.width, from.height)
	shader := look.Shader{Reader: from.reader, Tone: w.tone}
	if shader.Glanced = w.glance != nil && from.reader == look.ReadPhoto; shader.Glanced {
		maps.Copy(uniforms, w.glance)
	} else {
		maps.Copy(uniforms, w.uniforms)
	}
	s.quad(dst, p, 0, 0, shader, &ebiten.DrawTrianglesShaderOptions{
		Blend:    ebiten.BlendCopy,
		Uniforms: uniforms,
		Images:   [4]*ebiten.Image{from.image, w.table},
	})
}
