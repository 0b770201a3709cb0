package gpu

import (
	"fmt"
	"testing"

	"maulstick/render"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// film is a picture whose pixels are overwritten from frame to frame, as a camera's are.
type film struct {
	pyramid *photo.Pyramid
	frames  [][]byte
	shown   int
}

// newFilm has frames that differ in every pixel.
func newFilm(width, height, frames int) *film {
	f := &film{pyramid: photo.NewPyramid(photo.New(width, height))}
	f.pyramid.Finish()
	first := picture(width, height).Picture().Pix
	for k := range frames {
		pix := make([]byte, len(first))
		for i := range pix {
			pix[i] = first[(i+4*(97*k+width*31*k))%len(first)]
			if i%4 < 3 {
				pix[i] += byte(50 * k)
			}
		}
		f.frames = append(f.frames, pix)
	}
	copy(f.pyramid.Picture().Pix, f.frames[0])
	return f
}

// next puts the next frame on a screen.
func (f *film) next(s *Screen) {
	f.shown = (f.shown + 1) % len(f.frames)
	copy(f.pyramid.Picture().Pix, f.frames[f.shown])
	s.Renew(f.pyramid)
}

// besideLive is the photograph with a live picture beside it, under one look.
func besideLive(f *film, l look.Look) render.Plan {
	p := plan(view(0.3, 1050, 700, false, false), l)
	size := f.pyramid.Picture()
	crop := place.Crop{Width: float64(size.Width), Height: float64(size.Height)}
	at := render.Rect{X: p.Width, Width: 611, Height: p.Height}
	seen := render.Fit(crop, at.Width, at.Height, 14)
	seen.Mirror = true
	p.Panes = append(p.Panes, render.Pane{At: at, View: seen, Look: l, Other: render.Other{Pyramid: f.pyramid, Crop: crop, Live: true}})
	p.Width += at.Width
	return p
}

// inPane is a pane's part of a drawing.
func inPane(pix []byte, width int, at render.Rect) []byte {
	var part []byte
	for y := at.Y; y < at.Y+at.Height; y++ {
		part = append(part, pix[4*(y*width+at.X):][:4*at.Width]...)
	}
	return part
}

// TestLivePicturesAreNear: a live picture's frames, each drawn once, are within what a
// glance may be off from the processor's, whatever the look; squinted at, which is done
// on a smaller copy, within six codes of what it is frozen; the photograph beside it
// stays as it was; and frozen it is exact, too.
func TestLivePicturesAreNear(t *testing.T) {
	s, y, f := screen(t), picture(2101, 1403), newFilm(1280, 720, 3)
	s.SetPhoto(y)
	for name, l := range everyLook() {
		for _, blur := range []place.MM{0, 25} {
			l.Squint, l.Blur = blur > 0, blur
			what := fmt.Sprintf("%s, blur %v", name, blur)
			p := besideLive(f, l)
			first, at := p.Panes[0].At, p.Panes[1].At
			drawn(t, s, p)
			before := pixels(s, p) // the photograph is drawn from its stage from now on
			f.next(s)
			got := pixels(s, p)
			if s.Glanced() || !s.Ready(p) {
				t.Fatalf("%s: a live frame asks to be drawn once more", what)
			}
			if n, _ := apart(inPane(got, p.Width, first), inPane(before, p.Width, first)); n > 0 {
				t.Errorf("%s: beside a live picture %d pixels of the photograph change", what, n)
			}
			holdGlance(t, what, p, y, inPane(got, p.Width, at))
			p.Panes[1].Other.Live = false
			if exact := alone(p, l, y); blur > 0 && l.Tone == look.Colour {
				if up := len(s.from(p.Panes[1]).up); up > 0 {
					t.Errorf("%s: a live squint has %d tiles put up", what, up)
				}
				if _, worst := apart(inPane(got, p.Width, at), exact); worst > 6 {
					t.Errorf("%s: a live squint is %d codes off the exact one", what, worst)
				}
				if _, worst := apart(inPane(pixels(s, p), p.Width, at), exact); worst > 6 || s.Ready(p) {
					t.Errorf("%s: just frozen it is %d codes off, and ready: %v", what, worst, s.Ready(p))
				}
			}
			holdExact(t, what, p, y, inPane(drawn(t, s, p), p.Width, at))
		}
	}
}

// alone is the second pane of a plan as the processor draws it under a look.
func alone(p render.Plan, l look.Look, y *photo.Pyramid) []byte {
	p.Panes = []render.Pane{p.Panes[1]}
	p.Panes[0].Look = l
	return inPane(render.Execute(p, y).Pix, p.Width, p.Panes[0].At)
}

// holdGlance holds the second pane of a plan, as drawn, to what it should be, as
// TestMovingFramesAreNear does.
func holdGlance(t *testing.T, what string, p render.Plan, y *photo.Pyramid, got []byte) {
	t.Helper()
	l := p.Panes[1].Look
	want := alone(p, l, y)
	switch {
	case l.Tone == look.Temperature || l.Tone == look.Misled:
		holdTinted(t, what, got, want)
	case l.Tone == look.Steps:
		grey := l
		grey.Tone, grey.AsGreys = look.Grey, true
		holdNearEdges(t, what, l, got, want, alone(p, grey, y))
	default:
		most := 2
		if l.Squint {
			most = 3 // the blur is rounded to codes before it is read
		}
		if _, worst := apart(got, want); worst > most {
			t.Errorf("%s: a live frame is %d codes off", what, worst)
		}
	}
}

// holdExact holds it to within a code, under the looks that do not sort colours: those
// make much of one.
func holdExact(t *testing.T, what string, p render.Plan, y *photo.Pyramid, got []byte) {
	t.Helper()
	if l := p.Panes[1].Look; l.Tone == look.Colour || l.Tone == look.Grey {
		if _, worst := apart(got, alone(p, l, y)); worst > 1 {
			t.Errorf("%s: frozen it is %d codes off", what, worst)
		}
	}
}

// TestLivePicturesAreRenewedInPlace: a frame goes into the images that the one before
// had; those that are not in sight are let go of, and so are all when the live picture
// is shown no more.
func TestLivePicturesAreRenewedInPlace(t *testing.T) {
	s, y, f := screen(t), picture(900, 700), newFilm(1280, 720, 2)
	s.SetPhoto(y)
	s.Renew(f.pyramid) // not shown yet
	p := besideLive(f, look.Look{})
	drawn(t, s, p)
	held := s.from(p.Panes[1])
	if len(held.up) != 1 || held.up[render.Tile{Level: 1}] == nil {
		t.Fatalf("at half its size %d tiles are up", len(held.up))
	}
	before := held.up[render.Tile{Level: 1}].image
	for range 3 {
		f.next(s)
		pixels(s, p)
		if held.up[render.Tile{Level: 1}].image != before || s.Upload() {
			t.Fatal("a frame takes images of its own")
		}
	}
	p.Panes[1].View.Scale = 1
	drawn(t, s, p)
	if len(held.up) < 2 {
		t.Fatalf("at full size %d tiles are up", len(held.up))
	}
	f.next(s)
	if got := pixels(s, p); held.up[render.Tile{Level: 1}] != nil {
		t.Error("a tile that is out of sight is kept though its pixels have changed")
	} else if _, worst := apart(got, render.Execute(p, y).Pix); worst > 2 {
		t.Errorf("at full size it is %d codes off", worst)
	}
	p.Panes = p.Panes[:1]
	pixels(s, p)
	if len(s.others) != 0 {
		t.Error("a live picture that is shown no more is kept")
	}
}
