package check

import (
	"math"

	"maulstick/render/crew"
	"maulstick/render/photo"
)

// edgel is a short piece of edge: where it lies in pixels, the direction across it
// in radians 0..pi, and how steep it is, in lightness over 100 a pixel, colour
// counted too.
type edgel struct {
	x, y, across, steep float64
}

// Tuning of the edges of a small copy.
const (
	edgeBlur   = 1.0   // standard deviation, pixels
	leastSteep = 0.006 // of an edge that is kept at all
	fullSteep  = 0.05  // from which on all edges count alike
)

// slopes are the Di Zenzo gradient of a picture's lightness and colour (S. Di
// Zenzo, A note on the gradient of a multi-image, Computer Vision, Graphics, and
// Image Processing 33:116, 1986): how steep, and the direction across.
type slopes struct{ steep, across plane }

// slopesOf measures them on OKLab after a light blur.
func slopesOf(p *photo.Picture, sigma float64) slopes {
	var lab [3]plane
	for k := range lab {
		lab[k] = newPlane(p.Width, p.Height)
	}
	crew.Share(p.Height, 16, func(first, end int) {
		for y := first; y < end; y++ {
			for x := range p.Width {
				c := p.At(x, y).OKLab()
				i := y*p.Width + x
				lab[0].v[i], lab[1].v[i], lab[2].v[i] = float32(c.L), float32(c.A), float32(c.B)
			}
		}
	})
	for k := range lab {
		lab[k] = lab[k].blurred(sigma)
	}
	s := slopes{newPlane(p.Width, p.Height), newPlane(p.Width, p.Height)}
	crew.Share(p.Height, 16, func(first, end int) {
		for y := first; y < end; y++ {
			for x := range p.Width {
				var e, f, g float64
				for k := range lab {
					right, below := lab[k].slope(x, y)
					e += float64(right * right)
					f += float64(right * below)
					g += float64(below * below)
				}
				most := (e + g + math.Hypot(e-g, 2*f)) / 2
				across := math.Atan2(2*f, e-g) / 2
				if across < 0 {
					across += math.Pi
				}
				s.steep.v[y*p.Width+x] = float32(math.Sqrt(most))
				s.across.v[y*p.Width+x] = float32(across)
			}
		}
	})
	return s
}

// edgels are the places where a slope is steepest across its own direction, to a
// part of a pixel by a parabola through three.
func (s slopes) edgels() []edgel {
	var found []edgel
	for y := 1; y < s.steep.height-1; y++ {
		for x := 1; x < s.steep.width-1; x++ {
			i := y*s.steep.width + x
			here := float64(s.steep.v[i])
			if here < leastSteep {
				continue
			}
			across := float64(s.across.v[i])
			dy, dx := math.Sincos(across)
			cx, cy := float64(x)+0.5, float64(y)+0.5
			before := float64(s.steep.at(cx-dx, cy-dy))
			after := float64(s.steep.at(cx+dx, cy+dy))
			if here < before || here <= after {
				continue
			}
			off := 0.0
			if bend := before - 2*here + after; bend < 0 {
				off = min(max((before-after)/(2*bend), -0.5), 0.5)
			}
			found = append(found, edgel{cx + off*dx, cy + off*dy, across, here})
		}
	}
	return found
}

// weight is how much an edgel counts for a line: strong ones alike.
func (e edgel) weight() float64 { return min(e.steep, fullSteep) / fullSteep }

// apartAngle is how far two directions of lines are apart, 0..pi/2.
func apartAngle(a, b float64) float64 {
	d := math.Mod(math.Abs(a-b), math.Pi)
	return min(d, math.Pi-d)
}
