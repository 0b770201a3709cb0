package easel

import (
	"fmt"
	"math"
	"strings"

	"maulstick/render/check"
	"maulstick/render/place"
	"maulstick/render/verdict"
)

// toldKeys are the keys that say what of a check is listed.
var toldKeys = []string{"drawing", "values", "colour"}

func init() {
	for _, told := range toldKeys {
		keys["told-"+told] = func(e *Easel) { e.painting.told, e.row = told, "" }
	}
}

// facePainting is the part of the Check tray about the painting.
func (e *Easel) facePainting(f *Face) {
	p, carding, away := &e.painting, e.carding(), e.putting()
	for name, way := range seenKeys {
		f.Pressed["key-"+name] = p.seen == way
		e.disable(f, name, e.compared() == nil || away)
	}
	for _, told := range toldKeys {
		f.Pressed["key-told-"+told] = p.told == told
		e.disable(f, "told-"+told, away || e.verdict() == nil && told != "drawing")
	}
	f.Text["key-seen-turn"] = "In turn"
	if p.seen == seenTurn {
		f.Text["key-seen-turn"] = map[bool]string{true: "Painting", false: "Reference"}[p.other]
	}
	f.Value["painting-mix"] = fmt.Sprintf("%.0f", 100*p.mix)
	f.Disabled["painting-mix"] = e.still() || e.compared() == nil || away || p.seen != seenOver && p.seen != seenDivided
	f.Pressed["key-painting-corners"], f.Pressed["key-painting-cards"] = e.cornering(), carding
	f.Hidden["canvas-cards"], f.Hidden["painting-seen"], f.Hidden["painting-both"] = !carding, carding, carding
	f.Pressed["key-arrow-draw"] = e.tool.tool == arrower
	e.facePaintingKeys(f)
	f.Text["painting-note"], f.Text["painting-doubt"], f.Text["painting-which"] = e.paintingNote(), e.paintingDoubt(), e.paintingWhich()
	f.Rows["painting-rows"] = nil
	switch {
	case carding:
		e.listCards(f, "painting-rows")
	case e.onCheck("painting") && !away:
		e.listFound(f)
	}
}

// facePaintingKeys is which keys of that part mean nothing now.
func (e *Easel) facePaintingKeys(f *Face) {
	p, all := &e.painting, e.photographed()
	n, ok := e.checkedEntry()
	ask, asking := e.asking()
	e.disable(f, "painting-earlier", !ok || n.ID == all[0].ID)
	e.disable(f, "painting-later", !ok || n.ID == all[len(all)-1].ID)
	e.disable(f, "painting-corners", !ok)
	e.disable(f, "painting-cards", !ok)
	found := len(ask.Ask.Corners) == 0 && ask.Ask.Outline != nil
	chosen := p.arrow > 0 && p.arrow <= len(e.arrows())
	if e.carding() {
		found = e.palette.finding
		_, chosen = e.chosenTouch()
	}
	f.Text["key-painting-find"] = "Find corners"
	if e.carding() {
		f.Text["key-painting-find"] = "Find patches"
	}
	e.disable(f, "painting-find", !e.carding() && (!asking || p.busy) || found)
	e.disable(f, "arrow-away", !chosen)
	e.disable(f, "painting-check", !asking || p.busy)
	for _, key := range []string{"arrow-draw", "arrow-new"} {
		e.disable(f, key, !asking || e.putting())
	}
}

// faceChecking says how far what is being found or checked is.
func (e *Easel) faceChecking(f *Face) {
	p, text := &e.painting, ""
	if p.busy {
		text = fmt.Sprintf("Comparing: %.0f %%", 100*p.share)
		if p.ask.Find {
			text = fmt.Sprintf("Looking for the canvas: %.0f %%", 100*p.share)
		}
	}
	f.Text["check-finding"], f.Hidden["check-asking"] = text, text == ""
	f.Disabled["check-undo"] = e.still() || !e.history.CanUndo()
	f.Disabled["check-redo"] = e.still() || !e.history.CanRedo()
}

