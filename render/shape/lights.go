package shape

import (
	"cmp"
	"math"
	"slices"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// Mass is one of the two masses of a picture, its lights or its shadows.
type Mass struct {
	Warmth   colour.Warmth // mean over the mass; what is neither warm nor cool counts as 0
	Area     float64       // share of the picture, 0..1
	Coloured float64       // share of the picture that is in the mass and warm or cool
}

// Lights is the temperature of a picture's lights against its shadows.
type Lights struct {
	Lights, Shadows Mass
	// Edge is the luminance from which on a mass counts as light.
	Edge colour.Luminance
}

// The verdicts of lights against shadows.
const (
	LightsWarmer      = "lights warmer than shadows"
	LightsCooler      = "lights cooler than shadows"
	NoClearDifference = "no clear difference"
)

// leastColoured is the share of the picture that has to be warm or cool for a
// verdict to rest on.
const leastColoured = 0.05

// Verdict is what the figures say: lights and shadows differ clearly if there are
// both, if colours enough are warm or cool, and if they differ by as much as a
// colour from grey.
func (l Lights) Verdict() string {
	difference := l.Lights.Warmth - l.Shadows.Warmth
	switch {
	case l.Lights.Area == 0 || l.Shadows.Area == 0 || l.Lights.Coloured+l.Shadows.Coloured < leastColoured:
		return NoClearDifference
	case difference >= colour.GreyWarmth:
		return LightsWarmer
	case difference <= -colour.GreyWarmth:
		return LightsCooler
	default:
		return NoClearDifference
	}
}

// CompareLights reads the temperature of the crop's lights against its shadows,
// relative to the neutral of t. Lights are what lies from the division of the two
// masses on. Both figures are means of chromaticity over the mass, so that dark
// colours count by their area and not by their light, and stay as they are when
// the picture is darkened in linear light, but for two things: codes that fall to
// 0 lose their colour, and a light that had been clipped keeps the wrong one.
func CompareLights(p *photo.Picture, crop place.Crop, t *colour.Temperature, progress func(done float64) error) (Lights, error) {
	g, err := averageCells(p, crop, progress)
	if err != nil || len(g.light) == 0 {
		return Lights{}, err
	}
	return g.lights(t), nil
}

// lights compares the masses of the cells, of which there is at least one.
func (g *cells) lights(t *colour.Temperature) Lights {
	l := Lights{Edge: g.twoMasses()}
	for k, light := range g.light {
		if light.Luminance() >= l.Edge {
			l.Lights.add(g.count[k], t.Warmth(light))
		} else {
			l.Shadows.add(g.count[k], t.Warmth(light))
		}
	}
	l.Lights.finish(g.total())
	l.Shadows.finish(g.total())
	return l
}

// add counts pixels of one warmth.
func (m *Mass) add(pixels int, w colour.Warmth) {
	n := float64(pixels)
	m.Area += n
	if w.Class() != colour.Neither {
		m.Coloured += n
		m.Warmth += w * colour.Warmth(n)
	}
}

// finish turns counts into a mean and shares of the whole.
func (m *Mass) finish(whole int) {
	if m.Area > 0 {
		m.Warmth /= colour.Warmth(m.Area)
	}
	m.Area /= float64(whole)
	m.Coloured /= float64(whole)
}

// twoMasses is the luminance from which on light divides best from shadow: the
// cube roots of luminance differ least, squared, from the means of their own mass
// (Otsu, IEEE Transactions on Systems, Man and Cybernetics 9:62, 1979; the exact
// optimum). Cube roots are lightness without its foot; unlike an edge between
// fixed steps they divide the same however much light there is, and unlike the
// median they keep a large flat mass whole.
func (g *cells) twoMasses() colour.Luminance {
	type mass struct{ luminance, pixels float64 }
	order := make([]mass, len(g.light))
	var total, sum float64
	for k, l := range g.light {
		order[k] = mass{float64(l.Luminance()), float64(g.count[k])}
		total += order[k].pixels
		sum += order[k].pixels * math.Cbrt(order[k].luminance)
	}
	slices.SortFunc(order, func(a, b mass) int {
		return cmp.Or(cmp.Compare(a.luminance, b.luminance), cmp.Compare(a.pixels, b.pixels))
	})
	edge, best := order[0].luminance, 0.0
	var below, belowSum float64
	for i, m := range order[:len(order)-1] {
		below += m.pixels
		belowSum += m.pixels * math.Cbrt(m.luminance)
		next := order[i+1].luminance
		if next == m.luminance {
			continue
		}
		gap := belowSum/below - (sum-belowSum)/(total-below)
		if between := below * (total - below) * gap * gap; between > best {
			best, edge = between, next
		}
	}
	return colour.Luminance(edge)
}
