package easel

import (
	"fmt"
	"math"
	"slices"

	"maulstick/render/line"
	"maulstick/render/place"
	"maulstick/render/study"
)

const (
	toldCrossings   = 40 // of the list
	markedCrossings = 9  // on the picture
)

// useNames are the constructions as they are listed.
var useNames = map[line.Kind]string{
	line.Diagonals: "Diagonals", line.Thirds: "Thirds", line.Golden: "Golden section", line.Rabatment: "Rabatment",
	line.Reciprocal: "Reciprocal diagonals", line.Divide: "Equal parts", line.Squares: "Squares",
	line.Plumb: "Plumb line", line.Level: "Level line", line.Angled: "Line",
}

// faceLine is the Line tray.
func (e *Easel) faceLine(f *Face) {
	d := e.doc()
	for _, list := range []string{"stretchers-rows", "lines-rows", "crossings-rows", "chalk-marks", "chalk-joins"} {
		f.Rows[list] = nil
	}
	f.Pressed["key-lines-show"] = d.Lines.Shown
	e.faceCanvas(f)
	e.faceCrop(f)
	if e.history == nil {
		return
	}
	e.faceUses(f)
	for _, c := range corners {
		f.Pressed["key-chalk-from-"+line.CornerName(c)] = d.Lines.From == c
	}
	for name, text := range roundings {
		f.Pressed["key-round-"+name] = roundingText(d.LineRounding()) == text
	}
	e.faceNotes(f)
	e.disable(f, "eye-clear", len(d.Eye) == 0)
	_, focal := d.Mark(d.Finding.Focal)
	_, second := d.Mark(d.Finding.Second)
	e.disable(f, "eye-straight", !focal || !second)
	if d.Tray != study.TrayLine {
		return
	}
	switch d.Parts.Line {
	case "stretcher":
		e.faceStretchers(f)
	case "lines":
		e.faceLinesNote(f)
	case "crossings":
		e.faceCrossings(f)
	case "chalk":
		e.faceChalk(f)
	}
}

// mostNotes is how many squares along all edges are named: more could not be read.
const mostNotes = 120

// faceNotes names the squares along the edges of the picture, as many of them as stand
// apart there.
func (e *Easel) faceNotes(f *Face) {
	a := e.lines()
	if a == nil || !e.doc().Lines.Shown || e.plain || e.whole() || !e.ready() || len(a.Notes) > mostNotes {
		return
	}
	m, v := e.doc().Mapping(), e.viewport()
	m.Canvas = e.setting.found.Canvas
	first := len(f.Spots)
	for _, n := range a.Notes {
		x, y := v.ToScreen(m.ToPhoto(n.At))
		spot := Spot{X: x / e.dpr, Y: y / e.dpr, Text: n.Text, Edge: true}
		if onArea(v, x, y) && !slices.ContainsFunc(f.Spots[first:], spot.touching) {
			f.Spots = append(f.Spots, spot)
		}
	}
}

// touching says whether the names of two squares would touch on the screen, where they
// are 22 CSS pixels high and about 9 a letter wide, with 6 more for their edges.
func (s Spot) touching(other Spot) bool {
	wide := 6 + 4.5*float64(len(s.Text)+len(other.Text))
	return math.Abs(s.X-other.X) < wide && math.Abs(s.Y-other.Y) < 22
}

// faceUses is the constructions that are drawn, and the one being changed.
func (e *Easel) faceUses(f *Face) {
	d := e.doc()
	for _, k := range constructions {
		c := study.NewConstruction(k, d.Chosen)
		f.Pressed["key-use-"+string(k)] = slices.ContainsFunc(d.Lines.Uses, c.Same)
		e.disable(f, "use-"+string(k), c.Through() && d.Chosen == 0)
	}
	chosen, ok := e.chosenUse()
	figures := ok && e.figuresText(chosen) != ""
	f.Value["figures"], f.Disabled["figures"] = e.figuresText(chosen), e.still() || !figures
	f.Text["figures-note"], f.Hidden["figures-note"] = e.figures.note, !e.figures.refused
	if e.figures.refused {
		f.Value["figures"] = e.figures.typed
	}
	e.disable(f, "lines-away", !ok)
	e.disable(f, "lines-corner", !ok || chosen.Kind != line.Squares)
	f.Text["key-lines-corner"] = "From " + line.CornerWords(chosen.Corner)
	e.disable(f, "lines-thinner", !ok || chosen.Weight <= 1)
	e.disable(f, "lines-thicker", !ok || chosen.Weight >= study.LineWeights)
	e.disable(f, "lines-fainter", !ok || chosen.Strength <= 10)
	e.disable(f, "lines-stronger", !ok || chosen.Strength >= 100)
	for _, c := range chalks {
		f.Pressed["key-chalk-"+c.name] = ok && chosen.Colour == c.colour
		e.disable(f, "chalk-"+c.name, !ok)
	}
	for i, c := range d.Lines.Uses {
		f.Rows["lines-rows"] = append(f.Rows["lines-rows"], Row{
			Key: fmt.Sprintf("use-row-%d", i), Text: e.useText(i, c), Swatches: swatches(c.Colour), Pressed: ok && i == d.Lines.Chosen,
		})
	}
}

