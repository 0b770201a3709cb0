package line

import "math/big"

// Number is P + Q√5 exactly, without unit. The golden section is the only
// irrational that a construction here needs, and it lies in this field. A part
// that is nil is 0. Numbers are never changed in place.
type Number struct{ P, Q *big.Rat }

// nought is never changed.
var nought = new(big.Rat)

// parts are P and Q, 0 where they are nil.
func (n Number) parts() (p, q *big.Rat) {
	p, q = n.P, n.Q
	if p == nil {
		p = nought
	}
	if q == nil {
		q = nought
	}
	return p, q
}

// rational is a fraction as a Number.
func rational(p *big.Rat) Number { return Number{P: p} }

// fraction is a/b as a Number.
func fraction(a, b int64) Number { return rational(big.NewRat(a, b)) }

// Add is the sum of two numbers.
func (n Number) Add(m Number) Number { return n.each(m, (*big.Rat).Add) }

// Sub is the difference of two numbers.
func (n Number) Sub(m Number) Number { return n.each(m, (*big.Rat).Sub) }

// each does the same to both parts.
func (n Number) each(m Number, do func(to, a, b *big.Rat) *big.Rat) Number {
	np, nq := n.parts()
	mp, mq := m.parts()
	result := Number{P: do(new(big.Rat), np, mp)}
	if nq.Sign() != 0 || mq.Sign() != 0 {
		result.Q = do(new(big.Rat), nq, mq)
	}
	return result
}

// Mul is the product of two numbers.
func (n Number) Mul(m Number) Number {
	np, nq := n.parts()
	mp, mq := m.parts()
	product := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
	result := Number{P: product(np, mp)}
	switch {
	case nq.Sign() != 0 && mq.Sign() != 0:
		fives := product(nq, mq)
		result.P.Add(result.P, fives.Mul(fives, big.NewRat(5, 1)))
		result.Q = product(np, mq)
		result.Q.Add(result.Q, product(nq, mp))
	case nq.Sign() != 0:
		result.Q = product(nq, mp)
	case mq.Sign() != 0:
		result.Q = product(np, mq)
	}
	return result
}

// over is the number divided by a fraction that is not 0.
func (n Number) over(r *big.Rat) Number {
	return n.Mul(rational(new(big.Rat).Inv(r)))
}

// Sign is -1, 0 or 1.
func (n Number) Sign() int {
	p, q := n.parts()
	switch {
	case q.Sign() == 0 || p.Sign() == q.Sign():
		return p.Sign()
	case p.Sign() == 0:
		return q.Sign()
	}
	// Of opposite signs: the larger part decides. They are never equal, since no
	// fraction squared is 5.
	pp := new(big.Rat).Mul(p, p)
	qq := new(big.Rat).Mul(q, q)
	if pp.Cmp(qq.Mul(qq, big.NewRat(5, 1))) > 0 {
		return p.Sign()
	}
	return q.Sign()
}

// Cmp is -1, 0 or 1 as n is less than, equal to or greater than m.
func (n Number) Cmp(m Number) int {
	np, nq := n.parts()
	mp, mq := m.parts()
	if nq.Sign() == 0 && mq.Sign() == 0 {
		return np.Cmp(mp)
	}
	return n.Sub(m).Sign()
}

// root5 is √5 to 200 bits.
var root5 = new(big.Float).SetPrec(200).Sqrt(big.NewFloat(5).SetPrec(200))

// Float64 is the float64 nearest to the number.
func (n Number) Float64() float64 {
	p, q := n.parts()
	if q.Sign() == 0 {
		f, _ := p.Float64()
		return f
	}
	sum := new(big.Float).SetPrec(200).SetRat(q)
	sum.Mul(sum, root5)
	sum.Add(sum, new(big.Float).SetPrec(200).SetRat(p))
	f, _ := sum.Float64()
	return f
}

// String is the number as "1/3" or "-1/2 + 1/2√5".
func (n Number) String() string {
	p, q := n.parts()
	if q.Sign() == 0 {
		return p.RatString()
	}
	return p.RatString() + " + " + q.RatString() + "√5"
}
