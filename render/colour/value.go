package colour

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// astm holds the factors of V, V^2 .. V^5 in the polynomial of ASTM D1535 that
// gives luminance in per cent; 100 per cent is V = 10 exactly.
var astm = [5]float64{1.1914, -0.22533, 0.23352, -0.020484, 0.00081939}

// quintic is the polynomial of ASTM D1535 at a value, in per cent of white, and
// its slope there.
func quintic(v float64) (percent, slope float64) {
	for power := len(astm); power >= 1; power-- {
		slope = slope*v + float64(power)*astm[power-1]
		percent = (percent + astm[power-1]) * v
	}
	return percent, slope
}

// Luminance is the relative luminance of a Munsell value by the polynomial of
// ASTM D1535, white being V = 10. A value outside 0..10 is clamped to it.
func (v Value) Luminance() Luminance {
	if v >= 10 {
		return 1
	}
	percent, _ := quintic(max(float64(v), 0))
	return Luminance(percent / 100)
}

// Value is the Munsell value of a luminance: the polynomial of ASTM D1535
// turned round by Newton's method, to 1e-9 of a value. It rises with luminance;
// what is outside 0..1 is clamped to 0..10.
func (y Luminance) Value() Value {
	switch {
	case !(y > 0):
		return 0
	case y >= 1:
		return 10
	}
	// A tenth of the lightness is never more than 0.11 from the value, near
	// enough for four steps to reach the accuracy of float64; the polynomial
	// rises throughout 0..10, so no step can go astray.
	v := float64(y.Lightness()) / 10
	for range 8 {
		percent, slope := quintic(v)
		step := (percent - 100*float64(y)) / slope
		v -= step
		if math.Abs(step) < 1e-13 {
			break
		}
	}
	return Value(min(max(v, 0), 10))
}

// ParseValue reads a Munsell value from 0 to 10, or, after an L, the CIE lightness that
// is printed on a card, as in L52. The error says what is wrong with it.
func ParseValue(text string) (Value, error) {
	figures, lightness := strings.CutPrefix(strings.ToUpper(strings.TrimSpace(text)), "L")
	n, err := strconv.ParseFloat(strings.TrimSpace(figures), 64)
	switch {
	case err != nil || math.IsNaN(n):
		return 0, fmt.Errorf("%q is no number", text)
	case lightness && (n < 0 || n > 100):
		return 0, fmt.Errorf("%s is no lightness from 0 to 100", text)
	case lightness:
		return Lightness(n).Value(), nil
	case n < 0 || n > 10:
		return 0, fmt.Errorf("%s is no value from 0 to 10", text)
	}
	return Value(n), nil
}
