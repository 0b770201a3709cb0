package pile

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"maulstick/render/colour"
)

// scattered is points at random.
func scattered(r *rand.Rand, n int) []point {
	points := make([]point, n)
	for i := range points {
		points[i] = point{at: [3]int64{r.Int64N(fine), r.Int64N(fine/2) - fine/4, r.Int64N(fine/2) - fine/4}, count: 1 + r.Int64N(1000)}
	}
	return points
}

// byHand joins the two groups that cost least, trying all pairs each time.
func byHand(all []point, few int) []point {
	for len(all) > few {
		a, b, least := 0, 0, math.Inf(1)
		for i := range all {
			for j := i + 1; j < len(all); j++ {
				if c := cost(&all[i], &all[j]); c < least {
					a, b, least = i, j, c
				}
			}
		}
		all[a] = merge(&all[a], &all[b])
		all = slices.Delete(all, b, b+1)
	}
	return all
}

// Joining by remembered neighbours gives what trying all pairs gives.
func TestJoinEqualsTryingAllPairs(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 1))
	order := func(p, q point) int {
		return slices.Compare(append(p.at[:], p.count), append(q.at[:], q.count))
	}
	for range 200 {
		all, few := scattered(r, 2+r.IntN(60)), 1+r.IntN(8)
		want := byHand(slices.Clone(all), few)
		got := join(slices.Clone(all), few)
		slices.SortFunc(want, order)
		slices.SortFunc(got, order)
		if !slices.Equal(got, want) {
			t.Fatalf("%d points joined to %d give %v, want %v", len(all), few, got, want)
		}
	}
}

// No point lies nearer to another group's middle than to its own, within the
// rounding of middles, and the middles are those of the points.
func TestSettledPointsLieWithTheNearest(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 1))
	for range 50 {
		points := scattered(r, 200)
		group, err := groups(points, 1+r.IntN(Most), 1, func() error { return nil })
		if err != nil {
			t.Fatal(err)
		}
		centres := sumUp(points, group)
		for i := range points {
			own := math.Sqrt(float64(square(&points[i], &centres[group[i]])))
			for c := range centres {
				if other := math.Sqrt(float64(square(&points[i], &centres[c]))); other < own-2 {
					t.Fatalf("point %d lies %g from its own middle and %g from that of group %d", i, own, other, c)
				}
			}
		}
	}
}

// randomStart chooses centres among the points, each with a chance that grows
// with its squared distance from those chosen before.
func randomStart(r *rand.Rand, points []point, n int) []point {
	var centres []point
	for range n {
		chance, sum := make([]float64, len(points)), 0.0
		for i := range points {
			nearest := math.Inf(1)
			for c := range centres {
				nearest = min(nearest, float64(square(&points[i], &centres[c])))
			}
			chance[i] = float64(points[i].count) * min(nearest, 1e18)
			sum += chance[i]
		}
		at := r.Float64() * sum
		chosen := len(points) - 1
		for i, c := range chance {
			if at -= c; at <= 0 {
				chosen = i
				break
			}
		}
		centres = append(centres, points[chosen])
	}
	return centres
}

// Two colours a little nearer than Apart become one pile, a little farther
// two; and one under Least joins another however far it is.
func TestWhenPilesStayApart(t *testing.T) {
	grey := colour.GreyOf(50)
	for _, c := range []struct {
		other colour.SRGB
		apart bool
	}{
		{colour.SRGB{R: 119, G: 119, B: 130}, false},
		{colour.SRGB{R: 119, G: 119, B: 145}, true},
	} {
		off := grey.Lab().Difference(c.other.Lab())
		if (off >= Apart) != c.apart || math.Abs(off-Apart) > 5 {
			t.Fatalf("%v is %.2f from the grey", c.other, off)
		}
		for _, wide := range []int{100, 3, 1} {
			p := painted(400, 10, []patch{{grey, 0, 0, 400, 10}, {c.other, 0, 0, wide, 10}}, 0)
			want := 1
			if c.apart && wide >= 3 { // 3 of 400 columns are 0.75 %, 1 is 0.25 %
				want = 2
			}
			if piles := find(t, p, 2, Found); len(piles.Steps[0].Piles)+len(piles.Steps[1].Piles) != want {
				t.Errorf("%v over %d columns: %+v, want %d piles", c.other, wide, piles.Steps, want)
			}
		}
	}
}
