package colour

import (
	"fmt"
	"math"
	"strings"
)

// Wheel is one of the ways of setting colours opposite each other. They disagree:
// the opposite of yellow is violet to a painter, and blue to mixed light.
type Wheel int

// The wheels.
const (
	PaintersWheel Wheel = iota // red-green, orange-blue, yellow-violet
	MunsellWheel               // five hues and the five between them
	AdditiveWheel              // what mixes to grey as light
)

// Wheels is every wheel, the painter's first.
func Wheels() []Wheel { return []Wheel{PaintersWheel, MunsellWheel, AdditiveWheel} }

var wheelNames = [...]struct{ name, say string }{
	PaintersWheel: {"painter", "on the painter's wheel"},
	MunsellWheel:  {"munsell", "in Munsell terms"},
	AdditiveWheel: {"additive", "as mixed light"},
}

// String is the wheel's name where one is asked for: painter, munsell or additive.
func (w Wheel) String() string { return wheelNames[w].name }

// Say tells the wheel in a sentence, as in "on the painter's wheel".
func (w Wheel) Say() string { return wheelNames[w].say }

// ParseWheel is the wheel of a name: painter, munsell or additive.
func ParseWheel(name string) (Wheel, error) {
	for _, w := range Wheels() {
		if strings.EqualFold(strings.TrimSpace(name), w.String()) {
			return w, nil
		}
	}
	return PaintersWheel, fmt.Errorf("choosing the wheel of colours: there is no wheel %q; the wheels are painter, munsell and additive", name)
}

// anchors are the OKLab hue angles in degrees of the painter's six colours, 60
// degrees of the wheel apart from red on: the corners of Gossett and Chen's cube
// of red, yellow and blue paint ("Paint inspired color mixing and compositing for
// visualization", IEEE InfoVis 2004), paired as by Itten (1961). Between two of
// them a hue lies on the wheel as it lies in OKLab.
var anchors = [...]float64{29.23, 52.98, 109.77, 145.64, 253.13, 328.36, 29.23 + 360}

// GreyishChroma is the Munsell chroma below which a colour is called greyish by the
// ISCC-NBS names, and is too dull to stand against its opposite.
const GreyishChroma = 1.5

// Turn is where a colour lies on the wheel, in degrees 0..360 from red: by way of
// yellow, green and blue. On the painter's wheel yellow is at 120, green at 180,
// blue at 240; in Munsell terms 5R is at 0 and each of the ten hues 36 further; in
// mixed light yellow is at 60, green at 120, blue at 240. A grey, of Munsell chroma
// under 0.5, has no place and ok is false.
func (w Wheel) Turn(c SRGB) (turn float64, ok bool) {
	munsell := c.Munsell()
	if munsell.Chroma < neutralChroma {
		return 0, false
	}
	switch w {
	case MunsellWheel:
		return math.Mod((munsell.Hue-5)*3.6+360, 360), true
	case AdditiveWheel:
		return hexagon(c.Linear()), true
	default:
		lab := c.OKLab()
		return paintersTurn(angle(lab.A, lab.B)), true
	}
}

// paintersTurn is the place on the painter's wheel of an OKLab hue angle.
func paintersTurn(hue float64) float64 {
	if hue < anchors[0] {
		hue += 360
	}
	i := 0
	for hue >= anchors[i+1] {
		i++
	}
	return 60 * (float64(i) + (hue-anchors[i])/(anchors[i+1]-anchors[i]))
}

// paintersHue is the OKLab hue angle of a place on the painter's wheel.
func paintersHue(turn float64) float64 {
	turn = math.Mod(turn, 360)
	i := int(turn / 60)
	return math.Mod(anchors[i]+(turn/60-float64(i))*(anchors[i+1]-anchors[i]), 360)
}

// hexagon is the hue of linear light on the hexagon of the six primaries and
// secondaries, degrees from red.
func hexagon(l Linear) float64 {
	most, least := max(l.R, l.G, l.B), min(l.R, l.G, l.B)
	span := most - least
	var sixth float64
	switch {
	case span <= 0:
		return 0
	case most == l.R:
		sixth = (l.G - l.B) / span
	case most == l.G:
		sixth = 2 + (l.B-l.R)/span
	default:
		sixth = 4 + (l.R-l.G)/span
	}
	return math.Mod(60*sixth+360, 360)
}

// wheelHues are the hues that a wheel is divided into, each about its middle: the
// first at 0, equally far apart.
var wheelHues = [...][]string{
	PaintersWheel: {"red", "orange", "yellow", "green", "blue", "violet"},
	MunsellWheel:  {"red", "yellow-red", "yellow", "green-yellow", "green", "blue-green", "blue", "purple-blue", "purple", "red-purple"},
	AdditiveWheel: {"red", "yellow", "green", "cyan", "blue", "magenta"},
}

// Hues are the names of the hues that the wheel is divided into, an even number,
// from red on; each one's opposite is half of them further. It is a copy.
func (w Wheel) Hues() []string { return append([]string(nil), wheelHues[w]...) }

// HueOf is the index in Hues of the hue about a place on the wheel; halfway between
// two it is the further one.
func (w Wheel) HueOf(turn float64) int {
	n := len(wheelHues[w])
	return int(math.Floor(turn/360*float64(n)+0.5)) % n
}

// twelfths are the twelve names of the painter's wheel.
var twelfths = [...]string{
	"red", "red-orange", "orange", "yellow-orange", "yellow", "yellow-green",
	"green", "blue-green", "blue", "blue-violet", "violet", "red-violet",
}

// NameOf is what the place on the wheel is called: one of the twelve hues of the
// painter's wheel, or one of Hues.
func (w Wheel) NameOf(turn float64) string {
	if w == PaintersWheel {
		return twelfths[int(math.Floor(turn/30+0.5))%len(twelfths)]
	}
	return wheelHues[w][w.HueOf(turn)]
}
