package photo

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What a file is comes from its bytes; every kind that is not opened is
// refused by its name, with a hint.
func TestKinds(t *testing.T) {
	cases := []struct {
		data string
		want Kind
	}{
		{"%PDF-1.7\n", PDF},
		{"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic", HEIC},
		{"\x00\x00\x00\x1cftypmif1\x00\x00\x00\x00mif1avif\x00\x00\x00\x00", AVIF},
		{"\x00\x00\x00\x14ftypqt  \x00\x00\x00\x00qt  ", Video},
		{"RIFF\x10\x00\x00\x00AVI LIST", Video},
		{"II*\x00\x08\x00\x00\x00", TIFF},
		{"\xff\x0a\xfa\x7f", JPEGXL},
		{"\xef\xbb\xbf<?xml version='1.0'?>\n<!-- drawn -->\n<svg xmlns='http://www.w3.org/2000/svg'/>", SVG},
		{"  <!DOCTYPE html><title>Sign in</title>", Page},
		{"BM, she wrote, was the best of painters", Text},
		{"\x7fELF\x02\x01\x01\x00", Unknown},
		{"RIFF\x00\x00\x00\x00WAVE", Unknown},
	}
	for _, c := range cases {
		header, err := Inspect([]byte(c.data))
		var refusal *Refusal
		if header.Kind != c.want || !errors.As(err, &refusal) || refusal.Help == "" {
			t.Errorf("%q is taken for %v with error %v, want %v refused with a hint", c.data, header.Kind, err, c.want)
		}
	}
}

// Kinds that not every browser opens are told, too: how large they are upright and
// how they lie, as avifdec, heif-convert, tiffinfo and jxlinfo have it.
func TestHeadersOfOtherKinds(t *testing.T) {
	for name, want := range map[string]string{
		"jxl-jpeg-transcode.jxl": "JPEG XL 482 x 321 1", "jxl-exif6.jxl": "JPEG XL 96 x 64 6", "jxl-4by3.jxl": "JPEG XL 640 x 480 1", "jxl-small.jxl": "JPEG XL 40 x 24 1",
		"heic-x265.heic": "HEIC 482 x 321 1", "avif-irot90.avif": "AVIF 96 x 64 8", "avif-imir.avif": "AVIF 96 x 64 4", "avif-10bit-444.avif": "AVIF 482 x 321 1",
		"tiff-5.tif": "TIFF 96 x 64 5", "tiff-jpeg.tif": "TIFF 200 x 133 1",
	} {
		data, err := os.ReadFile("../../testdata/photo/" + name)
		if err != nil {
			t.Fatal(err)
		}
		h, err := Inspect(data)
		width, height := h.Upright()
		if got := fmt.Sprintf("%v %d x %d %d", h.Kind, width, height, h.Orientation); err != nil || got != want || h.Everywhere() {
			t.Errorf("%s is told as %q, %v, want %q, which not every browser opens", name, got, err, want)
		}
		if err := h.Unopened(); Hint(err) == "" || !strings.Contains(err.Error(), h.Kind.String()) {
			t.Errorf("of %s is said %v", name, err)
		}
	}
}

func TestEmptyFile(t *testing.T) {
	_, err := Inspect(nil)
	if err == nil || !strings.Contains(err.Error(), "empty") || Hint(err) == "" {
		t.Errorf("an empty file gives %v", err)
	}
}

func TestSizeLimits(t *testing.T) {
	for _, c := range []struct {
		width, height int
		fits          bool
	}{
		{1, 1, true}, {16320, 12240, true}, {14500, 14500, false}, {65500, 1, true}, {65501, 1, false},
		{0, 5, false}, {5, -1, false}, {65500, 65500, false}, {math.MaxInt32, math.MaxInt32, false},
	} {
		if err := checkSize(c.width, c.height); (err == nil) != c.fits {
			t.Errorf("%d x %d gives %v, want it to fit: %v", c.width, c.height, err, c.fits)
		}
	}
}

// Turning upright is checked on a picture whose pixels tell where they are
// from: by Exif (CIPA DC-008, tag 274) the stored row 0 and column 0 are the
// sides named here.
func TestOrientations(t *testing.T) {
	const w, h = 5, 3
	stored := New(w, h)
	for y := range h {
		for x := range w {
			copy(stored.Pix[4*(y*w+x):], []byte{byte(x), byte(y), 7, 255})
		}
	}
	sides := map[Orientation][2]string{
		1: {"top", "left"}, 2: {"top", "right"}, 3: {"bottom", "right"}, 4: {"bottom", "left"},
		5: {"left", "top"}, 6: {"right", "top"}, 7: {"right", "bottom"}, 8: {"left", "bottom"},
	}
	for o, side := range sides {
		up := o.Apply(stored)
		for i := range w { // along the stored row 0
			if x, y := along(up, side[0], side[1], i); up.At(x, y).R != byte(i) || up.At(x, y).G != 0 {
				t.Errorf("orientation %d: stored (%d, 0) is not at (%d, %d)", o, i, x, y)
			}
		}
		for j := range h { // along the stored column 0
			if x, y := along(up, side[1], side[0], j); up.At(x, y).R != 0 || up.At(x, y).G != byte(j) {
				t.Errorf("orientation %d: stored (0, %d) is not at (%d, %d)", o, j, x, y)
			}
		}
	}
	for _, o := range []Orientation{0, 9, -3} {
		if o.Apply(stored) != stored {
			t.Errorf("orientation %d turns the picture", o)
		}
	}
}

// along is the place i pixels along one side from where it meets the other.
func along(p *Picture, side, from string, i int) (x, y int) {
	at := map[string]int{"left": 0, "top": 0, "right": p.Width - 1, "bottom": p.Height - 1}
	step := map[string]int{"left": 1, "top": 1, "right": -1, "bottom": -1}
	if side == "top" || side == "bottom" {
		return at[from] + i*step[from], at[side]
	}
	return at[side], at[from] + i*step[from]
}

// FuzzInspect holds Inspect to its word on any bytes: a header within the limits
// or a refusal with a hint, and never a panic.
func FuzzInspect(f *testing.F) {
	names, err := filepath.Glob("../../testdata/photo/*.*")
	if err != nil || len(names) == 0 {
		f.Fatal("no photographs to begin from", err)
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data[:min(len(data), 4096)])
		if len(data) < 1000 {
			f.Add(data)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		header, err := Inspect(data)
		if err != nil {
			if Hint(err) == "" || strings.ContainsRune(err.Error(), '\n') {
				t.Errorf("refused without a hint or on two lines: %q", err)
			}
			return
		}
		if Hint(header.Unopened()) == "" || checkSize(header.Width, header.Height) != nil || header.Orientation < 1 || header.Orientation > 8 {
			t.Errorf("let by: %+v", header)
		}
	})
}

// FuzzOrientation reads an orientation out of any bytes, and the same one
// whatever follows the first directory.
func FuzzOrientation(f *testing.F) {
	f.Add([]byte("II*\x00\x08\x00\x00\x00\x01\x00\x12\x01\x03\x00\x01\x00\x00\x00\x06\x00\x00\x00"))
	f.Add([]byte("MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00\x08\x00\x00"))
	f.Add([]byte("MM\x00*\xff\xff\xff\xff\xff\xff"))
	f.Fuzz(func(t *testing.T, data []byte) {
		o := exifOrientation(data)
		if o < 1 || o > 8 {
			t.Errorf("orientation %d", o)
		}
		if o != 1 && exifOrientation(append(bytes.Clone(data), 0xff, 0xff)) != o {
			t.Errorf("orientation %d changes with what follows", o)
		}
	})
}
