package shape

import (
	"cmp"
	"slices"

	"maulstick/render/place"
)

// Focal says when the focal area is blocked in.
type Focal int

// The focal area comes in its turn, before everything else, or after.
const (
	FocalInTurn Focal = iota
	FocalFirst
	FocalLast
)

// FocalArea is the part of a picture that the eye is to go to: the shape at a
// place, and all shapes whose own place is near it.
type FocalArea struct {
	When Focal
	At   place.PhotoPoint // in pixels of the flattened picture
	Near float64          // how near, in pixels
}

// BlockIn is an order in which to paint the shapes, as indexes of f.Shapes:
// large before small, and among shapes of about one size darks before lights, as
// block-ins go by trade usage. About one size is: the largest with all down to a
// quarter of it, then the largest of the rest with all down to a quarter of that,
// and so on. The focal area keeps this order within itself.
func (f *Flat) BlockIn(focal FocalArea) []int {
	n := len(f.Shapes)
	order, turns, sizes := make([]int, n), make([]int, n), make([]int, n)
	size, largest := 0, 0
	for i, s := range f.Shapes { // from the largest
		if 4*s.Area < largest || i == 0 {
			size, largest = size+1, s.Area
		}
		order[i], turns[i], sizes[i] = i, f.turn(i, focal), size
	}
	slices.SortStableFunc(order, func(a, b int) int {
		p, q := &f.Shapes[a], &f.Shapes[b]
		return cmp.Or(
			cmp.Compare(turns[a], turns[b]),
			cmp.Compare(sizes[a], sizes[b]),
			cmp.Compare(p.Mean.Luminance(), q.Mean.Luminance()),
			cmp.Compare(q.Area, p.Area),
		)
	})
	return order
}

// turn is -1 for shapes that come before all others, 1 for those after.
func (f *Flat) turn(i int, focal FocalArea) int {
	turn := 0
	switch focal.When {
	case FocalFirst:
		turn = -1
	case FocalLast:
		turn = 1
	}
	dx, dy := f.Shapes[i].Place.X-focal.At.X, f.Shapes[i].Place.Y-focal.At.Y
	if f.At(focal.At) == i || float64(dx*dx)+float64(dy*dy) <= focal.Near*focal.Near {
		return turn
	}
	return 0
}

// At is the index of the shape at a place, -1 off the picture.
func (f *Flat) At(p place.PhotoPoint) int {
	if !(p.X >= 0 && p.Y >= 0 && p.X < float64(f.Width) && p.Y < float64(f.Height)) {
		return -1
	}
	return int(f.IDs[int(p.Y)*f.Width+int(p.X)])
}
