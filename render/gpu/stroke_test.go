package gpu

import (
	"fmt"
	"image"
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

// agree holds a plan's picture by the graphics unit to the processor's: within so many
// codes, and within as much more for each stroke over a pixel as the unit may be off
// in drawing one.
func agree(t *testing.T, what string, p render.Plan, got, want []byte, most int) {
	t.Helper()
	over := overlaid(p)
	unequal, worst, far := 0, 0, 0
	for i, n := range over {
		off := 0
		for c := 4 * i; c < 4*i+3; c++ {
			off = max(off, int(got[c])-int(want[c]), int(want[c])-int(got[c]))
		}
		if off > 0 {
			unequal++
		}
		worst = max(worst, off)
		if off > most+eachOff*n {
			far++
		}
	}
	t.Logf("%s: %d of %d pixels differ, by %d at most", what, unequal, len(over), worst)
	if far > 0 {
		t.Errorf("%s: at %d pixels strokes are too many codes apart, %d at most", what, far, worst)
	}
}

// overlaid is how many strokes lie over each pixel of a plan, or would if they lay a
// sixteenth of a pixel to either side, in the pane in which most do.
func overlaid(p render.Plan) []int {
	over := make([]int, p.Width*p.Height)
	for _, pane := range p.Panes {
		width, height := pane.View.Width, pane.View.Height
		counts, pix := make([]int, width*height), make([]byte, 4*width*height)
		for streak := range p.Streaks(pane) {
			streak.Core, streak.Casing, streak.Strength = colour.SRGB{R: 255, G: 255, B: 255}, 255, 1
			streak.Half += 1.0 / 16
			streak.Reach += 1.0 / 16
			streak.Draw(pix, width, pane.View.Inside(p.Crop).Image())
			for i := range counts {
				if pix[4*i] > 0 {
					counts[i]++
				}
			}
			clear(pix)
		}
		for i, n := range counts {
			if x, y := pane.At.X+i%width, pane.At.Y+i/width; x >= 0 && y >= 0 && x < p.Width && y < p.Height {
				over[y*p.Width+x] = max(over[y*p.Width+x], n)
			}
		}
	}
	return over
}

// TestStrokesAgree holds strokes of every angle to their twin within two codes where
// one lies over the picture,
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
			agree(t, fmt.Sprintf("scale %.2f, turn %d", scale, turn), p, drawn(t, s, p), render.Execute(p, y).Pix, 2)
		}
	}
}

// TestStrokesAgreeAcrossTheScreen holds lines from edge to edge of a large screen to
// their twin, in every direction: what a unit steps along such a length adds up. The
// picture beneath is shown pixel by pixel, so that all that differs is the strokes'.
func TestStrokesAgreeAcrossTheScreen(t *testing.T) {
	s, y := screen(t), picture(2101, 1403)
	s.SetPhoto(y)
	p := render.Plan{Width: 2048, Height: 1536, Crop: place.Crop{Width: 2101, Height: 1403}, Surround: surround}
	view := render.Viewport{Width: p.Width, Height: p.Height, Scale: 1, Centre: place.PhotoPoint{X: 1050, Y: 700}}
	p.Panes = []render.Pane{{At: render.Rect{Width: p.Width, Height: p.Height}, View: view}}
	before := drawn(t, s, p)
	if unequal, worst := apart(before, render.Execute(p, y).Pix); worst > 0 {
		t.Fatalf("without strokes %d pixels are up to %d codes apart", unequal, worst)
	}
	p.Strokes = star(place.PhotoPoint{X: 1033.7, Y: 650.2}, 3000)
	got := drawn(t, s, p)
	agree(t, "across the screen", p, got, render.Execute(p, y).Pix, 2)
	if changed, _ := apart(got, before); changed < 100000 {
		t.Errorf("only %d pixels show strokes", changed)
	}
}

