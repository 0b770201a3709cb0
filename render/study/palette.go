package study

import (
	"errors"
	"fmt"
	"slices"

	"maulstick/render/colour"
	"maulstick/render/place"
)

// Palette is a photograph that shows the painter's grey cards, and the piles that are
// mixed beside them, and where each was touched on it.
type Palette struct {
	Photograph *Reference  `json:"photograph"` // null for none, and then nothing is touched
	Cards      []CardTouch `json:"cards"`
	Piles      []PileTouch `json:"piles"`
	Next       int         `json:"next"` // the number of the next touch
}

// CardTouch is a grey card as it was touched.
type CardTouch struct {
	ID    int           `json:"id"` // of a palette never used twice in a study, from 1
	X     float64       `json:"x_px"`
	Y     float64       `json:"y_px"`
	Value *colour.Value `json:"munsell_value"` // null while it has not been named
}

// PileTouch is a mixed pile as it was touched.
type PileTouch struct {
	ID   int           `json:"id"` // never used twice in a study, not by a card either
	X    float64       `json:"x_px"`
	Y    float64       `json:"y_px"`
	Card *colour.Value `json:"card_munsell_value"` // that it is to match; null for that of its nearest planned pile
}

// The limits of a palette: cards are of five values at most, some of them shown twice.
const (
	MostCardTouches = 18
	MostPileTouches = 100
)

func newPalette() Palette { return Palette{Cards: []CardTouch{}, Piles: []PileTouch{}, Next: 1} }

// WithPalette is the study with another photograph of its cards and piles, on which
// nothing is touched yet.
func (d Document) WithPalette(photograph Reference) Document {
	photograph.Name = tidy(photograph.Name)
	next := d.Palette.Next
	d.Palette = newPalette()
	d.Palette.Photograph, d.Palette.Next = &photograph, next
	return d
}

// onPixel is the centre of the pixel of the photograph that is nearest to a place; ok is
// false without a photograph, and for what is no place.
func (p Palette) onPixel(at place.PhotoPoint) (x, y float64, ok bool) {
	r := p.Photograph
	if r == nil || !finite(at.X) || !finite(at.Y) {
		return 0, 0, false
	}
	centre := func(v float64, side int) float64 { return float64(int(min(max(v, 0), float64(side-1)))) + 0.5 }
	return centre(at.X, r.Width), centre(at.Y, r.Height), true
}

// WithCard is the palette with a grey card touched, of a value or, for nil, of one that is
// not named yet; id is its number, 0 where there is no more room.
func (p Palette) WithCard(at place.PhotoPoint, value *colour.Value) (touched Palette, id int) {
	x, y, ok := p.onPixel(at)
	if !ok || len(p.Cards) >= MostCardTouches {
		return p, 0
	}
	p.Cards = append(slices.Clone(p.Cards), CardTouch{ID: p.Next, X: x, Y: y, Value: value})
	p.Next++
	return p, p.Next - 1
}

// WithPile is the palette with a pile touched; id is its number, 0 where there is no more
// room.
func (p Palette) WithPile(at place.PhotoPoint) (touched Palette, id int) {
	x, y, ok := p.onPixel(at)
	if !ok || len(p.Piles) >= MostPileTouches {
		return p, 0
	}
	p.Piles = append(slices.Clone(p.Piles), PileTouch{ID: p.Next, X: x, Y: y})
	p.Next++
	return p, p.Next - 1
}

// Moved is the palette with a card or a pile touched elsewhere.
func (p Palette) Moved(id int, at place.PhotoPoint) Palette {
	x, y, ok := p.onPixel(at)
	if !ok {
		return p
	}
	p.Cards, p.Piles = slices.Clone(p.Cards), slices.Clone(p.Piles)
	for i := range p.Cards {
		if p.Cards[i].ID == id {
			p.Cards[i].X, p.Cards[i].Y = x, y
		}
	}
	for i := range p.Piles {
		if p.Piles[i].ID == id {
			p.Piles[i].X, p.Piles[i].Y = x, y
		}
	}
	return p
}

