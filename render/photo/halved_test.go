package photo

import (
	"bytes"
	"testing"

	"maulstick/render/place"
)

// A photograph that is held halved shows, at every level that it has pixels for, what the
// whole one shows; the levels below repeat the pixels that are held. Halving the whole
// photograph's rows is what its own level is.
func TestHalvedPyramidShowsTheSame(t *testing.T) {
	size := place.Pixels{Width: 2201, Height: 1303}
	whole := New(size.Width, size.Height)
	for i := range whole.Pix {
		if whole.Pix[i] = byte(i * i / 977); i%4 == 3 {
			whole.Pix[i] = 255
		}
	}
	of := NewPyramid(whole)
	of.Finish()
	for halved := 1; halved <= 2; halved++ {
		p := NewHalved(size, halved)
		Halve(whole.Pix, size.Width, halved, p.Pix)
		y := NewPyramid(p)
		y.Finish()
		if y.Levels() != of.Levels() || p.Size() != size {
			t.Fatalf("halved %d times it has %d levels and %v, whole %d", halved, y.Levels(), p.Size(), of.Levels())
		}
		for k := range y.Levels() {
			width, height := y.LevelSize(k)
			got, want := make([]byte, 4*width*height), make([]byte, 4*width*height)
			y.Cut(k, 0, 0, width, height, got)
			of.Cut(k, 0, 0, width, height, want)
			switch {
			case y.Rows(k) != height:
				t.Errorf("halved %d times level %d has %d rows of %d", halved, k, y.Rows(k), height)
			case k == halved && !bytes.Equal(got, want):
				t.Errorf("halved %d times level %d is not the whole one's", halved, k)
			case k > halved && !near(inner(got, width), inner(want, width), 2): // each is within a code of the exact mean
				t.Errorf("halved %d times level %d is not near the whole one's", halved, k)
			case k < halved:
				for _, at := range []place.Pixels{{Width: 0, Height: 0}, {Width: width / 2, Height: height / 3}, {Width: width - 1, Height: height - 1}} {
					i := 4 * (at.Height*width + at.Width)
					if c := p.At(at.Width<<k, at.Height<<k); [3]byte{c.R, c.G, c.B} != [3]byte(got[i:i+3]) {
						t.Errorf("halved %d times level %d shows %v at %v, held is %v", halved, k, got[i:i+3], at, c)
					}
				}
			}
		}
	}
}

// inner is a level without its last row and column, where squares count alike that not
// as many pixels exist of.
func inner(pix []byte, width int) (in []byte) {
	for row := pix; len(row) > 4*width; row = row[4*width:] {
		in = append(in, row[:4*(width-1)]...)
	}
	return in
}

// near tells whether codes differ by no more than that.
func near(a, b []byte, most int) bool {
	for i := range a {
		if d := int(a[i]) - int(b[i]); d > most || d < -most {
			return false
		}
	}
	return true
}

func TestHalvings(t *testing.T) {
	for _, c := range []struct {
		size place.Pixels
		most int
		want int
	}{
		{place.Pixels{Width: 8064, Height: 6048}, 60_000_000, 0}, {place.Pixels{Width: 16320, Height: 12240}, 60_000_000, 1},
		{place.Pixels{Width: 16320, Height: 12240}, 30_000_000, 2}, {place.Pixels{Width: 65500, Height: 3200}, 120_000_000, 1},
		{place.Pixels{Width: 1, Height: 1}, 0, 0},
	} {
		if got := Halvings(c.size, c.most); got != c.want {
			t.Errorf("%v is halved %d times to hold %d pixels, want %d", c.size, got, c.most, c.want)
		}
	}
}
