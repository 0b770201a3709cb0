//go:build !js || darkroom

package photo

import (
	"bytes"
	"encoding/binary"

	"golang.org/x/image/webp"
)

// decodeWebP decodes a WebP, or the first frame of an animated one, which
// golang.org/x/image/webp does not know.
func decodeWebP(h Header, data []byte) (source, error) {
	if !h.Moving {
		m, err := webp.Decode(bytes.NewReader(data))
		if err != nil {
			return source{}, err
		}
		s := sourceOf(m, chromaWebP)
		return s, s.holds(h)
	}
	left, top, still, ok := firstFrame(data)
	if !ok {
		return source{}, damaged(WebP, "its first picture is missing")
	}
	frame, err := inspectWebP(still)
	if err != nil {
		return source{}, err
	}
	m, err := webp.Decode(bytes.NewReader(still))
	if err != nil {
		return source{}, err
	}
	s := sourceOf(m, chromaWebP)
	if err := s.holds(frame); err != nil {
		return source{}, err
	}
	if left+s.width > h.Width || top+s.height > h.Height {
		return source{}, damaged(WebP, "its first picture lies outside it")
	}
	return s.placed(left, top, h.Width, h.Height), nil
}

// firstFrame is the first picture of an animated WebP (RFC 9649, section 2.7.1.1)
// as a WebP of its own, and where it lies.
func firstFrame(data []byte) (left, top int, still []byte, ok bool) {
	for rest := data[12:]; len(rest) >= 8; {
		size := uint64(binary.LittleEndian.Uint32(rest[4:]))
		if size > uint64(len(rest)-8) {
			return 0, 0, nil, false
		}
		body := rest[8 : 8+size]
		if string(rest[:4]) != "ANMF" {
			rest = rest[min(8+size+size%2, uint64(len(rest))):]
			continue
		}
		if len(body) < 24 {
			return 0, 0, nil, false
		}
		at := func(i int) int { return int(body[i]) | int(body[i+1])<<8 | int(body[i+2])<<16 }
		const opacity = 0x10
		still = append(still, "RIFF\x00\x00\x00\x00WEBP"...)
		if string(body[16:20]) == "ALPH" {
			still = append(still, "VP8X\x0a\x00\x00\x00"...)
			still = append(append(still, opacity, 0, 0, 0), body[6:12]...)
		}
		still = append(still, body[16:]...)
		binary.LittleEndian.PutUint32(still[4:], uint32(len(still)-8))
		return 2 * at(0), 2 * at(3), still, true
	}
	return 0, 0, nil, false
}
