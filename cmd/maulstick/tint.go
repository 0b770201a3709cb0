package main

import (
	"fmt"
	"image"
	"math"
	"strconv"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// The light that the two sides of a reading are tinted with: orange for lighter and
// warmer, blue for darker and cooler.
var (
	orangeTint = colour.Linear{R: 1, G: 0.3, B: 0.02}
	blueTint   = colour.Linear{R: 0.05, G: 0.25, B: 1}
)

// tints is every grey tinted by class, from -2 to 2: 0 stays grey, 2 and -2 take the
// tint, 1 and -1 half of it. Each keeps the grey's value.
func tints() (table [5][256]colour.SRGB) {
	for class := range table {
		tint, part := orangeTint, float64(class-2)/2
		if part < 0 {
			tint, part = blueTint, -part
		}
		for code := range 256 {
			table[class][code] = tinted(colour.Decode(uint8(code)), tint, part)
		}
	}
	return table
}

// tinted is a colour of the given luminance on the way from grey, part 0, to the
// tint, as far as it can be stored.
func tinted(light float64, tint colour.Linear, part float64) colour.SRGB {
	scale := light / float64(tint.Luminance())
	full := colour.Linear{R: tint.R * scale, G: tint.G * scale, B: tint.B * scale}
	if most := max(full.R, full.G, full.B); most > 1 {
		part = min(part, (1-light)/(most-light))
	}
	return colour.Linear{
		R: light + part*(full.R-light),
		G: light + part*(full.G-light),
		B: light + part*(full.B-light),
	}.SRGB()
}

// paintClasses is the crop in greys of the same value, tinted by the class of each
// pixel, -2 to 2: the pixels whose centres lie in it.
func paintClasses(p *photo.Picture, crop place.Crop, class func(colour.SRGB) int) *image.NRGBA {
	left, top := int(math.Ceil(crop.X-0.5)), int(math.Ceil(crop.Y-0.5))
	right, bottom := int(math.Ceil(crop.X+crop.Width-0.5)), int(math.Ceil(crop.Y+crop.Height-0.5))
	out := image.NewNRGBA(image.Rect(0, 0, max(right-left, 0), max(bottom-top, 0)))
	table := tints()
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			c := p.At(left+x, top+y)
			t := table[class(c)+2][colour.EyeMeter.Read(c.R, c.G, c.B).Grey()]
			copy(out.Pix[out.PixOffset(x, y):], []byte{t.R, t.G, t.B, 255})
		}
	}
	return out
}

const (
	helpRGB   = "one colour, its sRGB codes 0 to 255, `R,G,B`, instead of a photograph"
	helpPart  = "the painted part of the photograph in pixels, `X,Y,W,H`; without it the whole"
	helpWithC = "; the picture is cropped to its proportion"
)

// rgbCodes are the sRGB codes of a colour as JSON has them.
type rgbCodes [3]uint8

func codesOf(c colour.SRGB) rgbCodes { return rgbCodes{c.R, c.G, c.B} }

func (c rgbCodes) String() string { return fmt.Sprintf("%d,%d,%d", c[0], c[1], c[2]) }

// parseRGB reads a colour given by -rgb.
func parseRGB(list string) (colour.SRGB, error) {
	problem := func(what string) error {
		return &place.Problem{
			Doing: "reading the colour " + strconv.Quote(list), What: what,
			Wanted: "give red, green and blue as sRGB codes from 0 to 255, as in -rgb 204,38,30",
		}
	}
	n, err := whole(list, 3)
	if err != nil {
		return colour.SRGB{}, problem(err.Error())
	}
	for _, code := range n {
		if code < 0 || code > 255 {
			return colour.SRGB{}, problem(fmt.Sprintf("%d is not between 0 and 255", code))
		}
	}
	return colour.SRGB{R: uint8(n[0]), G: uint8(n[1]), B: uint8(n[2])}, nil
}

// oneOf makes sure that either one colour or a photograph was asked about.
func (o *options) oneOf(rgb string) error {
	switch {
	case rgb != "" && o.reference != "":
		return o.misused("-rgb and -reference are both given")
	case rgb == "" && o.reference == "":
		return o.missing("reference", "photo.jpg, or -rgb 204,38,30 for one colour")
	default:
		return nil
	}
}
