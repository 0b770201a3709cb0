package easel

import (
	"math"
	"slices"
	"strings"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/palette"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
)

// paletteReference is a photograph of cards and piles, 1000 x 600 pixels: in the area of
// 900 x 700 it is seen at 0.872 of its size, its top left corner at 14 and 88.4.
func paletteReference() study.Reference {
	return study.Reference{Name: "palette.png", Hash: strings.Repeat("ef", 32), Bytes: 10, Width: 1000, Height: 600}
}

func onPaletteScreen(x, y float64) (sx, sy float64) {
	const scale = (900.0 - 28) / 1000
	return 14 + x*scale, 350 + (y-300)*scale
}

// atCards has the photograph in sight, in the part about cards.
func atCards(t *testing.T) *bench {
	b := atWork(t, 1)
	b.press("tray-check", "part-cards")
	b.PaletteTaken(paletteReference())
	b.laysPalette()
	return b
}

// laysPalette answers the newest Lay with a small copy of half the size.
func (b *bench) laysPalette() {
	b.t.Helper()
	last := b.lays[len(b.lays)-1]
	if last.r.Hash != paletteReference().Hash {
		b.t.Fatalf("laid was %+v", last)
	}
	b.Laid(last.id, smallCopy(500, 300))
}

// touchAt touches a place of the photograph.
func (b *bench) touchPalette(x, y float64) {
	b.t.Helper()
	b.tap(Touch, first(onPaletteScreen(x, y)), second(onPaletteScreen(x, y)))
}

func first(a, _ float64) float64  { return a }
func second(_, b float64) float64 { return b }

// readsPalette answers the newest ReadPalette as the callipers do, about a photograph of
// cards of the values that were asked about; every pile is value 5, half a step of five
// lighter than a card of 4.
func (b *bench) readsPalette() palette.Ask {
	b.t.Helper()
	if len(b.read) == 0 {
		b.t.Fatal("nothing was to be read")
	}
	last := b.read[len(b.read)-1]
	p := photo.New(1000, 600)
	paint := func(at place.PhotoPoint, c colour.SRGB) {
		for y := max(int(at.Y)-30, 0); y < min(int(at.Y)+30, 600); y++ {
			for x := max(int(at.X)-30, 0); x < min(int(at.X)+30, 1000); x++ {
				copy(p.Pix[4*(y*1000+x):], []byte{c.R, c.G, c.B, 255})
			}
		}
	}
	for i := range p.Pix {
		p.Pix[i] = byte(40 + 90*(i/4%2)) // nothing of it is even
	}
	for _, c := range last.ask.Cards {
		paint(c.At, colour.GreyOf(c.Value.Luminance().Lightness()))
	}
	for _, t := range last.ask.Piles {
		paint(t.At, colour.GreyOf(colour.Value(5).Luminance().Lightness()))
	}
	if last.ask.Find {
		paint(place.PhotoPoint{X: 500, Y: 450}, colour.SRGB{R: 120, G: 60, B: 50})
	}
	b.PaletteRead(last.id, palette.Read(p, last.ask))
	return last.ask
}

// cardsTouched has three cards touched and named.
func cardsTouched(t *testing.T) *bench {
	b := atCards(t)
	for i, name := range []string{"2", "5", "L91"} {
		b.touchPalette(100+200*float64(i), 100)
		b.Type("card-value", name)
	}
	b.readsPalette()
	return b
}

// Cards are touched, named and read: the photograph alone is in sight, nothing is asked
// before two have names, and what they tell is told.
func TestCardsAreMeasured(t *testing.T) {
	b := atCards(t)
	if plan, _ := b.Plan(); len(plan.Panes) != 1 || plan.Panes[0].Other.Pyramid == nil || plan.Panes[0].At.Width != 900 {
		t.Fatalf("in sight are %+v", plan.Panes)
	}
	b.touchPalette(100, 100)
	b.Type("card-value", "2")
	if len(b.read) != 0 || b.Face().Text["cards-verdict"] != "" {
		t.Fatalf("of one card %+v is asked", b.read)
	}
	b.wantText("measure-note", "Touch two to five cards, a dark and a light one among them, and name each.")
	b.touchPalette(300, 100)
	b.wantText("measure-note", "Type the value of each card that has none: Munsell 0 to 10, or L52 for the lightness printed on it.")
	b.Type("card-value", "grey")
	if note := b.Face().Text["measure-note"]; !strings.Contains(note, "no number") || !strings.Contains(note, "L52") || b.Face().Value["card-value"] != "grey" {
		t.Errorf("a name that is none is answered with %q", note)
	}
	b.Type("card-value", "9")
	ask := b.readsPalette()
	if len(ask.Cards) != 2 || ask.Step != 20 || math.Abs(ask.Cards[0].At.X-100) > 1.5 || ask.Cards[0].At.X != math.Floor(ask.Cards[0].At.X)+0.5 {
		t.Errorf("asked is %+v", ask)
	}
	b.wantText("cards-verdict", "Colours within 4 L*, greys within 3")
	b.touchPalette(500, 100)
	b.Type("card-value", "5")
	b.readsPalette()
	b.wantText("cards-verdict", "Colours within 3 L*, greys within 1")
	rows := b.Face().Rows["shown-cards"]
	if len(rows) != 3 || rows[2].Text != "Value 5" || !strings.HasPrefix(rows[2].Note, "L* 51.0, reads 51") || !rows[2].Pressed {
		t.Errorf("the rows are %+v", rows)
	}
	if spots := b.Face().Spots; len(spots) != 3 || spots[0].Text != "V2" || spots[0].Side < 10 || !spots[2].Chosen {
		t.Errorf("the spots are %+v", spots)
	}
	b.press("cards-away")
	if len(b.doc().Palette.Cards) != 2 || !b.Face().Disabled["key-cards-away"] {
		t.Errorf("taken away, there are %+v", b.doc().Palette.Cards)
	}
	b.press("undo")
	if len(b.doc().Palette.Cards) != 3 {
		t.Error("it does not come back")
	}
}

