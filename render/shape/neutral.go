package shape

import (
	"fmt"
	"math"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// Neutral is what counts as neither warm nor cool in a picture.
type Neutral struct {
	Light colour.Linear // of which only the chromaticity counts
	Found bool          // in the picture, or picked there; else white is taken
	Share float64       // of the picture's light that lies about it, 0..1
}

// The search for a neutral, in units of colour.Cast.
const (
	castMost   = 10  // how far from white a neutral may lie; the light of 5000 K under a balance for 6500 K is 10 off
	castWindow = 4   // how far from a neutral a grey may lie
	castBin    = 0.5 // how finely casts are counted
	castBins   = 2*int((castMost+castWindow)/castBin) + 1
	leastShare = 0.05 // of the picture's light that has to lie about a neutral
)

// FindNeutral finds the neutral of the crop's picture: of the chromaticities that
// are near grey, the one about which most light lies (a grey-point method, after
// Huo, Chang, Wang and Wei, IEEE Transactions on Consumer Electronics 52:541,
// 2006, from memory; the densest place is found by a mean shift, Fukunaga and
// Hostetler, IEEE Transactions on Information Theory 21:32, 1975). Light counts
// less the further from white it lies. A picture without near-greys has none, and
// white is taken. Darkening the picture in linear light does not change the
// neutral, but for the rounding of codes and for what had been clipped.
func FindNeutral(p *photo.Picture, crop place.Crop, progress func(done float64) error) (Neutral, error) {
	g, err := averageCells(p, crop, progress)
	if err != nil {
		return Neutral{}, err
	}
	return g.neutral(), nil
}

// casts are the near-grey casts of cells, with the light of each.
type casts struct {
	cast  []colour.Cast
	light []float64
	total float64 // of all cells, near grey or not
}

// neutral finds the neutral of the cells.
func (g *cells) neutral() Neutral {
	var c casts
	for k, l := range g.light {
		light := float64(g.count[k]) * (l.R + l.G + l.B)
		c.total += light
		if cast := colour.Daylight.Cast(l); light > 0 && cast.Size() < castMost+castWindow {
			c.cast = append(c.cast, cast)
			c.light = append(c.light, light)
		}
	}
	mode, share := c.settle(c.densest())
	if share < leastShare {
		return Neutral{Light: colour.Linear{R: 1, G: 1, B: 1}, Share: share}
	}
	return Neutral{Light: mode.Light(), Found: true, Share: share}
}

// densest is the centre of the bin about which most light lies, light further from
// white counting less.
func (c *casts) densest() colour.Cast {
	bins := make([]float64, castBins*castBins)
	bin := func(v float64) int { return int(math.Round(v/castBin)) + castBins/2 }
	for i, cast := range c.cast {
		bins[bin(cast.B)*castBins+bin(cast.A)] += c.light[i]
	}
	reach := int(castWindow / castBin)
	var best colour.Cast
	var most float64
	for y := reach; y < castBins-reach; y++ {
		for x := reach; x < castBins-reach; x++ {
			at := colour.Cast{A: float64(x-castBins/2) * castBin, B: float64(y-castBins/2) * castBin}
			trust := 1 - at.Size()/castMost
			if trust <= 0 {
				continue
			}
			var light float64
			for dy := -reach; dy <= reach; dy++ {
				for dx := -reach; dx <= reach; dx++ {
					if dx*dx+dy*dy <= reach*reach {
						light += bins[(y+dy)*castBins+x+dx]
					}
				}
			}
			if light*trust > most {
				best, most = at, light*trust
			}
		}
	}
	return best
}

// settle moves a cast to the mean of the light about it until it stays, and tells
// the share of all light that lies there.
func (c *casts) settle(at colour.Cast) (colour.Cast, float64) {
	var share float64
	for range 20 {
		var a, b, light float64
		for i, cast := range c.cast {
			if math.Hypot(cast.A-at.A, cast.B-at.B) <= castWindow {
				a += cast.A * c.light[i]
				b += cast.B * c.light[i]
				light += c.light[i]
			}
		}
		if !(light > 0) {
			return at, 0
		}
		share = light / c.total
		next := colour.Cast{A: a / light, B: b / light}
		if size := next.Size(); size > castMost {
			next = colour.Cast{A: next.A * castMost / size, B: next.B * castMost / size}
		}
		if math.Hypot(next.A-at.A, next.B-at.B) < 1e-3 {
			return next, share
		}
		at = next
	}
	return at, share
}

// PickNeutral is the neutral that a painter picks by touching something that should
// be grey: the mean of the light in a square about the pixel, a hundredth of the
// shorter side wide and at least five pixels. Black, and a colour without light in
// some channel, tell nothing and are refused; the error is a *place.Problem.
func PickNeutral(p *photo.Picture, x, y int) (Neutral, error) {
	reach := max(min(p.Width, p.Height)/200, 2)
	var sum colour.Linear
	for j := max(y-reach, 0); j <= min(y+reach, p.Height-1); j++ {
		for i := max(x-reach, 0); i <= min(x+reach, p.Width-1); i++ {
			l := p.At(i, j).Linear()
			sum.R, sum.G, sum.B = sum.R+l.R, sum.G+l.G, sum.B+l.B
		}
	}
	least, most := min(sum.R, sum.G, sum.B), max(sum.R, sum.G, sum.B)
	if !(least > 0) || most/least > colour.MostNeutral {
		return Neutral{}, &place.Problem{
			Doing:  fmt.Sprintf("taking the spot %d,%d as neutral", x, y),
			What:   "it is black or without light in some channel, and tells no colour of light",
			Wanted: "pick something that should be grey and is neither black nor burnt out",
		}
	}
	return Neutral{Light: sum, Found: true}, nil
}
