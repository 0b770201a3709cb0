package gpu

import (
	"testing"

	"maulstick/render"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// pixels are a plan as drawn with what is up now.
func pixels(s *Screen, p render.Plan) []byte {
	dst := blank(p.Width, p.Height)
	defer dst.Deallocate()
	s.Draw(dst, p)
	pix := make([]byte, 4*p.Width*p.Height)
	dst.ReadPixels(pix)
	return pix
}

// TestWithoutPhotograph: with nothing to show there is the surround, and nothing
// is waited for.
func TestWithoutPhotograph(t *testing.T) {
	s := screen(t)
	p := plan(view(1, 100, 100, false, false), look.Look{Filter: true})
	for i, c := range pixels(s, p) {
		if want := []byte{119, 119, 119, 255}[i%4]; c != want {
			t.Fatalf("byte %d is %d, want %d", i, c, want)
		}
	}
	if s.Upload() || !s.Ready(p) {
		t.Error("a screen without a photograph waits for tiles")
	}
}

// TestPhotographComesInStrips fills a photograph row by row, as a page does, and
// draws all the while: what is not there yet is the surround, red filter or
// not, one call puts up one tile, and in the end the drawing is the processor's.
func TestPhotographComesInStrips(t *testing.T) {
	s, full := screen(t), picture(2101, 1403).Picture()
	p := photo.New(full.Width, full.Height)
	y := photo.NewPyramid(p)
	s.SetPhoto(y)
	pl := plan(view(0.28, 1050, 700, false, false), look.Look{Filter: true})
	empty := pixels(s, pl)
	if n, _ := apart(empty, pixels(screen(t), pl)); n != 0 {
		t.Errorf("%d pixels are not the surround before there is a photograph", n)
	}
	if s.Upload() {
		t.Error("a tile without pixels is put up")
	}
	ups := 0
	for row := 0; row < full.Height; row += 100 {
		end := min(row+100, full.Height)
		copy(p.Pix[4*p.Width*row:], full.Pix[4*p.Width*row:4*p.Width*end])
		for y.Advance(end) {
		}
		before := s.puts
		if s.Upload() {
			ups++
		}
		if s.puts-before > 1 {
			t.Fatal("one call put up several tiles")
		}
		pixels(s, pl)
	}
	got := drawn(t, s, pl)
	if _, worst := apart(got, render.Execute(pl, y).Pix); worst > 1 {
		t.Errorf("after the strips the drawing is %d codes off", worst)
	}
}

// TestCoarseStandsIn: until the tiles that a view wants are up, the smallest copy
// stands in for them everywhere.
func TestCoarseStandsIn(t *testing.T) {
	s := screen(t)
	p := photo.New(2400, 1400)
	for i := range p.Pix {
		p.Pix[i] = 255
	}
	y := photo.NewPyramid(p)
	y.Finish()
	s.SetPhoto(y)
	if !s.Upload() {
		t.Fatal("the smallest copy is not put up first")
	}
	pl := plan(render.Viewport{Width: 400, Height: 300, Scale: 1, Centre: place.PhotoPoint{X: 1000, Y: 700}}, look.Look{})
	if s.Ready(pl) {
		t.Error("a view at full size is ready from the smallest copy")
	}
	for i, c := range pixels(s, pl) {
		if c != 255 {
			t.Fatalf("byte %d is %d: nothing stands in", i, c)
		}
	}
}

// TestStagesAreKept: a change of look alone samples nothing, a change of view
// does.
func TestStagesAreKept(t *testing.T) {
	s, y := screen(t), picture(900, 700)
	s.SetPhoto(y)
	p := plan(view(0.7, 450, 350, false, false), look.Look{})
	drawn(t, s, p)
	pixels(s, p)                               // the view has stayed: a stage is made
	s.stages[0].picture.Fill(opaque(surround)) // a mark: it lasts while nothing is sampled
	p.Panes[0].Look = look.Look{Tone: look.Steps, Steps: 4}
	flat := look.Apply(p.Panes[0].Look, surround, surround)
	for i, c := range pixels(s, p) {
		if i%4 == 0 && c != flat.R && c != surround.R {
			t.Fatal("a change of look alone has sampled the picture again")
		}
	}
	p.Panes[0].Look = look.Look{}
	p.Panes[0].View.Centre.X++
	if _, worst := apart(pixels(s, p), render.Execute(p, y).Pix); worst > 1 {
		t.Errorf("a change of view has not sampled the picture again: %d codes off", worst)
	}
}

// TestTilesAreLetGo looks all over a photograph of many tiles at full size: those
// unused longest make room, and what is in sight is always right.
func TestTilesAreLetGo(t *testing.T) {
	s, y := screen(t), picture(8160, 6120)
	s.SetPhoto(y)
	for row := range 6 {
		for column := range 8 {
			centre := place.PhotoPoint{X: float64(column)*1020 + 510, Y: float64(row)*1020 + 510}
			p := plan(render.Viewport{Width: 64, Height: 48, Scale: 1, Centre: centre}, look.Look{})
			p.Crop = place.Crop{Width: 8160, Height: 6120}
			got := drawn(t, s, p)
			if len(s.tiles.up) > keptTiles {
				t.Fatalf("%d tiles are up", len(s.tiles.up))
			}
			if _, worst := apart(got, render.Execute(p, y).Pix); worst > 1 {
				t.Fatalf("tile %d, %d is %d codes off", column, row, worst)
			}
		}
	}
	held := s.buf
	s.SetPhoto(picture(300, 200))
	if len(s.tiles.up) != 0 || &held[0] != &s.buf[0] {
		t.Error("a new photograph keeps the old one's tiles, or loses the buffer")
	}
}
