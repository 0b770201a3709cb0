package look

import (
	"bytes"
	"math"
	"testing"

	"maulstick/render/colour"
)

// squinted is a grid after a blur.
func squinted(t *testing.T, b Blur, g Grid) Lit {
	t.Helper()
	l, err := b.Run(g, nil)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// sample is the colour of one place.
func sample(from Rows, x, y float64) colour.SRGB {
	pix := make([]byte, 4)
	Patch{Width: 1, Height: 1, StartX: x, StartY: y}.Draw(from, pix, 1)
	return colour.SRGB{R: pix[0], G: pix[1], B: pix[2]}
}

// TestSigma: half a width away the Gaussian is at half its height (its
// definition), and the width of a standard deviation is 2.3548 (handbook value,
// from memory).
func TestSigma(t *testing.T) {
	if got := 1 / Sigma(1); math.Abs(got-2.3548) > 0.00005 {
		t.Errorf("a standard deviation has a width of %.5f", got)
	}
	s := Sigma(10)
	if half := math.Exp(-5 * 5 / (2 * s * s)); math.Abs(half-0.5) > 1e-12 {
		t.Errorf("half a width away the height is %v", half)
	}
}

// TestWeights: weights sum to 1 on both sides together, never rise, and their
// variance is that of the Gaussian within 1 %.
func TestWeights(t *testing.T) {
	for _, sigma := range []float64{0.7, 1, 2.5, 3, 4.4, 6} {
		b := NewBlur(sigma)
		sum, variance := float64(b.Weights[0]), 0.0
		for i := 1; i <= Reach; i++ {
			w := float64(b.Weights[i])
			sum += 2 * w
			variance += 2 * w * float64(i*i)
			if b.Weights[i] > b.Weights[i-1] || (w > 0) != (i <= b.Reach) {
				t.Errorf("sigma %v: weight %d is %v after %v, reach %d", sigma, i, w, b.Weights[i-1], b.Reach)
			}
		}
		if math.Abs(sum-1) > 1e-6 || math.Abs(variance/(sigma*sigma)-1) > 0.01 {
			t.Errorf("sigma %v: sum %v, variance %v", sigma, sum, variance)
		}
	}
	for _, none := range []float64{0, -3, 0.05, math.NaN()} {
		if b := NewBlur(none); b.Reach != 0 || b.Weights[0] != 1 {
			t.Errorf("sigma %v blurs: %+v", none, b)
		}
	}
}

// TestPatternsMeanLight blurs fine patterns of two greys and holds the flat grey
// that is left to the lightness of the mean light (IEC 61966-2-1 and CIE 15; the
// mean of the codes would come out as in the table's third column, and must not).
// Half a code and the ten bits that the passes keep come to under 0.35 L*.
func TestPatternsMeanLight(t *testing.T) {
	for _, row := range table(t, "look/squint_patterns.tsv") {
		dark, light := uint8(number(t, row["dark"])), uint8(number(t, row["light"]))
		every := int(math.Round(20 * number(t, row["light_fraction"])))
		g := Grid{Width: 100, Height: 100, Pix: make([]byte, 4*100*100)}
		for i := range 100 * 100 {
			c := dark
			if (i%5*4+i/100%4)*7%20 < every {
				c = light
			}
			copy(g.Pix[4*i:], []byte{c, c, c, 255})
		}
		got := sample(squinted(t, NewBlur(6), g), 50, 50)
		if want := number(t, row["Lstar_linear"]); math.Abs(float64(got.Lightness())-want) > number(t, row["tolerance"]) {
			t.Errorf("%s and %s at %s: L* %.2f, want %.2f", row["dark"], row["light"], row["light_fraction"], got.Lightness(), want)
		}
	}
}

// TestFlatFieldsStay: a flat field of any code is the same after a squint, and
// white is after any.
func TestFlatFieldsStay(t *testing.T) {
	white := Grid{Width: 3, Height: 2, Pix: bytes.Repeat([]byte{255}, 24)}
	for sigma := 0.1; sigma <= MaxSigma; sigma += 0.01 {
		if got := sample(squinted(t, NewBlur(sigma), white), 1, 0.5); got != (colour.SRGB{R: 255, G: 255, B: 255}) {
			t.Errorf("white is %v after a squint of %v pixels", got, sigma)
		}
	}
	for v := range 256 {
		g := Grid{Width: 3, Height: 2, Pix: make([]byte, 24)}
		for i := range 6 {
			copy(g.Pix[4*i:], []byte{byte(v), byte(255 - v), 7, 255})
		}
		got := sample(squinted(t, NewBlur(5), g), 1, 0.5)
		if want := (colour.SRGB{R: uint8(v), G: uint8(255 - v), B: 7}); got != want {
			t.Errorf("%v is %v after a squint", want, got)
		}
	}
}

// TestSampleBetween: half-way between black and white lies the grey of half the
// light, code 188 (IEC 61966-2-1), not 128; on a pixel lies the pixel.
func TestSampleBetween(t *testing.T) {
	g := Grid{Width: 2, Height: 1, Pix: []byte{0, 0, 0, 255, 255, 255, 255, 255}}
	for x, want := range map[float64]uint8{-3: 0, 0: 0, 0.5: 188, 1: 255, 9: 255} {
		if got := sample(g, x, 0); got.R != want || got.G != want || got.B != want {
			t.Errorf("at %v lies %v, want %d", x, got, want)
		}
	}
}

// TestDrawIsBilinear holds Draw to the bilinear mean of linear light in float64,
// encoded by IEC 61966-2-1: no channel is more than rounding off, for paces that
// enlarge, shrink, mirror, and run over the border.
func TestDrawIsBilinear(t *testing.T) {
	g, n := Grid{Width: 37, Height: 23, Pix: make([]byte, 4*37*23)}, uint32(5)
	for i := range g.Pix {
		n = n*1664525 + 1013904223
		g.Pix[i] = byte(n >> 24)
	}
	for _, p := range []Patch{
		{Width: 90, Height: 70, StartX: -2, StartY: -1.5, PaceX: 0.45, PaceY: 0.37},
		{Width: 30, Height: 20, StartX: 38.2, StartY: 24, PaceX: -1.31, PaceY: -1.27},
		{Width: 37, Height: 23, PaceX: 1, PaceY: 1},
	} {
		screen := make([]byte, 4*p.Width*p.Height)
		p.Draw(g, screen, p.Width)
		for i, got := range screen {
			x, y := p.StartX+p.PaceX*float64(i/4%p.Width), p.StartY+p.PaceY*float64(i/4/p.Width)
			want := 255.0
			if i%4 < 3 {
				want = 255 * colour.EncodeUnit(bilinear(g, x, y, i%4))
			}
			if math.Abs(float64(got)-want) > 0.501 {
				t.Fatalf("%+v: byte %d is %d, want %.3f", p, i, got, want)
			}
		}
	}
}

// bilinear is the light of one channel between the pixels of a grid.
func bilinear(g Grid, x, y float64, channel int) float64 {
	light := func(i, j float64) float64 {
		i, j = min(max(i, 0), float64(g.Width-1)), min(max(j, 0), float64(g.Height-1))
		return colour.Decode(g.Pix[4*(int(j)*g.Width+int(i))+channel])
	}
	i, j := math.Floor(x), math.Floor(y)
	upper := light(i, j)*(i+1-x) + light(i+1, j)*(x-i)
	lower := light(i, j+1)*(i+1-x) + light(i+1, j+1)*(x-i)
	return upper*(j+1-y) + lower*(y-j)
}

// TestPackedKeepsTenBits: what the graphics unit is given of a blurred picture is within
// half of a thousandth of the root of its light.
func TestPackedKeepsTenBits(t *testing.T) {
	lit := newLit(64, 3)
	for i := range lit.Light {
		lit.Light[i] = float32(i*i) / float32(len(lit.Light)*len(lit.Light)-1)
	}
	lit.Light[0], lit.Light[len(lit.Light)-1] = -0.01, 1.01
	pix := lit.Packed()
	for i, light := range lit.Light {
		k := i % channelCount
		p := pix[4*(i/channelCount):]
		root := float64(int(p[k])*4+int(p[3]>>(2*k)&3)) / 1023
		if want := math.Sqrt(float64(min(max(light, 0), 1))); math.Abs(root-want) > 0.5/1023+1e-6 {
			t.Fatalf("the root of light %v is kept as %v, want %v", light, root, want)
		}
	}
}
