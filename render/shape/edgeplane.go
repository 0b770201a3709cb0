package shape

import (
	"math"
	"sync"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// lightUnit is how many parts a unit of lightness L* is cut into where edges
// are looked for. Whole numbers are smoothed alike on every machine.
const lightUnit = 1024

// plane is a picture of lightness in parts of lightUnit.
type plane struct {
	width, height int
	at            []int32
}

func newPlane(width, height int) plane {
	return plane{width, height, make([]int32, width*height)}
}

// lightnessShift cuts light into 32,768 equal parts, each under 0.03 L* wide
// even in the darks.
const lightnessShift = 9

// lightnessTable holds the lightness of the middle of each part of light.
var lightnessTable = sync.OnceValue(func() []int32 {
	table := make([]int32, int(colour.FullLight>>lightnessShift)+1)
	for i := range table {
		l := min(colour.Light(i)<<lightnessShift+1<<(lightnessShift-1), colour.FullLight)
		table[i] = int32(math.Round(float64(l.Lightness()) * lightUnit))
	}
	return table
})

// window is the part of a picture whose pixels have their centres in a crop.
type window struct{ left, top, width, height int }

func windowOf(p *photo.Picture, crop place.Crop) window {
	left, right := place.Centres(crop.X, crop.Width, 0, p.Width)
	top, bottom := place.Centres(crop.Y, crop.Height, 0, p.Height)
	return window{left, top, right - left, bottom - top}
}

// lightnessPlane is the lightness of a window of a picture.
func lightnessPlane(p *photo.Picture, w window, t *pace) plane {
	table, m := lightnessTable(), colour.EyeMeter
	out := newPlane(w.width, w.height)
	for y := 0; y < w.height && t.row(w.width); y++ {
		line := p.Pix[4*((w.top+y)*p.Width+w.left):][:4*w.width]
		row := out.at[y*w.width:][:w.width]
		for x := range row {
			row[x] = table[m.Read(line[4*x], line[4*x+1], line[4*x+2])>>lightnessShift]
		}
	}
	return out
}

// binomial is a smoothing kernel near a Gaussian whose weights are the binomial
// coefficients of an even order; its variance is a quarter of the order.
type binomial struct {
	weights []int32 // from the middle outwards
	shift   uint    // their sum on both sides is 2^shift
}

var (
	binomial2 = binomial{[]int32{2, 1}, 2}
	binomial4 = binomial{[]int32{6, 4, 1}, 4}
	binomial8 = binomial{[]int32{70, 56, 28, 8, 1}, 8}
)

// variance is the kernel's, in pixels squared.
func (b binomial) variance() float64 { return float64(b.shift) / 4 }

// smooth is the plane smoothed down and across, mirrored at its borders.
func (b binomial) smooth(p plane, t *pace) plane {
	out := newPlane(p.width, p.height)
	reach := len(b.weights) - 1
	line := make([]int32, p.width+2*reach)
	for y := 0; y < p.height && t.row(p.width); y++ {
		middle := line[reach : reach+p.width]
		b.down(p, y, middle)
		for i := 1; i <= reach; i++ {
			line[reach-i] = middle[mirrored(-i, p.width)]
			line[reach+p.width-1+i] = middle[mirrored(p.width-1+i, p.width)]
		}
		b.across(line, out.at[y*p.width:][:p.width])
	}
	return out
}

// down is one row smoothed across the rows about it.
func (b binomial) down(p plane, y int, out []int32) {
	half := int32(1) << (b.shift - 1)
	row := p.at[y*p.width:][:p.width]
	for x, v := range row {
		out[x] = b.weights[0]*v + half
	}
	for i := 1; i < len(b.weights); i++ {
		above := p.at[mirrored(y-i, p.height)*p.width:][:p.width]
		below := p.at[mirrored(y+i, p.height)*p.width:][:p.width]
		w := b.weights[i]
		for x := range out {
			out[x] += w * (above[x] + below[x])
		}
	}
	for x := range out {
		out[x] >>= b.shift
	}
}

// across smooths a line that carries the kernel's reach at both ends.
func (b binomial) across(line, out []int32) {
	half, reach := int32(1)<<(b.shift-1), len(b.weights)-1
	for x := range out {
		sum := b.weights[0]*line[x+reach] + half
		for i := 1; i <= reach; i++ {
			sum += b.weights[i] * (line[x+reach-i] + line[x+reach+i])
		}
		out[x] = sum >> b.shift
	}
}

// mirrored folds place i beyond a border back into 0..n-1, about the outermost
// pixel's centre.
func mirrored(i, n int) int {
	for i < 0 || i >= n {
		if i < 0 {
			i = -i
		}
		if i >= n {
			i = 2*(n-1) - i
		}
		if n == 1 {
			return 0
		}
	}
	return i
}

// halved is the plane smoothed and every second pixel of it kept, the first
// included, so that pixel i has its centre on pixel 2i's.
func (p plane) halved(t *pace) plane {
	s := binomial4.smooth(p, t)
	out := newPlane((p.width+1)/2, (p.height+1)/2)
	for y := range out.height {
		row, from := out.at[y*out.width:][:out.width], s.at[2*y*s.width:]
		for x := range row {
			row[x] = from[2*x]
		}
	}
	return out
}

// gradient is how steeply the lightness rises across and down at a pixel not on
// the border, in parts of lightUnit over 12 to the pixel: the difference of the
// neighbours along one direction, weighted 1, 4, 1 along the other. That widens
// what the plane was smoothed by by a variance of 1/3 in both directions.
func (p plane) gradient(i int) (gx, gy int32) {
	w := p.width
	nw, n, ne := p.at[i-w-1], p.at[i-w], p.at[i-w+1]
	west, east := p.at[i-1], p.at[i+1]
	sw, s, se := p.at[i+w-1], p.at[i+w], p.at[i+w+1]
	gx = ne - nw + 4*(east-west) + se - sw
	gy = sw - nw + 4*(s-n) + se - ne
	return gx, gy
}

// gradientUnit turns a gradient into lightness L* a pixel.
const gradientUnit = 1.0 / (12 * lightUnit)

// gradientVariance is what taking a gradient adds to the smoothing.
const gradientVariance = 1.0 / 3
