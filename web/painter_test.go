package web_test

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// demo is the photograph that the page opens with.
const demo = "../testdata/photo/fig-in-red-bowl-1800.jpg"

// read decodes a photograph with Go's own decoders, not the browser's.
func read(t *testing.T, path string) *photo.Pyramid {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	opened, err := photo.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	pyramid := photo.NewPyramid(opened.Picture)
	pyramid.Finish()
	return pyramid
}

// picture is the picture's area of the screen.
func (p *tab) picture() *image.NRGBA {
	p.t.Helper()
	over, screen := p.boxOf("overlay"), p.see()
	m := image.NewNRGBA(image.Rect(0, 0, int(over.Width), int(over.Height)))
	for y := range m.Rect.Dy() {
		for x := range m.Rect.Dx() {
			m.Set(x, y, screen.At(int(over.X)+x, int(over.Y)+y))
		}
	}
	return m
}

// drawn is the same picture by the processor, from the snapshot.
func drawn(s snapshot, surround colour.SRGB, l look.Look, y *photo.Pyramid) *photo.Picture {
	g := geometry(s)
	v := render.Viewport{
		Width: s.Area.Width, Height: s.Area.Height, Scale: g.scale,
		Centre: place.PhotoPoint{X: g.centreX, Y: g.centreY},
		Mirror: s.Study.View.Mirror, Turned: s.Study.View.Turned,
	}
	return render.Execute(render.Plan{
		Width: v.Width, Height: v.Height, Crop: s.Crop, Canvas: s.Study.Size(),
		Surround: surround,
		Panes:    []render.Pane{{At: render.Rect{Width: v.Width, Height: v.Height}, View: v, Look: l}},
	}, y)
}

// likeDrawn holds the screen to the processor's picture: on average within the
// rounding of two decoders, and nowhere else but in a few places where that
// carries a colour over the edge of a step.
func (p *tab) likeDrawn(t *testing.T, what string, l look.Look, y *photo.Pyramid) *image.NRGBA {
	t.Helper()
	seen := p.picture()
	want := drawn(p.snapshot(), surroundOf(seen), l, y)
	if seen.Rect.Dx() != want.Width || seen.Rect.Dy() != want.Height {
		t.Fatalf("%s: the picture is %v on the screen and %d x %d drawn", what, seen.Rect, want.Width, want.Height)
	}
	sum, far := 0, 0
	for i := range want.Pix {
		off := int(seen.Pix[i]) - int(want.Pix[i])
		off = max(off, -off)
		sum += off
		if off > 16 {
			far++
		}
	}
	mean, share := float64(sum)/float64(len(want.Pix)), float64(far)/float64(len(want.Pix))
	if mean > 1 || share > 0.01 {
		t.Errorf("%s: the screen is %.2f codes off on average, %.2f %% of it far off", what, mean, 100*share)
	}
	return seen
}

// surroundOf is the grey in the corner of the picture's area.
func surroundOf(m *image.NRGBA) colour.SRGB {
	c := m.NRGBAAt(0, 0)
	return colour.SRGB{R: c.R, G: c.G, B: c.B}
}

// all says whether every pixel of a picture passes.
func all(m *image.NRGBA, pass func(c color.NRGBA) bool) bool {
	for i := 0; i < len(m.Pix); i += 4 {
		if !pass(color.NRGBA{m.Pix[i], m.Pix[i+1], m.Pix[i+2], 255}) {
			return false
		}
	}
	return true
}

// reversed is a picture with its columns, rows or both the other way round.
func reversed(m *image.NRGBA, columns, rows bool) *image.NRGBA {
	out, w, h := image.NewNRGBA(m.Rect), m.Rect.Dx(), m.Rect.Dy()
	for y := range h {
		for x := range w {
			fromX, fromY := x, y
			if columns {
				fromX = w - 1 - x
			}
			if rows {
				fromY = h - 1 - y
			}
			out.SetNRGBA(x, y, m.NRGBAAt(fromX, fromY))
		}
	}
	return out
}

