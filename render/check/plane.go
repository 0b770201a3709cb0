package check

import (
	"math"

	"maulstick/render/colour"
	"maulstick/render/crew"
	"maulstick/render/photo"
)

// plane is one figure for each pixel of a picture, in rows from the top.
type plane struct {
	width, height int
	v             []float32
}

func newPlane(width, height int) plane {
	return plane{width, height, make([]float32, width*height)}
}

// at is the figure at a place, read between the four pixels about it; beyond the
// border the border's own counts. Pixel (0, 0) has its centre at (0.5, 0.5).
func (p plane) at(x, y float64) float32 {
	x, y = min(max(x-0.5, 0), float64(p.width-1)), min(max(y-0.5, 0), float64(p.height-1))
	i, j := min(int(x), max(p.width-2, 0)), min(int(y), max(p.height-2, 0))
	fx, fy := float32(x-float64(i)), float32(y-float64(j))
	right, below := min(1, p.width-1), min(1, p.height-1)*p.width
	row := p.v[j*p.width+i:]
	top := row[0] + fx*(row[right]-row[0])
	low := row[below] + fx*(row[below+right]-row[below])
	return top + fy*(low-top)
}

// blurred is the plane under a Gaussian of that standard deviation in pixels; at
// its border the plane is mirrored.
func (p plane) blurred(sigma float64) plane {
	reach := int(math.Ceil(3 * sigma))
	kernel := make([]float32, reach+1)
	sum := float32(0)
	for i := range kernel {
		kernel[i] = float32(math.Exp(-float64(i*i) / (2 * sigma * sigma)))
		sum += kernel[i]
		if i > 0 {
			sum += kernel[i]
		}
	}
	for i := range kernel {
		kernel[i] /= sum
	}
	return p.across(kernel).down(kernel)
}

// mirrored is an index brought into 0..n-1 by mirroring at the borders.
func mirrored(i, n int) int {
	for i < 0 || i >= n {
		if i < 0 {
			i = -1 - i
		} else {
			i = 2*n - 1 - i
		}
	}
	return i
}

// across weighs each pixel with its neighbours in the row, the kernel being one
// half of a symmetrical one from its middle.
func (p plane) across(kernel []float32) plane {
	out := newPlane(p.width, p.height)
	reach := len(kernel) - 1
	crew.Share(p.height, 16, func(first, end int) {
		padded := make([]float32, p.width+2*reach)
		for y := first; y < end; y++ {
			row := p.v[y*p.width:][:p.width]
			copy(padded[reach:], row)
			for i := range reach {
				padded[i] = row[mirrored(i-reach, p.width)]
				padded[reach+p.width+i] = row[mirrored(p.width+i, p.width)]
			}
			to := out.v[y*p.width:][:p.width]
			for x := range to {
				middle := padded[x : x+2*reach+1]
				sum := kernel[0] * middle[reach]
				for i := 1; i <= reach; i++ {
					sum += kernel[i] * (middle[reach-i] + middle[reach+i])
				}
				to[x] = sum
			}
		}
	})
	return out
}

// down does the same with the neighbours above and below.
func (p plane) down(kernel []float32) plane {
	out := newPlane(p.width, p.height)
	reach := len(kernel) - 1
	crew.Share(p.height, 16, func(first, end int) {
		for y := first; y < end; y++ {
			to := out.v[y*p.width:][:p.width]
			for i := -reach; i <= reach; i++ {
				weight := kernel[max(i, -i)]
				for x, v := range p.v[mirrored(y+i, p.height)*p.width:][:p.width] {
					to[x] += weight * v
				}
			}
		}
	})
	return out
}

// halved is the plane at half its size, four pixels to a mean; an odd last row or
// column is left out.
func (p plane) halved() plane {
	out := newPlane(max(p.width/2, 1), max(p.height/2, 1))
	for y := range out.height {
		upper := p.v[min(2*y, p.height-1)*p.width:]
		lower := p.v[min(2*y+1, p.height-1)*p.width:]
		for x := range out.width {
			a, b := min(2*x, p.width-1), min(2*x+1, p.width-1)
			out.v[y*out.width+x] = (upper[a] + upper[b] + lower[a] + lower[b]) / 4
		}
	}
	return out
}

// slope is how a plane rises to the right and downwards at a pixel, a pixel.
func (p plane) slope(x, y int) (right, below float32) {
	i := y*p.width + x
	l, r, u, d := i, i, i, i
	across, tall := float32(0.5), float32(0.5)
	if x > 0 {
		l--
	} else {
		across = 1
	}
	if x < p.width-1 {
		r++
	} else {
		across = 1
	}
	if y > 0 {
		u -= p.width
	} else {
		tall = 1
	}
	if y < p.height-1 {
		d += p.width
	} else {
		tall = 1
	}
	return (p.v[r] - p.v[l]) * across, (p.v[d] - p.v[u]) * tall
}

// lab is OKLab of each pixel, a plane for each figure.
func (l lit) lab() (lab [3]plane) {
	for k := range lab {
		lab[k] = newPlane(l.width, l.height)
	}
	crew.Share(l.height, 16, func(first, end int) {
		for i := first * l.width; i < end*l.width; i++ {
			c := l.light(i).OKLab()
			lab[0].v[i], lab[1].v[i], lab[2].v[i] = float32(c.L), float32(c.A), float32(c.B)
		}
	})
	return lab
}

// lit is a picture in linear light, three figures a pixel.
type lit struct {
	width, height int
	rgb           []float32
}

func newLit(width, height int) lit { return lit{width, height, make([]float32, 3*width*height)} }

// litOf is the light of a stored picture.
func litOf(p *photo.Picture) lit {
	l := newLit(p.Width, p.Height)
	for i := range p.Width * p.Height {
		for k := range 3 {
			l.rgb[3*i+k] = float32(colour.Decode(p.Pix[4*i+k]))
		}
	}
	return l
}

// light is the light of pixel i.
func (l lit) light(i int) colour.Linear {
	c := l.rgb[3*i : 3*i+3 : 3*i+3]
	return colour.Linear{R: float64(c[0]), G: float64(c[1]), B: float64(c[2])}
}

// read is the light at a place, between the four pixels about it, as plane.at.
func (l lit) read(x, y float64, to []float32) {
	x, y = min(max(x-0.5, 0), float64(l.width-1)), min(max(y-0.5, 0), float64(l.height-1))
	i, j := min(int(x), max(l.width-2, 0)), min(int(y), max(l.height-2, 0))
	fx, fy := float32(x-float64(i)), float32(y-float64(j))
	right, below := 3*min(1, l.width-1), 3*min(1, l.height-1)*l.width
	row := l.rgb[3*(j*l.width+i):]
	for k := range 3 {
		top := row[k] + fx*(row[right+k]-row[k])
		low := row[below+k] + fx*(row[below+right+k]-row[below+k])
		to[k] = top + fy*(low-top)
	}
}

// stored is the picture in sRGB codes.
func (l lit) stored() *photo.Picture {
	out := photo.New(l.width, l.height)
	for i := range l.width * l.height {
		c := l.light(i).SRGB()
		p := out.Pix[4*i:][:4]
		p[0], p[1], p[2], p[3] = c.R, c.G, c.B, 255
	}
	return out
}
