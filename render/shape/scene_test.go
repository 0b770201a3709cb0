package shape_test

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// The scenes are painted for a canvas of 36 x 24 in at 25 pixels an inch.
const (
	sceneWidth, sceneHeight = 900, 600
	perInch                 = 25.0
)

var sceneMapping = place.Mapping{
	Crop:   place.Crop{Width: sceneWidth, Height: sceneHeight},
	Canvas: place.Size{Width: 36 * 25.4, Height: 24 * 25.4},
}

// scenePart is a region of a known scene: what lies where inside says so, in inches,
// over what came before; as light as L* says.
type scenePart struct {
	inside func(x, y float64) bool
	light  func(x, y float64) colour.Lightness
}

func flatTone(l colour.Lightness) func(x, y float64) colour.Lightness {
	return func(x, y float64) colour.Lightness { return l }
}

func everywhere(x, y float64) bool { return true }

func disc(cx, cy, r float64) func(x, y float64) bool {
	return func(x, y float64) bool { return math.Hypot(x-cx, y-cy) < r }
}

func box(left, top, right, bottom float64) func(x, y float64) bool {
	return func(x, y float64) bool { return x >= left && x < right && y >= top && y < bottom }
}

func either(parts ...func(x, y float64) bool) func(x, y float64) bool {
	return func(x, y float64) bool {
		for _, p := range parts {
			if p(x, y) {
				return true
			}
		}
		return false
	}
}

// paintScene is the scene as a camera would see it: sixteen samples of light a pixel
// where parts meet, and sensor noise of a standard deviation in L*. Truth is the part that the
// middle of each pixel lies in.
func paintScene(parts []scenePart, noise float64, seed uint64) (p *photo.Picture, truth []int) {
	p, truth = photo.New(sceneWidth, sceneHeight), make([]int, sceneWidth*sceneHeight)
	r := rand.New(rand.NewPCG(seed, 9))
	at := func(x, y float64) (n int, l colour.Lightness) {
		for k := len(parts) - 1; k >= 0; k-- {
			if parts[k].inside(x, y) {
				return k, parts[k].light(x, y)
			}
		}
		return -1, 0
	}
	for i := range truth {
		x, y := float64(i%sceneWidth), float64(i/sceneWidth)
		truth[i], _ = at((x+0.5)/perInch, (y+0.5)/perInch)
		corners := map[int]bool{}
		for k := range 4 {
			n, _ := at((x+float64(k%2))/perInch, (y+float64(k/2))/perInch)
			corners[n] = true
		}
		_, l := at((x+0.5)/perInch, (y+0.5)/perInch)
		if len(corners) > 1 {
			sum := 0.0
			for k := range 16 {
				_, l := at((x+float64(k%4)/4+0.125)/perInch, (y+float64(k/4)/4+0.125)/perInch)
				sum += float64(l.Luminance())
			}
			l = colour.Luminance(sum / 16).Lightness()
		}
		for k := range 3 {
			p.Pix[4*i+k] = colour.GreyOf(l + colour.Lightness(r.NormFloat64()*noise)).R
		}
		p.Pix[4*i+3] = 255
	}
	return p, truth
}

