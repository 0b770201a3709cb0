//go:build !js

package photo

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image"
	"image/gif"
	"image/jpeg"
	"image/png"

	"golang.org/x/image/bmp"
	"golang.org/x/image/webp"
)

// Opened is a decoded photograph and what the painter should know about it.
type Opened struct {
	*Picture
	Notes []string // sentences in lower case without a full stop
}

// Decode opens a photograph from the bytes of its file: upright by its Exif
// orientation, 8 bits a colour (deeper ones rounded), the first picture of an
// animation. Transparent places lie on white, mixed in sRGB codes as browsers
// do it (W3C Compositing and Blending 1), so that the page and the command read
// the same. A colour profile other than sRGB is not applied; a note says so.
// Chroma stored at half the resolution is repeated, not interpolated: at
// coloured edges codes may lie a few from a browser's. Every error is a
// *Refusal. In a browser the page decodes by the browser's own means instead.
func Decode(data []byte) (Opened, error) {
	header, err := Inspect(data)
	if err != nil {
		return Opened{}, err
	}
	stored, err := decodeKind(header.Kind, data)
	if err != nil {
		return Opened{}, explain(header.Kind, err)
	}
	picture := New(header.Width, header.Height)
	lay(picture, stored, header.Kind == WebP)
	opened := Opened{Picture: header.Orientation.Apply(picture)}
	if note := profileNote(header); note != "" {
		opened.Notes = append(opened.Notes, note)
	}
	return opened, nil
}

// decodeKind hands the file to the decoder of its kind.
func decodeKind(kind Kind, data []byte) (image.Image, error) {
	switch kind {
	case JPEG:
		return jpeg.Decode(bytes.NewReader(data))
	case PNG:
		return png.Decode(bytes.NewReader(essential(data)))
	case WebP:
		if moving(data) {
			return nil, &Refusal{"this is a moving picture (an animated WebP), which is not opened here", helpJPEG}
		}
		return webp.Decode(bytes.NewReader(data))
	case GIF:
		return gif.Decode(bytes.NewReader(data))
	default:
		return bmp.Decode(bytes.NewReader(data))
	}
}

// moving tells whether a WebP is an animation, by a flag of its extended header
// (RFC 9649, section 2.7), which the decoder does not know.
func moving(data []byte) bool {
	const animation = 0x02
	return len(data) > 20 && string(data[12:16]) == "VP8X" && data[20]&animation != 0
}

// essential is a PNG without the chunks that its pixels do not need: image/png
// refuses the whole picture when the checksum of a remark or a profile is wrong
// (golang/go#43382). The file has been walked by Inspect.
func essential(data []byte) []byte {
	kept := append(make([]byte, 0, len(data)), data[:8]...)
	for rest := data[8:]; len(rest) >= 12; {
		size := 12 + int(binary.BigEndian.Uint32(rest))
		switch string(rest[4:8]) {
		case "IHDR", "PLTE", "tRNS", "IDAT":
			kept = append(kept, rest[:size]...)
		case "IEND":
			return append(kept, rest[:size]...)
		}
		rest = rest[size:]
	}
	return kept
}

// explain puts a decoder's complaint in a painter's words.
func explain(kind Kind, err error) error {
	var refusal *Refusal
	if errors.As(err, &refusal) {
		return refusal
	}
	var jpegSort jpeg.UnsupportedError
	var pngSort png.UnsupportedError
	if errors.As(err, &jpegSort) || errors.As(err, &pngSort) || errors.Is(err, bmp.ErrUnsupported) {
		return &Refusal{"this is an unusual sort of " + kind.String() + " that is not opened here (" + err.Error() + ")", "save it as an ordinary JPEG and open that"}
	}
	return damaged(kind, err.Error())
}
