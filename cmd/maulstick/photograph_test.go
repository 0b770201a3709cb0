package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const photographFolder = "../../testdata/photo/"

// told is a reading in JSON.
func told[T any](t *testing.T, args ...string) (reading T) {
	t.Helper()
	status, out, complaint := ask(append(args, "-json")...)
	if status != 0 {
		t.Fatalf("maulstick %s: %s", strings.Join(args, " "), complaint)
	}
	if err := json.Unmarshal([]byte(out), &reading); err != nil {
		t.Fatalf("%v in %s", err, out)
	}
	return reading
}

// The file is told as it is, and the copy holds no place.
func TestPhotographIsTold(t *testing.T) {
	bare := filepath.Join(t.TempDir(), "bare.jpg")
	p := told[photograph](t, "photo", "-reference", photographFolder+"gps-serial-owner-thumb.jpg", "-bare", bare)
	if p.Kind != "JPEG" || p.Width != 482 || p.Height != 321 || p.WorkWidth != 482 || len(p.Taken) != 2 {
		t.Errorf("it is told as %+v", p)
	}
	data, err := os.ReadFile(bare)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(data), "Exif") {
		t.Error("the copy holds Exif data")
	}
	if q := told[photograph](t, "photo", "-reference", photographFolder+"tiff-6.tif"); q.Kind != "TIFF" || q.Width != 96 || q.Height != 64 || q.Orientation != 6 {
		t.Errorf("a turned TIFF is told as %+v", q)
	}
}

// A photograph too large for the memory is averaged down in light and says so; its
// spots are counted in what is left.
func TestPhotographKeepsToMemory(t *testing.T) {
	p := told[photograph](t, "photo", "-reference", photographFolder+"pano-20000x1000.jpg", "-memory", "20MB")
	if p.Width != 20000 || p.Height != 1000 || p.WorkWidth != 10000 || p.WorkHeight != 500 {
		t.Errorf("20000 x 1000 pixels in 20 MB come to %+v, want 10000 x 500", p)
	}
	if notes := strings.Join(p.Notes, "; "); !strings.Contains(notes, "20000 x 1000") || !strings.Contains(notes, "10000 x 500") || !strings.Contains(notes, "20 MB") {
		t.Errorf("the notes are %q", notes)
	}
	if q := told[photograph](t, "photo", "-reference", photographFolder+"pano-20000x1000.jpg"); q.WorkWidth != 20000 || len(q.Notes) != 0 {
		t.Errorf("with memory to spare it comes to %+v", q)
	}
}

// A spot of a 16-bit file is read in 16 bits: its lower half holds blue 49152 of
// 65535, which 8 bits cannot.
func TestSpotIsReadDeep(t *testing.T) {
	r := told[reading](t, "value", "-reference", photographFolder+"png16.png", "-at", "64,48")
	if len(r.Deep) != 3 || r.Deep[2] != 49152 {
		t.Errorf("16 bits read as %v, want blue 49152", r.Deep)
	}
	// CIE L* of those codes, IEC 61966-2-1 and CIE 15.
	linear := func(code uint16) float64 { return math.Pow((float64(code)/65535+0.055)/1.055, 2.4) }
	y := 0.2126*linear(r.Deep[0]) + 0.7152*linear(r.Deep[1]) + 0.0722*linear(r.Deep[2])
	if want := 116*math.Cbrt(y) - 16; math.Abs(r.Lightness-want) > 0.01 {
		t.Errorf("its lightness is %.4f, want %.4f", r.Lightness, want)
	}
	if s := told[advice](t, "steps", "-reference", photographFolder+"png16.png"); !strings.Contains(strings.Join(s.Notes, ";"), "more than 8 bits") {
		t.Errorf("steps of a 16-bit file notes %q", s.Notes)
	}
}
