package render_test

import (
	"bytes"
	"errors"
	"math"
	"testing"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// pyramidOf is a finished pyramid of a picture with the given colours.
func pyramidOf(width, height int, of func(x, y int) uint8) *photo.Pyramid {
	p := photo.New(width, height)
	for i := range width * height {
		grey := of(i%width, i/width)
		copy(p.Pix[4*i:], []byte{grey, grey, grey, 255})
	}
	y := photo.NewPyramid(p)
	y.Finish()
	return y
}

// A crop that has no more pixels than the copy may have is copied as it is.
func TestTabletCopyOfFewPixels(t *testing.T) {
	y := pyramidOf(90, 70, func(x, y int) uint8 { return uint8(x*2 + y) })
	for _, crop := range []place.Crop{{Width: 90, Height: 70}, {X: 10, Y: 20, Width: 30, Height: 40}, {X: 7.5, Y: 3.25, Width: 51, Height: 34}} {
		p := render.TabletCopy(y, crop, 90*70)
		if p.Width != int(crop.Width) || p.Height != int(crop.Height) {
			t.Fatalf("the copy of %v is %d x %d", crop, p.Width, p.Height)
		}
		left, top := int(math.Floor(crop.X+0.5)), int(math.Floor(crop.Y+0.5))
		for i := range p.Width * p.Height {
			x, row := i%p.Width, i/p.Width
			if got, want := p.At(x, row), y.Picture().At(left+x, top+row); got != want {
				t.Fatalf("of %v pixel %d,%d is %v, want %v", crop, x, row, got, want)
			}
		}
	}
}

// A larger one is averaged in linear light: black and white in fine checks make
// half of white's luminance, L* 76.07 by CIE 15, which is code 188 by IEC
// 61966-2-1. No pixel at the border is of another colour.
func TestTabletCopyAveragesLight(t *testing.T) {
	y := pyramidOf(1200, 800, func(x, y int) uint8 { return uint8(255 * ((x + y) & 1)) })
	for _, crop := range []place.Crop{{Width: 1200, Height: 800}, {X: 101.3, Y: 55.5, Width: 1001.5, Height: 666.6}} {
		for _, most := range []int{60_000, 20_000, 7_777} {
			p := render.TabletCopy(y, crop, most)
			if n := p.Width * p.Height; n > most || float64(n) < 0.97*float64(most) {
				t.Errorf("at most %d pixels were asked for, there are %d x %d", most, p.Width, p.Height)
			}
			if off := float64(p.Width)/float64(p.Height)/(crop.Width/crop.Height) - 1; math.Abs(off) > 1/float64(p.Height) {
				t.Errorf("%v is copied as %d x %d", crop, p.Width, p.Height)
			}
			for i := 0; i < len(p.Pix); i += 4 {
				if c := (colour.SRGB{R: p.Pix[i], G: p.Pix[i+1], B: p.Pix[i+2]}); c != (colour.SRGB{R: 188, G: 188, B: 188}) {
					t.Fatalf("of %v at %d pixels one is %v", crop, most, c)
				}
			}
		}
	}
}

// A straight edge between black and white, squinted, has half of white's light in
// its middle and a quarter where the Gaussian's distribution does: 0.6745
// standard deviations away; its full width at half maximum is 2.3548 of them.
func TestSquintedCopy(t *testing.T) {
	p := pyramidOf(400, 300, func(x, y int) uint8 { return uint8(255 * min(x/200, 1)) }).Picture()
	canvas := place.Size{Width: 800, Height: 600} // 2 mm a pixel
	if q, err := render.SquintedCopy(p, canvas, 0, nil); q != p || err != nil {
		t.Error("without a squint the copy is another one")
	}
	for _, width := range []place.MM{10, 40, 100} {
		last := 0.0
		q, err := render.SquintedCopy(p, canvas, width, func(done float64) error {
			if done < last || done > 1 {
				t.Errorf("after %v of the work %v is done", last, done)
			}
			last = done
			return nil
		})
		if err != nil || last != 1 {
			t.Fatalf("squinted by %v mm: %v, with %v of the work done", width, err, last)
		}
		if untold, err := render.SquintedCopy(p, canvas, width, nil); err != nil || !bytes.Equal(q.Pix, untold.Pix) {
			t.Errorf("squinted by %v mm: without telling of progress another picture is made (%v)", width, err)
		}
		light := func(at float64) float64 { // between the middles of two pixels
			x := int(math.Floor(at - 0.5))
			a, b := q.At(x, 150).Linear().G, q.At(x+1, 150).Linear().G
			return a + (b-a)*(at-0.5-float64(x))
		}
		off := 0.6745 * float64(width) / 2 / 2.3548
		for at, want := range map[float64]float64{200: 0.5, 200 - off: 0.25, 200 + off: 0.75} {
			if got := light(at); math.Abs(got-want) > 0.012 {
				t.Errorf("squinted by %v mm, at %.2f there is %.4f of the light, want %v", width, at, got, want)
			}
		}
	}
}

// What progress returns ends the squint, wherever it is.
func TestSquintedCopyEnds(t *testing.T) {
	p, canvas, enough := photo.New(1500, 1200), place.Size{Width: 1500, Height: 1200}, errors.New("enough")
	for _, most := range []float64{0, 0.3, 0.5, 0.7, 0.9} {
		_, err := render.SquintedCopy(p, canvas, 4, func(done float64) error {
			if done > most {
				return enough
			}
			return nil
		})
		if err != enough {
			t.Errorf("ended after %v of the work, it says %v", most, err)
		}
	}
}
