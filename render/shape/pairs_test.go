package shape

import (
	"math"
	"slices"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// Flat colours side by side: a painter's red-green and orange-blue, a grey, and a
// violet without its yellow. The pairs are those two with their shares, and each
// side's place lies on its own colour.
func TestPairsOfPatches(t *testing.T) {
	colours := []colour.SRGB{{R: 200, G: 30, B: 30}, {R: 20, G: 130, B: 50}, {R: 230, G: 120, B: 20}, {R: 40, G: 95, B: 150}, {R: 128, G: 128, B: 128}, {R: 110, G: 20, B: 110}}
	shares := []float64{0.3, 0.1, 0.15, 0.2, 0.15, 0.1}
	p := patches(400, 300, colours, shares)
	pairs, err := Pairs(p, place.WholeCrop(p.Size()), colour.PaintersWheel, nil)
	if err != nil || len(pairs) != 2 {
		t.Fatalf("pairs %+v, %v", pairs, err)
	}
	want := [2][2]struct {
		hue   string
		index int
	}{{{"blue", 3}, {"orange", 2}}, {{"red", 0}, {"green", 1}}}
	for i, pair := range pairs {
		for j, side := range pair.Sides {
			w := want[i][j]
			if side.Hue != w.hue || math.Abs(side.Share-shares[w.index]) > 0.01 {
				t.Errorf("pair %d, side %d is %s with %.3f, want %s with %.3f", i, j, side.Hue, side.Share, w.hue, shares[w.index])
			}
			if off := side.Colour.Lab().Difference(colours[w.index].Lab()); off > 1.5 {
				t.Errorf("%s is %v, %.2f off %v", side.Hue, side.Colour, off, colours[w.index])
			}
			at := p.At(int(side.Place.X), int(side.Place.Y))
			if off := at.Lab().Difference(colours[w.index].Lab()); off > 3 {
				t.Errorf("%s is to be found at %v, which is %v", side.Hue, side.Place, at)
			}
		}
	}
	painted, err := PaintPairs(p, place.WholeCrop(p.Size()), colour.PaintersWheel, pairs, nil)
	if err != nil || painted.Size() != p.Size() {
		t.Fatal(err)
	}
	if got := painted.At(60, 150); got != p.At(60, 150) {
		t.Errorf("the red is painted %v", got)
	}
	if got := painted.At(380, 150); got.R != got.G || got.G != got.B {
		t.Errorf("the violet, without its opposite, is painted %v", got)
	}
}

// A picture of greys, and one of a single hue, have no pair on any wheel; yellow
// stands against blue as light, and not as paint.
func TestPairsThatAreNotThere(t *testing.T) {
	grey := patches(50, 50, []colour.SRGB{{R: 60, G: 60, B: 60}, {R: 200, G: 200, B: 200}}, []float64{0.5, 0.5})
	reds := patches(50, 50, []colour.SRGB{{R: 200, G: 30, B: 30}, {R: 150, G: 20, B: 20}}, []float64{0.5, 0.5})
	both := patches(50, 50, []colour.SRGB{{R: 230, G: 230, B: 20}, {R: 20, G: 20, B: 230}}, []float64{0.5, 0.5})
	for _, w := range colour.Wheels() {
		for _, p := range []place.Crop{{Width: 50, Height: 50}, {}} {
			if pairs, err := Pairs(grey, p, w, nil); err != nil || len(pairs) != 0 {
				t.Errorf("greys hold %+v, %v", pairs, err)
			}
			if pairs, err := Pairs(reds, p, w, nil); err != nil || len(pairs) != 0 {
				t.Errorf("reds hold %+v, %v", pairs, err)
			}
		}
	}
	if pairs, _ := Pairs(both, place.WholeCrop(both.Size()), colour.AdditiveWheel, nil); len(pairs) != 1 {
		t.Errorf("yellow and blue light are %+v", pairs)
	}
	if pairs, _ := Pairs(both, place.WholeCrop(both.Size()), colour.PaintersWheel, nil); len(pairs) != 0 {
		t.Errorf("yellow and blue paint are %+v", pairs)
	}
}

// In real photographs on every wheel: the sides of a pair are opposite hues, large
// enough, and sit where the photograph is of that hue; all shares together are no
// more than the picture.
func TestPairsInPhotographs(t *testing.T) {
	found := 0
	for name, p := range photographs(t) {
		for _, w := range colour.Wheels() {
			pairs, err := Pairs(p, place.WholeCrop(p.Size()), w, nil)
			if err != nil {
				t.Fatal(err)
			}
			found += len(pairs)
			hues, sum, last := w.Hues(), 0.0, 1.0
			for _, pair := range pairs {
				a, b := pair.Sides[0], pair.Sides[1]
				sum += a.Share + b.Share
				if b.Share < leastSide || a.Share < b.Share || b.Share > last {
					t.Errorf("%s: shares %.4f and %.4f after %.4f", name, a.Share, b.Share, last)
				}
				last = b.Share
				if off := slices.Index(hues, a.Hue) - slices.Index(hues, b.Hue); off*off != len(hues)*len(hues)/4 {
					t.Errorf("%s: %s and %s are not opposite", name, a.Hue, b.Hue)
				}
				for _, side := range pair.Sides {
					turn, ok := w.Turn(meanAbout(p, side.Place))
					if !ok || hues[w.HueOf(turn)] != side.Hue {
						t.Errorf("%s: at %v there is %v, not %s", name, side.Place, meanAbout(p, side.Place), side.Hue)
					}
				}
			}
			if sum > 1+1e-9 {
				t.Errorf("%s: the pairs are %.3f of the picture", name, sum)
			}
		}
	}
	if found < 10 {
		t.Errorf("%d pairs in all", found)
	}
}

// meanAbout is the mean of the whole cell whose centre is at a place.
func meanAbout(p *photo.Picture, at place.PhotoPoint) colour.SRGB {
	side := int(math.Ceil(math.Sqrt(float64(p.Width*p.Height) / mostCells)))
	var sum colour.Linear
	left, top := int(at.X-float64(side)/2), int(at.Y-float64(side)/2)
	for y := top; y < top+side; y++ {
		for x := left; x < left+side; x++ {
			l := p.At(x, y).Linear()
			sum.R, sum.G, sum.B = sum.R+l.R, sum.G+l.G, sum.B+l.B
		}
	}
	n := float64(side * side)
	return colour.Linear{R: sum.R / n, G: sum.G / n, B: sum.B / n}.SRGB()
}
