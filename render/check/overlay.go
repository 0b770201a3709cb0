package check

import (
	"math"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// Overlay is the painting squared up with the reference laid over it half and half,
// averaged in linear light, and an arrow for each slip from where a place belongs to
// where it was painted. Without a canvas there is none: nil.
func (r *Report) Overlay() *photo.Picture {
	if len(r.painting.rgb) == 0 {
		return nil
	}
	out := newLit(r.painting.width, r.painting.height)
	for i := range out.rgb {
		out.rgb[i] = (r.ref.rgb[i] + r.painting.rgb[i]) / 2
	}
	p := out.stored()
	pixel := float64(r.width) / float64(p.Width)
	for _, s := range r.Drawing.Slips {
		x, y := float64(s.At.X)/pixel, float64(s.At.Y)/pixel
		wx, wy := r.Drawing.Whole.at(float64(s.At.X-r.width/2), float64(s.At.Y)-pixel*float64(p.Height)/2)
		arrow(p, x, y, x+(wx+float64(s.DX))/pixel, y+(wy+float64(s.DY))/pixel)
	}
	return p
}

// arrow draws a black line with a white casing, so that it shows on any colour, and a
// head at its end.
func arrow(p *photo.Picture, x0, y0, x1, y1 float64) {
	length := max(math.Hypot(x1-x0, y1-y0), 1)
	dx, dy := (x1-x0)/length, (y1-y0)/length
	head := min(10, length)
	for _, pass := range []struct {
		wide float64
		ink  colour.SRGB
	}{{4, colour.SRGB{R: 255, G: 255, B: 255}}, {1.5, colour.SRGB{}}} {
		stroke(p, x0, y0, x1, y1, pass.wide, pass.ink)
		for _, side := range []float64{-0.5, 0.5} {
			stroke(p, x1, y1, x1-head*(dx-side*dy), y1-head*(dy+side*dx), pass.wide, pass.ink)
		}
	}
}

// stroke fills what lies within a distance of a line.
func stroke(p *photo.Picture, x0, y0, x1, y1, wide float64, ink colour.SRGB) {
	left, right := place.Centres(min(x0, x1)-wide, math.Abs(x1-x0)+2*wide, 0, p.Width)
	top, bottom := place.Centres(min(y0, y1)-wide, math.Abs(y1-y0)+2*wide, 0, p.Height)
	for y := top; y < bottom; y++ {
		for x := left; x < right; x++ {
			px, py := float64(x)+0.5-x0, float64(y)+0.5-y0
			vx, vy := x1-x0, y1-y0
			t := min(max((px*vx+py*vy)/max(vx*vx+vy*vy, 1e-9), 0), 1)
			if math.Hypot(px-t*vx, py-t*vy) <= wide {
				c := p.Pix[4*(y*p.Width+x):]
				c[0], c[1], c[2] = ink.R, ink.G, ink.B
			}
		}
	}
}
