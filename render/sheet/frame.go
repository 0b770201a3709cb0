package sheet

import (
	"fmt"

	"maulstick/render/place"
)

// checkWords stand beside the rule on every page.
const checkWords = "Print at actual size (100 %), not fitted to the page. Check with a ruler that this rule is 100 mm long."

// frame draws what every page has: what it is and of what study, its number, and
// the rule to check its size by.
func (w Work) frame(p *pen, of page, number, count int) {
	p.grey(0)
	left, right := margin, w.Paper.Width-margin
	name, small := face{titleSize, true}, face{smallSize, false}
	counted := fmt.Sprintf("page %d of %d", number, count)
	room := right - left - p.measure(small, counted) - 4
	title := p.fitted(name, Title(of.kind), room)
	own := room - p.measure(name, title) - 4
	study := ""
	if own > 20 {
		study = p.fitted(name, w.Name, own)
	}
	top := margin + name.ascent()
	p.text(name, left, top, title)
	p.text(face{titleSize, false}, left+p.measure(name, title)+4, top, study)
	p.textLeft(small, right, top, counted)
	detail := p.fitting(small, of.detail, right-left)
	p.text(detail, left, margin+name.leading()+small.ascent(), p.fitted(detail, of.detail, right-left))
	p.width(0.4)
	line := margin + headHeight - 2.2
	p.line(left, line, right, line)
	w.checkRule(p)
}

// The rule's marks, from its line.
const (
	shortTick  place.MM = 1.6
	middleTick place.MM = 2.4
	longTick   place.MM = 3.4
	rulePad    place.MM = 11 // from the rule to the words beside it
)

// checkRule draws the rule, millimetres above its line and inches below, and the
// words to go with it.
func (w Work) checkRule(p *pen) {
	label := face{8, false}
	words := face{labelSize, false}
	left, base := margin, w.Paper.Height-margin-7
	const inch = 25.4
	p.width(0.2)
	p.line(left, base, left+4*inch, base)
	for i := range 101 {
		tick := shortTick
		switch {
		case i%10 == 0:
			tick = longTick
		case i%5 == 0:
			tick = middleTick
		}
		x := left + place.MM(i)
		p.line(x, base, x, base-tick)
	}
	for i := range 4*8 + 1 {
		tick := shortTick
		switch {
		case i%8 == 0:
			tick = longTick
		case i%4 == 0:
			tick = middleTick
		}
		x := left + place.MM(i)*inch/8
		p.line(x, base, x, base+tick)
	}
	for i := 0; i <= 100; i += 20 {
		p.labelAt(label, left+place.MM(i), base-longTick-0.6, fmt.Sprint(i), " mm", i == 100)
	}
	for i := range 5 {
		p.labelAt(label, left+place.MM(i)*inch, base+longTick+0.6+label.size.MM()*0.75, fmt.Sprint(i), " in", i == 4)
	}
	x, y, width := left+4*inch+rulePad, base-longTick-2.5, w.Paper.Width-2*margin-4*inch-rulePad
	if w.Paper.Width < wordsAcross {
		x, y, width = left, base-longTick-4-wordsHeight, w.Paper.Width-2*margin
	}
	p.lines(words, x, y, p.wrap(words, checkWords, width))
}

// labelAt writes a figure about x, the last with its unit behind it.
func (p *pen) labelAt(f face, x, y place.MM, figure, unit string, last bool) {
	x -= p.measure(f, figure) / 2
	if last {
		figure += unit
	}
	p.text(f, max(min(x, p.paper.Width-margin-p.measure(f, figure)), margin), y, figure)
}
