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
	if d, id := bare.WithCardTouch(place.PhotoPoint{X: 1, Y: 1}, nil); id != 0 || !reflect.DeepEqual(d, bare) {
		t.Error("without a photograph a card is touched")
	}
	shot := reference()
	shot.Hash = strings.Repeat("ef", 32)
	h := NewHistory(bare.WithPalette(shot))
	two := colour.Value(2)
	d, first := h.Now().WithCardTouch(place.PhotoPoint{X: 10.2, Y: -5}, nil)
	h.Do(d.ValuedTouch(first, &two), "")
	d, second := h.Now().WithPileTouch(place.PhotoPoint{X: 1e9, Y: 20})
	h.Do(d.MovedTouch(second, place.PhotoPoint{X: 7, Y: 8}).ValuedTouch(second, &two), "")
	want := Palette{Photograph: &shot, Cards: []CardTouch{{1, 10.5, 0.5, &two}}, Piles: []PileTouch{{2, 7.5, 8.5, &two}}, Next: 3}
	if got := h.Now().Palette; !reflect.DeepEqual(got, want) {
		t.Errorf("the palette is %+v, want %+v", got, want)
	}
	if at := bare.WithPalette(shot).Palette.Photograph; at.Width == 0 || len(h.Now().References()) != 2 {
		t.Errorf("the photographs of the study are %+v", h.Now().References())
	}
	h.Undo()
	d, third := h.Now().WithPileTouch(place.PhotoPoint{X: 1, Y: 1})
	if third != 3 || len(d.Palette.Piles) != 1 {
		t.Errorf("after undoing the second touch the next has number %d", third)
	}
	if d = d.WithoutTouch(third).WithoutTouch(first); len(d.Palette.Cards)+len(d.Palette.Piles) != 0 {
		t.Errorf("taken away, there are %+v", d.Palette)
	}
	if again := d.WithPalette(shot).Palette; again.Next != 4 || len(again.Cards) != 0 {
		t.Errorf("with another photograph the palette is %+v", again)
	}
	for range MostCardTouches {
		d, _ = d.WithCardTouch(place.PhotoPoint{X: 1, Y: 1}, nil)
	}
	if _, id := d.WithCardTouch(place.PhotoPoint{X: 1, Y: 1}, nil); id != 0 || d.Check() != nil {
		t.Errorf("beyond the last card one more has number %d, %v", id, d.Check())
	}
	if moved := d.MovedTouch(1, place.PhotoPoint{X: math.NaN()}); !reflect.DeepEqual(moved, d) {
		t.Error("a card is moved to no place")
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
