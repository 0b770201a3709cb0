package card

import (
	"math"
	"slices"
)

// curve turns one channel of stored light into light: a monotone curve through knots,
// in logarithms of both. Through two knots it is gain and gamma.
type curve struct{ x, y, slope []float64 }

// The gammas that a curve goes on with beyond its outermost knots.
const leastGamma, mostGamma = 0.4, 2.5

// newCurve is the curve through knots of rising x and y (F. N. Fritsch and R. E.
// Carlson, Monotone piecewise cubic interpolation, SIAM Journal on Numerical Analysis
// 17:238, 1980, with the harmonic means of Fritsch and J. Butland, SIAM Journal on
// Scientific and Statistical Computing 5:300, 1984).
func newCurve(x, y []float64) curve {
	n := len(x)
	c := curve{x, y, make([]float64, n)}
	rise := func(i int) float64 { return (y[i+1] - y[i]) / (x[i+1] - x[i]) }
	for i := 1; i < n-1; i++ {
		a, b := rise(i-1), rise(i)
		h, g := x[i]-x[i-1], x[i+1]-x[i]
		c.slope[i] = 3 * (h + g) / ((2*g+h)/a + (g+2*h)/b)
	}
	// At the ends as at the end of a parabola, within what stays monotone.
	end := func(i, inner int, own float64) float64 {
		if n == 2 {
			return own
		}
		return min(max((3*own-c.slope[inner])/2, 0), 3*own)
	}
	c.slope[0], c.slope[n-1] = end(0, 1, rise(0)), end(n-1, n-2, rise(n-2))
	return c
}

// at is the curve at a stored light over 0; beyond its ends it goes on straight.
func (c curve) at(light float64) float64 {
	x := math.Log(max(light, 1e-5))
	n := len(c.x)
	held := func(slope float64) float64 { return min(max(slope, leastGamma), mostGamma) }
	switch {
	case x <= c.x[0]:
		return math.Exp(c.y[0] + held(c.slope[0])*(x-c.x[0]))
	case x >= c.x[n-1]:
		return math.Exp(c.y[n-1] + held(c.slope[n-1])*(x-c.x[n-1]))
	}
	i, _ := slices.BinarySearch(c.x, x)
	i--
	h := c.x[i+1] - c.x[i]
	t := (x - c.x[i]) / h
	return math.Exp((1+2*t)*(1-t)*(1-t)*c.y[i] + t*(1-t)*(1-t)*h*c.slope[i] +
		t*t*(3-2*t)*c.y[i+1] + t*t*(t-1)*h*c.slope[i+1])
}
