package web_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp/kb"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/shape"
	"maulstick/render/study"
)

// countAsked notes what kinds of message the page sends to its worker.
const countAsked = `window.asked = [];
	const post = Worker.prototype.postMessage;
	Worker.prototype.postMessage = function (message, ...rest) {
		if (message && message.kind) window.asked.push(message.kind);
		return post.call(this, message, ...rest);
	};`

// surveys is how often the worker was asked about the picture as a whole.
func (p *tab) surveys() int {
	p.t.Helper()
	return eval[int](p, `window.asked.filter((k) => k === 'survey').length`)
}

// TestPainterAsks goes through the trays of parts on the demo study, as the
// painter does who wants to know about values, colours and shapes, and then
// comes back to the same answers without their being worked out again.
func TestPainterAsks(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	p := b.open(landscape, s.url(), countAsked)
	p.settle()
	y := read(t, demo)
	p.dividesValues(t, y)
	p.looksMisled(t, y)
	p.listsContrasts(t)
	p.looksWarm(t, y)
	p.opposes(t)
	p.listsPiles(t)
	p.flattens(t)
	p.drawsEdges(t)
	p.settleKept()
	if p.surveys() == 0 {
		t.Fatal("the worker was asked nothing")
	}
	said := p.partTexts()
	p.reload()
	p.settle()
	if again := p.partTexts(); again != said {
		t.Errorf("come back to, the trays say\n%s\nand said\n%s", again, said)
	}
	if n := p.surveys(); n > 0 {
		t.Errorf("come back to, the worker was asked %d times for what was kept", n)
	}
}

// partTexts opens every part and gathers what it says, but for how much room is used,
// which the page's own parts take as they are put by.
func (p *tab) partTexts() string {
	p.t.Helper()
	var all strings.Builder
	for _, tray := range trays {
		for _, part := range tray.parts {
			p.openPart(tray.name, part)
			all.WriteString(part + ": " + eval[string](p, `document.getElementById(%s).innerText.replace(/^.* used here\. /m, '')`, tray.name) + "\n")
		}
	}
	return all.String()
}

// openPart opens a part of a tray and waits for what it asks.
func (p *tab) openPart(tray, part string) {
	p.t.Helper()
	if !p.shown(tray) {
		p.press("tray-" + tray)
	}
	p.press("part-" + part)
	p.settleAnswered()
}

// counted is the demo's crop counted by lightness from its own file.
func (p *tab) counted(y *photo.Pyramid) *shape.Histogram {
	var counts shape.Histogram
	picture := y.Picture()
	counts.AddRows(colour.EyeMeter, picture.Pix, picture.Width, 0, p.snapshot().Crop)
	return &counts
}

// dividesValues fits the steps to the picture, to equal areas, to the painter's
// cards and by hand.
func (p *tab) dividesValues(t *testing.T, y *photo.Pyramid) {
	t.Helper()
	p.openPart("value", "steps")
	p.await("the steps are counted", `window.maulstick.snapshot().counted`)
	p.press("steps")
	counts := p.counted(y)
	for key, of := range map[string]func(shape.Counted, int) (shape.Steps, error){"fit-best": shape.BestSteps, "fit-area": shape.AreaSteps} {
		p.press(key)
		want, err := of(counts, 5)
		p.must(err)
		p.edgesAre(t, key, want.Edges(), 1)
		p.likeDrawn(t, key, p.snapshot().Study.Look, y)
	}
	p.press("fit-cards")
	p.fill("cards", "1.5, 3, 5, 7, 9.5")
	want, err := shape.CardSteps([]colour.Value{1.5, 3, 5, 7, 9.5})
	p.must(err)
	p.edgesAre(t, "cards", want.Edges(), 0)
	p.dragsEdge(t, y)
}

// edgesAre holds the study's edges to others; two decoders of one photograph
// differ a little, and its edges with them.
func (p *tab) edgesAre(t *testing.T, what string, want []colour.Lightness, most float64) {
	t.Helper()
	got := p.snapshot().Study.Look.Flat().Edges()
	if len(got) != len(want) {
		t.Fatalf("%s: the edges are %v, not %v", what, got, want)
	}
	for i := range want {
		if math.Abs(float64(got[i]-want[i])) > most {
			t.Errorf("%s: edge %d is at L* %.2f, not %.2f", what, i+1, got[i], want[i])
		}
	}
}

