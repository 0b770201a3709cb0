package survey

import (
	"image"
	"image/draw"
	"image/jpeg"
	"math"
	"os"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// The scene is a photograph of known areas, of which a part is painted: a light
// ground with a dark disc and a middling rectangle, at one pixel a millimetre. Their
// lightnesses by CIE 15 are 90.7, 28.3 and 52.1, in steps 5, 2 and 3 of five.
const (
	sceneWidth, sceneHeight = 360, 260
	discX, discY, discR     = 130.0, 110.0, 40.0
)

var (
	sceneCrop   = place.Crop{X: 30, Y: 20, Width: 300, Height: 200}
	sceneCanvas = place.Size{Width: 300, Height: 200, Unit: place.Millimetre}
	slab        = place.Crop{X: 230, Y: 60, Width: 60, Height: 50}
	ground      = colour.SRGB{R: 234, G: 228, B: 214}
	dark        = colour.SRGB{R: 120, G: 34, B: 40}
	middling    = colour.SRGB{R: 60, G: 138, B: 70}
)

// areas are the scene's, by colour, in square millimetres.
var areas = map[colour.SRGB]float64{
	dark: math.Pi * discR * discR, middling: slab.Width * slab.Height,
	ground: 300*200 - math.Pi*discR*discR - slab.Width*slab.Height,
}

// steps are the steps of five that they lie in.
var steps = map[colour.SRGB]int{dark: 2, middling: 3, ground: 5}

// lies is what of the scene lies at a place of the photograph.
func lies(p place.PhotoPoint) colour.SRGB {
	switch {
	case math.Hypot(p.X-discX, p.Y-discY) < discR:
		return dark
	case slab.Contains(p):
		return middling
	default:
		return ground
	}
}

// scene is the photograph.
func scene() *photo.Picture {
	p := photo.New(sceneWidth, sceneHeight)
	for i := range p.Width * p.Height {
		c := lies(place.PhotoPoint{X: float64(i%p.Width) + 0.5, Y: float64(i/p.Width) + 0.5})
		copy(p.Pix[4*i:], []byte{c.R, c.G, c.B, 255})
	}
	return p
}

// sceneCopy is the copy of its painted part.
func sceneCopy() Copy { return NewCopy(pyramidOf(scene()), 0, 0, 1, sceneCrop) }

// equal is n equal steps.
func equal(t testing.TB, n int) shape.Steps {
	t.Helper()
	s, err := shape.EqualSteps(n)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// about is a question about the scene.
func about(t testing.TB, k Kind) Ask {
	return Ask{Kind: k, Crop: sceneCrop, Canvas: sceneCanvas, Steps: equal(t, 5), Smallest: 8}
}

// answer is the answer to a question about a copy.
func answer(t testing.TB, c Copy, a Ask) Answer {
	t.Helper()
	found, err := New(c).Answer(a, nil)
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// demo is the photograph that the page opens with.
func demo(t testing.TB) *photo.Picture {
	t.Helper()
	file, err := os.Open("../../testdata/photo/fig-in-red-bowl-1800.jpg")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	img, err := jpeg.Decode(file)
	if err != nil {
		t.Fatal(err)
	}
	size := img.Bounds().Size()
	out := image.NewRGBA(image.Rectangle{Max: size})
	draw.Draw(out, out.Rect, img, img.Bounds().Min, draw.Src)
	return &photo.Picture{Width: size.X, Height: size.Y, Pix: out.Pix}
}

// near tells whether two numbers are within a part of the second.
func near(got, want, part float64) bool { return math.Abs(got-want) <= part*math.Abs(want) }

// counted is how many pixels of a picture have each colour.
func counted(p *photo.Picture) map[colour.SRGB]int {
	n := map[colour.SRGB]int{}
	for i := range p.Width * p.Height {
		n[p.At(i%p.Width, i/p.Width)]++
	}
	return n
}
