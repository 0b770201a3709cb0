package place_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"maulstick/render/place"
)

// level is a level span, its length known to within a length.
func level(length, within float64) place.Span {
	return place.Span{To: place.CanvasPoint{X: place.MM(length)}, ToWithin: place.MM(within)}
}

func TestComparativeMeasuring(t *testing.T) {
	for _, c := range []struct {
		length, unit, within float64
		want                 string
	}{
		{70, 30, 0.1, "2 1/3"}, {30, 30, 0.1, "1"}, {45, 60, 0.1, "3/4"}, {60, 20, 0.1, "3"},
		{70.2, 30, 1e-6, "a little over 2 1/3"}, {69.8, 30, 1e-6, "a little under 2 1/3"},
		{26.25, 10, 1e-6, "2 5/8"}, {23, 10, 4, "2 1/3"}, {46.5, 10, 2.7, "4 2/3"}, {20.3, 10, 1, "2"}, // the nearest of those that are said, be it never so unsure
		{1, 100, 0.001, "under 1/8"}, {100, 0, 0.1, "?"}, {100, 0.005, 0.1, "?"}, {1e6, 1, 0.1, "?"}, {9, 60, 1e-6, "a little over 1/7"},
	} {
		if got := level(c.length, c.within).In(level(c.unit, 0.1*c.within)).String(); got != c.want {
			t.Errorf("%v in %v is %q, want %q", c.length, c.unit, got, c.want)
		}
	}
}

// Against every fraction up to eighths, tried one by one: what holds is within the
// uncertainty, up to quarters the nearest of those, beyond them the one of the smallest
// denominator; what does not hold is as near as any, and none is within.
func TestFractionsAreHonest(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	for range 20_000 {
		length, unit := 20+500*r.Float64(), 20+100*r.Float64()
		m := level(length, 10*math.Pow(r.Float64(), 6)).In(level(unit, 0))
		if m.Ratio != length/unit {
			t.Fatalf("%v in %v is %v", length, unit, m.Ratio)
		}
		fraction := float64(m.Whole) + float64(m.Num)/float64(m.Den)
		off := math.Abs(m.Ratio - fraction)
		if math.Abs(off-math.Abs(m.Off)) > 1e-12 || m.Holds != (math.Abs(m.Off) <= m.Within) || m.Den > 8 || m.Num >= m.Den && m.Den > 1 {
			t.Fatalf("%v in %v is %+v", length, unit, m)
		}
		for d := 1; d <= 8; d++ {
			for n := int(m.Ratio*float64(d)) - 1; n <= int(m.Ratio*float64(d))+2; n++ {
				other := math.Abs(m.Ratio - float64(n)/float64(d))
				switch {
				case n < 1:
				case m.Holds && m.Den <= 4 && d <= 4 && other < off-1e-9:
					t.Fatalf("%v in %v is %+v, and %d/%d is nearer", length, unit, m, n, d)
				case m.Holds && m.Den > 4 && d < m.Den && other <= m.Within:
					t.Fatalf("%v in %v is %+v, and %d/%d is simpler", length, unit, m, n, d)
				case !m.Holds && other < off-1e-9:
					t.Fatalf("%v in %v is %+v, and %d/%d is nearer", length, unit, m, n, d)
				}
			}
		}
	}
}
