package photo

import "bytes"

const markerAPP14 = 0xee

// What Exif data say of their colours (CIPA DC-008, 4.6.3 and 4.6.6).
const (
	tagInteropIndex = 1
	tagExif         = 34665
	tagColourSpace  = 40961
	tagInterop      = 40965
	uncalibrated    = 0xffff
)

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

// adobeByExif tells whether a JPEG without a profile is Adobe RGB (1998) by its
// Exif data: the colour space is said not to be sRGB, and the interoperability
// directory is that of the optional colour space (DCF 2.0, JEITA CP-3461B).
func adobeByExif(data []byte) bool {
	adobe := false
	segments(data, func(s segment) error {
		exif, found := bytes.CutPrefix(data[s.body:s.end], []byte(exifMark))
		if s.marker != markerAPP1 || !found {
			return nil
		}
		first := readTIFF(exif)
		d := first.at(first.nth(tagExif, 0, len(exif)))
		if d.nth(tagColourSpace, 0, 1) != uncalibrated {
			return nil
		}
		d = d.at(d.nth(tagInterop, 0, len(exif)))
		adobe = adobe || bytes.HasPrefix(d.value(tagInteropIndex), []byte("R03"))
		return nil
	})
	return adobe
}
