package line

import (
	"fmt"
	"math"
	"math/big"
	"strconv"

	"maulstick/render/place"
)

var (
	one = big.NewRat(1, 1)
	// section is (√5 - 1) / 2, the larger part of a side that is cut in extreme and
	// mean ratio (Euclid, Elements VI.30).
	section = Number{big.NewRat(-1, 2), big.NewRat(1, 2)}
)

// construct draws one construction.
func (d *draft) construct(u Use) {
	switch u.Kind {
	case Diagonals:
		d.diagonals(u.Depth)
	case Thirds:
		for i := int64(1); i < 3; i++ {
			d.plumbPart(1, fmt.Sprintf("%d/3 across", i), fraction(i, 3))
			d.levelPart(1, fmt.Sprintf("%d/3 down", i), fraction(i, 3))
		}
	case Golden:
		rest := fraction(1, 1).Sub(section)
		d.plumbPart(1, "golden section from the right", rest)
		d.plumbPart(1, "golden section from the left", section)
		d.levelPart(1, "golden section from the bottom", rest)
		d.levelPart(1, "golden section from the top", section)
	case Rabatment:
		d.rabatment()
	case Reciprocal:
		d.reciprocal()
	case Divide:
		for i := 1; i < u.Columns; i++ {
			d.plumbPart(1, fmt.Sprintf("%d of %d across", i, u.Columns), fraction(int64(i), int64(u.Columns)))
		}
		for i := 1; i < u.Rows; i++ {
			d.levelPart(1, fmt.Sprintf("%d of %d down", i, u.Rows), fraction(int64(i), int64(u.Rows)))
		}
	case Squares:
		d.squares(u)
	default:
		d.single(u)
	}
}

// text spells a length in the unit of the canvas, in which it is measured there, and not
// in that of the plan, which is the one that spells it exactly.
func (d *draft) text(l place.MM) string { return place.Text(l, d.set.Canvas.Unit, 16) }

// plumb draws an upright line, level a level one.
func (d *draft) plumb(depth int, label string, x Number) bool {
	return d.add(depth, label, one, nought, x)
}
func (d *draft) level(depth int, label string, y Number) bool {
	return d.add(depth, label, nought, one, y)
}

// plumbPart and levelPart draw them at a part of the width or the height.
func (d *draft) plumbPart(depth int, label string, part Number) {
	d.plumb(depth, label, part.Mul(rational(d.width)))
}
func (d *draft) levelPart(depth int, label string, part Number) {
	d.level(depth, label, part.Mul(rational(d.height)))
}

// through draws the line through two different points.
func (d *draft) through(depth int, label string, x1, y1, x2, y2 *big.Rat) {
	a := new(big.Rat).Sub(y2, y1)
	b := new(big.Rat).Sub(x1, x2)
	d.add(depth, label, a, b, dot(a, x1, b, y1))
}

// dot is a x + b y.
func dot(a, x, b, y *big.Rat) Number {
	sum := new(big.Rat).Mul(a, x)
	return rational(sum.Add(sum, new(big.Rat).Mul(b, y)))
}

// halves names the parts whose diagonals are drawn, by depth.
var halves = [Deepest + 1]string{2: " of the halves", 3: " of the quarters", 4: " of the eighths"}

// diagonals draws both diagonals of the canvas and plumb and level through their
// crossing; then the same of its halves, left and right and top and bottom; then of
// theirs in turn. The diagonals of parts join up from edge to edge.
func (d *draft) diagonals(depth int) {
	for level := range depth {
		of := halves[level+1]
		for across := level; across >= 0; across-- {
			columns, rows := int64(1)<<across, int64(1)<<(level-across)
			x := func(i int64) *big.Rat { return new(big.Rat).Mul(d.width, big.NewRat(i, columns)) }
			y := func(i int64) *big.Rat { return new(big.Rat).Mul(d.height, big.NewRat(i, rows)) }
			for i := range columns {
				for j := range rows {
					// Those of one edge's cells, carried on, are those of all.
					if i == 0 || j == 0 {
						d.through(level+1, "diagonal"+of, x(i), y(j), x(i+1), y(j+1))
					}
					if i == 0 || j == rows-1 {
						d.through(level+1, "diagonal"+of, x(i), y(j+1), x(i+1), y(j))
					}
				}
			}
			for i := range columns {
				d.plumbPart(level+1, "plumb through the crossing"+of, fraction(2*i+1, 2*columns))
			}
			for j := range rows {
				d.levelPart(level+1, "level through the crossing"+of, fraction(2*j+1, 2*rows))
			}
		}
	}
}

// rabatment lays the short side along the long one from either end: the far sides
// of the two squares.
func (d *draft) rabatment() {
	switch d.width.Cmp(d.height) {
	case 0:
		d.miss("the canvas is square: its short side laid along the long one is the canvas itself")
	case 1:
		d.plumb(1, "square on the left side", rational(d.height))
		d.plumb(1, "square on the right side", rational(d.width).Sub(rational(d.height)))
	default:
		d.level(1, "square on the top", rational(d.width))
		d.level(1, "square on the bottom", rational(d.height).Sub(rational(d.width)))
	}
}

