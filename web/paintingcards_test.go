package web_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"maulstick/render"
	"maulstick/render/place"
)

// easelCards are the cards on the photograph of the painting, as the command is told of
// them; one value is shown at both ends.
var easelCards = []struct {
	name string
	at   place.PhotoPoint
}{
	{"2", place.PhotoPoint{X: 240.5, Y: 1140.5}}, {"5", place.PhotoPoint{X: 420.5, Y: 1140.5}},
	{"9", place.PhotoPoint{X: 600.5, Y: 1140.5}}, {"2", place.PhotoPoint{X: 1340.5, Y: 1140.5}},
}

// touchCanvasCards has cards touched on the photograph of the painting by a finger, and
// named.
func (p *tab) touchCanvasCards(n int) {
	p.t.Helper()
	p.press("painting-cards")
	p.settle()
	for i, c := range easelCards[:n] {
		s, over := p.snapshot(), p.boxOf("overlay")
		r := s.Study.Log[len(s.Study.Log)-1].Photograph
		v := render.Fit(place.WholeCrop(place.Pixels{Width: r.Width, Height: r.Height}), s.Area.Width, s.Area.Height, 14)
		x, y := v.ToScreen(c.at)
		p.tapAlone(spot{over.X + x, over.Y + y})
		p.await("a card is touched", `window.maulstick.snapshot().study.log.at(-1).cards.length === %s`, i+1)
		p.fill("canvas-card", c.name)
	}
	p.readPalette()
}

// cardsOnCanvas are the cards as the command is told of them.
func (p *tab) cardsOnCanvas() string {
	p.t.Helper()
	var words []string
	for i, c := range p.snapshot().Study.Log[0].Cards {
		words = append(words, fmt.Sprintf("%s@%d,%d", easelCards[i].name, int(c.X), int(c.Y)))
	}
	return strings.Join(words, "+")
}

// cornersOnCanvas are the corners that were put, as the command is told of them.
func (p *tab) cornersOnCanvas() string {
	p.t.Helper()
	var numbers []string
	for _, c := range p.snapshot().Study.Log[0].Corners {
		numbers = append(numbers, strconv.FormatFloat(c.X, 'f', -1, 64), strconv.FormatFloat(c.Y, 'f', -1, 64))
	}
	if list := strings.Join(numbers, ","); strings.Contains(list, ".") {
		return list
	}
	p.t.Fatalf("the corners %v would be taken for pixels", numbers)
	return ""
}

// TestPaintingByFingerAndCards holds the page's figures to the command's with corners that
// a finger has moved, with grey cards that it has touched besides, and with the cards
// alone; and has the page say each time whether values are by cards, or less sure.
func TestPaintingByFingerAndCards(t *testing.T) {
	reference, painting := asPNG(t, paintedAfter), asPNG(t, onTheEasel)
	p := startBrowser(t, t.TempDir()).open(landscape, newSite(t).url())
	p.atCheck(reference, painting)
	if p.shown("canvas-cards") || !p.shown("painting-both") {
		t.Error("a value is asked for while no card is touched")
	}
	p.press("painting-corners")
	p.await("the corners are found", `!window.maulstick.snapshot().checking && document.querySelectorAll('[data-handle^="canvas-"]').length === 4`)
	p.settle()
	for i, to := range []spot{{5, -3}, {-4, 2}, {6, 4}, {3, 5}} {
		from := p.handle(fmt.Sprintf("canvas-%d", i))
		p.drag(from, spot{from.x + to.x, from.y + to.y})
	}
	byHand := p.checks()
	tellsAlike(t, "corners by finger", byHand, toldBy(t, reference, painting, "-corners", p.cornersOnCanvas()))
	if byHand == nil || byHand.Canvas.Found {
		t.Fatalf("the page checks by %+v", byHand)
	}
	p.press("told-values")
	p.says(t, "painting-doubt", "without grey cards", "less sure")

	p.touchCanvasCards(4)
	p.says(t, "painting-doubt", "colours within", "more light at the")
	if rows := eval[int](p, `document.querySelectorAll('#painting-rows button').length`); rows != 4 || p.shown("painting-both") {
		t.Errorf("%d rows list the cards", rows)
	}
	both := p.checks()
	tellsAlike(t, "corners by finger and cards", both, toldBy(t, reference, painting, "-corners", p.cornersOnCanvas(), "-cards", p.cardsOnCanvas()))
	p.saysByCards(t, 4)
	if both.Range.Within >= byHand.Range.Within/2 {
		t.Errorf("with cards the range of values is within %v, without within %v", both.Range.Within, byHand.Range.Within)
	}

	p.press("painting-find")
	p.await("the corners are found anew", `!window.maulstick.snapshot().checking && window.maulstick.snapshot().study.log[0].corners_px.length === 0`)
	p.settle()
	tellsAlike(t, "cards", p.checks(), toldBy(t, reference, painting, "-cards", p.cardsOnCanvas()))
	p.saysByCards(t, 4)
	p.settleKept()
	p.reload()
	p.settle()
	if d := p.snapshot().Study; len(d.Log[0].Cards) != 4 || len(d.Checked) != 1 || d.Checked[0].Cards != 4 {
		t.Errorf("opened anew, the cards are %+v, the checks %+v", d.Log[0].Cards, d.Checked)
	}
	if complaints := p.complaints(); len(complaints) > 0 {
		t.Errorf("the console says %q", complaints)
	}
}

