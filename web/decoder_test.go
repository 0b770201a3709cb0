package web_test

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"slices"
	"testing"

	"maulstick/render/photo"
	"maulstick/render/shape"
	"maulstick/render/sheet"
	"maulstick/render/study"
)

// decoded is a photograph of the page as the browser decodes it.
func (p *tab) decoded(url string) *photo.Picture {
	p.t.Helper()
	text := eval[string](p, `(async () => {
		const bitmap = await createImageBitmap(await (await fetch(%s)).blob());
		const canvas = document.createElement('canvas');
		canvas.width = bitmap.width;
		canvas.height = bitmap.height;
		canvas.getContext('2d', {colorSpace: 'srgb', alpha: false}).drawImage(bitmap, 0, 0);
		return canvas.toDataURL('image/png').split(',')[1];
	})()`, url)
	data, err := base64.StdEncoding.DecodeString(text)
	p.must(err)
	stored, err := png.Decode(bytes.NewReader(data))
	p.must(err)
	upright := image.NewRGBA(stored.Bounds())
	draw.Draw(upright, upright.Rect, stored, image.Point{}, draw.Src)
	return &photo.Picture{Width: upright.Rect.Dx(), Height: upright.Rect.Dy(), Pix: upright.Pix}
}

// onPaper is the piles of a study's palette chart, as the Colour tray lists them.
func onPaper(t *testing.T, d study.Document, picture *photo.Picture) []string {
	t.Helper()
	w, err := sheet.Of(d, picture, []string{study.SheetPalette}, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	var rows []string
	for k, step := range w.Piles {
		for _, p := range step.Piles {
			rows = append(rows, fmt.Sprintf("Step %d: %s, value %.1f, %s", k+1, p.Name, float64(p.Munsell.Value), shape.ShareText(p.Share)))
		}
	}
	return rows
}

// TestPilesOnPaperAreTheTrays holds the palette chart that is printed to the Colour tray:
// of the pixels that the browser decodes both list the same piles, however many a step.
// The command decodes a JPEG otherwise, and how far its piles lie off is told.
func TestPilesOnPaperAreTheTrays(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	p := b.open(landscape, s.url())
	p.settle()
	browsers, own := p.decoded("demo.jpg"), read(t, demo).Picture()
	p.openPart("colour", "piles")
	p.settleAnswered()
	for _, keys := range [][]string{nil, {"each-more"}, {"each-fewer", "each-fewer"}} {
		for _, key := range keys {
			p.press(key)
		}
		p.settleAnswered()
		tray := eval[[]string](p, `[...document.querySelectorAll('#piles-rows button span')].map((e) => e.textContent)`)
		d := *p.snapshot().Study
		if paper := onPaper(t, d, browsers); len(tray) < 5 || !slices.Equal(tray, paper) {
			t.Errorf("the tray lists\n%q\nand the palette chart\n%q", tray, paper)
		}
		others := onPaper(t, d, own)
		off := 0
		for _, row := range others {
			if !slices.Contains(tray, row) {
				off++
				t.Logf("only the command has %s", row)
			}
		}
		t.Logf("of the %d piles that the command finds %d are other than the page's %d", len(others), off, len(tray))
	}
}
