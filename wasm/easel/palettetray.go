package easel

import (
	"fmt"
	"slices"
	"strings"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/palette"
	"maulstick/render/place"
	"maulstick/render/study"
	"maulstick/render/survey"
)

// faceCards is the part about the grey cards.
func (e *Easel) faceCards(f *Face) {
	q := &e.palette
	f.Rows["shown-cards"] = nil
	t, chosen := e.chosenTouch()
	chosen = chosen && !t.pile
	f.Text["cards-verdict"], f.Text["cards-told"], f.Text["measure-note"] = e.cardsVerdict(), e.cardsTold(), e.paletteNote()
	value := q.value.typed
	if value == "" && chosen && t.value != nil {
		value = valueText(*t.value)
	}
	for _, field := range []string{"card-value", "canvas-card"} {
		f.Value[field], f.Disabled[field] = value, e.still() || !chosen
	}
	seen := e.paletteSeen()
	e.disable(f, "cards-find", !seen || q.finding)
	e.disable(f, "cards-away", !chosen)
	values, d := e.measured(), e.doc()
	own := d.Finding.Fit == study.FitCards && slices.Equal(d.Finding.Cards, values) && len(values) > 0
	f.Pressed["key-cards-use"] = own
	e.disable(f, "cards-use", len(values) < 2)
	f.Hidden["key-palette-again"], f.Hidden["palette-once"] = q.failed == "", q.failed == ""
	e.disable(f, "camera-cards", !e.camera.frozen)
	if seen && e.onCheck("cards") {
		e.listCards(f, "shown-cards")
	}
}

// listCards lists the touched cards.
func (e *Easel) listCards(f *Face, list string) {
	for _, c := range e.touches() {
		if !c.pile {
			f.Rows[list] = append(f.Rows[list], e.cardRow(c))
		}
	}
}

// cardRow is a touched card in the list.
func (e *Easel) cardRow(c touch) Row {
	row := Row{Key: fmt.Sprintf("touch-%d", c.id), Text: "Not named yet", Pressed: c.id == e.palette.chosen}
	if c.value == nil {
		return row
	}
	row.Text = "Value " + valueText(*c.value)
	row.Note = fmt.Sprintf("L* %.1f", float64(c.value.Luminance().Lightness()))
	face, ok := e.faceOf(c)
	if !ok {
		return row
	}
	row.Swatches = swatches(face.Shown)
	row.Note += fmt.Sprintf(", reads %.1f, even within %.1f", float64(face.Reads), float64(face.Uneven))
	return row
}

// faceOf is a card as it was read.
func (e *Easel) faceOf(c touch) (palette.Face, bool) {
	if e.palette.answer.Cards != nil {
		for _, f := range e.palette.answer.Cards.Faces {
			if f.At == c.at && f.Value == *c.value {
				return f, true
			}
		}
	}
	return palette.Face{}, false
}

// cardsVerdict says in short what the cards are good for.
func (e *Easel) cardsVerdict() string {
	a := e.palette.answer
	switch {
	case a.Wrong != "":
		return "These cards cannot be used"
	case a.Cards == nil:
		return ""
	}
	return fmt.Sprintf("Colours within %.0f L*, greys within %.0f", float64(a.Cards.Colours), float64(a.Cards.Greys))
}

// cardsTold is what the cards tell, or why they cannot be used.
func (e *Easel) cardsTold() string {
	a := e.palette.answer
	switch {
	case a.Wrong != "":
		return sentence(a.Wrong) + " " + sentence(a.Wanted)
	case a.Cards == nil:
		return ""
	}
	c := a.Cards
	text := sentence(c.Method)
	if c.Checked > 0 {
		text += fmt.Sprintf(" Held to the others, cards are %.1f L* off.", float64(c.Residual))
	} else {
		text += " Two cards leave nothing to check them by: a third between them would."
	}
	if c.Measured {
		return text + fmt.Sprintf(" There is %.0f %% more light at the %s end, which is taken out.", 100*c.Rise, c.Lighter)
	}
	return text + " The light is taken to be even: a card shown at both ends would tell."
}

