package verdict

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"maulstick/render/check"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// pictureOf decodes a photograph of testdata.
func pictureOf(t *testing.T, name string) *photo.Picture {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", filepath.FromSlash(name)))
	if err != nil {
		t.Fatal(err)
	}
	opened, err := photo.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	return opened.Picture
}

// A check of the painted part alone, reduced beforehand, tells what one of the whole
// reference does, to the last bit; a canvas that was found before is taken as it is.
func TestFiguresAreTheChecks(t *testing.T) {
	reference, painting := pictureOf(t, "photo/fig-in-red-bowl.jpg"), pictureOf(t, "check/fig-on-the-easel.jpg")
	canvas := place.Size{Width: 914.4, Height: 609.6}
	steps, err := shape.EqualSteps(5)
	if err != nil {
		t.Fatal(err)
	}
	crop := place.CentredCrop(reference.Size(), canvas)
	r, err := check.Run(check.Question{Reference: reference, Crop: crop, Painting: painting, Canvas: canvas, Steps: steps})
	if err != nil {
		t.Fatal(err)
	}
	part, err := photo.Reduced(reference, crop, check.Side)
	if err != nil {
		t.Fatal(err)
	}
	ask := Ask{Canvas: canvas, Steps: steps}
	shares := []float64{}
	got, pictures := Check(ask, part, painting, func(share float64) error { shares = append(shares, share); return nil })
	if want := told(r); !reflect.DeepEqual(got, want) || len(got.Slips) == 0 || len(got.Values) == 0 || got.Colour == nil {
		t.Errorf("it tells %+v, want %+v", got, want)
	}
	if !reflect.DeepEqual(pictures, Pictures{r.Painting(), r.Reference()}) || pictures.Painting.Size() != pictures.Reference.Size() {
		t.Error("the pictures are others")
	}
	if len(shares) != 4 || !slices.IsSorted(shares) {
		t.Errorf("progress was told at %v", shares)
	}
	found := Find(ask, painting)
	if found.Canvas != got.Canvas {
		t.Errorf("the canvas is found at %+v, and checked at %+v", found.Canvas, got.Canvas)
	}
	ask.Outline = &found.Canvas
	if again, _ := Check(ask, part, painting, nil); !reflect.DeepEqual(again, got) {
		t.Errorf("with the canvas found before it tells %+v, want %+v", again, got)
	}
}

// A photograph that is held halved is answered in its own pixels.
func TestHalvedPhotographsAreAnsweredInTheirOwnPixels(t *testing.T) {
	painting := pictureOf(t, "check/fig-on-the-easel.jpg")
	small, err := photo.Reduced(painting, place.WholeCrop(painting.Size()), painting.Width/2)
	if err != nil {
		t.Fatal(err)
	}
	halved := &photo.Picture{Width: painting.Width, Height: painting.Height, Halved: 1, Pix: small.Pix}
	canvas := place.Size{Width: 914.4, Height: 609.6}
	whole, half := Find(Ask{Canvas: canvas}, painting), Find(Ask{Canvas: canvas}, halved)
	if !half.Canvas.Found || half.Canvas.Bow.Photo != painting.Size() {
		t.Fatalf("it is found at %+v", half)
	}
	for i, c := range half.Canvas.Corners {
		if w := whole.Canvas.Corners[i]; math.Hypot(c.X-w.X, c.Y-w.Y) > 2 {
			t.Errorf("corner %d is found at %v, and at %v on the whole photograph", i, c, w)
		}
	}
}

// What cannot be told is declined, and a question that makes no sense refused.
func TestDeclinesAndRefuses(t *testing.T) {
	even := photo.New(300, 200)
	for i := range even.Pix {
		even.Pix[i] = 255
	}
	canvas := place.Size{Width: 300, Height: 200}
	if a := Find(Ask{Canvas: canvas}, even); a.Declined == "" || !a.Nothing || a.Help == "" || a.Err != "" {
		t.Errorf("an even photograph is answered with %+v", a)
	}
	steps, err := shape.EqualSteps(5)
	if err != nil {
		t.Fatal(err)
	}
	crossed := Ask{Canvas: canvas, Steps: steps, Corners: []place.PhotoPoint{{X: 10, Y: 10}, {X: 200, Y: 150}, {X: 200, Y: 10}, {X: 10, Y: 150}}}
	if a, p := Check(crossed, even, even, nil); a.Err == "" || p.Painting != nil {
		t.Errorf("crossed corners are answered with %+v", a)
	}
}