// saysByCards has the page say that values are by so many cards.
func (p *tab) saysByCards(t *testing.T, n int) {
	t.Helper()
	p.says(t, "painting-doubt", fmt.Sprintf("your %d grey cards", n), "range of values is surer than without")
}

// TestCanvasCardsAreRefused names the cards of the painting wrongly, and by the keyboard:
// the page says so before and after the check is pressed, and tells no figure.
func TestCanvasCardsAreRefused(t *testing.T) {
	p := startBrowser(t, t.TempDir()).open(landscape, newSite(t).url())
	p.atCheck(paintedAfter, onTheEasel)
	p.touchCanvasCards(2)
	p.press("touch-1")
	p.tabTo("canvas-card")
	p.keys(kb.Backspace + "7\r")
	p.readPalette()
	p.says(t, "painting-doubt", "cannot be used", "out of order")
	if found := p.checks(); found != nil {
		t.Errorf("the page found %+v", found)
	}
	p.says(t, "painting-note", "out of order", "check which card")
	if d := p.snapshot().Study; len(d.Checked) != 0 {
		t.Errorf("kept are %+v", d.Checked)
	}
	p.press("painting-cards")
	p.settle()
	eval[chromedp.Void](p, `document.getElementById('overlay').focus()`)
	p.press("touch-1")
	p.press("arrow-away")
	p.press("undo")
	p.press("touch-1")
	eval[chromedp.Void](p, `document.getElementById('overlay').focus()`)
	p.keys(kb.Delete)
	p.keys(kb.Escape)
	if d := p.snapshot().Study; len(d.Log[0].Cards) != 1 || p.shown("canvas-cards") {
		t.Errorf("left are %+v", d.Log[0].Cards)
	}
}

// TestStopEndsTheCheckAlone stops a check that waits for the callipers while they read the
// cards: these are read all the same, and the next check is made.
func TestStopEndsTheCheckAlone(t *testing.T) {
	p := startBrowser(t, t.TempDir()).open(landscape, newSite(t).url())
	p.atCheck(paintedAfter, onTheEasel)
	p.press("part-cards")
	p.givePalette(writePalette(t, "palette.png"))
	p.touchCards("2", "5")
	p.press("undo") // the second card has no name then, and nothing is read
	p.settle()
	if told := p.text("cards-told"); told != "" {
		t.Fatalf("of one card it says %q", told)
	}
	busy := eval[[2]bool](p, `(() => {
		const click = (id) => document.getElementById(id).click();
		click('check-redo');
		const reading = window.maulstick.snapshot().palette.busy;
		click('key-part-painting');
		click('key-painting-check');
		const checking = window.maulstick.snapshot().checking;
		click('key-painting-stop');
		click('key-part-cards');
		return [reading, checking];
	})()`)
	if busy != [2]bool{true, true} {
		t.Fatalf("whether cards are being read, and a check waits: %v", busy)
	}
	p.readPalette()
	p.says(t, "cards-told", "gain and gamma")
	if s := p.snapshot(); s.Palette.Answer.Cards == nil || strings.Contains(p.text("measure-note"), "stop") {
		t.Errorf("it says %q, and read is %+v", p.text("measure-note"), s.Palette.Answer)
	}
	p.press("part-painting")
	if p.checks() == nil {
		t.Error("the next check finds nothing")
	}
}
