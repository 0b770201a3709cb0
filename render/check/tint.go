package check

import (
	"math"

	"maulstick/render/colour"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// Colour is the temperature of lights and shadows on the painting against the
// reference, and what became of the opposites. The photograph's balance of white is
// fitted to the reference first, so that a painting warmer all over is not told from
// a photograph that is.
type Colour struct {
	Reference, Painting shape.Lights
	Kept, Lost          []shape.Pair // opposites of the reference
}

// compareColour compares the part of both pictures that both show.
func compareColour(ref, painting lit, v Values, d Drawing, canvas place.Size) (Colour, error) {
	balanced := painting.balanced(v)
	from, to := ref.stored(), balanced.stored()
	whole := place.WholeCrop(from.Size())
	neutral, err := shape.FindNeutral(from, whole, nil)
	if err != nil {
		return Colour{}, err
	}
	t := colour.NewTemperature(neutral.Light)
	var c Colour
	if c.Reference, err = shape.CompareLights(from, whole, t, nil); err != nil {
		return Colour{}, err
	}
	if c.Painting, err = shape.CompareLights(to, whole, t, nil); err != nil {
		return Colour{}, err
	}
	pairs, err := shape.Pairs(from, whole, colour.PaintersWheel, nil)
	if err != nil {
		return Colour{}, err
	}
	painted, err := shape.Pairs(to, whole, colour.PaintersWheel, nil)
	if err != nil {
		return Colour{}, err
	}
	for _, p := range pairs {
		if hasPair(painted, p) {
			c.Kept = append(c.Kept, p)
		} else {
			c.Lost = append(c.Lost, p)
		}
	}
	return c, nil
}

// hasPair says whether a pair of hues is among others, either way round.
func hasPair(pairs []shape.Pair, p shape.Pair) bool {
	for _, q := range pairs {
		a, b := q.Sides[0].Hue, q.Sides[1].Hue
		if a == p.Sides[0].Hue && b == p.Sides[1].Hue || a == p.Sides[1].Hue && b == p.Sides[0].Hue {
			return true
		}
	}
	return false
}

// balanced is the painting with its red and blue light brought, against green, to
// where most shapes of the reference have theirs.
func (l lit) balanced(v Values) lit {
	var reds, blues, greens []float64
	ratio := func(a, b float64) float64 { return math.Log(max(a, 1e-4) / max(b, 1e-4)) }
	for _, s := range v.Shapes {
		reds = append(reds, ratio(s.reference.R, s.stored.R))
		greens = append(greens, ratio(s.reference.G, s.stored.G))
		blues = append(blues, ratio(s.reference.B, s.stored.B))
	}
	gain := [3]float32{float32(math.Exp(median(reds))), float32(math.Exp(median(greens))), float32(math.Exp(median(blues)))}
	out := newLit(l.width, l.height)
	for i, c := range l.rgb {
		out.rgb[i] = c * gain[i%3]
	}
	return out
}
