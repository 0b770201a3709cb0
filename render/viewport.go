package render

import (
	"math"

	"maulstick/render/place"
)

// MaxScale is the closest look there is, in device pixels a photo pixel.
const MaxScale = 16

// signs are -1 for the directions that the viewport exchanges.
func (v Viewport) signs() (x, y float64) {
	x, y = 1, 1
	if v.Turned {
		x, y = -x, -y
	}
	if v.Mirror {
		x = -x
	}
	return x, y
}

// ToScreen is where a place of the photograph appears, in device pixels right
// and down from the viewport's top left corner; pixel (i, j) of the screen has
// its centre at (i+0.5, j+0.5). ToPhoto undoes it to within 1e-9.
func (v Viewport) ToScreen(p place.PhotoPoint) (x, y float64) {
	sx, sy := v.signs()
	return float64(v.Width)/2 + float64(sx*(p.X-v.Centre.X)*v.Scale),
		float64(v.Height)/2 + float64(sy*(p.Y-v.Centre.Y)*v.Scale)
}

// ToPhoto is the place of the photograph seen at a place of the viewport, in
// device pixels from its top left corner.
func (v Viewport) ToPhoto(x, y float64) place.PhotoPoint {
	sx, sy := v.signs()
	return place.PhotoPoint{
		X: v.Centre.X + sx*(x-float64(v.Width)/2)/v.Scale,
		Y: v.Centre.Y + sy*(y-float64(v.Height)/2)/v.Scale,
	}
}

// Fit is the viewport of width by height device pixels that shows the whole
// crop in its middle, as large as it goes with a margin of the given number of
// device pixels on every side. It never magnifies beyond MaxScale; a viewport
// smaller than its margins does without them.
func Fit(crop place.Crop, width, height int, margin float64) Viewport {
	v := Viewport{Width: width, Height: height, Scale: 1, Centre: centreOf(crop)}
	if crop.Width <= 0 || crop.Height <= 0 || width <= 0 || height <= 0 {
		return v
	}
	w, h := float64(width)-2*margin, float64(height)-2*margin
	if w < 1 || h < 1 {
		w, h = float64(width), float64(height)
	}
	v.Scale = min(w/crop.Width, h/crop.Height, MaxScale)
	return v
}

// Zoom is the viewport with its scale multiplied by factor, at most MaxScale,
// and the place of the photograph under (x, y) kept under it. A factor that is
// not over zero changes nothing.
func (v Viewport) Zoom(factor, x, y float64) Viewport {
	if !(factor > 0) || math.IsInf(factor, 0) {
		return v
	}
	under := v.ToPhoto(x, y)
	v.Scale = min(v.Scale*factor, MaxScale)
	return v.Hold(under, x, y)
}

// Hold is the viewport moved, not scaled, so that the place p of the
// photograph appears at (x, y).
func (v Viewport) Hold(p place.PhotoPoint, x, y float64) Viewport {
	sx, sy := v.signs()
	v.Centre.X = p.X - sx*(x-float64(v.Width)/2)/v.Scale
	v.Centre.Y = p.Y - sy*(y-float64(v.Height)/2)/v.Scale
	return v
}

// Pan is the viewport with its picture moved by (dx, dy) device pixels.
func (v Viewport) Pan(dx, dy float64) Viewport {
	sx, sy := v.signs()
	v.Centre.X -= sx * dx / v.Scale
	v.Centre.Y -= sy * dy / v.Scale
	return v
}

// Clamp is the nearest viewport that does not lose the picture: its scale lies
// between that of Fit with the same margin and MaxScale; along each direction a
// picture that fits stands in the middle, and one that does not keeps its
// edges at or outside the margin.
func (v Viewport) Clamp(crop place.Crop, margin float64) Viewport {
	fit := Fit(crop, v.Width, v.Height, margin)
	v.Scale = min(max(v.Scale, fit.Scale), MaxScale)
	if math.IsNaN(v.Scale) {
		v.Scale = fit.Scale
	}
	v.Centre.X = clampCentre(v.Centre.X, crop.X, crop.Width, (float64(v.Width)/2-margin)/v.Scale)
	v.Centre.Y = clampCentre(v.Centre.Y, crop.Y, crop.Height, (float64(v.Height)/2-margin)/v.Scale)
	return v
}

// clampCentre keeps c at least half from either end of start..start+length, or
// in its middle when there is no such place. All are photo pixels.
func clampCentre(c, start, length, half float64) float64 {
	if math.IsNaN(c) || length <= 2*half {
		return start + length/2
	}
	return min(max(c, start+half), start+length-half)
}

func centreOf(c place.Crop) place.PhotoPoint {
	return place.PhotoPoint{X: c.X + c.Width/2, Y: c.Y + c.Height/2}
}

// Inside is the part of the viewport in which the crop shows: the pixels whose
// centres lie in the crop, left and top edge included. It may be empty.
func (v Viewport) Inside(crop place.Crop) Rect {
	x0, y0 := v.ToScreen(place.PhotoPoint{X: crop.X, Y: crop.Y})
	x1, y1 := v.ToScreen(place.PhotoPoint{X: crop.X + crop.Width, Y: crop.Y + crop.Height})
	left, right := pixels(x0, x1, v.Width)
	top, bottom := pixels(y0, y1, v.Height)
	return Rect{X: left, Y: top, Width: right - left, Height: bottom - top}
}

// pixels is the run first..end-1 of pixels whose centres lie between a and b,
// in either order, kept within 0..n.
func pixels(a, b float64, n int) (first, end int) {
	lo, hi := min(a, b), max(a, b)
	f := min(max(math.Ceil(lo-0.5), 0), float64(n))
	e := min(max(math.Ceil(hi-0.5), f), float64(n))
	return int(f), int(e)
}

// Empty says whether a rectangle holds no pixel.
func (r Rect) Empty() bool { return r.Width <= 0 || r.Height <= 0 }

// Level is the smaller copy of the photograph to sample from, of levels 0
// (full size) to levels-1, each half of the one before: the smallest that the
// screen does not magnify, or the last. Its pixels are shown at more than half
// a device pixel and at most one.
func (v Viewport) Level(levels int) int {
	k := 0
	for s := v.Scale; k+1 < levels && s*2 <= 1; s *= 2 {
		k++
	}
	return k
}