// dragsEdge drags the second edge on the histogram, by pointer and by keys.
func (p *tab) dragsEdge(t *testing.T, y *photo.Pyramid) {
	t.Helper()
	before := p.snapshot().Study.Look.Flat().Edges()
	histogram := p.boxOf("histogram")
	x, at := histogram.X+float64(before[1])/100*histogram.Width, histogram.Y+histogram.Height/2
	p.mouse(input.DispatchMouseEventTypeMousePressed, x, at)
	p.mouse(input.DispatchMouseEventTypeMouseMoved, x+0.03*histogram.Width, at)
	p.mouse(input.DispatchMouseEventTypeMouseReleased, x+0.03*histogram.Width, at)
	doc := p.snapshot().Study
	after := doc.Look.Flat().Edges()
	if doc.Finding.Fit != study.FitHand || math.Abs(float64(after[1]-before[1])-3) > 1 {
		t.Errorf("dragged by 3 L*, the edges go from %v to %v, %q", before, after, doc.Finding.Fit)
	}
	if snapped := shape.SnapEdge(after[1]); math.Abs(float64(snapped-after[1])) > 1e-9 {
		t.Errorf("the edge stands at L* %v, the gap between two greys is at %v", after[1], snapped)
	}
	p.likeDrawn(t, "edges by hand", doc.Look, y)
	p.tabTo("edge-2")
	p.keys(kb.ArrowLeft)
	if left := p.snapshot().Study.Look.Flat().Edges(); left[1] >= after[1] || left[0] != after[0] || left[2] != after[2] {
		t.Errorf("nudged to the left, the edges go from %v to %v", after, left)
	}
	p.press("steps")
}

// looksMisled shows where each red sheet misleads.
func (p *tab) looksMisled(t *testing.T, y *photo.Pyramid) {
	t.Helper()
	p.openPart("value", "filter")
	p.press("misled")
	notes := map[string]bool{}
	for _, sheet := range colour.Sheets() {
		p.press("sheet-" + sheet.String())
		p.settleAnswered()
		p.likeDrawn(t, "misled by the "+sheet.String()+" sheet", p.snapshot().Study.Look, y)
		notes[p.text("filter-note")] = true
	}
	if len(notes) != len(colour.Sheets()) {
		t.Errorf("of %d sheets the tray says %v", len(colour.Sheets()), notes)
	}
	p.press("sheet-" + colour.RedSheet.String())
	p.press("misled")
}

// listsContrasts finds the strongest contrasts, with each one's spot.
func (p *tab) listsContrasts(t *testing.T) {
	t.Helper()
	p.openPart("value", "contrasts")
	for _, kind := range []string{"hue", "sharpness", "all", "value"} {
		p.press("list-" + kind)
		p.listed(t, kind, "contrasts-rows")
	}
}

// listed wants rows in a list and spots on the picture.
func (p *tab) listed(t *testing.T, what, list string) int {
	t.Helper()
	p.settleAnswered()
	rows := eval[int](p, `document.querySelectorAll('#' + %s + ' button').length`, list)
	spots := eval[int](p, `document.querySelectorAll('#spots span').length`)
	if rows == 0 || spots == 0 {
		t.Errorf("%s: %d rows are listed, with %d spots on the picture", what, rows, spots)
	}
	return rows
}

// showsAnother presses a key that puts another picture in the photograph's place.
func (p *tab) showsAnother(t *testing.T, key, what string) {
	t.Helper()
	before := p.picture()
	p.press(key)
	p.settleAnswered()
	if off := apart(p.picture(), before); off < 1 {
		t.Errorf("%s the picture is %.2f codes off the photograph", what, off)
	}
}

// looksWarm shows warm and cool against the neutral found, white, and one that
// is touched.
func (p *tab) looksWarm(t *testing.T, y *photo.Pyramid) {
	t.Helper()
	p.openPart("colour", "temperature")
	p.press("temperature")
	p.likeDrawn(t, "temperature", p.snapshot().Study.Look, y)
	verdict := p.text("temperature-verdict")
	if !strings.Contains(verdict, "Lights") {
		t.Errorf("the verdict is %q", verdict)
	}
	p.press("neutral-white")
	p.settleAnswered()
	if n := p.snapshot().Study.Look.Neutral; n != (colour.SRGB{}) && n != (colour.SRGB{R: 255, G: 255, B: 255}) {
		t.Errorf("white as the neutral is %v", n)
	}
	p.press("neutral-pick")
	at := p.over(0.3, 0.85)
	over := p.boxOf("overlay")
	px, py := geometry(p.snapshot()).toPhoto(at.x-over.X, at.y-over.Y)
	p.tapAlone(at)
	p.settleAnswered()
	want := y.Picture().At(int(px), int(py)).Linear()
	got := p.snapshot().Study.Look.Neutral.Linear()
	// A neutral is a colour of light, however bright.
	if math.Abs(got.R/got.G/(want.R/want.G)-1) > 0.15 || math.Abs(got.B/got.G/(want.B/want.G)-1) > 0.15 {
		t.Errorf("touched at %v, the neutral is %v", want, got)
	}
	p.likeDrawn(t, "temperature against a neutral that was touched", p.snapshot().Study.Look, y)
	p.press("neutral-found")
	p.settleAnswered()
	if now := p.text("temperature-verdict"); now != verdict {
		t.Errorf("with the neutral found once more the verdict is %q, it was %q", now, verdict)
	}
	p.press("temperature")
	if l := p.snapshot().Study.Look; l.Tone != look.Colour {
		t.Errorf("pressed again, Warm and cool leaves %+v", l)
	}
}

