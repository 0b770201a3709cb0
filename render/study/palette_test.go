package study

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/place"
)

// Cards and piles are touched at the centres of pixels, moved, named and taken away, each
// a step to undo; their numbers are never used twice.
func TestPaletteIsTouched(t *testing.T) {
	bare := fresh()
	if d, id := bare.Palette.WithCard(place.PhotoPoint{X: 1, Y: 1}, nil); id != 0 || !reflect.DeepEqual(d, bare.Palette) {
		t.Error("without a photograph a card is touched")
	}
	shot := reference()
	shot.Hash = strings.Repeat("ef", 32)
	h := NewHistory(bare.WithPalette(shot))
	two := colour.Value(2)
	p, first := h.Now().Palette.WithCard(place.PhotoPoint{X: 10.2, Y: -5}, nil)
	h.Do(h.Now().Touched(p.Valued(first, &two)), "")
	p, second := h.Now().Palette.WithPile(place.PhotoPoint{X: 1e9, Y: 20})
	h.Do(h.Now().Touched(p.Moved(second, place.PhotoPoint{X: 7, Y: 8}).Valued(second, &two)), "")
	want := Palette{Photograph: &shot, Cards: []CardTouch{{1, 10.5, 0.5, &two}}, Piles: []PileTouch{{2, 7.5, 8.5, &two}}, Next: 3}
	if got := h.Now().Palette; !reflect.DeepEqual(got, want) {
		t.Errorf("the palette is %+v, want %+v", got, want)
	}
	if at := bare.WithPalette(shot).Palette.Photograph; at.Width == 0 || len(h.Now().References()) != 2 {
		t.Errorf("the photographs of the study are %+v", h.Now().References())
	}
	h.Undo()
	p, third := h.Now().Palette.WithPile(place.PhotoPoint{X: 1, Y: 1})
	if third != 3 || len(p.Piles) != 1 {
		t.Errorf("after undoing the second touch the next has number %d", third)
	}
	if p = p.Without(third).Without(first); len(p.Cards)+len(p.Piles) != 0 {
		t.Errorf("taken away, there are %+v", p)
	}
	d := h.Now().Touched(p)
	if again := d.WithPalette(shot).Palette; again.Next != 4 || len(again.Cards) != 0 {
		t.Errorf("with another photograph the palette is %+v", again)
	}
	for range MostCardTouches {
		p, _ = p.WithCard(place.PhotoPoint{X: 1, Y: 1}, nil)
	}
	d = d.Touched(p)
	if _, id := p.WithCard(place.PhotoPoint{X: 1, Y: 1}, nil); id != 0 || d.Check() != nil {
		t.Errorf("beyond the last card one more has number %d, %v", id, d.Check())
	}
	if moved := p.Moved(p.Cards[0].ID, place.PhotoPoint{X: math.NaN()}); !reflect.DeepEqual(moved, p) {
		t.Error("a card is moved to no place")
	}
}

// Cards lie on the photograph of a note, beside those of the palette, and change nothing
// of the note else; where there is no photograph there are none.
func TestCardsLieOnThePhotographOfANote(t *testing.T) {
	d, two := onLog(), colour.Value(2)
	p, first := d.Log[1].Shown().WithCard(place.PhotoPoint{X: 10.2, Y: 20}, &two)
	p, second := p.WithCard(place.PhotoPoint{X: 30, Y: 1e9}, nil)
	before := d
	d = check(t, d.TouchedOn(2, p))
	if want := []CardTouch{{first, 10.5, 20.5, &two}, {second, 30.5, float64(reference().Height) - 0.5, nil}}; first != 1 || second != 2 || !reflect.DeepEqual(d.Log[1].Cards, want) {
		t.Errorf("cards are %+v, want %+v", d.Log[1].Cards, want)
	}
	if len(before.Log[1].Cards) != 0 || len(d.Log[2].Cards) != 0 || len(d.Palette.Cards) != 0 || !reflect.DeepEqual(d.Log[1].Shown(), p) {
		t.Errorf("before there were %+v, and there are %+v", before.Log, d.Log)
	}
	if none := d.TouchedOn(1, p).TouchedOn(9, p); !reflect.DeepEqual(none, d) {
		t.Errorf("cards lie on nothing: %+v", none.Log)
	}
	if _, id := d.Log[0].Shown().WithCard(place.PhotoPoint{X: 1, Y: 1}, nil); id != 0 {
		t.Error("without a photograph a card is touched")
	}
	if d = check(t, d.TouchedOn(2, p.Without(first))); len(d.Log[1].Cards) != 1 || d.Log[1].Shown().Next != 3 {
		t.Errorf("left are %+v", d.Log[1].Shown())
	}
}

func TestPaletteIsHeldToItsRules(t *testing.T) {
	eleven := colour.Value(11)
	for what, spoil := range map[string]func(p *Palette){
		"no photograph":        func(p *Palette) { p.Photograph = nil },
		"no list of cards":     func(p *Palette) { p.Cards = nil },
		"no list of piles":     func(p *Palette) { p.Piles = nil },
		"a number twice":       func(p *Palette) { p.Piles[0].ID = p.Cards[0].ID },
		"a number never given": func(p *Palette) { p.Cards[0].ID = p.Next },
		"no next number":       func(p *Palette) { p.Next = 0 },
		"off the photograph":   func(p *Palette) { p.Cards[0].X = 1e6 },
		"no number":            func(p *Palette) { p.Piles[0].Y = math.NaN() },
		"value 11":             func(p *Palette) { p.Piles[1].Card = &eleven },
		"a photograph of none": func(p *Palette) { r := *p.Photograph; r.Width = 0; p.Photograph = &r },
	} {
		d := onPalette(fresh())
		if err := d.Check(); err != nil {
			t.Fatal(err)
		}
		spoil(&d.Palette)
		if d.Check() == nil {
			t.Errorf("%s: it is let by", what)
		}
	}
}
