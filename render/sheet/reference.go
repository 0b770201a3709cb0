package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"maulstick/render/line"
	"maulstick/render/place"
	"maulstick/render/study"
)

// edgeLabel is what stands outside the picture where a line meets its edge.
type edgeLabel struct {
	edge line.Edge
	at   place.MM // along the edge of the canvas, from the left or the top
	text string
}

// labelFace is that of the labels.
func (p *pen) labelFace() face { return p.large(labelSize, false) }

// edgeLabels are the chalk list's marks, each with its number there.
func (w Work) edgeLabels() []edgeLabel {
	var labels []edgeLabel
	for _, m := range w.Chalk.Marks {
		l := edgeLabel{edge: m.Edge, at: m.At.X, text: numberOf(m) + ": " + m.Text}
		if m.Edge == line.Left || m.Edge == line.Right {
			l.at = m.At.Y
		}
		labels = append(labels, l)
	}
	slices.SortStableFunc(labels, func(a, b edgeLabel) int {
		return cmp.Or(cmp.Compare(a.edge, b.edge), cmp.Compare(a.at, b.at))
	})
	return labels
}

// numberOf is a mark's number on its edge.
func numberOf(m line.Mark) string {
	_, number, _ := strings.Cut(m.Name, " ")
	return number
}

// referencePage is the photograph with its lines.
func (w Work) referencePage(p *pen, body box) page {
	labels := w.edgeLabels()
	strip := map[line.Edge]place.MM{}
	for _, l := range labels {
		strip[l.edge] = max(strip[l.edge], p.measure(p.labelFace(), l.text)+labelGap+1)
	}
	if len(labels) > 0 {
		strip[line.Bottom] += noteRoom
	}
	room := body.inset(strip[line.Left]+1, strip[line.Top]+1, strip[line.Right]+1, strip[line.Bottom]+1)
	if min(room.Width, room.Height) < leastPicture {
		labels, room = nil, body.inset(1, 1, 1, 1)
	}
	s := scaleFor(w.Mapping.Canvas, room.Width, room.Height)
	at := s.centred(w.Mapping.Canvas, room)
	p.printed(at)
	detail := s.words(w.Mapping.Canvas.Unit) + "; what is painted is " + sizeText(w.Mapping.Canvas)
	if len(labels) > 0 {
		across, down := w.Chalk.Corner.Names()
		detail += fmt.Sprintf(", measured from the %s and the %s", across, down)
	}
	silent := p.thin(labels, s)
	return page{kind: study.SheetReference, detail: detail, draw: func(p *pen) {
		p.picture(at)
		w.linesOn(p, at, s)
		p.labelEdges(labels, at, s)
		if silent > 0 {
			p.text(face{labelSize, false}, body.X, body.Y+body.Height-1, fmt.Sprintf("%d more lines end here than there is room to label: see the chalk list.", silent))
		}
	}}
}

// The measures of a reference's labels.
const (
	labelGap     place.MM = 3.2 // from the picture to its label, with a tick in between
	leastPicture place.MM = 25
	noteRoom     place.MM = 5 // for a note at the bottom
)

// sizeText is a size in its unit.
func sizeText(s place.Size) string {
	return place.Text(s.Width, s.Unit, 16) + " x " + place.Text(s.Height, s.Unit, 16)
}

// weights are how thick lines are drawn.
var weights = [study.LineWeights]place.MM{0.2, 0.35, 0.5, 0.8, 1.2}

// linesOn draws the lines over the picture as the painter set them.
func (w Work) linesOn(p *pen, at box, s scale) {
	if w.Lines == nil {
		return
	}
	for _, l := range w.Lines.Lines {
		stroke := Stroke{Weight: 2, Strength: 100}
		if l.Use < len(w.Strokes) {
			stroke = w.Strokes[l.Use]
		}
		p.colour(stroke.Colour)
		p.width(weights[min(max(stroke.Weight, 1), len(weights))-1])
		p.pdf.SetAlpha(float64(min(max(stroke.Strength, 0), 100))/100, "Normal")
		p.line(at.X+s.on(l.From.X), at.Y+s.on(l.From.Y), at.X+s.on(l.To.X), at.Y+s.on(l.To.Y))
	}
	p.pdf.SetAlpha(1, "Normal")
	for _, n := range w.Lines.Notes {
		p.note(n, at, s)
	}
}

// note writes the name of a row or column of squares at the edge, inside.
func (p *pen) note(n line.Note, at box, s scale) {
	f := p.labelFace()
	side := f.size.MM() * 1.15
	x, y := at.X+s.on(n.At.X), at.Y+s.on(n.At.Y)
	switch n.Edge {
	case line.Top:
		y += side / 2
	case line.Bottom:
		y -= side / 2
	case line.Left:
		x += side / 2
	case line.Right:
		x -= side / 2
	}
	wide := max(side, p.measure(f, n.Text)+1.2)
	p.grey(255)
	p.fill(box{x - wide/2, y - side/2, wide, side})
	p.grey(0)
	p.textAbout(f, x, y+f.size.MM()*0.36, n.Text)
}

// thin takes the text off labels that would lie over the one before, and counts
// them: they keep their tick.
func (p *pen) thin(labels []edgeLabel, s scale) (silent int) {
	room := p.labelFace().size.MM() * 1.05
	before := -1
	for i := range labels {
		l := &labels[i]
		if before >= 0 && labels[before].edge == l.edge && s.on(l.at-labels[before].at) < room {
			l.text = ""
			silent++
			continue
		}
		before = i
	}
	return silent
}

// labelEdges writes the labels about the picture, with a tick each.
func (p *pen) labelEdges(labels []edgeLabel, at box, s scale) {
	p.grey(0)
	for _, l := range labels {
		p.tick(l.edge, s.on(l.at), at)
		if l.text != "" {
			p.label(l, s.on(l.at), at)
		}
	}
}

// tick marks where a line meets an edge.
func (p *pen) tick(edge line.Edge, along place.MM, at box) {
	const from, to place.MM = 0.4, 2.4
	right, bottom := at.X+at.Width, at.Y+at.Height
	p.width(0.3)
	switch edge {
	case line.Top:
		p.line(at.X+along, at.Y-from, at.X+along, at.Y-to)
	case line.Bottom:
		p.line(at.X+along, bottom+from, at.X+along, bottom+to)
	case line.Left:
		p.line(at.X-from, at.Y+along, at.X-to, at.Y+along)
	case line.Right:
		p.line(right+from, at.Y+along, right+to, at.Y+along)
	}
}

// label writes one label, along upright edges level, along level ones upwards.
func (p *pen) label(l edgeLabel, along place.MM, at box) {
	f := p.labelFace()
	middle := f.size.MM() * 0.36 // of figures, above the baseline
	switch l.edge {
	case line.Top:
		p.textUp(f, at.X+along+middle, at.Y-labelGap, l.text)
	case line.Bottom:
		p.textUp(f, at.X+along+middle, at.Y+at.Height+labelGap+p.measure(f, l.text), l.text)
	case line.Left:
		p.textLeft(f, at.X-labelGap, at.Y+along+middle, l.text)
	case line.Right:
		p.text(f, at.X+at.Width+labelGap, at.Y+along+middle, l.text)
	}
}
