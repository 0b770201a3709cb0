// Package card calibrates a photograph by grey cards shown on it: what light a stored
// colour stands for, how even the light was, and how sure that is. All of it is worked
// out in linear light.
package card

import (
	"fmt"
	"math"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// Card is a grey card of known value, touched on a photograph.
type Card struct {
	Value colour.Value
	At    place.PhotoPoint
}

// Patch is what a photograph shows of an even thing about a place.
type Patch struct {
	At      place.PhotoPoint
	Light   colour.Linear // the mean, as stored
	Uneven  float64       // L*: from one side of it to the other, or the spread about that, whichever is more
	Clipped float64       // share of its pixels at the end of what the camera records, in any channel
	Pixels  int
}

// The codes at and beyond which a camera records no difference any more.
const (
	brightest = 253
	darkest   = 2
)

// ReadPatch measures the square of a half side in pixels about a place.
func ReadPatch(p *photo.Picture, at place.PhotoPoint, half float64) Patch {
	left, right := place.Centres(at.X-half, 2*half, 0, p.Width)
	top, bottom := place.Centres(at.Y-half, 2*half, 0, p.Height)
	patch := Patch{At: at}
	var sum colour.Linear
	var l, ll, lx, ly, x1, y1, xx, yy float64
	clipped := 0
	for y := top; y < bottom; y++ {
		for x := left; x < right; x++ {
			c := p.At(x, y)
			if max(c.R, c.G, c.B) >= brightest || min(c.R, c.G, c.B) <= darkest {
				clipped++
			}
			light := c.Linear()
			sum.R, sum.G, sum.B = sum.R+light.R, sum.G+light.G, sum.B+light.B
			v := float64(light.Luminance().Lightness())
			dx, dy := float64(x)+0.5-at.X, float64(y)+0.5-at.Y
			l, ll, lx, ly = l+v, ll+v*v, lx+v*dx, ly+v*dy
			x1, y1, xx, yy = x1+dx, y1+dy, xx+dx*dx, yy+dy*dy
			patch.Pixels++
		}
	}
	if patch.Pixels == 0 {
		return patch
	}
	n := float64(patch.Pixels)
	patch.Light = colour.Linear{R: sum.R / n, G: sum.G / n, B: sum.B / n}
	patch.Clipped = float64(clipped) / n
	rise := 0.0
	if xx, yy := xx-x1*x1/n, yy-y1*y1/n; xx > 0 && yy > 0 {
		rise = 2 * half * math.Hypot((lx-l*x1/n)/xx, (ly-l*y1/n)/yy)
	}
	patch.Uneven = max(rise, math.Sqrt(max(ll/n-l*l/(n*n), 0)))
	return patch
}

// HalfSide is how large a patch is read about a touch: a 60th of the photograph's
// short side each way, at least 3 pixels.
func HalfSide(size place.Pixels) float64 { return max(float64(min(size.Width, size.Height))/60, 3) }

// The limits of what is taken for a card.
const (
	mostClipped = 0.02
	mostUneven  = 4.0  // L* across its face
	leastApart  = 1.5  // values between the lightest card and the darkest
	mostCards   = 5    // of different values
	mostStray   = 9.0  // L* that one of three cards may lie off what the others say
	mostStrays  = 6.0  // the same, of four and more
	mostHue     = 12.0 // chroma that a card may show once the others are neutral
	mostRise    = 0.7  // natural logarithm of light from end to end
)

// Measuring is what is being done, in a problem with it.
const Measuring = "measuring the grey cards"

// refuse is the problem of cards that cannot be used.
func refuse(what, wanted string) error {
	return &place.Problem{Doing: Measuring, What: what, Wanted: wanted}
}

// name says which card is meant.
func name(v colour.Value) string { return fmt.Sprintf("the card of value %.3g", float64(v)) }

// checkFace refuses a card that cannot be read.
func checkFace(c Card, p Patch) error {
	switch {
	case p.Pixels < 9:
		return refuse(name(c.Value)+" does not lie on the photograph", "touch the middle of the card")
	case p.Clipped > mostClipped && p.Light.Luminance() > 0.5:
		return refuse(name(c.Value)+" is clipped: the camera has made it white", "photograph the cards again with less exposure")
	case p.Clipped > mostClipped:
		return refuse(name(c.Value)+" is clipped: a colour of it is at the end of what the camera records", "photograph the cards again with another exposure, and without a coloured light")
	case p.Uneven > mostUneven:
		return refuse(fmt.Sprintf("%s is uneven across its face, by %.0f L*", name(c.Value), p.Uneven), "touch the middle of the card, and keep shadows and shine off it")
	}
	return nil
}
