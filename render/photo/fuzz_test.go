//go:build !js

package photo

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// FuzzDecode holds what decodes to its word on any bytes: an upright picture of the
// size that the header says, opaque, or a refusal with a hint. Large pictures, and
// kinds whose decoders are not ours and slow, are left out.
func FuzzDecode(f *testing.F) {
	for _, name := range []string{
		"jpeg-exif6-II.jpg", "progressive.jpg", "sub-1x4.jpg", "12bit-testorig12.jpg", "cmyk-noadobe.jpg", "ycck-adobe.jpg", "rgb-noadobe-RGBids.jpg",
		"jpeg-icc-p3.jpg", "jpeg-exif-adobergb-noicc.jpg", "jpeg-baseline-trunc10.jpg", "jpeg-progressive-trunc10.jpg", "png-alpha.png", "png-interlaced.png",
		"png-icc-p3.png", "png-gama-chrm-p3.png", "png-cicp-p3.png", "apng.png", "webp-anim.webp", "webp-icc-p3.webp", "webp-lossy-greys.webp", "gif-anim.gif",
		"bmp.bmp", "tiff-6.tif", "tiff-jpeg.tif", "tiff-16bit.tif", "pngsuite/basi3p04.png", "pngsuite/s05i3p02.png",
	} {
		addFile(f, name)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		h, _ := Inspect(data)
		if h.Width > 2000 || h.Height > 2000 || h.Width*h.Height > 250_000 || h.Kind == AVIF || h.Kind == HEIC {
			return
		}
		opened, err := Decode(data)
		if err != nil {
			checkRefusal(t, err, "")
			return
		}
		width, height := h.Upright()
		if opened.Width != width || opened.Height != height || len(opened.Pix) != 4*width*height || opened.Came.Width != width {
			t.Errorf("it is %d x %d, and %d x %d in its header", opened.Width, opened.Height, width, height)
		}
		for i := 3; i < len(opened.Pix); i += 4 {
			if opened.Pix[i] != 255 {
				t.Fatalf("pixel %d is not opaque", i/4)
			}
		}
		for _, note := range opened.Notes {
			if strings.ContainsAny(note, "\n%!") && strings.Contains(note, "%!") || strings.HasSuffix(note, ".") {
				t.Errorf("a note is %q", note)
			}
		}
	})
}

// FuzzMend cuts a file anywhere: what is mended opens, and the share that is missing
// is one.
func FuzzMend(f *testing.F) {
	for _, name := range []string{"jpeg-exif6-II.jpg", "jpeg-untagged.jpg", "progressive.jpg", "sub-1x4.jpg", "greys-jpeg.jpg", "png-interlaced.png", "png-alpha.png", "pngsuite/s09i3p02.png"} {
		data, err := os.ReadFile(filepath.Join(testdata, name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data, uint32(len(data)/2))
		f.Add(data, uint32(len(data)-3))
	}
	f.Fuzz(func(t *testing.T, data []byte, cut uint32) {
		data = data[:min(uint64(cut), uint64(len(data)))]
		h, err := Inspect(data)
		if err != error(errCut) || h.Width > 2000 || h.Height > 2000 || h.Width < 1 {
			return
		}
		whole, m, err := mend(h, data)
		if err != nil {
			checkRefusal(t, err, "")
			return
		}
		if again, err := Inspect(whole); err != nil || again.Width != h.Width || again.Height != h.Height {
			t.Errorf("mended, it is %+v, %v; cut, it is %+v", again, err, h)
		}
		if !(m.share >= 0 && m.share < 1) || (m.share > 0) != (m.missing != nil) || len(m.note(1)) != 1 {
			t.Errorf("%v of it is missing, and the notes are %q", m.share, m.note(1))
		}
	})
}

// FuzzProfile reads any bytes as a colour profile: a space whose light is numbers,
// or a note.
func FuzzProfile(f *testing.F) {
	for _, name := range []string{"jpeg-icc-p3.jpg", "jpeg-icc-adobergb.jpg", "jpeg-icc-prophoto.jpg", "jpeg-icc-truncated.jpg", "webp-icc-swapped-red-green.webp"} {
		data, err := os.ReadFile(filepath.Join(testdata, name))
		if err != nil {
			f.Fatal(err)
		}
		h, err := Inspect(data)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(h.Profile)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, note := profileSpace(data)
		if (s == nil) != (note != "") {
			t.Fatalf("it gives %v with the note %q", s, note)
		}
		if s == nil {
			return
		}
		for _, code := range []uint16{0, 1, 257, 32768, full} {
			r, g, b := s.linear(code, full-code, code/2)
			if math.IsNaN(r + g + b) {
				t.Errorf("code %d gives %v, %v, %v", code, r, g, b)
			}
		}
		s.ordinary()
	})
}

// addFile adds a photograph to what fuzzing begins from.
func addFile(f *testing.F, name string) {
	data, err := os.ReadFile(filepath.Join(testdata, name))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
}
