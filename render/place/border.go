package place

// Sides are strips along the four edges of a canvas, each at least 0.
type Sides struct {
	Left   MM `json:"left_mm"`
	Top    MM `json:"top_mm"`
	Right  MM `json:"right_mm"`
	Bottom MM `json:"bottom_mm"`
}

// Border is what lies about the composition. The canvas's face is what is seen
// from the front, the size that a stretcher is sold by; the turnover is how much
// of the sides of the stretcher the cloth covers. Each may be part of the
// composition or not, as the painter says.
type Border struct {
	Turnover   MM    `json:"turnover_mm"` // at least 0, the same on all sides
	TurnoverIn bool  `json:"turnover_in"` // the composition goes on round the edges
	Margin     Sides `json:"margin"`      // along the edges of what is painted
	MarginIn   bool  `json:"margin_in"`   // the composition goes on under the margin
}

// Composition is the part of a canvas that a crop fills.
type Composition struct {
	Size  Size
	Inset Sides // how far the face's edges are outside of it, under 0 where it goes round them
}

// Compose gives the composition on a canvas of a face. A turnover or margin under 0, or
// as wide as half the canvas, is refused with a *Problem, and so is what leaves less
// than 1 mm either way.
func (b Border) Compose(face Size) (Composition, error) {
	m := b.Margin
	c := Composition{Size: face}
	narrow := min(face.Width, face.Height)
	if !(narrow >= 0) || max(face.Width, face.Height) > largestSide {
		return Composition{}, b.problem(face, "no canvas is so large")
	}
	for _, strip := range []struct{ width, side MM }{
		{b.Turnover, narrow}, {m.Left, face.Width}, {m.Top, face.Height}, {m.Right, face.Width}, {m.Bottom, face.Height},
	} {
		if !(strip.width >= 0) || strip.width >= strip.side/2 {
			return Composition{}, b.problem(face, "a turnover or margin is under 0, or half as wide as the canvas or more")
		}
	}
	if b.TurnoverIn {
		c.take(Sides{-b.Turnover, -b.Turnover, -b.Turnover, -b.Turnover})
	}
	if !b.MarginIn {
		c.take(m)
	}
	if !(c.Size.Width >= smallestSide) || !(c.Size.Height >= smallestSide) {
		return Composition{}, b.problem(face, "the margins leave nothing to paint on")
	}
	return c, nil
}

// take moves the composition's edges inwards.
func (c *Composition) take(s Sides) {
	in := &c.Inset
	in.Left, in.Top, in.Right, in.Bottom = plus(in.Left, s.Left), plus(in.Top, s.Top), plus(in.Right, s.Right), plus(in.Bottom, s.Bottom)
	c.Size.Width, c.Size.Height = plus(c.Size.Width, -s.Left, -s.Right), plus(c.Size.Height, -s.Top, -s.Bottom)
}

// Face is the face of a canvas on which a composition of that size has the border that
// this one has.
func (c Composition) Face(size Size) Size {
	size.Width, size.Height = plus(size.Width, c.Inset.Left, c.Inset.Right), plus(size.Height, c.Inset.Top, c.Inset.Bottom)
	return size
}

// problem is an error about a border.
func (b Border) problem(canvas Size, what string) error {
	return &Problem{
		Doing:  "laying out a canvas of " + Text(canvas.Width, canvas.Unit, 64) + " x " + Text(canvas.Height, canvas.Unit, 64),
		What:   what,
		Wanted: "give turnover and margins that are narrower than half the canvas, as in 1 1/2 in",
	}
}
