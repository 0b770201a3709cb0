package photo

import (
	"bytes"
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/place"
)

// gathered works one pixel of Warp out anew, from the definition: the tent over
// every pixel of the photograph, its reach by finite differences.
func gathered(p *Picture, back place.Homography, x, y float64) colour.SRGB {
	at := func(x, y float64) place.PhotoPoint { q, _ := back.Apply(place.PhotoPoint{X: x, Y: y}); return q }
	const d = 1e-4
	c, e, w, s, n := at(x, y), at(x+d, y), at(x-d, y), at(x, y+d), at(x, y-d)
	rx := max(math.Hypot(e.X-w.X, s.X-n.X)/(2*d), 1)
	ry := max(math.Hypot(e.Y-w.Y, s.Y-n.Y)/(2*d), 1)
	var sum colour.Linear
	all := 0.0
	for j := range p.Height {
		for i := range p.Width {
			weight := max(1-math.Abs(float64(i)+0.5-c.X)/rx, 0) * max(1-math.Abs(float64(j)+0.5-c.Y)/ry, 0)
			l := p.At(i, j).Linear()
			sum.R, sum.G, sum.B, all = sum.R+weight*l.R, sum.G+weight*l.G, sum.B+weight*l.B, all+weight
		}
	}
	return colour.Linear{R: sum.R / all, G: sum.G / all, B: sum.B / all}.SRGB()
}

// randomQuad is a convex quadrilateral in a picture.
func randomQuad(r *rand.Rand, width, height float64) place.Quad {
	for {
		var q place.Quad
		for i, corner := range (place.Crop{Width: 1, Height: 1}).Corners() {
			q[i] = place.PhotoPoint{X: width * (0.1 + 0.55*corner.X + 0.25*r.Float64()), Y: height * (0.1 + 0.55*corner.Y + 0.25*r.Float64())}
		}
		if q.Check() == nil {
			return q
		}
	}
}

func TestWarpGathersAsDefined(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	p := noisy(60, 47)
	for range 60 {
		q := randomQuad(r, 60, 47)
		size := place.Pixels{Width: 1 + r.IntN(90), Height: 1 + r.IntN(90)}
		h, err := place.QuadToQuad(q, place.WholeCrop(size).Corners())
		if err != nil {
			if size.Width > 90*size.Height || size.Height > 90*size.Width {
				continue
			}
			t.Fatal(err)
		}
		out, err := Warp(p, h, size, nil)
		if err != nil {
			t.Fatal(err)
		}
		back, _ := h.Inverse()
		for range 10 {
			x, y := r.IntN(size.Width), r.IntN(size.Height)
			got, want := out.At(x, y), gathered(p, back, float64(x)+0.5, float64(y)+0.5)
			if apart := max(absent(got.R, want.R), absent(got.G, want.G), absent(got.B, want.B)); apart > 1 {
				t.Fatalf("%v to %v, pixel %d,%d is %v, want %v", q, size, x, y, got, want)
			}
		}
	}
}

// absent is how far two codes lie apart.
func absent(a, b uint8) int { return max(int(a)-int(b), int(b)-int(a)) }

// A picture that is not altered, or turned by quarter turns, keeps every code.
func TestWarpByQuarterTurnsIsExact(t *testing.T) {
	p := noisy(61, 40)
	for tilt, o := range map[place.Degrees]Orientation{0: 1, 90: 6, 180: 3, 270: 8} {
		turn := place.Turn{Photo: p.Size(), Tilt: tilt}
		out, err := Warp(p, turn.Forward(), turn.Size(), nil)
		if err != nil {
			t.Fatal(err)
		}
		if want := o.Apply(p); out.Size() != want.Size() || !bytes.Equal(out.Pix, want.Pix) {
			t.Errorf("turned by %v it is not the picture that Exif %d makes", tilt, o)
		}
	}
}

