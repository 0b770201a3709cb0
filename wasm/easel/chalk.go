package easel

import (
	"fmt"
	"slices"
	"strings"

	"maulstick/render/line"
)

// faceChalk is the chalk list.
func (e *Easel) faceChalk(f *Face) {
	d, a := e.doc(), e.lines()
	f.Text["chalk-note"], f.Text["chalk-check"] = e.chalkNote(), ""
	e.disable(f, "chalk-afresh", len(d.Lines.Struck) == 0)
	if a == nil || a.Err != "" || !d.HasCanvas() || !e.setting.current() {
		return
	}
	list := a.Chalk
	for _, m := range list.Marks {
		note := "from the " + m.Edge.End(list.Corner)
		if off := list.Rounding.ErrorText(m.Error); off != "" {
			note += ", " + off
		}
		e.addTick(f, "chalk-marks", m.Key(), Row{Text: sentenceCase(m.Name), Figure: m.Text, Note: note})
	}
	for i, j := range list.Joins {
		e.addTick(f, "chalk-joins", list.Key(j), Row{
			Text: fmt.Sprintf("%d.", i+1), Figure: sentenceCase(j.From.Name) + " – " + j.To.Name, Note: a.Lines[j.Line].Label,
		})
	}
	c := list.Check
	// Those of the stretched canvas, which can be measured, and not of what is painted.
	f.Text["chalk-check"] = "Both diagonals of the canvas: " + list.Rounding.Text(d.Canvas.Face().Diagonal()) + "."
	if c.Text != "" {
		f.Text["chalk-check"] = fmt.Sprintf("At the end, from %s to %s: %s. ", c.From, c.To, c.Text) + f.Text["chalk-check"]
	}
}

// pressStrike strikes a row of the chalk list off, or no longer.
func (e *Easel) pressStrike(key string) {
	a := e.lines()
	if a == nil || !e.setting.current() {
		return
	}
	isMark := func(m line.Mark) bool { return m.Key() == key }
	isJoin := func(j line.Join) bool { return a.Chalk.Key(j) == key }
	if slices.ContainsFunc(a.Chalk.Marks, isMark) || slices.ContainsFunc(a.Chalk.Joins, isJoin) {
		e.do(e.doc().Striking(key), "")
	}
}

// addTick adds a row that is struck off by touching it.
func (e *Easel) addTick(f *Face, list, key string, row Row) {
	row.Key, row.Pressed = "strike-"+key, slices.Contains(e.doc().Lines.Struck, key)
	f.Rows[list] = append(f.Rows[list], row)
}

// sentenceCase starts with a capital.
func sentenceCase(s string) string { return strings.TrimSuffix(sentence(s), ".") }

// chalkNote says how the list is measured, or what to do to have one.
func (e *Easel) chalkNote() string {
	d, a := e.doc(), e.lines()
	switch {
	case e.setting.failed != "":
		return e.setting.failed
	case !d.HasCanvas():
		return "Type the size of the canvas first."
	case len(d.Lines.Uses) == 0:
		return "Draw some lines first: they are listed here to be chalked."
	case a == nil || !e.setting.current():
		return "Setting out the lines."
	}
	across, down := d.Lines.From.Names()
	text := fmt.Sprintf("Measure along the top and bottom edges from the %s, along the left and right ones from the %s, to the nearest %s. Strike off what is done.",
		across, down, grainText(d.LineRounding()))
	if inset := d.Mapping().InsetText(d.Lines.From); inset != "" {
		text += " The list measures what is painted, which begins " + inset + "."
	}
	return text
}

func grainText(r line.Rounding) string {
	if !r.Unit.Imperial() {
		return "millimetre"
	}
	return fmt.Sprintf("1/%d in", r.Denominator)
}
