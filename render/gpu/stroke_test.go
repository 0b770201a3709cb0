package gpu

import (
	"math"
	"testing"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/place"
)

// star is strokes of every angle through a place, in colours, widths and strengths
// of every kind, some beginning there and some crossing it.
func star(at place.PhotoPoint, length float64) []render.Stroke {
	const count = 90
	var strokes []render.Stroke
	n := noise(3)
	for i := range count {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / count)
		strokes = append(strokes, render.Stroke{
			From:     place.PhotoPoint{X: at.X - float64(i%3)*length*cos/3, Y: at.Y - float64(i%3)*length*sin/3},
			To:       place.PhotoPoint{X: at.X + length*cos, Y: at.Y + length*sin},
			Width:    0.5 + float64(i%7)*0.75,
			Colour:   colour.SRGB{R: n.next(), G: n.next(), B: n.next()},
			Strength: 1 - float64(i%4)*0.25,
		})
	}
	return strokes
}

// TestStrokesAgree holds strokes of every angle to their twin within two codes,
// mirrored, turned, near and far, under looks, over a made picture, in the round,
// in a pane that leaves the screen, and while the view moves.
func TestStrokesAgree(t *testing.T) {
	s, y := screen(t), picture(2101, 1403)
	s.SetPhoto(y)
	made := &render.Made{Pyramid: picture(650, 440), Left: 30, Top: 21, Side: 3}
	looks := []look.Look{{}, {Tone: look.Grey}, {Filter: true}, {Squint: true, Blur: 25}}
	for i, scale := range []float64{0.2, 0.77, 1, 5, 16} {
		for turn := range 4 {
			p := plan(view(scale, 900.4, 700.9, turn&1 == 1, turn&2 == 2), looks[(i+turn)%len(looks)])
			p.Strokes = append(star(place.PhotoPoint{X: 890, Y: 710}, 800), star(place.PhotoPoint{X: 905.5, Y: 690.5}, 60/scale)...)
			if turn == 1 {
				p.Panes[0].Made, p.Panes[0].Look.Squint = made, false
			}
			p.Panes[0].At.X, p.Panes[0].At.Y = -turn*9, 4*turn-7
			round := render.Rect{X: 50, Y: 60, Width: 151, Height: 151}
			p.Panes = append(p.Panes, render.Pane{
				At: round, Look: p.Panes[0].Look, Round: true,
				View: render.Viewport{Width: 151, Height: 151, Scale: min(3*scale, 16), Centre: place.PhotoPoint{X: 895, Y: 705}, Mirror: turn&1 == 1},
			})
			unequal, worst := apart(drawn(t, s, p), render.Execute(p, y).Pix)
			t.Logf("scale %.2f, turn %d: %d of %d pixels differ, by %d at most", scale, turn, unequal, p.Width*p.Height, worst)
			if worst > 2 {
				t.Errorf("scale %.2f, turn %d: strokes are %d codes apart", scale, turn, worst)
			}
		}
	}
}