// paletteNote says what became of what was last done, or what can be done next.
func (e *Easel) paletteNote() string {
	if e.history == nil {
		return ""
	}
	q, p := &e.palette, e.touched()
	named := len(named(p.Cards))
	switch {
	case p.Photograph == nil:
		return "Photograph your grey cards beside the palette, in one light, and open the photograph; or freeze them under Camera."
	case e.laying() != "":
		return e.laying()
	case q.failed != "":
		return q.failed
	case q.value.note != "":
		return q.value.note
	case q.busy && (q.share > 0 || q.finding || q.note == ""):
		return fmt.Sprintf("Reading the photograph: %.0f %%", 100*q.share)
	case q.note != "":
		return q.note
	case e.carding() && len(p.Cards) == 0:
		return "Touch the grey cards that are on it, the darkest first. Without any, light and exposure are fitted to the values."
	case named < len(p.Cards):
		return "Type the value of each card that has none: Munsell 0 to 10, or L52 for the lightness printed on it."
	case named < 2:
		return "Touch two to five cards, a dark and a light one among them, and name each."
	case e.onPiles() && len(p.Piles) == 0:
		return "Touch the middle of each pile, or have even patches found."
	case e.onPiles():
		return "Touch a card to hold the chosen pile against it. Without one it is held against its step's."
	}
	if e.carding() {
		return "Touch a card to move it or to name it. Then check the painting."
	}
	return "Touch a card to move it or to name it. Then turn to Palette for the piles."
}

// facePalette is the part about the mixed piles, and what is touched.
func (e *Easel) facePalette(f *Face) {
	q := &e.palette
	if e.paletteSeen() && !e.plain {
		e.spotTouches(f)
	}
	f.Rows["palette-rows"] = nil
	t, chosen := e.chosenTouch()
	chosen = chosen && t.pile
	f.Text["pile-verdict"], f.Text["pile-told"], f.Text["palette-note"] = "", "", e.paletteNote()
	f.Value["pile-card"], f.Disabled["pile-card"] = "", e.still() || !chosen
	if chosen && t.value != nil {
		f.Value["pile-card"] = valueText(*t.value)
	}
	if q.value.typed != "" {
		f.Value["pile-card"] = q.value.typed
	}
	seen := e.paletteSeen()
	e.disable(f, "palette-find", !seen || q.finding)
	e.disable(f, "palette-take", !seen || len(q.found) == 0)
	e.disable(f, "palette-away", !chosen)
	if !seen || !e.onPiles() {
		return
	}
	if q.answer.Wrong != "" {
		f.Text["pile-verdict"], f.Text["pile-told"] = e.cardsVerdict(), e.cardsTold()
	} else if chosen {
		f.Text["pile-verdict"], f.Text["pile-told"] = e.pileVerdict(t), e.pileTold(t)
	}
	for _, one := range e.touches() {
		if one.pile {
			f.Rows["palette-rows"] = append(f.Rows["palette-rows"], e.pileRow(one))
		}
	}
}

// readingOf is a pile as it was read.
func (e *Easel) readingOf(t touch) (palette.Reading, bool) {
	for _, r := range e.palette.answer.Piles {
		if r.At == t.at {
			return r, true
		}
	}
	return palette.Reading{}, false
}

