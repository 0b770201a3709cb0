package easel

import (
	"fmt"
	"strconv"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/study"
)

// ratio is a proportion, short side over long, to two decimals.
func ratio(w, h float64) string { return fmt.Sprintf("%.2f", place.Proportion(w, h)) }

// stepKeys are the steps of the Value tray with their shares of the picture.
func (e *Easel) stepKeys(f *Face) {
	l := e.doc().Look
	steps := l.Flat()
	text := make([]string, l.Steps)
	if e.counts.known {
		text = shape.ShareTexts(e.counted(l.Filter).Shares(steps))
	}
	for k := 1; k <= l.Steps; k++ {
		key := StepKey{
			Number: k, Share: text[k-1], Grey: steps.Tone(k),
			Pressed:  l.Tone == look.Steps && l.Keep != look.KeepAll && l.Step == k,
			DarkText: steps.Shown(k) >= 50,
			Label:    fmt.Sprintf("Step %d", k),
		}
		if key.Share != "" { // seen on the key, right after the number
			key.Label += ", " + key.Share + " of the picture"
		}
		key.Label += fmt.Sprintf(", value %.1f, ", float64(steps.Shown(k).Value())) + rangeText(steps, k)
		f.Steps = append(f.Steps, key)
	}
}

// facePlace is the Place tray and the marks.
func (e *Easel) facePlace(f *Face) {
	d := e.doc()
	m, ok := d.Mark(d.Chosen)
	f.Value["mark-name"] = m.Name
	f.Disabled["mark-name"] = !ok || e.lock.on
	f.Pressed["key-mark-new"], f.Pressed["key-lines-nearby"] = e.armed, e.nearLines
	e.disable(f, "mark-delete", !ok)
	e.disable(f, "undo", e.history == nil || !e.history.CanUndo())
	e.disable(f, "redo", e.history == nil || !e.history.CanRedo())
	f.Text["key-from-x"], f.Text["key-from-y"] = "From the left", "From the top"
	if d.From.Right {
		f.Text["key-from-x"] = "From the right"
	}
	if d.From.Bottom {
		f.Text["key-from-y"] = "From the bottom"
	}
	f.Text["key-unit"] = "Centimetres"
	if d.Canvas.Unit.Imperial() {
		f.Text["key-unit"] = "Inches"
	}
	shown := ok && d.HasCanvas() && d.Crop().Contains(point(m))
	f.Hidden["place-x"], f.Hidden["place-y"] = !shown, !shown
	f.Text["place-note"] = e.placeNote(m, ok)
	if shown {
		x, y := e.distances(m)
		figure(f, "place-x", x, d.Canvas.Unit)
		figure(f, "place-y", y, d.Canvas.Unit)
		f.Text["place-x-from"], f.Text["place-y-from"] = fromText(d.From, d.View)
	}
	e.markKeys(f)
}

// distances are a mark's from the edges that the painter measures from.
func (e *Easel) distances(m study.Mark) (x, y place.MM) {
	mapping := e.doc().Mapping()
	return mapping.Distances(mapping.ToCanvas(point(m)), e.doc().From)
}

// figure is a length cut up for large type.
func figure(f *Face, id string, l place.MM, u place.Unit) {
	p := place.Split(l, u, sixteenths)
	whole, unit := p.Whole, p.Unit.String()
	if p.Feet > 0 {
		feet := strconv.Itoa(p.Feet)
		if p.Unit == place.Foot {
			whole = feet
		} else {
			whole = feet + " ft " + whole
		}
	}
	if p.Negative {
		whole = "-" + whole
	}
	f.Text[id+"-whole"], f.Text[id+"-unit"] = whole, unit
	f.Text[id+"-frac"] = ""
	if p.Den > 0 {
		f.Text[id+"-frac"] = fmt.Sprintf("%d⁄%d", p.Num, p.Den)
	}
}

// fromText says from which edges of the canvas the distances are, and where
// each of them is now if the picture on the screen is turned.
func fromText(from place.Edges, v study.View) (x, y string) {
	x, y = edgeText("left", "right", from.Right, v.Mirror != v.Turned, v),
		edgeText("top", "bottom", from.Bottom, v.Turned, v)
	return x, y
}

func edgeText(near, far string, fromFar, exchanged bool, v study.View) string {
	edge, seen := near, far
	if fromFar {
		edge, seen = far, near
	}
	if !exchanged {
		return "from the " + edge
	}
	how := "upside-down"
	if !v.Turned {
		how = "mirrored"
	}
	return fmt.Sprintf("from the %s, which is at the %s of the %s picture", edge, seen, how)
}

// placeNote says how sure the reading is, and the value there; or what to do
// to have one.
func (e *Easel) placeNote(m study.Mark, ok bool) string {
	d := e.doc()
	switch {
	case e.history == nil:
		return ""
	case e.armed:
		return "Touch the picture where the new mark belongs."
	case !ok && len(d.Marks) == 0:
		return "Touch the picture to place a mark."
	case !ok:
		return "Touch a mark to read it, or the picture to place another."
	}
	if !d.Crop().Contains(point(m)) {
		return "This mark is not on the canvas: it lies in a part of the photograph that is cut off."
	}
	text := "Type the size of the canvas under Line to read distances."
	if d.HasCanvas() {
		x, y := e.distances(m)
		text = "within " + place.WithinText(d.Mapping().Uncertainty(m.Touch), d.Canvas.Unit, x, y) + "."
	}
	if near := e.nearestLine(m); near != "" && e.nearLines {
		text += " " + sentence(near)
	}
	if c, ok := e.at(point(m)); ok {
		text += " " + e.valueText(c)
	}
	return text
}

// valueText is the value and step of a colour.
func (e *Easel) valueText(c colour.SRGB) string {
	l := e.doc().Look
	text := fmt.Sprintf("Value %.1f, step %d of %d", float64(c.Value()), e.step(c, false), l.Steps)
	if l.Filter {
		text += fmt.Sprintf("; through the red filter step %d", e.step(c, true))
	}
	return text + "."
}

// markKeys are the marks where they stand on the screen.
func (e *Easel) markKeys(f *Face) {
	d := e.doc()
	if len(d.Marks) == 0 {
		return
	}
	v, crop, ready := e.viewport(), d.Crop(), e.ready()
	for _, m := range d.Marks {
		x, y := v.ToScreen(point(m))
		f.Marks = append(f.Marks, MarkKey{
			ID: m.ID, Name: e.label(m.ID), X: x / e.dpr, Y: y / e.dpr,
			Chosen:  m.ID == d.Chosen,
			Visible: ready && e.marksShown() && crop.Contains(point(m)) && onArea(v, x, y),
			Label:   e.markLabel(m, crop.Contains(point(m))),
		})
	}
}

// markLabel is a mark's name and place, for who does not see it.
func (e *Easel) markLabel(m study.Mark, onCanvas bool) string {
	d, name := e.doc(), e.label(m.ID)
	switch {
	case !onCanvas:
		return name + ", not on the canvas"
	case !d.HasCanvas():
		return name
	}
	x, y := e.distances(m)
	fromX, fromY := fromText(d.From, study.View{})
	return fmt.Sprintf("%s, %s %s, %s %s", name,
		place.Text(x, d.Canvas.Unit, sixteenths), fromX, place.Text(y, d.Canvas.Unit, sixteenths), fromY)
}
