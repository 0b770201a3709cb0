package line

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"maulstick/render/place"
)

// ParsePlan reads a plan: constructions with commas between them, their figures
// after colons. Lengths are read as by place.ParseLength, with a decimal point
// and not a comma; without a unit they are inches. "diagonals" alone is one deep.
// Angles are rounded to a thousandth of a degree. Blank text is the empty plan.
// Any error is a *place.Problem.
func ParsePlan(text string) (Plan, error) {
	var p Plan
	if strings.TrimSpace(text) == "" {
		return p, nil
	}
	refused := func(what string) (Plan, error) {
		return Plan{}, &place.Problem{Doing: "reading the lines", What: what, Wanted: planWanted}
	}
	if len(text) > longestPlan {
		return refused(fmt.Sprintf("there are more than %d characters", longestPlan))
	}
	for word := range strings.SplitSeq(text, ",") {
		u, err := parseUse(word)
		if err != nil {
			return refused(err.Error())
		}
		p.Uses = append(p.Uses, u)
	}
	if len(p.Uses) > MostUses {
		return refused(fmt.Sprintf("there are %d constructions, over %d", len(p.Uses), MostUses))
	}
	return p, nil
}

// figures is how many figures each construction takes: at least, at most.
var figures = map[Kind][2]int{
	Diagonals: {0, 1}, Thirds: {}, Golden: {}, Rabatment: {}, Reciprocal: {},
	Divide: {1, 1}, Squares: {1, 2}, Plumb: {1, 1}, Level: {1, 1}, Angled: {3, 3},
}

// parseUse reads one construction. Its errors are ends of sentences.
func parseUse(word string) (Use, error) {
	given := strings.Split(word, ":")
	u := Use{Kind: Kind(strings.ToLower(strings.TrimSpace(given[0])))}
	given = given[1:]
	count, known := figures[u.Kind]
	switch {
	case !known:
		return u, fmt.Errorf("%s is no construction", quoted(string(u.Kind)))
	case len(given) < count[0] || len(given) > count[1]:
		return u, fmt.Errorf("%s has %d figures after it", quoted(word), len(given))
	}
	if err := u.read(given); err != nil {
		return u, fmt.Errorf("in %s %w", quoted(word), err)
	}
	if what := u.wrong(); what != "" {
		return u, fmt.Errorf("in %s, %s", quoted(word), what)
	}
	u.settle()
	return u, nil
}

// read takes the figures of one construction.
func (u *Use) read(given []string) (err error) {
	switch u.Kind {
	case Diagonals:
		u.Depth = 1
		if len(given) > 0 {
			u.Depth, err = number(given[0])
		}
	case Divide:
		columns, rows, _ := strings.Cut(strings.ToLower(strings.ReplaceAll(given[0], "×", "x")), "x")
		if u.Columns, err = number(columns); err == nil {
			u.Rows, err = number(rows)
		}
	case Squares:
		u.Size, err = u.length(given[0])
		if err == nil && len(given) > 1 {
			var ok bool
			if u.Corner, ok = CornerNamed(given[1]); !ok {
				err = fmt.Errorf("%s is no corner", quoted(given[1]))
			}
		}
	case Plumb:
		u.X, err = u.length(given[0])
	case Level:
		u.Y, err = u.length(given[0])
	case Angled:
		// The unit is that of the first distance.
		if u.Y, err = u.length(given[1]); err == nil {
			u.X, err = u.length(given[0])
		}
		if err == nil {
			u.Degrees, err = degrees(given[2])
		}
	}
	return err
}

// number reads a whole number of at most four figures.
func number(text string) (int, error) {
	text = strings.TrimSpace(text)
	if text == "" || len(text) > 4 || strings.Trim(text, "0123456789") != "" {
		return 0, fmt.Errorf("%s is no whole number", quoted(text))
	}
	return strconv.Atoi(text)
}

// length reads a length and keeps its unit.
func (u *Use) length(text string) (place.MM, error) {
	l, unit, err := place.ParseLength(text, place.Inch)
	if err != nil {
		return 0, fmt.Errorf("%s is not a length", quoted(text))
	}
	u.Unit = unit
	return l, nil
}

// degrees reads an angle, as one of 0..180 to a thousandth.
func degrees(text string) (float64, error) {
	text = strings.TrimSuffix(strings.TrimSpace(text), "°")
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || strings.Trim(text, "+-.0123456789") != "" || math.Abs(v) > 360 {
		return 0, fmt.Errorf("%s is no angle from -360 to 360 degrees", quoted(text))
	}
	return halfTurn(math.Round(v*1000) / 1000), nil
}

// halfTurn brings an angle into 0..180, 180 excluded.
func halfTurn(v float64) float64 {
	v = math.Mod(v, 180)
	if v < 0 {
		v += 180
	}
	return math.Mod(math.Round(v*1000)/1000, 180) + 0 // no minus nought
}

// settle takes the unit that the first length comes back in: millimetres where
// its own cannot spell it exactly, inches for less than a foot.
func (u *Use) settle() {
	first := max(u.Size, u.X)
	if u.Kind == Level {
		first = u.Y
	}
	_, u.Unit = spelt(first, u.Unit)
}

// closer leaves no space before a unit.
func closer(text string) string {
	for _, unit := range []string{"in", "ft", "cm", "mm", "m"} {
		text = strings.ReplaceAll(text, " "+unit, unit)
	}
	return text
}

// spelt is a length so that it reads back as itself, and the unit that it reads
// back in: its own if that spells it with few figures, else millimetres.
func spelt(l place.MM, unit place.Unit) (string, place.Unit) {
	for _, n := range []int{0, 1, 2, 3, 4, 64, 48, 100} { // decimals, then denominators
		text := ""
		switch {
		case n <= 4 && unit.Imperial(), n > 4 && !unit.Imperial():
			continue
		case n <= 4:
			text = place.Decimal(l, unit, n)
		default:
			text = place.Text(l, unit, n)
		}
		if again, read, err := place.ParseLength(text, place.Inch); err == nil && again == l {
			return closer(text), read
		}
	}
	return strconv.FormatFloat(float64(l), 'f', -1, 64) + "mm", place.Millimetre
}

// String spells the plan so that ParsePlan reads it back: a plan that was parsed
// comes back as itself, any other that Check accepts draws the same lines, its
// angles to a thousandth of a degree.
func (p Plan) String() string {
	words := make([]string, len(p.Uses))
	for i, u := range p.Uses {
		words[i] = u.String()
	}
	return strings.Join(words, ",")
}

// String spells one construction.
func (u Use) String() string {
	length := func(l place.MM) string {
		text, _ := spelt(l, u.Unit)
		return ":" + text
	}
	word := string(u.Kind)
	switch u.Kind {
	case Diagonals:
		word += ":" + strconv.Itoa(u.Depth)
	case Divide:
		word += fmt.Sprintf(":%dx%d", u.Columns, u.Rows)
	case Squares:
		word += length(u.Size) + ":" + CornerName(u.Corner)
	case Plumb:
		word += length(u.X)
	case Level:
		word += length(u.Y)
	case Angled:
		word += length(u.X) + length(u.Y) + ":" + strconv.FormatFloat(halfTurn(u.Degrees), 'f', -1, 64)
	}
	return word
}

// quoted is what was typed, fit for a sentence: short and on one line.
func quoted(typed string) string {
	text := []rune(strings.TrimSpace(typed))
	if len(text) > 32 {
		text = append(text[:32], '…')
	}
	return strconv.Quote(string(text))
}
