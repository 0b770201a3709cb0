package survey

import (
	"encoding/hex"

	"maulstick/render/colour"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// What the bytes begin with; the last character is the number of the form. That of
// answers rises too when equal questions are answered otherwise than before.
const (
	asked    = "question 1\n"
	answered = "answer 1\n"
	kept     = "flat state 1\n"
)

// MarshalBinary is the question in bytes, the same for equal questions. It fails
// only for numbers that are not finite.
func (a Ask) MarshalBinary() ([]byte, error) { return write(asked, a.code) }

// UnmarshalBinary reads what MarshalBinary wrote. It refuses anything else, and
// leaves the question as it was then.
func (a *Ask) UnmarshalBinary(data []byte) error {
	var found Ask
	if err := read(asked, data, found.code); err != nil {
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

func (a *Ask) code(c *code) {
	texts(c, &a.Kind)
	numbers(c, &a.Crop.X, &a.Crop.Y, &a.Crop.Width, &a.Crop.Height)
	numbers(c, &a.Canvas.Width, &a.Canvas.Height, &a.Smallest)
	wholes(c, &a.Canvas.Unit)
	steps, _ := a.Steps.MarshalBinary() // does not fail
	c.bytes(&steps)
	if c.reading && a.Steps.UnmarshalBinary(steps) != nil {
		c.fail()
	}
	wholes(c, &a.Sheet)
	wholes(c, &a.Count, &a.Each)
	wholes(c, &a.Wheel)
	rgb(c, &a.Neutral)
	flags(c, &a.Filter, &a.White, &a.Last, &a.Outlines)
	maybe(c, &a.Focal, func(p *place.PhotoPoint) { spot(c, p) })
}

// MarshalBinary is the answer in bytes, without its picture. It fails only for
// numbers that are not finite.
func (a Answer) MarshalBinary() ([]byte, error) { return write(answered, a.code) }

// UnmarshalBinary reads what MarshalBinary wrote; the picture is to be added. It
// refuses anything else, and leaves the answer as it was then.
func (a *Answer) UnmarshalBinary(data []byte) error {
	var found Answer
	if err := read(answered, data, found.code); err != nil {
		return err
	}
	*a = found
	return nil
}

func (a *Answer) code(c *code) {
	numbers(c, &a.Left, &a.Top, &a.Side)
	maybe(c, &a.Flat, func(s *Shapes) { s.code(c) })
	maybe(c, &a.Edges, func(h *Hard) { h.code(c) })
	maybe(c, &a.Piles, func(m *Mixes) { m.code(c) })
	maybe(c, &a.Tones, func(t *Tints) { t.code(c) })
	maybe(c, &a.Clean, func(s *Swept) {
		list(c, &s.Shares, func(share *float64) { numbers(c, share) })
		numbers(c, &s.MeanError)
	})
}

func (s *Shapes) code(c *code) {
	wholes(c, &s.Fewest, &s.Most, &s.Count)
	list(c, &s.Shapes, func(f *FlatShape) {
		wholes(c, &f.Step, &f.Order)
		numbers(c, &f.Share, &f.Area)
		rgb(c, &f.Colour)
		numbers(c, &f.Value)
		spot(c, &f.At)
	})
	texts(c, &s.SVG)
}

func (h *Hard) code(c *code) {
	for _, s := range []*shape.EdgeShares{&h.Shares, &h.Outlines} {
		numbers(c, &s.Lost, &s.Soft, &s.Firm, &s.Sharp)
	}
	numbers(c, &h.Limits.Sharp, &h.Limits.Firm, &h.Limits.Soft, &h.Limits.Distance)
	for _, stretches := range []*[]Stretch{&h.Sharpest, &h.Softest} {
		list(c, stretches, func(s *Stretch) {
			spot(c, &s.At)
			numbers(c, &s.Width)
			texts(c, &s.Class)
		})
	}
	list(c, &h.Contrasts, func(k *Contrast) {
		texts(c, &k.Kind, &k.Words)
		wholes(c, &k.Rank)
		spot(c, &k.At)
	})
	list(c, &h.Focal, func(words *string) { texts(c, words) })
}

func (m *Mixes) code(c *code) {
	list(c, &m.Steps, func(x *Mix) {
		octets(c, &x.Grey)
		numbers(c, &x.Share)
		list(c, &x.Piles, func(p *Pile) {
			rgb(c, &p.Colour)
			numbers(c, &p.Value)
			texts(c, &p.Terms, &p.Name)
			numbers(c, &p.Share)
			spot(c, &p.At)
		})
	})
}

func (t *Tints) code(c *code) {
	rgb(c, &t.Neutral)
	flags(c, &t.Found)
	for _, m := range []*shape.Mass{&t.Lights, &t.Shadows} {
		numbers(c, &m.Warmth)
		numbers(c, &m.Area, &m.Coloured)
	}
	texts(c, &t.Verdict)
	numbers(c, &t.Misled.WholeDarker, &t.Misled.HalfDarker, &t.Misled.True, &t.Misled.HalfLighter, &t.Misled.WholeLighter)
	list(c, &t.Pairs, func(p *Pair) {
		for i := range p.Sides {
			s := &p.Sides[i]
			texts(c, &s.Hue)
			numbers(c, &s.Share)
			rgb(c, &s.Colour)
			spot(c, &s.At)
		}
	})
}

// rgb writes or reads a stored colour.
func rgb(c *code, v *colour.SRGB) { octets(c, &v.R, &v.G, &v.B) }

// spot writes or reads a place.
func spot(c *code, v *place.PhotoPoint) { numbers(c, &v.X, &v.Y) }
