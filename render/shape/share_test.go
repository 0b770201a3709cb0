package shape

import (
	"strings"
	"testing"
)

func TestSharesSumToAHundred(t *testing.T) {
	for _, c := range []struct {
		parts []float64
		want  string
	}{
		{[]float64{1.0 / 3, 1.0 / 3, 1.0 / 3}, "34 % 33 % 33 %"},
		{[]float64{0.004, 0.996}, "<1 % 100 %"},
		{[]float64{0, 0.5, 0.5, 0}, "none 50 % 50 % none"},
		{[]float64{0.0049, 0.0049, 0.0049, 0.9853}, "<1 % <1 % <1 % 100 %"},
		{[]float64{0.125, 0.125, 0.125, 0.125, 0.125, 0.125, 0.125, 0.125}, "13 % 13 % 13 % 13 % 12 % 12 % 12 % 12 %"},
		{[]float64{0, 0}, "none none"},
		{[]float64{0.006, 0.2005, 0.2005, 0.2005, 0.1905, 0.2, 0.002}, "1 % 20 % 20 % 20 % 19 % 20 % <1 %"},
		{[]float64{0.006, 0.006, 0.006, 0.982}, "1 % 1 % 1 % 97 %"},
	} {
		if got := strings.Join(ShareTexts(c.parts), " "); got != c.want {
			t.Errorf("%v are said as %q, want %q", c.parts, got, c.want)
		}
	}
}
