package place_test

import (
	"fmt"
	"math"
	"math/big"
	"testing"

	"maulstick/render/place"
)

// Units in millimetres: NIST SP 811 appendix B gives the inch as 2.54E-02 m and
// the foot as 3.048E-01 m, both exactly; the metric ones are by definition.
func TestUnits(t *testing.T) {
	for u, want := range map[place.Unit]place.MM{
		place.Inch: 25.4, place.Foot: 304.8, place.Centimetre: 10, place.Millimetre: 1, place.Metre: 1000,
	} {
		if u.MM() != want {
			t.Errorf("one %s is %v mm, want %v", u, u.MM(), want)
		}
		if named, ok := place.UnitNamed(u.String()); !ok || named != u {
			t.Errorf("%s is read as %v, %v", u, named, ok)
		}
	}
	if _, ok := place.UnitNamed(""); ok {
		t.Error("no name is a unit")
	}
}

func TestText(t *testing.T) {
	const inch = place.MM(25.4)
	for _, c := range []struct {
		length      place.MM
		unit        place.Unit
		denominator int
		want        string
	}{
		{16.625 * inch, place.Inch, 16, "16 5/8 in"},
		{0.75 * inch, place.Inch, 16, "3/4 in"},
		{0, place.Inch, 16, "0 in"},
		{0.03 * inch, place.Inch, 16, "0 in"},
		{1.0 / 32 * inch, place.Inch, 16, "1/16 in"},      // half a sixteenth goes up
		{15.96875 * inch, place.Inch, 16, "16 in"},        // 15 31/32 carries
		{15.96 * inch, place.Inch, 16, "15 15/16 in"},     // and a little less does not
		{-16.625 * inch, place.Inch, 16, "-16 5/8 in"},    // beyond the edge
		{-1.0 / 32 * inch, place.Inch, 16, "-1/16 in"},    // halves away from zero
		{-0.01 * inch, place.Inch, 16, "0 in"},            // no minus nought
		{16.625 * inch, place.Inch, 4, "16 3/4 in"},       // 16 5/8 lies halfway
		{16.625 * inch, place.Inch, 1, "17 in"},           //
		{16.625 * inch, place.Inch, 0, "17 in"},           // no such denominator
		{16 * inch / 3 * 1, place.Inch, 3, "5 1/3 in"},    //
		{33 * inch, place.Foot, 16, "2 ft 9 in"},          //
		{36 * inch, place.Foot, 16, "3 ft"},               //
		{35.99 * inch, place.Foot, 16, "3 ft"},            // carries through the foot
		{24.5 * inch, place.Foot, 16, "2 ft 1/2 in"},      //
		{9.5 * inch, place.Foot, 16, "9 1/2 in"},          //
		{-33.25 * inch, place.Foot, 16, "-2 ft 9 1/4 in"}, //
		{0, place.Foot, 16, "0 in"},                       //
		{422.275, place.Centimetre, 16, "42.2 cm"},        //
		{422.5, place.Centimetre, 16, "42.3 cm"},          // halves up
		{420, place.Centimetre, 16, "42.0 cm"},            //
		{-0.4, place.Centimetre, 16, "0.0 cm"},            //
		{-0.5, place.Centimetre, 16, "-0.1 cm"},           //
		{99.96, place.Millimetre, 16, "100 mm"},           // carries
		{2.012, place.Millimetre, 16, "2 mm"},             //
		{2.05, place.Millimetre, 16, "2.1 mm"},            //
		{1784.4, place.Metre, 16, "1.784 m"},              //
		{place.MM(math.NaN()), place.Inch, 16, "? in"},    //
		{place.MM(math.Inf(1)), place.Centimetre, 16, "? cm"},
	} {
		if got := place.Text(c.length, c.unit, c.denominator); got != c.want {
			t.Errorf("%v mm in %s to 1/%d is %q, want %q", float64(c.length), c.unit, c.denominator, got, c.want)
		}
	}
}

// Every 64th of an inch up to ten inches, spelt to a 16th, against exact
// fractions rounded half away from zero.
func TestTextAgainstFractions(t *testing.T) {
	for n := int64(0); n <= 640; n++ {
		length, _ := new(big.Rat).Mul(big.NewRat(n, 64), big.NewRat(254, 10)).Float64()
		for _, den := range []int64{1, 2, 4, 8, 16, 32, 64} {
			// floor(n*den/64 + 1/2) parts, in lowest terms by big.Rat.
			parts := (2*n*den + 64) / 128
			whole, rest := parts/den, big.NewRat(parts%den, den)
			want := fmt.Sprintf("%d %s in", whole, rest)
			switch {
			case rest.Sign() == 0:
				want = fmt.Sprintf("%d in", whole)
			case whole == 0:
				want = fmt.Sprintf("%s in", rest)
			}
			if got := place.Text(place.MM(length), place.Inch, int(den)); got != want {
				t.Errorf("%d/64 in to 1/%d is %q, want %q", n, den, got, want)
			}
			if den == 64 {
				if again, _, err := place.ParseLength(want, place.Inch); err != nil || float64(again) != length {
					t.Errorf("%q comes back as %v (%v), want %v", want, again, err, length)
				}
			}
		}
	}
}

func TestSplit(t *testing.T) {
	for _, c := range []struct {
		length place.MM
		unit   place.Unit
		want   place.Parts
	}{
		{-33.5 * 25.4, place.Foot, place.Parts{Negative: true, Feet: 2, Whole: "9", Num: 1, Den: 2, Unit: place.Inch}},
		{0.75 * 25.4, place.Inch, place.Parts{Num: 3, Den: 4, Unit: place.Inch}},
		{7 * 25.4, place.Inch, place.Parts{Whole: "7", Unit: place.Inch}},
		{422, place.Centimetre, place.Parts{Whole: "42.2", Unit: place.Centimetre}},
		{609.6, place.Foot, place.Parts{Feet: 2, Unit: place.Foot}},
	} {
		if got := place.Split(c.length, c.unit, 16); got != c.want {
			t.Errorf("%v in %s is %+v, want %+v", c.length, c.unit, got, c.want)
		}
	}
}

func TestDecimal(t *testing.T) {
	for _, c := range []struct {
		length place.MM
		unit   place.Unit
		digits int
		want   string
	}{
		{16.625 * 25.4, place.Inch, 2, "16.63 in"},
		{-16.625 * 25.4, place.Inch, 2, "-16.63 in"},
		{33 * 25.4, place.Foot, 2, "2.75 ft"},
		{9.996 * 25.4, place.Inch, 2, "10.00 in"},
		{-0.001, place.Inch, 2, "0.00 in"},
		{2.012, place.Millimetre, 1, "2.0 mm"},
		{7.4, place.Millimetre, 0, "7 mm"},
		{7.4, place.Millimetre, -3, "7 mm"},
		{1000.0 / 3, place.Metre, 9, "0.333333333 m"},
	} {
		if got := place.Decimal(c.length, c.unit, c.digits); got != c.want {
			t.Errorf("%v in %s to %d is %q, want %q", c.length, c.unit, c.digits, got, c.want)
		}
	}
}
