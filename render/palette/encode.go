package palette

import (
	"maulstick/render/card"
	"maulstick/render/colour"
	"maulstick/render/place"
	"maulstick/render/wire"
)

// What the bytes begin with; the number is that of the form.
const (
	asked    = "palette question 1\n"
	answered = "palette answer 1\n"
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
	wire.List(c, &a.Cards, func(one *card.Card) {
		wire.Numbers(c, &one.Value)
		spot(c, &one.At)
	})
	wire.List(c, &a.Piles, func(t *Touch) {
		spot(c, &t.At)
		wire.Maybe(c, &t.Card, func(v *colour.Value) { wire.Numbers(c, v) })
	})
	wire.List(c, &a.Plan, func(s *Step) {
		wire.Numbers(c, &s.Value)
		wire.List(c, &s.Piles, func(p *Pile) {
			rgb(c, &p.Colour)
			wire.Texts(c, &p.Name)
		})
	})
	wire.Numbers(c, &a.Step)
	wire.Wholes(c, &a.Sheet)
	wire.Flags(c, &a.Find)
}

// MarshalBinary is the answer in bytes. It fails only for numbers that are not finite.
func (a Answer) MarshalBinary() ([]byte, error) { return wire.Write(answered, a.code) }

// UnmarshalBinary reads what MarshalBinary wrote. It refuses anything else, and leaves
// the answer as it was then.
func (a *Answer) UnmarshalBinary(data []byte) error {
	var found Answer
	if err := wire.Read(answered, data, found.code); err != nil {
		return err
	}
	*a = found
	return nil
}

func (a *Answer) code(c *wire.Code) {
	wire.Maybe(c, &a.Cards, func(k *Cards) { k.code(c) })
	wire.List(c, &a.Piles, func(r *Reading) { r.code(c) })
	wire.List(c, &a.Found, func(p *place.PhotoPoint) { spot(c, p) })
	wire.Texts(c, &a.Wrong, &a.Wanted)
}

func (k *Cards) code(c *wire.Code) {
	wire.List(c, &k.Faces, func(f *Face) {
		wire.Numbers(c, &f.Value)
		spot(c, &f.At)
		rgb(c, &f.Shown)
		wire.Numbers(c, &f.Uneven, &f.Reads)
	})
	wire.Texts(c, &k.Method, &k.Lighter)
	wire.Numbers(c, &k.Residual, &k.Colours, &k.Greys)
	wire.Wholes(c, &k.Checked)
	wire.Numbers(c, &k.Rise)
	wire.Flags(c, &k.Measured)
}

func (r *Reading) code(c *wire.Code) {
	spot(c, &r.At)
	rgb(c, &r.Colour)
	wire.Texts(c, &r.Name, &r.Said, &r.Warning, &r.Temperature, &r.Wrong, &r.Wanted)
	wire.Numbers(c, &r.Lightness)
	wire.Maybe(c, &r.Card, func(v *colour.Value) { wire.Numbers(c, v) })
	wire.Numbers(c, &r.Difference, &r.Within)
	wire.Numbers(c, &r.Misreading)
	wire.Numbers(c, &r.Warmth)
	wire.Maybe(c, &r.Planned, func(p *Planned) {
		wire.Wholes(c, &p.Step)
		wire.Texts(c, &p.Name)
		rgb(c, &p.Colour)
		wire.Numbers(c, &p.Off)
		wire.List(c, &p.Way, func(w *string) { wire.Texts(c, w) })
	})
}

// rgb writes or reads a stored colour.
func rgb(c *wire.Code, v *colour.SRGB) { wire.Octets(c, &v.R, &v.G, &v.B) }

// spot writes or reads a place.
func spot(c *wire.Code, v *place.PhotoPoint) { wire.Numbers(c, &v.X, &v.Y) }
