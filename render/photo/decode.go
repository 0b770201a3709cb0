//go:build !js || darkroom

package photo

import (
	"bytes"
	"fmt"
	"image"
	"image/gif"
	"image/jpeg"

	"golang.org/x/image/bmp"

	"maulstick/render/place"
)

// Opened is a decoded photograph and what the painter should know about it.
type Opened struct {
	*Picture
	Deep  *Deep        // the same, more precisely, where the file is deeper than 8 bits and not divided; else nil
	Came  place.Pixels // the size upright that it came in: the picture's own unless it was divided
	Notes []string     // sentences in lower case without a full stop
}

// Decode opens a photograph from the bytes of its file, at full size.
func Decode(data []byte) (Opened, error) { return DecodeWithin(data, 0) }

// DecodeWithin opens a photograph from the bytes of its file: upright by its
// orientation, in sRGB by its colour profile or what else it says of its colours,
// each held to what sRGB can show; the first picture of an animation. A picture
// that needs more than the memory is averaged in linear light in blocks of n by
// n pixels, n being Memory.Division; decoding needs more memory for a moment,
// and how much follows from the file's header, which is held to MaxSide and
// MaxPixels first. Transparent places lie on white, mixed in sRGB codes as
// browsers do it (W3C Compositing and Blending 1). Codes are those of Chromium
// within 2 but where TestSameAsChromium says why not. A JPEG or PNG that is cut
// off opens as far as it goes. Whatever a file has that is not followed, and
// whatever was done to it, is in the notes. Every error is a *Refusal. In a
// browser the page decodes by the browser's own means instead.
func DecodeWithin(data []byte, memory Memory) (Opened, error) {
	return decodeTo(data, func(size place.Pixels, each int) (int, string) {
		return memory.Division(size, each), fmt.Sprintf(", to keep to %v: pixels are counted on that", memory)
	})
}

// division is by how much a photograph of a size, of so many bytes a pixel, is to be
// divided each way, and the end of the sentence that says so, "" where none is to.
type division func(size place.Pixels, each int) (n int, why string)

// decodeTo is DecodeWithin with the division left to a function.
func decodeTo(data []byte, by division) (Opened, error) {
	header, err := Inspect(data)
	mended := mending{}
	switch cut := err == error(errCut); {
	case cut && plausible(header, data) == nil:
		data, mended, err = mend(header, data)
	case err == nil:
		err = plausible(header, data)
	}
	if err != nil {
		return Opened{}, err
	}
	stored, err := decodeKind(header, data)
	if err != nil {
		return Opened{}, explain(header, err)
	}
	if mended.missing != nil {
		stored = stored.without(mended.missing)
	}
	return opened(header, data, stored, by, mended.note(header.Orientation)), nil
}

// opened develops what was decoded.
func opened(header Header, data []byte, stored source, by division, notes []string) Opened {
	room := darkroom{source: stored, upright: header.Orientation}
	colours, note := declared(header, data)
	if room.space = colours; note != "" {
		notes = append(notes, note)
	}
	if header.Moving {
		notes = append(notes, "this is a moving picture: the one that stands for it is opened")
	}
	o := Opened{Notes: notes}
	o.Came.Width, o.Came.Height = header.Upright()
	each := 4
	if stored.deep {
		each += 6
	}
	n, why := by(o.Came, each)
	room.division = n
	o.Picture, o.Deep = room.develop(stored.deep && room.division == 1)
	if beyond := room.outside.Load(); beyond > 0 {
		o.Notes = append(o.Notes, StrongerNote(float64(beyond)/float64(stored.width*stored.height)))
	}
	if room.division > 1 && why != "" {
		o.Notes = append(o.Notes, fmt.Sprintf("the photograph is %d x %d pixels and was averaged in light to %d x %d, %d by %d to one%s",
			o.Came.Width, o.Came.Height, o.Width, o.Height, room.division, room.division, why))
	}
	return o
}

// decodeKind hands the file to the decoder of its kind. What comes back is as
// large as the header says. Decoders of libraries that give up in a panic, on a
// file made to do harm, have found it damaged.
func decodeKind(h Header, data []byte) (s source, err error) {
	defer func() {
		if recover() != nil {
			s, err = source{}, damaged(h.Kind, "its decoder gave it up")
		}
	}()
	by := chromaJPEG
	var m image.Image
	switch h.Kind {
	case JPEG:
		return decodeJPEG(h, data)
	case PNG:
		m, err = decodePNG(data)
	case WebP:
		return decodeWebP(h, data)
	case GIF:
		m, err = gif.Decode(bytes.NewReader(data))
	case BMP:
		m, err = bmp.Decode(bytes.NewReader(data))
	case TIFF:
		m, err = decodeTIFF(data)
	case AVIF:
		m, err = decodeAVIF(data)
	case HEIC:
		if m, err = unpack(HEIC, data); err == nil {
			by = chromaOf(readNCLX(data))
		}
	default:
		return source{}, h.Unopened()
	}
	if err != nil {
		return source{}, err
	}
	s = sourceOf(m, by)
	if h.Kind == GIF {
		return s.placed(m.Bounds().Min.X, m.Bounds().Min.Y, h.Width, h.Height), nil
	}
	return s, s.holds(h)
}

// holds tells whether the picture is as large as its header said.
func (s source) holds(h Header) error {
	if s.width != h.Width || s.height != h.Height {
		return damaged(h.Kind, fmt.Sprintf("its header says %d x %d pixels, and %d x %d are in it", h.Width, h.Height, s.width, s.height))
	}
	return nil
}

// decodeJPEG decodes a JPEG, whose colours mean what its markers say.
func decodeJPEG(h Header, data []byte) (source, error) {
	plain := !adobeMarked(data)
	if plain && fourColours(data) {
		// image/jpeg wants to be told that four channels are printing inks; under
		// the marker it takes them to be inverted, as Adobe's are.
		data = marked(data, 0)
	} else {
		plain = false
	}
	m, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		if h.Deep || oddlySampled(err) {
			return decodeSequential(data)
		}
		return source{}, err
	}
	if inks, ok := m.(*image.CMYK); ok && plain {
		for i := range inks.Pix {
			inks.Pix[i] = 255 - inks.Pix[i]
		}
	}
	s := sourceOf(m, chromaJPEG)
	return s, s.holds(h)
}
