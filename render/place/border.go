package place

// Sides are strips along the four edges of a canvas, each at least 0.
type Sides struct{ Left, Top, Right, Bottom MM }

// Border is what lies about the composition. The canvas's face is what is seen
// from the front, the size that a stretcher is sold by; the turnover is how much
// of the sides of the stretcher the cloth covers. Each may be part of the
// composition or not, as the painter says.
type Border struct {
	Turnover   MM    // at least 0, the same on all sides
	TurnoverIn bool  // the composition goes on round the edges
	Margin     Sides // along the edges of what is painted
	MarginIn   bool  // the composition goes on under the margin
}

// Composition is the part of a canvas that a crop fills.
type Composition struct {
	Size Size
	// Left and Top are where its top left corner lies from the face's, under 0
	// where it goes round the edge.
	Left, Top MM
}

// OnFace is where a place of the composition lies on the face; places on the
// turnover lie outside it.
func (c Composition) OnFace(p CanvasPoint) CanvasPoint {
	return CanvasPoint{X: p.X + c.Left, Y: p.Y + c.Top}
}

// Compose gives the composition on a canvas of a face. What leaves less than 1 mm
// either way, or a border under 0, is refused with a *Problem.
func (b Border) Compose(face Size) (Composition, error) {
	m := b.Margin
	c := Composition{Size: face}
	for _, side := range []MM{b.Turnover, m.Left, m.Top, m.Right, m.Bottom} {
		if !(side >= 0) || side > largestSide {
			return Composition{}, b.problem(face, "a turnover or margin is not from 0 to 100 m")
		}
	}
	if b.TurnoverIn {
		c.Left, c.Top = -b.Turnover, -b.Turnover
		c.Size.Width += 2 * b.Turnover
		c.Size.Height += 2 * b.Turnover
	}
	if !b.MarginIn {
		c.Left += m.Left
		c.Top += m.Top
		c.Size.Width -= m.Left + m.Right
		c.Size.Height -= m.Top + m.Bottom
	}
	if !(c.Size.Width >= smallestSide) || !(c.Size.Height >= smallestSide) {
		return Composition{}, b.problem(face, "the margins leave nothing to paint on")
	}
	return c, nil
}

// Face is the face of a cloth measured flat, turnovers and all: the other way to
// know a canvas. A *Problem refuses turnovers that leave no face.
func (b Border) Face(flat Size) (Size, error) {
	face := flat
	face.Width -= 2 * b.Turnover
	face.Height -= 2 * b.Turnover
	if !(b.Turnover >= 0) || !(face.Width >= smallestSide) || !(face.Height >= smallestSide) {
		return Size{}, b.problem(flat, "the turnovers leave no face")
	}
	return face, nil
}

// problem is an error about a border.
func (b Border) problem(canvas Size, what string) error {
	return &Problem{
		Doing:  "laying out a canvas of " + Text(canvas.Width, canvas.Unit, 64) + " x " + Text(canvas.Height, canvas.Unit, 64),
		What:   what,
		Wanted: "give turnover and margins that are narrower than half the canvas, as in 1 1/2 in",
	}
}
