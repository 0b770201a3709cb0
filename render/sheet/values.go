package sheet

import (
	"fmt"

	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/study"
)

// valuePages are the value plan: the picture in its steps, and each step alone.
func (w Work) valuePages(p *pen, body box) []page {
	p.plan, p.steps = &embedded{}, &embedded{}
	steps := w.Values.Steps
	detail := fmt.Sprintf("%d steps, each step alone in black", steps.Count())
	if n := shape.Notan(steps.Count()); n != "" {
		detail = n + ", each step alone in black"
	}
	if w.Values.Filter {
		detail += "; read through the red filter"
	}
	plan, rest := body, body
	if body.Height >= body.Width {
		plan.Height = body.Height * 0.42
		rest = body.inset(0, plan.Height+4, 0, 0)
	} else {
		plan.Width = body.Width * 0.42
		rest = body.inset(plan.Width+6, 0, 0, 0)
	}
	if columns := w.valueColumns(rest); columns > 0 {
		return []page{{kind: study.SheetValues, detail: detail, draw: func(p *pen) {
			p.show(p.plan, 0, w.fitted(plan))
			w.valueCells(p, rest, columns)
		}}}
	}
	return w.valueSeries(detail, body)
}

// valueSeries is the value plan on paper too small for all on a page: the picture
// in its steps, and then the steps.
func (w Work) valueSeries(detail string, body box) []page {
	plan := page{kind: study.SheetValues, detail: detail, draw: func(p *pen) { p.show(p.plan, 0, w.fitted(body)) }}
	columns := max(int((body.Width+columnGutter)/(leastCell*1.3+columnGutter)), 1)
	width := (body.Width - columnGutter*place.MM(columns-1)) / place.MM(columns)
	shown := w.fitted(box{Width: width, Height: body.Height - bandHeight})
	var blocks []block
	for k := range w.Values.Steps.Count() {
		blocks = append(blocks, block{height: min(shown.Height+bandHeight+cellGap, body.Height), draw: func(p *pen, at box) {
			w.valueCell(p, k+1, box{at.X, at.Y, width, shown.Height + bandHeight})
		}})
	}
	return append([]page{plan}, laid(study.SheetValues, detail, flow(blocks, body, columns, 0))...)
}

// fitted is the largest box of the canvas's proportion in the middle of a room.
func (w Work) fitted(room box) box {
	c := w.Mapping.Canvas
	k := min(room.Width/c.Width, room.Height/c.Height)
	width, height := c.Width*k, c.Height*k
	return box{room.X + (room.Width-width)/2, room.Y + (room.Height-height)/2, width, height}
}

// The measures of a step's cell: the band below its picture.
const (
	bandHeight place.MM = 16
	cellGap    place.MM = 4
	cardWidth  place.MM = 13
	leastCell  place.MM = cardWidth + 28 // wide
	leastShown place.MM = 12             // the picture, about
)

// cell is the size of a step's cell in a room of so many columns.
func (w Work) cell(room box, columns int) box {
	rows := (w.Values.Steps.Count() + columns - 1) / columns
	return box{
		Width:  (room.Width - cellGap*place.MM(columns-1)) / place.MM(columns),
		Height: (room.Height - cellGap*place.MM(rows-1)) / place.MM(rows),
	}
}

// valueColumns is in how many columns the steps' cells leave their pictures
// largest; 0 if they are too small in any.
func (w Work) valueColumns(room box) int {
	best, area := 0, leastShown*leastShown
	for columns := 1; columns <= w.Values.Steps.Count(); columns++ {
		c := w.cell(room, columns)
		if c.Height -= bandHeight; c.Height <= 0 || c.Width < leastCell {
			continue
		}
		if shown := w.fitted(c); shown.Width*shown.Height > area {
			best, area = columns, shown.Width*shown.Height
		}
	}
	return best
}

// valueCells draws a cell for each step.
func (w Work) valueCells(p *pen, room box, columns int) {
	for k := range w.Values.Steps.Count() {
		c := w.cell(room, columns)
		c.X = room.X + place.MM(k%columns)*(c.Width+cellGap)
		c.Y = room.Y + place.MM(k/columns)*(c.Height+cellGap)
		w.valueCell(p, k+1, c)
	}
}

// valueCell draws one step: alone, its grey, and its figures.
func (w Work) valueCell(p *pen, k int, c box) {
	steps, share := w.Values.Steps, shape.ShareTexts(w.Values.Shares)[k-1]
	shown := w.fitted(c.inset(0, 0, 0, bandHeight))
	shown.X = c.X
	p.show(p.steps, k-1, shown)
	top := shown.Y + shown.Height + 1.5
	card := box{c.X, top, cardWidth, bandHeight - 3}
	p.grey(steps.Tone(k))
	p.fill(card)
	p.grey(0)
	p.width(0.25)
	p.rectangle(card)
	x, width := c.X+cardWidth+2, c.Width-cardWidth-2
	large, small := face{12, true}, face{labelSize, false}
	title := fmt.Sprintf("%d", k)
	if n := steps.Name(k); n != "" {
		title += " " + n
	}
	from, to := steps.Range(k)
	y := p.lines(large, x, top-0.6, []string{p.fitted(large, title+", "+share, width)})
	p.lines(small, x, y, []string{
		p.fitted(small, fmt.Sprintf("value %.1f", float64(steps.Shown(k).Value())), width),
		p.fitted(small, fmt.Sprintf("lightness %.0f to %.0f", float64(from), float64(to)), width),
	})
}