// Cards that do not fit are refused in words, and cannot be made the study's; those that
// do become its own in one step, and what is touched next takes their values.
func TestCardsBecomeTheStudys(t *testing.T) {
	b := cardsTouched(t)
	wrong := palette.Answer{Wrong: "the cards are out of order: the card of value 5 is not lighter", Wanted: "check which card was touched"}
	b.touchPalette(700, 100)
	b.Type("card-value", "7")
	b.PaletteRead(b.read[len(b.read)-1].id, wrong)
	b.wantText("cards-verdict", "These cards cannot be used")
	b.wantText("cards-told", "The cards are out of order: the card of value 5 is not lighter. Check which card was touched.")
	if b.press("cards-use"); !b.Face().Disabled["key-cards-use"] || b.doc().Finding.Fit == study.FitCards {
		t.Error("cards that were refused became the study's")
	}
	b.press("cards-away")
	b.readsPalette()
	b.press("cards-use")
	if f := b.doc().Finding; f.Fit != study.FitCards || len(f.Cards) != 3 || f.Cards[1] != 5 || b.doc().Look.Steps != 3 || !b.Face().Pressed["key-cards-use"] {
		t.Errorf("the study's cards are %+v", f)
	}
	if w := b.read[len(b.read)-1].ask.Step; math.Abs(float64(w)-35.4) > 0.5 { // from L* 20.2 to 91 in two steps
		t.Errorf("a step is %v wide", w)
	}
	b.press("undo")
	if b.doc().Finding.Fit != study.FitEqual || b.doc().Look.Steps != 5 {
		t.Errorf("undone, they are %+v", b.doc().Finding)
	}
	b.press("redo")
	b.PaletteTaken(paletteReference())
	b.laysPalette()
	for i := range 4 {
		b.touchPalette(100+150*float64(i), 200)
	}
	cards := b.doc().Palette.Cards
	if len(cards) != 4 || *cards[0].Value != 2 || *cards[1].Value != 5 || cards[3].Value != nil {
		t.Errorf("touched one after the other are %+v", cards)
	}
}

// Piles are touched and held against a card that is touched or typed, or against that of
// their step; a touch is dragged, and a pen's palm takes back what it did.
func TestPilesAreHeldAgainstCards(t *testing.T) {
	b := cardsTouched(t)
	b.press("part-palette")
	b.touchPalette(200, 400)
	b.touchPalette(400, 400)
	b.readsPalette()
	b.wantText("pile-verdict", "Medium grey")
	b.touchPalette(100, 100) // the card of value 2
	if p := b.doc().Palette.Piles[1]; p.Card == nil || *p.Card != 2 || len(b.doc().Palette.Piles) != 2 {
		t.Fatalf("held against a card that was touched the piles are %+v", b.doc().Palette.Piles)
	}
	b.readsPalette()
	b.wantText("pile-verdict", "1.5 steps too light")
	b.Type("pile-card", "4")
	b.readsPalette()
	b.wantText("pile-verdict", "Half a step too light")
	told := b.Face().Text["pile-told"]
	for _, want := range []string{"Value 5.0, against its card of value 4, within 0.1 of a step", "neither warm nor cool", "Through the filter this reads as light as it is."} {
		if !strings.Contains(told, want) {
			t.Errorf("told is %q, without %q", told, want)
		}
	}
	x0, y0 := onPaletteScreen(400, 400)
	x1, y1 := onPaletteScreen(500, 300)
	b.clock = b.clock.Add(1e9)
	b.touch(Down, 1, x0, y0)
	if b.doc().Palette.Piles[1].X > 402 {
		t.Error("a touch that does not move takes it along")
	}
	b.touch(Move, 1, x1, y1)
	if plan, _ := b.Plan(); len(plan.Panes) != 2 || !plan.Panes[1].Round || plan.Panes[1].Other.Pyramid == nil || math.Abs(plan.Panes[1].View.Centre.X-250) > 1 {
		t.Errorf("under the finger are %+v", plan.Panes)
	}
	b.touch(Up, 1, x1, y1)
	if p := b.doc().Palette.Piles[1]; math.Abs(p.X-500) > 1.5 || math.Abs(p.Y-300) > 1.5 {
		t.Errorf("dragged, it is at %v, %v", p.X, p.Y)
	}
	b.press("undo")
	if p := b.doc().Palette.Piles[1]; math.Abs(p.X-400) > 1.5 {
		t.Errorf("undone, it is at %v, %v", p.X, p.Y)
	}
	x, y := onPaletteScreen(800, 500)
	b.touch(Down, 5, x, y)
	b.Pointer(Pointer{Kind: Down, ID: 6, Device: Pen, X: 300, Y: 300})
	if n := len(b.doc().Palette.Piles); n != 3 { // the pen's own
		t.Errorf("a palm and a pen make %d piles", n)
	}
	b.Pointer(Pointer{Kind: Up, ID: 6, Device: Pen, X: 300, Y: 300})
	if !b.Key("Delete", false, false) || len(b.doc().Palette.Piles) != 2 {
		t.Error("Delete does not take it away")
	}
}

