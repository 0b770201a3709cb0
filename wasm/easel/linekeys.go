package easel

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"maulstick/render/colour"
	"maulstick/render/line"
	"maulstick/render/place"
	"maulstick/render/study"
)

// constructions are the constructions in the order of their keys.
var constructions = []line.Kind{
	line.Diagonals, line.Thirds, line.Golden, line.Rabatment, line.Reciprocal,
	line.Divide, line.Squares, line.Plumb, line.Level, line.Angled,
}

// chalks are the colours that lines are drawn in, by the names of their keys.
var chalks = []struct {
	name   string
	colour colour.SRGB
}{
	{"white", colour.SRGB{R: 255, G: 255, B: 255}}, {"yellow", colour.SRGB{R: 255, G: 212, B: 0}},
	{"red", colour.SRGB{R: 226, G: 38, B: 24}}, {"blue", colour.SRGB{R: 30, G: 96, B: 240}},
	{"green", colour.SRGB{R: 0, G: 150, B: 70}}, {"black", colour.SRGB{}},
}

// corners are the corners that distances are measured from, by the names of their keys.
var corners = []place.Edges{{}, {Right: true}, {Bottom: true}, {Right: true, Bottom: true}}

// roundings are the rules that a chalk list is rounded to, by the names of their keys.
var roundings = map[string]string{"8": "1/8", "16": "1/16", "32": "1/32", "mm": "mm"}

func init() {
	for name, do := range map[string]func(*Easel){
		"lines-show":    func(e *Easel) { e.relist(func(l *study.Lines) { l.Shown = !l.Shown }) },
		"lines-thinner": func(e *Easel) { e.restyle(func(c *study.Construction) { c.Weight = max(c.Weight-1, 1) }) },
		"lines-thicker": func(e *Easel) {
			e.restyle(func(c *study.Construction) { c.Weight = min(c.Weight+1, study.LineWeights) })
		},
		"lines-fainter":  func(e *Easel) { e.restyle(func(c *study.Construction) { c.Strength = max(c.Strength-15, 10) }) },
		"lines-stronger": func(e *Easel) { e.restyle(func(c *study.Construction) { c.Strength = min(c.Strength+15, 100) }) },
		"lines-corner":   (*Easel).nextCorner,
		"lines-away":     func(e *Easel) { e.do(e.doc().WithoutConstruction(e.doc().Lines.Chosen), "") },
		"focal-here":     func(e *Easel) { e.pointHere(true) },
		"second-here":    func(e *Easel) { e.pointHere(false) },
		"eye-straight":   (*Easel).eyeStraight,
		"eye-clear":      func(e *Easel) { e.do(e.doc().WithoutEye(), "") },
		"chalk-afresh":   func(e *Easel) { e.do(e.doc().Unstruck(), "") },
	} {
		keys[name] = do
	}
	for _, k := range constructions {
		keys["use-"+string(k)] = func(e *Easel) { e.pressUse(k) }
	}
	for _, c := range chalks {
		keys["chalk-"+c.name] = func(e *Easel) { e.restyle(func(u *study.Construction) { u.Colour = c.colour }) }
	}
	for _, c := range corners {
		keys["chalk-from-"+line.CornerName(c)] = func(e *Easel) { e.relist(func(l *study.Lines) { l.From = c }) }
	}
	for name, text := range roundings {
		keys["round-"+name] = func(e *Easel) { e.relist(func(l *study.Lines) { l.Rounding = text }) }
	}
}

// relist changes what is seen of the lines, or how the chalk list is measured, which
// is no step that undo takes back.
func (e *Easel) relist(change func(*study.Lines)) {
	l := e.doc().Lines
	change(&l)
	e.show(e.doc().WithLines(l))
}

// pressUse draws a construction, or takes it away where it is drawn. Lines through a
// mark go through the chosen one.
func (e *Easel) pressUse(k line.Kind) {
	d := e.doc()
	c := study.NewConstruction(k, d.Chosen)
	if c.Through() && d.Chosen == 0 {
		e.says.news = "Choose the mark that the line is to go through first."
		return
	}
	at := slices.IndexFunc(d.Lines.Uses, c.Same)
	e.figures = field{}
	if at >= 0 {
		e.do(d.WithoutConstruction(at), "")
		return
	}
	if k == line.Squares && !d.Canvas.Unit.Imperial() {
		c.Size, c.Unit = 150, place.Centimetre
	}
	with := d.WithConstruction(c)
	if len(with.Lines.Uses) == len(d.Lines.Uses) {
		e.says.news = "There are as many lines as a plan holds. Take some away first."
	}
	e.do(with, "")
}

// chosenUse is the construction that is being changed.
func (e *Easel) chosenUse() (study.Construction, bool) {
	l := e.doc().Lines
	if l.Chosen >= len(l.Uses) {
		return study.Construction{}, false
	}
	return l.Uses[l.Chosen], true
}

// restyle changes how the chosen construction is drawn, or its figures.
func (e *Easel) restyle(change func(*study.Construction)) {
	if c, ok := e.chosenUse(); ok {
		change(&c)
		e.do(e.doc().WithConstruction(c), fmt.Sprintf("line %s %d", c.Kind, c.Mark))
	}
}

