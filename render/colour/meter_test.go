package colour_test

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"maulstick/render/colour"
)

// full is FullLight as a plain number.
const full = float64(colour.FullLight)

// All 16,777,216 colours: the whole-number reading is within 2.5 parts in
// FullLight of the weighted linear light (three roundings, and one part more for
// white to be full), and within 0.0001 of its L*.
func TestMeterAgreesOnEveryColour(t *testing.T) {
	const bound = 2.5 / full
	for name, pair := range map[string]struct {
		meter   *colour.Meter
		weights colour.Weights
	}{"eye": {colour.EyeMeter, colour.Eye}, "filter": {colour.FilterMeter, colour.RedFilter}} {
		var worstY, worstL float64
		for r := range 256 {
			for g := range 256 {
				rg := pair.weights.R*colour.Decode(uint8(r)) + pair.weights.G*colour.Decode(uint8(g))
				for b := range 256 {
					y := rg + pair.weights.B*colour.Decode(uint8(b))
					read := pair.meter.Read(uint8(r), uint8(g), uint8(b))
					worstY = max(worstY, math.Abs(float64(read.Luminance())-y))
					off := math.Abs(float64(read.Lightness() - colour.Luminance(y).Lightness()))
					worstL = max(worstL, off)
				}
			}
		}
		if worstY > bound+1e-15 || worstL > 1e-4 {
			t.Errorf("%s: off by up to %g of luminance and %g L*", name, worstY, worstL)
		}
	}
}

// Black is nothing, white is full, and each grey reads as itself.
func TestMeterOnNeutrals(t *testing.T) {
	odd := colour.NewMeter(colour.Weights{R: 1.0 / 3, G: 1.0 / 3, B: 1 - 2.0/3})
	for i, m := range []*colour.Meter{colour.EyeMeter, colour.FilterMeter, odd} {
		if black, white := m.Read(0, 0, 0), m.Read(255, 255, 255); black != 0 || white != colour.FullLight {
			t.Errorf("meter %d: black reads %d, white %d", i, black, white)
		}
		for code := range 256 {
			c := uint8(code)
			if got := m.Read(c, c, c).Grey(); got != c {
				t.Errorf("meter %d: grey %d is shown as %d", i, c, got)
			}
			if code == 0 {
				continue
			}
			if m.R[c] < m.R[c-1] || m.G[c] < m.G[c-1] || m.B[c] < m.B[c-1] {
				t.Errorf("meter %d: falls at code %d", i, c)
			}
		}
	}
}

// The tables come out the same on every machine: no entry lies so near to a half,
// nor a threshold so near to a whole number, that the last bits of a power could
// tip it.
func TestMeterTablesAreSafe(t *testing.T) {
	const margin = 1e-6
	for _, w := range []colour.Weights{colour.Eye, colour.RedFilter, colour.OrangeSheet.Weights(), colour.DeepSheet.Weights()} {
		for code := range 256 {
			for _, weight := range []float64{w.R, w.G, w.B} {
				scaled := weight * colour.Decode(uint8(code)) * full
				if off := math.Abs(scaled - math.Floor(scaled) - 0.5); off < margin {
					t.Errorf("weight %g, code %d: %.9f is too near to a half", weight, code, scaled)
				}
			}
		}
	}
	for k := range 255 {
		scaled := math.Pow(((float64(k)+0.5)/255+0.055)/1.055, 2.4) * full
		if k < 10 {
			scaled = (float64(k) + 0.5) / 255 / 12.92 * full
		}
		if off := math.Abs(scaled - math.Round(scaled)); off < margin {
			t.Errorf("threshold %d: %.9f is too near to a whole number", k, scaled)
		}
	}
}

// exactEdge is the smallest Light at or over a lightness, in exact fractions by
// CIE 15: l*27/24389 up to 8, else ((l+16)/116)^3.
func exactEdge(l *big.Rat) int64 {
	y := new(big.Rat)
	if l.Cmp(big.NewRat(8, 1)) <= 0 {
		y.Mul(l, big.NewRat(27, 24389))
	} else {
		t := new(big.Rat).Add(l, big.NewRat(16, 1))
		t.Mul(t, big.NewRat(1, 116))
		y.Mul(t, t)
		y.Mul(y, t)
	}
	y.Mul(y, big.NewRat(int64(colour.FullLight), 1))
	whole, rest := new(big.Int).QuoRem(y.Num(), y.Denom(), new(big.Int))
	if rest.Sign() > 0 {
		whole.Add(whole, big.NewInt(1))
	}
	return whole.Int64()
}

// Edges of equal steps, and many others, against exact fractions.
func TestEdgeIsExact(t *testing.T) {
	check := func(num, den int64) {
		t.Helper()
		l := big.NewRat(num, den)
		asFloat, _ := l.Float64()
		edge := colour.Edge(colour.Lightness(asFloat))
		if want := exactEdge(l); int64(edge) != want {
			t.Errorf("the edge at lightness %s is %d, want %d", l, edge, want)
		}
		if edge > 0 && (edge-1).Lightness() >= colour.Lightness(asFloat) {
			t.Errorf("%d, under the edge at lightness %s, is at it", edge-1, l)
		}
		if edge.Lightness() < colour.Lightness(asFloat) {
			t.Errorf("the edge at lightness %s is under it", l)
		}
	}
	for n := int64(2); n <= 9; n++ {
		for k := int64(0); k <= n; k++ {
			check(100*k, n)
		}
	}
	for i := int64(0); i <= 2000; i++ {
		check(i, 20)
	}
	if got := colour.Edge(-3); got != 0 {
		t.Errorf("the edge at lightness -3 is %d", got)
	}
	if got := colour.Edge(101); got != colour.FullLight+1 {
		t.Errorf("the edge at lightness 101 is %d, want one that nothing reaches", got)
	}
}

// The grey of a Light is its encoded luminance rounded, and the thresholds give
// the same by eight halvings.
func TestGreyOfLight(t *testing.T) {
	thresholds := colour.GreyThresholds()
	for k, edge := range thresholds {
		if edge.Grey() != uint8(k+1) || (edge-1).Grey() != uint8(k) {
			t.Errorf("threshold %d: %d is shown as %d, %d as %d", k, edge, edge.Grey(), edge-1, (edge - 1).Grey())
		}
		if k > 0 && edge <= thresholds[k-1] {
			t.Errorf("threshold %d does not rise", k)
		}
	}
	random := rand.New(rand.NewPCG(3, 4))
	for range 200_000 {
		l := colour.Light(random.Uint32N(uint32(colour.FullLight) + 1))
		code := 0
		for half := 128; half > 0; half /= 2 {
			if l >= thresholds[code+half-1] {
				code += half
			}
		}
		if int(l.Grey()) != code {
			t.Fatalf("%d is shown as %d, by halving %d", l, l.Grey(), code)
		}
		if exact := 255 * colour.EncodeUnit(float64(l.Luminance())); math.Abs(exact-float64(code)) > 0.5+1e-5 {
			t.Fatalf("%d is shown as %d, exact is %.6f", l, code, exact)
		}
		if again := colour.LightOf(l.Luminance()); again != l {
			t.Fatalf("%d comes back from luminance as %d", l, again)
		}
	}
	if (colour.FullLight+3).Grey() != 255 || colour.LightOf(2) != colour.FullLight || colour.LightOf(-1) != 0 {
		t.Error("what is out of range is not clamped")
	}
}
