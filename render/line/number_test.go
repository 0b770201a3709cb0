package line

import (
	"math/big"
	"math/rand/v2"
	"testing"
)

// Euclid, Elements VI.30: the whole is to the larger part as the larger is to the
// smaller, here without any rounding.
func TestGoldenSectionIsExact(t *testing.T) {
	whole := fraction(1, 1)
	rest := whole.Sub(section)
	if whole.Mul(rest).Cmp(section.Mul(section)) != 0 {
		t.Errorf("%v and %v are not in extreme and mean ratio", section, rest)
	}
	if got, want := section.Float64(), 0.61803398874989484820; got != want { // OEIS A094214
		t.Errorf("the section is %v, want %v", got, want)
	}
	if got := section.String(); got != "-1/2 + 1/2√5" {
		t.Errorf("the section is spelt %q", got)
	}
}

// Sums, products and signs against 300 bits of floating point.
func TestNumberAgainstFloat(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	five := new(big.Float).SetPrec(300).Sqrt(new(big.Float).SetPrec(300).SetInt64(5))
	float := func(n Number) *big.Float {
		p, q := n.parts()
		f := new(big.Float).SetPrec(300).SetRat(q)
		return f.Add(f.Mul(f, five), new(big.Float).SetPrec(300).SetRat(p))
	}
	pick := func() *big.Rat { return big.NewRat(random.Int64N(2001)-1000, 1+random.Int64N(500)) }
	tiny := new(big.Float).SetMantExp(big.NewFloat(1), -200)
	for range 3000 {
		a, b := Number{pick(), pick()}, Number{pick(), pick()}
		sum, product := new(big.Float).Add(float(a), float(b)), new(big.Float).Mul(float(a), float(b))
		for _, off := range []*big.Float{sum.Sub(sum, float(a.Add(b))), product.Sub(product, float(a.Mul(b)))} {
			if off.Abs(off).Cmp(tiny) > 0 {
				t.Fatalf("%v and %v are off by %v", a, b, off)
			}
		}
		if a.Cmp(b) != float(a).Cmp(float(b)) || a.Sign() != float(a).Sign() {
			t.Fatalf("%v and %v compare as %d, sign %d", a, b, a.Cmp(b), a.Sign())
		}
	}
	// Lucas numbers over Fibonacci numbers close in on √5 from both sides.
	f, l := big.NewInt(0), big.NewInt(2)
	nextF, nextL := big.NewInt(1), big.NewInt(1)
	for i := range 200 {
		f, nextF = nextF, new(big.Int).Add(f, nextF)
		l, nextL = nextL, new(big.Int).Add(l, nextL)
		// L² = 5 F² + 4 (-1)^n: n, here i + 1, odd puts L/F below √5.
		n := Number{new(big.Rat).SetFrac(l, f), big.NewRat(-1, 1)}
		if want := 1 - 2*((i+1)%2); n.Sign() != want {
			t.Fatalf("L%d/F%d - √5 has the sign %d", i+1, i+1, n.Sign())
		}
	}
}
