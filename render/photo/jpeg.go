package photo

import (
	"bytes"
	"encoding/binary"
	"slices"
)

// The second bytes of the JPEG markers that matter here (ITU-T T.81, table B.1).
const (
	markerRST0 = 0xd0
	markerRST7 = 0xd7
	markerSOI  = 0xd8
	markerEOI  = 0xd9
	markerSOS  = 0xda
	markerAPP1 = 0xe1
	markerAPP2 = 0xe2
	markerTEM  = 0x01
)

// inspectJPEG walks the segments to the end-of-image marker. What follows it,
// such as a telephone's film, is no business of ours.
func inspectJPEG(data []byte) (Header, error) {
	h := Header{Orientation: 1}
	var profile jpegProfile
	exif := false
	for rest := data[2:]; ; {
		marker, tail, ok := nextMarker(rest)
		switch {
		case !ok:
			return h, cutShort()
		case marker == markerEOI:
			if h.Width == 0 {
				return h, damaged(JPEG, "it holds no picture")
			}
			h.Profile = profile.joined()
			return h, nil
		case marker == markerSOI, marker == markerTEM, marker >= markerRST0 && marker <= markerRST7:
			rest = tail
			continue
		}
		if len(tail) < 2 {
			return h, cutShort()
		}
		size := int(binary.BigEndian.Uint16(tail))
		if size < 2 {
			return h, damaged(JPEG, "a segment has no length")
		}
		if size > len(tail) {
			return h, cutShort()
		}
		body := tail[2:size]
		switch {
		case isFrame(marker):
			if err := readFrame(&h, marker, body); err != nil {
				return h, err
			}
		case marker == markerAPP1 && !exif && bytes.HasPrefix(body, []byte("Exif\x00\x00")):
			exif = true
			h.Orientation = exifOrientation(body[6:])
		case marker == markerAPP2:
			profile.add(body)
		}
		rest = tail[size:]
	}
}

// nextMarker finds the next marker, over entropy-coded data or padding, and
// what follows it.
func nextMarker(data []byte) (marker byte, tail []byte, ok bool) {
	for {
		i := bytes.IndexByte(data, 0xff)
		if i < 0 || i+1 >= len(data) {
			return 0, nil, false
		}
		switch next := data[i+1]; next {
		case 0x00: // a stuffed byte of entropy-coded data
			data = data[i+2:]
		case 0xff: // padding
			data = data[i+1:]
		default:
			return next, data[i+2:], true
		}
	}
}

// isFrame tells whether a marker starts a frame: SOF0 to SOF15 without the three
// that mean something else.
func isFrame(marker byte) bool {
	return marker >= 0xc0 && marker <= 0xcf && marker != 0xc4 && marker != 0xc8 && marker != 0xcc
}

// readFrame reads the size out of a frame header and refuses the forms of JPEG
// that neither browsers nor we decode.
func readFrame(h *Header, marker byte, body []byte) error {
	if len(body) < 6 {
		return damaged(JPEG, "its frame header is too short")
	}
	if h.Width != 0 {
		return damaged(JPEG, "it has two frames")
	}
	h.Height = int(binary.BigEndian.Uint16(body[1:]))
	h.Width = int(binary.BigEndian.Uint16(body[3:]))
	if body[0] != 8 {
		return &Refusal{"this JPEG has more than 8 bits a colour, which is not opened", "save it as an ordinary JPEG, of 8 bits a colour"}
	}
	if !slices.Contains([]byte{0xc0, 0xc1, 0xc2, 0xc9, 0xca}, marker) {
		return &Refusal{"this is a lossless or layered JPEG, which is not opened", "save it as an ordinary JPEG"}
	}
	return checkSize(h.Width, h.Height)
}

// jpegProfile gathers an ICC profile out of its numbered chunks (ICC.1, annex B).
type jpegProfile struct {
	chunks [256][]byte
	count  int
}

func (p *jpegProfile) add(body []byte) {
	const name = "ICC_PROFILE\x00"
	if len(body) < len(name)+2 || string(body[:len(name)]) != name {
		return
	}
	number := body[len(name)]
	p.chunks[number] = body[len(name)+2:]
	p.count = max(p.count, int(body[len(name)+1]))
}

// joined is the profile in the order of its chunks, without those that lack.
func (p *jpegProfile) joined() []byte {
	if p.count == 0 {
		return nil
	}
	return slices.Concat(p.chunks[1 : p.count+1]...)
}
