//go:build !js

package sheet

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
)

// textOf is the text of every page, with single spaces.
func textOf(t *testing.T, name string) []string {
	t.Helper()
	pages := strings.Split(string(tool(t, "pdftotext", "-raw", name, "-")), "\f")
	for i := range pages {
		pages[i] = strings.Join(strings.Fields(pages[i]), " ")
	}
	return pages[:len(pages)-1] // each ends in a form feed
}

// textsOf prints sheets of a study and gives the text of each kind.
func textsOf(t *testing.T, d study.Document, kinds []string) map[string]string {
	t.Helper()
	w, err := Of(d, slope(d.Reference.Width, d.Reference.Height), kinds, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	pages, err := w.Pages()
	if err != nil {
		t.Fatal(err)
	}
	of := map[string]string{}
	for i, text := range textOf(t, file(t, written(t, w))) {
		of[pages[i].Kind] += text + " "
	}
	return of
}

// wantText looks on every kind of sheet for what has to stand there.
func wantText(t *testing.T, d study.Document, kinds []string, want map[string][]string) {
	t.Helper()
	of := textsOf(t, d, kinds)
	for kind, list := range want {
		for _, s := range list {
			if !strings.Contains(of[kind], s) {
				t.Errorf("the %s does not say %q: %s", Title(kind), s, of[kind])
			}
		}
	}
}

// Thirds of 47.8 cm from the right and 36.8 cm from the bottom, to whole millimetres, of
// what a margin leaves of 50 x 40 cm.
func TestChalkSheetOfACanvasWithAMargin(t *testing.T) {
	d := sloped(slope(48, 36), place.Size{})
	d = d.WithCanvas(place.Size{Width: 500, Height: 400, Unit: place.Centimetre}, "")
	d, err := d.WithBorder(place.Border{Margin: place.Sides{Left: 10, Top: 20, Right: 12, Bottom: 12}})
	if err != nil {
		t.Fatal(err)
	}
	d.Lines.From = place.Edges{Right: true, Bottom: true}
	wantText(t, d, []string{study.SheetChalk}, map[string][]string{study.SheetChalk: {
		"What is painted begins 1.2 cm inside the right edge and 1.2 cm inside the bottom edge of the canvas: lay out its edges first.",
		"bottom 1: 159 mm 0.3 mm short", "right 2: 245 mm 0.3 mm short", // 159 1/3 and 245 1/3
	}})
}

// Every page says where its figures begin; where marks and chalk list begin elsewhere, both
// say so, and else neither does.
func TestOriginsAreSaid(t *testing.T) {
	d := sloped(slope(48, 36), place.Size{Width: 36 * 25.4, Height: 24 * 25.4, Unit: place.Inch})
	d = d.WithFrom(place.Edges{Bottom: true})
	kinds := []string{study.SheetReference, study.SheetChalk, study.SheetMarks}
	own := map[string][]string{
		study.SheetReference: {", measured from the left and the top"},
		study.SheetChalk:     {"Measured from the left and the top of what is painted, 36 in x 24 in"},
		study.SheetMarks:     {"; marks are measured from the left and the bottom of the canvas"},
	}
	chalk, marks := "Marks on their own sheet begin elsewhere: they are measured from the left and the bottom of the canvas.", "The chalk list begins elsewhere: it is measured from the left and the top of what is painted."
	wantText(t, d, kinds, own)
	wantText(t, d, kinds, map[string][]string{study.SheetChalk: {chalk}, study.SheetMarks: {marks}})
	margin, err := d.WithFrom(place.Edges{}).WithBorder(place.Border{Margin: place.Sides{Left: 25.4, Top: 25.4, Right: 25.4, Bottom: 25.4}})
	if err != nil {
		t.Fatal(err)
	}
	wantText(t, margin, kinds, map[string][]string{study.SheetChalk: {"begin elsewhere"}, study.SheetMarks: {marks}})
	for what, same := range map[string]struct {
		d     study.Document
		kinds []string
	}{"the same origin": {d.WithFrom(place.Edges{}), kinds}, "marks alone": {d, kinds[2:]}, "no marks": {d, kinds[:2]}} {
		for kind, text := range textsOf(t, same.d, same.kinds) {
			if strings.Contains(text, "elsewhere") {
				t.Errorf("with %s the %s says %s", what, Title(kind), text)
			}
		}
	}
}

// One print tells one value and one share of a step, on the value plan and on the palette
// chart, and those that the screen tells: of the photograph's own pixels, which are black
// and white here and grey on the copy, and of what the step is shown as.
func TestStepsAreToldAlike(t *testing.T) {
	d := sloped(photo.New(2400, 1800), place.Size{Width: 600, Height: 450, Unit: place.Millimetre})
	noise := photo.New(2400, 1800)
	random := rand.New(rand.NewPCG(1, 2))
	for i := 0; i < len(noise.Pix); i += 4 {
		v := byte(random.IntN(10) / 7 * 255)
		noise.Pix[i], noise.Pix[i+1], noise.Pix[i+2], noise.Pix[i+3] = v, v, v, 255
	}
	for _, clean := range []bool{false, true} {
		f := d.Finding
		f.Clean = clean
		d := d.WithFinding(f)
		w, err := Of(d, noise, []string{study.SheetValues, study.SheetPalette}, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		pages := textOf(t, file(t, written(t, w)))
		for k, want := range []string{"70 %", "none", "none", "none", "30 %"} {
			value := fmt.Sprintf("value %.1f", float64(d.Look.Flat().Shown(k+1).Value()))
			if on := fmt.Sprintf("%d, %s %s", k+1, want, value); !strings.Contains(pages[0], on) {
				t.Errorf("clean %v: the value plan does not say %q: %s", clean, on, pages[0])
			}
			if on := fmt.Sprintf("Step %d %s %s", k+1, value, want); !strings.Contains(pages[1], on) {
				t.Errorf("clean %v: the palette chart does not say %q: %s", clean, on, pages[1])
			}
		}
	}
}
