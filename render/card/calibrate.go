package card

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// Calibration is what cards tell of a photograph.
type Calibration struct {
	Faces []Face // by value, the darkest first

	// Residual is how far, in L* at the root of the mean square, cards lie off what
	// the others say of them; Checked is how many could be held to that: none of two.
	Residual float64
	Checked  int

	// Rise is how much more light there is from one end to the other of cards that
	// were shown twice, as a part, and Lighter which that is: "left", "right", "upper" or
	// "lower". Measured says whether that was measured at all.
	Rise     float64
	Lighter  string
	Measured bool

	curves [3]curve
	slope  [2]float64 // natural logarithm of light a pixel, right and down
	middle place.PhotoPoint
}

// straightResidual is how far off gain and gamma the middle one of three cards lies, in
// L*, with a camera whose curve is not much bent.
const straightResidual = 2

// doubtfulResidual is the same beyond which the middle one may as well be of another
// value than was said.
const doubtfulResidual = 5

// Face is a card as it was read.
type Face struct {
	Card
	Patch Patch
	Reads colour.Lightness // by the curves
}

// Calibrate reads two to five cards of different values and fits their curves: gain
// and gamma to two, a monotone curve to more, a channel each. A value that is given at
// two places measures how the light rises between them. A *place.Problem refuses
// cards that are clipped, uneven across their faces, out of order, too alike, or that
// do not fit the others.
func Calibrate(p *photo.Picture, cards []Card) (Calibration, error) {
	var c Calibration
	half := HalfSide(p.Size())
	for _, card := range cards {
		if !(card.Value >= 0 && card.Value <= 10) {
			return c, refuse(fmt.Sprintf("%v is no value from 0 to 10", float64(card.Value)), "give Munsell values, or lightnesses as in L52")
		}
		patch := ReadPatch(p, card.At, half)
		if err := checkFace(card, patch); err != nil {
			return c, err
		}
		c.Faces = append(c.Faces, Face{Card: card, Patch: patch})
	}
	slices.SortStableFunc(c.Faces, func(a, b Face) int { return cmp.Compare(a.Value, b.Value) })
	if err := c.measureLight(p.Size()); err != nil {
		return c, err
	}
	knots := c.knots()
	if err := checkKnots(knots); err != nil {
		return c, err
	}
	c.curves = curvesOf(knots)
	for i := range c.Faces {
		c.Faces[i].Reads = c.True(c.Faces[i].Patch.At, c.Faces[i].Patch.Light).Luminance().Lightness()
	}
	return c, c.hold(knots)
}

// measureLight fits a rise of light to cards that are there more than once.
func (c *Calibration) measureLight(size place.Pixels) error {
	c.middle = place.PhotoPoint{X: float64(size.Width) / 2, Y: float64(size.Height) / 2}
	var xx, xy, yy, bx, by float64
	for i, a := range c.Faces {
		for _, b := range c.Faces[i+1:] {
			if a.Value != b.Value {
				continue
			}
			dx, dy := b.Patch.At.X-a.Patch.At.X, b.Patch.At.Y-a.Patch.At.Y
			rise := math.Log(float64(b.Patch.Light.Luminance() / a.Patch.Light.Luminance()))
			xx, xy, yy = xx+dx*dx, xy+dx*dy, yy+dy*dy
			bx, by = bx+rise*dx, by+rise*dy
			if math.Abs(rise) > mostRise {
				return refuse(fmt.Sprintf("%s is %.1f times as light at one end as at the other", name(a.Value), math.Exp(math.Abs(rise))), "light the canvas and the cards more evenly")
			}
			c.Rise, c.Measured = max(c.Rise, math.Exp(math.Abs(rise))-1), true
		}
	}
	if !c.Measured {
		return nil
	}
	// Where all pairs lie along one line the light is taken to rise along it alone.
	ridge := 1e-3 * (xx + yy)
	xx, yy = xx+ridge, yy+ridge
	det := xx*yy - xy*xy
	c.slope = [2]float64{(yy*bx - xy*by) / det, (xx*by - xy*bx) / det}
	c.Lighter = lighterEnd(c.slope[0], c.slope[1])
	return nil
}

// lighterEnd names the end to which light rises, by how much it does right and down.
func lighterEnd(right, down float64) string {
	switch across := math.Abs(right) >= math.Abs(down); {
	case across && right < 0:
		return "left"
	case across:
		return "right"
	case down < 0:
		return "upper"
	}
	return "lower"
}

// even is light as it would be stored in the photograph's middle.
func (c *Calibration) even(at place.PhotoPoint, l colour.Linear) colour.Linear {
	if !c.Measured {
		return l
	}
	gain := math.Exp(-c.slope[0]*(at.X-c.middle.X) - c.slope[1]*(at.Y-c.middle.Y))
	return colour.Linear{R: l.R * gain, G: l.G * gain, B: l.B * gain}
}