// reciprocal draws, from each corner, the line square to the diagonal that does
// not pass through it; it is a diagonal of the reciprocal rectangle.
func (d *draft) reciprocal() {
	for _, c := range []place.Edges{{}, {Right: true}, {Bottom: true}, {Right: true, Bottom: true}} {
		x, y := new(big.Rat), new(big.Rat)
		if c.Right {
			x = d.width
		}
		if c.Bottom {
			y = d.height
		}
		// The diagonal beside the top left and bottom right corners rises to the
		// right, along (width, -height): what is square to it has it as its normal.
		a, b := d.width, d.height
		if c.Right == c.Bottom {
			b = new(big.Rat).Neg(b)
		}
		d.add(1, "reciprocal from the "+CornerWords(c), a, b, dot(a, x, b, y))
	}
}

// squares draws squares from a corner; those at the far edges may be cut off.
func (d *draft) squares(u Use) {
	size := place.Rational(float64(u.Size))
	drawn := false
	side := func(whole *big.Rat, far bool, draw func(int, string, Number) bool, from string) int {
		at := new(big.Rat)
		for n := 1; ; n++ {
			at = new(big.Rat).Add(at, size)
			if at.Cmp(whole) >= 0 {
				return n
			}
			where := at
			if far {
				where = new(big.Rat).Sub(whole, at)
			}
			draw(1, d.text(u.Size*place.MM(n))+" from the "+from, rational(where))
			drawn = true
		}
	}
	across, down := "left", "top"
	if u.Corner.Right {
		across = "right"
	}
	if u.Corner.Bottom {
		down = "bottom"
	}
	columns := side(d.width, u.Corner.Right, d.plumb, across)
	rows := side(d.height, u.Corner.Bottom, d.level, down)
	if !drawn {
		d.miss("a square of " + d.text(u.Size) + " is as large as the canvas")
		return
	}
	d.name(u, columns, rows)
}

// name notes the squares at the two edges that they are counted along.
func (d *draft) name(u Use, columns, rows int) {
	c := d.set.Canvas
	middle := func(i int, side place.MM, far bool) place.MM {
		start := u.Size * place.MM(i)
		at := (start + min(start+u.Size, side)) / 2
		if far {
			return side - at
		}
		return at
	}
	across := Note{Edge: edgeAlong(false, u.Corner)}
	if u.Corner.Bottom {
		across.At.Y = c.Height
	}
	for i := range columns {
		across.At.X, across.Text = middle(i, c.Width, u.Corner.Right), letters(i)
		d.set.Notes = append(d.set.Notes, across)
	}
	along := Note{Edge: edgeAlong(true, u.Corner)}
	if u.Corner.Right {
		along.At.X = c.Width
	}
	for i := range rows {
		along.At.Y, along.Text = middle(i, c.Height, u.Corner.Bottom), strconv.Itoa(i+1)
		d.set.Notes = append(d.set.Notes, along)
	}
}

// letters counts A to Z, then AA, AB and so on, from 0.
func letters(i int) string {
	text := string(rune('A' + i%26))
	if i >= 26 {
		return letters(i/26-1) + text
	}
	return text
}

// single draws one line through a mark.
func (d *draft) single(u Use) {
	x, y := place.Rational(float64(u.X)), place.Rational(float64(u.Y))
	across, down := d.text(u.X)+" from the left", d.text(u.Y)+" from the top"
	drawn, label := false, ""
	switch u.Kind {
	case Plumb:
		label = "plumb line " + across
		drawn = d.plumb(1, label, rational(x))
	case Level:
		label = "level line " + down
		drawn = d.level(1, label, rational(y))
	case Angled:
		label = "line at " + strconv.FormatFloat(halfTurn(u.Degrees), 'f', -1, 64) + "° through " + across + ", " + down
		a, b := slope(u.Degrees)
		drawn = d.add(1, label, a, b, dot(a, x, b, y))
	}
	if !drawn {
		d.miss("the " + label + " is not inside the canvas")
	}
}

// slope is the normal (a, b) of a line at an angle from level: exact at multiples
// of 45 degrees, else the simplest fraction that is the tangent as a float64.
func slope(degrees float64) (a, b *big.Rat) {
	switch v := math.Mod(math.Mod(degrees, 180)+180, 180); {
	case v == 0:
		return nought, one
	case v == 45:
		return one, one
	case v == 90:
		return one, nought
	case v == 135:
		return one, big.NewRat(-1, 1)
	case v > 45 && v < 135:
		return one, place.Rational(1 / math.Tan(v*math.Pi/180))
	default:
		return place.Rational(math.Tan(v * math.Pi / 180)), one
	}
}
