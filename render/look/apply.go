package look

import (
	"encoding/binary"

	"maulstick/render/colour"
	"maulstick/render/crew"
)

// Apply is a stored colour as the look shows it. Steps out of sight take the
// colour of the surround. The squint is not a matter of one colour: see Blur.
func Apply(l Look, surround, c colour.SRGB) colour.SRGB {
	pix := []byte{c.R, c.G, c.B, 255}
	Paint(l, surround, pix)
	return colour.SRGB{R: pix[0], G: pix[1], B: pix[2]}
}

// Paint is Apply on a run of pixels in place, four bytes each in the order R, G,
// B, 255. It agrees with the look's shader on every one of the 16,777,216
// colours.
func Paint(l Look, surround colour.SRGB, pix []byte) { l.Painter(surround).Paint(pix, pix) }

// Painter paints pixels as a look shows them. Making one takes as long as some
// 10,000 pixels: keep it for many runs, on as many goroutines as are wanted.
type Painter struct {
	run func(out, pix []byte) // nil if nothing changes
}

// Painter is the look's. Steps out of sight take the colour of the surround.
func (l Look) Painter(surround colour.SRGB) Painter {
	switch l.Shown() {
	case Steps:
		return Painter{l.stepsShading(surround).paint}
	case Grey:
		return Painter{l.greyShading().paint}
	case Temperature, Misled:
		return Painter{l.tintedRun()}
	default:
		return Painter{}
	}
}

// leastPixels are worth a goroutine.
const leastPixels = 1 << 14

// Paint paints pixels, four bytes each in the order R, G, B, 255, to out, which is
// as long and may be the same. All cores share a long run.
func (p Painter) Paint(out, pix []byte) {
	if p.run == nil {
		copy(out, pix)
		return
	}
	crew.Share(len(pix)/4, leastPixels, func(first, end int) {
		p.run(out[4*first:4*end], pix[4*first:4*end])
	})
}

// shading shows each colour as the shade of the part of a scale that its light
// falls into.
type shading struct {
	meter  *colour.Meter
	scale  *colour.Scale
	shades [256]uint32 // stored
}

// greyShading shows each colour as its grey.
func (l Look) greyShading() *shading {
	s, tint := &shading{meter: l.Meter(), scale: colour.Greys()}, l.tint()
	for code := range s.shades {
		s.shades[code] = stored(tint.of(uint8(code)))
	}
	return s
}

// stepsShading shows each colour as its step's.
func (l Look) stepsShading(surround colour.SRGB) *shading {
	steps, shades := l.Flat(), l.shades(surround)
	s := &shading{meter: l.Meter(), scale: colour.NewScale(steps.Thresholds())}
	for part, from := range s.scale.Edges() {
		s.shades[part] = stored(shades[steps.Of(from)-1])
	}
	return s
}

// chunk is how many bytes of pixels are painted in one loop: a number that the
// compiler knows spares a look at the ends of the slices for every pixel.
const chunk = 256

// paint paints a run of pixels.
func (s *shading) paint(out, pix []byte) {
	for len(pix) >= chunk && len(out) >= chunk {
		s.paintChunk((*[chunk]byte)(out), (*[chunk]byte)(pix))
		out, pix = out[chunk:], pix[chunk:]
	}
	var rest [chunk]byte
	n := copy(rest[:], pix)
	s.paintChunk(&rest, &rest)
	copy(out, rest[:n])
}

// paintChunk spells Scale.Part out, so that the edges stay at hand.
func (s *shading) paintChunk(out, pix *[chunk]byte) {
	meter, scale, edges := s.meter, s.scale, s.scale.Edges()
	for i := 0; i < chunk; i += 4 {
		c := binary.LittleEndian.Uint32(pix[i : i+4])
		l := meter.Read(uint8(c), uint8(c>>8), uint8(c>>16))
		part := scale.AtLeast(l)
		for edges[part+1] <= l {
			part++
		}
		binary.LittleEndian.PutUint32(out[i:i+4], s.shades[uint8(part)])
	}
}

// stored is a colour as its four bytes, the first in the lowest bits.
func stored(c colour.SRGB) uint32 {
	return uint32(c.R) | uint32(c.G)<<8 | uint32(c.B)<<16 | 255<<24
}
