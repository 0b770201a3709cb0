package place_test

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"maulstick/render/place"
)

func TestRational(t *testing.T) {
	for _, c := range []struct {
		f    float64
		want *big.Rat
	}{
		{838.2, big.NewRat(4191, 5)}, {1778, big.NewRat(1778, 1)}, {0, new(big.Rat)},
		{422.275, big.NewRat(16891, 40)}, {25.4 / 3, big.NewRat(127, 15)}, {-0.5, big.NewRat(-1, 2)},
	} {
		if got := place.Rational(c.f); got.Cmp(c.want) != 0 {
			t.Errorf("%v is %v, want %v", c.f, got, c.want)
		}
	}
	random := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		f := (random.Float64() - 0.5) * math.Exp(20*random.Float64())
		if got, _ := place.Rational(f).Float64(); got != f {
			t.Fatalf("%v comes back as %v", f, got)
		}
	}
}

// What is painted within a border is as exact as what is typed: widths of 8 to 79 in with
// turnover and margins are the very lengths that their sums are when they are typed.
func TestCompositionsAreExact(t *testing.T) {
	for width := 8; width <= 79; width++ {
		for _, eighths := range []int{2, 4, 6, 8, 12, 13} {
			face := size(t, fmt.Sprintf("%d x 40 in", width))
			by, _, err := place.ParseLength(fmt.Sprintf("%d/8 in", eighths), place.Inch)
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range []struct {
				border place.Border
				sign   int
			}{{place.Border{Turnover: by, TurnoverIn: true}, 1}, {place.Border{Margin: place.Sides{Left: by, Top: by, Right: by, Bottom: by}}, -1}} {
				got, err := c.border.Compose(face)
				if err != nil {
					t.Fatal(err)
				}
				want := size(t, fmt.Sprintf("%d/8 x %d/8 in", 8*width+2*c.sign*eighths, 320+2*c.sign*eighths))
				if got.Size != want {
					t.Fatalf("%d in with %d/8 in are %v, want %v", width, eighths, got.Size, want)
				}
				if back := got.Face(got.Size); back != face {
					t.Fatalf("the canvas of %v is %v, want %v", got.Size, back, face)
				}
			}
		}
	}
}
