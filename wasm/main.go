//go:build js

// Command wasm is the page: it runs in the frame that shows the picture, joins
// the HTML around the frame to the easel, and lets Ebiten draw what the easel
// plans. All decisions are the easel's; here are only wires.
package main

import (
	"fmt"
	"syscall/js"

	"github.com/hajimehoshi/ebiten/v2"
)

func main() {
	p, err := newPage(js.Global().Get("parent"))
	if err != nil {
		js.Global().Get("parent").Get("maulstick").Call("failed", err.Error())
		return
	}
	go p.start()
	ebiten.SetTPS(ebiten.SyncWithFPS)
	ebiten.SetScreenClearedEveryFrame(false)
	if err := ebiten.RunGameWithOptions(p.game, &ebiten.RunGameOptions{}); err != nil {
		js.Global().Get("parent").Get("maulstick").Call("failed", fmt.Sprintf("drawing stopped: %v", err))
	}
}
