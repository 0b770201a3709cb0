//go:build !js || darkroom

package photo

import (
	"image"
	"image/color"
)

// full is the greatest 16-bit code.
const full = 0xffff

// source hands out a decoded picture row by row.
type source struct {
	width, height int
	deep          bool // more than 8 bits a channel are stored
	// row writes row y as 16-bit codes of red, green, blue and opacity, four a
	// pixel and not multiplied into each other. Rows may be asked for at once.
	row func(y int, out []uint16)
}

// sourceOf reads an image as its decoder left it; chroma tells how to read one
// of luma and chroma.
func sourceOf(m image.Image, by chroma) source {
	b := m.Bounds()
	s := source{width: b.Dx(), height: b.Dy()}
	switch m := m.(type) {
	case *image.YCbCr:
		s.row = by.rows(m, nil)
	case *image.NYCbCrA:
		s.row = by.rows(&m.YCbCr, m)
	case *image.RGBA:
		s.row = func(y int, out []uint16) {
			for i, v := range m.Pix[y*m.Stride:][:4*s.width] {
				out[i] = 257 * uint16(v)
			}
			divide(out)
		}
	case *image.NRGBA:
		s.row = func(y int, out []uint16) {
			for i, v := range m.Pix[y*m.Stride:][:4*s.width] {
				out[i] = 257 * uint16(v)
			}
		}
	case *image.Gray:
		s.row = func(y int, out []uint16) {
			for x, v := range m.Pix[y*m.Stride:][:s.width] {
				c := 257 * uint16(v)
				out[4*x], out[4*x+1], out[4*x+2], out[4*x+3] = c, c, c, full
			}
		}
	default:
		_, rgba := m.(*image.RGBA64)
		_, nrgba := m.(*image.NRGBA64)
		_, grey := m.(*image.Gray16)
		s.deep = rgba || nrgba || grey
		s.row = func(y int, out []uint16) { anyRow(m, b.Min.X, b.Min.Y+y, out) }
	}
	return s
}

// anyRow reads a row of an image of any sort.
func anyRow(m image.Image, left, y int, out []uint16) {
	for x := 0; 4*x < len(out); x++ {
		c := color.NRGBA64Model.Convert(m.At(left+x, y)).(color.NRGBA64)
		out[4*x], out[4*x+1], out[4*x+2], out[4*x+3] = c.R, c.G, c.B, c.A
	}
}

// divide takes the opacity out of codes that it was multiplied into.
func divide(out []uint16) {
	for ; len(out) >= 4; out = out[4:] {
		if a := uint32(out[3]); a != full && a != 0 {
			for i := range 3 {
				out[i] = uint16(min((uint32(out[i])*full+a/2)/a, full))
			}
		}
	}
}

// placed is the source at a place on a larger, else transparent canvas, as a
// frame of an animation lies.
func (s source) placed(left, top, width, height int) source {
	if left == 0 && top == 0 && s.width == width && s.height == height {
		return s
	}
	out := source{width: width, height: height, deep: s.deep}
	out.row = func(y int, row []uint16) {
		clear(row)
		if y -= top; y < 0 || y >= s.height || left < 0 || left >= width {
			return
		}
		own := make([]uint16, 4*s.width)
		s.row(y, own)
		copy(row[4*left:], own)
	}
	return out
}

// without is the source with what is missing of it marked: stripes of black and
// white that no photograph has, and no grey that could be read as a value.
func (s source) without(missing func(x, y int) bool) source {
	row := s.row
	s.row = func(y int, out []uint16) {
		row(y, out)
		for x := range s.width {
			if missing(x, y) {
				c := uint16(0)
				if (x+y)/8%2 == 0 {
					c = full
				}
				out[4*x], out[4*x+1], out[4*x+2], out[4*x+3] = c, c, c, full
			}
		}
	}
	return s
}
