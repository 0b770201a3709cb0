package easel

import (
	"fmt"
	"slices"
	"sort"

	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/study"
	"maulstick/render/survey"
)

const (
	// toldShapes is how many flat shapes the tray lists, the first of the block-in.
	toldShapes = 40
	// markedShapes is how many of them are marked on the picture: more would hide it.
	markedShapes = 9
)

// faceShape is the Shape tray.
func (e *Easel) faceShape(f *Face) {
	d := e.doc()
	f.Pressed["key-flat"] = d.Shown == study.ShownFlat
	f.Pressed["key-edges"] = d.Shown == study.ShownEdges
	f.Pressed["key-focal-last"] = d.Finding.FocalLast
	e.disable(f, "focal-last", d.Finding.Focal == 0)
	f.Disabled["smallest"] = e.still()
	f.Disabled["count"] = f.Disabled["smallest"]
	f.Rows["shapes-rows"], f.Rows["edges-rows"] = nil, nil
	if e.history == nil {
		return
	}
	f.Value["smallest"] = ""
	if d.Finding.Smallest > 0 {
		f.Value["smallest"] = place.Text(d.Finding.Smallest, d.Canvas.Unit, sixteenths)
	}
	f.Text["smallest-note"] = e.smallest.note
	f.Hidden["smallest-note"] = !e.smallest.refused
	if e.smallest.refused {
		f.Value["smallest"] = e.smallest.typed
	}
	e.disable(f, "outlines", e.answerOf(survey.Flat) == nil)
	if d.Tray != study.TrayShape {
		return
	}
	switch d.Parts.Shape {
	case "flat":
		e.faceFlat(f)
	case "edges":
		e.faceEdges(f)
	}
}

// faceFlat is the flat shapes in the order of the block-in.
func (e *Easel) faceFlat(f *Face) {
	d := e.doc()
	a := e.answerOf(survey.Flat)
	if a == nil {
		f.Text["flat-note"] = ""
		return
	}
	f.Value["count"] = fmt.Sprintf("%.0f", sliderAt(a.Flat.Count))
	text := fmt.Sprintf("%d shapes", a.Flat.Count)
	if a.Flat.Count == 1 {
		text = "One shape"
	}
	if d.Finding.Count == 0 && d.HasCanvas() {
		text += ", nothing smaller than " + place.FineText(d.SmallestSize(), d.Canvas.Unit)
	}
	if len(a.Flat.Shapes) > markedShapes {
		text += ", the first nine numbered on the picture"
	}
	f.Text["flat-note"] = text + ". In the order of a block-in:"
	listed := slices.Clone(a.Flat.Shapes)
	sort.SliceStable(listed, func(i, j int) bool { return listed[i].Order < listed[j].Order })
	for _, s := range listed[:min(len(listed), toldShapes)] {
		text := fmt.Sprintf("%d. Step %d, value %.1f, %s", s.Order, s.Step, float64(s.Value), shape.ShareText(s.Share))
		if where := e.where(s.At); where != "" {
			text += ", " + where
		}
		name, at := fmt.Sprintf("shape-%d", s.Order), []place.PhotoPoint{s.At}
		if s.Order > markedShapes && e.row != "row-"+name {
			at = nil
		}
		e.addRow(f, "shapes-rows", name, text, swatches(s.Colour), fmt.Sprint(s.Order), at...)
	}
}

// widthText spells an edge's width; the photograph tells none under a pixel.
func (e *Easel) widthText(width place.MM) string {
	unit, pixel := e.doc().Canvas.Unit, e.doc().Mapping().Pixel()
	if width < pixel {
		return "under " + place.WithinText(pixel, unit)
	}
	return place.FineText(width, unit)
}

// faceEdges is how hard the picture's edges are.
func (e *Easel) faceEdges(f *Face) {
	a := e.answerOf(survey.Edges)
	if a == nil {
		f.Text["edges-note"] = ""
		return
	}
	s, l, unit := a.Edges.Outlines, a.Edges.Limits, e.doc().Canvas.Unit
	f.Text["edges-note"] = fmt.Sprintf("Of the outlines of the flat shapes %s is sharp, %s firm, %s soft and %s lost.",
		shape.ShareText(s.Sharp), shape.ShareText(s.Firm), shape.ShareText(s.Soft), shape.ShareText(s.Lost))
	if e.doc().HasCanvas() {
		f.Text["edges-note"] += fmt.Sprintf(" Sharp is up to %s wide, firm up to %s, as seen from %s.",
			place.FineText(l.Sharp, unit), place.FineText(l.Firm, unit), place.Text(l.Distance, unit, 1))
	}
	f.Text["edges-note"] += " Listed are those that stand out; of equally sharp ones the strongest comes first."
	for _, list := range []struct {
		name, word string
		first      rune // of the spots on the picture
		edges      []survey.Stretch
	}{{"sharp", "Sharpest", '1', a.Edges.Sharpest}, {"soft", "Softest", 'A', a.Edges.Softest}} {
		for i, edge := range list.edges {
			spot := string(list.first + rune(i))
			text := fmt.Sprintf("%s. %s: %s", spot, list.word, edge.Class)
			if e.doc().HasCanvas() {
				text += fmt.Sprintf(", %s wide, %s", e.widthText(edge.Width), e.where(edge.At))
			}
			e.addRow(f, "edges-rows", fmt.Sprintf("%s-%d", list.name, i+1), text, "", spot, edge.At)
		}
	}
}
