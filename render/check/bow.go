package check

import (
	"math"

	"maulstick/render/place"
)

// Bow is the bow of a lens: how straight lines come out bent on its photograph. It
// is the first radial term of D. C. Brown's model (Close-range camera calibration,
// Photogrammetric Engineering 37:855, 1971): a place at a distance r from the
// photograph's middle, in half diagonals, lands K r^3 further out, or further in
// where K is under 0, the barrel of wide lenses.
type Bow struct {
	K     float64
	Photo place.Pixels
}

// mostBow is the strongest bow that is allowed for either way: at a corner of the
// photograph a tenth of the half diagonal.
const mostBow = 0.10

// unit is the middle of the photograph, and half its diagonal in pixels.
func (b Bow) unit() (x, y, half float64) {
	w, h := float64(b.Photo.Width), float64(b.Photo.Height)
	return w / 2, h / 2, math.Hypot(w, h) / 2
}

// Bent is where a place of the straight picture lands on the photograph.
func (b Bow) Bent(p place.PhotoPoint) place.PhotoPoint {
	x, y, half := b.unit()
	dx, dy := p.X-x, p.Y-y
	grow := 1 + b.K*(dx*dx+dy*dy)/(half*half)
	return place.PhotoPoint{X: x + dx*grow, Y: y + dy*grow}
}

// Straight is where a place of the photograph would lie without the bow, to 1e-9
// of the half diagonal for bows of up to mostBow on the photograph.
func (b Bow) Straight(p place.PhotoPoint) place.PhotoPoint {
	x, y, half := b.unit()
	dx, dy := p.X-x, p.Y-y
	bent := math.Hypot(dx, dy) / half
	if b.K == 0 || bent == 0 {
		return p
	}
	// Newton's method on r + K r^3 = bent; over this range the slope stays over 0.
	r := bent
	for range 12 {
		step := (r + b.K*r*r*r - bent) / max(1+3*b.K*r*r, 0.2)
		r -= step
		if math.Abs(step) < 1e-13 {
			break
		}
	}
	return place.PhotoPoint{X: x + dx*r/bent, Y: y + dy*r/bent}
}
