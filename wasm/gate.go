//go:build js

package main

import "syscall/js"

// gate holds the browser's animation frames while nothing changes. The frame's
// own script puts it in place before Ebiten starts, since Ebiten takes the
// browser's function once and for all.
type gate struct{ object js.Value }

// wake lets frames run again.
func (g gate) wake() { g.object.Call("wake") }

// hold keeps back the next frame until wake.
func (g gate) hold() { g.object.Call("hold") }

// frames is how many frames have run since the page opened.
func (g gate) frames() int { return g.object.Get("frames").Int() }
