package main

import (
	"path/filepath"
	"reflect"
	"testing"

	"maulstick/render/card"
	"maulstick/render/colour"
	"maulstick/render/palette"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// The callipers read cards and piles as this program does, and say what is not there.
func TestCallipersReadPalettes(t *testing.T) {
	program, err := order{root: filepath.Join("..", "..")}.compile(callipers)
	if err != nil {
		t.Fatal(err)
	}
	p := photo.New(720, 240)
	colours := []colour.SRGB{{R: 48, G: 48, B: 48}, {R: 118, G: 118, B: 118}, {R: 226, G: 226, B: 226}, {R: 115, G: 82, B: 68}, {R: 98, G: 122, B: 157}, {R: 20, G: 90, B: 30}}
	for i := range p.Width * p.Height {
		c := colours[i%p.Width/60%len(colours)]
		copy(p.Pix[4*i:], []byte{c.R, c.G, c.B, 255})
	}
	at := func(i int) place.PhotoPoint { return place.PhotoPoint{X: 60*float64(i) + 30.5, Y: 120.5} }
	ask := palette.Ask{
		Cards: []card.Card{{Value: 2, At: at(0)}, {Value: 5, At: at(1)}, {Value: 9, At: at(2)}}, Step: 20, Find: true,
		Piles: []palette.Touch{{At: at(3)}, {At: at(4)}},
		Plan:  []palette.Step{{Value: 3, Piles: []palette.Pile{{Colour: colour.SRGB{R: 120, G: 80, B: 60}, Name: "brown"}}}},
	}
	question, err := ask.MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	asked := append([]map[string]any{{"kind": "palette", "ask": question}}, laid("photograph", p, nil)...)
	asked = append(asked,
		map[string]any{"kind": "palette", "id": 5, "ask": question},
		map[string]any{"kind": "palette", "ask": question[1:]},
	)
	answers := answersTo(t, "callipers.js", program, asked...)
	if len(answers) != len(asked)+1 {
		t.Fatalf("it sends %d answers, the last %+v", len(answers), answers[len(answers)-1])
	}
	want := palette.Read(p, ask)
	var got palette.Answer
	if err := got.UnmarshalBinary(answers[5].Answer); err != nil || answers[5].ID != 5 || !near(reflect.ValueOf(got), reflect.ValueOf(want)) || got.Cards == nil || len(got.Piles) != 2 || len(got.Found) != 12 {
		t.Errorf("it answers %+v, %v; want %+v", got, err, want)
	}
	if answers[6].Failed == "" || answers[1].Failed == "" {
		t.Errorf("what is no question is answered with %+v, without a photograph with %+v", answers[6], answers[1])
	}
}
