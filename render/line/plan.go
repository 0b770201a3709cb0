// Package line divides a canvas: the constructions painters draw on it, where
// their lines cross, and the chalk list that brings them onto the canvas.
// Everything is exact until it is shown.
package line

import (
	"fmt"
	"math"
	"strings"

	"maulstick/render/place"
)

// Kind is one construction, by the word that a plan spells it with.
type Kind string

// The constructions. Sources for each stand in the handbook's page on lines.
const (
	Diagonals  Kind = "diagonals"  // both diagonals, plumb and level through their crossing, and those of the halves
	Thirds     Kind = "thirds"     // two plumb lines and two level ones
	Golden     Kind = "golden"     // the golden section of both sides, from either end
	Rabatment  Kind = "rabatment"  // the short side laid along the long one, from either end
	Reciprocal Kind = "reciprocal" // from each corner, square to the diagonal that misses it
	Divide     Kind = "divide"     // so many equal columns and rows
	Squares    Kind = "squares"    // squares of a given size, counted from a corner
	Plumb      Kind = "plumb"      // one upright line
	Level      Kind = "level"      // one level line
	Angled     Kind = "angled"     // one line at an angle
)

// The limits of a plan.
const (
	Deepest       = 4      // halvings of Diagonals
	MostParts     = 64     // columns or rows of Divide
	MostSquares   = 128    // squares along one side
	MostUses      = 64     // constructions in one plan
	MostLines     = 600    // different lines in one plan
	finestSquare  = 1      // mm
	FinestLength  = 0.01   // mm, but for 0
	LongestLength = 100000 // mm
	longestPlan   = 4096   // characters
)

// Use is one construction in a plan. Fields that its kind does not name are 0.
type Use struct {
	Kind          Kind
	Depth         int         // Diagonals: 1..Deepest
	Columns, Rows int         // Divide: 1..MostParts, not both 1
	Size          place.MM    // Squares: 1 mm or more
	Corner        place.Edges // Squares: where they are counted from
	X, Y          place.MM    // Plumb, Level, Angled: from the canvas's left and top
	Degrees       float64     // Angled: from level, rising to the right over 0; only its remainder by 180 matters
	Unit          place.Unit  // that the lengths are spelt in
}

// Plan is which lines to draw, in order. The zero value draws none.
type Plan struct{ Uses []Use }

// planWanted is a plan as an example.
const planWanted = "type constructions with commas between them, as in diagonals:2,thirds,golden,rabatment,reciprocal,divide:4x3,squares:6in:bottom-left,plumb:12in,level:8in,angled:12in:8in:35"

// Check refuses what no plan may hold. The error is a *place.Problem, in words for one
// who chose constructions and typed no plan: ParsePlan refuses what is typed.
func (p Plan) Check() error {
	what := ""
	if len(p.Uses) > MostUses {
		what = fmt.Sprintf("it has %d constructions, over %d", len(p.Uses), MostUses)
	}
	for _, u := range p.Uses {
		if wrong := u.wrong(); wrong != "" && what == "" {
			what = wrong
		}
	}
	if what == "" {
		return nil
	}
	return &place.Problem{Doing: "drawing the lines", What: what, Wanted: "choose other figures, or take that construction away"}
}

// wrong is what is wrong with one use, as the end of a sentence; "" if nothing.
func (u Use) wrong() string {
	switch u.Kind {
	case Thirds, Golden, Rabatment, Reciprocal:
	case Diagonals:
		if u.Depth < 1 || u.Depth > Deepest {
			return fmt.Sprintf("diagonals go from 1 to %d deep", Deepest)
		}
	case Divide:
		if u.Columns < 1 || u.Rows < 1 || u.Columns > MostParts || u.Rows > MostParts || u.Columns*u.Rows == 1 {
			return fmt.Sprintf("equal parts are 1 to %d columns and rows, not one of each", MostParts)
		}
	case Squares:
		if !(u.Size >= finestSquare && u.Size <= LongestLength) {
			return "squares are from 1 mm to 100 m wide"
		}
	case Plumb, Level, Angled:
		for _, l := range []place.MM{u.X, u.Y} {
			if !(l == 0 || l >= FinestLength && l <= LongestLength) {
				return "a line passes 0, or from 0.01 mm to 100 m, from the left and the top"
			}
		}
		if math.IsNaN(u.Degrees) || math.IsInf(u.Degrees, 0) {
			return "an angle is no number"
		}
	default:
		return fmt.Sprintf("%q is no construction", u.Kind)
	}
	return ""
}

// CornerName is the corner of a canvas as it is spelt: top-left, bottom-right.
func CornerName(c place.Edges) string {
	name := "top"
	if c.Bottom {
		name = "bottom"
	}
	if c.Right {
		return name + "-right"
	}
	return name + "-left"
}

// CornerWords is the same in a sentence: top left.
func CornerWords(c place.Edges) string { return strings.Replace(CornerName(c), "-", " ", 1) }

// CornerNamed is the corner of a name as by CornerName; ok is false if it is none.
func CornerNamed(name string) (corner place.Edges, ok bool) {
	name = strings.ToLower(strings.TrimSpace(name))
	for _, c := range []place.Edges{{}, {Right: true}, {Bottom: true}, {Right: true, Bottom: true}} {
		if name == CornerName(c) {
			return c, true
		}
	}
	return place.Edges{}, false
}
