//go:build !js || darkroom

package photo

import (
	"bytes"
	"image"
	"image/png"
)

// decodePNG decodes a PNG that has been walked by Inspect.
func decodePNG(data []byte) (image.Image, error) { return png.Decode(bytes.NewReader(essential(data))) }

// essential is a PNG without the chunks that its pixels do not need: image/png
// refuses the whole picture when the checksum of a remark or a profile is wrong
// (golang/go#43382).
func essential(data []byte) []byte {
	kept := append(make([]byte, 0, len(data)), data[:8]...)
	chunks(data, func(name string, body, whole []byte) bool {
		switch name {
		case "IHDR", "PLTE", "tRNS", "IDAT", "IEND":
			kept = append(kept, whole...)
		}
		return true
	})
	return kept
}
