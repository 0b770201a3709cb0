package line

import (
	"fmt"
	"math/big"

	"maulstick/render/place"
)

// Line is one straight line from edge to edge of the canvas.
type Line struct {
	Drawn
	Ends   [2]Point // the same ends, exactly
	course course
}

// Drawn is a line as it is shown: what is left of it without exact numbers.
type Drawn struct {
	Kind  Kind              // that drew it first
	Also  []Kind            // others that drew the same line
	Use   int               // where in the plan that was
	Depth int               // of Diagonals: 1 for the whole canvas, 2 for the halves; else 1
	Label string            // what it is, "diagonal of the halves"
	From  place.CanvasPoint // its end further left, or the upper one of an upright line
	To    place.CanvasPoint
}

// Point is a place on the canvas in exact millimetres from its top left.
type Point struct{ X, Y Number }

// Canvas is the point rounded to float64.
func (p Point) Canvas() place.CanvasPoint {
	return place.CanvasPoint{X: place.MM(p.X.Float64()), Y: place.MM(p.Y.Float64())}
}

// Missed is a construction of a plan that draws nothing on this canvas.
type Missed struct {
	Use int    // where in the plan
	Why string // "the plumb line 40 in from the left is not on the canvas"
}

// Note names a square at an edge of the canvas: letters across, numbers up or
// down, both counted from the corner that the squares are.
type Note struct {
	At   place.CanvasPoint // on the edge, in the middle of the square's side
	Edge Edge
	Text string
}

// Set is the lines of a plan on one canvas, each once, and their crossings.
type Set struct {
	Plan      Plan
	Canvas    place.Size
	Lines     []Line     // in the order of the plan
	Crossings []Crossing // most lines first; see Crossing
	Notes     []Note     // of squares
	Missed    []Missed
}

// Draw lays a plan on a canvas. Sides and distances are taken as the simplest
// fractions of a millimetre that they are the nearest float64 of; from there on
// all is exact, but for angles that are no multiples of 45 degrees, whose slope
// is taken in the same way. Equal lines and equal crossings are merged. Any error
// is a *place.Problem: a plan that Check refuses, a canvas that is none, too many
// squares or lines. It is no method: a program that only spells plans needs none of
// the exact numbers behind it.
func Draw(p Plan, canvas place.Size) (*Set, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	problem := func(what, wanted string) error {
		return &place.Problem{Doing: "drawing the lines", What: what, Wanted: wanted}
	}
	for _, side := range []place.MM{canvas.Width, canvas.Height} {
		if !(side >= 1 && side <= LongestLength) {
			return nil, problem("the canvas has no size", "give one, as in 33 x 70 in")
		}
	}
	d := &draft{
		set:   &Set{Plan: p, Canvas: canvas},
		width: place.Rational(float64(canvas.Width)), height: place.Rational(float64(canvas.Height)),
		known: map[string]int{},
	}
	for i, u := range p.Uses {
		d.use = i
		if u.Kind == Squares && max(canvas.Width, canvas.Height)/u.Size > MostSquares {
			return nil, problem(fmt.Sprintf("squares of %s are more than %d along a side", d.text(u.Size), MostSquares), "choose larger squares")
		}
		d.construct(u)
		if len(d.set.Lines) > MostLines {
			return nil, problem(fmt.Sprintf("there are more than %d lines", MostLines), "choose fewer constructions")
		}
	}
	d.set.cross(d.width, d.height)
	return d.set, nil
}

// draft is a set being drawn.
type draft struct {
	set           *Set
	width, height *big.Rat
	use           int
	known         map[string]int // lines by their course
}

