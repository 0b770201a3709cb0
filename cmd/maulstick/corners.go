package main

import (
	"fmt"
	"strconv"
	"strings"

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

// quadOf reads four corners, in whatever order they are given: pixels, of which the middle
// is meant, or, with decimals, places as "check" tells them.
func (o *options) quadOf(list string, photo place.Pixels) (place.Quad, error) {
	list = strings.ReplaceAll(list, "+", ",")
	if strings.Contains(list, ".") {
		return pointsOf(list, photo)
	}
	n, err := whole(list, 8)
	if err != nil {
		return place.Quad{}, noCorners(list, err.Error())
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

// pointsOf reads four corners with decimals.
func pointsOf(list string, photo place.Pixels) (quad place.Quad, err error) {
	parts := strings.Split(list, ",")
	if len(parts) != 8 {
		return quad, noCorners(list, fmt.Sprintf("it holds %d numbers, not 8", len(parts)))
	}
	var n [8]float64
	for i, part := range parts {
		side := [2]int{photo.Width, photo.Height}[i%2]
		if n[i], err = strconv.ParseFloat(strings.TrimSpace(part), 64); err != nil {
			return quad, noCorners(list, fmt.Sprintf("%q is no number", part))
		}
		if !(n[i] >= 0 && n[i] <= float64(side)) {
			return quad, noCorners(list, fmt.Sprintf("%s is not on the photograph, which is %d x %d pixels", part, photo.Width, photo.Height))
		}
	}
	return place.Ordered([4]place.PhotoPoint{{X: n[0], Y: n[1]}, {X: n[2], Y: n[3]}, {X: n[4], Y: n[5]}, {X: n[6], Y: n[7]}}), nil
}

// noCorners is the problem of a list that is none of four corners.
func noCorners(list, what string) error {
	return &place.Problem{
		Doing: "reading the corners " + strconv.Quote(list), What: what,
		Wanted: "give columns and rows of four pixels, as in -corners 400,300,2100,280,2200,1500,350,1550",
	}
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
