//go:build js && darkroom

package photo

import (
	"fmt"
	"image"

	"maulstick/render/place"
)

// Unpack decodes an AVIF or HEIC. The program in the browser sets it: there the same
// libraries as elsewhere are run by the browser itself.
var Unpack func(kind Kind, data []byte) (image.Image, error)

func unpack(kind Kind, data []byte) (image.Image, error) {
	if Unpack == nil {
		return nil, fmt.Errorf("there is nothing to decode %v with", kind)
	}
	return Unpack(kind, data)
}

// DecodeHalved is Decode for a photograph that is to be held halved as often as a
// function of its size says. Whoever holds it tells the painter.
func DecodeHalved(data []byte, halvings func(place.Pixels) int) (Opened, error) {
	o, err := decodeTo(data, func(size place.Pixels, _ int) (int, string) { return 1 << halvings(size), "" })
	if err == nil && o.Size() != o.Came {
		o.Picture = &Picture{Width: o.Came.Width, Height: o.Came.Height, Pix: o.Pix, Halved: halvings(o.Came)}
	}
	return o, err
}