// pileRow is a touched pile in the list: as it is mixed, through the red filter, and as
// the nearest planned one is.
func (e *Easel) pileRow(t touch) Row {
	row := Row{Key: fmt.Sprintf("touch-%d", t.id), Text: fmt.Sprintf("Pile %d", e.pileNumber(t.id)), Pressed: t.id == e.palette.chosen}
	r, ok := e.readingOf(t)
	switch {
	case !ok:
		return row
	case r.Wrong != "":
		row.Note = r.Wrong
		return row
	}
	l := e.doc().Look
	through := look.Apply(look.Look{Filter: true, AsGreys: l.AsGreys, Sheet: l.Sheet, Steps: l.Steps}, colour.GreyOf(50), r.Colour)
	row.Swatches = swatches(r.Colour, through)
	if r.Planned != nil {
		row.Swatches += " " + swatches(r.Planned.Colour)
	}
	row.Figure = r.Said
	if r.Warning != "" {
		row.Note = "the filter misleads"
	}
	return row
}

// pileVerdict says how a pile stands against its card.
func (e *Easel) pileVerdict(t touch) string {
	r, ok := e.readingOf(t)
	switch {
	case !ok:
		return ""
	case r.Wrong != "":
		return "This pile cannot be read"
	case r.Said == "":
		return sentenceCase(r.Name)
	}
	return sentenceCase(r.Said)
}

// pileTold is all that is told of a pile.
func (e *Easel) pileTold(t touch) string {
	r, ok := e.readingOf(t)
	switch {
	case !ok:
		return ""
	case r.Wrong != "":
		return sentence(r.Wrong) + " " + sentence(r.Wanted)
	}
	text := fmt.Sprintf("Value %.1f, ", float64(r.Lightness.Value()))
	if r.Card != nil {
		against := "its card of value"
		if t.value == nil {
			against = "its planned step's value of"
		}
		text += fmt.Sprintf("against %s %s, within %.1f of a step; ", against, valueText(*r.Card), r.Within)
	}
	words := []string{text + r.Name + ", " + r.Temperature + "."}
	switch p := r.Planned; {
	case p == nil && e.planning() != "":
		words = append(words, e.planning())
	case p == nil:
	case !p.Near():
		words = append(words, fmt.Sprintf("No planned pile is near it: the nearest is %s of step %d.", p.Name, p.Step))
	case len(p.Way) == 0:
		words = append(words, fmt.Sprintf("It is as its nearest planned pile should be, %s of step %d.", p.Name, p.Step))
	default:
		words = append(words, fmt.Sprintf("Go %s to its nearest planned pile, %s of step %d.", listed(p.Way), p.Name, p.Step))
	}
	filter := sentence(r.Misreading.Sentence())
	if r.Warning != "" {
		filter = sentence(r.Warning)
	}
	return strings.Join(append(words, filter), " ")
}

// listed are words as they are said one after the other.
func listed(words []string) string {
	if last := len(words) - 1; last > 0 {
		return strings.Join(words[:last], ", ") + " and " + words[last]
	}
	return strings.Join(words, "")
}

// planning says how far the plan of piles is, or "" where there is one.
func (e *Easel) planning() string {
	switch q := e.surveys.of[survey.Piles]; {
	case q == nil:
		return ""
	case q.busy:
		return fmt.Sprintf("The planned piles are being gathered: %.0f %%.", 100*q.share)
	case q.failed != "":
		return sentence(q.failed)
	}
	return ""
}

// spotTouches puts squares about what is read on the picture, and what was found.
func (e *Easel) spotTouches(f *Face) {
	seen, ok := e.palettePropped()
	if !ok {
		return
	}
	side := max(2*e.patchHalf()*seen.scale[0]*seen.pane.View.Scale/e.dpr, 10)
	put := func(at place.PhotoPoint, text string, chosen bool) {
		x, y := seen.at(at)
		f.Spots = append(f.Spots, Spot{X: x, Y: y, Text: text, Chosen: chosen, Side: side})
	}
	for _, at := range e.palette.found {
		put(at, "+", false)
	}
	for _, t := range e.touches() {
		text := "?"
		switch {
		case t.pile:
			text = fmt.Sprint(e.pileNumber(t.id))
		case t.value != nil:
			text = "V" + valueText(*t.value)
		}
		put(t.at, text, t.id == e.palette.chosen)
	}
}
