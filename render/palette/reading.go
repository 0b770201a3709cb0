package palette

import (
	"math"

	"maulstick/render/card"
	"maulstick/render/check"
	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/pile"
	"maulstick/render/place"
)

// Reading is a pile by the cards.
type Reading struct {
	At     place.PhotoPoint
	Colour colour.SRGB // by the cards, as are all that follow
	Name   string      // by colour.NameSystem

	Lightness   colour.Lightness
	Card        *colour.Value     // that it is held against; nil without one
	Difference  float64           // in steps, over 0 where the pile is too light
	Said        string            // the same in words
	Within      float64           // one standard deviation of Difference
	Misreading  colour.Misreading // through the red filter
	Warning     string            // where that misleads by half a step and more, else ""
	Warmth      colour.Warmth     // against daylight
	Temperature string            // the same in words
	Planned     *Planned          // the nearest; nil without a plan

	Wrong, Wanted string // why it cannot be read, and what helps; then there is nothing else
}

// Planned is the planned pile that a mixed one comes nearest to.
type Planned struct {
	Step   int // from 1, the darkest
	Name   string
	Colour colour.SRGB
	Off    float64  // CIEDE2000
	Way    []string // lighter, darker, warmer, cooler, stronger, greyer; none where nothing shows
}

// nearPlanned is how far off, in CIEDE2000, a planned pile may be to be called near: with
// more the mixed one is plainly another colour. Judged by eye, no source.
const nearPlanned = 15.0

// Near says whether the mixed pile could be meant for it.
func (p *Planned) Near() bool { return p.Off <= nearPlanned }

// mostMixed is how far, in L*a*b*, a quarter of the square about a touch may lie off the
// whole that is read as one pile.
const mostMixed = 10.0

// mostClipped is the share of a pile's pixels that may be shine.
const mostClipped = 0.1

// read reads a pile.
func (a Ask) read(p *photo.Picture, c card.Calibration, t Touch) Reading {
	patch := card.ReadPatch(p, t.At, card.HalfSide(p.Size()))
	switch {
	case patch.Pixels == 0:
		return Reading{At: t.At, Wrong: "it does not lie on the photograph", Wanted: "touch the middle of the pile"}
	case patch.Clipped > mostClipped:
		return Reading{
			At: t.At, Wrong: "it is clipped: a colour of it is at the end of what the camera records",
			Wanted: "photograph the palette again without shine, or with another exposure",
		}
	}
	if mixed(p, patch) > mostMixed {
		return Reading{At: t.At, Wrong: "it is uneven: its square lies across an edge, or the pile is not mixed through", Wanted: "touch the middle of the pile"}
	}
	light := c.True(t.At, patch.Light)
	within, _ := c.Promise()
	stored, warmth := light.SRGB(), colour.Daylight.Warmth(light)
	r := Reading{
		At: t.At, Colour: stored, Name: colour.Name(stored), Lightness: light.Luminance().Lightness(), Within: float64(within / 2 / a.Step),
		Misreading: a.Sheet.Misreading(stored), Warmth: warmth, Temperature: warmth.Class().String(),
	}
	if math.Abs(float64(r.Misreading)) >= 0.5 {
		r.Warning = "do not trust the red filter here: " + r.Misreading.Sentence()
	}
	if near, step, ok := nearest(a.Plan, light); ok {
		way := pile.WayTo(light, near.Colour.Linear(), colour.Daylight)
		r.Planned = &Planned{Step: step, Name: near.Name, Colour: near.Colour, Off: way.Off, Way: way.Words()}
	}
	a.hold(&r, t.Card)
	return r
}

// mixed is how far that quarter of a patch lies off the whole that lies furthest.
func mixed(p *photo.Picture, whole card.Patch) (most float64) {
	half := card.HalfSide(p.Size()) / 2
	lab := whole.Light.XYZ().Lab()
	for _, off := range [4]place.PhotoPoint{{X: -half, Y: -half}, {X: half, Y: -half}, {X: -half, Y: half}, {X: half, Y: half}} {
		quarter := card.ReadPatch(p, place.PhotoPoint{X: whole.At.X + off.X, Y: whole.At.Y + off.Y}, half)
		if quarter.Pixels == 0 {
			continue
		}
		q := quarter.Light.XYZ().Lab()
		most = max(most, math.Hypot(float64(q.L-lab.L), math.Hypot(q.A-lab.A, q.B-lab.B)))
	}
	return most
}

// hold holds a pile against its card, or that of the step that its nearest planned pile
// is of.
func (a Ask) hold(r *Reading, value *colour.Value) {
	if value == nil && r.Planned != nil {
		value = &a.Plan[r.Planned.Step-1].Value
	}
	if value == nil {
		return
	}
	v := *value
	r.Card, r.Difference = &v, float64((r.Lightness-v.Luminance().Lightness())/a.Step)
	r.Said = check.StepsText(r.Difference)
}

// nearest is the planned pile that a mixed colour comes nearest to in CIEDE2000, and its
// step, from 1; ok is false where there is none.
func nearest(plan []Step, mixed colour.Linear) (near Pile, step int, ok bool) {
	best, lab := math.Inf(1), mixed.XYZ().Lab()
	for k, s := range plan {
		for _, one := range s.Piles {
			if off := lab.Difference(one.Colour.Lab()); off < best {
				best, near, step, ok = off, one, k+1, true
			}
		}
	}
	return near, step, ok
}
