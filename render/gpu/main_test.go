package gpu

import (
	"errors"
	"os"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/photo"
)

// tests runs the whole test binary inside Ebiten's first update, the one place
// where pixels can be drawn and read back. The same tests run natively and in a
// browser: each shows faults that the other hides.
type tests struct {
	m    *testing.M
	code int
}

func (g *tests) Update() error {
	g.code = g.m.Run()
	return ebiten.Termination
}

func (*tests) Draw(*ebiten.Image)         {}
func (*tests) Layout(int, int) (int, int) { return 320, 240 }

func TestMain(m *testing.M) {
	g := &tests{m: m, code: 1}
	ebiten.SetWindowSize(320, 240)
	if err := ebiten.RunGame(g); err != nil && !errors.Is(err, ebiten.Termination) {
		panic(err)
	}
	os.Exit(g.code)
}

func screen(t testing.TB) *Screen {
	t.Helper()
	s, err := New()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// noise is a small generator of its own, the same on every machine.
type noise uint32

func (n *noise) next() byte {
	*n = *n*1664525 + 1013904223
	return byte(*n >> 24)
}

// picture is a photograph of hard edges, noise, ramps and flat fields.
func picture(width, height int) *photo.Pyramid {
	p, n := photo.New(width, height), noise(7)
	for y := range height {
		for x := range width {
			c := p.Pix[4*(y*width+x):][:4]
			switch (x/97 + y/61) % 4 {
			case 0:
				c[0], c[1], c[2] = n.next(), n.next(), n.next()
			case 1:
				c[0], c[1], c[2] = byte(x*255/width), byte(y*255/height), byte((x+y)&255)
			case 2:
				v := byte(255 * ((x ^ y) & 1))
				c[0], c[1], c[2] = v, v, v
			default:
				c[0], c[1], c[2] = byte(x/97*40), byte(y/61*30), 200
			}
			c[3] = 255
		}
	}
	y := photo.NewPyramid(p)
	y.Finish()
	return y
}

// drawn is a plan as the graphics unit draws it once all its tiles are up.
func drawn(t testing.TB, s *Screen, p render.Plan) []byte {
	t.Helper()
	dst := blank(p.Width, p.Height)
	defer dst.Deallocate()
	s.Draw(dst, p)
	for i := 0; s.Upload(); i++ {
		if i > 200 {
			t.Fatal("uploads never end")
		}
	}
	s.Draw(dst, p)
	if !s.Ready(p) {
		t.Fatal("nothing more to put up, and the plan is not ready")
	}
	pix := make([]byte, 4*p.Width*p.Height)
	dst.ReadPixels(pix)
	return pix
}

// apart counts the pixels that differ between two drawings, and their greatest
// difference in a channel, in codes.
func apart(a, b []byte) (unequal, worst int) {
	for i := 0; i < len(a); i += 4 {
		d := 0
		for k := range 4 {
			d = max(d, int(a[i+k])-int(b[i+k]), int(b[i+k])-int(a[i+k]))
		}
		if d > 0 {
			unequal++
		}
		worst = max(worst, d)
	}
	return unequal, worst
}

var surround = colour.SRGB{R: 119, G: 119, B: 119}
