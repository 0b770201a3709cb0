//go:build js

package main

import (
	"strings"
	"syscall/js"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// strongRows is how many rows of a photograph are looked at for colours that are stronger
// than sRGB can show.
const strongRows = 64

// stronger notes how much of a photograph is of stronger colours than sRGB can show. The
// browser holds them to sRGB without a word; rows that lie evenly over the photograph are
// read in a larger space, where a browser has that. Translucent places are passed over,
// whose codes a browser rounds.
func stronger(bitmap js.Value, size place.Pixels) []string {
	canvas := js.Global().Get("document").Call("createElement", "canvas")
	canvas.Set("width", size.Width)
	canvas.Set("height", 1)
	const space = "display-p3"
	context := canvas.Call("getContext", "2d", map[string]any{"willReadFrequently": true, "colorSpace": space})
	if !context.Truthy() || context.Call("getContextAttributes").Get("colorSpace").String() != space {
		return nil
	}
	rows := min(strongRows, size.Height)
	row := make([]byte, 4*size.Width)
	count := 0
	for i := range rows {
		context.Call("clearRect", 0, 0, size.Width, 1)
		context.Call("drawImage", bitmap, 0, -(2*i+1)*size.Height/(2*rows))
		js.CopyBytesToGo(row, context.Call("getImageData", 0, 0, size.Width, 1).Get("data"))
		for c := row; len(c) >= 4; c = c[4:] {
			if c[3] == 255 && strongerThan(c[0], c[1], c[2]) {
				count++
			}
		}
	}
	if count == 0 {
		return nil
	}
	note := photo.StrongerNote(float64(count) / float64(rows*size.Width))
	if !strings.HasPrefix(note, "less ") {
		note = "about " + note // of the rows between nothing is known
	}
	return []string{note}
}

// strongerThan tells whether a colour in codes of Display P3 lies outside sRGB by more
// than what rounding the codes can make of one inside.
func strongerThan(red, green, blue uint8) bool {
	const least, most = -0.003, 1.01
	r, g, b := colour.Decode(red), colour.Decode(green), colour.Decode(blue)
	for _, light := range [3]float64{ // CSS Color 4, from linear Display P3 to linear sRGB
		1.2249402*r - 0.2249402*g,
		-0.0420569*r + 1.0420569*g,
		-0.0196376*r - 0.0786361*g + 1.0982736*b,
	} {
		if light < least || light > most {
			return true
		}
	}
	return false
}
