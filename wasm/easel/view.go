package easel

import (
	"math"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/place"
	"maulstick/render/study"
)

const (
	// margin is what stays free around a fitting picture, in CSS pixels.
	margin = 14
	// closerBy is one press of the keys that zoom.
	closerBy = math.Sqrt2
	// wheelRate turns a wheel's CSS pixels into a power of e.
	wheelRate = 0.0015
	// wheelMost bounds one wheel event, in CSS pixels.
	wheelMost = 400
)

// ready says whether there is a picture and an area to see it in.
func (e *Easel) ready() bool {
	return e.history != nil && e.deviceWidth() > 0 && e.deviceHeight() > 0
}

// deviceWidth and deviceHeight are the area's sides in device pixels.
func (e *Easel) deviceWidth() int  { return int(math.Round(float64(e.width) * e.dpr)) }
func (e *Easel) deviceHeight() int { return int(math.Round(float64(e.height) * e.dpr)) }

// fit is the viewport that shows the whole crop.
func (e *Easel) fit() render.Viewport {
	d := e.doc()
	at, _ := e.halves()
	v := render.Fit(e.seenCrop(), at.Width, at.Height, margin*e.dpr)
	v.Mirror, v.Turned = d.View.Mirror, d.View.Turned
	return v
}

// viewport is the picture as the painter left it.
func (e *Easel) viewport() render.Viewport {
	v, view := e.fit(), e.doc().View
	if view.Fit || e.whole() {
		return v
	}
	v.Scale = min(v.Scale*view.Zoom, render.MaxScale)
	v.Centre = place.PhotoPoint{X: view.CentreX, Y: view.CentreY}
	return v
}

// see moves the view. It is never closer than render.MaxScale, and the middle of the
// area always shows some of the crop, so that the picture cannot be lost.
func (e *Easel) see(v render.Viewport) {
	view := e.doc().View
	view.Zoom, view.CentreX, view.CentreY = min(v.Scale, render.MaxScale)/e.fit().Scale, v.Centre.X, v.Centre.Y
	view.Fit = math.Abs(view.Zoom-1) <= 1e-9
	e.show(e.doc().WithView(view))
	if e.sized > 0 && math.Abs(e.seenPart()/e.sized-1) > 1e-6 {
		e.sized = 0 // zoomed to another size
	}
}

// furthest is the scale down to which the picture can be moved away: where it fits,
// or where it is, if its true size is smaller than that.
func (e *Easel) furthest() float64 { return min(e.fit().Scale, e.viewport().Scale) }

func (e *Easel) seeWhole() {
	e.sized = 0
	view := e.doc().View
	view.Fit = true
	e.show(e.doc().WithView(view))
}

// turnedAs shows the picture mirrored or upside down, or not, about the place
// that is in the middle.
func (e *Easel) turnedAs(mirror, turned bool) {
	e.settle()
	view := e.doc().View
	view.Mirror, view.Turned = mirror, turned
	e.show(e.doc().WithView(view))
}

// Wheel zooms about the pointer: x and y are CSS pixels in the picture's area,
// delta the wheel's CSS pixels, over zero to move away.
func (e *Easel) Wheel(x, y, delta float64) {
	if !e.ready() || e.lock.on || e.hand.busy() || !isNumber(x, y, delta) || e.overOther(x, y) {
		return
	}
	delta = min(max(delta, -wheelMost), wheelMost)
	e.zoomAbout(math.Exp(-delta*wheelRate), x*e.dpr, y*e.dpr)
	e.after()
}

// zoomAbout zooms and keeps what is at a place of the screen, in device
// pixels, where it is.
func (e *Easel) zoomAbout(factor, x, y float64) {
	v := e.viewport()
	e.see(v.Zoom(max(factor, e.furthest()/v.Scale), x, y))
}

// zoomKey zooms about the chosen mark, if it is in sight, or the middle.
func (e *Easel) zoomKey(factor float64) {
	v := e.viewport()
	x, y := float64(v.Width)/2, float64(v.Height)/2
	if m, ok := e.reading(); ok {
		if mx, my := v.ToScreen(point(m)); onArea(v, mx, my) {
			x, y = mx, my
		}
	}
	e.zoomAbout(factor, x, y)
}

func onArea(v render.Viewport, x, y float64) bool {
	return x >= 0 && y >= 0 && x <= float64(v.Width) && y <= float64(v.Height)
}

// pan moves the picture with the screen's directions, in device pixels.
func (e *Easel) pan(dx, dy float64) { e.see(e.viewport().Pan(dx, dy)) }

// standOff is how much lighter or darker than every step in sight the surround
// is, where there is room, while others fall back to it.
const standOff = 15

// The surround's bounds: a darker or lighter one would itself falsify the
// painter's judgement of values.
const (
	darkestSurround  = 20
	lightestSurround = 80
)

// surround is the grey around the picture: the painter's own, unless isolated
// steps would be lost in it. Then it is the nearest lightness that stands off
// from them as far as there is room for, the darker of two.
func (e *Easel) surround() colour.SRGB {
	chosen, l := e.doc().Surround, e.seenLook()
	if l.Tone != look.Steps || l.Keep == look.KeepAll {
		return colour.GreyOf(colour.Lightness(chosen))
	}
	widest := 0.0
	for grey := darkestSurround; grey <= lightestSurround; grey++ {
		widest = max(widest, room(grey, l))
	}
	for away := 0; away <= lightestSurround-darkestSurround; away++ {
		for _, grey := range []int{chosen - away, chosen + away} {
			if grey >= darkestSurround && grey <= lightestSurround && room(grey, l) >= min(standOff, widest) {
				return colour.GreyOf(colour.Lightness(grey))
			}
		}
	}
	return colour.GreyOf(colour.Lightness(chosen))
}

// room is how far a lightness is from the nearest step in sight.
func room(grey int, l look.Look) float64 {
	steps := l.Flat()
	nearest := 100.0
	for k := 1; k <= steps.Count(); k++ {
		if l.Kept(k) {
			nearest = min(nearest, math.Abs(float64(steps.Shown(k))-float64(grey)))
		}
	}
	return nearest
}

// seenLook is the look on the screen now: the photograph as it is while Plain
// is held. The picture stays mirrored or turned then, so that nothing jumps.
func (e *Easel) seenLook() look.Look {
	l := e.doc().Look
	if e.plain {
		return look.Look{Steps: l.Steps, Division: l.Division, Blur: l.Blur}
	}
	return l
}

// Plan is what the screen shows, in device pixels, and whether there is
// anything to show.
func (e *Easel) Plan() (render.Plan, bool) {
	if !e.ready() {
		return render.Plan{}, false
	}
	d, v := e.doc(), e.viewport()
	canvas := d.Size()
	plan := render.Plan{
		Width: e.deviceWidth(), Height: e.deviceHeight(), Surround: e.surround(),
		Crop: e.seenCrop(), Canvas: place.Size{Width: canvas.Width, Height: canvas.Height},
		Panes: e.panes(render.Pane{
			At:   render.Rect{Width: v.Width, Height: v.Height},
			View: v, Look: e.seenLook(), Made: e.shownMade(),
		}),
	}
	if round, ok := e.round(v); ok {
		plan.Panes = append(plan.Panes, round)
	}
	plan.Strokes = e.strokes()
	return plan, true
}

func isNumber(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

func point(m study.Mark) place.PhotoPoint { return place.PhotoPoint{X: m.X, Y: m.Y} }
