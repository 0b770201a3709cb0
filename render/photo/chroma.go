//go:build !js || darkroom

package photo

import "image"

// chroma tells how a picture of luma and chroma is to be read: what they mean by
// ITU-T H.273, table 4, and the range of the codes.
type chroma struct {
	red, blue float64 // shares of red and blue in luma
	narrow    bool    // luma from 16 to 235, chroma from 16 to 240
}

// The chroma of JPEG (JFIF 1.02) and of lossy WebP (RFC 6386, section 9.2), which
// golang.org/x/image/webp hands on as if its codes filled 0 to 255.
var (
	chromaJPEG = chroma{0.299, 0.114, false}
	chromaWebP = chroma{0.299, 0.114, true}
)

// chromaOf is what a colr box says, and that of JPEG where there is none.
func chromaOf(n nclx) chroma {
	c := chromaJPEG
	switch c.narrow = n.found && !n.full; n.matrix {
	case 1:
		c.red, c.blue = 0.2126, 0.0722
	case 9:
		c.red, c.blue = 0.2627, 0.0593
	}
	return c
}

// rows reads an image by rows, with its opacity where it has one.
func (c chroma) rows(m *image.YCbCr, opacity *image.NYCbCrA) func(y int, out []uint16) {
	const one = 1 << 16
	luma, spread, black := 1.0, 1.0, 0
	if c.narrow {
		luma, spread, black = 255.0/219, 255.0/224, 16
	}
	fixed := func(v float64) int { return int(v*one + 0.5) }
	green := 1 - c.red - c.blue
	y0, cr, cb := fixed(luma), fixed(spread*2*(1-c.red)), fixed(spread*2*(1-c.blue))
	gr, gb := fixed(spread*2*(1-c.red)*c.red/green), fixed(spread*2*(1-c.blue)*c.blue/green)
	return func(y int, out []uint16) {
		width := m.Rect.Dx()
		reds, blues := make([]uint8, width+1), make([]uint8, width+1)
		spreadRow(m, m.Cr, y, reds)
		spreadRow(m, m.Cb, y, blues)
		for x, v := range m.Y[y*m.YStride:][:width] {
			l, r, b := (int(v)-black)*y0+one/2, int(reds[x])-128, int(blues[x])-128
			out[4*x] = code16(l + cr*r)
			out[4*x+1] = code16(l - gr*r - gb*b)
			out[4*x+2] = code16(l + cb*b)
			out[4*x+3] = full
			if opacity != nil {
				out[4*x+3] = 257 * uint16(opacity.A[y*opacity.AStride+x])
			}
		}
	}
}

// code16 is a code with 16 bits behind the point, held to 0..255 and widened to 16
// bits.
func code16(v int) uint16 { return 257 * uint16(min(max(v>>16, 0), 255)) }

// spreadRow writes row y of a plane of chroma at full resolution. Where two
// pixels share a sample it is interpolated as the JPEG library of the Independent
// JPEG Group does, which browsers use: three quarters of the nearest sample and
// one of the next; where four share one it is repeated. Out has a place to spare.
func spreadRow(m *image.YCbCr, plane []uint8, y int, out []uint8) {
	width, height := m.Rect.Dx(), m.Rect.Dy()
	switch m.SubsampleRatio {
	case image.YCbCrSubsampleRatio420:
		if width > 4 {
			near, far := sharers(y, (height+1)/2)
			wide(plane[near*m.CStride:], plane[far*m.CStride:], out[:width+width%2])
			return
		}
	case image.YCbCrSubsampleRatio422:
		if width > 4 {
			doubled(plane[y*m.CStride:], out[:width+width%2])
			return
		}
	case image.YCbCrSubsampleRatio440:
		near, far := sharers(y, (height+1)/2)
		a, b, bias := plane[near*m.CStride:], plane[far*m.CStride:], 1+y%2
		for x := range width {
			out[x] = uint8((3*int(a[x]) + int(b[x]) + bias) >> 2)
		}
		return
	}
	for x := range width {
		out[x] = plane[m.COffset(m.Rect.Min.X+x, m.Rect.Min.Y+y)]
	}
}

// sharers are the rows of chroma nearest to row y and next to it, of count.
func sharers(y, count int) (near, far int) {
	near = y / 2
	far = near - 1 + 2*(y%2)
	return near, min(max(far, 0), count-1)
}

// wide spreads two rows of samples over a row of twice as many.
func wide(near, far, out []uint8) {
	sum := func(i int) int { return 3*int(near[i]) + int(far[i]) }
	last := len(out)/2 - 1
	before, here := sum(0), sum(0)
	for i := range last + 1 {
		after := sum(min(i+1, last))
		out[2*i] = uint8((3*here + before + 8) >> 4)
		out[2*i+1] = uint8((3*here + after + 7) >> 4)
		before, here = here, after
	}
}

// doubled spreads one row of samples over a row of twice as many.
func doubled(row, out []uint8) {
	last := len(out)/2 - 1
	for i := range last + 1 {
		here, before, after := int(row[i]), int(row[max(i-1, 0)]), int(row[min(i+1, last)])
		out[2*i] = uint8((3*here + before + 1) >> 2)
		out[2*i+1] = uint8((3*here + after + 2) >> 2)
	}
}
