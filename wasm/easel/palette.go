package easel

import (
	"fmt"
	"reflect"
	"slices"

	"maulstick/render/card"
	"maulstick/render/colour"
	"maulstick/render/palette"
	"maulstick/render/place"
	"maulstick/render/study"
	"maulstick/render/survey"
)

// paletteDesk is the photograph of the grey cards and the mixed piles, as it is being read.
type paletteDesk struct {
	last    int         // the number of the newest ReadPalette
	asked   palette.Ask // with that
	of      string      // the photograph it was about
	busy    bool
	share   float64 // 0..1, of bringing the photograph
	failed  string
	answer  palette.Answer // the newest, to the question before while asked is being answered
	current bool           // it answers asked

	finding bool               // even patches are to be found, too
	found   []place.PhotoPoint // those that the painter has not taken
	chosen  int                // the touch that the fields are about, 0 for none
	note    string             // what became of the last thing done
	value   field
	offset  place.PhotoPoint // from the finger to the touch that it moves
	moves   int              // the touch that is being moved
	moved   bool
}

func init() {
	for name, do := range map[string]func(*Easel){
		"cards-file":    func(e *Easel) { e.host.PaletteFile() },
		"palette-file":  func(e *Easel) { e.host.PaletteFile() },
		"cards-find":    (*Easel).findPatches,
		"palette-find":  (*Easel).findPatches,
		"palette-take":  (*Easel).takePatches,
		"cards-away":    (*Easel).takeTouchAway,
		"palette-away":  (*Easel).takeTouchAway,
		"cards-use":     (*Easel).useCards,
		"palette-again": (*Easel).readAgain,
		"camera-cards":  (*Easel).cardsFrame,
	} {
		keys[name] = do
	}
}

// onPalette says whether a part about cards or piles is in sight.
func (e *Easel) onPalette() bool {
	d := e.doc()
	return e.history != nil && d.Tray == study.TrayCheck && (d.Parts.Check == "cards" || d.Parts.Check == "palette")
}

// paletteSeen says whether a photograph of cards, or of cards and piles, is in the easel's
// place.
func (e *Easel) paletteSeen() bool {
	return e.carding() || e.onPalette() && e.doc().Palette.Photograph != nil
}

// onPiles says whether piles are touched, and not cards.
func (e *Easel) onPiles() bool { return e.doc().Parts.Check == "palette" }

// touched is that photograph, with what is touched on it: that of the palette, or of the
// canvas while its cards are touched.
func (e *Easel) touched() study.Palette {
	if e.carding() {
		n, _ := e.checkedEntry()
		return n.Shown()
	}
	return e.doc().Palette
}

// withTouched is the study with other touches on it.
func (e *Easel) withTouched(p study.Palette) study.Document {
	if e.carding() {
		n, _ := e.checkedEntry()
		return e.doc().TouchedOn(n.ID, p)
	}
	return e.doc().Touched(p)
}

// paletteAside is that photograph as it is seen.
func (e *Easel) paletteAside() aside {
	r, name := *e.touched().Photograph, "the photograph of the palette"
	if e.carding() {
		name = "the cards on the photograph of the canvas"
	}
	return wholeAside(name, r)
}

// PaletteTaken takes a photograph of the cards and the palette, in place of the one there
// was, and has it in sight.
func (e *Easel) PaletteTaken(r study.Reference) {
	if e.history != nil {
		e.settle()
		e.do(e.doc().WithPalette(r), "")
		e.palette = paletteDesk{last: e.palette.last, note: "Touch your grey cards, the darkest first."}
		e.says.news = e.palette.note
		if !e.onPiles() {
			e.show(e.doc().WithPart("cards"))
		}
	}
	e.after()
}

// cardsFrame takes what the camera has frozen as the photograph of cards and piles.
func (e *Easel) cardsFrame() {
	if c := &e.camera; c.frozen && c.picture != nil {
		e.host.PaletteFrame("palette "+e.now().Format("2006-01-02 15-04-05")+".png", c.picture.Picture())
	}
}

// paletteAsk is what there is to ask about the photograph now.
func (e *Easel) paletteAsk() palette.Ask {
	d, p := e.doc(), e.touched()
	a := palette.Ask{Step: stepWidth(d), Sheet: d.Look.Sheet, Find: e.palette.finding}
	if a.Cards = named(p.Cards); len(a.Cards) < 2 {
		a.Cards = nil
		return a
	}
	for _, t := range p.Piles {
		a.Piles = append(a.Piles, palette.Touch{At: place.PhotoPoint{X: t.X, Y: t.Y}, Card: t.Card})
	}
	if found := e.currentAnswer(survey.Piles); found != nil {
		a.Plan = planOf(*found.Piles)
	}
	return a
}

// named are the touched cards that have a value.
func named(touched []study.CardTouch) (cards []card.Card) {
	for _, c := range touched {
		if c.Value != nil {
			cards = append(cards, card.Card{Value: *c.Value, At: place.PhotoPoint{X: c.X, Y: c.Y}})
		}
	}
	return cards
}

// planOf is the planned piles as they are asked with.
func planOf(m survey.Mixes) []palette.Step {
	plan := make([]palette.Step, len(m.Steps))
	for k, s := range m.Steps {
		plan[k].Value = s.Value
		for _, p := range s.Piles {
			plan[k].Piles = append(plan[k].Piles, palette.Pile{Colour: p.Colour, Name: p.Name})
		}
	}
	return plan
}

