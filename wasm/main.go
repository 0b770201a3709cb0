//go:build js

// Command wasm is the page: it runs in the frame that shows the picture, joins
// the HTML around the frame to the easel, and lets Ebiten draw what the easel
// plans. All decisions are the easel's; here are only wires.
package main

import (
	"fmt"
	"runtime/debug"
	"syscall/js"

	"github.com/hajimehoshi/ebiten/v2"
)

// collectAt is how much garbage, in percent of what is in use, may gather
// before it is cleared away. Memory that a page once took is never given back,
// and a photograph is large.
const collectAt = 25

func main() {
	debug.SetGCPercent(collectAt)
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