// apart is how many codes two pictures differ on average.
func apart(a, b *image.NRGBA) float64 {
	sum := 0.0
	for i := range a.Pix {
		sum += math.Abs(float64(a.Pix[i]) - float64(b.Pix[i]))
	}
	return sum / float64(len(a.Pix))
}

// TestPainterLooks goes through the looks on the demo study, as the painter
// does who checks values, and holds the screen to the photograph's own file.
func TestPainterLooks(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).openFresh(t, landscape, s.url())
	p.settle()
	y := read(t, demo)
	p.press("tray-value")
	now := func() look.Look { return p.snapshot().Study.Look }
	colours := p.likeDrawn(t, "photograph", look.Look{Steps: 5}, y)

	p.press("filter")
	red := p.likeDrawn(t, "red light", now(), y)
	surround := colour.GreyOf(50)
	if got := surroundOf(colours); got != surround {
		t.Errorf("the surround is %v, its lightness of 50 is %v", got, surround)
	}
	grey := func(c color.NRGBA) bool { return c.R == c.G && c.G == c.B }
	ground := func(c color.NRGBA) bool { return grey(c) && c.R == surround.R }
	if !all(red, func(c color.NRGBA) bool { return ground(c) || c.G == 0 && c.B == 0 }) {
		t.Error("seen through the filter something else than red is on the screen")
	}
	p.press("part-filter")
	p.press("filter-grey")
	filtered := p.likeDrawn(t, "filter as greys", now(), y)
	if !all(filtered, grey) {
		t.Error("the filter as greys shows a colour")
	}
	bowlTurnsWhite(t, colours, filtered)
	p.press("filter")
	if off := apart(p.picture(), colours); off > 0 {
		t.Errorf("without the filter the picture is %.2f codes off the one before", off)
	}
	p.press("part-steps")
	p.press("grey")
	if !all(p.likeDrawn(t, "grey", now(), y), grey) {
		t.Error("the grey look shows a colour")
	}
	release := p.hold("plain")
	if off := apart(p.picture(), colours); off > 0 || !p.snapshot().Plain {
		t.Errorf("held, Plain is %.2f codes off the photograph", off)
	}
	release()
	p.steps(t, y)
	p.turns(t, y)
}

// bowlTurnsWhite compares the red bowl beside the fig with what the filter
// makes of it: much lighter than its own lightness.
func bowlTurnsWhite(t *testing.T, colours, filtered *image.NRGBA) {
	t.Helper()
	x, y := colours.Rect.Dx()/2+100, colours.Rect.Dy()/2-110
	c, f := colours.NRGBAAt(x, y), filtered.NRGBAAt(x, y)
	own := colour.SRGB{R: c.R, G: c.G, B: c.B}.Lightness()
	seen := colour.SRGB{R: f.R, G: f.G, B: f.B}.Lightness()
	if c.R < c.G+60 || seen < own+15 || seen < 65 {
		t.Errorf("the bowl is %v, L* %.0f, and through the filter L* %.0f", c, own, seen)
	}
}

