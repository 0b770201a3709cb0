//go:build !js

package photo

import (
	"image"
	"image/color"
	"image/draw"
)

// lay puts a decoded image on a white picture, which a frame of an animation
// need not fill.
func lay(p *Picture, stored image.Image, video bool) {
	for i := range p.Pix {
		p.Pix[i] = 255
	}
	switch m := stored.(type) {
	case *image.YCbCr:
		if video {
			layVideo(p, m, nil, 0)
			return
		}
	case *image.NYCbCrA:
		layVideo(p, &m.YCbCr, m.A, m.AStride)
		return
	case *image.RGBA64, *image.NRGBA64, *image.Gray16:
		layDeep(p, stored)
		return
	}
	if opaque, ok := stored.(interface{ Opaque() bool }); ok && opaque.Opaque() {
		out := &image.RGBA{Pix: p.Pix, Stride: 4 * p.Width, Rect: image.Rect(0, 0, p.Width, p.Height)}
		draw.Draw(out, stored.Bounds(), stored, stored.Bounds().Min, draw.Src)
		return
	}
	layDeep(p, stored)
}

// layDeep puts an image of any sort on the picture, at 16 bits a colour until
// the end.
func layDeep(p *Picture, stored image.Image) {
	b := stored.Bounds().Intersect(image.Rect(0, 0, p.Width, p.Height))
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			c := color.NRGBA64Model.Convert(stored.At(x, y)).(color.NRGBA64)
			o := p.Pix[4*(y*p.Width+x):]
			o[0], o[1], o[2] = onWhite(c.R, c.A), onWhite(c.G, c.A), onWhite(c.B, c.A)
		}
	}
}

// onWhite is a 16-bit code under a 16-bit opacity, laid on white and rounded to
// 8 bits.
func onWhite(code, opacity uint16) uint8 {
	const full = 65535
	c, a := uint64(code), uint64(opacity)
	mixed := c*a + full*(full-a)
	return uint8((mixed*255 + full*full/2) / (full * full))
}

// layVideo puts a lossy WebP on the picture. Its colours are stored in the
// narrow range of ITU-R BT.601, black 16 and white 235 (RFC 6386, section 9.2),
// which golang.org/x/image/webp hands on as if they filled 0 to 255. The
// opacity is nil where there is none.
func layVideo(p *Picture, m *image.YCbCr, opacity []uint8, stride int) {
	for y := range p.Height {
		for x := range p.Width {
			i, j := m.YOffset(x, y), m.COffset(x, y)
			r, g, b := narrow(m.Y[i], m.Cb[j], m.Cr[j])
			a := uint16(0xffff)
			if opacity != nil {
				a = 0x101 * uint16(opacity[y*stride+x])
			}
			o := p.Pix[4*(y*p.Width+x):]
			o[0], o[1], o[2] = onWhite(0x101*uint16(r), a), onWhite(0x101*uint16(g), a), onWhite(0x101*uint16(b), a)
		}
	}
}

// narrow is the sRGB codes of a narrow-range BT.601 colour: luma spans 219
// codes, chroma 224, and red, green and blue weigh 0.299, 0.587 and 0.114.
func narrow(y, cb, cr uint8) (r, g, b uint8) {
	const red, green, blue = 0.299, 0.587, 0.114
	l := (float64(y) - 16) * 255 / 219
	u := (float64(cb) - 128) * 255 / 224
	v := (float64(cr) - 128) * 255 / 224
	fr := l + 2*(1-red)*v
	fb := l + 2*(1-blue)*u
	fg := (l - red*fr - blue*fb) / green
	return clamp8(fr), clamp8(fg), clamp8(fb)
}

func clamp8(v float64) uint8 { return uint8(min(max(v, 0), 255) + 0.5) }
