// Package photo holds photographs: it tells what a file is from its bytes,
// refuses what would hurt, decodes upright on the command line, and cuts the
// picture into tiles and smaller copies averaged in linear light.
package photo

import (
	"math"

	"maulstick/render/colour"
	"maulstick/render/place"
)

// Picture is an upright photograph in 8-bit sRGB: the copy that every reading comes
// from. Width and Height are the photograph's, and whatever lies on it is told in its
// pixels. Pix holds rows from the top, four bytes a pixel in the order R, G, B, 255:
// every pixel, or, of a photograph that there is no room for, the mean light of each
// square of 2^Halved pixels a side, of as many of them as exist at the right and lower
// edges.
type Picture struct {
	Width, Height int
	Pix           []byte
	Halved        int
}

// New returns a black picture of the given size.
func New(width, height int) *Picture {
	return &Picture{Width: width, Height: height, Pix: make([]byte, 4*width*height)}
}

// NewHalved returns a black picture of a photograph of that size, whose pixels are held
// halved so many times.
func NewHalved(size place.Pixels, halved int) *Picture {
	held := Held(size, halved)
	p := New(held.Width, held.Height)
	p.Width, p.Height, p.Halved = size.Width, size.Height, halved
	return p
}

// Size is the photograph's size in pixels.
func (p *Picture) Size() place.Pixels { return place.Pixels{Width: p.Width, Height: p.Height} }

// Held is the size of a photograph that was halved so many times.
func Held(size place.Pixels, halved int) place.Pixels { return divided(size, 1<<halved) }

// Halvings is how often a photograph of a size has to be halved to have no more pixels
// than that.
func Halvings(size place.Pixels, most int) (n int) {
	for held := size; held.Width*held.Height > max(most, 1); held = Held(size, n) {
		n++
	}
	return n
}

// divided is the size of a picture in blocks of n by n pixels.
func divided(size place.Pixels, n int) place.Pixels {
	return place.Pixels{Width: (size.Width + n - 1) / n, Height: (size.Height + n - 1) / n}
}

// Held is the size of what Pix holds.
func (p *Picture) Held() place.Pixels { return Held(p.Size(), p.Halved) }

// AsHeld is what Pix holds as a picture of its own, on the same memory.
func (p *Picture) AsHeld() *Picture {
	held := p.Held()
	return &Picture{Width: held.Width, Height: held.Height, Pix: p.Pix}
}

// OnHeld is a crop of the photograph in pixels of what Pix holds, no more than there is.
func (p *Picture) OnHeld(c place.Crop) place.Crop {
	n, held := math.Ldexp(1, -p.Halved), p.Held()
	c.X, c.Y = c.X*n, c.Y*n
	c.Width, c.Height = min(c.Width*n, float64(held.Width)-c.X), min(c.Height*n, float64(held.Height)-c.Y)
	return c
}

// At is the colour of the pixel in column x and row y, clamped to the picture.
func (p *Picture) At(x, y int) colour.SRGB {
	x = min(max(x, 0), p.Width-1) >> p.Halved
	y = min(max(y, 0), p.Height-1) >> p.Halved
	i := 4 * (y*p.Held().Width + x)
	return colour.SRGB{R: p.Pix[i], G: p.Pix[i+1], B: p.Pix[i+2]}
}
