package render

import (
	"math"
	"slices"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// Another picture beside the photograph looks exactly as it does alone, whatever the
// look: the photograph's crop, its strokes and its pixels are nothing to it.
func TestAnotherPictureBesideThePhotograph(t *testing.T) {
	first, second := whole(scene(900, 700)), whole(scene(640, 500))
	for _, l := range []look.Look{{Tone: look.Grey}, {Squint: true, Blur: 30, Tone: look.Steps, Steps: 5}} {
		seen := place.Crop{X: 40, Y: 20, Width: 500, Height: 400}
		right := Fit(seen, 200, 300, 7)
		right.Mirror = true
		both := Plan{
			Width: 400, Height: 300, Crop: place.Crop{X: 100, Y: 50, Width: 300, Height: 600}, Canvas: place.Size{Width: 1000, Height: 800},
			Surround: colour.SRGB{R: 119, G: 119, B: 119},
			Panes: []Pane{
				{At: Rect{Width: 200, Height: 300}, View: Viewport{Width: 200, Height: 300, Scale: 0.5, Centre: place.PhotoPoint{X: 250, Y: 350}}, Look: l},
				{At: Rect{X: 200, Width: 200, Height: 300}, View: right, Look: l, Other: Other{Pyramid: second, Crop: seen}},
			},
			Strokes: []Stroke{{From: place.PhotoPoint{X: 100, Y: 50}, To: place.PhotoPoint{X: 400, Y: 650}, Width: 3, Strength: 1}},
		}
		got := Execute(both, first)
		alone := both
		alone.Width, alone.Crop, alone.Strokes = 200, seen, nil
		alone.Panes = []Pane{{At: Rect{Width: 200, Height: 300}, View: right, Look: l}}
		want := Execute(alone, second)
		for j := range 300 {
			if !slices.Equal(got.Pix[4*(400*j+200):4*(400*j+400)], want.Pix[4*200*j:][:800]) {
				t.Fatalf("%+v: row %d of the other picture is not as it is alone", l, j)
			}
		}
		before := both
		before.Panes = both.Panes[:1]
		one := Execute(before, first)
		for j := range 300 {
			if !slices.Equal(got.Pix[4*400*j:][:800], one.Pix[4*400*j:][:800]) {
				t.Fatalf("%+v: row %d of the photograph is not as it is alone", l, j)
			}
		}
	}
}

// A blur of 10 mm on a canvas that is 500 mm long is a fiftieth of the other picture's
// long side, whatever its proportion.
func TestSquintingAtAnotherPicture(t *testing.T) {
	p := Plan{Crop: place.Crop{Width: 2000, Height: 1000}, Canvas: place.Size{Width: 500, Height: 250}}
	pane := Pane{Look: look.Look{Squint: true, Blur: 10}, Other: Other{Pyramid: photo.NewPyramid(photo.New(1, 1)), Crop: place.Crop{Width: 300, Height: 600}}}
	if got, want := p.Sigma(pane), 12/2.3548200450309493; math.Abs(got-want) > 1e-9 {
		t.Errorf("sigma is %v px, want %v", got, want)
	}
}
