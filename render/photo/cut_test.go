//go:build !js

package photo

import (
	"bytes"
	"math"
	"strings"
	"testing"
)

// What is there of a file that was cut off is what the whole file has there, and
// what is missing is striped: black and white by turns, eight pixels each.
func TestCutFiles(t *testing.T) {
	for _, c := range []struct {
		cut, whole string
		missing    float64 // share, counted in units of 16 x 16 pixels or in rows
	}{
		{"jpeg-baseline-trunc10.jpg", "jpeg-named.png", 0.81}, {"jpeg-baseline-trunc50.jpg", "jpeg-named.png", 0.43},
		{"jpeg-baseline-trunc99.jpg", "jpeg-named.png", 0.002}, {"png-trunc50.png", "png-named.jpg", 0.44},
	} {
		cut, err := Decode(read(t, c.cut))
		if err != nil {
			t.Fatal(err)
		}
		whole, err := Decode(read(t, c.whole))
		if err != nil {
			t.Fatal(err)
		}
		compareCut(t, c.cut, cut, whole, c.missing)
	}
}

func compareCut(t *testing.T, name string, cut, whole Opened, want float64) {
	striped, strange := 0, 0
	for y := range cut.Height {
		for x := range cut.Width {
			got, real := cut.At(x, y), whole.At(x, y)
			stripe := uint8(0)
			if (x+y)/8%2 == 0 {
				stripe = 255
			}
			switch {
			case got == real:
			case got.R == stripe && got.G == stripe && got.B == stripe:
				striped++
			default:
				strange++
			}
		}
	}
	all := float64(cut.Width * cut.Height)
	if share := float64(striped) / all; math.Abs(share-want) > 0.006 {
		t.Errorf("%s: %.3f of it is striped, want %.3f", name, share, want)
	}
	// Beside what is missing, interpolated chroma know one sample less.
	if most := 2 * (cut.Width + 16); strange > most {
		t.Errorf("%s: %d pixels are neither what the whole file has nor stripes, want %d at most", name, strange, most)
	}
}

// A layered file that is cut shows all of the picture, more coarsely: on average
// it is off the whole by a few codes.
func TestCutLayers(t *testing.T) {
	whole, err := Decode(read(t, "progressive.jpg"))
	if err != nil {
		t.Fatal(err)
	}
	last := 40.0
	for _, name := range []string{"jpeg-progressive-trunc10.jpg", "jpeg-progressive-trunc50.jpg", "jpeg-progressive-trunc90.jpg"} {
		cut, err := Decode(read(t, name))
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for i, v := range whole.Pix {
			sum += math.Abs(float64(v) - float64(cut.Pix[i]))
		}
		mean := sum / float64(3*whole.Width*whole.Height)
		t.Logf("%s is off by %.1f codes on average", name, mean)
		if mean > last {
			t.Errorf("%s is off by %.1f codes on average, more than the one before", name, mean)
		}
		last = mean
	}
	if last > 4 {
		t.Errorf("nine tenths of a file are off by %.1f codes on average", last)
	}
}

// What is missing is named by where it is in the upright picture.
func TestMissingSides(t *testing.T) {
	for o, side := range map[string]string{"1": "lower", "2": "lower", "3": "upper", "4": "upper", "5": "right", "6": "left", "7": "left", "8": "right"} {
		data := read(t, "jpeg-exif"+o+"-II.jpg")
		at := bytes.LastIndexByte(data[:len(data)-60], 0xff)
		opened, err := Decode(data[:max(at+20, len(data)-60)])
		if err != nil {
			t.Fatal(err)
		}
		if note := strings.Join(opened.Notes, "; "); !strings.Contains(note, "the "+side+" ") {
			t.Errorf("orientation %s cut at its end gives %q, want the %s part to be missing", o, note, side)
		}
	}
}