// paintingWhich is which photograph is checked.
func (e *Easel) paintingWhich() string {
	n, ok := e.checkedEntry()
	if !ok {
		return ""
	}
	text := n.Time.In(e.now().Location()).Format("2 Jan 2006, 15:04")
	if n.Stage != "" {
		text = n.Stage + ", " + text
	}
	if all := e.photographed(); len(all) > 1 {
		for i, o := range all {
			if o.ID == n.ID {
				text += fmt.Sprintf("; photograph %d of %d", i+1, len(all))
			}
		}
	}
	return sentence(text)
}

// paintingNote says what was found, or what can be done to find it.
func (e *Easel) paintingNote() string {
	p, a := &e.painting, e.verdict()
	_, photographed := e.checkedEntry()
	switch {
	case e.history == nil:
		return ""
	case !e.doc().HasCanvas():
		return "Type the size of the canvas under Line first: what is off is told on it."
	case !photographed:
		return "Freeze the canvas in the Camera part and put it into the log, or open a photograph of it. The whole canvas has to be on it."
	case e.carding():
		return e.paletteNote()
	case e.cornering() && e.laying() != "":
		return e.laying()
	case p.failed != "":
		return p.failed
	case e.cornering():
		return e.cornersNote()
	case p.busy && a == nil:
		return "The canvas is found, squared up and held against the reference. You can go on meanwhile."
	case a == nil && len(e.arrows()) > 0:
		return e.arrowsNote()
	case a == nil && e.paintedWord() != "canvas":
		return "The canvas has a margin or a turnover: put the corners on what is painted, then check it."
	case a == nil:
		return "Check it: its canvas is found, squared up and held against the reference. Where that is not sure you are asked for its corners."
	case e.stale():
		return "Something else is asked for now, other corners, cards, steps or another canvas: check it again."
	}
	return e.foundNote(a)
}

// cornersNote says what the corners want, and how surely they are known.
func (e *Easel) cornersNote() string {
	n, _ := e.checkedEntry()
	c, known := e.outlineOf(n)
	text := "Drag the corners onto those of what is painted; arrow keys move one by a pixel."
	switch {
	case e.painting.busy:
		return "The canvas is being looked for."
	case known && c.Found:
		text = fmt.Sprintf("Found, within %.1f pixels. ", max(c.Within, 0.1)) + text
	case len(n.Corners) == 4:
		text += " Then check it."
	}
	if c.Bow.K != 0 {
		text += fmt.Sprintf(" The lens bows straight lines by %.1f %% at the photograph's corners.", 100*math.Abs(c.Bow.K))
	}
	return text
}

// foundNote is what was found of what is listed, in sentences.
func (e *Easel) foundNote(a *verdict.Answer) string {
	if a.Declined != "" && (a.Nothing || e.painting.told != "drawing") {
		text := sentence(a.Declined) + " " + sentence(a.Help)
		if a.Nothing && len(e.arrows()) > 0 {
			text = e.arrowsNote() + " " + text
		}
		return strings.TrimSpace(text)
	}
	switch e.painting.told {
	case "values":
		return e.valuesNote(a)
	case "colour":
		return colourNote(a)
	}
	return e.drawingNote(a)
}

// drawingNote is how the drawing lies, as a whole and in its parts.
func (e *Easel) drawingNote(a *verdict.Answer) string {
	text := sentence("the whole: " + e.wholeText(a.Whole))
	switch places := len(a.Matches); len(a.Slips) {
	case 0:
		return text + fmt.Sprintf(" No part slips from that, of %d places matched.", places)
	case 1:
		text += fmt.Sprintf(" One part slips from that, of %d places matched. Its arrow goes from where it belongs to where it is", places)
	default:
		text += fmt.Sprintf(" %d parts slip from that, of %d places matched. Arrows go from where parts belong to where they are", len(a.Slips), places)
	}
	if times := e.arrowTimes(); times > 1 {
		text += fmt.Sprintf(", drawn %.0f times as long", times)
	}
	return text + "."
}

