// Package gpu executes a render.Plan with the graphics unit, through Ebiten. It
// draws when it is asked to and not otherwise, and takes no input.
package gpu

import (
	"fmt"
	"slices"

	"github.com/hajimehoshi/ebiten/v2"

	"maulstick/render"
	"maulstick/render/look"
	"maulstick/render/photo"
)

// Screen holds what the graphics unit keeps from one frame to the next: the
// programs, the photograph's tiles, and each pane's picture before it is looked
// at, so that a change of look alone samples nothing. It is used from Ebiten's
// Update and Draw only.
type Screen struct {
	programs map[look.Shader]*ebiten.Shader
	tables   map[look.Tables]*ebiten.Image
	tiles    tiles    // of the photograph
	others   []*tiles // of the pictures that were last shown in its place
	puts     int      // tiles put up so far
	buf      []byte   // the one that every tile goes through
	stages   []*stage
	squints  squints
	verts    [4]ebiten.Vertex
	strokes  strokes
	white    *ebiten.Image // one pixel
}

// New makes a screen without a photograph. It compiles what the first picture
// needs; the other looks are compiled when they are first shown. An error means
// that the graphics unit cannot show anything.
func New() (*Screen, error) {
	s := &Screen{programs: map[look.Shader]*ebiten.Shader{}, tables: map[look.Tables]*ebiten.Image{}}
	first := look.Shader{Reader: look.ReadPhoto}
	p, err := ebiten.NewShader(look.Source(first))
	if err != nil {
		return nil, fmt.Errorf("making the graphics unit ready: compiling the program that shows photographs: %w", err)
	}
	s.programs[first] = p
	return s, nil
}

// program is a compiled program. The texts are part of the build and a test
// compiles each: one that does not compile is a fault of the build.
func (s *Screen) program(shader look.Shader) *ebiten.Shader {
	if s.programs[shader] == nil {
		p, err := ebiten.NewShader(look.Source(shader))
		if err != nil {
			panic(fmt.Errorf("compiling program %v: %w", shader, err))
		}
		s.programs[shader] = p
	}
	return s.programs[shader]
}

// table is the picture of a look's tables, put up once.
func (s *Screen) table(t look.Tables) *ebiten.Image {
	if s.tables[t] == nil {
		if len(s.tables) >= mostTables {
			for old, img := range s.tables {
				img.Deallocate()
				delete(s.tables, old)
			}
		}
		pix := t.Picture()
		img := blank(look.TableWidth, len(pix)/(4*look.TableWidth))
		img.WritePixels(pix)
		s.tables[t] = img
	}
	return s.tables[t]
}

// mostTables is how many looks' tables stay up; every neutral that is tried makes
// its own.
const mostTables = 8

// SetPhoto changes the photograph, whose pixels may still be coming; nil is
// none. What was held of the one before is let go.
func (s *Screen) SetPhoto(y *photo.Pyramid) {
	s.tiles.reset(y)
	s.holdOnly(nil)
	s.squints.forget()
	for _, st := range s.stages {
		st.key, st.made, st.whole, st.glanced = key{}, false, false, false
	}
}

// Upload puts up at most one tile that the last plan drawn still lacks, and
// says whether it did: then the picture would be drawn better now, and another
// may follow in the next frame.
func (s *Screen) Upload() bool {
	buf := s.buffer()
	if s.tiles.upload(buf) || slices.ContainsFunc(s.others, func(t *tiles) bool { return t.upload(buf) }) {
		s.puts++
		return true
	}
	return false
}

// buffer is the one that every tile goes through.
func (s *Screen) buffer() []byte {
	if s.buf == nil {
		s.buf = make([]byte, 4*photo.TileSide*photo.TileSide)
	}
	return s.buf
}

// Renew says that all pixels of a picture that is shown in the photograph's place, and
// that stores no smaller copies, have changed in place: what is up of it is put up anew,
// without new images, and the next drawing shows it. A picture that is not shown needs
// no renewing.
func (s *Screen) Renew(y *photo.Pyramid) {
	for _, t := range s.others {
		if t.pyramid == y {
			t.renew(s.buffer())
		}
	}
}

// Ready says whether drawing the plan last drawn again would not change it:
// every tile that it draws is up, and nothing on the screen is a mere glance.
func (s *Screen) Ready(p render.Plan) bool {
	return s.tiles.pyramid == nil || s.allUp(p) && !s.Glanced()
}

// allUp says whether all tiles of a plan are up.
func (s *Screen) allUp(p render.Plan) bool {
	for _, pane := range p.Panes {
		if t := s.from(pane); t == nil || !t.whole(p) {
			return false
		}
	}
	return s.tiles.whole(p)
}

// wantedUp says whether all tiles of the plan that is being drawn are up.
func (s *Screen) wantedUp() bool {
	return !s.tiles.lacking() && !slices.ContainsFunc(s.others, (*tiles).lacking)
}

