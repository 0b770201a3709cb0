package easel

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"maulstick/render/place"
	"maulstick/render/study"
)

func init() {
	for name, do := range map[string]func(*Easel){
		"span-delete":  func(e *Easel) { e.do(e.doc().WithoutSpan(e.doc().Span), "") },
		"span-unit":    (*Easel).pressUnit,
		"span-halves":  func(e *Easel) { e.partBy(2) },
		"span-thirds":  func(e *Easel) { e.partBy(3) },
		"order-up":     func(e *Easel) { e.shiftBy(-1) },
		"order-down":   func(e *Easel) { e.shiftBy(+1) },
		"marks-save":   func(e *Easel) { e.saveList("marks") },
		"spans-save":   func(e *Easel) { e.saveList("spans") },
		"lines-nearby": func(e *Easel) { e.nearLines = !e.nearLines },
	} {
		keys[name] = do
	}
}

// spanAt ends a span at the mark that was touched, or at a new one there.
func (e *Easel) spanAt(f finger) {
	from := e.doc().Chosen
	if from == 0 { // it was deleted
		e.tool = inHand{}
		return
	}
	id := e.markNear(f.x, f.y)
	if id == 0 {
		e.tool = inHand{}
		before := len(e.doc().Marks)
		e.placeMark(f)
		e.hand.doing = idle
		if len(e.doc().Marks) == before {
			return
		}
		id = e.doc().Chosen
		e.do(e.doc().WithSpan(from, id), e.hand.run)
		return
	}
	if id != from {
		e.spanTo(id)
	}
}

// spanTo ends a span at a mark.
func (e *Easel) spanTo(id int) {
	from := e.doc().Chosen
	e.tool = inHand{}
	d := e.doc().WithSpan(from, id)
	if s, ok := d.SpanOf(d.Span); !ok || min(s.From, s.To) != min(from, id) || max(s.From, s.To) != max(from, id) {
		e.says.news = "This study holds as many spans as it can. Delete one first."
		return
	}
	e.do(d, "")
	e.says.news = "A span from " + e.label(from) + " to " + e.label(id) + "."
}

// pressUnit compares others with the chosen span, or no longer.
func (e *Easel) pressUnit() {
	d := e.doc()
	id := d.Span
	if d.Unit == id {
		id = 0
	}
	e.do(d.ComparedWith(id), "")
}

// partBy divides the chosen span in so many parts, or no longer.
func (e *Easel) partBy(n int) {
	if e.doc().Parting == n {
		n = 1
	}
	e.show(e.doc().Parted(n))
}

// shiftBy moves the row of the list that is looked at up or down: a mark or a span.
func (e *Easel) shiftBy(by int) {
	d := e.doc()
	switch id, isSpan := e.listed(); {
	case id == 0:
		e.says.news = "Choose a row of the list first."
	case isSpan:
		e.do(d.ShiftedSpan(id, by), "")
	default:
		e.do(d.ShiftedMark(id, by), "")
	}
}

// listed is the mark or span whose row is looked at, 0 for none.
func (e *Easel) listed() (id int, isSpan bool) {
	number, isSpan := strings.CutPrefix(e.row, "row-listspan-")
	if !isSpan {
		number, _ = strings.CutPrefix(e.row, "row-listmark-")
	}
	id, err := strconv.Atoi(number)
	if err != nil {
		return 0, false
	}
	return id, isSpan
}

// spanLabel is what a span is called on the screen.
func (e *Easel) spanLabel(s study.Span) string {
	if s.Name != "" {
		return s.Name
	}
	return e.label(s.From) + " to " + e.label(s.To)
}