// flatten flattens a picture of the scenes' size in equal steps.
func flatten(t *testing.T, p *photo.Picture, steps int, squint place.MM) *shape.Hierarchy {
	t.Helper()
	s, err := shape.EqualSteps(steps)
	if err != nil {
		t.Fatal(err)
	}
	squinted, _ := render.SquintedCopy(p, sceneMapping.Canvas, squint, nil) // refuses only what progress refuses
	h, err := shape.Flatten(shape.Scene{
		Plain: p, Squinted: squinted, Labels: shape.StepLabels(squinted, colour.EyeMeter, s),
		Sigma: look.Sigma(float64(squint / sceneMapping.Pixel())),
	}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// overlap is the area that a known part and the shape most of it lies in share,
// of the area that either covers.
func overlap(f *shape.Flat, truth []int, part int) (share float64, id uint32) {
	common := map[uint32]int{}
	area := 0
	for i, k := range truth {
		if k == part {
			area++
			common[f.IDs[i]]++
		}
	}
	most := 0
	for i := range f.Shapes {
		if n := common[uint32(i)]; n > most {
			most, id = n, uint32(i)
		}
	}
	return float64(most) / float64(area+f.Shapes[id].Area-most), id
}

// scenes are known regions under noise, on gradients, with thin necks, holes, and
// tones close to the steps' edges, where a squint draws bands of other steps.
var scenes = map[string][]scenePart{
	"black on white": {
		{everywhere, flatTone(95)},
		{box(6, 5, 16, 15), flatTone(5)},
		{disc(27, 12, 2.5), flatTone(5)},
	},
	"tones beside the edges of steps": {
		{everywhere, flatTone(43)},
		{box(4, 4, 16, 14), flatTone(17)},
		{disc(26, 9, 4), flatTone(84)},
		{box(20, 16, 34, 22), flatTone(63)},
	},
	"gradients within the steps": {
		{everywhere, func(x, y float64) colour.Lightness { return colour.Lightness(44 + x/3) }},
		{disc(10, 11, 6), func(x, y float64) colour.Lightness { return colour.Lightness(36 - y/2) }},
		{box(22, 6, 32, 18), func(x, y float64) colour.Lightness { return colour.Lightness(64 + y/2) }},
	},
	"a gradient across the steps": {
		{everywhere, func(x, y float64) colour.Lightness { return colour.Lightness(10 + x*80/36) }},
		{box(4.5, 0, 36, 24), func(x, y float64) colour.Lightness { return colour.Lightness(10 + x*80/36) }},
		{box(13.5, 0, 36, 24), func(x, y float64) colour.Lightness { return colour.Lightness(10 + x*80/36) }},
		{box(22.5, 0, 36, 24), func(x, y float64) colour.Lightness { return colour.Lightness(10 + x*80/36) }},
		{box(31.5, 0, 36, 24), func(x, y float64) colour.Lightness { return colour.Lightness(10 + x*80/36) }},
	},
	"a thin neck": {
		{everywhere, flatTone(70)},
		{either(disc(9, 12, 5), disc(27, 12, 5), box(9, 11.6, 27, 12.4)), flatTone(30)},
	},
	"a thin neck from black to white": {
		{everywhere, flatTone(92)},
		{either(disc(9, 12, 5), disc(27, 12, 5), box(9, 11.5, 27, 12.5)), flatTone(8)},
	},
	"a ring": {
		{everywhere, flatTone(50)},
		{disc(18, 12, 9), flatTone(10)},
		{disc(18, 12, 5), flatTone(90)},
	},
}

func TestKnownRegionsComeBack(t *testing.T) {
	seed := uint64(0)
	// In a fixed order: the noise of a scene depends on its place.
	for _, name := range slices.Sorted(maps.Keys(scenes)) {
		parts := scenes[name]
		for _, noise := range []float64{0, 3} {
			seed++
			t.Run(fmt.Sprintf("%s, noise %g", name, noise), func(t *testing.T) {
				p, truth := paintScene(parts, noise, seed)
				h := flatten(t, p, 5, 12.7)
				f := h.Smallest(shape.SmallestArea(50.8, sceneMapping))
				if len(f.Shapes) != len(parts) {
					t.Errorf("%d shapes, painted were %d", len(f.Shapes), len(parts))
				}
				seen := map[uint32]bool{}
				for k := range parts {
					share, id := overlap(f, truth, k)
					if share <= 0.98 || seen[id] {
						t.Errorf("part %d comes back as shape %d with an overlap of %.4f", k, id, share)
					}
					seen[id] = true
				}
			})
		}
	}
}