// opposes says on which wheel opposites lie.
func (p *tab) opposes(t *testing.T) {
	t.Helper()
	p.openPart("colour", "opposites")
	for _, w := range colour.Wheels() {
		p.press("wheel-" + w.String())
		p.settleAnswered()
		if note := p.text("opposites-note"); !strings.Contains(note, w.Say()) {
			t.Errorf("on the wheel %v the tray says %q", w, note)
		}
	}
}

// listsPiles shows the piles and saves the chart.
func (p *tab) listsPiles(t *testing.T) {
	t.Helper()
	p.openPart("colour", "piles")
	found := p.listed(t, "piles", "piles-rows")
	p.showsAnother(t, "piles", "in its piles")
	p.press("each-more")
	if n := p.listed(t, "more piles a step", "piles-rows"); n <= found {
		t.Errorf("with more piles a step there are %d, no more than were found: %d", n, found)
	}
	for !strings.HasPrefix(p.text("piles-note"), "Piles a step: 1.") {
		p.press("each-fewer")
	}
	if n := p.listed(t, "one pile a step", "piles-rows"); n >= found {
		t.Errorf("with one pile a step there are %d, as many as were found: %d", n, found)
	}
	data, err := os.ReadFile(p.saveAs("chart", ".png"))
	p.must(err)
	if _, err := png.Decode(bytes.NewReader(data)); err != nil {
		t.Errorf("the chart cannot be read: %v", err)
	}
	p.press("piles")
}

// flattens shows the flat shapes, few and many, and saves their outlines.
func (p *tab) flattens(t *testing.T) {
	t.Helper()
	p.openPart("shape", "flat")
	p.listed(t, "flat shapes", "shapes-rows")
	p.showsAnother(t, "flat", "in flat shapes")
	many, few := p.shapesAt(t, "90"), p.shapesAt(t, "0")
	if few > 6 || many < 4*few {
		t.Errorf("the slider goes from %d shapes to %d", few, many)
	}
	data, err := os.ReadFile(p.saveAs("outlines", ".svg"))
	p.must(err)
	for reader := xml.NewDecoder(bytes.NewReader(data)); ; {
		if _, err := reader.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatalf("the outlines cannot be read: %v", err)
		}
	}
	p.fill("smallest", "4 in")
	p.settleAnswered()
	if note := p.text("flat-note"); !strings.Contains(note, "nothing smaller than 4 in") {
		t.Errorf("with nothing under 4 in the tray says %q", note)
	}
	p.press("flat")
}

// shapesAt moves the slider and tells how many shapes there are.
func (p *tab) shapesAt(t *testing.T, at string) int {
	t.Helper()
	eval[bool](p, `(() => { const s = document.getElementById('count'); s.value = %s;
		s.dispatchEvent(new Event('input', {bubbles: true})); s.dispatchEvent(new Event('change', {bubbles: true})); return true; })()`, at)
	p.settleAnswered()
	return eval[int](p, `parseInt(document.getElementById('flat-note').textContent.replace('One', '1'))`)
}

// drawsEdges shows how hard the edges are.
func (p *tab) drawsEdges(t *testing.T) {
	t.Helper()
	p.openPart("shape", "edges")
	p.listed(t, "edges", "edges-rows")
	p.showsAnother(t, "edges", "drawn as edges")
	p.press("edges")
}

// TestSurveyStopped stops the worker in the middle of its work, and asks once
// more.
func TestSurveyStopped(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).openFresh(t, landscape, s.url(), countAsked)
	p.settleKept()
	p.press("tray-value")
	p.press("part-contrasts")
	p.await("the tray says how far it is", `/\d %/.test(document.getElementById('value-finding').innerText)`)
	p.clickAt("#value-stop")
	p.await("the tray says that it was stopped", `/stopped/.test(document.getElementById('value-finding').innerText)`)
	if rows := eval[int](p, `document.querySelectorAll('#contrasts-rows button').length`); rows > 0 {
		t.Errorf("stopped, the tray lists %d contrasts", rows)
	}
	p.press("mirror")
	if !p.snapshot().Study.View.Mirror {
		t.Error("stopped, the tray leaves the ledge without an answer")
	}
	p.clickAt("#value-again")
	p.settleAnswered()
	p.listed(t, "asked once more", "contrasts-rows")
	if faults := p.complaints(); len(faults) > 0 {
		t.Errorf("the console complains: %q", faults)
	}
}