// add draws the line a x + b y = c, named, once, and says whether any of it lies
// inside the canvas.
func (d *draft) add(depth int, label string, a, b *big.Rat, c Number) bool {
	kind := d.set.Plan.Uses[d.use].Kind
	way := newCourse(a, b, c)
	key := way.key()
	if i, drawn := d.known[key]; drawn {
		d.set.Lines[i].alsoOf(kind)
		return true
	}
	ends, ok := d.chord(a, b, c)
	if !ok {
		return false
	}
	d.known[key] = len(d.set.Lines)
	d.set.Lines = append(d.set.Lines, Line{
		Drawn: Drawn{Kind: kind, Use: d.use, Depth: depth, Label: label, From: ends[0].Canvas(), To: ends[1].Canvas()},
		Ends:  ends, course: way,
	})
	return true
}

// alsoOf notes that another construction drew the line.
func (l *Line) alsoOf(kind Kind) {
	for _, k := range l.Also {
		if k == kind {
			return
		}
	}
	if kind != l.Kind {
		l.Also = append(l.Also, kind)
	}
}

// chord is the part of a line on the canvas; ok is false if that is no more than
// a corner or an edge.
func (d *draft) chord(a, b *big.Rat, c Number) (ends [2]Point, ok bool) {
	left, right := Number{}, rational(d.width)
	top, bottom := Number{}, rational(d.height)
	var met []Point
	meet := func(p Point) {
		if p.X.Cmp(left) < 0 || p.X.Cmp(right) > 0 || p.Y.Cmp(top) < 0 || p.Y.Cmp(bottom) > 0 {
			return
		}
		for _, other := range met {
			if p.X.Cmp(other.X) == 0 && p.Y.Cmp(other.Y) == 0 {
				return
			}
		}
		met = append(met, p)
	}
	if b.Sign() != 0 {
		for _, x := range []Number{left, right} {
			meet(Point{x, c.Sub(x.Mul(rational(a))).over(b)})
		}
	}
	if a.Sign() != 0 {
		for _, y := range []Number{top, bottom} {
			meet(Point{c.Sub(y.Mul(rational(b))).over(a), y})
		}
	}
	if len(met) != 2 {
		return ends, false
	}
	along := func(n, m, edge Number) bool { return n.Cmp(edge) == 0 && m.Cmp(edge) == 0 }
	p, q := met[0], met[1]
	if along(p.X, q.X, left) || along(p.X, q.X, right) || along(p.Y, q.Y, top) || along(p.Y, q.Y, bottom) {
		return ends, false
	}
	if order := p.X.Cmp(q.X); order > 0 || order == 0 && p.Y.Cmp(q.Y) > 0 {
		p, q = q, p
	}
	return [2]Point{p, q}, true
}

// miss notes that the construction drew nothing.
func (d *draft) miss(why string) {
	d.set.Missed = append(d.set.Missed, Missed{d.use, why})
}

// course is where a line runs, a x + b y = c + d√5 in millimetres, in whole numbers
// without a common divisor; a is over 0, or 0 and b over 0. Every line has one.
type course struct{ a, b, c, d *big.Int }

// newCourse is the course of a x + b y = c.
func newCourse(a, b *big.Rat, c Number) course {
	p, q := c.parts()
	terms := [4]*big.Rat{a, b, p, q}
	multiple := big.NewInt(1)
	for _, t := range terms {
		shared := new(big.Int).GCD(nil, nil, multiple, t.Denom())
		multiple.Mul(multiple, shared.Div(t.Denom(), shared))
	}
	divisor := new(big.Int)
	var whole [4]*big.Int
	for i, t := range terms {
		whole[i] = new(big.Int).Div(multiple, t.Denom())
		whole[i].Mul(whole[i], t.Num())
		divisor.GCD(nil, nil, divisor, new(big.Int).Abs(whole[i]))
	}
	if s := a.Sign(); s < 0 || s == 0 && b.Sign() < 0 {
		divisor.Neg(divisor)
	}
	for _, w := range whole {
		w.Quo(w, divisor)
	}
	return course{whole[0], whole[1], whole[2], whole[3]}
}

// key tells courses apart.
func (c course) key() string {
	var b []byte
	for _, n := range []*big.Int{c.a, c.b, c.c, c.d} {
		b = append(n.Append(b, 62), ' ')
	}
	return string(b)
}
