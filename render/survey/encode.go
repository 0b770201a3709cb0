package survey

import (
	"encoding/hex"

	"maulstick/render/colour"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/wire"
)

// What the bytes begin with; the last character is the number of the form. That of
// answers rises too when equal questions are answered otherwise than before.
const (
	asked    = "question 1\n"
	answered = "answer 2\n"
	kept     = "flat state 1\n"
)

// MarshalBinary is the question in bytes, the same for equal questions. It fails
// only for numbers that are not finite.
func (a Ask) MarshalBinary() ([]byte, error) { return wire.Write(asked, a.code) }

// UnmarshalBinary reads what MarshalBinary wrote. It refuses anything else, and
// leaves the question as it was then.
func (a *Ask) UnmarshalBinary(data []byte) error {
	var found Ask
	if err := wire.Read(asked, data, found.code); err != nil {
		return err
	}
	*a = found
	return nil
}

// Key is the question in one line, the same for equal questions; "" for one with
// numbers that are not finite.
func (a Ask) Key() string {
	data, _ := a.MarshalBinary()
	return hex.EncodeToString(data)
}

func (a *Ask) code(c *wire.Code) {
	wire.Texts(c, &a.Kind)
	wire.Numbers(c, &a.Crop.X, &a.Crop.Y, &a.Crop.Width, &a.Crop.Height)
	wire.Numbers(c, &a.Canvas.Width, &a.Canvas.Height, &a.Smallest)
	wire.Wholes(c, &a.Canvas.Unit)
	steps, _ := a.Steps.MarshalBinary() // does not fail
	c.Bytes(&steps)
	if c.Reading() && a.Steps.UnmarshalBinary(steps) != nil {
		c.Fail()
	}
	wire.Wholes(c, &a.Sheet)
	wire.Wholes(c, &a.Count, &a.Each)
	wire.Wholes(c, &a.Wheel)
	rgb(c, &a.Neutral)
	wire.Flags(c, &a.Filter, &a.White, &a.Last, &a.Outlines)
	wire.Maybe(c, &a.Focal, func(p *place.PhotoPoint) { spot(c, p) })
}

// MarshalBinary is the answer in bytes, without its picture. It fails only for
// numbers that are not finite.
func (a Answer) MarshalBinary() ([]byte, error) { return wire.Write(answered, a.code) }

// UnmarshalBinary reads what MarshalBinary wrote; the picture is to be added. It
// refuses anything else, and leaves the answer as it was then.
func (a *Answer) UnmarshalBinary(data []byte) error {
	var found Answer
	if err := wire.Read(answered, data, found.code); err != nil {
		return err
	}
	*a = found
	return nil
}

func (a *Answer) code(c *wire.Code) {
	wire.Numbers(c, &a.Left, &a.Top, &a.Side)
	wire.Maybe(c, &a.Flat, func(s *Shapes) { s.code(c) })
	wire.Maybe(c, &a.Edges, func(h *Hard) { h.code(c) })
	wire.Maybe(c, &a.Piles, func(m *Mixes) { m.code(c) })
	wire.Maybe(c, &a.Tones, func(t *Tints) { t.code(c) })
	wire.Maybe(c, &a.Clean, func(s *Swept) {
		wire.List(c, &s.Shares, func(share *float64) { wire.Numbers(c, share) })
		wire.Numbers(c, &s.MeanError)
	})
}

func (s *Shapes) code(c *wire.Code) {
	wire.Wholes(c, &s.Fewest, &s.Most, &s.Count)
	wire.List(c, &s.Shapes, func(f *FlatShape) {
		wire.Wholes(c, &f.Step, &f.Order)
		wire.Numbers(c, &f.Share, &f.Area)
		rgb(c, &f.Colour)
		wire.Numbers(c, &f.Value)
		spot(c, &f.At)
	})
	wire.Texts(c, &s.SVG)
}

func (h *Hard) code(c *wire.Code) {
	for _, s := range []*shape.EdgeShares{&h.Shares, &h.Outlines} {
		wire.Numbers(c, &s.Lost, &s.Soft, &s.Firm, &s.Sharp)
	}
	wire.Numbers(c, &h.Limits.Sharp, &h.Limits.Firm, &h.Limits.Soft, &h.Limits.Distance)
	for _, stretches := range []*[]Stretch{&h.Sharpest, &h.Softest} {
		wire.List(c, stretches, func(s *Stretch) {
			spot(c, &s.At)
			wire.Numbers(c, &s.Width)
			wire.Texts(c, &s.Class)
		})
	}
	wire.List(c, &h.Contrasts, func(k *Contrast) {
		wire.Texts(c, &k.Kind, &k.Words)
		wire.Wholes(c, &k.Rank)
		spot(c, &k.At)
	})
	wire.List(c, &h.Focal, func(words *string) { wire.Texts(c, words) })
}

func (m *Mixes) code(c *wire.Code) {
	wire.List(c, &m.Steps, func(x *Mix) {
		wire.Octets(c, &x.Grey)
		wire.Numbers(c, &x.Value)
		wire.Numbers(c, &x.Share)
		wire.List(c, &x.Piles, func(p *Pile) {
			rgb(c, &p.Colour)
			wire.Numbers(c, &p.Value)
			wire.Texts(c, &p.Terms, &p.Name)
			wire.Numbers(c, &p.Share)
			spot(c, &p.At)
		})
	})
}

func (t *Tints) code(c *wire.Code) {
	rgb(c, &t.Neutral)
	wire.Flags(c, &t.Found)
	for _, m := range []*shape.Mass{&t.Lights, &t.Shadows} {
		wire.Numbers(c, &m.Warmth)
		wire.Numbers(c, &m.Area, &m.Coloured)
	}
	wire.Texts(c, &t.Verdict)
	wire.Numbers(c, &t.Misled.WholeDarker, &t.Misled.HalfDarker, &t.Misled.True, &t.Misled.HalfLighter, &t.Misled.WholeLighter)
	wire.List(c, &t.Pairs, func(p *Pair) {
		for i := range p.Sides {
			s := &p.Sides[i]
			wire.Texts(c, &s.Hue)
			wire.Numbers(c, &s.Share)
			rgb(c, &s.Colour)
			spot(c, &s.At)
		}
	})
}

// rgb writes or reads a stored colour.
func rgb(c *wire.Code, v *colour.SRGB) { wire.Octets(c, &v.R, &v.G, &v.B) }

// spot writes or reads a place.
func spot(c *wire.Code, v *place.PhotoPoint) { wire.Numbers(c, &v.X, &v.Y) }