// True is the light that a stored light at a place of the photograph stands for, white
// being 1, under the even light of the cards.
func (c *Calibration) True(at place.PhotoPoint, l colour.Linear) colour.Linear {
	l = c.even(at, l)
	return colour.Linear{R: c.curves[0].at(l.R), G: c.curves[1].at(l.G), B: c.curves[2].at(l.B)}
}

// knot is a value with the mean of its cards.
type knot struct {
	value colour.Value
	light colour.Linear
}

// knots are the cards in even light, those of one value together.
func (c *Calibration) knots() []knot {
	var knots []knot
	n := 0.0
	for _, f := range c.Faces {
		l := c.even(f.Patch.At, f.Patch.Light)
		if len(knots) > 0 && knots[len(knots)-1].value == f.Value {
			k := &knots[len(knots)-1]
			k.light = colour.Linear{R: (k.light.R*n + l.R) / (n + 1), G: (k.light.G*n + l.G) / (n + 1), B: (k.light.B*n + l.B) / (n + 1)}
			n++
			continue
		}
		knots, n = append(knots, knot{f.Value, l}), 1
	}
	return knots
}

// checkKnots refuses what no curve can be put through.
func checkKnots(knots []knot) error {
	switch {
	case len(knots) < 2:
		return refuse("there are not two cards of different values", "show two to five cards, a dark and a light one among them")
	case len(knots) > mostCards:
		return refuse(fmt.Sprintf("there are cards of %d values", len(knots)), "choose five of them")
	case knots[len(knots)-1].value-knots[0].value < leastApart:
		return refuse("the cards are too alike to tell the rest from", "show a dark and a light one among them")
	case knots[0].value.Luminance() <= 0:
		return refuse("no card has value 0", "give the value that is printed on it")
	}
	for i := 1; i < len(knots); i++ {
		a, b := knots[i-1], knots[i]
		if b.light.R <= 1.01*a.light.R || b.light.G <= 1.01*a.light.G || b.light.B <= 1.01*a.light.B {
			return refuse(fmt.Sprintf("the cards are out of order: %s is not lighter on the photograph than %s", name(b.value), name(a.value)),
				"check which card was touched for which value, and that all lie in the same light")
		}
	}
	return nil
}

// curvesOf puts a curve a channel through knots.
func curvesOf(knots []knot) (curves [3]curve) {
	for k := range curves {
		var x, y []float64
		for _, knot := range knots {
			x = append(x, math.Log([3]float64{knot.light.R, knot.light.G, knot.light.B}[k]))
			y = append(y, math.Log(float64(knot.value.Luminance())))
		}
		curves[k] = newCurve(x, y)
	}
	return curves
}

// hold holds each card between two others to what the curve through the others says.
func (c *Calibration) hold(knots []knot) error {
	most := mostStrays
	if len(knots) == 3 {
		most = mostStray
	}
	var squares float64
	for i := 1; i < len(knots)-1; i++ {
		others := curvesOf(append(slices.Clone(knots[:i]), knots[i+1:]...))
		l := knots[i].light
		said := colour.Linear{R: others[0].at(l.R), G: others[1].at(l.G), B: others[2].at(l.B)}
		off := float64(said.Luminance().Lightness() - knots[i].value.Luminance().Lightness())
		lab := said.XYZ().Lab()
		switch {
		case math.Abs(off) > most:
			return refuse(fmt.Sprintf("%s does not fit the others: by them it would be of value %.1f", name(knots[i].value), float64(said.Luminance().Value())),
				"check its value, and that it lies in the same light as the others")
		case math.Hypot(lab.A, lab.B) > mostHue:
			return refuse(name(knots[i].value)+" does not fit the others: by them it is not grey", "keep coloured reflections off the cards, or leave it out")
		}
		squares += off * off
		c.Checked++
	}
	if c.Checked > 0 {
		c.Residual = math.Sqrt(squares / float64(c.Checked))
	}
	return nil
}

// Promise is how far off readings are at most, of 19 in 20: L* of colours and of greys.
// Gain and gamma alone miss more of a camera's curve, and so do few cards where the
// curve is strongly bent between them.
func (c *Calibration) Promise() (colours, greys colour.Lightness) {
	switch {
	case c.Checked == 0:
		return 4, 3
	case c.Doubtful():
		most := colour.Lightness(math.Ceil(c.Residual))
		return most, most
	case c.Checked < 3 && c.Residual > straightResidual:
		return 3, 2
	default:
		return 3, 1
	}
}

// Doubtful says whether one of three cards may be of another value than was said: it lies
// far off what the others say of it, and the camera's curve alone could have put it there.
func (c *Calibration) Doubtful() bool { return c.Checked == 1 && c.Residual > doubtfulResidual }

// Method says in words what was fitted.
func (c *Calibration) Method() string {
	if len(c.curves[0].x) == 2 {
		return "gain and gamma of each channel"
	}
	return "a monotone curve of each channel"
}
