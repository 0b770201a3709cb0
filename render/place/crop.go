package place

import (
	"fmt"
	"math"
)

// WholeCrop is the whole photograph.
func WholeCrop(photo Pixels) Crop {
	return Crop{Width: float64(photo.Width), Height: float64(photo.Height)}
}

// CentredCrop is the largest part of the photograph, about its middle, that has
// the canvas's proportion the way round the canvas stands. One of its sides is
// the photograph's own.
func CentredCrop(photo Pixels, canvas Size) Crop {
	crop := WholeCrop(photo)
	aspect := float64(canvas.Width / canvas.Height)
	if crop.Width > crop.Height*aspect {
		crop.Width = crop.Height * aspect
	} else {
		crop.Height = min(crop.Width/aspect, crop.Height)
	}
	crop.X = (float64(photo.Width) - crop.Width) / 2
	crop.Y = (float64(photo.Height) - crop.Height) / 2
	return crop
}

// Contains says whether a place is within the crop, its edges included.
func (c Crop) Contains(p PhotoPoint) bool {
	return p.X >= c.X && p.X <= c.X+c.Width && p.Y >= c.Y && p.Y <= c.Y+c.Height
}

// cropSlack is how far, in pixels, rounding may put a crop's edge outside the
// photograph.
const cropSlack = 1e-6

// Check refuses a crop without size or not wholly on the photograph. The error
// is a *Problem.
func (c Crop) Check(photo Pixels) error {
	var what string
	for _, n := range []float64{c.X, c.Y, c.Width, c.Height} {
		if math.IsNaN(n) || math.IsInf(n, 0) {
			what = "it is not four numbers"
		}
	}
	switch {
	case what != "":
	case c.Width <= 0 || c.Height <= 0:
		what = "its width and height are not both over 0"
	case c.X < -cropSlack || c.Y < -cropSlack:
		what = "it begins outside the photograph"
	case c.X+c.Width > float64(photo.Width)+cropSlack || c.Y+c.Height > float64(photo.Height)+cropSlack:
		what = "it ends outside the photograph"
	default:
		return nil
	}
	return &Problem{
		Doing:  fmt.Sprintf("cropping to %g,%g,%g,%g", c.X, c.Y, c.Width, c.Height),
		What:   what,
		Wanted: fmt.Sprintf("give left, top, width and height in pixels within %d x %d", photo.Width, photo.Height),
	}
}

// Centres is the range of pixels between low and high whose centres lie from
// start, included, to start+length, not included. Edges that are no numbers
// include nothing.
func Centres(start, length float64, low, high int) (first, end int) {
	inside := func(edge float64) int {
		if math.IsNaN(edge) {
			return low
		}
		return int(min(max(math.Ceil(edge-0.5), float64(low)), float64(high)))
	}
	first = inside(start)
	return first, max(inside(start+length), first)
}
