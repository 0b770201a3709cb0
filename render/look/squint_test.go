package look

import (
	"math"
	"testing"

	"maulstick/render/colour"
)

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
		got := NewBlur(6).Run(g).Sample(50, 50)
		if want := number(t, row["Lstar_linear"]); math.Abs(float64(got.Lightness())-want) > number(t, row["tolerance"]) {
			t.Errorf("%s and %s at %s: L* %.2f, want %.2f", row["dark"], row["light"], row["light_fraction"], got.Lightness(), want)
		}
	}
}

// TestFlatFieldsStay: a flat field of any code is the same after a squint.
func TestFlatFieldsStay(t *testing.T) {
	for v := range 256 {
		g := Grid{Width: 3, Height: 2, Pix: make([]byte, 24)}
		for i := range 6 {
			copy(g.Pix[4*i:], []byte{byte(v), byte(255 - v), 7, 255})
		}
		got := NewBlur(5).Run(g).Sample(1, 0.5)
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
		if got := g.Sample(x, 0); got.R != want || got.G != want || got.B != want {
			t.Errorf("at %v lies %v, want %d", x, got, want)
		}
	}
}
