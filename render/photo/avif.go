//go:build !js || darkroom

package photo

import (
	"bytes"
	"image"
)

// decodeAVIF decodes the first picture of an AVIF. The library says nothing of
// pixels that it could not decode, but leaves them as its memory was, opacity
// included: what should be opaque and is not was not decoded.
func decodeAVIF(data []byte) (image.Image, error) {
	m, err := unpack(AVIF, data)
	if err != nil {
		return nil, err
	}
	s := sourceOf(m, chromaJPEG)
	translucent := bytes.Contains(data[:min(len(data), 1<<16)], []byte(":alpha\x00")) // its auxiliary picture's name
	seen, row := false, make([]uint16, 4*s.width)
	for y := range s.height {
		s.row(y, row)
		for i := 3; i < len(row); i += 4 {
			seen = seen || row[i] != 0
			if !translucent && row[i] != full {
				return nil, damaged(AVIF, "its pixels cannot be read")
			}
		}
	}
	if !seen {
		return nil, damaged(AVIF, "its pixels cannot be read")
	}
	return m, nil
}
