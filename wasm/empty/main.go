//go:build js

// Command empty is the emptiest page that Ebiten can draw: what the benchmarks
// hold the real page's start and size against.
package main

import (
	"syscall/js"

	"github.com/hajimehoshi/ebiten/v2"
)

// game marks the first frame that it draws, as the real page does.
type game struct{ drawn bool }

func (*game) Update() error { return nil }

func (g *game) Draw(*ebiten.Image) {
	if !g.drawn {
		g.drawn = true
		js.Global().Call("markFirstPicture")
	}
}

func (*game) Layout(width, height int) (int, int) { return width, height }

func main() {
	if err := ebiten.RunGame(&game{}); err != nil {
		js.Global().Get("console").Call("error", err.Error())
	}
}