// faceSpan is the part of the Place tray about spans, and that with the lists.
func (e *Easel) faceSpan(f *Face) {
	d := e.doc()
	f.Rows["spans-rows"], f.Rows["list-rows"] = nil, nil
	s, ok := d.SpanOf(d.Span)
	f.Value["span-name"], f.Disabled["span-name"] = s.Name, e.still() || !ok
	e.disable(f, "span-new", d.Chosen == 0)
	for _, key := range []string{"span-delete", "span-unit", "span-halves", "span-thirds"} {
		e.disable(f, key, !ok)
	}
	f.Pressed["key-span-unit"] = ok && d.Unit == d.Span
	f.Pressed["key-span-halves"], f.Pressed["key-span-thirds"] = ok && d.Parting == 2, ok && d.Parting == 3
	e.disable(f, "marks-save", len(d.Marks) == 0 || !d.HasCanvas())
	e.disable(f, "spans-save", len(d.Spans) == 0 || !d.HasCanvas())
	id, _ := e.listed()
	e.disable(f, "order-up", id == 0)
	e.disable(f, "order-down", id == 0)
	f.Hidden["span-length"] = !ok || !d.HasCanvas()
	f.Text["span-note"], f.Text["span-more"] = e.spanWanted(ok), ""
	if e.history == nil || d.Tray != study.TrayPlace {
		return
	}
	if span, there := d.Spanned(s); ok && there && d.HasCanvas() {
		figure(f, "span-length", span.Length(), d.Canvas.Unit)
		f.Text["span-length-of"] = e.spanLabel(s)
		f.Text["span-note"], f.Text["span-more"] = e.spanText(span), e.spanMore(s, span)
	}
	switch d.Parts.Place {
	case "span":
		e.spanParts(f, s, ok)
		for _, s := range d.Spans {
			f.Rows["spans-rows"] = append(f.Rows["spans-rows"], Row{Key: fmt.Sprintf("span-%d", s.ID), Text: e.spanRow(s), Pressed: s.ID == d.Span})
		}
	case "list":
		e.faceList(f)
	}
}

// spanWanted says what to do to read a span.
func (e *Easel) spanWanted(ok bool) string {
	d := e.doc()
	switch {
	case e.tool.tool == spanner:
		return "Touch the mark where the span from " + e.label(d.Chosen) + " ends, or a new spot."
	case len(d.Marks) == 0:
		return "Touch the picture to place a mark: a span goes from mark to mark."
	case !ok:
		return "Choose a mark, then New span."
	case !d.HasCanvas():
		return "Type the size of the canvas under Line to read distances."
	}
	return ""
}

// spanText is a span's run, rise and direction, and how surely.
func (e *Easel) spanText(s place.Span) string {
	unit := e.doc().Canvas.Unit
	return fmt.Sprintf("%s, %s, within %s. %s", s.RunText(unit), s.RiseText(unit), s.WithinText(unit), sentence(s.DirectionText()))
}

// hundredths rounds a ratio's doubt up, as the doubt about a length is.
func hundredths(doubt float64) float64 { return math.Ceil(doubt*100-1e-7) / 100 }

// spanMore compares a span with the unit, says whether it points at the chosen mark,
// and where the nearest line is.
func (e *Easel) spanMore(s study.Span, span place.Span) string {
	d := e.doc()
	text := ""
	if u, ok := d.SpanOf(d.Unit); ok && u.ID != s.ID {
		if unit, there := d.Spanned(u); there {
			m := span.In(unit)
			text += fmt.Sprintf("It is %s of %s, %.2f within %.2f. ", m, e.spanLabel(u), m.Ratio, hundredths(m.Within))
		}
	}
	if m, ok := d.Mark(d.Chosen); ok && m.ID != s.From && m.ID != s.To {
		mapping := d.Mapping()
		a := span.PointsAt(mapping.ToCanvas(point(m)), mapping.Uncertainty(m.Touch))
		switch {
		case a.Hits && a.Behind:
			text += "It points straight away from " + e.label(m.ID) + ". "
		case a.Hits:
			text += "It points at " + e.label(m.ID) + ". "
		default:
			text += fmt.Sprintf("It misses %s by %s. ", e.label(m.ID), place.Text(a.Miss, d.Canvas.Unit, sixteenths))
		}
	}
	from, _ := d.Mark(s.From)
	to, _ := d.Mark(s.To)
	for _, m := range []study.Mark{from, to} {
		if near := e.nearestLine(m); near != "" && e.nearLines {
			text += e.label(m.ID) + ": " + near + ". "
		}
	}
	return text
}

