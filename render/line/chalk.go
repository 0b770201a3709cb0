package line

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"maulstick/render/place"
)

// Rounding is the finest division of the rule that marks are measured with.
type Rounding struct {
	Unit        place.Unit // Inch, Foot (feet and inches) or Millimetre
	Denominator int        // of an inch: 8, 16 or 32; 1 for millimetres
}

// RoundingFor is the usual one for a unit: 1/16 in, or whole millimetres.
func RoundingFor(u place.Unit) Rounding {
	if u.Imperial() {
		return Rounding{u, 16}
	}
	return Rounding{place.Millimetre, 1}
}

// ParseRounding reads 1/8, 1/16, 1/32 or mm. Any error is a *place.Problem.
func ParseRounding(text string) (Rounding, error) {
	text = strings.ToLower(strings.TrimSpace(text))
	if text == "mm" {
		return Rounding{place.Millimetre, 1}, nil
	}
	for _, d := range []int{8, 16, 32} {
		if fraction := fmt.Sprintf("1/%d", d); strings.TrimSpace(strings.TrimSuffix(text, "in")) == fraction {
			return Rounding{place.Inch, d}, nil
		}
	}
	return Rounding{}, &place.Problem{
		Doing: "reading the rounding " + quoted(text), What: "it is none that a rule shows",
		Wanted: "give 1/8, 1/16 or 1/32 of an inch, or mm",
	}
}

// Grain is the length of one division.
func (r Rounding) Grain() place.MM {
	if r.Unit.Imperial() {
		return place.Inch.MM() / place.MM(min(max(r.Denominator, 1), 1024))
	}
	return place.Millimetre.MM()
}

// Text spells a length to the nearest division.
func (r Rounding) Text(l place.MM) string {
	return place.Text(place.MM(math.Floor(float64(l/r.Grain())+0.5+1e-7))*r.Grain(), r.Unit, r.Denominator)
}

// round is the nearest whole division, halves up, within a side.
func (r Rounding) round(l, side place.MM) place.MM {
	n := math.Floor(float64(l/r.Grain()) + 0.5 + 1e-7) // as place.Text takes halves
	if place.MM(n)*r.Grain() > side {
		n--
	}
	return place.MM(n) * r.Grain()
}

// Mark is one mark to make on an edge of the canvas, measured along the edge from
// its end at the list's corner, never from the mark before.
type Mark struct {
	Name  string            // "top 1": the edge, and its count from the corner's end
	Edge  Edge              //
	At    place.CanvasPoint // where the line meets the edge
	Exact place.MM          // the same, along the edge
	Chalk place.MM          // the same, rounded
	Text  string            // Chalk spelt: "16 5/8 in"
	Error place.MM          // Chalk - Exact, at most half a division either way (a whole one at the very end of a side)
}

// Key names the mark by where it lies on the canvas, to the micron, so that one struck
// off stays so when others come before it, from whichever corner it is measured and
// however it is rounded. Studies keep these keys.
func (m Mark) Key() string {
	along := m.At.X
	if m.Edge.upright() {
		along = m.At.Y
	}
	return fmt.Sprintf("%s:%.0f", m.Edge, float64(along)*1000)
}

// End is one end of a chalk line: a mark, or a corner of the canvas.
type End struct {
	Name string            // the mark's name, or "top left corner"
	Mark int               // index of the mark, -1 for a corner
	At   place.CanvasPoint // as chalked
}

// Join is two ends to snap a line between.
type Join struct {
	Line     int // index in the set
	From, To End
}

// Check is a distance to measure when all lines are drawn: between two crossings
// as far apart as the set has, or two marks if it has none. It fails if a mark
// that it depends on was measured wrong.
type Check struct {
	From, To         string            // what to measure between
	FromAt, ToAt     place.CanvasPoint // as chalked
	Exact            place.MM          // without rounding
	Distance         place.MM          // as chalked
	Text             string            // Distance spelt
	CanvasDiagonal   place.MM          // both diagonals of a canvas that is square at its corners
	CanvasDiagonalIs string            // the same, spelt
}

// List is a chalk list.
type List struct {
	Corner   place.Edges
	Rounding Rounding
	Marks    []Mark // edge by edge, those at the corner first; along each from the corner's end
	Joins    []Join // in the order to draw
	Travel   place.MM
	Check    Check
}

// Key names a join by the keys of its ends.
func (l List) Key(j Join) string {
	key := func(e End) string {
		if e.Mark >= 0 && e.Mark < len(l.Marks) {
			return l.Marks[e.Mark].Key()
		}
		return strings.ReplaceAll(e.Name, " ", "")
	}
	return key(j.From) + "=" + key(j.To)
}

