package place

import (
	"fmt"
	"math"
	"strings"
)

// Corner is a corner of the canvas.
type Corner int

// The corners of the canvas, clockwise.
const (
	TopLeft Corner = iota
	TopRight
	BottomRight
	BottomLeft
)

// String is the corner in words, "top left".
func (c Corner) String() string {
	if c < TopLeft || c > BottomLeft {
		return unspelt
	}
	return [...]string{"top left", "top right", "bottom right", "bottom left"}[c]
}

// Diagonal is the distance from corner to corner of a canvas that is square.
func (s Size) Diagonal() MM { return MM(math.Hypot(float64(s.Width), float64(s.Height))) }

// Turned is the size the other way round.
func (s Size) Turned() Size { return Size{Width: s.Height, Height: s.Width, Unit: s.Unit} }

// Squareness is how near the corners of a stretched canvas are to right angles,
// by its two diagonals.
type Squareness struct {
	Nominal MM // what both diagonals would measure
	Out     MM // how much longer one diagonal is than the other, at least 0
	// Lean is how far the top edge has slid sideways past the bottom one, to the
	// right if over 0.
	Lean MM
	// Skew is by how much the corners are off a right angle, at least 0.
	Skew Degrees
	// Square is whether Out is under the 1/8 in within which a photograph counts
	// as lining up; for diagonals the bound is chosen here.
	Square bool
	// Ease is the two corners at the ends of the longer diagonal, which stand too
	// far out; pull them towards each other. Both the same where Out is 0.
	Ease [2]Corner
	// Sides is how much longer the diagonals are, taken together, than the sides
	// allow: over 0 if the sides are longer than they are said to be.
	Sides MM
}

// likelyOff is how far, as a share of it, a measured diagonal may be from what
// the sides give before it is taken for a slip of the tape.
const likelyOff = 0.05

// CheckSquare compares the two measured diagonals of a canvas, falling from the
// top left to the bottom right and rising from the bottom left to the top right.
// The sides are taken to be as long as the canvas's: a parallelogram, whose
// diagonals' squares differ by 4 times a side and the lean along it (law of
// cosines). Diagonals over 5 % off what the sides give are refused with a
// *Problem.
func CheckSquare(canvas Size, falling, rising MM) (Squareness, error) {
	q := Squareness{Nominal: canvas.Diagonal()}
	for _, d := range []MM{falling, rising} {
		if off := math.Abs(float64(d/q.Nominal) - 1); !(off <= likelyOff) {
			return Squareness{}, &Problem{
				Doing:  "comparing the diagonals " + Decimal(falling, canvas.Unit, 2) + " and " + Decimal(rising, canvas.Unit, 2),
				What:   fmt.Sprintf("%s is no diagonal of a canvas of %s x %s", Decimal(d, canvas.Unit, 2), Text(canvas.Width, canvas.Unit, 64), Text(canvas.Height, canvas.Unit, 64)),
				Wanted: "measure from corner to corner: about " + Decimal(q.Nominal, canvas.Unit, 2) + " both ways",
			}
		}
	}
	q.Out = MM(math.Abs(float64(falling - rising)))
	q.Square = alike(q.Out)
	squares := (rising - falling) * (rising + falling)
	q.Lean = squares / (4 * canvas.Width)
	q.Skew = degrees(math.Asin(min(math.Abs(float64(q.Lean/canvas.Height)), 1)))
	q.Sides = MM(math.Sqrt(float64(falling*falling+rising*rising)/2)) - q.Nominal
	switch {
	case falling > rising:
		q.Ease = [2]Corner{TopLeft, BottomRight}
	case rising > falling:
		q.Ease = [2]Corner{BottomLeft, TopRight}
	}
	return q, nil
}

// ParseDiagonals reads two lengths with a comma between them, or, where those are
// decimal commas, a semicolon. A unit on one goes for both, and with none both are in
// the one assumed. Any error is a *Problem.
func ParseDiagonals(typed string, assumed Unit) (falling, rising MM, err error) {
	between := ","
	if strings.Contains(typed, ";") {
		between = ";"
	}
	parts := strings.Split(typed, between)
	if len(parts) != 2 {
		return 0, 0, &Problem{
			Doing: "reading the diagonals " + quoted(typed), What: fmt.Sprintf("it does not hold two lengths but %d", len(parts)),
			Wanted: "give both diagonals, as in 77.5, 77.25 in or, with decimal commas, 196,5; 196,2 cm",
		}
	}
	falling, one, err := ParseLength(parts[0], assumed)
	if err != nil {
		return 0, 0, err
	}
	rising, other, err := ParseLength(parts[1], assumed)
	if err != nil || one == other {
		return falling, rising, err
	}
	if one == assumed {
		falling, _, err = ParseLength(parts[0], other)
	} else if other == assumed {
		rising, _, err = ParseLength(parts[1], one)
	}
	return falling, rising, err
}
