package setout

import (
	"maulstick/render/line"
	"maulstick/render/place"
	"maulstick/render/wire"
)

// What the bytes begin with; the last character is the number of the form.
const (
	asked    = "plan of lines 1\n"
	answered = "lines set out 1\n"
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

func (a *Ask) code(c *wire.Code) {
	wire.Texts(c, &a.Plan, &a.Rounding)
	wire.Numbers(c, &a.Canvas.Width, &a.Canvas.Height)
	wire.Wholes(c, &a.Canvas.Unit)
	edges(c, &a.Corner)
}

// MarshalBinary is the answer in bytes. It fails only for numbers that are not
// finite.
func (a Answer) MarshalBinary() ([]byte, error) { return wire.Write(answered, a.code) }

// UnmarshalBinary reads what MarshalBinary wrote, and refuses bytes that are damaged
// or that name lines or marks that are not there; the answer is left as it was then.
func (a *Answer) UnmarshalBinary(data []byte) error {
	var found Answer
	if err := wire.Read(answered, data, found.code); err != nil {
		return err
	}
	*a = found
	return nil
}

func (a *Answer) code(c *wire.Code) {
	wire.Texts(c, &a.Err, &a.Hint)
	wire.List(c, &a.Lines, func(l *line.Drawn) {
		wire.Texts(c, &l.Kind)
		wire.List(c, &l.Also, func(k *line.Kind) { wire.Texts(c, k) })
		wire.Wholes(c, &l.Use, &l.Depth)
		wire.Texts(c, &l.Label)
		spots(c, &l.From, &l.To)
	})
	wire.List(c, &a.Crossings, func(k *line.Crossing) {
		spots(c, &k.At)
		wire.List(c, &k.Lines, func(i *int) { a.line(c, i) })
		wire.Flags(c, &k.OnEdge)
	})
	wire.List(c, &a.Notes, func(n *line.Note) {
		spots(c, &n.At)
		wire.Wholes(c, &n.Edge)
		wire.Texts(c, &n.Text)
	})
	wire.List(c, &a.Missed, func(m *line.Missed) {
		wire.Wholes(c, &m.Use)
		wire.Texts(c, &m.Why)
	})
	a.chalk(c, &a.Chalk)
}

// chalk writes or reads the chalk list.
func (a *Answer) chalk(c *wire.Code, l *line.List) {
	edges(c, &l.Corner)
	wire.Wholes(c, &l.Rounding.Unit)
	wire.Wholes(c, &l.Rounding.Denominator)
	wire.List(c, &l.Marks, func(m *line.Mark) {
		wire.Texts(c, &m.Name, &m.Text)
		wire.Wholes(c, &m.Edge)
		spots(c, &m.At)
		wire.Numbers(c, &m.Exact, &m.Chalk, &m.Error)
	})
	wire.List(c, &l.Joins, func(j *line.Join) {
		a.line(c, &j.Line)
		for _, end := range []*line.End{&j.From, &j.To} {
			wire.Texts(c, &end.Name)
			within(c, &end.Mark, -1, len(l.Marks))
			spots(c, &end.At)
		}
	})
	k := &l.Check
	wire.Numbers(c, &l.Travel, &k.Exact, &k.Distance, &k.CanvasDiagonal)
	wire.Texts(c, &k.From, &k.To, &k.Text, &k.CanvasDiagonalIs)
	spots(c, &k.FromAt, &k.ToAt)
}

// line writes or reads the index of a line.
func (a *Answer) line(c *wire.Code, i *int) { within(c, i, 0, len(a.Lines)) }

// within writes or reads a whole number from a least one up to before an end.
func within(c *wire.Code, n *int, least, end int) {
	wire.Wholes(c, n)
	if *n < least || *n >= end {
		c.Fail()
	}
}

// edges writes or reads a corner.
func edges(c *wire.Code, e *place.Edges) { wire.Flags(c, &e.Right, &e.Bottom) }

// spots writes or reads places on the canvas.
func spots(c *wire.Code, ps ...*place.CanvasPoint) {
	for _, p := range ps {
		wire.Numbers(c, &p.X, &p.Y)
	}
}
