package sheet

import (
	"fmt"

	"maulstick/render/place"
	"maulstick/render/study"
)

// The lines of the cartoon.
const (
	outlineWidth place.MM = 0.5
	dividedWidth place.MM = 0.25
	dividedGrey           = 170
	crossArm     place.MM = 4
	trimArm      place.MM = 4
)

// cartoonPages are a map of the pages, and the outlines at full size.
func (w Work) cartoonPages(body box) ([]page, error) {
	room := body.inset(tileMargin, tileMargin, tileMargin, tileMargin)
	t, err := tiled(w.Mapping.Canvas, room)
	if err != nil {
		return nil, err
	}
	pages := []page{w.mapPage(t, body)}
	for row := range t.rows {
		for column := range t.columns {
			pages = append(pages, w.tilePage(t, column, row, room))
		}
	}
	return pages, nil
}

// mapPage shows which page comes where.
func (w Work) mapPage(t tiling, body box) page {
	count := t.columns * t.rows
	words := "The cartoon is on one page, at full size."
	if count > 1 {
		words = fmt.Sprintf("The cartoon is on %d pages, %d across and %d down, that overlap by %s. On each, cut along the dashed lines, from trim mark to trim mark, on one of two neighbours; lay it on the other so that the crosses of the same name meet, and glue.",
			count, t.columns, t.rows, place.Text(overlap, place.Millimetre, 1))
	}
	words += " Before you cut, hold a ruler to the rule at the bottom of every page: paper moves with damp and heat."
	return page{kind: study.SheetCartoon, detail: "Map of the pages; " + sizeText(w.Mapping.Canvas) + " in all", draw: func(p *pen) {
		f := face{12, false}
		lines := p.wrap(f, words, body.Width)
		p.grey(0)
		p.lines(f, body.X, body.Y, lines)
		room := body.inset(1, f.leading()*place.MM(len(lines))+4, 1, 1)
		s := scaleFor(w.Mapping.Canvas, room.Width, room.Height)
		at := s.centred(w.Mapping.Canvas, room)
		at.Y = room.Y
		p.grey(120)
		p.width(0.2)
		w.outlinesOn(p, box{Width: w.Mapping.Canvas.Width, Height: w.Mapping.Canvas.Height}, at, s)
		p.mapTiles(t, at, s)
	}}
}

// mapTiles draws the tiles' cores and names.
func (p *pen) mapTiles(t tiling, at box, s scale) {
	p.grey(0)
	p.width(0.5)
	for row := range t.rows {
		for column := range t.columns {
			core := t.core(column, row)
			b := box{at.X + s.on(core.X), at.Y + s.on(core.Y), s.on(core.Width), s.on(core.Height)}
			p.rectangle(b)
			f := face{Points(min(max(float64(min(b.Width, b.Height))*0.9, 5), 28)), true}
			name := t.name(column, row)
			wide, high := p.measure(f, name)+1.5, f.size.MM()
			if wide > b.Width || high > b.Height {
				continue
			}
			x, y := b.X+b.Width/2, b.Y+b.Height/2
			p.grey(255)
			p.fill(box{x - wide/2, y - high*0.55, wide, high * 1.1})
			p.grey(0)
			p.textAbout(f, x, y+high*0.36, name)
		}
	}
}

// tilePage is one tile at full size.
func (w Work) tilePage(t tiling, column, row int, room box) page {
	part := t.at(column, row)
	unit := w.Mapping.Canvas.Unit
	at := box{room.X + (room.Width-part.Width)/2, room.Y + (room.Height-part.Height)/2, part.Width, part.Height}
	part.PageX, part.PageY = at.X, at.Y
	detail := fmt.Sprintf("%s, 1 : 1 – actual size; row %d of %d, column %d of %d; begins %s from the left, %s from the top", part.Name,
		row+1, t.rows, column+1, t.columns, place.Text(part.X, unit, 16), place.Text(part.Y, unit, 16))
	return page{kind: study.SheetCartoon, detail: detail, part: &part, draw: func(p *pen) {
		window := box{part.X, part.Y, part.Width, part.Height}
		p.clip(at.inset(-0.5, -0.5, -0.5, -0.5), func() {
			w.dividedOn(p, window, at)
			p.grey(0)
			p.width(outlineWidth)
			w.outlinesOn(p, window, at, 1)
		})
		w.trim(p, t, column, row, at)
		p.crosses(t.matches(column, row), window, at)
	}}
}