// The keyboard touches in the middle and moves what is touched; Escape lets go of it, and
// then of the tray.
func TestTouchesByKeyboard(t *testing.T) {
	b := atCards(t)
	b.Key("Enter", false, false)
	b.Key("ArrowRight", false, false)
	b.Key("ArrowUp", true, false)
	c := b.doc().Palette.Cards[0]
	if c.X < 501 || c.X > 503 || c.Y > 291 || c.Y < 285 {
		t.Errorf("the card is at %v, %v", c.X, c.Y)
	}
	b.press("mirror")
	b.Key("ArrowRight", true, false)
	if now := b.doc().Palette.Cards[0]; now.X >= c.X {
		t.Errorf("mirrored, it goes from %v to %v", c.X, now.X)
	}
	b.Key("Escape", false, false)
	if b.palette.chosen != 0 || b.doc().Tray == "" {
		t.Error("Escape does not let go of the touch alone")
	}
	if b.Key("Escape", false, false); b.doc().Tray != "" {
		t.Error("Escape does not close the tray")
	}
}

// Even patches that are found wait to be touched, or are all taken; what is touched
// already is not among them.
func TestPatchesAreConfirmed(t *testing.T) {
	b := cardsTouched(t)
	b.press("part-palette", "palette-find")
	if ask := b.readsPalette(); !ask.Find {
		t.Fatalf("asked is %+v", ask)
	}
	if len(b.palette.found) != 1 || len(b.doc().Palette.Piles) != 0 || b.Face().Disabled["key-palette-take"] {
		t.Fatalf("found are %+v", b.palette.found)
	}
	if b.wait(1e9); b.read[len(b.read)-1].ask.Find != true || len(b.read) == 0 {
		t.Error("it is asked again for what was answered")
	}
	at := b.palette.found[0]
	b.touchPalette(at.X+12, at.Y)
	if p := b.doc().Palette.Piles; len(p) != 1 || math.Abs(p[0].X-at.X) > 1 || len(b.palette.found) != 0 {
		t.Errorf("touched, it became %+v", p)
	}
	b.press("undo", "palette-find")
	b.readsPalette()
	b.press("palette-take")
	if p := b.doc().Palette.Piles; len(p) != 1 || b.Face().Disabled["key-palette-take"] != true {
		t.Errorf("taken are %+v", p)
	}
	b.wantText("palette-note", "Taken for piles: 1. Take away what is none.")
}

// What fails is told and can be asked once more; an answer to an older question is
// ignored; a frozen frame and a dropped photograph become the palette.
func TestPaletteFails(t *testing.T) {
	b := cardsTouched(t)
	old := b.read[len(b.read)-1].id
	b.touchPalette(700, 100)
	b.Type("card-value", "7")
	b.PaletteRead(old, palette.Answer{Wrong: "an old one"})
	if strings.Contains(b.Face().Text["cards-told"], "old one") {
		t.Error("an answer to an older question is told")
	}
	b.PaletteFailed(b.read[len(b.read)-1].id, "reading palette.png: the worker stopped")
	b.wantText("measure-note", "Reading palette.png: the worker stopped.")
	n := len(b.read)
	if b.press("palette-again"); b.Face().Hidden["key-palette-again"] == false || len(b.read) != n+1 {
		t.Errorf("once more, %d were asked", len(b.read)-n)
	}
	if b.Taking() != TakePalette {
		t.Error("a dropped photograph is not taken for the palette")
	}
	b.press("cards-file")
	if !slices.Equal(b.choosing, []string{"palette"}) {
		t.Errorf("chosen was for %v", b.choosing)
	}
	c := looking(t)
	c.press("camera-cards")
	if len(c.frames) != 0 {
		t.Error("a live frame is taken")
	}
	c.press("camera-freeze", "camera-cards")
	if len(c.frames) != 1 || !strings.HasPrefix(c.frames[0], "palette 20") {
		t.Fatalf("taken are %q", c.frames)
	}
	c.PaletteTaken(paletteReference())
	if c.lights != 1 || c.doc().Parts.Check != "cards" || c.camera.picture != nil {
		t.Errorf("the camera is off %d times, the part is %s", c.lights, c.doc().Parts.Check)
	}
}