// useText says what a construction draws.
func (e *Easel) useText(i int, c study.Construction) string {
	text := useNames[c.Kind]
	switch c.Kind {
	case line.Diagonals:
		text += fmt.Sprintf(", %d deep", c.Depth)
	case line.Divide:
		text += fmt.Sprintf(", %d x %d", c.Columns, c.Rows)
	case line.Squares:
		text += " of " + sideText(c.Size, c.Unit) + " from the " + line.CornerWords(c.Corner)
	case line.Angled:
		text += fmt.Sprintf(" at %v°", c.Degrees)
	}
	if c.Through() {
		text += " through " + e.label(c.Mark)
	}
	a := e.lines()
	if a == nil || a.Err != "" || !e.setting.current() {
		return text
	}
	for _, m := range a.Missed {
		switch {
		case m.Use == i && c.Through():
			return text + ": not inside the canvas"
		case m.Use == i:
			return text + ": " + m.Why
		}
	}
	count := 0
	for _, l := range a.Lines {
		if l.Use == i {
			count++
		}
	}
	switch count {
	case 0:
		return text + ": drawn by others already"
	case 1:
		return text + ": one line"
	}
	return fmt.Sprintf("%s: %d lines", text, count)
}

// faceLinesNote says what is drawn, or what to do.
func (e *Easel) faceLinesNote(f *Face) {
	a, wanted := e.lines(), ""
	if e.doc().Chosen == 0 {
		wanted = " Choose a mark for plumb or level."
	}
	switch {
	case e.setting.failed != "":
		f.Text["lines-note"] = e.setting.failed
	case len(e.doc().Lines.Uses) == 0:
		f.Text["lines-note"] = "Choose constructions." + wanted
	case a == nil || e.setting.busy:
		f.Text["lines-note"] = "Setting out the lines."
	default:
		f.Text["lines-note"] = fmt.Sprintf("%s, %s.", amount(len(a.Lines), "line"), amount(len(a.Crossings), "crossing")) + wanted
	}
}

// amount is a number of things.
func amount(n int, what string) string {
	if n == 1 {
		return "one " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// faceCrossings is where lines cross, and how marks lie to them.
func (e *Easel) faceCrossings(f *Face) {
	d, a := e.doc(), e.lines()
	_, looked := e.crossingAt(e.row)
	e.disable(f, "focal-here", !looked)
	e.disable(f, "second-here", !looked)
	f.Text["crossings-note"] = e.crossingsNote()
	if a == nil || !e.setting.current() {
		return
	}
	m := d.Mapping()
	for i, c := range a.Crossings[:min(len(a.Crossings), toldCrossings)] {
		text := fmt.Sprintf("%d. %d lines meet", i+1, len(c.Lines))
		if where := e.where(m.ToPhoto(c.At)); where != "" {
			text += ", " + where
		}
		name, at := fmt.Sprintf("crossing-%d", i+1), []place.PhotoPoint{m.ToPhoto(c.At)}
		if i >= markedCrossings && e.row != "row-"+name {
			at = nil
		}
		e.addRow(f, "crossings-rows", name, text, "", fmt.Sprint(i+1), at...)
	}
	for _, mark := range d.Marks {
		if i, off, ok := a.NearestCrossing(m.ToCanvas(point(mark))); ok && d.HasCanvas() && d.Crop().Contains(point(mark)) {
			name, at := fmt.Sprintf("beside-%d", mark.ID), []place.PhotoPoint{m.ToPhoto(a.Crossings[i].At)}
			if e.row != "row-"+name { // or it would lie over the mark
				at = nil
			}
			e.addRow(f, "crossings-rows", name,
				fmt.Sprintf("%s: %s a crossing of %d lines", e.label(mark.ID), e.offsetText(off), len(a.Crossings[i].Lines)),
				"", "x", at...)
		}
	}
}

// offsetText says how a mark lies to a crossing, along both edges.
func (e *Easel) offsetText(o line.Offset) string {
	unit := e.doc().Canvas.Unit
	x, y := place.Text(place.MM(math.Abs(float64(o.DX))), unit, sixteenths), place.Text(place.MM(math.Abs(float64(o.DY))), unit, sixteenths)
	across, down := "right", "below"
	if o.DX < 0 {
		across = "left"
	}
	if o.DY < 0 {
		down = "above"
	}
	none := place.Text(0, unit, sixteenths)
	switch {
	case x == none && y == none:
		return "on"
	case x == none:
		return y + " " + down
	case y == none:
		return x + " " + across + " of"
	}
	return x + " " + across + " of and " + y + " " + down
}

// crossingsNote says what is listed, and where the eye is led.
func (e *Easel) crossingsNote() string {
	d, a := e.doc(), e.lines()
	switch {
	case e.tool.tool == eyeTracer:
		return "Draw on the picture how the eye is to go, from the focal point to the second one."
	case len(d.Lines.Uses) == 0:
		return "Draw some lines first."
	case e.setting.failed != "":
		return e.setting.failed
	case a == nil || !e.setting.current():
		return "Setting out the lines."
	}
	text := sentence(amount(len(a.Crossings), "crossing")) + " Those of most lines come first; touch one to make it a point."
	focal, ok := d.Mark(d.Finding.Focal)
	second, ok2 := d.Mark(d.Finding.Second)
	if ok && ok2 && d.HasCanvas() {
		s := d.Mapping().Span(point(focal), point(second), focal.Touch, second.Touch)
		text += fmt.Sprintf(" From %s to %s it is %s.", e.label(focal.ID), e.label(second.ID), place.Text(s.Length(), d.Canvas.Unit, sixteenths))
	}
	return text
}
