package gpu

import (
	"testing"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/place"
)

// TestRestingPanesShowWhatTheyShould changes, under a view that rests, all that a
// stage's picture with strokes depends on, each change drawn twice, and holds every
// frame to a screen that keeps nothing of the frames before: to the code, but where
// strokes fall elsewhere in what is kept than on the screen, and round otherwise.
func TestRestingPanesShowWhatTheyShould(t *testing.T) {
	s, y := screen(t), picture(900, 700)
	s.SetPhoto(y)
	p := plan(view(0.7, 450, 350, false, false), look.Look{})
	star := star(place.PhotoPoint{X: 450, Y: 350}, 500)
	other := func(i int, change func(*render.Stroke)) []render.Stroke {
		all := append([]render.Stroke{}, star...)
		change(&all[i])
		return all
	}
	isolated := look.Look{Tone: look.Steps, Steps: 4, Keep: look.KeepOnly, Step: 2}
	made := &render.Made{Pyramid: picture(300, 233), Side: 3}
	for _, c := range []struct {
		what string
		set  func()
	}{
		{"without strokes", func() {}},
		{"with strokes", func() { p.Strokes = star }},
		{"with one more", func() { p.Strokes = append(star[:len(star):len(star)], star[0]) }},
		{"with half of them", func() { p.Strokes = star[:len(star)/2] }},
		{"with all again", func() { p.Strokes = star }},
		{"the last moved", func() { p.Strokes = other(len(star)-1, func(r *render.Stroke) { r.To.X += 30 }) }},
		{"the first wider", func() { p.Strokes = other(0, func(r *render.Stroke) { r.Width = 9 }) }},
		{"one of another colour", func() { p.Strokes = other(40, func(r *render.Stroke) { r.Colour = colour.SRGB{R: 200} }) }},
		{"one fainter", func() { p.Strokes = other(40, func(r *render.Stroke) { r.Strength = 0.1 }) }},
		{"another look", func() { p.Panes[0].Look = isolated }},
		{"another surround", func() { p.Surround = colour.SRGB{R: 30, G: 30, B: 30} }},
		{"the photograph again", func() { p.Panes[0].Look = look.Look{} }},
		{"elsewhere on the screen", func() { p.Panes[0].At.X += 17 }},
		{"a made picture", func() { p.Panes[0].Made = made }},
		{"the photograph instead of it", func() { p.Panes[0].Made = nil }},
		{"another crop", func() { p.Crop.Width -= 100 }},
		{"another photograph", func() { y = picture(880, 690); s.SetPhoto(y) }},
		{"without strokes again", func() { p.Strokes = nil }},
	} {
		c.set()
		fresh := screen(t)
		fresh.SetPhoto(y)
		want := drawn(t, fresh, p)
		drawn(t, s, p)
		for frame := range 3 {
			if n, worst := apart(pixels(s, p), want); worst > 1 || worst > 0 && p.Panes[0].At.X == 0 {
				t.Errorf("%s, frame %d at rest: %d pixels differ, by %d at most", c.what, frame+1, n, worst)
			}
		}
	}
}

// TestRestingStrokesAreKept: while nothing changes a resting pane is a copy of what
// its stage keeps, a line drawn over the others lies over that copy, and a change of
// look or of the lines before it makes it anew.
func TestRestingStrokesAreKept(t *testing.T) {
	s, y := screen(t), picture(900, 700)
	s.SetPhoto(y)
	p := plan(view(0.7, 450, 350, false, false), look.Look{})
	p.Strokes = star(place.PhotoPoint{X: 450, Y: 350}, 500)
	drawn(t, s, p)
	pixels(s, p)
	pixels(s, p)
	mark := func() {
		t.Helper()
		if s.stages[0].seen == nil {
			t.Fatal("nothing is kept of a view that rests")
		}
		s.stages[0].seen.Fill(opaque(colour.SRGB{R: 1, G: 2, B: 3}))
	}
	marked := func() bool {
		n := 0
		for pix := pixels(s, p); len(pix) > 0; pix = pix[4:] {
			if pix[0] == 1 && pix[1] == 2 && pix[2] == 3 {
				n++
			}
		}
		return n > 1000
	}
	mark()
	if !marked() {
		t.Error("a frame in which nothing changes is drawn anew")
	}
	last := &p.Strokes[len(p.Strokes)-1]
	last.To.X += 40
	pixels(s, p) // keeps the strokes before the last
	mark()
	for range 3 {
		if last.To.X += 40; !marked() {
			t.Error("moving the last stroke draws the others anew")
		}
	}
	p.Panes[0].Look = look.Look{Tone: look.Grey}
	if marked() {
		t.Error("another look does not show")
	}
}
