package check

import (
	"math"

	"maulstick/render/crew"
)

// field is the edges of a picture as places are matched by: at each pixel a vector
// at twice the angle of the slope, so that an edge counts the same whichever of its
// sides is the lighter, and nearly as long for a soft edge as for a hard one. A
// painter who has a value wrong moves no edge by it.
type field struct {
	width, height int
	v             []float32 // two a pixel
	energy        []float64 // sums of squares above and left of each corner of pixels
}

const (
	fieldBlur  = 1.6
	faintSlope = 0.012 // of lightness over 100 a pixel, at which an edge counts half as much
)

// fieldOf is the field of a picture in OKLab: lightness and colour together.
func fieldOf(lab [3]plane) field {
	var soft [3]plane
	for k := range soft {
		soft[k] = lab[k].blurred(fieldBlur)
	}
	f := field{width: lab[0].width, height: lab[0].height, v: make([]float32, 2*len(lab[0].v))}
	crew.Share(f.height, 16, func(first, end int) {
		for y := first; y < end; y++ {
			for x := range f.width {
				var e, f2, g float32
				for k := range soft {
					right, below := soft[k].slope(x, y)
					e, f2, g = e+right*right, f2+right*below, g+below*below
				}
				// (s cos a, s sin a) to s (cos 2a, sin 2a) / sqrt(s^2 + faint^2)
				scale := float32(math.Sqrt(float64(e+g) * float64(e+g+faintSlope*faintSlope)))
				if scale > 0 {
					v := f.v[2*(y*f.width+x):]
					v[0], v[1] = (e-g)/scale, 2*f2/scale
				}
			}
		}
	})
	wide := f.width + 1
	f.energy = make([]float64, wide*(f.height+1))
	for y := range f.height {
		line := 0.0
		for x := range f.width {
			a, b := float64(f.v[2*(y*f.width+x)]), float64(f.v[2*(y*f.width+x)+1])
			line += a*a + b*b
			f.energy[(y+1)*wide+x+1] = f.energy[y*wide+x+1] + line
		}
	}
	return f
}

// holds says whether a window lies on the field.
func (f *field) holds(x, y, side int) bool {
	return x >= 0 && y >= 0 && x+side <= f.width && y+side <= f.height
}

// sum is the energy of a square window with its corner at (x, y).
func (f *field) sum(x, y, side int) float64 {
	wide := f.width + 1
	return f.energy[(y+side)*wide+x+side] - f.energy[y*wide+x+side] - f.energy[(y+side)*wide+x] + f.energy[y*wide+x]
}

// alike is how alike the windows of two fields are, -1..1, 0 where either is empty.
func alike(f *field, x, y int, g *field, u, v, side int) float64 {
	energy := f.sum(x, y, side) * g.sum(u, v, side)
	if !(energy > 1e-6) {
		return 0
	}
	var sum float32
	for j := range side {
		a := f.v[2*((y+j)*f.width+x):][:2*side]
		b := g.v[2*((v+j)*g.width+u):][:2*side]
		var s0, s1 float32
		for i := 0; i+1 < len(a) && i+1 < len(b); i += 2 {
			s0 += a[i] * b[i]
			s1 += a[i+1] * b[i+1]
		}
		sum += s0 + s1
	}
	return float64(sum) / math.Sqrt(energy)
}

// structure is how much a window changes as it is moved, squared, a pixel squared.
func (f *field) structure(x, y, side int) (xx, xy, yy float64) {
	for j := max(y, 1); j < min(y+side, f.height-1); j++ {
		for i := max(x, 1); i < min(x+side, f.width-1); i++ {
			at := 2 * (j*f.width + i)
			for k := range 2 {
				right := float64(f.v[at+2+k]-f.v[at-2+k]) / 2
				below := float64(f.v[at+2*f.width+k]-f.v[at-2*f.width+k]) / 2
				xx += right * right
				xy += right * below
				yy += below * below
			}
		}
	}
	return xx, xy, yy
}
