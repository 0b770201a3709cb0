package check

import (
	"math"

	"maulstick/render/colour"
)

// shine is light that wet paint or varnish throws back over the paint's own: one soft
// patch, which is white before the lamp.
type shine struct {
	at       [2]float64 // its middle on the canvas, as of a piece
	wide     float64    // standard deviation, parts of half the canvas's longer side
	strength float64    // of white; 0 is none
	tall     float64    // half the canvas's height in those of its width
}

// on is how much light it adds.
func (s shine) on(at [2]float64) float64 {
	if s.strength == 0 {
		return 0
	}
	x, y := at[0]-s.at[0], (at[1]-s.at[1])*s.tall
	long := max(1, s.tall)
	return s.strength * math.Exp(-(x*x+y*y)/(2*s.wide*s.wide*long*long))
}

// lit adds it to paint.
func (s shine) lit(c colour.Linear, at [2]float64) colour.Linear {
	more := s.on(at)
	return colour.Linear{R: c.R + more, G: c.G + more, B: c.B + more}
}

const (
	shineCost = 2.0 // pieces that stray, which a shine has to explain at least
	slipCost  = 1.0 // the same, for a shape that is off as one
)

// findShine looks for a shine that explains what strays, and fits all anew with it; it
// stays where it explains much more than a value or two.
func (f *fitting) findShine(tall float64) {
	plain := f.copied()
	before := f.strays(shine{})
	best, least := shine{}, before
	try := func(s shine) {
		if cost := f.strays(s); cost < least {
			best, least = s, cost
		}
	}
	for _, wide := range []float64{0.15, 0.25} {
		for y := -1.0; y <= 1; y += 0.2 {
			for x := -1.0; x <= 1; x += 0.2 {
				for _, strength := range []float64{0.05, 0.12, 0.25} {
					try(shine{[2]float64{x, y}, wide, strength, tall})
				}
			}
		}
	}
	if best.strength == 0 || before-least < shineCost/2 {
		return
	}
	for range 2 {
		f.sharpenShine(&best, &least)
		f.shine = best
		f.run(0, 12)
		least = f.strays(best)
	}
	if before-least < shineCost {
		*f = *plain
	}
}

// sharpenShine moves, widens and strengthens a shine as long as more is explained.
func (f *fitting) sharpenShine(best *shine, least *float64) {
	step := 0.12
	for range 6 {
		better := false
		for _, way := range []float64{-1, 1} {
			for k := range 4 {
				s := *best
				switch k {
				case 0:
					s.at[0] += way * step
				case 1:
					s.at[1] += way * step
				case 2:
					s.wide = min(max(s.wide*(1+way*2*step), 0.06), 0.5)
				case 3:
					s.strength *= 1 + way*2*step
				}
				if cost := f.strays(s); cost < *least {
					*best, *least, better = s, cost, true
				}
			}
		}
		if !better {
			step /= 2
		}
	}
}

// strays is how many pieces stray, if a shine is taken off. A shape that is off as one
// is dearer than one piece by no more than slipCost.
func (f *fitting) strays(s shine) float64 {
	sum := 0.0
	off := make([]float64, 0, 64)
	for first := 0; first < len(f.pieces); first += f.pieces[first].brothers {
		off = off[:0]
		for i := first; i < first+f.pieces[first].brothers; i++ {
			p := f.pieces[i]
			y := float64(p.ref.Luminance())
			seen := (y+f.shine.on(p.at))*math.Exp(f.gains[i]) - s.on(p.at)
			off = append(off, float64(colour.Luminance(max(seen, 0)).Lightness()-colour.Luminance(y).Lightness()))
		}
		cost := func(from float64) (c float64) {
			for k, o := range off {
				p := f.pieces[first+k]
				r := min(math.Abs(o-from)/(3*f.spread), 1)
				c += (1 - math.Pow(1-r*r, 3)) * p.n / (p.n + manyWhole)
			}
			return c
		}
		sum += min(cost(0), slipCost+cost(median(off)))
	}
	return sum
}