// steps isolates steps and holds their shares and greys to the file.
func (p *tab) steps(t *testing.T, y *photo.Pyramid) {
	t.Helper()
	p.press("steps")
	p.press("more")
	p.press("fewer")
	p.likeDrawn(t, "steps", p.snapshot().Study.Look, y)
	p.await("the steps are counted", `window.maulstick.snapshot().counted`)
	steps, err := shape.EqualSteps(5)
	p.must(err)
	var counts shape.Histogram
	picture := y.Picture()
	counts.AddRows(colour.EyeMeter, picture.Pix, picture.Width, 0, p.snapshot().Crop)
	shares := counts.Shares(steps)
	shown := strings.Fields(p.text("steps-row"))
	for k, share := range shares {
		var percent float64
		at := slices.Index(shown, fmt.Sprint(k+1))
		if at < 0 || at+1 >= len(shown) {
			t.Fatalf("the steps are shown as %q", shown)
		}
		if _, err := fmt.Sscan(shown[at+1], &percent); err != nil || math.Abs(percent-100*share) > 1 {
			t.Errorf("step %d is shown as %q, its share is %.2f %%", k+1, shown, 100*share)
		}
		shown = shown[at+2:]
	}
	for _, kept := range []struct {
		key   string
		greys []uint8
	}{
		{"only", []uint8{steps.Tone(3)}},
		{"darker", []uint8{steps.Tone(1), steps.Tone(2), steps.Tone(3)}},
		{"lighter", []uint8{steps.Tone(3), steps.Tone(4), steps.Tone(5)}},
	} {
		p.press(kept.key)
		seen := p.likeDrawn(t, kept.key, p.snapshot().Study.Look, y)
		found := map[uint8]bool{}
		for i := 0; i < len(seen.Pix); i += 4 {
			found[seen.Pix[i]] = true
		}
		for _, g := range kept.greys {
			if !found[g] {
				t.Errorf("%s: the grey %d is missing", kept.key, g)
			}
			delete(found, g)
		}
		around := surroundOf(seen)
		if len(found) != 1 || !found[around.R] {
			t.Errorf("%s: beside the greys kept there are %v, not the surround alone", kept.key, found)
		}
		for _, g := range kept.greys {
			step := colour.SRGB{R: g, G: g, B: g}
			if off := math.Abs(float64(step.Lightness() - around.Lightness())); off < 10 {
				t.Errorf("%s: the surround is L* %.0f off a step in sight and cannot be told from it", kept.key, off)
			}
		}
	}
	p.press("lighter")
	p.pickByTouch(t, y, steps)
	p.press("steps")
}

// pickByTouch touches the picture and expects the step of the file there.
func (p *tab) pickByTouch(t *testing.T, y *photo.Pyramid, steps shape.Steps) {
	t.Helper()
	for _, at := range []spot{p.over(0.4, 0.3), p.over(0.55, 0.55), p.over(0.6, 0.8)} {
		over := p.boxOf("overlay")
		px, py := geometry(p.snapshot()).toPhoto(at.x-over.X, at.y-over.Y)
		c := y.Picture().At(int(px), int(py))
		light := colour.EyeMeter.Read(c.R, c.G, c.B)
		p.tapAlone(at)
		got := p.snapshot().Study.Look
		if got.Keep != look.KeepOnly || math.Abs(float64(got.Step-steps.Of(light))) > 0 && nearestEdge(steps, light) > 1 {
			t.Errorf("touched at %v, L* %.1f: %+v", c, light.Lightness(), got)
		}
	}
}

// nearestEdge is how far a light is from the nearest edge of the steps, L*.
func nearestEdge(steps shape.Steps, light colour.Light) float64 {
	nearest := 100.0
	for _, edge := range steps.Edges() {
		nearest = min(nearest, math.Abs(float64(light.Lightness()-edge)))
	}
	return nearest
}

// turns squints, mirrors and turns the photograph.
func (p *tab) turns(t *testing.T, y *photo.Pyramid) {
	t.Helper()
	p.press("squint")
	sharp := p.snapshot().Study.Look
	p.likeDrawn(t, "squint", sharp, y)
	p.press("part-filter")
	p.press("squint-more")
	if more := p.snapshot().Study.Look; math.Abs(float64(more.Blur/sharp.Blur)-math.Sqrt2) > 1e-9 {
		t.Errorf("squinting more made %v mm of %v mm", more.Blur, sharp.Blur)
	}
	p.likeDrawn(t, "squint more", p.snapshot().Study.Look, y)
	p.press("squint")
	plain := p.picture()
	p.press("mirror")
	if off := apart(p.picture(), reversed(plain, true, false)); off > 1 {
		t.Errorf("mirrored, the picture is %.2f codes off its mirror image", off)
	}
	p.press("turn")
	if off := apart(p.picture(), reversed(plain, false, true)); off > 1 {
		t.Errorf("mirrored and upside down, the picture is %.2f codes off", off)
	}
	p.press("mirror")
	if off := apart(p.picture(), reversed(plain, true, true)); off > 1 {
		t.Errorf("upside down, the picture is %.2f codes off", off)
	}
	p.press("turn")
	if off := apart(p.picture(), plain); off > 0 {
		t.Errorf("turned back, the picture is %.2f codes off", off)
	}
}
