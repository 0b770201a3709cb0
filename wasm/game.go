//go:build js

package main

import (
	"image"
	"syscall/js"

	"github.com/hajimehoshi/ebiten/v2"

	"maulstick/render"
	"maulstick/render/gpu"
	"maulstick/render/photo"
)

// game is what Ebiten runs: it uploads at most one tile a frame, draws only
// when there is something new to show, and holds the browser's frames back as
// soon as there is not.
type game struct {
	gate   gate
	screen *gpu.Screen
	plan   func() (render.Plan, bool)
	frame  func() bool // takes a frame of the camera, if one has come and is wanted
	coming func() bool // says whether one has come
	stale  bool        // the plan has changed since it was drawn
	width  int         // device pixels, as last laid out
	height int
	whole  bool          // the browser's canvas is as large as what is laid out
	live   *render.Plan  // is drawn on that canvas at once; nil where none is live
	first  chan struct{} // closed when the browser has been handed the first picture
	drawn  int           // pictures drawn since the page opened
}

// show gives the screen another photograph.
func (g *game) show(pyramid *photo.Pyramid) {
	g.screen.SetPhoto(pyramid)
	g.redraw()
}

// settled says whether the screen shows the plan as well as it ever will.
func (g *game) settled() bool {
	plan, ok := g.plan()
	return !ok || !g.stale && g.screen.Ready(plan)
}

// redraw asks for a new picture.
func (g *game) redraw() {
	g.stale = true
	g.gate.wake()
}

// Update moves one tile to the graphics unit, and a frame of the camera.
func (g *game) Update() error {
	if g.frame() {
		g.stale = true
	}
	if g.screen.Upload() {
		g.stale = true
	}
	return nil
}

// Draw shows the plan if it, or what is there to show it with, has changed. A live one
// is left to DrawFinalScreen, which Ebiten calls for as long as it sees anything drawn.
func (g *game) Draw(screen *ebiten.Image) {
	plan, ok := g.plan()
	fits := ok && plan.Width == g.width && plan.Height == g.height
	if g.live = nil; fits && g.whole && plan.Live() {
		g.live = &plan
		screen.SubImage(image.Rect(0, 0, 1, 1)).(*ebiten.Image).Clear()
		return
	}
	if g.stale && fits {
		g.draw(screen, plan)
	}
	g.rest(plan, ok, fits)
}

// DrawFinalScreen shows on the browser's canvas what Draw drew. A live plan is drawn on
// it at once, and whenever Ebiten has cleared it, which saves a copy of the whole screen.
func (g *game) DrawFinalScreen(canvas ebiten.FinalScreen, drawn *ebiten.Image, toCanvas ebiten.GeoM) {
	g.whole = canvas.Bounds() == drawn.Bounds()
	if g.live == nil {
		options := &ebiten.DrawImageOptions{GeoM: toCanvas}
		if !g.whole {
			options.Filter = ebiten.FilterLinear
		}
		canvas.DrawImage(drawn, options)
		return
	}
	g.draw(gpu.Canvas{FinalScreen: canvas}, *g.live)
	g.rest(*g.live, true, true)
}

// draw draws the plan.
func (g *game) draw(on gpu.Target, plan render.Plan) {
	g.screen.Draw(on, plan)
	if g.stale {
		g.drawn++
		g.markFirst()
	}
	g.stale = g.screen.Glanced()
}

// rest lets the browser's frames be until there is something to show.
func (g *game) rest(plan render.Plan, ok, fits bool) {
	if !g.coming() && (!ok || fits && g.screen.Ready(plan)) {
		g.gate.hold()
	}
}

// markFirst tells that the first picture is drawn.
func (g *game) markFirst() {
	if g.drawn != 1 {
		return
	}
	var then js.Func
	then = js.FuncOf(func(js.Value, []js.Value) any {
		then.Release()
		close(g.first)
		return nil
	})
	js.Global().Call("markFirstPicture", then)
}

// Layout is never called: Ebiten prefers LayoutF.
func (g *game) Layout(width, height int) (int, int) { return width, height }

// LayoutF gives the picture every device pixel of the frame.
func (g *game) LayoutF(width, height float64) (float64, float64) {
	ratio := ebiten.Monitor().DeviceScaleFactor()
	w, h := int(width*ratio+0.5), int(height*ratio+0.5)
	if w != g.width || h != g.height {
		g.width, g.height, g.stale = w, h, true
	}
	return float64(w), float64(h)
}
