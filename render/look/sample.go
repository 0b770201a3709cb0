package look

import (
	"math"

	"maulstick/render/colour"
)

// Grid is a rectangle of pixels that light is read from: stored colours, or
// what a squint leaves. Pix holds rows from the top, four bytes a pixel.
type Grid struct {
	Width, Height int
	Pix           []byte
	Blurred       bool // ten bits a channel of the square root of light, see pack
}

// Light is the linear light of the pixel in column x and row y, clamped to the
// grid, which must not be empty.
func (g Grid) Light(x, y int) colour.Linear {
	x = min(max(x, 0), g.Width-1)
	y = min(max(y, 0), g.Height-1)
	p := g.Pix[4*(y*g.Width+x):][:4]
	if g.Blurred {
		return unpack(p)
	}
	return colour.Linear{R: colour.Decode(p[0]), G: colour.Decode(p[1]), B: colour.Decode(p[2])}
}

// Sample is the colour at a place between the pixels, bilinear in linear light.
// Places are in pixels from the centre of the first one.
func (g Grid) Sample(x, y float64) colour.SRGB {
	left, top := math.Floor(x), math.Floor(y)
	i, j := int(left), int(top)
	upper := mix(g.Light(i, j), g.Light(i+1, j), x-left)
	lower := mix(g.Light(i, j+1), g.Light(i+1, j+1), x-left)
	return mix(upper, lower, y-top).SRGB()
}

// mix is the light a part t of the way from a to b. The conversions keep
// processors from joining the product to the sum, so that all of them agree.
func mix(a, b colour.Linear, t float64) colour.Linear {
	return colour.Linear{
		R: a.R + float64((b.R-a.R)*t),
		G: a.G + float64((b.G-a.G)*t),
		B: a.B + float64((b.B-a.B)*t),
	}
}

// Patch says how a rectangle of the screen reads a grid: its first pixel at
// Start, each further one moved by Pace, both in pixels of the grid from the
// centre of its first one.
type Patch struct {
	X, Y, Width, Height int // on the screen, device pixels
	StartX, StartY      float64
	PaceX, PaceY        float64
}

// Draw samples the grid into the patch's rectangle of a screen with rows of
// width pixels, four bytes each.
func (p Patch) Draw(g Grid, screen []byte, width int) {
	for j := range p.Height {
		y := p.StartY + float64(float64(j)*p.PaceY)
		row := screen[4*((p.Y+j)*width+p.X):][:4*p.Width]
		for i := range p.Width {
			c := g.Sample(p.StartX+float64(float64(i)*p.PaceX), y)
			row[4*i], row[4*i+1], row[4*i+2], row[4*i+3] = c.R, c.G, c.B, 255
		}
	}
}

// Uniforms are the variables with which ReadPhoto or ReadBlurred draws the patch
// from a grid of the given size.
func (p Patch) Uniforms(width, height int) map[string]any {
	return map[string]any{
		"Origin": []float32{float32(p.X), float32(p.Y)},
		"Start":  []float32{float32(p.StartX), float32(p.StartY)},
		"Pace":   []float32{float32(p.PaceX), float32(p.PaceY)},
		"Last":   []float32{float32(width - 1), float32(height - 1)},
	}
}