// TestShortStrokesAgree holds strokes of a few pixels to their twin, and where a unit
// places corners finely those of less than one: both ends show in the same pixels.
func TestShortStrokesAgree(t *testing.T) {
	s, y := screen(t), picture(300, 200)
	s.SetPhoto(y)
	p := plan(render.Viewport{Width: 290, Height: 190, Scale: 1, Centre: place.PhotoPoint{X: 150, Y: 100}}, look.Look{})
	lengths := []float64{1.13, 1.2, 1.5, 2, 2.5, 2.9, 3.1, 3.5, 4, 5, 6}
	if eachOff == 0 {
		lengths = append(lengths, 0.4, 0.7, 1.02)
	}
	for i := range 16 {
		for k, length := range lengths {
			sin, cos := math.Sincos(0.37*float64(i) + float64(k))
			x, y := 20+16.13*float64(i), 15+12.21*float64(k)
			p.Strokes = append(p.Strokes, render.Stroke{
				From: place.PhotoPoint{X: x, Y: y}, To: place.PhotoPoint{X: x + length*cos, Y: y + length*sin},
				Width: 1.5, Colour: colour.SRGB{R: 255, G: 255, B: byte(16 * i)}, Strength: 1,
			})
		}
	}
	agree(t, "short strokes", p, drawn(t, s, p), render.Execute(p, y).Pix, 2)
}

// TestStrokesComeAfterTheLook: strokes show in frames that move and in frames that
// rest, a change of strokes alone samples nothing, and a pane's picture before its
// look, a round's too, has none of them in it.
func TestStrokesComeAfterTheLook(t *testing.T) {
	s, y := screen(t), picture(900, 700)
	s.SetPhoto(y)
	p := plan(view(0.7, 450, 350, false, false), look.Look{})
	round := render.Rect{X: 20, Y: 30, Width: 101, Height: 101}
	p.Panes = append(p.Panes, render.Pane{
		At: round, View: render.Viewport{Width: 101, Height: 101, Scale: 4, Centre: place.PhotoPoint{X: 400, Y: 300}}, Round: true,
	})
	bare := drawn(t, s, p)
	pixels(s, p)
	kept := func(i int) []byte {
		size := s.stages[i].picture.Bounds().Size()
		pix := make([]byte, 4*size.X*size.Y)
		s.stages[i].picture.ReadPixels(pix)
		return pix
	}
	before := [2][]byte{kept(0), kept(1)}
	p.Strokes = star(place.PhotoPoint{X: 450, Y: 350}, 500)
	agree(t, "over a picture that has stayed", p, pixels(s, p), render.Execute(p, y).Pix, 2)
	if s.Glanced() || !s.Ready(p) {
		t.Error("a change of strokes alone moves the view")
	}
	for i, pix := range before {
		if n, _ := apart(pix, kept(i)); n > 0 {
			t.Errorf("%d pixels kept of pane %d have strokes in them", n, i)
		}
	}
	p.Strokes = nil
	if n, _ := apart(pixels(s, p), bare); n > 0 {
		t.Errorf("%d pixels keep strokes that are gone", n)
	}
	p.Strokes = star(place.PhotoPoint{X: 450, Y: 350}, 500)
	p.Panes[0].View.Centre.X++
	moving := pixels(s, p)
	if !s.Glanced() {
		t.Fatal("a moved view is not glanced at")
	}
	// What is beneath may be two codes off at a glance, and strokes two more.
	agree(t, "over a view that moves", p, moving, render.Execute(p, y).Pix, 4)
}

// TestManyStrokes draws more strokes than go into one batch, in order: only the last
// shows.
func TestManyStrokes(t *testing.T) {
	s, y := screen(t), picture(300, 200)
	s.SetPhoto(y)
	p := plan(render.Viewport{Width: 60, Height: 40, Scale: 1, Centre: place.PhotoPoint{X: 150, Y: 100}}, look.Look{})
	last := colour.SRGB{R: 10, G: 20, B: 230}
	for i := range mostCorners/4 + 10 {
		p.Strokes = append(p.Strokes, render.Stroke{
			From: place.PhotoPoint{X: 140, Y: 100}, To: place.PhotoPoint{X: 160, Y: 101}, Width: 6,
			Colour: colour.SRGB{R: byte(i), G: 255, B: byte(i >> 8)}, Strength: 1,
		})
	}
	p.Strokes[len(p.Strokes)-1].Colour = last
	got := drawn(t, s, p)
	if c := got[4*(20*60+30):][:3]; c[0] != last.R || c[1] != last.G || c[2] != last.B {
		t.Errorf("the last of many strokes is not uppermost: %v shows", c)
	}
}

