package survey

import (
	"math"

	"maulstick/render"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// Part is what of a photograph a copy can be made from as well as from the whole: a
// rectangle of a level of its pyramid, in pixels of the level.
type Part struct {
	Level                    int
	Left, Top, Width, Height int
}

// PartOf is the part that the copy of a crop is made from: the smallest level that
// has at least the copy's pixels, and a pixel more on every side of the crop.
func PartOf(y *photo.Pyramid, crop place.Crop) Part {
	var p Part
	for scale := render.TabletView(crop, render.TabletPixels).Scale; p.Level+1 < y.Levels() && scale*2 <= 1; scale *= 2 {
		p.Level++
	}
	_, _, side := p.Lies()
	p.Width, p.Height = y.LevelSize(p.Level)
	within := func(start, length float64, whole int) (first, count int) {
		first = min(max(int(math.Floor(start/side))-1, 0), whole-1)
		return first, max(min(int(math.Ceil((start+length)/side))+1, whole)-first, 1)
	}
	p.Left, p.Width = within(crop.X, crop.Width, p.Width)
	p.Top, p.Height = within(crop.Y, crop.Height, p.Height)
	return p
}

// Lies is how the part lies on the photograph, as NewCopy takes it.
func (p Part) Lies() (left, top, side float64) {
	side = math.Ldexp(1, p.Level)
	return float64(p.Left) * side, float64(p.Top) * side, side
}

// Rows writes rows of the part into buf, from one on as many as there are and as
// have room, four bytes a pixel, and returns what was written.
func (p Part) Rows(y *photo.Pyramid, from int, buf []byte) []byte {
	n := min(len(buf)/(4*p.Width), p.Height-from)
	buf = buf[:4*p.Width*n]
	y.Cut(p.Level, p.Left, p.Top+from, p.Width, n, buf)
	return buf
}
