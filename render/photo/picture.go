// Package photo holds photographs: it tells what a file is from its bytes,
// refuses what would hurt, decodes upright on the command line, and cuts the
// picture into tiles and smaller copies averaged in linear light.
package photo

import (
	"maulstick/render/colour"
	"maulstick/render/place"
)

// Picture is an upright photograph in 8-bit sRGB at full resolution: the copy
// that every reading comes from. Pix holds rows from the top, four bytes a
// pixel in the order R, G, B, 255.
type Picture struct {
	Width, Height int
	Pix           []byte
}

// New returns a black picture of the given size.
func New(width, height int) *Picture {
	return &Picture{Width: width, Height: height, Pix: make([]byte, 4*width*height)}
}

// Size is the picture's size in pixels.
func (p *Picture) Size() place.Pixels { return place.Pixels{Width: p.Width, Height: p.Height} }

// At is the colour of the pixel in column x and row y, clamped to the picture.
func (p *Picture) At(x, y int) colour.SRGB {
	x = min(max(x, 0), p.Width-1)
	y = min(max(y, 0), p.Height-1)
	i := 4 * (y*p.Width + x)
	return colour.SRGB{R: p.Pix[i], G: p.Pix[i+1], B: p.Pix[i+2]}
}