// TestCornersLieOnSixteenths: a unit that places corners by sixteenths of a pixel has
// none to move, what is told of each corner is true of where it is, and their triangles
// lie over all that shows of a stroke once, and none outside.
func TestCornersLieOnSixteenths(t *testing.T) {
	p := plan(view(0.77, 900.4, 700.9, true, false), look.Look{})
	p.Strokes = append(star(place.PhotoPoint{X: 890, Y: 710}, 800), star(place.PhotoPoint{X: 1053, Y: 572}, 60)...)
	inside := image.Rect(40, 30, 300, 230)
	most, count := 0, 0
	for s := range p.Streaks(p.Panes[0]) {
		var l strokes
		l.add(s, inside, image.Pt(13, -7))
		for i, v := range l.corners {
			x, y := float64(v.DstX)-13, float64(v.DstY)+7
			if 16*x != math.Round(16*x) || 16*y != math.Round(16*y) {
				t.Fatalf("corner %d lies at %v, %v", i, x, y)
			}
			if x < 40 || x > 300 || y < 30 || y > 230 {
				t.Fatalf("corner %d lies outside, at %v, %v", i, x, y)
			}
			right, down := x-s.X, y-s.Y
			along, off := right*s.AlongX+down*s.AlongY, down*s.AlongX-right*s.AlongY
			end := s.Reach + 0.5 - math.Abs(along)
			if ended := float64(v.SrcX); math.Abs(end-ended) > 1e-5 && !(end > 1 && ended > 1) {
				t.Fatalf("corner %d is %v inside an end, and said to be %v", i, end, ended)
			}
			if math.Abs(off-float64(v.Custom0)) > 1e-5 {
				t.Fatalf("corner %d is %v off, and said to be %v", i, off, v.Custom0)
			}
		}
		for y := inside.Min.Y; y < inside.Max.Y; y++ {
			for x := inside.Min.X; x < inside.Max.X; x++ {
				right, down := float64(x)+0.5-s.X, float64(y)+0.5-s.Y
				shows := math.Abs(right*s.AlongX+down*s.AlongY) < s.Reach+0.5 && math.Abs(down*s.AlongX-right*s.AlongY) < s.Breadth()
				if within, touched := l.over(float64(x)+0.5+13, float64(y)+0.5-7); shows && (within > 1 || touched < 1) {
					t.Fatalf("pixel (%d, %d), which shows some of %+v, lies within %d triangles and touches %d", x, y, s, within, touched)
				}
			}
		}
		most = max(most, len(l.order)/3)
		count++
	}
	if count < 50 || most < 6 {
		t.Errorf("%d strokes show, by %d triangles at most", count, most)
	}
}

// over is how many triangles a place lies within, and how many it lies within or
// on a side of.
func (l *strokes) over(x, y float64) (within, touched int) {
	for i := 0; i < len(l.order); i += 3 {
		left, right := 0, 0
		for k := range 3 {
			a, b := l.corners[l.order[i+k]], l.corners[l.order[i+(k+1)%3]]
			side := float64(b.DstX-a.DstX)*(y-float64(a.DstY)) - float64(b.DstY-a.DstY)*(x-float64(a.DstX))
			if side > 0 {
				left++
			}
			if side < 0 {
				right++
			}
		}
		if left == 3 || right == 3 {
			within++
		}
		if left == 0 || right == 0 {
			touched++
		}
	}
	return within, touched
}
