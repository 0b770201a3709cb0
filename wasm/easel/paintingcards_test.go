package easel

import (
	"strings"
	"testing"

	"maulstick/render/card"
	"maulstick/render/colour"
	"maulstick/render/palette"
	"maulstick/render/place"
	"maulstick/render/study"
	"maulstick/render/verdict"
)

// atCanvasCards has a photograph of the canvas in the log, and its cards about to be
// touched on it.
func atCanvasCards(t *testing.T) *bench {
	b := atWork(t, 1)
	b.press("tray-check", "part-painting")
	b.Logged(paletteReference())
	b.press("painting-cards")
	b.laysPalette()
	return b
}

// Cards on the canvas's photograph are touched and named in its place, read as those of
// the palette are, and handed to the check, whose page says what light and exposure are
// taken from. Each touch is a step to undo, and the check is of other cards then.
func TestCardsOnTheCanvasAreHandedOver(t *testing.T) {
	b := atCanvasCards(t)
	f := b.Face()
	if plan, _ := b.Plan(); len(plan.Panes) != 1 || plan.Panes[0].Other.Pyramid == nil || !f.Pressed["key-painting-cards"] || f.Hidden["canvas-cards"] || !f.Hidden["painting-both"] {
		t.Fatalf("in sight are %+v", plan.Panes)
	}
	b.wantText("painting-note", "Touch the grey cards that are on it, the darkest first. Without any, light and exposure are fitted to the values.")
	for i, name := range []string{"2", "5", "L91"} {
		b.touchPalette(100+200*float64(i), 100)
		b.Type("canvas-card", name)
	}
	if ask := b.readsPalette(); len(ask.Cards) != 3 || len(ask.Piles) != 0 || b.read[len(b.read)-1].r.Hash != paletteReference().Hash {
		t.Errorf("asked is %+v", ask)
	}
	b.wantText("painting-note", "Touch a card to move it or to name it. Then check the painting.")
	f = b.Face()
	if doubt := f.Text["painting-doubt"]; !strings.HasPrefix(doubt, "Colours within 3 L*, greys within 1. ") {
		t.Errorf("it says %q", doubt)
	}
	if rows := f.Rows["painting-rows"]; len(rows) != 3 || rows[1].Text != "Value 5" || !rows[2].Pressed || len(f.Rows["shown-cards"]) != 0 || len(f.Spots) != 3 || f.Value["canvas-card"] != "9.08" || f.Disabled["key-arrow-away"] || f.Disabled["key-painting-find"] {
		t.Errorf("the rows are %+v, the spots %+v, the value is %s", f.Rows, f.Spots, f.Value["canvas-card"])
	}
	if d := b.doc(); len(d.Log[0].Cards) != 3 || len(d.Palette.Cards) != 0 {
		t.Errorf("touched are %+v and %+v", d.Log[0].Cards, d.Palette.Cards)
	}
	b.press("painting-check")
	if ask := b.checks[0].Ask; len(ask.Cards) != 3 || ask.Cards[1].Value != 5 || ask.Cards[1].At.Y != b.doc().Log[0].Cards[1].Y || b.carding() {
		t.Errorf("asked is %+v", ask)
	}
	by := verdictOf()
	by.Notes = by.Notes[1:] // as a check by cards has it
	b.answered(by, squares())
	b.press("told-values")
	b.wantText("painting-doubt", "Light, exposure and the camera's curve are taken from your 3 grey cards: the range of values is surer than without.")
	if c := b.doc().Checked; len(c) != 1 || c[0].Cards != 3 {
		t.Errorf("kept is %+v", c)
	}
	b.press("part-stages")
	if note := b.Face().Text["stages-note"]; !strings.Contains(note, "Values, by 3 grey cards, were off by") {
		t.Errorf("it says %q", note)
	}

	b.press("part-painting", "painting-cards", "touch-2", "arrow-away")
	if len(b.doc().Log[0].Cards) != 2 {
		t.Errorf("left are %+v", b.doc().Log[0].Cards)
	}
	b.press("painting-cards")
	b.wantText("painting-note", "Something else is asked for now, other corners, cards, steps or another canvas: check it again.")
	b.press("undo")
	if len(b.doc().Log[0].Cards) != 3 || b.stale() {
		t.Errorf("undone, there are %+v", b.doc().Log[0].Cards)
	}
}

// Without cards, or with none named, a check says that it is less sure; one that was
// refused for its cards says why, and keeps nothing.
func TestACheckWithoutCardsSaysSo(t *testing.T) {
	b := atCanvasCards(t)
	b.touchPalette(100, 100)
	b.wantText("painting-note", "Type the value of each card that has none: Munsell 0 to 10, or L52 for the lightness printed on it.")
	b.press("painting-check")
	if ask := b.checks[0].Ask; ask.Cards != nil {
		t.Errorf("asked is %+v", ask)
	}
	b.answered(verdictOf(), squares())
	b.press("told-values")
	b.wantText("painting-doubt", "Without cards less sure.")
	b.press("painting-cards", "touch-1")
	b.Type("canvas-card", "5")
	b.press("painting-check")
	if ask := b.checks[1].Ask; len(ask.Cards) != 1 {
		t.Errorf("asked is %+v", ask)
	}
	_, err := card.Calibrate(smallCopy(1000, 600).Picture(), b.checks[1].Ask.Cards)
	b.answered(verdict.Answer{Err: err.Error(), Hint: "show two to five cards"}, verdict.Pictures{})
	if note := b.Face().Text["painting-note"]; !strings.HasSuffix(note, "Show two to five cards.") || b.doc().Checked[0].Cards != 0 {
		t.Errorf("it says %q", note)
	}
	if b.press("painting-cards"); b.painting.failed != "" {
		t.Error("what was wrong is said of cards that are being touched anew")
	}
}

