//go:build !js

package photo

import (
	"bytes"
	"image"

	"github.com/gen2brain/avif"
	"github.com/gen2brain/heic"
)

// unpack decodes an AVIF or HEIC.
func unpack(kind Kind, data []byte) (image.Image, error) {
	if kind == AVIF {
		return avif.Decode(bytes.NewReader(data))
	}
	return heic.Decode(bytes.NewReader(data))
}
