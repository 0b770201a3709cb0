package photo

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"slices"
)

// Bare is a copy of a photograph's file that holds the picture and what its
// pixels mean, and nothing else that a camera or a program wrote beside them: no
// place, time, serial number or name, no small picture, no remark, and nothing
// behind the picture, such as a film. Kept are the pixels as they are packed, byte
// for byte, the colour profile as it is, with the names in it, and the
// orientation. Taken tells what was left out, in words. JPEG, PNG and WebP are
// copied so; other kinds, and what Inspect refuses, are refused. Every error is a
// *Refusal.
func Bare(data []byte) (bare []byte, taken []string, err error) {
	h, err := Inspect(data)
	if err != nil {
		return nil, nil, err
	}
	switch h.Kind {
	case JPEG:
		bare, taken = bareJPEG(h, data)
	case PNG:
		bare, taken = barePNG(h, data)
	case WebP:
		bare, taken = bareWebP(h, data)
	default:
		return nil, nil, &Refusal{"what was written beside the picture cannot be taken out of a file of this kind, " + h.Kind.String(), "save it as a JPEG or PNG first"}
	}
	slices.Sort(taken)
	return bare, slices.Compact(taken), nil
}

// What is left out, in words.
const (
	takenExif    = "camera data (Exif)"
	takenText    = "remarks and other data"
	takenBehind  = "data behind the picture, a film or another picture perhaps"
	takenPreview = "a small picture"
)

// bareExif is Exif data that hold the orientation and, for a JPEG of Adobe RGB
// that has no profile, that. It is nil where nothing need be said.
func bareExif(o Orientation, adobe bool) []byte {
	if o == 1 && !adobe {
		return nil
	}
	entry := func(tag, kind, count, value int) []byte {
		e := binary.LittleEndian.AppendUint16(nil, uint16(tag))
		e = binary.LittleEndian.AppendUint16(e, uint16(kind))
		return binary.LittleEndian.AppendUint32(binary.LittleEndian.AppendUint32(e, uint32(count)), uint32(value))
	}
	const ascii, short, long = 2, 3, 4
	last := make([]byte, 4) // no further directory
	header := []byte("II*\x00\x08\x00\x00\x00")
	if !adobe {
		return slices.Concat(header, []byte{1, 0}, entry(tagOrientation, short, 1, int(o)), last)
	}
	return slices.Concat(header,
		[]byte{2, 0}, entry(tagOrientation, short, 1, int(o)), entry(tagExif, long, 1, 38), last,
		[]byte{2, 0}, entry(tagColourSpace, short, 1, uncalibrated), entry(tagInterop, long, 1, 68), last,
		[]byte{1, 0}, entry(tagInteropIndex, ascii, 4, 0x333052), last) // R03
}

// bareJPEG keeps the segments that decoding needs, profile and Adobe's marker
// included.
func bareJPEG(h Header, data []byte) (bare []byte, taken []string) {
	bare = append(make([]byte, 0, len(data)), data[:2]...)
	if exif := bareExif(h.Orientation, h.Profile == nil && adobeByExif(data)); exif != nil {
		bare = binary.BigEndian.AppendUint16(append(bare, 0xff, markerAPP1), uint16(2+len(exifMark)+len(exif)))
		bare = append(append(bare, exifMark...), exif...)
	}
	from, scan := 2, false
	segments(data, func(s segment) error {
		if scan { // its data; between other segments lies nothing that counts
			bare = append(bare, data[from:s.start]...)
		}
		from, scan = s.end, s.marker == markerSOS
		body, whole := data[s.body:s.end], data[s.start:s.end]
		const jfif = 14 // bytes, without its small picture
		switch {
		case s.marker == markerAPP0 && bytes.HasPrefix(body, []byte("JFIF\x00")) && len(body) >= jfif:
			bare = append(bare, 0xff, markerAPP0, 0, 2+jfif)
			bare = append(append(bare, body[:jfif-2]...), 0, 0)
			if len(body) > jfif {
				taken = append(taken, takenPreview)
			}
		case s.marker == markerAPP2 && bytes.HasPrefix(body, []byte(profileMark)), s.marker == markerAPP14 && bytes.HasPrefix(body, []byte("Adobe")):
			bare = append(bare, whole...)
		case s.marker == markerAPP1 && bytes.HasPrefix(body, []byte(exifMark)):
			taken = append(taken, takenExif)
		case s.marker == markerCOM, s.marker >= markerAPP0 && s.marker <= markerAPP15:
			taken = append(taken, takenText)
		default:
			bare = append(bare, whole...)
		}
		return nil
	})
	if from < len(data) {
		taken = append(taken, takenBehind)
	}
	return bare, taken
}

// barePNG keeps the chunks that the pixels, their colours and an animation need.
func barePNG(h Header, data []byte) (bare []byte, taken []string) {
	kept := []string{"IHDR", "PLTE", "tRNS", "cICP", "iCCP", "sRGB", "gAMA", "cHRM", "mDCV", "cLLI", "sBIT", "bKGD", "pHYs", "acTL", "fcTL", "fdAT", "IDAT", "IEND"}
	bare = append(make([]byte, 0, len(data)), data[:8]...)
	read := 8
	chunks(data, func(name string, _, whole []byte) bool {
		read += len(whole)
		switch {
		case slices.Contains(kept, name):
			bare = append(bare, whole...)
		case name == "eXIf":
			taken = append(taken, takenExif)
		default:
			taken = append(taken, takenText)
		}
		if exif := bareExif(h.Orientation, false); name == "IHDR" && exif != nil {
			bare = appendChunk(bare, "eXIf", exif)
		}
		return true
	})
	if read < len(data) {
		taken = append(taken, takenBehind)
	}
	return bare, taken
}

// bareWebP keeps the chunks that the pixels, their colours and an animation need.
func bareWebP(h Header, data []byte) (bare []byte, taken []string) {
	const flagXMP, flagExif = 0x04, 0x08
	bare = append(make([]byte, 0, len(data)), data[:12]...)
	exif := bareExif(h.Orientation, false)
	end := 8 + little(data, 4, 4)
	for at := 12; at+8 <= end; {
		size := little(data, at+4, 4)
		next := min(at+8+size+size%2, len(data))
		switch name := string(data[at : at+4]); name {
		case "VP8X":
			place := len(bare) + 8
			if bare = append(bare, data[at:next]...); exif == nil {
				bare[place] &^= flagExif
			}
			bare[place] &^= flagXMP
		case "VP8 ", "VP8L", "ALPH", "ANIM", "ANMF", "ICCP":
			bare = append(bare, data[at:next]...)
		case "EXIF":
			taken = append(taken, takenExif)
		default:
			taken = append(taken, takenText)
		}
		at = next
	}
	if exif != nil {
		bare = binary.LittleEndian.AppendUint32(append(bare, "EXIF"...), uint32(len(exif)))
		bare = append(bare, exif...) // an even number of bytes
	}
	if len(bare)%2 == 1 {
		bare = append(bare, 0)
	}
	binary.LittleEndian.PutUint32(bare[4:], uint32(len(bare)-8))
	if end < len(data) {
		taken = append(taken, takenBehind)
	}
	return bare, taken
}

// appendChunk puts a chunk behind others.
func appendChunk(out []byte, name string, body []byte) []byte {
	out = binary.BigEndian.AppendUint32(out, uint32(len(body)))
	start := len(out)
	out = append(append(out, name...), body...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(out[start:]))
}
