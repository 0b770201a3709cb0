package photo

import (
	"math"
	"testing"

	"maulstick/render/colour"
)

// pattern is a picture of many colours, other ones for another seed.
func pattern(seed int) *Picture {
	p := New(64, 48)
	for i := range p.Pix {
		p.Pix[i] = uint8(i*i*seed/7 + i*seed)
		if i%4 == 3 {
			p.Pix[i] = 255
		}
	}
	return p
}

// Light is averaged, not codes: black and white half and half are the grey of code 188
// (IEC 61966-2-1: half the light of white).
func TestMixedAveragesLight(t *testing.T) {
	a, b := pattern(3), pattern(11)
	a.Pix[0], b.Pix[0] = 0, 255
	for _, share := range []float64{0, 0.25, 0.5, 1} {
		mixed := Mixed(a, b, share)
		for i := range mixed.Pix {
			want := colour.Encode((1-share)*colour.Decode(a.Pix[i]) + share*colour.Decode(b.Pix[i]))
			if i%4 == 3 {
				want = 255
			}
			if off := int(mixed.Pix[i]) - int(want); off < -1 || off > 1 || share == 0 && mixed.Pix[i] != a.Pix[i] || share == 1 && mixed.Pix[i] != b.Pix[i] {
				t.Fatalf("%v of %d over %d is %d, want %d", share, b.Pix[i], a.Pix[i], mixed.Pix[i], want)
			}
		}
	}
	if half := Mixed(a, b, 0.5).Pix[0]; half != 188 {
		t.Errorf("black and white half and half are %d", half)
	}
}

// The line lies where it is asked for; beyond it each picture is as it was.
func TestDividedShowsBoth(t *testing.T) {
	a, b := pattern(3), pattern(11)
	p := Divided(a, b, 0.25)
	for y := range p.Height {
		for x := range p.Width {
			want := a.At(x, y)
			if x < 16 {
				want = b.At(x, y)
			}
			if p.At(x, y) != want {
				t.Fatalf("at %d, %d it is %v, want %v", x, y, p.At(x, y), want)
			}
		}
	}
}

// A picture with half of the light of another differs by nothing; what alone is lighter
// shows lighter, by as much.
func TestDifferingIsOfLightness(t *testing.T) {
	from, to := New(100, 10), New(100, 10)
	put := func(p *Picture, x, y int, light float64) {
		c := colour.Encode(light)
		copy(p.Pix[4*(y*p.Width+x):], []uint8{c, c, c, 255})
	}
	for y := range 10 {
		for x := range 100 {
			put(from, x, y, 0.4)
			put(to, x, y, 0.2)
		}
	}
	put(to, 50, 5, 0.4)
	p := Differing(from, to)
	if l := float64(p.At(3, 3).Lightness()); math.Abs(l-50) > 1 {
		t.Errorf("as light they show L* %.1f", l)
	}
	want := 50 + float64(colour.Luminance(0.8).Lightness()-colour.Luminance(0.4).Lightness())
	if l := float64(p.At(50, 5).Lightness()); math.Abs(l-want) > 1.5 {
		t.Errorf("twice as light it shows L* %.1f, want %.1f", l, want)
	}
}