// wholeText is the shift, turn and stretch of the whole, as far as they are sure.
func (e *Easel) wholeText(w check.Whole) string {
	u := e.doc().Canvas.Unit
	parts := []string{check.OffText(w.DX, w.DY, u) + ", within " + place.WithinText(w.ShiftWithin, u, w.DX, w.DY)}
	if sure := 2 * w.TurnWithin; math.Abs(w.Turn) > max(sure, 0.05) {
		way := "clockwise"
		if w.Turn < 0 {
			way = "anticlockwise"
		}
		parts = append(parts, fmt.Sprintf("turned %.1f° %s, within %.1f°", math.Abs(w.Turn), way, max(w.TurnWithin, 0.05)))
	}
	for _, s := range []struct {
		by, within  float64
		over, under string
	}{{w.Across - 1, w.AcrossWithin, "too wide", "too narrow"}, {w.Down - 1, w.DownWithin, "too tall", "too short"}} {
		if math.Abs(s.by) > max(2*s.within, 0.002) {
			way := s.over
			if s.by < 0 {
				way = s.under
			}
			parts = append(parts, fmt.Sprintf("%.1f %% %s, within %.1f %%", 100*math.Abs(s.by), way, 100*max(s.within, 0.0005)))
		}
	}
	return strings.Join(parts, "; ")
}

// arrowsNote is what the painter's arrows say, where nothing else does.
func (e *Easel) arrowsNote() string {
	all := e.arrows()
	var dx, dy, touch float64
	for _, a := range all {
		dx, dy, touch = dx+float64(a.DX), dy+float64(a.DY), touch+float64(a.Touch)*float64(a.Touch)
	}
	n := float64(len(all))
	u := e.doc().Canvas.Unit
	x, y := place.MM(dx/n), place.MM(dy/n)
	if len(all) == 1 {
		return sentence("your arrow: " + check.OffText(x, y, u) + ", within " + place.WithinText(place.MM(math.Sqrt(touch)), u, x, y))
	}
	var spread float64
	for _, a := range all {
		spread += math.Pow(float64(a.DX-x), 2) + math.Pow(float64(a.DY-y), 2)
	}
	doubt := place.MM(math.Sqrt(max(touch/n, spread/(2*(n-1))) / n))
	return sentence(fmt.Sprintf("your %d arrows, taken together: %s, within %s", len(all), check.OffText(x, y, u), place.WithinText(doubt, u, x, y)))
}

// valuesNote is how the values lie.
func (e *Easel) valuesNote(a *verdict.Answer) string {
	off := 0
	for _, v := range a.Values {
		if v.Off {
			off++
		}
	}
	text := fmt.Sprintf("No value is surely half a step off, of %d shapes.", len(a.Values))
	if off > 0 {
		text = fmt.Sprintf("%d of %d shapes are surely off.", off, len(a.Values))
	}
	text += " Range: " + a.Range.Text + "."
	switch len(a.Broken) {
	case 0:
		return text + " The order from dark to light is kept."
	case 1:
		return text + " The order from dark to light is broken in one pair."
	}
	return text + fmt.Sprintf(" The order from dark to light is broken in %d pairs.", len(a.Broken))
}

// colourNote is how temperature and opposites lie.
func colourNote(a *verdict.Answer) string {
	if a.Colour == nil {
		return "Colours were not compared."
	}
	text := sentence("on the reference " + lowered(a.Colour.Reference) + ", on the painting too")
	if a.Colour.Reference != a.Colour.Painting {
		text = sentence("on the reference " + lowered(a.Colour.Reference) + ", on the painting " + lowered(a.Colour.Painting))
	}
	if len(a.Colour.Kept)+len(a.Colour.Lost) == 0 {
		text += " The reference has no opposites to keep."
	}
	return text
}

// lowered is a sentence to go on with.
func lowered(s string) string {
	s = strings.TrimSuffix(s, ".")
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// paintingDoubt says what the figures that are listed cannot tell, or what light and
// exposure were taken from; of cards that are touched, what they are good for.
func (e *Easel) paintingDoubt() string {
	if e.carding() {
		return strings.TrimSpace(sentence(e.cardsVerdict()) + " " + e.cardsTold())
	}
	a := e.verdict()
	if a == nil || e.putting() || e.stale() {
		return ""
	}
	for _, n := range a.Notes {
		if n.Of == e.painting.told {
			return sentence(n.Text)
		}
	}
	if cards := len(e.painting.to.Ask.Cards); cards > 0 && e.painting.told == "values" && len(a.Values) > 0 {
		return fmt.Sprintf("Light, exposure and the camera's curve are taken from your %d grey cards: the range of values is surer than without.", cards)
	}
	return ""
}
