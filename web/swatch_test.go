package web_test

import (
	"image"
	"image/color"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/place"
)

// The photograph of a palette that the page is given: grey cards of the values 2, 5 and 9,
// the first once more at the other end, and below them piles of the colours of five
// patches of the ColorChecker as published for sRGB, on wood, at three fifths of the light
// and with a tenth more of it at the right than at the left.
const (
	paletteWidth, paletteHeight = 1200, 900
	paletteLight, paletteRise   = 0.6, 0.1
)

// swatch is a card or a pile on that photograph, about the middle of which it is touched.
type swatch struct {
	x, y, width, height int
	colour              colour.SRGB
}

func (s swatch) middle() place.PhotoPoint {
	return place.PhotoPoint{X: float64(s.x) + float64(s.width)/2, Y: float64(s.y) + float64(s.height)/2}
}

var (
	cardsShown = []swatch{
		{60, 80, 160, 120, greyOf(2)}, {360, 80, 160, 120, greyOf(5)}, {660, 80, 160, 120, greyOf(9)}, {960, 80, 160, 120, greyOf(2)},
	}
	pilesShown = []swatch{
		{80, 400, 130, 110, colour.SRGB{R: 115, G: 82, B: 68}}, {330, 420, 120, 100, colour.SRGB{R: 98, G: 122, B: 157}},
		{560, 400, 140, 120, colour.SRGB{R: 214, G: 126, B: 44}}, {800, 410, 110, 110, colour.SRGB{R: 175, G: 54, B: 60}},
		{1000, 600, 120, 140, colour.SRGB{R: 122, G: 122, B: 121}},
	}
)

func greyOf(v colour.Value) colour.SRGB { return colour.GreyOf(v.Luminance().Lightness()) }

// writePalette writes the photograph as a PNG, with cards of other colours if some are
// given.
func writePalette(t testing.TB, name string, cards ...colour.SRGB) string {
	t.Helper()
	shown := slices.Clone(cardsShown)
	for i, c := range cards {
		shown[i].colour = c
	}
	shown = append(shown, pilesShown...)
	rng := rand.New(rand.NewPCG(5, 9))
	m := image.NewRGBA(image.Rect(0, 0, paletteWidth, paletteHeight))
	for y := range paletteHeight {
		for x := range paletteWidth {
			streak := 14*math.Sin(float64(y)/5+3*math.Sin(float64(x)/90)) + 6*rng.NormFloat64()
			c := [3]float64{140 + streak, 104 + streak, 72 + streak}
			for _, s := range shown {
				if x >= s.x && x < s.x+s.width && y >= s.y && y < s.y+s.height {
					grain := rng.NormFloat64()
					c = [3]float64{float64(s.colour.R) + grain, float64(s.colour.G) + grain, float64(s.colour.B) + grain}
				}
			}
			light := paletteLight * math.Pow(1+paletteRise, float64(x)/paletteWidth)
			var code [3]uint8
			for k, v := range c {
				code[k] = colour.Encode(colour.Decode(uint8(math.Round(min(max(v, 0), 255)))) * light)
			}
			m.SetRGBA(x, y, color.RGBA{R: code[0], G: code[1], B: code[2], A: 255})
		}
	}
	return writeAs(t, name, m)
}

func writeAs(t testing.TB, name string, m image.Image) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	file, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	if err := png.Encode(file, m); err != nil {
		t.Fatal(err)
	}
	return path
}

// givePalette has the page take a photograph of cards and piles; the part is in sight.
func (p *tab) givePalette(path string) {
	p.t.Helper()
	p.chooseIn("palette-file", path)
	p.await("the photograph is taken", `window.maulstick.snapshot().study.palette.photograph?.name === %s`, filepath.Base(path))
	p.await("nothing is being opened", `document.getElementById('message').hidden`)
	p.settle()
}

// onPalette is where a place of that photograph is seen, worked out from the sizes.
func (p *tab) onPalette(at place.PhotoPoint) spot {
	p.t.Helper()
	s, over := p.snapshot(), p.boxOf("overlay")
	v := render.Fit(place.Crop{Width: paletteWidth, Height: paletteHeight}, s.Area.Width, s.Area.Height, 14)
	v.Mirror, v.Turned = s.Study.View.Mirror, s.Study.View.Turned
	x, y := v.ToScreen(at)
	return spot{over.X + x, over.Y + y}
}

// read waits until what is touched has been read.
func (p *tab) readPalette() {
	p.t.Helper()
	p.await("the photograph is read", `((q) => q && !q.busy)(window.maulstick.snapshot().palette)`)
	p.settle()
}

// touchCards touches the cards and names each; a value may be typed as it is printed.
func (p *tab) touchCards(names ...string) {
	p.t.Helper()
	before := len(p.snapshot().Study.Palette.Cards)
	for i, name := range names {
		p.tapAlone(p.onPalette(cardsShown[i].middle()))
		p.await("a card is touched", `window.maulstick.snapshot().study.palette.cards.length === %s`, before+i+1)
		p.fill("card-value", name)
	}
	p.readPalette()
}

// fillCards and fillPalette fill the parts with what they can hold.
func (p *tab) fillCards() {
	p.t.Helper()
	p.givePalette(writePalette(p.t, "palette.png"))
	p.touchCards("2", "5", "9", "2")
}

func (p *tab) fillPalette() {
	p.t.Helper()
	p.touchPiles()
	p.press("palette-find")
	p.readPalette()
}

// touchPiles touches the piles.
func (p *tab) touchPiles() {
	p.t.Helper()
	for i, s := range pilesShown {
		p.tapAlone(p.onPalette(s.middle()))
		p.await("a pile is touched", `window.maulstick.snapshot().study.palette.piles.length === %s`, i+1)
	}
	p.readPalette()
}
