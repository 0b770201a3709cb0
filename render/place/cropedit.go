package place

import "math"

// leastCrop is the shortest side in photo pixels that a crop is shrunk to by
// hand; a photograph of shorter sides is left whole along them.
const leastCrop = 16.0

// Handle is what a crop is held by: -1 and 1 are the left and right, the top and
// bottom edge, 0 neither. Two edges make a corner; none, and it is held by its
// middle and moved.
type Handle struct{ X, Y int }

// Aspect is width over height, which tells which way round a shape stands; 0 is
// no aspect in particular.
type Aspect float64

// Aspect is the size's width over its height.
func (s Size) Aspect() Aspect { return Aspect(s.Width / s.Height) }

// Aspect is the crop's width over its height.
func (c Crop) Aspect() Aspect { return Aspect(c.Width / c.Height) }

// Moved is the crop moved by photo pixels, as far as the photograph goes.
func (c Crop) Moved(dx, dy float64, photo Pixels) Crop {
	c.X = min(max(c.X+dx, 0), max(float64(photo.Width)-c.Width, 0))
	c.Y = min(max(c.Y+dy, 0), max(float64(photo.Height)-c.Height, 0))
	return c
}

// Pulled is the crop with its handle moved by photo pixels. What lies opposite
// the handle stays: the far corner, or the middle of the far edge. An aspect over
// 0 is kept, by the larger of the two pulls where a corner is held; else the crop
// is free. It stays on the photograph and no side becomes shorter than 16 pixels,
// or, with an aspect, than the photograph allows. A nudge is a pull of one pixel.
func (c Crop) Pulled(h Handle, dx, dy float64, photo Pixels, aspect Aspect) Crop {
	if math.IsNaN(dx) || math.IsNaN(dy) {
		return c
	}
	if h.X == 0 && h.Y == 0 {
		return c.Moved(dx, dy, photo)
	}
	x := stretch{start: c.X, length: c.Width, held: h.X, most: float64(photo.Width)}
	y := stretch{start: c.Y, length: c.Height, held: h.Y, most: float64(photo.Height)}
	x.pull(dx)
	y.pull(dy)
	if aspect > 0 {
		return locked(x, y, float64(aspect))
	}
	x.settle(min(max(x.length, leastCrop), x.room()))
	y.settle(min(max(y.length, leastCrop), y.room()))
	return Crop{X: x.start, Y: y.start, Width: x.length, Height: y.length}
}

// locked settles both directions of a crop that keeps its aspect.
func locked(x, y stretch, aspect float64) Crop {
	width := x.length
	if x.held == 0 || y.held != 0 && y.length*aspect > width {
		width = y.length * aspect
	}
	width = max(width, leastCrop, leastCrop*aspect)
	width = min(width, x.room(), y.room()*aspect)
	x.settle(width)
	y.settle(min(width/aspect, y.room()))
	return Crop{X: x.start, Y: y.start, Width: x.length, Height: y.length}
}

// stretch is one direction of a crop in a photograph, most pixels long, held by
// its near (-1) or far (1) edge or by neither.
type stretch struct {
	start, length, most float64
	held                int
}

// pull moves the held edge, no further than the photograph is long: what is pulled out
// of all measure has no figures left for where the crop was.
func (s *stretch) pull(by float64) {
	s.settle(s.length + float64(s.held)*min(max(by, -s.most), s.most))
}

// settle gives the stretch a length. What is not held stays, the middle if
// neither edge is.
func (s *stretch) settle(length float64) {
	s.start += (s.length - length) * float64(1-s.held) / 2
	s.length = length
	if s.held == 0 {
		s.start = min(max(s.start, 0), max(s.most-length, 0))
	}
}

// room is how long the stretch can become. A middle held by neither edge may
// give way.
func (s stretch) room() float64 {
	switch s.held {
	case 1:
		return s.most - s.start
	case -1:
		return s.start + s.length
	}
	return s.most
}

// Locked is the largest part of the crop, about its middle, that has an aspect:
// what remains of a free crop when it is locked to a canvas again.
func (c Crop) Locked(aspect Aspect) Crop {
	if !(aspect > 0) {
		return c
	}
	width := min(c.Width, c.Height*float64(aspect))
	height := min(width/float64(aspect), c.Height)
	return Crop{X: c.X + (c.Width-width)/2, Y: c.Y + (c.Height-height)/2, Width: width, Height: height}
}

// Canvases are the canvases that would have the crop's aspect: one as wide as the
// given one, the other as high. It is how a crop is kept and the canvas changed.
func (c Crop) Canvases(canvas Size) (asWide, asHigh Size) {
	aspect := MM(c.Aspect())
	asWide, asHigh = canvas, canvas
	asWide.Height = canvas.Width / aspect
	asHigh.Width = canvas.Height * aspect
	return asWide, asHigh
}
