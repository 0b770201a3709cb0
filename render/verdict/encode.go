package verdict

import (
	"maulstick/render/card"
	"maulstick/render/check"
	"maulstick/render/place"
	"maulstick/render/wire"
)

// What the bytes begin with; the last character is the number of the form.
const (
	asked    = "check of a painting 1\n"
	answered = "painting checked 1\n"
)

// MarshalBinary is the question in bytes, the same for equal questions. It fails only
// for numbers that are not finite.
func (a Ask) MarshalBinary() ([]byte, error) { return wire.Write(asked, a.code) }

// UnmarshalBinary reads what MarshalBinary wrote. It refuses anything else, and leaves
// the question as it was then.
func (a *Ask) UnmarshalBinary(data []byte) error {
	var found Ask
	if err := wire.Read(asked, data, found.code); err != nil {
		return err
	}
	*a = found
	return nil
}

func (a *Ask) code(c *wire.Code) {
	wire.Numbers(c, &a.Canvas.Width, &a.Canvas.Height, &a.Smallest)
	wire.Wholes(c, &a.Canvas.Unit)
	wire.Maybe(c, &a.Outline, func(o *check.Canvas) { outline(c, o) })
	wire.List(c, &a.Corners, func(p *place.PhotoPoint) { spot(c, p) })
	steps, _ := a.Steps.MarshalBinary() // does not fail
	c.Bytes(&steps)
	if c.Reading() && a.Steps.UnmarshalBinary(steps) != nil {
		c.Fail()
	}
	wire.List(c, &a.Cards, func(one *card.Card) {
		wire.Numbers(c, &one.Value)
		spot(c, &one.At)
	})
}

// MarshalBinary is the answer in bytes. It fails only for numbers that are not finite.
func (a Answer) MarshalBinary() ([]byte, error) { return wire.Write(answered, a.code) }

// UnmarshalBinary reads what MarshalBinary wrote, and refuses bytes that are damaged or
// that name values that are not there; the answer is left as it was then.
func (a *Answer) UnmarshalBinary(data []byte) error {
	var found Answer
	if err := wire.Read(answered, data, found.code); err != nil {
		return err
	}
	*a = found
	return nil
}

func (a *Answer) code(c *wire.Code) {
	outline(c, &a.Canvas)
	w := &a.Whole
	wire.Numbers(c, &w.DX, &w.DY, &w.ShiftWithin, &a.Spread)
	wire.Numbers(c, &w.Turn, &w.Across, &w.Down, &w.TurnWithin, &w.AcrossWithin, &w.DownWithin)
	wire.List(c, &a.Matches, func(m *check.Match) {
		wire.Numbers(c, &m.At.X, &m.At.Y, &m.DX, &m.DY, &m.Within)
		wire.Numbers(c, &m.Alike)
	})
	wire.List(c, &a.Slips, func(s *check.Slip) {
		wire.Numbers(c, &s.At.X, &s.At.Y, &s.DX, &s.DY, &s.Within)
		wire.Wholes(c, &s.Matches)
	})
	wire.List(c, &a.Values, func(v *Value) {
		wire.Numbers(c, &v.At.X, &v.At.Y)
		wire.Numbers(c, &v.Share, &v.Reference, &v.Painting, &v.Difference, &v.Within)
		wire.Wholes(c, &v.StepReference, &v.StepPainting)
		wire.Flags(c, &v.Off)
	})
	wire.Numbers(c, &a.Range.Of, &a.Range.Within)
	wire.Texts(c, &a.Range.Text, &a.Declined, &a.Help, &a.Err, &a.Hint)
	wire.List(c, &a.Broken, func(pair *[2]int) {
		wire.Wholes(c, &pair[0], &pair[1])
		for _, i := range pair {
			if i < 0 || i >= len(a.Values) {
				c.Fail()
			}
		}
	})
	wire.Maybe(c, &a.Colour, func(o *Colour) {
		wire.Texts(c, &o.Reference, &o.Painting)
		for _, list := range []*[][2]string{&o.Kept, &o.Lost} {
			wire.List(c, list, func(pair *[2]string) { wire.Texts(c, &pair[0], &pair[1]) })
		}
	})
	wire.List(c, &a.Notes, func(n *check.Note) { wire.Texts(c, &n.Of, &n.Text) })
	wire.Flags(c, &a.Nothing)
}

func spot(c *wire.Code, p *place.PhotoPoint) { wire.Numbers(c, &p.X, &p.Y) }

func outline(c *wire.Code, o *check.Canvas) {
	for i := range o.Corners {
		spot(c, &o.Corners[i])
	}
	wire.Numbers(c, &o.Bow.K, &o.Within)
	wire.Wholes(c, &o.Bow.Photo.Width, &o.Bow.Photo.Height)
	wire.Flags(c, &o.Found)
}
