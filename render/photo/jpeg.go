package photo

import (
	"bytes"
	"slices"
)

// The second bytes of the JPEG markers that matter here (ITU-T T.81, table B.1).
const (
	markerRST0  = 0xd0
	markerRST7  = 0xd7
	markerSOI   = 0xd8
	markerEOI   = 0xd9
	markerSOS   = 0xda
	markerAPP0  = 0xe0
	markerAPP1  = 0xe1
	markerAPP2  = 0xe2
	markerAPP15 = 0xef
	markerCOM   = 0xfe
	markerTEM   = 0x01
)

// segment is one marker of a JPEG and what belongs to it, by places in the file.
type segment struct {
	marker           byte
	start, body, end int // of the marker, of what follows its length, and behind it
}

// segments hands out the segments of a JPEG up to the end-of-image marker, itself
// included; entropy-coded data lie between them. What follows the end, such as a
// telephone's film, is no business of ours. It ends early with the error that
// each returns.
func segments(data []byte, each func(segment) error) error {
	for at := 2; ; {
		marker, found := nextMarker(data, at)
		if found < 0 {
			return cutShort()
		}
		s := segment{marker, found, found + 2, found + 2}
		switch {
		case marker == markerEOI:
			return each(s)
		case marker == markerSOI, marker == markerTEM, marker >= markerRST0 && marker <= markerRST7:
			at = s.end
			continue
		}
		if s.body+2 > len(data) {
			return cutShort()
		}
		size := big(data, s.body, 2)
		if size < 2 {
			return damaged(JPEG, "a segment has no length")
		}
		if s.body, s.end = s.body+2, s.body+size; s.end > len(data) {
			return cutShort()
		}
		if err := each(s); err != nil {
			return err
		}
		at = s.end
	}
}

// nextMarker finds the next marker from a place on, over entropy-coded data or
// padding, and where its first byte is, -1 where there is none.
func nextMarker(data []byte, at int) (marker byte, found int) {
	for {
		i := bytes.IndexByte(data[at:], 0xff)
		if i < 0 || at+i+1 >= len(data) {
			return 0, -1
		}
		switch at += i; data[at+1] {
		case 0x00: // a stuffed byte of entropy-coded data
			at += 2
		case 0xff: // padding
			at++
		default:
			return data[at+1], at
		}
	}
}

// exifMark begins the segment that holds Exif data, profileMark those that hold a
// colour profile.
const (
	exifMark    = "Exif\x00\x00"
	profileMark = "ICC_PROFILE\x00"
)

// inspectJPEG walks the segments.
func inspectJPEG(data []byte) (Header, error) {
	h := Header{Orientation: 1}
	var profile jpegProfile
	exif := false
	err := segments(data, func(s segment) error {
		body := data[s.body:s.end]
		switch {
		case isFrame(s.marker):
			return readFrame(&h, s.marker, body)
		case s.marker == markerAPP1 && !exif && bytes.HasPrefix(body, []byte(exifMark)):
			exif = true
			h.Orientation = exifOrientation(body[len(exifMark):])
		case s.marker == markerAPP2:
			profile.add(body)
		case s.marker == markerEOI && h.Width == 0:
			return damaged(JPEG, "it holds no picture")
		}
		return nil
	})
	h.Profile = profile.joined()
	return h, err
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
	h.Height = big(body, 1, 2)
	h.Width = big(body, 3, 2)
	h.Deep = body[0] > 8
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
	if len(body) < len(profileMark)+2 || string(body[:len(profileMark)]) != profileMark {
		return
	}
	number := body[len(profileMark)]
	p.chunks[number] = body[len(profileMark)+2:]
	p.count = max(p.count, int(body[len(profileMark)+1]))
}

// joined is the profile in the order of its chunks, without those that lack.
func (p *jpegProfile) joined() []byte {
	if p.count == 0 {
		return nil
	}
	return slices.Concat(p.chunks[1 : p.count+1]...)
}