// from is what is up of a pane's picture, nil before it was first drawn.
func (s *Screen) from(pane render.Pane) *tiles {
	source := pane.Source()
	if source == nil {
		return &s.tiles
	}
	i := slices.IndexFunc(s.others, func(t *tiles) bool { return t.pyramid == source })
	if i < 0 {
		return nil
	}
	return s.others[i]
}

// holdOnly lets go of every picture in the photograph's place but some.
func (s *Screen) holdOnly(some []*photo.Pyramid) {
	s.others = slices.DeleteFunc(s.others, func(t *tiles) bool {
		if slices.Contains(some, t.pyramid) {
			return false
		}
		t.reset(nil)
		return true
	})
}

// bring makes ready for the pictures that a plan shows in the photograph's place. If it
// shows none those before stay, since they are likely to come back, but for those that
// were renewed, which will not.
func (s *Screen) bring(p render.Plan) {
	var shown []*photo.Pyramid
	for _, pane := range p.Panes {
		if source := pane.Source(); source != nil {
			shown = append(shown, source)
		}
	}
	if len(shown) == 0 {
		for _, t := range s.others {
			if t.renewed == 0 {
				shown = append(shown, t.pyramid)
			}
		}
	}
	s.holdOnly(shown)
	for _, pane := range p.Panes {
		if s.from(pane) == nil {
			t := &tiles{other: true}
			t.reset(pane.Source())
			s.others = append(s.others, t)
		}
	}
}

// Glanced says whether the view moved when it was last drawn. Drawing it again
// while it rests shows it exactly.
func (s *Screen) Glanced() bool {
	return slices.ContainsFunc(s.stages, func(st *stage) bool { return st.glanced })
}

// Draw draws a plan with what is up; where a tile is not, a smaller copy stands
// in for it, and where there is nothing yet, the surround.
func (s *Screen) Draw(dst Target, p render.Plan) {
	if s.tiles.pyramid == nil {
		dst.Fill(opaque(p.Surround))
		return
	}
	s.bring(p)
	s.tiles.want(p)
	for _, t := range s.others {
		t.want(p)
	}
	s.ground(dst, p)
	for len(s.stages) > len(p.Panes) {
		last := len(s.stages) - 1
		s.stages[last].release()
		s.stages = s.stages[:last]
	}
	for i, pane := range p.Panes {
		if pane.View.Width <= 0 || pane.View.Height <= 0 {
			continue
		}
		for i >= len(s.stages) {
			s.stages = append(s.stages, &stage{})
		}
		s.pane(dst, s.stages[i], p, pane)
	}
}

// round draws a magnified round from its stage.
func (s *Screen) round(dst Target, st *stage, p render.Plan, pane render.Pane) {
	w, h := pane.View.Width, pane.View.Height
	st.seen = atLeast(st.seen, w, h)
	st.seen.Fill(opaque(p.Surround))
	s.look(st.seen, st.picture, p, pane, 0, 0)
	s.stroke(st.seen, p, pane, p.Strokes, 0, 0)
	at := look.Patch{X: pane.At.X, Y: pane.At.Y, Width: w, Height: h}
	s.quad(dst, at, 0, 0, look.Shader{Reader: look.ReadRound}, &ebiten.DrawTrianglesShaderOptions{
		Uniforms: look.NewRound(w, h).Uniforms(),
		Images:   [4]*ebiten.Image{st.seen},
	})
}

// look draws the part of a pane's picture that shows the crop as its look shows
// it, the pane's corner at (x, y).
func (s *Screen) look(dst Target, picture *ebiten.Image, p render.Plan, pane render.Pane, x, y int) {
	in := pane.View.Inside(p.Shows(pane))
	if in.Empty() {
		return
	}
	w := s.way(pane.Look, p)
	at := look.Patch{X: x + in.X, Y: y + in.Y, Width: in.Width, Height: in.Height}
	s.quad(dst, at, in.X, in.Y, look.Shader{Tone: w.tone}, &ebiten.DrawTrianglesShaderOptions{
		Blend:    ebiten.BlendCopy,
		Uniforms: w.uniforms,
		Images:   [4]*ebiten.Image{picture, w.table},
	})
}

// quad runs a program on a rectangle of an image, with the first source read
// from (x, y) on, pixel by pixel.
func (s *Screen) quad(dst Target, p look.Patch, x, y int, shader look.Shader, options *ebiten.DrawTrianglesShaderOptions) {
	corner := dst.Bounds().Min
	for i := range s.verts {
		dx, dy := float32(i%2*p.Width), float32(i/2*p.Height)
		s.verts[i] = ebiten.Vertex{
			DstX: float32(corner.X+p.X) + dx, DstY: float32(corner.Y+p.Y) + dy,
			SrcX: float32(x) + dx, SrcY: float32(y) + dy,
			ColorR: 1, ColorG: 1, ColorB: 1, ColorA: 1,
		}
	}
	dst.DrawTrianglesShader(s.verts[:], corners, s.program(shader), options)
}

// corners are the two triangles of a rectangle.
var corners = []uint16{0, 1, 2, 1, 2, 3}
