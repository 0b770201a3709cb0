package web_test

import (
	"fmt"
	"image"
	"os"
	"path/filepath"
	"testing"

	"maulstick/render/colour"
)

// Cards that cannot be right are refused with the reason and what helps, and no figure is
// told; a photograph that cannot be opened changes nothing.
func TestCardsRefused(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	p := b.open(landscape, s.url())
	p.settle()
	p.press("tray-check")
	p.press("part-cards")
	white, grey5, grey9 := colour.SRGB{R: 255, G: 255, B: 255}, greyOf(5), greyOf(9)
	for i, c := range []struct {
		what  string
		cards []colour.SRGB
		light float64
		names []string
		says  string
	}{
		{"out of order", nil, 1, []string{"9", "5", "2"}, "out of order"},
		{"of another value", []colour.SRGB{greyOf(2), greyOf(6.8), grey9}, 1, []string{"2", "5", "9"}, "does not fit the others"},
		{"coloured", []colour.SRGB{greyOf(2), {R: 150, G: 110, B: 90}, grey9}, 1, []string{"2", "5", "9"}, "not grey"},
		{"too alike", []colour.SRGB{grey5, greyOf(5.6)}, 1, []string{"5", "5.6"}, "too alike"},
		{"clipped", []colour.SRGB{greyOf(2), grey5, white}, 1 / paletteLight, []string{"2", "5", "9.5"}, "clipped"},
		{"uneven", nil, 1, []string{"2", "5", "9"}, "uneven"},
	} {
		path := spoiltPalette(t, fmt.Sprintf("%d.png", i), c.light, c.what == "uneven", c.cards...)
		p.givePalette(path)
		p.touchCards(c.names...)
		p.says(t, "cards-verdict", "cannot be used")
		p.says(t, "cards-told", c.says)
		if text := p.text("cards-told"); !inSentences(text) {
			t.Errorf("%s: the page says %q", c.what, text)
		}
		if a := p.snapshot().Palette.Answer; a.Cards != nil || a.Wrong == "" || a.Wanted == "" {
			t.Errorf("%s: the answer is %+v", c.what, a)
		}
		if !eval[bool](p, `document.getElementById('key-cards-use').disabled`) {
			t.Errorf("%s: cards that were refused can be made the study's", c.what)
		}
	}
	before := p.snapshot().Study.Palette
	p.chooseIn("palette-file", writeText(t, "no photograph.png"))
	p.await("it is refused", `!document.getElementById('message').hidden && document.getElementById('message-text').textContent.length > 20`)
	if a, b := asText(t, before), asText(t, p.snapshot().Study.Palette); a != b {
		t.Errorf("the palette goes from %s to %s", a, b)
	}
}

func writeText(t *testing.T, name string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte("these are only words"), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// spoiltPalette is the photograph of the palette in more light, with a shadow over the
// middle of its second card if it is to be uneven.
func spoiltPalette(t *testing.T, name string, light float64, uneven bool, cards ...colour.SRGB) string {
	t.Helper()
	m := decodedFile(t, writePalette(t, name, cards...)).(*image.RGBA)
	shade := int(cardsShown[1].middle().X)
	for y := range paletteHeight {
		for x := range paletteWidth {
			by := light
			if uneven && x >= shade && x < shade+40 {
				by /= 2
			}
			for k := range 3 {
				v := &m.Pix[m.PixOffset(x, y)+k]
				*v = colour.Encode(min(colour.Decode(*v)*by, 1))
			}
		}
	}
	return writeAs(t, name, m)
}
