package main

import (
	"flag"
	"fmt"
	"image"
	"strconv"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// paintClasses is the crop in greys of the same value, tinted by the class of each
// pixel, -2 to 2: the pixels whose centres lie in it.
func paintClasses(p *photo.Picture, crop place.Crop, class func(colour.SRGB) int) *image.NRGBA {
	left, right := place.Centres(crop.X, crop.Width, 0, p.Width)
	top, bottom := place.Centres(crop.Y, crop.Height, 0, p.Height)
	out := image.NewNRGBA(image.Rect(0, 0, right-left, bottom-top))
	tints := look.ClassTints()
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			c := p.At(left+x, top+y)
			t := tints[class(c)+2][colour.EyeMeter.Read(c.R, c.G, c.B).Grey()]
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

// declareSubject declares what a command that reads one colour or a photograph is
// asked with, and how it paints the latter.
func (o *options) declareSubject(f *flag.FlagSet, rgb, output *string, helpOutput string) {
	o.declareReference(f)
	f.StringVar(rgb, "rgb", "", helpRGB)
	f.StringVar(&o.canvas, "canvas", "", helpCanvas+helpWithC)
	f.StringVar(&o.crop, "crop", "", helpPart)
	f.StringVar(output, "o", "", helpOutput)
	o.declareJSON(f)
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
