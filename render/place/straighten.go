package place

import "math"

// steepest is the largest turn that straightens a photograph: beyond it a level
// line would rather have been a plumb one.
const steepest = Degrees(45)

// Tilt is by how much a photograph has to be turned clockwise for a line drawn on
// it to come level, or plumb if plumb is true. The line's ends are in either
// order. Lines under 2 pixels long, and turns over 45 degrees, are refused with
// a *Problem.
func Tilt(a, b PhotoPoint, plumb bool) (Degrees, error) {
	drawn := Span{From: CanvasPoint{X: MM(a.X), Y: MM(a.Y)}, To: CanvasPoint{X: MM(b.X), Y: MM(b.Y)}}
	tilt, name := drawn.FromLevel(), "horizon"
	if plumb {
		tilt, name = 0-drawn.FromPlumb(), "plumb line"
	}
	p := &Problem{Doing: "straightening by a line along the " + name, Wanted: "draw it from end to end along something that should be level or plumb"}
	switch {
	case !(drawn.Length() >= 2):
		p.What = "the line is under 2 pixels long"
		return 0, p
	case tilt > steepest || tilt < -steepest:
		p.What = "it is over 45 degrees off"
		return 0, p
	}
	return tilt, nil
}

// Turn is a photograph turned about its middle. The turned picture is just large
// enough to hold all of it; its pixels are as large as the photograph's, and are
// counted from its own top left corner.
type Turn struct {
	Photo Pixels
	Tilt  Degrees // clockwise
}

// sides is how far the turned photograph reaches, across and down.
func (t Turn) sides() (width, height float64) {
	s, c := t.slant()
	w, h := float64(t.Photo.Width), float64(t.Photo.Height)
	return w*c + h*s, w*s + h*c
}

// slant is the size of the tilt's sine and cosine.
func (t Turn) slant() (sin, cos float64) {
	sin, cos = math.Sincos(t.Tilt.Radians())
	return math.Abs(sin), math.Abs(cos)
}

// Size is the turned picture's size, rounded up to whole pixels.
func (t Turn) Size() Pixels {
	w, h := t.sides()
	return Pixels{Width: int(math.Ceil(w - cropSlack)), Height: int(math.Ceil(h - cropSlack))}
}

// Forward carries places of the photograph to the turned picture.
func (t Turn) Forward() Homography {
	sin, cos := math.Sincos(t.Tilt.Radians())
	from, to := t.Photo, t.Size()
	x, y := float64(from.Width)/2, float64(from.Height)/2
	return Homography{
		{cos, -sin, float64(to.Width)/2 - cos*x + sin*y},
		{sin, cos, float64(to.Height)/2 - sin*x - cos*y},
		{0, 0, 1},
	}
}

// Largest is the largest crop of the turned picture, about its middle, that shows
// the photograph alone. With an aspect of 0 it is the one of the largest area.
//
// A crop w by h lies inside when w cos + h sin is at most the photograph's width
// and w sin + h cos at most its height; since the photograph is convex and the
// same upside down, no crop away from the middle is larger.
func (t Turn) Largest(aspect Aspect) Crop {
	sin, cos := t.slant()
	w, h := float64(t.Photo.Width), float64(t.Photo.Height)
	var width, height float64
	if aspect > 0 {
		a := float64(aspect)
		height = min(w/(a*cos+sin), h/(a*sin+cos))
		width = height * a
	} else {
		width, height = roomiest(w, h, sin, cos)
	}
	size := t.Size()
	return Crop{
		X: (float64(size.Width) - width) / 2, Y: (float64(size.Height) - height) / 2,
		Width: width, Height: height,
	}
}

// roomiest is the largest upright rectangle in one w by h that is turned. Where
// one pair of sides alone bounds it, its product is largest when both its terms
// are half of the bound; else it touches all four.
func roomiest(w, h, sin, cos float64) (width, height float64) {
	if sin == 0 || cos == 0 {
		return w*cos + h*sin, w*sin + h*cos
	}
	if a, b := w/(2*cos), w/(2*sin); a*sin+b*cos <= h {
		return a, b
	}
	if a, b := h/(2*sin), h/(2*cos); a*cos+b*sin <= w {
		return a, b
	}
	double := cos*cos - sin*sin
	return (w*cos - h*sin) / double, (h*cos - w*sin) / double
}

// Holds says whether a crop of the turned picture shows the photograph alone.
func (t Turn) Holds(c Crop) bool {
	back, ok := t.Forward().Inverse()
	if !ok {
		return false
	}
	for _, corner := range c.Corners() {
		p, ok := back.Apply(corner)
		if !ok || !within(p.X, float64(t.Photo.Width)) || !within(p.Y, float64(t.Photo.Height)) {
			return false
		}
	}
	return true
}

// Cut carries places of the photograph to a picture of a crop of the turned
// picture alone, its pixels as large as the photograph's up to rounding to whole
// ones, of which there is at least one each way.
func (t Turn) Cut(c Crop) (Homography, Pixels) {
	size := Pixels{Width: max(int(math.Round(c.Width)), 1), Height: max(int(math.Round(c.Height)), 1)}
	x, y := float64(size.Width)/c.Width, float64(size.Height)/c.Height
	return t.Forward().Then(Homography{{x, 0, -x * c.X}, {0, y, -y * c.Y}, {0, 0, 1}}), size
}

// within says whether a place is from 0 to length, up to rounding.
func within(at, length float64) bool { return at >= -cropSlack && at <= length+cropSlack }