// Stripes too fine for the new picture fade to their mean light, not to their
// mean code and not to coarse stripes: black and white in equal parts are code
// 188 (IEC 61966-2-1), L* 76.07 (CIE 15), where averaged codes would be 128.
func TestWarpOfFineStripes(t *testing.T) {
	p := New(600, 400)
	for i := range p.Pix {
		p.Pix[i] = uint8(255 * (i / 4 % 2))
	}
	for i := 3; i < len(p.Pix); i += 4 {
		p.Pix[i] = 255
	}
	q := place.Quad{{X: 20, Y: 10}, {X: 580, Y: 30}, {X: 560, Y: 390}, {X: 40, Y: 380}}
	size := place.Pixels{Width: 100, Height: 66}
	h, err := place.QuadToQuad(q, place.WholeCrop(size).Corners())
	if err != nil {
		t.Fatal(err)
	}
	out, err := Warp(p, h, size, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i, code := range out.Pix {
		if i%4 < 3 && absent(code, 188) > 4 {
			t.Fatalf("byte %d is %d, want about 188", i, code)
		}
	}
}

// Waves of light, turned by some degrees, are the same waves turned, to 2 % of
// full light; and what lies beyond the photograph is the grey of lightness 50.
func TestWarpTurnsWaves(t *testing.T) {
	wave := func(x, y float64) float64 { return 0.5 + 0.4*math.Sin(x/6)*math.Cos(y/9) }
	p := New(300, 200)
	for y := range p.Height {
		for x := range p.Width {
			c := colour.Encode(wave(float64(x)+0.5, float64(y)+0.5))
			copy(p.Pix[4*(y*p.Width+x):], []byte{c, c, c, 255})
		}
	}
	turn := place.Turn{Photo: p.Size(), Tilt: 7}
	out, err := Warp(p, turn.Forward(), turn.Size(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if c := out.At(0, 0); c.R != Beyond || math.Round(float64(c.Lightness())) != 50 {
		t.Errorf("beyond the photograph it is %v", c)
	}
	sin, cos := math.Sincos(7 * math.Pi / 180)
	crop := turn.Largest(1.5)
	for y := int(crop.Y) + 1; y < int(crop.Y+crop.Height); y++ {
		for x := int(crop.X) + 1; x < int(crop.X+crop.Width); x++ {
			dx, dy := float64(x)+0.5-float64(out.Width)/2, float64(y)+0.5-float64(out.Height)/2
			want := wave(150+dx*cos+dy*sin, 100-dx*sin+dy*cos)
			if got := colour.Decode(out.At(x, y).R); math.Abs(got-want) > 0.02 {
				t.Fatalf("pixel %d,%d has light %v, want %v", x, y, got, want)
			}
		}
	}
}

func TestWarpTellsProgressAndStops(t *testing.T) {
	p := New(50, 40)
	same := place.Turn{Photo: p.Size()}.Forward()
	last, calls := 0.0, 0
	size := place.Pixels{Width: 2000, Height: 1500}
	_, err := Warp(p, same, size, func(done float64) error {
		if done <= last || done > 1 {
			t.Errorf("%v is told after %v", done, last)
		}
		last = done
		calls++
		return nil
	})
	if err != nil || last != 1 || calls < 3 {
		t.Errorf("%d calls up to %v: %v", calls, last, err)
	}
	stop := errors.New("enough")
	if _, err := Warp(p, same, size, func(float64) error { return stop }); err != stop {
		t.Errorf("stopping gives %v", err)
	}
}

// Rows made a few at a time, and in any order, are those of the whole picture.
func TestWarpingByRows(t *testing.T) {
	p := noisy(61, 40)
	size := place.Pixels{Width: 70, Height: 50}
	h, err := place.QuadToQuad(place.Quad{{X: 5, Y: 4}, {X: 58, Y: 1}, {X: 52, Y: 38}, {X: 9, Y: 36}}, place.WholeCrop(size).Corners())
	if err != nil {
		t.Fatal(err)
	}
	whole, err := Warp(p, h, size, nil)
	if err != nil {
		t.Fatal(err)
	}
	w, err := NewWarping(p, h, size)
	if err != nil {
		t.Fatal(err)
	}
	out := New(size.Width, size.Height)
	for _, top := range []int{49, 35, 0, 20} {
		rows := map[int]int{49: 1, 35: 14, 0: 20, 20: 15}[top]
		w.Rows(top, out.Pix[4*70*top:4*70*(top+rows)])
	}
	if !bytes.Equal(out.Pix, whole.Pix) {
		t.Error("made by rows it is another picture")
	}
}

func TestWarpRefuses(t *testing.T) {
	p := New(5, 5)
	same := place.Turn{Photo: p.Size()}.Forward()
	for _, c := range []struct {
		p    *Picture
		h    place.Homography
		size place.Pixels
	}{
		{p, place.Homography{}, p.Size()},
		{p, same, place.Pixels{Width: 0, Height: 3}},
		{p, same, place.Pixels{Width: 1 << 62, Height: 4}},
		{p, same, place.Pixels{Width: 60_000, Height: 60_000}},
		{New(0, 0), same, p.Size()},
	} {
		var refusal *Refusal
		if _, err := Warp(c.p, c.h, c.size, nil); !errors.As(err, &refusal) || refusal.Help == "" {
			t.Errorf("%v to %v: %v", c.h, c.size, err)
		}
	}
}

func BenchmarkWarp(b *testing.B) {
	p := noisy(4000, 3000)
	turn := place.Turn{Photo: p.Size(), Tilt: 2}
	for b.Loop() {
		if _, err := Warp(p, turn.Forward(), turn.Size(), nil); err != nil {
			b.Fatal(err)
		}
	}
}
