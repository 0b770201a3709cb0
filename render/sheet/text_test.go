//go:build !js

package sheet

import (
	"strings"
	"testing"

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

// wantText prints sheets of a study and looks on every page for what has to stand there.
func wantText(t *testing.T, d study.Document, kinds []string, want map[string][]string) {
	t.Helper()
	w, err := Of(d, slope(d.Reference.Width, d.Reference.Height), kinds, nil)
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
