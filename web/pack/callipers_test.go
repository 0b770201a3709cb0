package main

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/verdict"
)

// pictureOf decodes a photograph of testdata.
func pictureOf(t testing.TB, name string) *photo.Picture {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", filepath.FromSlash(name)))
	if err != nil {
		t.Fatal(err)
	}
	opened, err := photo.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	return opened.Picture
}

// laid are the messages that hand a picture over in two strips.
func laid(name string, p *photo.Picture, more map[string]any) []map[string]any {
	first := map[string]any{"kind": "picture", "name": name, "width": p.Width, "height": p.Height, "halved": 0}
	for key, value := range more {
		first[key] = value
	}
	half := 4 * p.Width * (p.Height / 2)
	return []map[string]any{
		first,
		{"kind": "rows", "name": name, "pixels": p.Pix[:half]},
		{"kind": "rows", "name": name, "pixels": p.Pix[half:]},
	}
}

// near says whether two values are the same, numbers within a millionth: an engine of the
// browser's has other roundings in math.Exp and math.Hypot than a processor.
func near(a, b reflect.Value) bool {
	switch {
	case a.CanFloat():
		return math.Abs(a.Float()-b.Float()) <= 1e-6*max(1, math.Abs(b.Float()))
	case a.Kind() == reflect.Struct:
		for i := range a.NumField() {
			if !near(a.Field(i), b.Field(i)) {
				return false
			}
		}
		return true
	case a.Kind() == reflect.Slice && a.Len() != b.Len():
		return false
	case a.Kind() == reflect.Slice || a.Kind() == reflect.Array:
		for i := range a.Len() {
			if !near(a.Index(i), b.Index(i)) {
				return false
			}
		}
		return true
	case a.Kind() == reflect.Pointer:
		return a.IsNil() == b.IsNil() && (a.IsNil() || near(a.Elem(), b.Elem()))
	}
	return a.Equal(b)
}

// The callipers, run by an engine that browsers have, find and compare what this program
// does, and of a reference no more than its painted part is there.
func TestCallipersAnswer(t *testing.T) {
	program, err := order{root: filepath.Join("..", "..")}.compile(callipers)
	if err != nil {
		t.Fatal(err)
	}
	reference, painting := pictureOf(t, "photo/fig-in-red-bowl.jpg"), pictureOf(t, "check/fig-on-the-easel.jpg")
	canvas := place.Size{Width: 914.4, Height: 609.6}
	steps, err := shape.EqualSteps(5)
	if err != nil {
		t.Fatal(err)
	}
	ask := verdict.Ask{Canvas: canvas, Steps: steps}
	question, err := ask.MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	crop := place.CentredCrop(reference.Size(), canvas)
	part := map[string]any{"x": crop.X, "y": crop.Y, "width": crop.Width, "height": crop.Height}
	asked := append([]map[string]any{{"kind": "check", "ask": question}}, laid("photograph", painting, nil)...)
	asked = append(asked, map[string]any{"kind": "find", "id": 7, "ask": question})
	asked = append(asked, laid("reference", reference, map[string]any{"part": part, "side": 1200})...)
	asked = append(asked,
		map[string]any{"kind": "check", "id": 8, "ask": question},
		map[string]any{"kind": "find", "ask": []byte("nothing")},
	)
	answers := answersTo(t, "callipers.js", program, asked...)
	if len(answers) != len(asked)+1 || answers[0].Kind != "ready" {
		t.Fatalf("it sends %d answers, the last %+v", len(answers), answers[len(answers)-1])
	}
	whole, err := photo.Reduced(reference, crop, 1200)
	if err != nil {
		t.Fatal(err)
	}
	want, pictures := verdict.Check(ask, whole, painting, nil)
	var found, checked verdict.Answer
	if err := found.UnmarshalBinary(answers[5].Answer); err != nil || !near(reflect.ValueOf(found.Canvas), reflect.ValueOf(want.Canvas)) || !found.Canvas.Found || answers[5].ID != 7 {
		t.Errorf("the canvas is found at %+v, %v; want %+v", found, err, want.Canvas)
	}
	a := answers[9]
	if err := checked.UnmarshalBinary(a.Answer); err != nil || !near(reflect.ValueOf(checked), reflect.ValueOf(want)) || len(checked.Slips) == 0 || len(checked.Values) == 0 {
		t.Errorf("the check answers %+v, %v; want %+v", checked, err, want)
	}
	if p := pictures.Painting; a.Width != p.Width || a.Height != p.Height || !bytes.Equal(a.Painting, p.Pix) || !bytes.Equal(a.Reference, pictures.Reference.Pix) || !a.PaintingGiven {
		t.Errorf("the pictures come in %d x %d, given away: %v; want others in %d x %d", a.Width, a.Height, a.PaintingGiven, p.Width, p.Height)
	}
	for i, failed := range map[int]bool{1: true, 9: false, 10: true} {
		if (answers[i].Failed != "") != failed {
			t.Errorf("%s is answered with %+v", answers[i].Kind, answers[i])
		}
	}
}
