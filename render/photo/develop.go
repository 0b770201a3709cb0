//go:build !js || darkroom

package photo

import (
	"sync/atomic"

	"maulstick/render/colour"
	"maulstick/render/crew"
	"maulstick/render/place"
)

// Deep is a photograph that was stored with more than 8 bits a colour, as
// precisely: rows from the top, 16-bit sRGB codes of red, green and blue, three a
// pixel.
type Deep struct {
	Width, Height int
	Pix           []uint16
}

// At is the codes of the pixel in column x and row y, clamped to the picture.
func (d *Deep) At(x, y int) []uint16 {
	x, y = min(max(x, 0), d.Width-1), min(max(y, 0), d.Height-1)
	i := 3 * (y*d.Width + x)
	return d.Pix[i : i+3 : i+3]
}

// Linear is the light of the pixel in column x and row y, clamped to the picture.
func (d *Deep) Linear(x, y int) colour.Linear {
	c := d.At(x, y)
	light := func(code uint16) float64 { return colour.DecodeUnit(float64(code) / full) }
	return colour.Linear{R: light(c[0]), G: light(c[1]), B: light(c[2])}
}

// darkroom turns what was decoded into upright sRGB.
type darkroom struct {
	source
	space    *space // nil for sRGB
	upright  Orientation
	division int
	outside  atomic.Int64 // how many pixels sRGB cannot show
}

// develop makes the picture, and the deep one if that is wanted.
func (d *darkroom) develop(wanted bool) (*Picture, *Deep) {
	size := divided(place.Pixels{Width: d.width, Height: d.height}, d.division)
	stored := size
	if d.upright.swaps() {
		size.Width, size.Height = size.Height, size.Width
	}
	p := New(size.Width, size.Height)
	var deep *Deep
	if wanted {
		deep = &Deep{size.Width, size.Height, make([]uint16, 3*size.Width*size.Height)}
	}
	crew.Share(stored.Height, 8, func(first, end int) {
		codes := make([]uint16, 4*d.width)
		sums := make([]uint64, 3*stored.Width)
		for y := first; y < end; y++ {
			start, step := d.path(y, size)
			if d.division > 1 {
				d.average(y, codes, sums, func(x int, r, g, b uint8) {
					copy(p.Pix[4*(start+x*step):], []byte{r, g, b, 255})
				})
				continue
			}
			d.source.row(y, codes)
			d.convert(codes)
			for x := range d.width {
				to, c := start+x*step, codes[4*x:4*x+3:4*x+3]
				o := p.Pix[4*to : 4*to+4 : 4*to+4]
				o[0], o[1], o[2], o[3] = byteOf(c[0]), byteOf(c[1]), byteOf(c[2]), 255
				if deep != nil {
					copy(deep.Pix[3*to:], c)
				}
			}
		}
	})
	return p, deep
}

// path is where row y of what is stored begins in an upright picture of a size,
// and how far apart there its pixels are, counted in pixels.
func (d *darkroom) path(y int, size place.Pixels) (start, step int) {
	back := d.upright
	switch back {
	case 6:
		back = 8
	case 8:
		back = 6
	}
	x0, y0 := back.source(0, y, size.Width, size.Height)
	x1, y1 := back.source(1, y, size.Width, size.Height)
	return y0*size.Width + x0, (y1-y0)*size.Width + x1 - x0
}

// byteOf is the 8-bit code nearest to a 16-bit one.
func byteOf(code uint16) uint8 { return uint8((uint32(code)*255 + full/2) / full) }

// convert turns a row of codes into sRGB on white, mixed in codes as browsers do
// it (W3C Compositing and Blending 1).
func (d *darkroom) convert(codes []uint16) {
	outside := int64(0)
	for c := codes; len(c) >= 4; c = c[4:] {
		if d.space != nil {
			r, g, b := d.space.linear(c[0], c[1], c[2])
			if c[3] > 0 && beyond(r, g, b) {
				outside++
			}
			if d.deep || c[3] != full {
				c[0], c[1], c[2] = wide16(r), wide16(g), wide16(b)
			} else {
				c[0], c[1], c[2] = 257*uint16(colour.Encode(r)), 257*uint16(colour.Encode(g)), 257*uint16(colour.Encode(b))
			}
		}
		if a := uint64(c[3]); a != full {
			for i := range 3 {
				c[i] = uint16((uint64(c[i])*a + full*(full-a) + full/2) / full)
			}
		}
	}
	if outside > 0 {
		d.outside.Add(outside)
	}
}

// wide16 is the 16-bit code of linear light.
func wide16(light float64) uint16 { return uint16(colour.EncodeUnit(light)*full + 0.5) }

// average gives each block of a row of blocks, averaged in linear light. It has
// room for a row of codes and one of sums to work with.
func (d *darkroom) average(row int, codes []uint16, sums []uint64, each func(x int, r, g, b uint8)) {
	clear(sums)
	t := lightTables()
	top := row * d.division
	rows := min(d.division, d.height-top)
	for y := top; y < top+rows; y++ {
		d.source.row(y, codes)
		d.convert(codes)
		for x := range d.width {
			s := sums[3*(x/d.division):]
			for i := range 3 {
				s[i] += uint64(t.light[byteOf(codes[4*x+i])])
			}
		}
	}
	for x := 0; 3*x < len(sums); x++ {
		n := uint64(rows * min(d.division, d.width-x*d.division))
		at := func(i int) uint8 { return t.code[(sums[3*x+i]+n/2)/n] }
		each(x, at(0), at(1), at(2))
	}
}
