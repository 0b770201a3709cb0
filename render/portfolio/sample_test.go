package portfolio

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math/rand/v2"
	"testing"
	"time"

	"maulstick/render/line"
	"maulstick/render/look"
	"maulstick/render/place"
	"maulstick/render/study"
)

// files are the photographs of the sample by their hashes.
type files map[string][]byte

func (f files) of(hash string) Bytes {
	if data, ok := f[hash]; ok {
		return bytes.NewReader(data)
	}
	return nil
}

// add makes a photograph of noise that no other is like, with a name in it that is to
// be stripped.
func (f files) add(t testing.TB, name string, seed uint64, width, height int) study.Reference {
	t.Helper()
	random := rand.New(rand.NewPCG(7, seed))
	picture := image.NewNRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			picture.Set(x, y, color.NRGBA{uint8(random.Uint32()), uint8(x), uint8(y), 255})
		}
	}
	var out bytes.Buffer
	if err := png.Encode(&out, picture); err != nil {
		t.Fatal(err)
	}
	data := append(out.Bytes(), secret...)
	f[hashOf(data)] = data
	return study.Reference{Name: name, Hash: hashOf(data), Bytes: len(data), Width: width, Height: height}
}

// secret stands for what a camera writes beside the picture, at a file's end.
var secret = []byte("48.2082 N 16.3738 E, camera 1234, A. Painter")

// strip takes the secret out.
func strip(photograph []byte) ([]byte, error) { return bytes.TrimSuffix(photograph, secret), nil }

// sample is a study of three photographs, something in most of its fields.
func sample(t testing.TB) (study.Document, files) {
	t.Helper()
	f := files{}
	d := study.New("sample-1", f.add(t, "Fig <1>.JPEG", 1, 60, 40)).WithName("Fig & bowl")
	size, err := place.ParseSize("36 x 24 in", place.Inch)
	if err != nil {
		t.Fatal(err)
	}
	d = d.WithCanvas(size, "36 x 24 in").WithMark(place.PhotoPoint{X: 10.25, Y: 1.0 / 3}, 1).WithMark(place.PhotoPoint{X: 50, Y: 30}, 0)
	d = d.NamedMark(1, "stalk").WithSpan(1, 2).ComparedWith(1).Parted(2)
	for _, kind := range []line.Kind{line.Diagonals, line.Divide, line.Squares, line.Angled} {
		d = d.WithConstruction(study.NewConstruction(kind, 1))
	}
	d, _, err = d.WithRighting(study.Righting{Corners: []place.PhotoPoint{}, Tilt: 1.5})
	if err != nil {
		t.Fatal(err)
	}
	d = d.WithLook(look.Look{Tone: look.Steps, Filter: true, Steps: 7, Keep: look.KeepDarker, Step: 3, Squint: true, Blur: 12.7})
	d, sky := d.Pinned(f.add(t, "sky.png", 2, 50, 30))
	d = d.TakenUp(sky).WithMark(place.PhotoPoint{X: 5, Y: 3}, 2).TakenUp(1).LaidBeside(sky)
	d = d.WithBorrowing(sky, place.Crop{X: 1, Y: 2, Width: 30, Height: 20}, 1, "the sky\nbut cooler")
	canvas := f.add(t, "", 3, 30, 45)
	return d.WithEntry(time.Date(2026, 3, 4, 5, 6, 7, 0, time.UTC), "block-in", "darks first", &canvas), f
}

// written is the sample as one file.
func written(t testing.TB, d study.Document, o Order) []byte {
	t.Helper()
	pieces, err := Write(d, o)
	if err != nil {
		t.Fatal(err)
	}
	data, err := Joined(pieces, o.Photograph)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// opened opens a file that must be whole.
func opened(t testing.TB, data []byte) Opened {
	t.Helper()
	o, err := Open(bytes.NewReader(data), nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(o.Damage) > 0 {
		t.Fatalf("the file is said to be damaged: %q", o.Damage)
	}
	return o
}

// taken are the photographs that were found in a file.
func taken(t testing.TB, o Opened, data []byte) files {
	t.Helper()
	f := files{}
	for _, found := range o.Photographs {
		whole, err := found.Read(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		f[found.Reference.Hash] = whole
	}
	return f
}
