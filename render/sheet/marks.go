package sheet

import (
	"fmt"
	"slices"

	"maulstick/render/place"
	"maulstick/render/study"
)

// dotSide is how large a mark's number stands on the picture.
const dotSide place.MM = 4.6

// markPages are the marks on the picture, and all their readings and the spans'.
func (w Work) markPages(p *pen, body box) []page {
	columns := 1
	if body.Width >= 170 {
		columns = 2
	}
	width := (body.Width - columnGutter*place.MM(columns-1)) / place.MM(columns)
	room := box{body.X, body.Y, body.Width, body.Height * 0.48}
	s := scaleFor(w.Mapping.Canvas, room.Width, room.Height)
	at := s.centred(w.Mapping.Canvas, room)
	at.Y = body.Y
	p.printed(at)
	var blocks []block
	if w.originsDiffer() {
		b := p.textBlock(p.large(12, false), "The chalk list begins elsewhere: it is measured "+w.chalkFrom()+".", width, 2)
		b.heading = true
		blocks = append(blocks, b)
	}
	blocks = append(blocks, p.headingBlock("Marks", width))
	for i, m := range w.Marks {
		blocks = append(blocks, w.markBlock(p, i+1, m, width))
	}
	if len(w.Spans) > 0 {
		blocks = append(blocks, p.headingBlock("Spans", width))
	}
	for _, span := range w.Spans {
		blocks = append(blocks, w.spanBlock(p, span, width))
	}
	detail := s.words(w.Mapping.Canvas.Unit) + "; marks are measured " + w.marksFrom()
	pages := laid(study.SheetMarks, detail, flow(blocks, body, columns, at.Height+4))
	rest := pages[0].draw
	pages[0].draw = func(p *pen) {
		w.marked(p, at, s)
		rest(p)
	}
	return pages
}

// marksFrom says from where marks are measured.
func (w Work) marksFrom() string {
	across, down := w.From.Names()
	return "from the " + across + " and the " + down + " of the canvas"
}

// originsDiffer says whether both marks and a chalk list are printed, and are measured from
// different places: from other edges, or from those of what is painted, which a margin
// or a turnover parts from the canvas's.
func (w Work) originsDiffer() bool {
	return slices.Contains(w.Kinds, study.SheetMarks) && slices.Contains(w.Kinds, study.SheetChalk) &&
		(w.From != w.Chalk.Corner || w.Mapping.Inset != place.Sides{})
}

// marked draws the picture with numbered marks and the spans between them.
func (w Work) marked(p *pen, at box, s scale) {
	p.picture(at)
	on := func(c place.CanvasPoint) (x, y place.MM) { return at.X + s.on(c.X), at.Y + s.on(c.Y) }
	p.clip(at, func() {
		for _, span := range w.Spans {
			x1, y1 := on(span.Span.From)
			x2, y2 := on(span.Span.To)
			for _, stroke := range []struct {
				width place.MM
				code  uint8
			}{{0.9, 0}, {0.4, 255}} { // seen on dark and on light
				p.grey(stroke.code)
				p.width(stroke.width)
				p.line(x1, y1, x2, y2)
			}
		}
	})
	for i, m := range w.Marks {
		if w.painted(m.At) {
			x, y := on(m.At)
			p.numbered(fmt.Sprint(i+1), x, y, at)
		}
	}
}

// numbered draws a mark and its number on a card beside it, which stays on the
// picture.
func (p *pen) numbered(number string, x, y place.MM, picture box) {
	f := face{8, true}
	card := box{x + 0.8, y - dotSide - 0.8, max(dotSide, p.measure(f, number)+1.6), dotSide}
	if card.X+card.Width > picture.X+picture.Width {
		card.X = x - 0.8 - card.Width
	}
	if card.Y < picture.Y {
		card.Y = y + 0.8
	}
	p.grey(255)
	p.fill(card)
	p.grey(0)
	p.width(0.25)
	p.rectangle(card)
	p.textAbout(f, card.X+card.Width/2, card.Y+dotSide/2+f.size.MM()*0.36, number)
	p.disc(x, y, 1.8)
	p.grey(255)
	p.disc(x, y, 0.9)
	p.grey(0)
}

// painted says whether a place lies on what is painted.
func (w Work) painted(c place.CanvasPoint) bool {
	return c.X >= 0 && c.Y >= 0 && c.X <= w.Mapping.Canvas.Width && c.Y <= w.Mapping.Canvas.Height
}

// markBlock is a mark's name, and where it is in large type.
func (w Work) markBlock(p *pen, number int, m Mark, width place.MM) block {
	unit := w.Mapping.Canvas.Unit
	across, down := w.From.Names()
	head := fmt.Sprintf("%d  %s", number, m.Name)
	places := fmt.Sprintf("%s from %s, %s from %s", place.Text(m.X, unit, 16), across, place.Text(m.Y, unit, 16), down)
	remark := fmt.Sprintf("within %s; value %.1f, step %d", place.WithinText(m.Within, unit, m.X, m.Y), float64(m.Value), m.Step)
	if !w.painted(m.At) {
		remark += "; outside of what is painted"
	}
	return rowBlock(p, head, places, remark, width)
}

// spanBlock is a span's name and what it measures.
func (w Work) spanBlock(p *pen, s Span, width place.MM) block {
	unit := w.Mapping.Canvas.Unit
	head := s.From + " – " + s.To
	if s.Name != "" {
		head = s.Name + ": " + head
	}
	text := place.Text(s.Length(), unit, 16)
	if s.In != "" {
		text += ", " + s.In
	}
	remark := fmt.Sprintf("%s, %s, within %s; %s", s.RunText(unit), s.RiseText(unit), s.WithinText(unit), s.DirectionText())
	return rowBlock(p, head, text, remark, width)
}

// rowBlock is a name, a reading and a remark below one another.
func rowBlock(p *pen, head, reading, remark string, width place.MM) block {
	nameFace, readFace, rowFace := p.large(13, true), p.large(13, false), p.large(smallSize, false)
	heads, readings, remarks := p.wrap(nameFace, head, width), p.wrap(readFace, reading, width), p.wrap(rowFace, remark, width)
	height := nameFace.leading()*place.MM(len(heads)+len(readings)) + rowFace.leading()*place.MM(len(remarks))
	return block{height: height + 2.5, draw: func(p *pen, at box) {
		p.grey(0)
		y := p.lines(nameFace, at.X, at.Y, heads)
		y = p.lines(readFace, at.X, y, readings)
		p.lines(rowFace, at.X, y, remarks)
	}}
}
