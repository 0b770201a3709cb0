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
// colours. Long runs are shared among the processor's cores.
func Paint(l Look, surround colour.SRGB, pix []byte) { PaintTo(pix, l, surround, pix) }

// PaintTo is Paint that leaves the pixels as they are and writes to out, which is
// as long.
func PaintTo(out []byte, l Look, surround colour.SRGB, pix []byte) {
	paint := l.painter(surround)
	if paint == nil {
		copy(out, pix)
		return
	}
	crew.Share(len(pix)/4, leastPixels, func(first, end int) {
		paint(out[4*first:4*end], pix[4*first:4*end])
	})
}

// leastPixels are worth a goroutine.
const leastPixels = 1 << 14

// painter paints a run of pixels, nil if that changes nothing.
func (l Look) painter(surround colour.SRGB) func(out, pix []byte) {
	switch l.Shown() {
	case Steps:
		return l.stepsPainter(surround)
	case Grey:
		return l.greyPainter()
	case Temperature, Misled:
		return l.tintedPainter()
	default:
		return nil
	}
}

// greyPainter shows each colour as its grey.
func (l Look) greyPainter() func(out, pix []byte) {
	s := &shading{meter: l.Meter(), ladder: colour.Greys()}
	for code := range s.shades {
		s.shades[code] = stored(l.tint().of(uint8(code)))
	}
	return s.paint
}

// stepsPainter shows each colour as its step's.
func (l Look) stepsPainter(surround colour.SRGB) func(out, pix []byte) {
	s, steps := &shading{meter: l.Meter()}, l.steps()
	for i, shade := range l.shades(surround) {
		s.shades[i] = stored(shade)
	}
	var ok bool
	if s.ladder, ok = colour.NewLadder(steps.Thresholds()); ok {
		return s.paint
	}
	meter, shades := s.meter, s.shades
	return func(out, pix []byte) {
		for len(pix) >= 4 && len(out) >= 4 {
			step := steps.Of(meter.Read(pix[0], pix[1], pix[2]))
			binary.LittleEndian.PutUint32(out, shades[step-1])
			out, pix = out[4:], pix[4:]
		}
	}
}

// shading shows each colour as the shade of what its light reaches.
type shading struct {
	meter  *colour.Meter
	ladder *colour.Ladder
	shades [256]uint32
}

// paint paints two pixels at a time.
func (s *shading) paint(out, pix []byte) {
	meter, ladder := s.meter, s.ladder
	for len(pix) >= 8 && len(out) >= 8 {
		both := binary.LittleEndian.Uint64(pix)
		first := s.shades[ladder.Of(meter.Read(uint8(both), uint8(both>>8), uint8(both>>16)))]
		second := s.shades[ladder.Of(meter.Read(uint8(both>>32), uint8(both>>40), uint8(both>>48)))]
		binary.LittleEndian.PutUint64(out, uint64(first)|uint64(second)<<32)
		out, pix = out[8:], pix[8:]
	}
	if len(pix) >= 4 && len(out) >= 4 {
		binary.LittleEndian.PutUint32(out, s.shades[ladder.Of(meter.Read(pix[0], pix[1], pix[2]))])
	}
}

// stored is a colour as its four bytes, the first in the lowest bits.
func stored(c colour.SRGB) uint32 {
	return uint32(c.R) | uint32(c.G)<<8 | uint32(c.B)<<16 | 255<<24
}
