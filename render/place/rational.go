package place

import (
	"math/big"
	"slices"
)

// Rational is the first convergent of f's continued fraction that is f as a
// float64: 838.2 gives 4191/5, the 33 in that were typed, and not the binary
// fraction beside it. f has to be finite. Sums of such fractions are exact.
func Rational(f float64) *big.Rat {
	rest := new(big.Rat).SetFloat64(f)
	numer, denom := big.NewInt(1), big.NewInt(0)
	numerBefore, denomBefore := big.NewInt(0), big.NewInt(1)
	for {
		whole := new(big.Int).Div(rest.Num(), rest.Denom()) // rounds down: the divisor is over 0
		next := func(now, before *big.Int) *big.Int {
			n := new(big.Int).Mul(whole, now)
			return n.Add(n, before)
		}
		numer, numerBefore = next(numer, numerBefore), numer
		denom, denomBefore = next(denom, denomBefore), denom
		convergent := new(big.Rat).SetFrac(numer, denom)
		if near, _ := convergent.Float64(); near == f {
			return convergent
		}
		rest.Sub(rest, new(big.Rat).SetInt(whole))
		rest.Inv(rest) // not 0, or the convergent would be f
	}
}

// plus is the sum of lengths, exact as far as the lengths themselves are: 33 in and
// twice 1 1/2 in are 36 in to the last bit, which sums of float64 are not.
func plus(lengths ...MM) MM {
	lengths = slices.DeleteFunc(lengths, func(l MM) bool { return l == 0 })
	if len(lengths) <= 1 { // as on every canvas without a border
		return append(lengths, 0)[0]
	}
	sum := new(big.Rat)
	for _, l := range lengths {
		sum.Add(sum, Rational(float64(l)))
	}
	total, _ := sum.Float64()
	return MM(total)
}