// nearestLine says how far a mark is from the nearest line, "" without lines.
func (e *Easel) nearestLine(m study.Mark) string {
	d, a := e.doc(), e.lines()
	if a == nil || !d.Lines.Shown || !e.setting.current() || !d.HasCanvas() {
		return ""
	}
	i, off, _, ok := a.NearestLine(d.Mapping().ToCanvas(point(m)))
	if !ok {
		return ""
	}
	l := a.Lines[i]
	way := "right of"
	switch level := l.From.Y == l.To.Y; {
	case level && off < 0:
		way = "above"
	case level:
		way = "below"
	case off < 0:
		way = "left of"
	}
	size := place.Text(max(off, -off), d.Canvas.Unit, sixteenths)
	if size == place.Text(0, d.Canvas.Unit, sixteenths) {
		return "on a line (" + l.Label + ")"
	}
	return fmt.Sprintf("%s %s the nearest line (%s)", size, way, l.Label)
}

// spanParts marks the halves or thirds of the chosen span on the picture.
func (e *Easel) spanParts(f *Face, s study.Span, ok bool) {
	d := e.doc()
	span, there := d.Spanned(s)
	if !ok || !there || d.Parting < 2 || !e.ready() || e.plain {
		return
	}
	m, v := d.Mapping(), e.viewport()
	for i, c := range span.Divided(d.Parting) {
		x, y := v.ToScreen(m.ToPhoto(c))
		if onArea(v, x, y) {
			f.Spots = append(f.Spots, Spot{X: x / e.dpr, Y: y / e.dpr, Text: fmt.Sprintf("%d⁄%d", i+1, d.Parting)})
		}
		if d.HasCanvas() {
			f.Text["span-more"] += fmt.Sprintf("%d⁄%d: %s. ", i+1, d.Parting, e.where(m.ToPhoto(c)))
		}
	}
}

// spanRow is a span in a list.
func (e *Easel) spanRow(s study.Span) string {
	d := e.doc()
	text := e.spanLabel(s)
	if span, ok := d.Spanned(s); ok && d.HasCanvas() {
		text += ": " + place.Text(span.Length(), d.Canvas.Unit, sixteenths)
		if u, ok := d.SpanOf(d.Unit); ok && u.ID != s.ID {
			if unit, there := d.Spanned(u); there {
				text += ", " + span.In(unit).String() + " of the unit"
			}
		}
	}
	if s.ID == d.Unit {
		text += ", the unit"
	}
	return text
}

// faceList is all marks and spans.
func (e *Easel) faceList(f *Face) {
	d := e.doc()
	crop := d.Crop()
	add := func(name, text string) {
		key := "row-" + name
		f.Rows["list-rows"] = append(f.Rows["list-rows"], Row{Key: key, Text: text, Pressed: e.row == key})
	}
	for _, m := range d.Marks {
		text := e.markLabel(m, crop.Contains(point(m)))
		if near := e.nearestLine(m); near != "" && e.nearLines {
			text = e.label(m.ID) + ": " + near
		}
		add(fmt.Sprintf("listmark-%d", m.ID), text)
	}
	for _, s := range d.Spans {
		add(fmt.Sprintf("listspan-%d", s.ID), e.spanRow(s))
	}
}

// saveList hands over the marks or the spans as comma-separated values.
func (e *Easel) saveList(what string) {
	d := e.doc()
	named := func(id int) place.NamedMark {
		m, _ := d.Mark(id)
		return place.NamedMark{Name: e.label(id), At: point(m), Touch: m.Touch}
	}
	var b bytes.Buffer
	var err error
	if what == "marks" {
		var marks []place.NamedMark
		for _, m := range d.Marks {
			marks = append(marks, named(m.ID))
		}
		err = place.WriteMarks(&b, d.Mapping(), d.From, marks)
	} else {
		var spans []place.NamedSpan
		for _, s := range d.Spans {
			spans = append(spans, place.NamedSpan{Name: s.Name, From: named(s.From), To: named(s.To)})
		}
		err = place.WriteSpans(&b, d.Mapping(), spans)
	}
	if err != nil {
		e.say(err)
		return
	}
	e.host.SaveBytes(d.FileStem()+"-"+what+".csv", "text/csv", b.Bytes())
}

// pressListed chooses what a row of the list is about.
func (e *Easel) pressListed() {
	switch id, isSpan := e.listed(); {
	case id == 0:
	case isSpan:
		if slices.ContainsFunc(e.doc().Spans, func(s study.Span) bool { return s.ID == id }) {
			e.show(e.doc().ChoosingSpan(id))
		}
	default:
		e.choose(id)
	}
}
