package look

import (
	"image"
	"math"

	"maulstick/render/colour"
	"maulstick/render/place"
)

// The greys of a casing, and the lightness from which on a core is light. Where
// both show in full, as they do somewhere across every core of 2, 3 or more whole
// pixels, one of them is at least 25 L* from the grey beneath, and 30 L* if the
// core's own lightness is not between 40 and 60.
const (
	casingDark  = 0
	casingLight = 255
	lightCore   = colour.Lightness(50)
)

const (
	// A casing of 1.5 pixels along a core of whole pixels, upright or level, has one
	// on each side that is all casing, wherever between the pixels the core lies. What
	// is thinner than 2 pixels lacks a pixel that is all core: it does with less.
	thinnestCasing, fullCasing = 1.25, 1.5
	// The widths of a core: a thinner one would fade.
	thinnestCore, broadestCore = 1, 256
)

// Streak is a straight line drawn over a picture: a core, and on each side of it a
// casing, dark along a light core and light along a dark one. Its ends are square.
// Lengths are pixels of the picture, right and down from its top left corner.
type Streak struct {
	X, Y           float64 // its middle
	AlongX, AlongY float64 // a step of one pixel along it
	Reach          float64 // from its middle to either end
	Half           float64 // half the core's width
	Core           colour.SRGB
	Casing         uint8   // the casing's grey
	Strength       float64 // how much of what is beneath it covers, over 0, at most 1
}

// NewStreak is the streak from (x1, y1) to (x2, y2), with a core at least 1 and at
// most 256 pixels wide. What of it cannot show inside a rectangle is cut off; shows
// is false if that is all, and if a number is none or not over 0 where it has to
// be. A streak shorter than a pixel is fainter by as much.
func NewStreak(x1, y1, x2, y2, width, strength float64, core colour.SRGB, inside image.Rectangle) (s Streak, shows bool) {
	length := math.Hypot(x2-x1, y2-y1)
	if inside.Empty() || !(length > 0 && length < math.Inf(1) && width > 0 && strength > 0) {
		return Streak{}, false
	}
	s = Streak{
		X: x1 + (x2-x1)/2, Y: y1 + (y2-y1)/2, AlongX: (x2 - x1) / length, AlongY: (y2 - y1) / length,
		Reach: length / 2, Half: min(max(width, thinnestCore), broadestCore) / 2,
		Core: core, Casing: casingLight, Strength: min(strength, 1) * min(length, 1),
	}
	if core.Lightness() >= lightCore {
		s.Casing = casingDark
	}
	return s.cut(inside)
}

// cut leaves out what lies so far from a rectangle that neither the breadth of the
// streak there nor its new end shows inside.
func (s Streak) cut(inside image.Rectangle) (part Streak, shows bool) {
	room := s.Breadth() + 2
	a, b := within(s.X, s.AlongX, float64(inside.Min.X)-room, float64(inside.Max.X)+room)
	c, d := within(s.Y, s.AlongY, float64(inside.Min.Y)-room, float64(inside.Max.Y)+room)
	first, end := max(a, c, -s.Reach), min(b, d, s.Reach)
	if first >= end {
		return Streak{}, false
	}
	middle := first + (end-first)/2
	s.X += float64(middle * s.AlongX)
	s.Y += float64(middle * s.AlongY)
	s.Reach = (end - first) / 2
	return s, true
}

// within is from which to which step a place that moves by pace a step lies between
// low and high. The first is over the last if it never does.
func within(start, pace, low, high float64) (first, last float64) {
	switch {
	case pace != 0:
		a, b := (low-start)/pace, (high-start)/pace
		return min(a, b), max(a, b)
	case start < low || start > high:
		return math.Inf(1), math.Inf(-1)
	default:
		return math.Inf(-1), math.Inf(1)
	}
}

// Breadth is how far from its middle line a streak shows.
func (s Streak) Breadth() float64 { return s.Half + s.Margin() + 0.5 }

// Margin is the casing's width on either side.
func (s Streak) Margin() float64 {
	return max(s.Half, min(max(s.Half+0.5, thinnestCasing), fullCasing))
}

// Draw lays the streak over the part inside a rectangle of a picture with rows of
// width pixels, four bytes each. stroke.kage is its twin.
func (s Streak) Draw(pix []byte, width int, inside image.Rectangle) {
	breadth, reach := s.Breadth(), s.Reach+0.5
	high := breadth*math.Abs(s.AlongX) + reach*math.Abs(s.AlongY)
	top, bottom := place.Centres(s.Y-high, 2*high, inside.Min.Y, inside.Max.Y)
	for y := top; y < bottom; y++ {
		down := float64(y) + 0.5 - s.Y
		a, b := within(float64(down*s.AlongX), -s.AlongY, -breadth, breadth)
		c, d := within(float64(down*s.AlongY), s.AlongX, -reach, reach)
		start, end := max(a, c), min(b, d)
		left, right := place.Centres(s.X+start, end-start, inside.Min.X, inside.Max.X)
		for x := left; x < right; x++ {
			s.lay(pix[4*(y*width+x):][:3], float64(x)+0.5-s.X, down)
		}
	}
}

// lay covers the pixel whose centre is (right, down) of the streak's middle. Cover
// fades over the one pixel about an edge. The casing is never thinner than that, so
// that it covers in full wherever the core covers at all.
func (s Streak) lay(to []byte, right, down float64) {
	off := math.Abs(float64(down*s.AlongX) - float64(right*s.AlongY))
	along := math.Abs(float64(right*s.AlongX) + float64(down*s.AlongY))
	core, casing := unit(s.Half-off+0.5), float64(s.Casing)
	cover := s.Strength * unit(s.Breadth()-off) * unit(s.Reach-along+0.5)
	rest := 1 - math.Round(255*cover)/255
	for i, c := range [3]uint8{s.Core.R, s.Core.G, s.Core.B} {
		laid := math.Round((casing + float64((float64(c)-casing)*core)) * cover)
		to[i] = byte(math.Round(laid + float64(float64(to[i])*rest)))
	}
}