// onPage is where a place of the canvas comes to lie on a page that shows a window
// of the canvas in a box.
func onPage(c place.CanvasPoint, window, at box, s scale) (x, y place.MM) {
	return at.X + s.on(c.X-window.X), at.Y + s.on(c.Y-window.Y)
}

// dividedOn draws the lines of division in light grey.
func (w Work) dividedOn(p *pen, window, at box) {
	if w.Lines == nil {
		return
	}
	p.grey(dividedGrey)
	p.width(dividedWidth)
	for _, l := range w.Lines.Lines {
		if !near(l.From, l.To, window) {
			continue
		}
		x1, y1 := onPage(l.From, window, at, 1)
		x2, y2 := onPage(l.To, window, at, 1)
		p.line(x1, y1, x2, y2)
	}
}

// near says whether the box about a line comes near a window.
func near(a, b place.CanvasPoint, window box) bool {
	const room = 2 // half of the thickest line, and more
	return max(a.X, b.X) >= window.X-room && min(a.X, b.X) <= window.X+window.Width+room &&
		max(a.Y, b.Y) >= window.Y-room && min(a.Y, b.Y) <= window.Y+window.Height+room
}

// outlinesOn draws what of the outlines comes near a window, and the canvas's edge.
func (w Work) outlinesOn(p *pen, window, at box, s scale) {
	p.pdf.RawWriteStr("1 j 1 J")
	for _, o := range w.Outlines {
		p.outline(o, window, at, s)
	}
	p.pdf.RawWriteStr("0 j 0 J")
	x, y := onPage(place.CanvasPoint{}, window, at, s)
	p.rectangle(box{x, y, s.on(w.Mapping.Canvas.Width), s.on(w.Mapping.Canvas.Height)})
}

// outline draws the stretches of an outline that come near the window.
func (p *pen) outline(o Outline, window, at box, s scale) {
	n := len(o.Points)
	if n < 2 {
		return
	}
	last := n - 1
	if o.Closed {
		last = n
	}
	b, drawing, whole := p.buffer[:0], false, true
	add := func(c place.CanvasPoint, operator string) {
		x, y := onPage(c, window, at, s)
		b = append(appendNumber(b, p.x(x)), ' ')
		b = append(appendNumber(b, p.y(y)), operator...)
	}
	for i := range last {
		from, to := o.Points[i], o.Points[(i+1)%n]
		if !near(from, to, window) {
			drawing, whole = false, false
			continue
		}
		if !drawing {
			add(from, " m\n")
			drawing = true
		}
		if o.Closed && i+1 == n && whole {
			b = append(b, "h\n"...)
			continue
		}
		add(to, " l\n")
	}
	if len(b) > 0 {
		p.pdf.RawWriteStr(string(append(b, 'S')))
	}
	p.buffer = b
}

// trim draws the trim marks at the corners of a tile's core, outside of it, and
// the dashed lines to cut along where a neighbour follows.
func (w Work) trim(p *pen, t tiling, column, row int, at box) {
	part, core := t.at(column, row), t.core(column, row)
	c := box{at.X + core.X - part.X, at.Y + core.Y - part.Y, core.Width, core.Height}
	right, bottom := c.X+c.Width, c.Y+c.Height
	p.grey(0)
	p.width(0.3)
	for _, x := range []place.MM{c.X, right} {
		for _, y := range []place.MM{c.Y, bottom} {
			outX, outY := place.MM(-1), place.MM(-1)
			if x == right {
				outX = 1
			}
			if y == bottom {
				outY = 1
			}
			p.line(x+outX, y, x+outX*(1+trimArm), y)
			p.line(x, y+outY, x, y+outY*(1+trimArm))
		}
	}
	p.grey(140)
	p.width(0.2)
	p.dash(2, 2)
	if column > 0 {
		p.line(c.X, c.Y, c.X, bottom)
	}
	if column+1 < t.columns {
		p.line(right, c.Y, right, bottom)
	}
	if row > 0 {
		p.line(c.X, c.Y, right, c.Y)
	}
	if row+1 < t.rows {
		p.line(c.X, bottom, right, bottom)
	}
	p.solid()
}

// crosses draws the match marks with their names.
func (p *pen) crosses(list []match, window, at box) {
	f := face{8, false}
	for _, m := range list {
		x, y := onPage(place.CanvasPoint{X: m.X, Y: m.Y}, window, at, 1)
		p.grey(0)
		p.width(0.3)
		p.line(x-crossArm, y, x+crossArm, y)
		p.line(x, y-crossArm, x, y+crossArm)
		p.text(f, x+1, y-1, m.Name)
	}
}