// Valued is the palette with a card of another value, or a pile that is to match another
// card; nil for a card without a name, or the card of the nearest planned pile.
func (p Palette) Valued(id int, value *colour.Value) Palette {
	p.Cards, p.Piles = slices.Clone(p.Cards), slices.Clone(p.Piles)
	for i := range p.Cards {
		if p.Cards[i].ID == id {
			p.Cards[i].Value = value
		}
	}
	for i := range p.Piles {
		if p.Piles[i].ID == id {
			p.Piles[i].Card = value
		}
	}
	return p
}

// Without is the palette without a touch of a card or a pile.
func (p Palette) Without(id int) Palette {
	p.Cards = slices.DeleteFunc(slices.Clone(p.Cards), func(c CardTouch) bool { return c.ID == id })
	p.Piles = slices.DeleteFunc(slices.Clone(p.Piles), func(t PileTouch) bool { return t.ID == id })
	return p
}

// Touched is the study with other touches on the photograph of its cards and piles.
func (d Document) Touched(p Palette) Document {
	p.Photograph = d.Palette.Photograph
	d.Palette = p
	return d
}

// Shown is what is touched on the photograph of a note: grey cards that were photographed
// with the canvas, and no piles.
func (e Entry) Shown() Palette {
	p := newPalette()
	p.Photograph, p.Cards = e.Photograph, e.Cards
	for _, c := range e.Cards {
		p.Next = max(p.Next, c.ID+1)
	}
	return p
}

// TouchedOn is the study with other grey cards touched on the photograph of a note.
func (d Document) TouchedOn(entry int, p Palette) Document {
	return d.onPhotograph(entry, func(e *Entry) { e.Cards = p.Cards })
}

func (d Document) checkPalette() error {
	if err := d.Palette.check(); err != nil {
		return fmt.Errorf("the palette: %w", err)
	}
	return nil
}

// check holds a photograph and what is touched on it to the rules.
func (p Palette) check() error {
	switch {
	case p.Cards == nil || len(p.Cards) > MostCardTouches:
		return fmt.Errorf("%d touched cards are not 0 to %d", len(p.Cards), MostCardTouches)
	case p.Piles == nil || len(p.Piles) > MostPileTouches:
		return fmt.Errorf("%d touched piles are not 0 to %d", len(p.Piles), MostPileTouches)
	case p.Next < 1 || p.Next > highest:
		return fmt.Errorf("next %d of touches is not 1 to %d", p.Next, highest)
	case p.Photograph == nil && len(p.Cards)+len(p.Piles) > 0:
		return errors.New("cards or piles are touched on no photograph")
	case p.Photograph == nil:
		return nil
	}
	if err := p.Photograph.check(); err != nil {
		return err
	}
	seen := map[int]bool{}
	for _, c := range p.Cards {
		if err := p.checkTouch(c.ID, c.X, c.Y, c.Value, seen); err != nil {
			return err
		}
	}
	for _, t := range p.Piles {
		if err := p.checkTouch(t.ID, t.X, t.Y, t.Card, seen); err != nil {
			return err
		}
	}
	return nil
}

// checkTouch holds one touch to the rules, and notes its number.
func (p Palette) checkTouch(id int, x, y float64, value *colour.Value, seen map[int]bool) error {
	switch {
	case id < 1 || id >= p.Next || seen[id]:
		return fmt.Errorf("touch number %d is used twice or was never given", id)
	case !within(x, 0, float64(p.Photograph.Width)) || !within(y, 0, float64(p.Photograph.Height)):
		return fmt.Errorf("touch %d at %v, %v is not on its photograph", id, x, y)
	case value != nil && !within(float64(*value), 0, 10):
		return fmt.Errorf("touch %d has value %v, which is not 0 to 10", id, float64(*value))
	}
	seen[id] = true
	return nil
}
