package gpu

import (
	"fmt"
	"slices"
	"testing"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// everyLook is every way of seeing that a program takes a branch or a table for.
func everyLook() map[string]look.Look {
	looks := map[string]look.Look{
		"plain":           {},
		"temperature":     {Tone: look.Temperature},
		"warm neutral":    {Tone: look.Temperature, Neutral: colour.SRGB{R: 180, G: 150, B: 110}},
		"cool neutral":    {Tone: look.Temperature, Neutral: colour.SRGB{R: 20, G: 30, B: 45}},
		"grey":            {Tone: look.Grey},
		"filter":          {Filter: true},
		"filter in greys": {Filter: true, AsGreys: true},
		"only step 3":     {Tone: look.Steps, Steps: 5, Keep: look.KeepOnly, Step: 3},
		"step 2, darker":  {Tone: look.Steps, Steps: 4, Keep: look.KeepDarker, Step: 2},
		"step 2, lighter": {Tone: look.Steps, Steps: 4, Keep: look.KeepLighter, Step: 2, Filter: true},
	}
	for _, sheet := range colour.Sheets() {
		looks["misled by the "+sheet.Say()] = look.Look{Tone: look.Misled, Sheet: sheet}
		looks["grey through the "+sheet.Say()] = look.Look{Tone: look.Grey, Filter: true, AsGreys: true, Sheet: sheet}
	}
	for n := 2; n <= 9; n++ {
		looks[fmt.Sprintf("%d steps", n)] = look.Look{Tone: look.Steps, Steps: n}
		looks[fmt.Sprintf("%d steps, filter", n)] = look.Look{Tone: look.Steps, Steps: n, Filter: true, AsGreys: n%2 == 0}
	}
	return looks
}

// TestLooksAgreeOnEveryColour holds every look's program to its twin on the
// processor, on all 16,777,216 stored colours: not one may differ.
func TestLooksAgreeOnEveryColour(t *testing.T) {
	const side = 1024
	s := screen(t)
	p := render.Plan{Width: side, Height: side, Crop: place.Crop{Width: side, Height: side}, Surround: surround}
	pane := render.Pane{View: render.Viewport{Width: side, Height: side, Scale: 1, Centre: place.PhotoPoint{X: side / 2, Y: side / 2}}}
	source, dst := blank(side, side), blank(side, side)
	colours, want, got := make([]byte, 4*side*side), make([]byte, 4*side*side), make([]byte, 4*side*side)
	unequal, looks := map[string]int{}, everyLook()
	for part := range 16 {
		for i := range side * side {
			c := part<<20 | i
			colours[4*i], colours[4*i+1], colours[4*i+2], colours[4*i+3] = byte(c>>16), byte(c>>8), byte(c), 255
		}
		source.WritePixels(colours)
		for name, l := range looks {
			pane.Look = l
			dst.Fill(opaque(surround))
			s.look(dst, source, p, pane, 0, 0)
			dst.ReadPixels(got)
			copy(want, colours)
			look.Paint(l, surround, want)
			n, worst := apart(got, want)
			unequal[name] += n
			if worst > 0 && unequal[name] == n {
				t.Errorf("%s: the twins are up to %d codes apart", name, worst)
			}
		}
	}
	for name, n := range unequal {
		t.Logf("%s: %d of 16777216 colours differ", name, n)
	}
}

// TestProgramsCompile compiles every program.
func TestProgramsCompile(t *testing.T) {
	s := screen(t)
	for _, tone := range []look.Tone{look.Colour, look.Grey, look.Steps, look.Temperature, look.Misled} {
		if s.program(look.Shader{Reader: look.ReadPhoto, Tone: tone, Glanced: true}) == nil {
			t.Errorf("the glance with tone %d did not compile", tone)
		}
		for reader := look.ReadStill; reader <= look.ReadStroke; reader++ {
			if s.program(look.Shader{Reader: reader, Tone: tone}) == nil {
				t.Errorf("reader %d with tone %d did not compile", reader, tone)
			}
		}
	}
}

// view is a viewport on the pictures of these tests.
func view(scale, x, y float64, mirror, turned bool) render.Viewport {
	return render.Viewport{Width: 611, Height: 433, Scale: scale, Centre: place.PhotoPoint{X: x, Y: y}, Mirror: mirror, Turned: turned}
}

func plan(v render.Viewport, l look.Look) render.Plan {
	return render.Plan{
		Width: v.Width, Height: v.Height, Crop: place.Crop{X: 33.3, Y: 20, Width: 1980.2, Height: 1350}, Surround: surround,
		Canvas: place.Size{Width: 990.1, Height: 675},
		Panes:  []render.Pane{{At: render.Rect{Width: v.Width, Height: v.Height}, View: v, Look: l}},
	}
}

// TestSamplingAgrees holds the sampling of tiles to its twin within one code,
// from a sixth of full size to sixteen times, over the joints of tiles,
// mirrored and turned.
func TestSamplingAgrees(t *testing.T) {
	s, y := screen(t), picture(2101, 1403)
	s.SetPhoto(y)
	for _, scale := range []float64{1.0 / 6, 1.0 / 3, 0.5, 0.77, 1, 2.7, 16} {
		for turn := range 4 {
			p := plan(view(scale, 1024.3, 1015.6, turn&1 == 1, turn&2 == 2), look.Look{})
			unequal, worst := apart(drawn(t, s, p), render.Execute(p, y).Pix)
			t.Logf("scale %.3f, turn %d: %d of %d pixels differ, by %d at most", scale, turn, unequal, p.Width*p.Height, worst)
			if worst > 1 {
				t.Errorf("scale %.3f, turn %d: sampling is %d codes apart", scale, turn, worst)
			}
		}
	}
}

// TestMadePicturesAgree holds a picture made from the photograph, three photo
// pixels a pixel and beginning inside the crop, to its twin, alone and with the
// photograph beside it.
func TestMadePicturesAgree(t *testing.T) {
	s, y := screen(t), picture(2101, 1403)
	s.SetPhoto(y)
	made := &render.Made{Pyramid: picture(650, 440), Left: 30, Top: 21, Side: 3}
	for turn, scale := range []float64{0.2, 1, 7} {
		p := plan(view(scale, 900, 700, turn == 1, turn == 2), look.Look{Filter: turn == 1})
		p.Panes[0].Made = made
		round := render.Rect{X: 50, Y: 60, Width: 101, Height: 101}
		p.Panes = append(p.Panes, render.Pane{
			At: round, View: render.Viewport{Width: 101, Height: 101, Scale: 4, Centre: place.PhotoPoint{X: 800, Y: 700}}, Round: true,
		})
		unequal, worst := apart(drawn(t, s, p), render.Execute(p, y).Pix)
		t.Logf("scale %.1f: %d pixels differ, by %d at most", scale, unequal, worst)
		if worst > 1 {
			t.Errorf("scale %.1f: a made picture is %d codes apart", scale, worst)
		}
	}
	plain := plan(view(1, 900, 700, false, false), look.Look{})
	if _, worst := apart(drawn(t, s, plain), render.Execute(plain, y).Pix); worst > 1 {
		t.Errorf("the photograph after a made picture is %d codes apart", worst)
	}
}

// TestOtherPicturesAgree holds a plan of the photograph and two other pictures, each
// squinted at in a size of its own, to its twin; one change after the other, so that
// nothing of one picture is taken for the other's.
func TestOtherPicturesAgree(t *testing.T) {
	s, y := screen(t), picture(2101, 1403)
	s.SetPhoto(y)
	second, third := picture(1300, 900), picture(1403, 2101)
	for turn, l := range []look.Look{{}, {Filter: true}, {Squint: true, Blur: 20}, {Squint: true, Blur: 20, Tone: look.Grey}, {}} {
		p := plan(view(0.4, 900, 700, turn == 1, turn == 3), l)
		p.Strokes = []render.Stroke{{From: place.PhotoPoint{X: 100, Y: 100}, To: place.PhotoPoint{X: 1800, Y: 1300}, Width: 3, Strength: 1}}
		p.Width = 3 * p.Width
		for i, y := range []*photo.Pyramid{second, third} {
			pane := p.Panes[0]
			w, h := y.LevelSize(0)
			pane.Other = render.Other{Pyramid: y, Crop: place.Crop{X: 30, Y: 40, Width: float64(w) - 60, Height: float64(h) - 100}}
			pane.At.X = (i + 1) * pane.At.Width
			pane.View = render.Fit(pane.Other.Crop, pane.At.Width, pane.At.Height, 11)
			pane.View.Mirror = turn == 1
			p.Panes = append(p.Panes, pane)
		}
		if turn == 4 {
			p.Panes = p.Panes[:2]
		}
		got := drawn(t, s, p)
		unequal, worst := apart(got, render.Execute(p, y).Pix)
		t.Logf("%+v: %d pixels differ, by %d at most", l, unequal, worst)
		if worst > 2 { // as where strokes are drawn
			t.Errorf("%+v: other pictures are %d codes apart", l, worst)
		}
		if want := len(p.Panes) - 1; len(s.others) != want {
			t.Errorf("%d other pictures are held, want %d", len(s.others), want)
		}
	}
}

// TestWholePixelsComeBack: at one device pixel a photo pixel nothing changes.
func TestWholePixelsComeBack(t *testing.T) {
	s, y := screen(t), picture(2101, 1403)
	s.SetPhoto(y)
	p := plan(render.Viewport{Width: 600, Height: 400, Scale: 1, Centre: place.PhotoPoint{X: 1000, Y: 1000}}, look.Look{})
	got, source := drawn(t, s, p), y.Picture()
	for j := range p.Height {
		for i := range p.Width {
			c := source.At(i+700, j+800)
			if g := got[4*(j*p.Width+i):]; g[0] != c.R || g[1] != c.G || g[2] != c.B {
				t.Fatalf("pixel %d, %d is %v, and %v in the photograph", i, j, g[:3], c)
			}
		}
	}
}

// TestSquintAgrees holds the squint to its twin within one code, from a blur
// under a pixel to one that needs further halving, at three scales.
func TestSquintAgrees(t *testing.T) {
	s, y := screen(t), picture(2101, 1403)
	s.SetPhoto(y)
	for _, blur := range []place.MM{0.4, 2, 6, 25, 120} {
		for _, scale := range []float64{0.3, 1, 5} {
			p := plan(view(scale, 900, 700, scale > 1, scale < 1), look.Look{Squint: true, Blur: blur})
			unequal, worst := apart(drawn(t, s, p), render.Execute(p, y).Pix)
			t.Logf("blur %v mm, scale %.1f: %d of %d pixels differ, by %d at most", blur, scale, unequal, p.Width*p.Height, worst)
			if worst > 1 {
				t.Errorf("blur %v mm, scale %.1f: the squint is %d codes apart", blur, scale, worst)
			}
		}
	}
}

// TestRoundAgrees draws a magnified round over a picture, partly off the screen
// too, and holds it to the processor's within one code.
func TestRoundAgrees(t *testing.T) {
	s, y := screen(t), picture(2101, 1403)
	s.SetPhoto(y)
	for _, at := range []render.Rect{{X: 100, Y: 50, Width: 151, Height: 151}, {X: -40, Y: 350, Width: 300, Height: 300}} {
		p := plan(view(1, 900, 700, false, false), look.Look{Filter: true})
		v := render.Viewport{Width: at.Width, Height: at.Height, Scale: 4, Centre: place.PhotoPoint{X: 50, Y: 700}}
		p.Panes = append(p.Panes, render.Pane{At: at, View: v, Look: look.Look{Tone: look.Grey}, Round: true})
		unequal, worst := apart(drawn(t, s, p), render.Execute(p, y).Pix)
		t.Logf("round at %v: %d pixels differ, by %d at most", at, unequal, worst)
		if worst > 1 {
			t.Errorf("round at %v: %d codes apart", at, worst)
		}
	}
}

// TestMovingFramesAreNear: a frame whose view has just changed is a glance, and is
// within two codes of the exact one that follows while the view rests; a step may
// be missed only by a light that is that near to the edge between two. Through a
// squint nothing is glanced at: not a pixel may differ.
func TestMovingFramesAreNear(t *testing.T) {
	s, y := screen(t), picture(2101, 1403)
	s.SetPhoto(y)
	for name, l := range everyLook() {
		for _, blur := range []place.MM{0, 25} {
			l.Squint, l.Blur = blur > 0, blur
			p := plan(view(0.6, 1000, 700, true, false), l)
			p.Width, p.Height, p.Panes[0].At.X, p.Panes[0].At.Y = p.Width+20, p.Height+20, 13, 7
			drawn(t, s, p)
			p.Panes[0].View.Centre.X += 3
			moving := pixels(s, p)
			if glanced := blur == 0; s.stages[0].made || s.Glanced() != glanced || s.Ready(p) == glanced {
				t.Fatalf("%s, blur %v: a view that has just changed is glanced at: %v", name, blur, s.Glanced())
			}
			still := pixels(s, p)
			if !s.stages[0].made || s.Glanced() || !s.Ready(p) {
				t.Fatalf("%s: a view that stays is not drawn from a stage", name)
			}
			if blur > 0 {
				if n, worst := apart(moving, still); n > 0 {
					t.Errorf("%s, blur %v: %d pixels differ by up to %d codes", name, blur, n, worst)
				}
			} else if l.Tone == look.Temperature || l.Tone == look.Misled {
				holdTinted(t, name, moving, still)
			} else if l.Tone == look.Steps {
				p.Panes[0].Look.Tone, p.Panes[0].Look.AsGreys = look.Grey, true
				holdNearEdges(t, name, l, moving, still, pixels(s, p))
			} else if _, worst := apart(moving, still); worst > 2 {
				t.Errorf("%s, blur %v: a glance is up to %d codes off", name, blur, worst)
			}
		}
	}
}

// holdTinted fails where two tinted pictures are not equally light, within three
// codes of grey, or differ in the tint of over one pixel in twenty: a glance weighs
// light that has not been rounded to codes, and among darks and near-greys, of
// which the test picture is full, rounding decides.
func holdTinted(t *testing.T, name string, moving, still []byte) {
	t.Helper()
	grey := func(c []byte) int { return int(colour.EyeMeter.Read(c[0], c[1], c[2]).Grey()) }
	differ := 0
	for i := 0; i < len(still); i += 4 {
		a, b := moving[i:i+4], still[i:i+4]
		if off := grey(a) - grey(b); off < -3 || off > 3 {
			t.Fatalf("%s: pixel %d is %v at a glance, and %v", name, i/4, a[:3], b[:3])
		}
		if _, worst := apart(a, b); worst > 3 {
			differ++
		}
	}
	if differ > len(still)/80 {
		t.Errorf("%s: a glance tints %d of %d pixels otherwise", name, differ, len(still)/4)
	}
}

// holdNearEdges fails where two pictures in steps differ though the grey there is
// over two codes from every edge between steps.
func holdNearEdges(t *testing.T, name string, l look.Look, moving, still, greys []byte) {
	t.Helper()
	steps, err := shape.EqualSteps(l.Steps)
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(greys); i += 4 {
		if moving[i] == still[i] && moving[i+1] == still[i+1] && moving[i+2] == still[i+2] {
			continue
		}
		near := slices.ContainsFunc(steps.Thresholds(), func(edge colour.Light) bool {
			off := int(greys[i]) - int(edge.Grey())
			return off >= -2 && off <= 2
		})
		if !near {
			t.Fatalf("%s: pixel %d of grey %d is %v at a glance, and %v", name, i/4, greys[i], moving[i:i+3], still[i:i+3])
		}
	}
}
