package sheet

import (
	"fmt"

	"maulstick/render/colour"
	"maulstick/render/pile"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/study"
)

// cautions stand on the palette chart. They are the usual ones of the trade; the
// page's handbook and the README say the same.
var cautions = []string{
	"Before you mix: the label and the safety sheet of the product, your local rules, and those licensed to advise on them come before anything said here.",
	"Some pigments are poisonous, among them lead, cadmium, cobalt and chromium ones: no eating or smoking at the easel, no sanding of dry paint without protection, clean hands.",
	"Solvents and mediums need moving air, and no flame or spark near them.",
	"Oily rags can set themselves on fire: lay them flat to dry outdoors, or keep them under water in a closed metal can until they are disposed of.",
}

// The measures of the palette chart.
const (
	cardStrip    place.MM = 34 // bare card on the left
	swatchHeight place.MM = 18
	leastSwatch  place.MM = 33
	swatchGap    place.MM = 3
)

// palettePages are the palette chart: the piles of each step on its grey card, the
// darkest first.
func (w Work) palettePages(p *pen, body box) []page {
	blocks := []block{}
	shares := pile.ShareTexts(w.Piles)
	for k, step := range w.Piles {
		blocks = append(blocks, stepBlocks(p, chartStep{step, k + 1, shares[k]}, body.Width)...)
	}
	names := p.textBlock(face{labelSize, false}, "Names: "+colour.NameSystem+". Values are Munsell's, shares of the picture.", body.Width, 1.5)
	blocks = append(blocks, names, cautionBlock(p, body.Width))
	return laid(study.SheetPalette, "Piles to mix for each value step", flow(blocks, body, 1, 0))
}

// chartStep is a step on the chart.
type chartStep struct {
	pile.Step
	number int    // from 1
	share  string // of the picture
}

// stepBlocks are the rows of a step's piles.
func stepBlocks(p *pen, step chartStep, width place.MM) []block {
	across := max(int((width-cardStrip+swatchGap)/(leastSwatch+swatchGap)), 1)
	wide := (width - cardStrip - swatchGap*place.MM(across)) / place.MM(across)
	if len(step.Piles) == 0 {
		return []block{pileRow(p, step, nil, wide)}
	}
	var rows []block
	for from := 0; from < len(step.Piles); from += across {
		rows = append(rows, pileRow(p, step, step.Piles[from:min(from+across, len(step.Piles))], wide))
	}
	return rows
}

// pileRow is one row: a card with swatches on it, and their names under it.
func pileRow(p *pen, step chartStep, piles []pile.Pile, wide place.MM) block {
	name, figures := face{10, true}, face{labelSize, false}
	most := 0
	for _, one := range piles {
		most = max(most, len(p.wrap(name, one.Name, wide)))
	}
	label := name.leading()*place.MM(most) + figures.leading()*2
	if len(piles) == 0 {
		label = 0
	}
	return block{height: swatchHeight + 4 + label + 2, draw: func(p *pen, at box) {
		card := box{at.X, at.Y, at.Width, swatchHeight + 4}
		p.grey(step.Tone)
		p.fill(card)
		p.grey(0)
		p.width(0.25)
		p.rectangle(card)
		drawCard(p, step, card)
		for i, one := range piles {
			x := at.X + cardStrip + place.MM(i)*(wide+swatchGap)
			p.colour(one.Colour)
			swatch := box{x, at.Y + 2, wide, swatchHeight}
			p.fill(swatch)
			p.grey(inkOn(step.Tone)) // a pile as grey as its card stays in sight
			p.width(0.15)
			p.rectangle(swatch)
			p.grey(0)
			y := p.lines(name, x, card.Y+card.Height+0.8, p.wrap(name, one.Name, wide))
			p.lines(figures, x, y, []string{
				p.fitted(figures, one.Munsell.String(), wide),
				p.fitted(figures, fmt.Sprintf("value %.1f, %s", float64(one.Munsell.Value), shape.ShareText(one.Share)), wide),
			})
		}
	}}
}

// drawCard writes a step's figures on its card.
func drawCard(p *pen, step chartStep, card box) {
	p.grey(inkOn(step.Tone))
	y := p.lines(face{14, true}, card.X+2.5, card.Y+3, []string{fmt.Sprintf("Step %d", step.number)})
	p.lines(face{smallSize, false}, card.X+2.5, y, []string{fmt.Sprintf("value %.1f", float64(step.Value)), step.share})
	p.grey(0)
}

// inkOn is black or white, whichever stands out more from a grey.
func inkOn(tone uint8) uint8 {
	if (colour.SRGB{R: tone, G: tone, B: tone}).Lightness() >= 50 {
		return 0
	}
	return 255
}

// cautionBlock is the cautions in a frame.
func cautionBlock(p *pen, width place.MM) block {
	f, pad := face{10, false}, place.MM(2.5)
	var lines []string
	for _, c := range cautions {
		lines = append(lines, p.wrap(f, c, width-2*pad)...)
	}
	height := f.leading()*place.MM(len(lines)) + 2*pad
	return block{height: height + 1, draw: func(p *pen, at box) {
		p.grey(0)
		p.width(0.6)
		p.rectangle(box{at.X, at.Y + 0.5, at.Width, height})
		p.lines(f, at.X+pad, at.Y+pad, lines)
	}}
}
