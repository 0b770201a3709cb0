package main

import (
	"fmt"
	"strconv"

	"maulstick/render/place"
	"maulstick/render/study"
)

// squaring is a photograph squared up by four corners before it is turned and
// cropped.
type squaring struct {
	righting study.Righting
	to       place.Homography
	size     place.Pixels // squared up
}

// squareUp squares a photograph up as -corners, -flat and -focal say; without corners
// it stays as it is.
func (o *options) squareUp(c cropping, photo place.Pixels) (squaring, error) {
	s := squaring{size: photo, righting: study.Righting{Corners: []place.PhotoPoint{}}}
	if c.corners == "" {
		if c.flat != "" || c.focal != 0 {
			return s, o.missing("corners", "400,300,2100,280,2200,1500,350,1550")
		}
		s.to, _, _ = s.righting.Forward(photo)
		return s, nil
	}
	quad, err := o.quadOf(c.corners, photo)
	if err != nil {
		return s, err
	}
	flat, err := o.flatOf(c, quad, photo)
	if err != nil {
		return s, err
	}
	s.righting = study.Righting{Corners: quad[:], Flat: flat}
	s.to, s.size, err = s.righting.Forward(photo)
	return s, err
}

// quadOf reads four corners, in whatever order they are given.
func (o *options) quadOf(list string, photo place.Pixels) (place.Quad, error) {
	n, err := whole(list, 8)
	if err != nil {
		return place.Quad{}, &place.Problem{
			Doing: "reading the corners " + strconv.Quote(list), What: err.Error(),
			Wanted: "give columns and rows of four pixels, as in -corners 400,300,2100,280,2200,1500,350,1550",
		}
	}
	var corners [4]place.PhotoPoint
	for i := range corners {
		x, y, err := o.spotOf(fmt.Sprintf("%d,%d", n[2*i], n[2*i+1]), photo)
		if err != nil {
			return place.Quad{}, err
		}
		corners[i] = place.PhotoPoint{X: float64(x) + 0.5, Y: float64(y) + 0.5}
	}
	return place.Ordered(corners), nil
}

// flatOf is the size of the flat thing: as given, or of the proportion that the lens
// gives it away by.
func (o *options) flatOf(c cropping, quad place.Quad, photo place.Pixels) (place.Size, error) {
	switch {
	case c.flat != "" && c.focal != 0:
		return place.Size{}, o.misused("-flat and -focal are both given")
	case c.flat != "":
		return place.ParseSize(c.flat, place.Inch)
	case c.focal == 0:
		return place.Size{}, o.missing("flat", "8x10in, the size of the flat thing; or -focal 28, the focal length as on 35 mm film")
	}
	aspect, err := quad.Aspect(place.FocalPixels(place.MM(c.focal), photo), photo)
	if err != nil {
		return place.Size{}, err
	}
	const side = 1000 // mm: only the proportion matters
	return place.Size{Width: side * place.MM(aspect), Height: side, Unit: place.Millimetre}, nil
}

// note says how a photograph is squared up, "" where it is not.
func (s squaring) note() string {
	if s.righting.None() {
		return ""
	}
	return fmt.Sprintf("the photograph is squared up by four corners to a proportion of %.3f; the crop counts in pixels of that picture, %d x %d",
		place.Proportion(float64(s.righting.Flat.Width), float64(s.righting.Flat.Height)), s.size.Width, s.size.Height)
}
