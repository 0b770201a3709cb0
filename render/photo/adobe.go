//go:build !js

package photo

import "bytes"

const markerAPP14 = 0xee

// adobeMarked tells whether a JPEG carries Adobe's marker, which says how its
// channels were changed (Adobe Technical Note 5116).
func adobeMarked(data []byte) (marked bool) {
	segments(data, func(s segment) error {
		marked = marked || s.marker == markerAPP14 && bytes.HasPrefix(data[s.body:s.end], []byte("Adobe"))
		return nil
	})
	return marked
}

// fourColours tells whether a JPEG has four channels.
func fourColours(data []byte) (four bool) {
	segments(data, func(s segment) error {
		four = four || isFrame(s.marker) && s.end-s.body > 5 && data[s.body+5] == 4
		return nil
	})
	return four
}

// marked is a JPEG with Adobe's marker put at its start.
func marked(data []byte, transform byte) []byte {
	marker := []byte{0xff, markerSOI, 0xff, markerAPP14, 0, 14, 'A', 'd', 'o', 'b', 'e', 0, 100, 0, 0, 0, 0, transform}
	return append(marker, data[2:]...)
}
