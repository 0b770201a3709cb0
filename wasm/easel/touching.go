package easel

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/place"
)

// touch is a card or a pile as it was touched on the photograph of them.
type touch struct {
	id    int
	at    place.PhotoPoint
	value *colour.Value // of the card, or of the one that the pile is to match
	pile  bool
}

// touches are the cards and the piles that are touched.
func (e *Easel) touches() []touch {
	p := e.touched()
	all := make([]touch, 0, len(p.Cards)+len(p.Piles))
	for _, c := range p.Cards {
		all = append(all, touch{id: c.ID, at: place.PhotoPoint{X: c.X, Y: c.Y}, value: c.Value})
	}
	for _, t := range p.Piles {
		all = append(all, touch{id: t.ID, at: place.PhotoPoint{X: t.X, Y: t.Y}, value: t.Card, pile: true})
	}
	return all
}

// touchOf is the touch of a number.
func (e *Easel) touchOf(id int) (touch, bool) {
	all := e.touches()
	i := slices.IndexFunc(all, func(t touch) bool { return t.id == id })
	if i < 0 {
		return touch{}, false
	}
	return all[i], true
}

// chosenTouch is the touch that the fields are about: of the part in sight.
func (e *Easel) chosenTouch() (touch, bool) {
	t, ok := e.touchOf(e.palette.chosen)
	return t, ok && t.pile == e.onPiles()
}

// palettePropped is how the photograph of cards and piles is seen; ok is false while it is
// not in sight.
func (e *Easel) palettePropped() (seen propped, ok bool) {
	if !e.paletteSeen() {
		return propped{}, false
	}
	return e.inPlace()
}

// startTouch begins what a finger does on the photograph of cards and piles: it takes hold
// of a touch that is near, else touches anew, what was found if that is near.
func (e *Easel) startTouch(f finger) {
	h, q := &e.hand, &e.palette
	h.doing, h.side = spent, sideLeft
	seen, ok := e.palettePropped()
	if !ok || e.plain {
		return
	}
	at := seen.under(f.x, f.y)
	if !e.paletteAside().crop.Contains(at) {
		return
	}
	h.runs++
	h.run = fmt.Sprintf("touch %d", h.runs)
	q.note, q.value, q.moved = "", field{}, false
	if t, ok := e.touchNear(seen, f); ok {
		if t.pile != e.onPiles() {
			e.matchCard(t)
			return
		}
		q.chosen, q.moves, q.offset, h.doing = t.id, t.id, offset(t.at, at), drawing
		return
	}
	i := slices.IndexFunc(q.found, func(p place.PhotoPoint) bool { return seen.away(f, p) < reach })
	if i >= 0 {
		at = q.found[i]
		q.found = slices.Delete(slices.Clone(q.found), i, i+1)
	}
	if e.touchAnew(at) {
		q.moves, q.offset, q.moved, h.doing = q.chosen, place.PhotoPoint{}, i < 0, drawing
	}
}

// touchNear is the touch nearest to a finger, within reach.
func (e *Easel) touchNear(seen propped, f finger) (touch, bool) {
	best, off, ok := touch{}, float64(reach), false
	for _, t := range e.touches() {
		if d := seen.away(f, t.at); d < off {
			best, off, ok = t, d, true
		}
	}
	return best, ok
}

// matchCard has the chosen pile match a card, and says so.
func (e *Easel) matchCard(c touch) {
	t, ok := e.chosenTouch()
	switch {
	case c.pile:
		e.palette.note = "A pile is touched there. Turn to Palette to move it."
	case !ok:
		e.palette.note = "That is a card. Choose a pile first, then its card."
	case c.value == nil:
		e.palette.note = "That card has no value yet. Name it under Cards."
	default:
		e.do(e.withTouched(e.touched().Valued(t.id, c.value)), "")
		e.palette.note = fmt.Sprintf("Pile %d is held against the card of value %s.", e.pileNumber(t.id), valueText(*c.value))
	}
	e.says.news = e.palette.note
}

// touchAnew touches a card or a pile, which then is the chosen one; false where there is
// no more room.
func (e *Easel) touchAnew(at place.PhotoPoint) bool {
	p, id := e.touched(), 0
	if e.onPiles() {
		p, id = p.WithPile(at)
	} else {
		p, id = p.WithCard(at, e.nextValue())
	}
	if id == 0 {
		e.palette.note = "There is no room for more. Take one away first."
		return false
	}
	e.do(e.withTouched(p), e.hand.run)
	e.palette.chosen = id
	return true
}

