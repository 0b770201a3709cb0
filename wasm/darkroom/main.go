//go:build js && darkroom

// Command darkroom runs in a worker that is started for a photograph which the browser
// cannot open, or would not show as it means: it decodes as the command does, and hands
// the pixels out.
package main

import (
	"fmt"
	"syscall/js"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/wasm/worker"
)

func main() {
	photo.Unpack = unpack
	var picture *photo.Picture
	worker.Serve(func(kind string, message js.Value) (answer map[string]any, transfer []any) {
		answer = map[string]any{}
		switch kind {
		case "open":
			picture = open(message, answer)
		case "rows":
			wide := 4 * picture.Held().Width
			top := message.Get("top").Int()
			rows := worker.Array(picture.Pix[wide*top : wide*(top+message.Get("rows").Int())])
			answer["pixels"], transfer = rows, []any{rows.Get("buffer")}
		default:
			fmt.Println("darkroom: a message of an unknown kind:", kind)
		}
		return answer, transfer
	})
}

// open decodes a photograph, nil if that cannot be.
func open(message js.Value, answer map[string]any) *photo.Picture {
	most := message.Get("pixels").Int()
	opened, err := photo.DecodeHalved(worker.Bytes(message.Get("file")), func(size place.Pixels) int { return photo.Halvings(size, most) })
	if err != nil {
		answer["failed"], answer["hint"] = err.Error(), photo.Hint(err)
		return nil
	}
	notes := []any{}
	for _, n := range opened.Notes {
		notes = append(notes, n)
	}
	answer["width"], answer["height"], answer["halved"], answer["notes"] = opened.Width, opened.Height, opened.Halved, notes
	return opened.Picture
}
