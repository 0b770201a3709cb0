package photo

import (
	"math"

	"maulstick/render/colour"
)

// Mixed is a picture laid over another of its size, its light having that share of both,
// 0 to 1.
func Mixed(under, over *Picture, share float64) *Picture {
	t := lightTables()
	out := New(under.Width, under.Height)
	const whole = 1 << 12
	mine := uint32(math.Round(min(max(share, 0), 1) * whole))
	for i, c := range over.Pix {
		out.Pix[i] = t.code[(t.light[c]*mine+t.light[under.Pix[i]]*(whole-mine)+whole/2)/whole]
	}
	for i := 3; i < len(out.Pix); i += 4 {
		out.Pix[i] = 255
	}
	return out
}

// Divided is a picture whose left part, that share of it, is another's of its size.
func Divided(right, left *Picture, share float64) *Picture {
	out := New(right.Width, right.Height)
	copy(out.Pix, right.Pix)
	wide := 4 * int(math.Round(min(max(share, 0), 1)*float64(right.Width)))
	for at := 0; at < len(out.Pix); at += 4 * out.Width {
		copy(out.Pix[at:at+wide], left.Pix[at:at+wide])
	}
	return out
}

// Differing shows by how much lighter the second of two pictures of one size is than the
// first, once all of its light is brought to the first's: greys, L* 50 where both are as
// light, and as much lighter or darker as it is.
func Differing(from, to *Picture) *Picture {
	light := &lightTables().light
	bright := func(p []uint8) uint32 { return (light[p[0]]*13933 + light[p[1]]*46871 + light[p[2]]*4732) >> 16 }
	var sums [2]float64
	for i := 0; i < len(from.Pix); i += 4 {
		sums[0], sums[1] = sums[0]+float64(bright(from.Pix[i:])), sums[1]+float64(bright(to.Pix[i:]))
	}
	gain := sums[0] / max(sums[1], 1)
	const tens = 1 << 12
	lightness := func(gain float64) (all [tens]float32) {
		for i := range all {
			all[i] = float32(colour.Luminance(min(gain*float64(i)/(tens-1), 1)).Lightness())
		}
		return all
	}
	of, by := lightness(1), lightness(gain)
	var greys [201]uint8 // from -100 to 100
	for i := range greys {
		greys[i] = colour.GreyOf(colour.Lightness(min(max(i-50, 0), 100))).R
	}
	out := New(from.Width, from.Height)
	for i := 0; i < len(from.Pix); i += 4 {
		off := by[bright(to.Pix[i:])>>4] - of[bright(from.Pix[i:])>>4]
		grey := greys[int(off+100.5)]
		out.Pix[i], out.Pix[i+1], out.Pix[i+2], out.Pix[i+3] = grey, grey, grey, 255
	}
	return out
}
