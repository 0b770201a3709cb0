package check

import (
	"maulstick/render/photo"
	"maulstick/render/place"
)

// Side is how many pixels the long side of both pictures has while they are compared.
// A reference that was reduced to its painted part, with a long side of so many pixels
// at least, is compared as the whole is.
const Side = workSide

// Painting is the painting squared up, nil without a canvas.
func (r *Report) Painting() *photo.Picture { return stored(r.painting) }

// Reference is the painted part of the reference in the size of Painting, nil without a
// canvas.
func (r *Report) Reference() *photo.Picture { return stored(r.ref) }

func stored(l lit) *photo.Picture {
	if len(l.rgb) == 0 {
		return nil
	}
	return l.stored()
}

// Off is how far the whole is off at a place, to the right and down.
func (w Whole) Off(at place.CanvasPoint, canvas place.Size) (dx, dy place.MM) {
	x, y := w.at(fromMiddle(at, canvas))
	return place.MM(x), place.MM(y)
}