// Everything is done from the keyboard: a card is touched, moved, named and taken away,
// and the tool laid down.
func TestCanvasCardsByTheKeyboard(t *testing.T) {
	b := atCanvasCards(t)
	b.Key("Enter", false, false)
	b.Type("canvas-card", "5")
	at := b.doc().Log[0].Cards[0]
	b.Key("ArrowRight", true, false)
	if now := b.doc().Log[0].Cards[0]; now.X < at.X+coarser || now.Y != at.Y || *now.Value != 5 {
		t.Errorf("the card goes from %+v to %+v", at, now)
	}
	b.Key("Delete", false, false)
	if len(b.doc().Log[0].Cards) != 0 {
		t.Errorf("left are %+v", b.doc().Log[0].Cards)
	}
	b.press("painting-find")
	b.readsPalette()
	if len(b.palette.found) != 1 {
		t.Fatalf("found are %+v", b.palette.found)
	}
	b.touchPalette(500, 450)
	if len(b.doc().Log[0].Cards) != 1 || len(b.palette.found) != 0 {
		t.Errorf("touched are %+v", b.doc().Log[0].Cards)
	}
	b.Key("Escape", false, false)
	if b.carding() || !b.Face().Hidden["canvas-cards"] {
		t.Error("the cards are still being touched")
	}
}

// The cards of the study are named as they are touched; those of one photograph are not
// another's, and not the palette's; a photograph that is taken away takes its own along.
func TestEachPhotographHasItsOwnCards(t *testing.T) {
	b := atWork(t, 1)
	b.do(b.finding(func(f *study.Finding) { f.Fit, f.Cards = study.FitCards, []colour.Value{2, 5} }), "")
	b.press("tray-check", "part-cards")
	b.PaletteTaken(paletteReference())
	b.laysPalette()
	b.touchPalette(300, 300)
	b.press("part-painting", "painting-cards") // of nothing yet
	if b.carding() {
		t.Error("cards are touched on no photograph")
	}
	b.press("painting-cards")
	b.Logged(cloud(1))
	b.Logged(paletteReference())
	b.press("painting-cards")
	b.laysPalette()
	if len(b.Face().Rows["painting-rows"]) != 0 {
		t.Errorf("the rows are %+v", b.Face().Rows["painting-rows"])
	}
	b.touchPalette(100, 100)
	b.touchPalette(300, 100)
	d := b.doc()
	if c := d.Log[1].Cards; len(c) != 2 || *c[0].Value != 2 || *c[1].Value != 5 || len(d.Log[0].Cards) != 0 || len(d.Palette.Cards) != 1 {
		t.Fatalf("touched are %+v", d.Log)
	}
	b.press("painting-find", "part-cards")
	if last := b.read[len(b.read)-1]; last.ask.Find != true || b.palette.finding {
		t.Errorf("asked is %+v", last)
	}
	b.PaletteRead(b.palette.last, palette.Answer{})
	b.press("part-painting", "painting-cards", "painting-earlier")
	if !b.carding() || len(b.touches()) != 0 {
		t.Errorf("on the photograph before there are %+v", b.touches())
	}
	b.press("undo", "undo", "undo", "undo")
	if len(b.doc().Log) != 0 || b.carding() || b.away() {
		t.Errorf("without a photograph its cards are touched")
	}
}

// What was found while a finger draws ends the drawing: it neither draws a second arrow
// nor moves a corner that is asked for meanwhile.
func TestAnAnswerEndsWhatAFingerDraws(t *testing.T) {
	for name, a := range map[string]verdict.Answer{
		"checked":  verdictOf(),
		"declined": {Declined: "no outline is surely the canvas's", Nothing: true},
	} {
		b := withPainting(t)
		b.press("painting-check", "arrow-draw")
		x, y := b.screenOf(place.PhotoPoint{X: 600, Y: 400})
		b.touch(Down, 1, x, y)
		b.touch(Move, 1, x+20, y)
		if a.Nothing {
			b.answered(a, verdict.Pictures{})
			b.layAsAsked(400, 600)
		} else {
			b.answered(a, squares())
		}
		b.touch(Move, 1, x+60, y+30)
		b.touch(Up, 1, x+60, y+30)
		if n := b.doc().Log[0]; len(n.Arrows) != 1 || len(n.Corners) != 0 {
			t.Errorf("%s: arrows are %+v, corners %v", name, n.Arrows, n.Corners)
		}
		if b.hand.doing != idle {
			t.Errorf("%s: the hand goes on", name)
		}
	}
}
