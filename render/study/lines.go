package study

import (
	"fmt"
	"math"
	"slices"

	"maulstick/render/colour"
	"maulstick/render/line"
	"maulstick/render/place"
)

// Lines are the lines that divide the canvas, how they are drawn over the picture,
// and how they are brought onto the canvas.
type Lines struct {
	Shown    bool           `json:"shown"`
	Uses     []Construction `json:"uses"`     // in the order in which they are drawn
	Chosen   int            `json:"chosen"`   // the construction being changed, by its place in Uses
	From     place.Edges    `json:"from"`     // the corner that the chalk list measures from
	Rounding string         `json:"rounding"` // as line.ParseRounding reads it, "" goes by the unit
	Struck   []string       `json:"struck"`   // what is done of the chalk list, by the keys of its rows
}

// Construction is one construction of the lines and how it is drawn.
type Construction struct {
	Kind     line.Kind   `json:"kind"`
	Depth    int         `json:"depth"` // of the diagonals
	Columns  int         `json:"columns"`
	Rows     int         `json:"rows"`
	Size     place.MM    `json:"size_mm"` // of squares
	Unit     place.Unit  `json:"unit"`    // that Size was typed in
	Corner   place.Edges `json:"corner"`  // that squares are counted from
	Mark     int         `json:"mark"`    // that a plumb, level or angled line goes through
	Degrees  float64     `json:"degrees"` // of an angled line, from level, rising to the right over 0
	Weight   int         `json:"weight"`  // how thick, 1..LineWeights
	Colour   colour.SRGB `json:"colour"`
	Strength int         `json:"strength_percent"` // 10..100
}

// The limits of lines.
const (
	LineWeights  = 5
	LeastDegrees = -90
	MostDegrees  = 90
	mostStruck   = 4000
)

// newLines are a new study's: none.
func newLines() Lines { return Lines{Uses: []Construction{}, Struck: []string{}} }

// Through says whether a construction goes through a mark.
func (c Construction) Through() bool {
	return c.Kind == line.Plumb || c.Kind == line.Level || c.Kind == line.Angled
}

// Same says whether two constructions are the same but for their figures and how
// they are drawn.
func (c Construction) Same(o Construction) bool { return c.Kind == o.Kind && c.Mark == o.Mark }

// NewConstruction is a construction as it is first drawn: light lines, as chalk.
func NewConstruction(kind line.Kind, mark int) Construction {
	c := Construction{Kind: kind, Weight: 2, Colour: colour.SRGB{R: 255, G: 255, B: 255}, Strength: 80}
	switch kind {
	case line.Diagonals:
		c.Depth = 2
	case line.Divide:
		c.Columns, c.Rows = 4, 4
	case line.Squares:
		c.Size, c.Unit = 152.4, place.Inch // 6 in, as it is typed
	case line.Angled:
		c.Degrees = 45
	}
	if c.Through() {
		c.Mark = mark
	}
	return c
}

// LinePlan is the lines as a plan for a canvas: its use i is that of Uses[i].
// Lines through marks go where the marks lie.
func (d Document) LinePlan() line.Plan {
	var p line.Plan
	m := d.Mapping()
	for _, c := range d.Lines.Uses {
		u := line.Use{Kind: c.Kind, Unit: c.Unit}
		switch c.Kind {
		case line.Diagonals:
			u.Depth = c.Depth
		case line.Divide:
			u.Columns, u.Rows = c.Columns, c.Rows
		case line.Squares:
			u.Size, u.Corner = c.Size, c.Corner
		}
		if mark, ok := d.Mark(c.Mark); ok && c.Through() {
			if at, seen := d.passing(c, m.ToCanvas(place.PhotoPoint{X: mark.X, Y: mark.Y})); seen {
				u = c.at(at)
			}
		}
		p.Uses = append(p.Uses, u)
	}
	return p
}

// at is a construction through a place of the canvas.
func (c Construction) at(p place.CanvasPoint) line.Use {
	held := func(l place.MM) place.MM {
		if l < line.FinestLength {
			return 0
		}
		return min(l, line.LongestLength)
	}
	u := line.Use{Kind: c.Kind, Unit: c.Unit}
	if c.Kind != line.Level {
		u.X = held(p.X)
	}
	if c.Kind != line.Plumb {
		u.Y = held(p.Y)
	}
	if c.Kind == line.Angled {
		u.Degrees = c.Degrees
	}
	return u
}

