package photo

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/place"
)

// reduced is a small copy whose rows came some at a time.
func reduced(t *testing.T, p *Picture, part place.Crop, long, rows int) *Picture {
	t.Helper()
	r, err := NewReducing(p.Size(), part, long)
	if err != nil {
		t.Fatal(err)
	}
	for top := 0; top < p.Height; top += rows {
		r.Add(p.Pix[4*p.Width*top : 4*p.Width*min(top+rows, p.Height)])
	}
	return r.Picture()
}

// Every code of a copy is within one of the mean of the light on its pixel, worked out
// here from the areas themselves.
func TestReducingAveragesLight(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 9))
	p := New(97, 61)
	for i := range p.Pix {
		p.Pix[i] = byte(r.UintN(256))
	}
	for _, c := range []struct {
		part          place.Crop
		long          int
		width, height int
	}{
		{place.WholeCrop(p.Size()), 20, 20, 12},
		{place.WholeCrop(p.Size()), 96, 96, 60},
		{place.Crop{X: 10.25, Y: 3.5, Width: 50.5, Height: 57.25}, 33, 29, 33},
		{place.Crop{X: 96.5, Y: 60.25, Width: 0.5, Height: 0.75}, 10, 1, 1},
		{place.Crop{X: 20, Y: 0, Width: 3, Height: 61}, 7, 1, 7},
	} {
		got := reduced(t, p, c.part, c.long, 7)
		if got.Width != c.width || got.Height != c.height {
			t.Fatalf("%+v: the copy is %d x %d", c, got.Width, got.Height)
		}
		for y := range got.Height {
			for x := range got.Width {
				for k := range 3 {
					want := colour.Encode(lightOn(p, c.part, got.Size(), x, y, k))
					if off := int(got.Pix[4*(y*got.Width+x)+k]) - int(want); off < -1 || off > 1 {
						t.Fatalf("%+v: pixel %d, %d is %d codes off", c, x, y, off)
					}
				}
			}
		}
	}
}

// lightOn is the mean light of a channel on one pixel of a copy of that size.
func lightOn(p *Picture, part place.Crop, size place.Pixels, x, y, k int) float64 {
	overlap := func(a0, a1, b0, b1 float64) float64 { return max(min(a1, b1)-max(a0, b0), 0) }
	wide, high := part.Width/float64(size.Width), part.Height/float64(size.Height)
	left, top := part.X+float64(x)*wide, part.Y+float64(y)*high
	sum := 0.0
	for j := range p.Height {
		for i := range p.Width {
			area := overlap(left, left+wide, float64(i), float64(i+1)) * overlap(top, top+high, float64(j), float64(j+1))
			sum += area * colour.Decode(p.Pix[4*(j*p.Width+i)+k])
		}
	}
	return sum / (wide * high)
}

// How the rows come, and how many too many, makes no difference; a copy is never larger
// than its part, and one as large is the part itself.
func TestReducingTakesRowsAsTheyCome(t *testing.T) {
	p := New(40, 30)
	for i := range p.Pix {
		p.Pix[i] = byte(i * 7 / 3)
		if i%4 == 3 {
			p.Pix[i] = 255
		}
	}
	whole := place.WholeCrop(p.Size())
	if got := reduced(t, p, whole, 4000, 1); got.Size() != p.Size() || !slices.Equal(got.Pix, p.Pix) {
		t.Error("a copy as large as the picture is not the picture")
	}
	once := reduced(t, p, whole, 17, 30)
	if !slices.Equal(once.Pix, reduced(t, p, whole, 17, 4).Pix) {
		t.Error("rows that come in strips make another copy")
	}
	r, err := NewReducing(p.Size(), whole, 17)
	if err != nil {
		t.Fatal(err)
	}
	r.Add(append(slices.Clone(p.Pix), p.Pix...))
	if !slices.Equal(once.Pix, r.Picture().Pix) {
		t.Error("rows beyond the last change the copy")
	}
	for _, part := range []place.Crop{{}, {X: 20, Width: 30, Height: 30}, {Width: math.NaN(), Height: 3}} {
		if _, err := NewReducing(p.Size(), part, 17); err == nil {
			t.Errorf("%v is taken for a part", part)
		}
	}
}
