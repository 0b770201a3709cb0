package gpu

import (
	"slices"
	"testing"
	"time"

	"github.com/hajimehoshi/ebiten/v2"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/line"
	"maulstick/render/look"
	"maulstick/render/place"
)

// The window that frames are measured in: a large tablet's, near enough.
const (
	benchWidth  = 1366
	benchHeight = 1024
)

// BenchmarkFrame draws frames of a photograph of 12 megapixels and reports each
// kind's cost as a ratio to "tiles", the same tiles drawn plainly with Ebiten's
// own linear filter. "still" frames change nothing but the look, "moving" frames
// pan by a pixel. All kinds take turns, several frames at a time with the pixels
// read back after them so that the work is done, and each counts with its
// quickest turn: what else the machine does then weighs little.
func BenchmarkFrame(b *testing.B) {
	s, y := screen(b), picture(4000, 3000)
	s.SetPhoto(y)
	crop := place.Crop{Width: 4000, Height: 3000}
	p := render.Plan{Width: benchWidth, Height: benchHeight, Crop: crop, Surround: surround}
	p.Panes = []render.Pane{{
		At:   render.Rect{Width: benchWidth, Height: benchHeight},
		View: render.Fit(crop, benchWidth, benchHeight, 14),
	}}
	drawn(b, s, p)
	kinds := []kind{{"tiles", func(dst *ebiten.Image, _ int) { s.drawPlainly(dst, p) }}}
	for _, c := range benchLooks {
		kinds = append(kinds, kind{"still-" + c.name, func(dst *ebiten.Image, _ int) {
			p.Panes[0].Look = c.look
			s.Draw(dst, p)
		}}, kind{"moving-" + c.name, func(dst *ebiten.Image, i int) {
			p.Panes[0].Look = c.look
			p.Panes[0].View.Centre.X = 2000 + float64(i%2)
			s.Draw(dst, p)
		}})
	}
	b.ResetTimer()
	best := make([]time.Duration, len(kinds))
	for n := range max(b.N, 2) { // the first turn makes images and programs
		for i, k := range kinds {
			if took := k.turn(); n == 1 || n > 1 && took < best[i] {
				best[i] = took
			}
		}
	}
	for i, k := range kinds {
		b.ReportMetric(float64(best[i])/float64(best[0]), k.name+"/tiles")
	}
}

// kind is a kind of frame, drawn for the i-th time.
type kind struct {
	name string
	draw func(dst *ebiten.Image, i int)
}

// turn is how long a few frames take, once two have been drawn: what is kept of a
// view that rests is made in the second.
func (k kind) turn() time.Duration {
	dst := blank(benchWidth, benchHeight)
	defer dst.Deallocate()
	pix := make([]byte, 4*benchWidth*benchHeight)
	for range 2 {
		k.draw(dst, 0)
	}
	dst.ReadPixels(pix)
	start := time.Now()
	for i := range 6 {
		k.draw(dst, i+1)
	}
	dst.ReadPixels(pix)
	return time.Since(start)
}

var benchLooks = []struct {
	name string
	look look.Look
}{
	{"photograph", look.Look{}},
	{"grey", look.Look{Tone: look.Grey}},
	{"filter", look.Look{Filter: true}},
	{"steps", look.Look{Tone: look.Steps, Steps: 5}},
	{"squint", look.Look{Squint: true, Blur: 25}},
}

// drawPlainly draws a plan's tiles with DrawImage.
func (s *Screen) drawPlainly(dst *ebiten.Image, p render.Plan) {
	dst.Fill(opaque(p.Surround))
	v, from := p.Panes[0].View, s.from(p.Panes[0])
	for _, t := range v.Tiles(p.Shows(p.Panes[0]), from.pyramid, v.Level(from.pyramid.Levels())) {
		options := &ebiten.DrawImageOptions{Filter: ebiten.FilterLinear, DisableMipmaps: true}
		options.GeoM.Translate(-t.Patch.StartX-0.5, -t.Patch.StartY-0.5)
		options.GeoM.Scale(1/t.Patch.PaceX, 1/t.Patch.PaceY)
		options.GeoM.Translate(float64(t.Patch.X), float64(t.Patch.Y))
		dst.DrawImage(from.up[t.Tile].image, options)
	}
}

// BenchmarkCamera draws a film of 1280 x 720 pixels in place of the photograph, every
// frame of it copied and put up anew, and reports each look as a ratio to "plain": the
// same frames, copied and put up alike, their tiles drawn with Ebiten's own linear
// filter. All kinds take turns, and each counts with its quickest.
func BenchmarkCamera(b *testing.B) {
	s, f := screen(b), newFilm(1280, 720, 4)
	s.SetPhoto(picture(900, 700))
	crop := place.Crop{Width: 1280, Height: 720}
	p := render.Plan{Width: benchWidth, Height: benchHeight, Crop: crop, Canvas: place.Size{Width: 900, Height: 600}, Surround: surround}
	p.Panes = []render.Pane{{
		At:    render.Rect{Width: benchWidth, Height: benchHeight},
		View:  render.Fit(crop, benchWidth, benchHeight, 14),
		Other: render.Other{Pyramid: f.pyramid, Crop: crop, Live: true},
	}}
	turn := func(l look.Look, mirror bool, draw func(dst *ebiten.Image, p render.Plan)) time.Duration {
		p.Panes[0].Look, p.Panes[0].View.Mirror = l, mirror
		drawn(b, s, p) // a squint wants other tiles
		return kind{draw: func(dst *ebiten.Image, _ int) {
			f.next(s)
			draw(dst, p)
		}}.turn()
	}
	b.ResetTimer()
	plain, best := time.Hour, make([]time.Duration, len(cameraLooks))
	for n := range max(b.N, 4) { // the first turn makes images and programs
		plain = min(plain, turn(look.Look{}, false, s.drawPlainly))
		for i, seen := range cameraLooks {
			if took := turn(seen.look, seen.name == "mirror", func(dst *ebiten.Image, p render.Plan) { s.Draw(dst, p) }); n == 1 || n > 1 && took < best[i] {
				best[i] = took
			}
		}
	}
	for i, seen := range cameraLooks {
		b.ReportMetric(float64(best[i])/float64(plain), seen.name+"/plain")
	}
}

