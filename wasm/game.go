//go:build js

package main

import (
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

// Draw shows the plan if it, or what is there to show it with, has changed.
func (g *game) Draw(screen *ebiten.Image) {
	plan, ok := g.plan()
	fits := ok && plan.Width == g.width && plan.Height == g.height
	if g.stale && fits {
		g.screen.Draw(screen, plan)
		g.stale = g.screen.Glanced()
		g.drawn++
		g.markFirst()
	}
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