// nextCorner counts squares from the next corner, clockwise.
func (e *Easel) nextCorner() {
	e.restyle(func(c *study.Construction) {
		clockwise := []place.Edges{{}, {Right: true}, {Right: true, Bottom: true}, {Bottom: true}}
		c.Corner = clockwise[(slices.Index(clockwise, c.Corner)+1)%4]
	})
}

// pressUseRow chooses the construction that a row of the list is about.
func (e *Easel) pressUseRow(i int) {
	e.figures = field{}
	e.relist(func(l *study.Lines) { l.Chosen = i })
}

// typeFigures takes the figures of the chosen construction: how deep, how many, how
// large or how steep.
func (e *Easel) typeFigures(text string) {
	e.figures = field{}
	c, ok := e.chosenUse()
	if !ok {
		return
	}
	word := string(c.Kind) + ":" + strings.TrimSpace(text)
	switch c.Kind {
	case line.Angled:
		word = "angled:1:1:" + strings.TrimSuffix(strings.TrimSpace(text), "°")
	case line.Squares:
		l, unit, err := place.ParseLength(text, small(e.doc().Canvas.Unit))
		if err != nil {
			e.refuseFigures(text, refusal(err))
			return
		}
		e.changeUse(text, line.Use{Kind: c.Kind, Size: l, Unit: unit, Corner: c.Corner})
		return
	}
	p, err := line.ParsePlan(word)
	if err != nil || len(p.Uses) != 1 {
		e.refuseFigures(text, figuresWanted[c.Kind])
		return
	}
	e.changeUse(text, p.Uses[0])
}

// figuresWanted say what figures a construction takes.
var figuresWanted = map[line.Kind]string{
	line.Diagonals: "Type how deep the diagonals go, 1 to 4.",
	line.Divide:    "Type columns x rows, 1 to 64 of each and not one of both, as in 4 x 3.",
	line.Angled:    "Type degrees from level, rising to the right, as in 35 or -20.",
}

// refuseFigures says beside the field what is wrong with it.
func (e *Easel) refuseFigures(text, note string) {
	e.figures = field{refused: true, typed: text, note: note}
	e.says.news = note
}

// changeUse gives the chosen construction other figures, if a plan may hold them.
func (e *Easel) changeUse(text string, u line.Use) {
	c, _ := e.chosenUse()
	c.Depth, c.Columns, c.Rows = u.Depth, u.Columns, u.Rows
	if c.Kind == line.Squares {
		c.Size, c.Unit = u.Size, u.Unit
	}
	if c.Kind == line.Angled {
		c.Degrees = u.Degrees // 0 to 180
		if c.Degrees > study.MostDegrees {
			c.Degrees -= 180
		}
	}
	d := e.doc().WithConstruction(c)
	if err := d.LinePlan().Check(); err != nil {
		e.refuseFigures(text, refusal(err))
		return
	}
	e.do(d, "")
}

// figuresText is the figures of a construction as they could have been typed.
func (e *Easel) figuresText(c study.Construction) string {
	switch c.Kind {
	case line.Diagonals:
		return strconv.Itoa(c.Depth)
	case line.Divide:
		return fmt.Sprintf("%d x %d", c.Columns, c.Rows)
	case line.Squares:
		return sideText(c.Size, c.Unit)
	case line.Angled:
		return strconv.FormatFloat(c.Degrees, 'f', -1, 64)
	}
	return ""
}

// pointHere puts the focal point, or the second one, on the crossing that is looked
// at, and keeps it as a mark.
func (e *Easel) pointHere(focal bool) {
	at, ok := e.crossingAt(e.row)
	if !ok {
		e.says.news = "Choose a crossing of the list first."
		return
	}
	d := e.doc()
	id, name := d.Finding.Focal, "Focal point"
	if !focal {
		id, name = d.Finding.Second, "Second point"
	}
	p := e.onCrop(at)
	if m, there := d.Mark(id); there && m.Name == name {
		d = d.MovedMark(id, p, 0).Choosing(id)
	} else {
		if len(d.Marks) >= study.MostMarks {
			e.says.news = "This study holds as many marks as it can. Delete one first."
			return
		}
		d = d.WithMark(p, 0)
		id = d.Chosen
		d = d.NamedMark(id, name)
	}
	f := d.Finding
	if focal {
		f.Focal = id
	} else {
		f.Second = id
	}
	e.do(d.WithFinding(f), "")
	e.says.news = name + " placed."
}

// crossingAt is where the crossing of a row of the list lies on the photograph.
func (e *Easel) crossingAt(row string) (place.PhotoPoint, bool) {
	i, a := numbered(row, "row-crossing-"), e.lines()
	if a == nil || i < 1 || i > len(a.Crossings) || !e.setting.current() {
		return place.PhotoPoint{}, false
	}
	return e.doc().Mapping().ToPhoto(a.Crossings[i-1].At), true
}

// eyeStraight draws the path of the eye straight from the focal point to the second.
func (e *Easel) eyeStraight() {
	d := e.doc()
	from, ok := d.Mark(d.Finding.Focal)
	to, ok2 := d.Mark(d.Finding.Second)
	if !ok || !ok2 {
		e.says.news = "Give the picture a focal point and a second one first."
		return
	}
	e.do(d.WithEye(study.EyePath{point(from), point(to)}), "")
}
