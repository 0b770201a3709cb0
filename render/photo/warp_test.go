package photo

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/place"
)

// tilted is a case of testdata/warp/cases.json, in whose numbers whole
// coordinates are the centres of pixels.
type tilted struct {
	Corners   [4][2]float64 `json:"src_quad_TL_TR_BR_BL"`
	Size      [2]int        `json:"dst_size"`
	H         [3][3]float64 `json:"H_src_to_dst"`
	Focal     float64       `json:"focal_px"`
	Principal [2]float64    `json:"principal_point"`
	Aspect    float64       `json:"true_aspect"`
	Probes    []struct {
		To   [2]float64 `json:"dst"`
		From [2]float64 `json:"src"`
		RGB  [3]float64 `json:"rgb"`
	} `json:"probes"`
}

// tilt is the one case, its corners and their places in the squared picture.
func tilt(t testing.TB) (c tilted, from, to place.Quad) {
	t.Helper()
	data, err := os.ReadFile("../../testdata/warp/cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []tilted
	if err := json.Unmarshal(data, &cases); err != nil || len(cases) != 1 {
		t.Fatalf("%d cases: %v", len(cases), err)
	}
	c = cases[0]
	w, h := float64(c.Size[0]), float64(c.Size[1])
	for i, corner := range c.Corners {
		from[i] = place.PhotoPoint{X: corner[0] + 0.5, Y: corner[1] + 0.5}
	}
	return c, from, place.Quad{{X: 0.5, Y: 0.5}, {X: w - 0.5, Y: 0.5}, {X: w - 0.5, Y: h - 0.5}, {X: 0.5, Y: h - 0.5}}
}

func load(t testing.TB, name string) *Picture {
	t.Helper()
	data, err := os.ReadFile("../../testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	return p.Picture
}

// squared is what Warp makes of the case.
func squared(t testing.TB) (c tilted, from *Picture, h place.Homography, out *Picture) {
	t.Helper()
	c, corners, to := tilt(t)
	h, err := place.QuadToQuad(corners, to)
	if err != nil {
		t.Fatal(err)
	}
	from = load(t, "warp/citrus-tilted.jpg")
	out, err = Warp(from, h, place.Pixels{Width: c.Size[0], Height: c.Size[1]}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return c, from, h, out
}

// luma is how light a code is as a JPEG stores it (ITU-T T.871), at the
// photograph's full resolution: decoders spread the colours, stored at half of
// it, in ways of their own.
func luma(c colour.SRGB) float64 {
	return 0.299*float64(c.R) + 0.587*float64(c.G) + 0.114*float64(c.B)
}

// mixed reads codes between four pixels, as OpenCV's linear interpolation does.
func mixed(p *Picture, at place.PhotoPoint) (sum float64) {
	x, y := math.Floor(at.X-0.5), math.Floor(at.Y-0.5)
	fx, fy := at.X-0.5-x, at.Y-0.5-y
	for j := range 2 {
		for i := range 2 {
			w := math.Abs(1-float64(i)-fx) * math.Abs(1-float64(j)-fy)
			sum += w * luma(p.At(int(x)+i, int(y)+j))
		}
	}
	return sum
}

// The corners of a print photographed at a slant are solved as OpenCV 4.6 and
// ImageMagick solve them (testdata/warp/cases.json), and every pixel of OpenCV's
// own squared picture is the one that our homography finds: codes read between
// four pixels as OpenCV reads them, at places that it rounds to 1/32 of a pixel.
func TestHomographyMatchesOpenCV(t *testing.T) {
	c, from, h, _ := squared(t)
	half := place.Homography{{1, 0, 0.5}, {0, 1, 0.5}, {0, 0, 1}} // from their pixels to ours
	unhalf, _ := half.Inverse()
	theirs := half.Then(h).Then(unhalf)
	for i := range 3 {
		for j := range 3 {
			if got, want := theirs[i][j]/theirs[2][2], c.H[i][j]; math.Abs(got-want) > 1e-9*max(math.Abs(want), 1) {
				t.Errorf("row %d column %d is %v, want %v", i, j, got, want)
			}
		}
	}
	back, _ := h.Inverse()
	for _, probe := range c.Probes {
		p, ok := back.Apply(place.PhotoPoint{X: probe.To[0] + 0.5, Y: probe.To[1] + 0.5})
		if !ok || math.Abs(p.X-0.5-probe.From[0]) > 6e-5 || math.Abs(p.Y-0.5-probe.From[1]) > 6e-5 {
			t.Errorf("%v comes from %v, want %v", probe.To, p, probe.From)
		}
	}
	want := load(t, "warp/citrus-squared.png")
	sum, worst := 0.0, 0.0
	for y := range want.Height {
		for x := range want.Width {
			p, _ := back.Apply(place.PhotoPoint{X: float64(x) + 0.5, Y: float64(y) + 0.5})
			off := math.Abs(mixed(from, p) - luma(want.At(x, y)))
			sum += off
			worst = max(worst, off)
		}
	}
	mean := sum / float64(want.Width*want.Height)
	if mean > 0.5 || worst > 5 {
		t.Errorf("lumas are %.3f codes off on average, %.2f at worst", mean, worst)
	}
}

// What Warp makes of it is the same picture: in blocks of 8 by 8 pixels, where
// the ways of reading matter little, its light is OpenCV's within a code on
// average, far nearer than a picture one pixel aside.
func TestWarpMatchesOpenCV(t *testing.T) {
	_, _, _, out := squared(t)
	want := load(t, "warp/citrus-squared.png")
	var sum, aside float64 // aside: against OpenCV's picture one pixel to the left
	n := 0
	shifted := New(want.Width, want.Height)
	copy(shifted.Pix, want.Pix[4:])
	block := func(p *Picture, x, y int) float64 {
		var l colour.Linear
		l.R, l.G, l.B = meanLight(p, x, y, 3, 0), meanLight(p, x, y, 3, 1), meanLight(p, x, y, 3, 2)
		return luma(l.SRGB())
	}
	for y := range out.Height/8 - 1 {
		for x := range out.Width/8 - 1 {
			got := block(out, x, y)
			sum += math.Abs(got - block(want, x, y))
			aside += math.Abs(got - block(shifted, x, y))
			n++
		}
	}
	mean, moved := sum/float64(n), aside/float64(n)
	t.Logf("blocks are %.2f codes off on average; a pixel aside they would be %.2f", mean, moved)
	if mean > 1 || mean > moved/3 {
		t.Errorf("blocks are %.2f codes off on average; a pixel aside they would be %.2f", mean, moved)
	}
}

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
