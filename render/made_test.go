package render

import (
	"slices"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// A picture made from the photograph covers it: made of the photograph's own
// smaller copy, which begins inside the crop, it looks as that copy does.
func TestMadePictureLiesOnThePhotograph(t *testing.T) {
	p := photo.New(900, 700)
	for i := range p.Pix {
		p.Pix[i] = byte((i/4%900/50 + i/3600/50) % 2 * 200)
	}
	y := photo.NewPyramid(p)
	y.Finish()
	const left, top, w, h = 100, 75, 500, 400
	part := photo.New(w, h)
	y.Cut(0, left, top, w, h, part.Pix)
	made := photo.NewPyramid(part)
	made.Finish()
	plan := Plan{
		Width: 400, Height: 300, Crop: place.Crop{X: left, Y: top, Width: w, Height: h}, Surround: colour.SRGB{R: 9, G: 9, B: 9},
		Panes: []Pane{{
			At:   Rect{Width: 400, Height: 300},
			View: Viewport{Width: 400, Height: 300, Scale: 1.7, Centre: place.PhotoPoint{X: 330, Y: 290}, Mirror: true},
			Look: look.Look{Tone: look.Grey},
		}},
	}
	photograph := Execute(plan, y)
	plan.Panes[0].Made = &Made{Pyramid: made, Left: left, Top: top, Side: 1}
	if !slices.Equal(Execute(plan, y).Pix, photograph.Pix) {
		t.Error("the made picture does not lie where the photograph does")
	}
	plan.Panes[0].Made.Left += 10
	if slices.Equal(Execute(plan, y).Pix, photograph.Pix) {
		t.Error("a made picture that lies elsewhere looks the same")
	}
}
