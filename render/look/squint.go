package look

import (
	"math"

	"maulstick/render/colour"
)

// Reach is how far the squint's Gaussian looks at most, in pixels to each side;
// MaxSigma is the widest it may be: four times it lies within Reach.
const (
	Reach    = 24
	MaxSigma = 6.0
)

// Sigma is the standard deviation of the Gaussian whose full width at half
// maximum is given, in the same unit.
func Sigma(width float64) float64 { return width / (2 * math.Sqrt(2*math.Ln2)) }

// Blur is a squint made ready: the weight of a pixel by its distance, 0..Reach.
type Blur struct {
	Weights [Reach + 1]float32
	Reach   int // the farthest distance with a weight
}

// NewBlur is the blur of a standard deviation in pixels, at most MaxSigma. One
// of a tenth of a pixel or less changes nothing. The weights sum to 1 on both
// sides together.
func NewBlur(sigma float64) Blur {
	sigma = min(sigma, MaxSigma)
	if !(sigma > 0.1) {
		return Blur{Weights: [Reach + 1]float32{1}}
	}
	b := Blur{Reach: min(int(math.Ceil(4*sigma)), Reach)}
	var raw [Reach + 1]float64
	sum := 0.0
	for i := 0; i <= b.Reach; i++ {
		raw[i] = math.Exp(-float64(i*i) / (2 * sigma * sigma))
		sum += raw[i]
		if i > 0 {
			sum += raw[i]
		}
	}
	for i := range raw {
		b.Weights[i] = float32(raw[i] / sum)
	}
	return b
}

// Run is the grid blurred in linear light, across and then down, mirrored beyond
// its border: what lies there then weighs the same on smaller copies. Both passes leave ten bits a channel of the square root of
// light: at most 0.15 of a stored code from the unrounded mean.
func (b Blur) Run(g Grid) Grid { return b.pass(b.pass(g, 1, 0), 0, 1) }

func (b Blur) pass(g Grid, dx, dy int) Grid {
	out := Grid{Width: g.Width, Height: g.Height, Pix: make([]byte, len(g.Pix)), Blurred: true}
	for y := range g.Height {
		for x := range g.Width {
			pack(b.mean(g, x, y, dx, dy), out.Pix[4*(y*g.Width+x):][:4])
		}
	}
	return out
}

// mean is the weighted mean of light along a direction through a pixel.
func (b Blur) mean(g Grid, x, y, dx, dy int) colour.Linear {
	sum := scale(g.Light(x, y), b.Weights[0])
	for i := 1; i <= b.Reach; i++ {
		w := b.Weights[i]
		before := scale(g.Light(fold(x-i*dx, g.Width), fold(y-i*dy, g.Height)), w)
		after := scale(g.Light(fold(x+i*dx, g.Width), fold(y+i*dy, g.Height)), w)
		sum.R += before.R + after.R
		sum.G += before.G + after.G
		sum.B += before.B + after.B
	}
	return sum
}

// fold mirrors place i beyond a border back into 0..n-1, as often as it takes.
func fold(i, n int) int {
	i %= 2 * n
	if i < 0 {
		i += 2 * n
	}
	return min(i, 2*n-1-i)
}

func scale(l colour.Linear, by float32) colour.Linear {
	w := float64(by)
	return colour.Linear{R: float64(l.R * w), G: float64(l.G * w), B: float64(l.B * w)}
}

// tenBits is the largest whole number of ten bits.
const tenBits = 1023

// pack keeps light in four bytes: ten bits a channel of its square root, the
// upper eight in the channel and the lower two of all three in the fourth byte.
func pack(l colour.Linear, p []byte) {
	var q [3]uint32
	for i, light := range [3]float64{l.R, l.G, l.B} {
		q[i] = uint32(math.Round(math.Sqrt(min(max(light, 0), 1)) * tenBits))
		p[i] = byte(q[i] >> 2)
	}
	p[3] = byte(q[0]&3 | q[1]&3<<2 | q[2]&3<<4)
}

// unpack is the light that pack kept.
func unpack(p []byte) colour.Linear {
	light := func(upper, lower byte) float64 {
		root := float64(uint32(upper)<<2|uint32(lower&3)) / tenBits
		return root * root
	}
	return colour.Linear{R: light(p[0], p[3]), G: light(p[1], p[3]>>2), B: light(p[2], p[3]>>4)}
}

// Uniforms are the variables of one of the squint's two passes, ReadAcross or
// ReadDown, on a grid of the given size.
func (b Blur) Uniforms(pass Reader, width, height int) map[string]any {
	direction := []float32{1, 0}
	if pass == ReadDown {
		direction = []float32{0, 1}
	}
	return map[string]any{
		"Direction": direction,
		"Last":      []float32{float32(width - 1), float32(height - 1)},
		"Reach":     float32(b.Reach),
		"Weights":   b.Weights[:],
	}
}
