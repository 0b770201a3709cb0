package pile

import (
	"errors"
	"hash/crc32"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

func equalSteps(t *testing.T, n int) shape.Steps {
	t.Helper()
	s, err := shape.EqualSteps(n)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// find finds the piles of a whole picture.
func find(t *testing.T, p *photo.Picture, n, each int) Piles {
	t.Helper()
	found, err := Find(colour.EyeMeter, p, place.WholeCrop(p.Size()), equalSteps(t, n), each, nil)
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// patch is a rectangle of one colour.
type patch struct {
	c                colour.SRGB
	x, y, wide, high int
}

// painted is a picture of patches, with noise of the given standard deviation
// in codes on every channel.
func painted(width, height int, patches []patch, noise float64) *photo.Picture {
	p, r := photo.New(width, height), rand.New(rand.NewPCG(5, 6))
	code := func(c uint8) byte {
		return byte(min(max(math.Round(float64(c)+noise*r.NormFloat64()), 0), 255))
	}
	for _, a := range patches {
		for y := a.y; y < a.y+a.high; y++ {
			for x := a.x; x < a.x+a.wide; x++ {
				i := 4 * (y*width + x)
				p.Pix[i], p.Pix[i+1], p.Pix[i+2], p.Pix[i+3] = code(a.c.R), code(a.c.G), code(a.c.B), 255
			}
		}
	}
	return p
}

// scene is a picture of nine colours, two or three in each step from the
// second to the fifth of five and none in the first; the smallest patch is 1 %.
var scene = []patch{
	{colour.SRGB{R: 230, G: 222, B: 190}, 0, 0, 400, 90},   // pale straw, L* 88
	{colour.SRGB{R: 205, G: 232, B: 250}, 0, 90, 200, 30},  // sky, L* 90
	{colour.SRGB{R: 226, G: 150, B: 60}, 200, 90, 200, 30}, // orange, L* 69
	{colour.SRGB{R: 120, G: 182, B: 110}, 0, 120, 240, 60}, // leaf, L* 69
	{colour.SRGB{R: 190, G: 70, B: 66}, 240, 120, 160, 30}, // brick, L* 46
	{colour.SRGB{R: 60, G: 110, B: 160}, 240, 150, 120, 50},
	{colour.SRGB{R: 0, G: 130, B: 70}, 360, 150, 40, 20}, // accent, L* 47
	{colour.SRGB{R: 88, G: 66, B: 58}, 0, 180, 240, 60},  // umber, L* 29
	{colour.SRGB{R: 52, G: 62, B: 90}, 240, 200, 160, 40},
	{colour.SRGB{R: 88, G: 66, B: 58}, 360, 170, 40, 30}, // umber again, a smaller patch
}

// Known flat colours under noise come back as piles, as many as there are, each
// within 0.6 of CIEDE2000 and 0.3 % of its area, found inside its largest patch.
func TestPilesOfKnownColours(t *testing.T) {
	areas := map[colour.SRGB]int{}
	for _, a := range scene {
		areas[a.c] += a.wide * a.high
	}
	for _, noise := range []float64{0, 2, 4} {
		found, count := find(t, painted(400, 240, scene, noise), 5, Found), 0
		for _, step := range found.Steps {
			for _, pile := range step.Piles {
				count++
				i := slices.IndexFunc(scene, func(a patch) bool {
					return a.c.Lab().Difference(pile.Colour.Lab()) < 0.6
				})
				if i < 0 {
					t.Errorf("noise %g: the pile %v is no colour of the scene", noise, pile.Colour)
					continue
				}
				a := scene[i]
				want := float64(areas[a.c]) / (400 * 240)
				if math.Abs(pile.Share-want) > 0.003 {
					t.Errorf("noise %g: %v has %.4f of the picture, want %.4f", noise, a.c, pile.Share, want)
				}
				rim := min(pile.At.X-float64(a.x), pile.At.Y-float64(a.y), float64(a.x+a.wide)-pile.At.X, float64(a.y+a.high)-pile.At.Y)
				if rim < 0.3*float64(min(a.wide, a.high)) {
					t.Errorf("noise %g: %v is marked at %v, %.1f from the rim of its patch", noise, a.c, pile.At, rim)
				}
			}
		}
		if count != len(areas) || found.Steps[0].Pixels != 0 || len(found.Steps[0].Piles) != 0 {
			t.Errorf("noise %g: %d piles for %d colours; the empty step has %+v", noise, count, len(areas), found.Steps[0])
		}
	}
}

// What a pile says of itself is what its swatch is by the other readings.
func TestPileTellsItsSwatch(t *testing.T) {
	found := find(t, painted(400, 240, scene, 0), 5, Found)
	for k, step := range found.Steps {
		for _, pile := range step.Piles {
			c := pile.Colour
			if pile.Lightness != c.Lightness() || pile.Munsell != c.Munsell() || pile.Name != colour.Name(c) {
				t.Errorf("%+v is not told as its colour is", pile)
			}
			if s := equalSteps(t, 5).Of(colour.EyeMeter.Read(c.R, c.G, c.B)); s != k+1 {
				t.Errorf("%v lies in step %d and is a pile of step %d", c, s, k+1)
			}
		}
	}
}

// The same picture has the same labels on every machine: their checksum was
// worked out once, on amd64, and is the same in wasm.
func TestPilesAreTheSameEverywhere(t *testing.T) {
	const want = 0x4cffd7fb
	if sum := crc32.ChecksumIEEE(find(t, painted(400, 240, scene, 6), 5, 4).Labels); sum != want {
		t.Errorf("the labels sum to %#x, want %#x", sum, want)
	}
}

func TestPilesRefuse(t *testing.T) {
	p, s := painted(400, 240, scene, 3), equalSteps(t, 5)
	whole := place.WholeCrop(p.Size())
	for _, each := range []int{-1, Most + 1} {
		if _, err := Find(colour.EyeMeter, p, whole, s, each, nil); err == nil {
			t.Errorf("%d piles a step are found", each)
		}
	}
	stop := errors.New("stop")
	calls, last := 0, 0.0
	found, err := Find(colour.EyeMeter, p, whole, s, 3, func(done float64) error {
		if done < last || done > 1 {
			t.Errorf("after %v comes %v", last, done)
		}
		calls, last = calls+1, done
		return nil
	})
	if err != nil || last != 1 || len(found.Labels) != 400*240 {
		t.Errorf("the work ends at %v: %v", last, err)
	}
	for at := range calls {
		n := 0
		_, err := Find(colour.EyeMeter, p, whole, s, 3, func(float64) error {
			if n++; n > at {
				return stop
			}
			return nil
		})
		if !errors.Is(err, stop) || n != at+1 {
			t.Fatalf("stopped at call %d of %d it makes %d calls and ends with %v", at+1, calls, n, err)
		}
	}
	empty, err := Find(colour.EyeMeter, p, place.Crop{X: 3.6, Y: 3.6, Width: 0.2, Height: 0.2}, s, Found, nil)
	if err != nil || empty.Pixels != 0 || len(empty.Steps) != 5 || len(empty.Labels) != 0 {
		t.Errorf("a crop without a pixel gives %+v, %v", empty, err)
	}
}

func BenchmarkFindPiles(b *testing.B) {
	p := painted(1600, 1200, []patch{{colour.SRGB{R: 120, G: 110, B: 100}, 0, 0, 1600, 1200}}, 30)
	s, err := shape.EqualSteps(5)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Find(colour.EyeMeter, p, place.WholeCrop(p.Size()), s, Found, nil); err != nil {
			b.Fatal(err)
		}
	}
}