// Chalk is how to bring the lines onto the canvas: the marks along each edge from
// a corner, which to join and in what order, and what to measure at the end. The
// order is level lines, then plumb ones, each in one sweep of the T-square, then
// slanted ones by a short way; Travel is how far the rule moves in all, by the mean
// of its two ends. A mark made for several lines is listed once.
func Chalk(s *Set, corner place.Edges, rounding Rounding) List {
	c := chalker{
		set: s, list: List{Corner: corner, Rounding: rounding},
		width: rational(place.Rational(float64(s.Canvas.Width))), height: rational(place.Rational(float64(s.Canvas.Height))),
	}
	c.mark()
	var order []int
	order, c.list.Travel = s.order(corner)
	for _, i := range order {
		c.list.Joins = append(c.list.Joins, Join{i, c.ends[i][0], c.ends[i][1]})
	}
	c.check()
	return c.list
}

// chalker makes a list.
type chalker struct {
	set           *Set
	width, height Number // of the canvas, exactly
	list          List
	ends          [][2]End // of each line
}

// found is the end of a line on an edge.
type found struct {
	edge      Edge
	at        Number // along it, from the corner's end
	point     Point
	line, end int
}

// mark makes the marks and says which of them each line ends at.
func (c *chalker) mark() {
	c.ends = make([][2]End, len(c.set.Lines))
	across, along := edgeAlong(false, c.list.Corner), edgeAlong(true, c.list.Corner)
	marked := map[Edge][]found{}
	for i, l := range c.set.Lines {
		for k, p := range l.Ends {
			if corner, is := c.corner(p); is {
				c.ends[i][k] = End{Name: CornerWords(corner) + " corner", Mark: -1, At: p.Canvas()}
				continue
			}
			f := c.find(p)
			f.line, f.end, f.point = i, k, p
			marked[f.edge] = append(marked[f.edge], f)
		}
	}
	for _, edge := range []Edge{across, across.opposite(), along, along.opposite()} {
		ends := marked[edge]
		slices.SortStableFunc(ends, func(a, b found) int { return a.at.Cmp(b.at) })
		count := 0
		for n, f := range ends {
			if n == 0 || ends[n-1].at.Cmp(f.at) != 0 {
				count++
				c.list.Marks = append(c.list.Marks, c.measured(f, count))
			}
			m := len(c.list.Marks) - 1
			c.ends[f.line][f.end] = End{c.list.Marks[m].Name, m, c.place(c.list.Marks[m])}
		}
	}
}

// corner is the corner of the canvas that a point is.
func (c *chalker) corner(p Point) (corner place.Edges, is bool) {
	corner.Right, corner.Bottom = p.X.Cmp(c.width) == 0, p.Y.Cmp(c.height) == 0
	return corner, (corner.Right || p.X.Sign() == 0) && (corner.Bottom || p.Y.Sign() == 0)
}

// find is where on which edge a point is.
func (c *chalker) find(p Point) found {
	from := func(at, side Number, far bool) Number {
		if far {
			return side.Sub(at)
		}
		return at
	}
	x, y := from(p.X, c.width, c.list.Corner.Right), from(p.Y, c.height, c.list.Corner.Bottom)
	switch {
	case p.Y.Sign() == 0:
		return found{edge: Top, at: x}
	case p.Y.Cmp(c.height) == 0:
		return found{edge: Bottom, at: x}
	case p.X.Sign() == 0:
		return found{edge: Left, at: y}
	}
	return found{edge: Right, at: y}
}

// measured is a mark as it is measured.
func (c *chalker) measured(f found, count int) Mark {
	side := c.set.Canvas.Width
	if f.edge.upright() {
		side = c.set.Canvas.Height
	}
	exact := place.MM(f.at.Float64())
	chalk := c.list.Rounding.round(exact, side)
	return Mark{
		Name: fmt.Sprintf("%s %d", f.edge, count), Edge: f.edge,
		At: f.point.Canvas(), Exact: exact, Chalk: chalk, Text: c.list.Rounding.Text(chalk), Error: chalk - exact,
	}
}

// place is where a mark is on the canvas once it is chalked.
func (c *chalker) place(m Mark) place.CanvasPoint {
	width, height := c.set.Canvas.Width, c.set.Canvas.Height
	p := place.CanvasPoint{X: m.Chalk, Y: m.Chalk}
	if c.list.Corner.Right {
		p.X = width - p.X
	}
	if c.list.Corner.Bottom {
		p.Y = height - p.Y
	}
	switch m.Edge {
	case Top:
		p.Y = 0
	case Bottom:
		p.Y = height
	case Left:
		p.X = 0
	case Right:
		p.X = width
	}
	return p
}