// passing is a place on the canvas that a construction through another one passes: that
// itself or, where it lies off the canvas, the middle of what is seen of the line. ok is
// false if nothing is; then the plan has a line along the canvas's edge, which draws
// nothing.
func (d Document) passing(c Construction, at place.CanvasPoint) (p place.CanvasPoint, ok bool) {
	size := d.Size()
	across, down := at.X > 0 && at.X < size.Width, at.Y > 0 && at.Y < size.Height
	switch {
	case c.Kind == line.Plumb:
		return at, across
	case c.Kind == line.Level:
		return at, down
	case across && down:
		return at, true
	}
	sin, cos := math.Sincos(c.Degrees * math.Pi / 180)
	low, high := math.Inf(-1), math.Inf(1) // of the way along the line, on the canvas
	for _, side := range []struct{ from, way, length float64 }{
		{float64(at.X), cos, float64(size.Width)}, {float64(at.Y), -sin, float64(size.Height)},
	} {
		near, far := -side.from/side.way, (side.length-side.from)/side.way
		low, high = max(low, min(near, far)), min(high, max(near, far))
	}
	middle := (low + high) / 2
	p = place.CanvasPoint{X: at.X + place.MM(middle*cos), Y: at.Y - place.MM(middle*sin)}
	return p, low < high && finite(middle)
}

// LineRounding is the rule that the chalk list is rounded to.
func (d Document) LineRounding() line.Rounding {
	if r, err := line.ParseRounding(d.Lines.Rounding); err == nil {
		return r
	}
	return line.RoundingFor(d.Canvas.Unit)
}

// WithLines is the study with other lines.
func (d Document) WithLines(l Lines) Document {
	l.Chosen = min(max(l.Chosen, 0), max(len(l.Uses)-1, 0))
	d.Lines = l
	return d
}

// WithConstruction draws one construction more, or the same one otherwise, and
// chooses it. There are no more than a plan may hold.
func (d Document) WithConstruction(c Construction) Document {
	l := d.Lines
	at := slices.IndexFunc(l.Uses, c.Same)
	l.Uses = slices.Clone(l.Uses)
	switch {
	case at >= 0:
		l.Uses[at] = c
	case len(l.Uses) >= line.MostUses:
		return d
	default:
		at = len(l.Uses)
		l.Uses = append(l.Uses, c)
	}
	l.Chosen, l.Shown = at, true
	return d.WithLines(l)
}

// WithoutConstruction leaves out the construction at a place of Uses.
func (d Document) WithoutConstruction(i int) Document {
	l := d.Lines
	if i < 0 || i >= len(l.Uses) {
		return d
	}
	l.Uses = slices.Delete(slices.Clone(l.Uses), i, i+1)
	if l.Chosen > i {
		l.Chosen--
	}
	return d.WithLines(l)
}

// Striking is the study with a row of the chalk list struck off, or not.
func (d Document) Striking(key string) Document {
	l := d.Lines
	if i := slices.Index(l.Struck, key); i >= 0 {
		l.Struck = slices.Delete(slices.Clone(l.Struck), i, i+1)
	} else if len(l.Struck) < mostStruck {
		l.Struck = append(slices.Clone(l.Struck), key)
	}
	return d.WithLines(l)
}

// Unstruck is the study with nothing of the chalk list struck off.
func (d Document) Unstruck() Document {
	l := d.Lines
	l.Struck = []string{}
	return d.WithLines(l)
}

// seenAs are lines of an earlier or later state, as they are looked at now.
func (l Lines) seenAs(now Lines) Lines {
	l.Shown, l.From, l.Rounding = now.Shown, now.From, now.Rounding
	l.Chosen = min(now.Chosen, max(len(l.Uses)-1, 0))
	return l
}

func (d Document) checkLines() error {
	l := d.Lines
	switch {
	case l.Uses == nil || l.Struck == nil:
		return fmt.Errorf("the list of lines or what is struck off is missing")
	case len(l.Uses) > line.MostUses || len(l.Struck) > mostStruck:
		return fmt.Errorf("%d constructions, or %d struck off, are too many", len(l.Uses), len(l.Struck))
	case l.Chosen < 0 || l.Chosen > max(len(l.Uses)-1, 0):
		return fmt.Errorf("construction %d is not there", l.Chosen)
	}
	if _, err := line.ParseRounding(l.Rounding); err != nil && l.Rounding != "" {
		return err
	}
	for _, key := range l.Struck {
		if err := checkName("a row struck off", key); err != nil {
			return err
		}
	}
	for i, c := range l.Uses {
		if slices.ContainsFunc(l.Uses[:i], c.Same) {
			return fmt.Errorf("construction %q stands twice", clip(string(c.Kind)))
		}
		if err := d.checkConstruction(c); err != nil {
			return err
		}
	}
	return d.LinePlan().Check()
}

func (d Document) checkConstruction(c Construction) error {
	_, marked := d.Mark(c.Mark)
	switch {
	case c.Weight < 1 || c.Weight > LineWeights:
		return fmt.Errorf("lines of weight %d are not 1 to %d", c.Weight, LineWeights)
	case c.Strength < 10 || c.Strength > 100:
		return fmt.Errorf("lines of strength %d are not 10 to 100", c.Strength)
	case marked != c.Through():
		return fmt.Errorf("%s goes through mark %d", clip(string(c.Kind)), c.Mark)
	case !within(c.Degrees, LeastDegrees, MostDegrees):
		return fmt.Errorf("a line cannot stand at %v degrees", c.Degrees)
	case c.Unit < place.Inch || c.Unit > place.Metre:
		return fmt.Errorf("unit %d of squares is not known", c.Unit)
	}
	return nil
}
