package colour_test

import (
	"math"
	"math/rand/v2"
	"testing"

	colorful "github.com/lucasb-eyer/go-colorful"

	"maulstick/render/colour"
)

// random is a stored colour.
func random(r *rand.Rand) colour.SRGB {
	return colour.SRGB{R: uint8(r.IntN(256)), G: uint8(r.IntN(256)), B: uint8(r.IntN(256))}
}

// OKLab against go-colorful 1.4.1, whose matrices are the earlier ones of 2020:
// they differ by up to 1.2e-4 (and 1.23e-4 in b).
func TestOKLabNearGoColorful(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	var worst float64
	for range 50000 {
		c := random(r)
		l, a, b := colorful.Color{R: float64(c.R) / 255, G: float64(c.G) / 255, B: float64(c.B) / 255}.OkLab()
		got := c.OKLab()
		worst = max(worst, math.Abs(got.L-l), math.Abs(got.A-a), math.Abs(got.B-b))
	}
	if worst > 1.25e-4 || worst == 0 {
		t.Errorf("OKLab is up to %g from go-colorful's, want at most 1.25e-4", worst)
	}
}

// A colour comes back from OKLab as it was.
func TestOKLabReturns(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	for range 50000 {
		c := random(r)
		linear, back := c.Linear(), c.OKLab().Linear()
		off := max(math.Abs(linear.R-back.R), math.Abs(linear.G-back.G), math.Abs(linear.B-back.B))
		if off > 1e-6 || back.SRGB() != c {
			t.Fatalf("%v comes back as %v, %g off", c, back.SRGB(), off)
		}
	}
}

// CIEDE2000 against the 34 pairs that find the usual mistakes, either way round.
func TestDifferenceMatchesSharma(t *testing.T) {
	for _, r := range table(t, "ciede2000_sharma") {
		a := colour.Lab{L: r.number("L1"), A: r.number("a1"), B: r.number("b1")}
		b := colour.Lab{L: r.number("L2"), A: r.number("a2"), B: r.number("b2")}
		r.near("dE00_published", a.Difference(b))
		r.near("dE00_computed", a.Difference(b))
		r.near("dE00_computed", b.Difference(a))
	}
}

// CIEDE2000 against go-colorful 1.4.1 on colours that can be stored, whose way
// through RGB does no harm. Its white shifts b by up to 0.014, which turns the
// hue of a colour of chroma 10 far enough for 0.05 between it and the strongest.
func TestDifferenceNearGoColorful(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	compared := 0
	for range 20000 {
		c, d := random(r), random(r)
		unit := func(c colour.SRGB) colorful.Color {
			return colorful.Color{R: float64(c.R) / 255, G: float64(c.G) / 255, B: float64(c.B) / 255}
		}
		if min(c.Lab().LCh().C, d.Lab().LCh().C) < 10 {
			continue
		}
		compared++
		got, want := c.Lab().Difference(d.Lab()), 100*unit(c).DistanceCIEDE2000(unit(d))
		if math.Abs(got-want) > 0.05 {
			t.Fatalf("%v and %v differ by %g, go-colorful says %g", c, d, got, want)
		}
	}
	if compared < 10000 {
		t.Errorf("only %d pairs were compared", compared)
	}
}

// The hue is true near the axes, where go-colorful returns 0.
func TestHueNearTheAxes(t *testing.T) {
	for _, r := range table(t, "hue_near_axes") {
		r.near("hue_deg", colour.SRGB{R: r.code("R"), G: r.code("G"), B: r.code("B")}.Lab().LCh().Hue)
	}
}

// Polar and rectangular forms return into each other; greys have no hue to speak of.
func TestPolarReturns(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	for range 20000 {
		lab := random(r).Lab()
		polar := lab.LCh()
		back := polar.Lab()
		if math.Abs(back.A-lab.A)+math.Abs(back.B-lab.B) > 1e-11 || polar.Hue < 0 || polar.Hue >= 360 {
			t.Fatalf("%v is %v, which comes back as %v", lab, polar, back)
		}
	}
	if got := (colour.Lab{L: 50}).LCh(); got != (colour.LCh{L: 50}) {
		t.Errorf("a grey in polar form is %v", got)
	}
}