// nextValue is the value of the study's cards that is touched next: the darkest that is
// not touched yet, nil for none.
func (e *Easel) nextValue() *colour.Value {
	d := e.doc()
	for _, v := range d.Finding.Cards {
		used := slices.ContainsFunc(e.touches(), func(t touch) bool { return !t.pile && t.value != nil && *t.value == v })
		if !used {
			return &v
		}
	}
	return nil
}

// moveTouch goes on with it.
func (e *Easel) moveTouch(f finger) {
	q := &e.palette
	if q.moved = q.moved || f.gone() > markSlop[f.device]; !q.moved {
		return
	}
	if seen, ok := e.palettePropped(); ok {
		at := seen.under(f.x, f.y)
		e.do(e.withTouched(e.touched().Moved(q.moves, place.PhotoPoint{X: at.X + q.offset.X, Y: at.Y + q.offset.Y})), e.hand.run)
	}
}

// nudgeTouch moves the chosen touch by pixels of the screen in its directions.
func (e *Easel) nudgeTouch(right, down float64) bool {
	t, ok := e.chosenTouch()
	seen, is := e.palettePropped()
	if !ok || !is {
		return false
	}
	step := func(by, least float64) float64 { // a pixel of the photograph at least
		if math.Abs(by) < 1e-9 {
			return 0
		}
		return math.Copysign(max(math.Abs(by), least), by)
	}
	by := offset(seen.under(right/e.dpr, down/e.dpr), seen.under(0, 0))
	e.do(e.withTouched(e.touched().Moved(t.id, place.PhotoPoint{
		X: t.at.X + step(by.X, math.Abs(right)), Y: t.at.Y + step(by.Y, math.Abs(down)),
	})), fmt.Sprintf("nudge touch %d", t.id))
	return true
}

// touchKey answers a key of the keyboard on the photograph of cards and piles.
func (e *Easel) touchKey(key string, shift bool) bool {
	if to, ok := arrows[key]; ok {
		by := 1.0
		if shift {
			by = coarser
		}
		return e.nudgeTouch(by*to[0], by*to[1])
	}
	switch key {
	case "Enter":
		e.settle()
		e.hand.runs++
		e.hand.run = fmt.Sprintf("touch %d", e.hand.runs)
		c := e.paletteAside().crop
		if e.touchAnew(place.PhotoPoint{X: c.Width / 2, Y: c.Height / 2}) {
			e.says.news = "Touched in the middle. Move it by the arrow keys."
		}
	case "Delete", "Backspace":
		e.takeTouchAway()
	default:
		return false
	}
	return true
}

// paletteRound is what the magnified round beside a finger shows of that photograph, about
// the touch that it moves.
func (e *Easel) paletteRound() (render.Pane, bool) {
	if !e.paletteSeen() || len(e.hand.down) == 0 || e.hand.doing != drawing {
		return render.Pane{}, false
	}
	t, touched := e.touchOf(e.palette.moves)
	seen, is := e.palettePropped()
	if !touched || !is {
		return render.Pane{}, false
	}
	return seen.about(t.at), true
}

// typeTouch takes the value of the chosen card, or of the card that the chosen pile is to
// match; nothing typed is none.
func (e *Easel) typeTouch(text string) {
	q := &e.palette
	q.value, q.note = field{}, ""
	t, ok := e.chosenTouch()
	if !ok {
		q.value = field{refused: true, note: "Touch it on the photograph first."}
		return
	}
	if strings.TrimSpace(text) == "" {
		e.do(e.withTouched(e.touched().Valued(t.id, nil)), "")
		return
	}
	v, err := colour.ParseValue(text)
	if err != nil {
		q.value = field{refused: true, typed: text, note: refusal(&place.Problem{
			Doing: "naming the card", What: err.Error(), Wanted: "give its Munsell value from 0 to 10, or the lightness that is printed on it, as in L52",
		})}
		e.says.news = q.value.note
		return
	}
	e.do(e.withTouched(e.touched().Valued(t.id, &v)), "")
}

// pressTouch chooses a touch, or no longer.
func (e *Easel) pressTouch(id int) {
	q := &e.palette
	q.value, q.note = field{}, ""
	if _, ok := e.touchOf(id); !ok || q.chosen == id {
		id = 0
	}
	q.chosen = id
}

// pileNumber is what a pile is called: its place among the piles, from 1.
func (e *Easel) pileNumber(id int) int {
	for i, t := range e.doc().Palette.Piles {
		if t.ID == id {
			return i + 1
		}
	}
	return 0
}

// valueText is a value as it is said.
func valueText(v colour.Value) string { return fmt.Sprintf("%.3g", float64(v)) }
