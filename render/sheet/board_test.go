//go:build !js

package sheet

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
)

// hung is a study with n references beside the one on the easel, the first of them
// lying; two things are borrowed of it, one into the picture at a mark.
func hung(n int) (study.Document, *photo.Picture) {
	picture := slope(480, 360)
	d := sloped(picture, place.Size{Width: 600, Height: 450, Unit: place.Millimetre}).NamedMark(1, "mast")
	for i := range n {
		d, _ = d.Pinned(study.Reference{Name: fmt.Sprintf("harbour %d.jpg", i+1), Hash: fmt.Sprintf("%064x", i+1), Bytes: 1, Width: 300, Height: 400})
	}
	d = d.WithBorrowing(2, place.Crop{X: 10, Y: 20, Width: 200, Height: 100}, 1, "the sky from this one\nbut cooler").WithBorrowing(2, place.Crop{}, 0, "its light")
	return d, picture
}

// smallSlopes gives copies of slopes, and notes what was asked for.
func smallSlopes(asked *[]Wanted) Small {
	return func(w Wanted) (*photo.Picture, error) {
		*asked = append(*asked, w)
		return photo.Reduced(slope(300, 400), w.Part, w.Long)
	}
}

// The board shows every reference with its name, size and crop, and what is borrowed
// with its picture; copies are asked for as they are told to be wanted.
func TestTheBoardReadsBack(t *testing.T) {
	d, picture := hung(7)
	var asked []Wanted
	w, err := Of(d, picture, []string{study.SheetBoard}, smallSlopes(&asked), nil)
	if err != nil {
		t.Fatal(err)
	}
	if want := Wants(d, w.Kinds); len(want) != 9 || !slices.Equal(asked, want) {
		t.Errorf("asked for were %+v, told to be wanted %+v", asked, want)
	}
	if len(w.Board) != 8 || !w.Board[0].OnEasel || w.Board[0].Picture == nil || w.Borrowed[0].Into != "slope, at mast" || w.Borrowed[1].Into != "slope" {
		t.Errorf("on the board hang %+v, borrowed are %+v", w.Board, w.Borrowed)
	}
	// A column of A4 is 190 mm wide: three references of 59.3 mm, 200 dots to the inch.
	if long := asked[0].Long; long != 467 {
		t.Errorf("copies are %d pixels long, want 467", long)
	}
	name := file(t, written(t, w))
	if out := tool(t, "qpdf", "--check", name); strings.Contains(string(out), "WARNING") {
		t.Errorf("qpdf warns: %s", out)
	}
	text := strings.Join(strings.Fields(string(tool(t, "pdftotext", "-raw", name, "-"))), " ")
	for _, want := range []string{
		"8 references; the frame on each is its crop", "slope 480 x 360 pixels, on the easel", "harbour 7 300 x 400 pixels",
		"Borrowed", "the sky from this one but cooler", "from harbour 1, into slope, at mast", "its light from harbour 1, into slope",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the board does not say %q: %s", want, text)
		}
	}
	shown := 0
	for _, line := range strings.Split(string(tool(t, "pdfimages", "-list", name)), "\n") {
		if f := strings.Fields(line); len(f) > 8 && f[8] == "jpeg" {
			shown++
		}
	}
	if shown != 10 {
		t.Errorf("%d pictures are shown, want 10", shown)
	}
}

// A photograph that is not here leaves a frame that says so; one that cannot be read
// ends the work; a board of one is refused; two hundred have an end.
func TestBoardsThatLackSomething(t *testing.T) {
	d, picture := hung(2)
	w, err := Of(d, picture, []string{study.SheetBoard}, nil, nil)
	if err != nil || w.Board[0].Picture == nil || w.Board[1].Picture != nil || w.Borrowed[0].Picture != nil {
		t.Fatalf("without other photographs the board is %+v, %v", w.Board, err)
	}
	text := string(tool(t, "pdftotext", "-raw", file(t, written(t, w)), "-"))
	if n := strings.Count(text, "not here"); n != 4 {
		t.Errorf("%d pictures are said to be missing, want 4", n)
	}
	broken := errors.New("broken")
	if _, err := Of(d, picture, []string{study.SheetBoard}, func(Wanted) (*photo.Picture, error) { return nil, broken }, nil); !errors.Is(err, broken) {
		t.Errorf("a photograph that cannot be read gives %v", err)
	}
	alone, picture := hung(0)
	if _, err := Of(alone, picture, []string{study.SheetBoard}, nil, nil); place.Hint(err) == "" || !strings.Contains(err.Error(), "needs another reference") {
		t.Errorf("a board of one gives %v", err)
	}
	full, picture := hung(study.MostPins - 1)
	w, err = Of(full, picture, []string{study.SheetBoard}, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	pages, err := w.Pages()
	if err != nil || len(pages) < 15 || len(pages) > 40 {
		t.Errorf("%d references take %d pages, %v", study.MostPins, len(pages), err)
	}
}