// cameraLooks are the looks that a live picture is seen under.
var cameraLooks = append(benchLooks[:len(benchLooks):len(benchLooks)], []struct {
	name string
	look look.Look
}{
	{"mirror", look.Look{}},
	{"one-step", look.Look{Tone: look.Steps, Steps: 5, Keep: look.KeepOnly, Step: 3}},
	{"temperature", look.Look{Tone: look.Temperature}},
	{"squint-steps", look.Look{Squint: true, Blur: 25, Tone: look.Steps, Steps: 5}},
}...)

// linesOfEveryKind is a plan of lines for a canvas of 36 x 24 in.
const linesOfEveryKind = "diagonals:4,thirds,golden,rabatment,reciprocal,divide:8x6,squares:3in:top-left,plumb:5in,level:5in,angled:5in:5in:30"

// strokesOver are the lines of a plan as strokes over a photograph that shows the
// whole of a 36 x 24 in canvas, so many pixels wide.
func strokesOver(b *testing.B, plan string, width float64) []render.Stroke {
	b.Helper()
	lines, err := line.ParsePlan(plan)
	if err != nil {
		b.Fatal(err)
	}
	canvas, err := place.ParseSize("36 x 24", place.Inch)
	if err != nil {
		b.Fatal(err)
	}
	set, err := line.Draw(lines, canvas)
	if err != nil {
		b.Fatal(err)
	}
	at := func(c place.CanvasPoint) place.PhotoPoint {
		scale := width / float64(canvas.Width)
		return place.PhotoPoint{X: float64(c.X) * scale, Y: float64(c.Y) * scale}
	}
	var strokes []render.Stroke
	for _, l := range set.Lines {
		strokes = append(strokes, render.Stroke{
			From: at(l.From), To: at(l.To), Width: 1.5, Colour: colour.SRGB{R: 255, G: 255, B: 255}, Strength: 0.8,
		})
	}
	return strokes
}

// BenchmarkLines draws frames of a photograph of 24 megapixels, without lines and
// with lines of every kind over it, drawn as lines are until they are chosen
// otherwise, and reports each kind of frame with lines as a ratio to the same
// without: the middle one of the ratios of turns that follow on each other, so that
// what else the machine does weighs on both. In "still" frames nothing changes, in
// "moving" ones the view does, in "drawing" ones the last line, under a finger, and
// in "changing" ones the look, from and to the photograph as it is.
func BenchmarkLines(b *testing.B) {
	s, y := screen(b), picture(6000, 4000)
	s.SetPhoto(y)
	crop := place.Crop{Width: 6000, Height: 4000}
	p := render.Plan{Width: benchWidth, Height: benchHeight, Crop: crop, Surround: surround}
	p.Panes = []render.Pane{{
		At:   render.Rect{Width: benchWidth, Height: benchHeight},
		View: render.Fit(crop, benchWidth, benchHeight, 14),
	}}
	drawn(b, s, p)
	strokes := strokesOver(b, linesOfEveryKind, crop.Width)
	b.Logf("%d lines", len(strokes))
	kinds := linesKinds(s, &p)
	b.ResetTimer()
	ratios := make([][]float64, len(kinds))
	for n := range max(b.N, 6) { // the first turn makes images and programs
		for i, k := range kinds {
			p.Strokes = nil
			without := k.turn()
			p.Strokes = strokes
			if with := k.turn(); n > 0 {
				ratios[i] = append(ratios[i], float64(with)/float64(without))
			}
		}
	}
	for i, k := range kinds {
		slices.Sort(ratios[i])
		b.ReportMetric(ratios[i][len(ratios[i])/2], k.name+"-lines/none")
	}
}

// linesKinds are the kinds of frames of BenchmarkLines, of a plan that each changes.
func linesKinds(s *Screen, p *render.Plan) []kind {
	var kinds []kind
	middle := p.Panes[0].View.Centre.X
	for _, c := range benchLooks {
		show := func(dst *ebiten.Image, l look.Look, moved int) {
			p.Panes[0].Look = l
			p.Panes[0].View.Centre.X = middle + float64(moved)
			s.Draw(dst, *p)
		}
		kinds = append(kinds,
			kind{"still-" + c.name, func(dst *ebiten.Image, _ int) { show(dst, c.look, 0) }},
			kind{"moving-" + c.name, func(dst *ebiten.Image, i int) { show(dst, c.look, i%2) }},
			kind{"drawing-" + c.name, func(dst *ebiten.Image, i int) {
				if n := len(p.Strokes); n > 0 {
					p.Strokes[n-1].To.X = float64(100 * i)
				}
				show(dst, c.look, 0)
			}})
		if c.look != (look.Look{}) {
			kinds = append(kinds, kind{"changing-" + c.name, func(dst *ebiten.Image, i int) {
				show(dst, []look.Look{{}, c.look}[i%2], 0)
			}})
		}
	}
	return kinds
}