// stepWidth is how wide a step is: where they are not equal, how far the lightest is from
// the darkest, over the steps between.
func stepWidth(d study.Document) colour.Lightness {
	s := d.Look.Flat()
	n := s.Count()
	if d.Finding.Fit == study.FitEqual {
		return colour.Lightness(100 / float64(n))
	}
	return max((s.Shown(n)-s.Shown(1))/colour.Lightness(n-1), 1)
}

// askPalette asks what the part in sight needs to know and has not asked.
func (e *Easel) askPalette() {
	if !e.paletteSeen() {
		return
	}
	q, photograph := &e.palette, *e.touched().Photograph
	of := photograph.Hash
	if e.carding() { // which may be of the same photograph
		of += " canvas"
	}
	if q.of != of {
		q.found, q.finding, q.chosen, q.answer = nil, false, 0, palette.Answer{}
	}
	a := e.paletteAsk()
	if q.of == of && reflect.DeepEqual(q.asked, a) {
		return
	}
	q.asked, q.of, q.current, q.failed = a, of, false, ""
	if q.busy = len(a.Cards) > 0 || a.Find; !q.busy {
		q.last++ // what is on its way answers another question
		q.answer = palette.Answer{}
		return
	}
	q.last++
	e.host.ReadPalette(q.last, photograph, a)
}

// PaletteReading says how far bringing the photograph of the ReadPalette of that number is,
// 0 to 1.
func (e *Easel) PaletteReading(id int, share float64) {
	if id == e.palette.last {
		e.palette.share = portion(share)
	}
	e.after()
}

// PaletteRead answers the ReadPalette of that number. An answer to an older one is ignored.
func (e *Easel) PaletteRead(id int, answer palette.Answer) {
	if q := &e.palette; id == q.last && q.busy {
		q.busy, q.current, q.share = false, true, 0
		if q.asked.Find {
			q.finding, q.asked.Find = false, false
			q.found = e.untouched(answer.Found)
			q.note = fmt.Sprintf("Even patches that were found: %d. Touch those that you mean.", len(q.found))
			if len(q.found) == 0 {
				q.note = "No even patch was found that is not touched already. Touch the middle of each."
			}
			e.says.news = q.note
		}
		q.answer = answer
		if answer.Wrong != "" {
			e.says.news = sentence(answer.Wrong)
		}
	}
	e.after()
}

// PaletteFailed says that the photograph cannot be read, and why.
func (e *Easel) PaletteFailed(id int, why string) {
	if q := &e.palette; id == q.last && q.busy {
		q.busy, q.finding, q.asked.Find, q.share, q.failed = false, false, false, 0, sentence(why)
		e.says.news = q.failed
	}
	e.after()
}

// readAgain asks once more what failed.
func (e *Easel) readAgain() {
	if e.palette.failed != "" {
		e.palette.of = ""
	}
}

// untouched are the places about which nothing is touched.
func (e *Easel) untouched(places []place.PhotoPoint) []place.PhotoPoint {
	near := 2 * e.patchHalf()
	return slices.DeleteFunc(slices.Clone(places), func(at place.PhotoPoint) bool {
		return slices.ContainsFunc(e.touches(), func(t touch) bool { return max(at.X-t.at.X, t.at.X-at.X, at.Y-t.at.Y, t.at.Y-at.Y) < near })
	})
}

// patchHalf is half the side of what is read about a touch, in pixels of the photograph.
func (e *Easel) patchHalf() float64 {
	r := e.touched().Photograph
	return card.HalfSide(place.Pixels{Width: r.Width, Height: r.Height})
}

// findPatches has even patches found.
func (e *Easel) findPatches() {
	if e.paletteSeen() {
		e.settle()
		e.palette.finding, e.palette.note = true, ""
	}
}

// takePatches takes all patches that were found for piles.
func (e *Easel) takePatches() {
	q := &e.palette
	p, taken := e.doc().Palette, 0
	for _, at := range q.found {
		more, id := p.WithPile(at)
		if id == 0 {
			break
		}
		p, taken = more, taken+1
	}
	if taken == 0 || e.carding() {
		return
	}
	e.settle()
	e.do(e.doc().Touched(p), "")
	q.found, q.note = nil, "Taken for piles: "+fmt.Sprint(taken)+". Take away what is none."
	e.says.news = q.note
}

// takeTouchAway takes the chosen touch away.
func (e *Easel) takeTouchAway() {
	t, ok := e.chosenTouch()
	if !ok {
		return
	}
	e.settle()
	e.do(e.withTouched(e.touched().Without(t.id)), "")
	e.palette.chosen, e.palette.value, e.palette.note = 0, field{}, "Taken away. Undo brings it back."
	e.says.news = e.palette.note
}

// measured are the values of the cards that were measured, rising; none unless they fit.
func (e *Easel) measured() []colour.Value {
	q := &e.palette
	if q.answer.Cards == nil {
		return nil
	}
	var values []colour.Value
	for _, f := range q.answer.Cards.Faces {
		values = append(values, f.Value)
	}
	return slices.Compact(values)
}

// useCards makes the cards that were measured the study's own: its steps and its palette
// chart follow them.
func (e *Easel) useCards() {
	values := e.measured()
	if len(values) < 2 {
		return
	}
	e.settle()
	e.cards = field{}
	e.do(e.refitted(e.finding(func(f *study.Finding) { f.Fit, f.Cards = study.FitCards, values })), "")
	e.palette.note = "Your cards are " + cardsText(values) + ". The steps and the palette chart follow them."
	e.says.news = e.palette.note
}
