package web_test

import (
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"math"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"maulstick/render/place"
	"maulstick/render/study"
)

// commanded is what a command of maulstick answers in JSON.
func commanded(t *testing.T, args ...string) map[string]any {
	t.Helper()
	run := exec.Command("go", append([]string{"run", "../cmd/maulstick"}, append(args, "-json")...)...)
	out, err := run.Output()
	if err != nil {
		t.Fatalf("maulstick %v: %v %s", args, err, err.(*exec.ExitError).Stderr)
	}
	var fields map[string]any
	if err := json.Unmarshal(out, &fields); err != nil {
		t.Fatal(err)
	}
	return fields
}

// same holds two numbers to each other: an engine of the browser's has other roundings
// in its logarithms than a processor.
func same(t *testing.T, what string, got, want any) {
	t.Helper()
	if a, b := got.(float64), want.(float64); math.Abs(a-b) > 1e-6 {
		t.Errorf("%s is %v in the page, and %v by the command", what, a, b)
	}
}

// A painter measures grey cards on a photograph and holds mixed piles against them: every
// figure is that of the commands about the same file, and what the page says is these.
func TestPalette(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	p := b.open(landscape, s.url())
	p.settle()
	plan := planShown(t)
	p.openPhoto(plan)
	p.settle()
	p.press("tray-line")
	p.fill("canvas", "36 x 24 in")
	p.press("tray-check")
	p.press("part-cards")
	path := writePalette(t, "palette.png")
	p.givePalette(path)
	if text := p.text("measure-note"); !strings.Contains(text, "Touch") {
		t.Errorf("given a photograph the page says %q", text)
	}
	p.touchCards("2", "5", "L91.0", "2")
	p.cardsAreThoseOf(t, path)
	p.press("part-palette")
	p.touchPiles()
	p.pilesAreThoseOf(t, path, plan)
	p.heldAgainst(t)
	p.keepsThePalette(t)
	p.followsTheCards(t)
	if faults := p.complaints(); len(faults) > 0 {
		t.Errorf("the console complains: %q", faults)
	}
}

// decodedFile is a picture of testdata.
func decodedFile(t *testing.T, path string) image.Image {
	t.Helper()
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	m, _, err := image.Decode(file)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// cardsAsked and pilesAsked are what is touched, as the commands are told of it.
func (p *tab) cardsAsked() string {
	p.t.Helper()
	var words []string
	for i, c := range p.snapshot().Study.Palette.Cards {
		words = append(words, fmt.Sprintf("%s@%d,%d", []string{"2", "5", "L91.0", "2"}[i], int(c.X), int(c.Y)))
	}
	return strings.Join(words, " ")
}

func (p *tab) pilesAsked() string {
	p.t.Helper()
	var words []string
	for _, t := range p.snapshot().Study.Palette.Piles {
		words = append(words, fmt.Sprintf("%d,%d", int(t.X), int(t.Y)))
	}
	return strings.Join(words, " ")
}

// planShown is a reference of a few colours, of which a browser and the command come to
// the same piles.
func planShown(t testing.TB) string {
	m := image.NewRGBA(image.Rect(0, 0, 360, 240))
	colours := []color.RGBA{{60, 40, 30, 255}, {110, 84, 70, 255}, {150, 60, 60, 255}, {130, 128, 122, 255}, {200, 140, 60, 255}, {120, 140, 170, 255}}
	for y := range 240 {
		for x := range 360 {
			m.SetRGBA(x, y, colours[x/60])
		}
	}
	return writeAs(t, "plan.png", m)
}

// cardsAreThoseOf holds what the page tells of the cards to the command.
func (p *tab) cardsAreThoseOf(t *testing.T, path string) {
	t.Helper()
	want := commanded(t, "cards", "-photo", path, "-cards", p.cardsAsked())
	got := p.snapshot().Palette.Answer.Cards
	if got == nil || len(got.Faces) != 4 {
		t.Fatalf("the cards are %+v", got)
	}
	for i, c := range want["cards"].([]any) {
		c, f := c.(map[string]any), got.Faces[i]
		same(t, "a card's value", float64(f.Value), c["munsell_value"])
		same(t, "its lightness by the cards", float64(f.Reads), c["reads_lightness"])
		same(t, "its unevenness", float64(f.Uneven), c["uneven_lightness"])
		if int(f.At.X) != int(c["x_px"].(float64)) || int(f.At.Y) != int(c["y_px"].(float64)) {
			t.Errorf("the card of value %v is at %v, not at %v, %v", f.Value, f.At, c["x_px"], c["y_px"])
		}
	}
	same(t, "the residual", float64(got.Residual), want["residual_lightness"])
	same(t, "the rise of the light", got.Rise, want["light_rise"])
	same(t, "what is promised of colours", float64(got.Colours), want["promised_colours_lightness"])
	same(t, "what is promised of greys", float64(got.Greys), want["promised_greys_lightness"])
	rise := math.Pow(1+paletteRise, 900.0/paletteWidth) - 1 // from the first card's middle to the last's
	if math.Abs(got.Rise-rise) > 0.02 {                     // codes are rounded twice, the darkest by a hundredth of the light
		t.Errorf("the light rises by %.3f, want %.3f", got.Rise, rise)
	}
	p.says(t, "cards-verdict", fmt.Sprintf("Colours within %.0f L*, greys within %.0f", want["promised_colours_lightness"], want["promised_greys_lightness"]))
	p.says(t, "cards-told", fmt.Sprintf("held to the others, cards are %.1f L* off", want["residual_lightness"]), fmt.Sprintf("%.0f %% more light at the right end", 100*got.Rise))
	first := want["cards"].([]any)[0].(map[string]any)
	p.says(t, "shown-cards", fmt.Sprintf("L* %.1f, reads %.1f", first["lightness"], first["reads_lightness"]))
}

// says holds what an element says to parts of it, whatever their case.
func (p *tab) says(t *testing.T, id string, parts ...string) {
	t.Helper()
	text := p.text(id)
	for _, part := range parts {
		if !strings.Contains(strings.ToLower(text), strings.ToLower(part)) {
			t.Errorf("#%s says %q, without %q", id, text, part)
		}
	}
}

// pilesAreThoseOf holds what the page tells of the piles to the command.
func (p *tab) pilesAreThoseOf(t *testing.T, path, reference string) {
	t.Helper()
	want := commanded(t, "palette", "-photo", path, "-cards", p.cardsAsked(), "-piles", p.pilesAsked(), "-reference", reference, "-canvas", "36x24in")
	got := p.snapshot().Palette.Answer.Piles
	if len(got) != len(pilesShown) {
		t.Fatalf("the piles are %+v", got)
	}
	for i, w := range want["piles"].([]any) {
		w, r := w.(map[string]any), got[i]
		near, _ := w["nearest_planned"].(map[string]any)
		if r.Planned == nil || r.Card == nil || near == nil {
			t.Fatalf("pile %d is %+v in the page, and %v by the command", i+1, r, w)
		}
		same(t, "a pile's lightness", float64(r.Lightness), w["lightness"])
		same(t, "its card", float64(*r.Card), w["card_value"])
		same(t, "how far off it is", r.Difference, w["difference_steps"])
		same(t, "how sure that is", r.Within, w["uncertainty_steps"])
		same(t, "what the filter makes of it", float64(r.Misreading), w["red_filter_misreads_steps"])
		same(t, "its warmth", float64(r.Warmth), w["warmth"])
		same(t, "how far the plan is", r.Planned.Off, near["off_de00"])
		same(t, "the step of the plan", float64(r.Planned.Step), near["step"])
		warning, _ := w["red_filter_warning"].(string)
		way := fmt.Sprint(near["go"])
		if r.Name != w["name"] || r.Said != w["said"] || r.Temperature != w["temperature"] || r.Warning != warning || r.Planned.Name != near["name"] || fmt.Sprint(r.Planned.Way) != way {
			t.Errorf("pile %d is %+v and %+v in the page, and %v by the command", i+1, r, *r.Planned, w)
		}
		if off := r.Colour.Lab().Difference(pilesShown[i].colour.Lab()); off > 3 {
			t.Errorf("pile %d is read as %v, %.1f off %v", i+1, r.Colour, off, pilesShown[i].colour)
		}
		p.press(fmt.Sprintf("touch-%d", p.snapshot().Study.Palette.Piles[i].ID))
		p.says(t, "pile-verdict", r.Said)
		against := "its planned step's value of"
		if w["card_named"] == true {
			against = "its card of value"
		}
		p.says(t, "pile-told", fmt.Sprintf("Value %.1f, against %s %.3g", w["munsell_value"], against, w["card_value"]), r.Name, r.Temperature, r.Planned.Name, warning)
		for _, word := range r.Planned.Way {
			p.says(t, "pile-told", word)
		}
	}
}

// heldAgainst has the chosen pile held against a card that is touched, then against one
// that is typed, and then against that of its step.
func (p *tab) heldAgainst(t *testing.T) {
	t.Helper()
	last := len(pilesShown) - 1
	id := p.snapshot().Study.Palette.Piles[last].ID
	p.tapAlone(p.onPalette(cardsShown[2].middle()))
	p.readPalette()
	p.says(t, "palette-note", "Pile 5 is held against the card of value")
	p.says(t, "pile-verdict", "steps too dark")
	p.fill("pile-card", "4")
	p.readPalette()
	got := p.snapshot()
	if v := got.Study.Palette.Piles[last].Card; v == nil || *v != 4 || got.Palette.Answer.Piles[last].Said != "half a step too light" {
		t.Errorf("against value 4 the grey is %+v, %+v", got.Study.Palette.Piles[last], got.Palette.Answer.Piles[last])
	}
	p.says(t, "pile-verdict", "Half a step too light")
	p.fill("pile-card", "grey")
	p.says(t, "palette-note", "no number")
	p.fill("pile-card", "")
	p.readPalette()
	if v := p.snapshot().Study.Palette.Piles[last]; v.Card != nil || v.ID != id {
		t.Errorf("against its step's card the pile is %+v", v)
	}
}

// keepsThePalette finds it all again after the page was loaded anew.
func (p *tab) keepsThePalette(t *testing.T) {
	t.Helper()
	p.settleKept()
	before := p.snapshot()
	p.reload()
	p.settle()
	p.readPalette()
	after := p.snapshot()
	if a, b := asText(t, before.Study.Palette), asText(t, after.Study.Palette); a != b {
		t.Errorf("kept is %s, want %s", b, a)
	}
	if a, b := asText(t, before.Palette.Answer), asText(t, after.Palette.Answer); a != b {
		t.Errorf("read again it answers %s, want %s", b, a)
	}
}

func asText(t *testing.T, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// followsTheCards makes the cards the study's own: its steps are theirs then, and undo
// brings the equal ones back.
func (p *tab) followsTheCards(t *testing.T) {
	t.Helper()
	p.press("part-cards")
	p.readPalette()
	p.press("cards-use")
	p.readPalette()
	p.says(t, "measure-note", "the steps and the palette chart follow them")
	s := p.snapshot()
	if f := s.Study.Finding; f.Fit != study.FitCards || len(f.Cards) != 3 || f.Cards[0] != 2 || s.Study.Look.Steps != 3 {
		t.Errorf("the study's cards are %+v, its steps %d", f, s.Study.Look.Steps)
	}
	if on := eval[string](p, `document.getElementById('key-cards-use').getAttribute('aria-pressed')`); on != "true" {
		t.Error("their key does not show that they are the study's")
	}
	p.press("undo")
	if f := p.snapshot().Study.Finding; f.Fit != study.FitEqual || len(f.Cards) != 0 {
		t.Errorf("undone, they are %+v", f)
	}
}

// Even patches are found, each at a card or a pile, and are taken for piles by one key;
// those that are touched already are not found again.
func TestPatchesAreFoundAndTaken(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).open(landscape, s.url())
	p.settle()
	p.press("tray-check")
	p.press("part-cards")
	p.fillCards()
	p.press("part-palette")
	p.press("palette-find")
	p.readPalette()
	found := p.snapshot().Palette.Found
	if len(found) != len(pilesShown) {
		t.Fatalf("found are %v", found)
	}
	for _, s := range pilesShown {
		if !slices.ContainsFunc(found, func(at place.PhotoPoint) bool { return math.Hypot(at.X-s.middle().X, at.Y-s.middle().Y) < 20 }) {
			t.Errorf("the pile at %v is not found among %v", s.middle(), found)
		}
	}
	p.says(t, "palette-note", "Even patches that were found: 5")
	p.tapAlone(p.onPalette(found[1]))
	p.readPalette()
	if now := p.snapshot(); len(now.Palette.Found) != 4 || len(now.Study.Palette.Piles) != 1 || math.Abs(now.Study.Palette.Piles[0].X-found[1].X) > 1 {
		t.Errorf("touched, one of them is %+v of %v", now.Study.Palette.Piles, now.Palette.Found)
	}
	p.press("palette-take")
	p.readPalette()
	if now := p.snapshot(); len(now.Palette.Found) != 0 || len(now.Study.Palette.Piles) != 5 || len(now.Palette.Answer.Piles) != 5 {
		t.Errorf("taken are %+v", now.Study.Palette.Piles)
	}
	p.press("undo")
	if now := p.snapshot(); len(now.Study.Palette.Piles) != 1 {
		t.Errorf("undone, there are %+v", now.Study.Palette.Piles)
	}
}

// What the camera has frozen is read as a photograph of the cards is.
func TestFrozenFrameIsThePalette(t *testing.T) {
	s := newSite(t)
	p := withCamera(t).open(landscape, s.url(), noteTracks)
	p.settleKept()
	p.lookThrough()
	p.press("camera-freeze")
	p.await("it is frozen", `window.maulstick.snapshot().camera.frozen`)
	p.press("camera-cards")
	p.await("it is the photograph of the palette", `window.maulstick.snapshot().study.palette.photograph?.width_px === %s`, filmWidth)
	p.await("the light is out", `window.lent.every((t) => t.readyState === 'ended')`)
	p.settleKept()
	s2 := p.snapshot()
	if s2.Study.Parts.Check != "cards" || !strings.HasSuffix(s2.Study.Palette.Photograph.Name, ".png") {
		t.Errorf("the part is %s, the photograph %+v", s2.Study.Parts.Check, s2.Study.Palette.Photograph)
	}
	p.press("cards-find")
	p.readPalette()
	if found := p.snapshot().Palette.Found; len(found) < 10 {
		t.Errorf("of %d fields of one colour %d are found", filmAcross*filmDown, len(found))
	}
}

// All of it is done by keyboard alone.
func TestPaletteByKeyboard(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).open(landscape, s.url())
	p.settle()
	p.byKey("tray-check")
	p.byKey("part-cards")
	p.givePalette(writePalette(t, "palette.png"))
	for i, name := range []string{"2", "9"} {
		eval[chromedp.Void](p, `document.getElementById('overlay').focus()`)
		p.keys("\r")
		p.await("a card is touched in the middle", `window.maulstick.snapshot().study.palette.cards.length === %s`, i+1)
		p.nudgesTo(cardsShown[2*i].middle())
		p.tabTo("card-value")
		p.keys(name + "\r")
	}
	p.readPalette()
	if a := p.snapshot().Palette.Answer; a.Cards == nil || len(a.Cards.Faces) != 2 {
		t.Fatalf("the cards are answered with %+v", a)
	}
	p.says(t, "cards-told", "gain and gamma", "nothing to check them by")
	p.byKey("part-palette")
	eval[chromedp.Void](p, `document.getElementById('overlay').focus()`)
	p.keys("\r")
	p.nudgesTo(pilesShown[3].middle())
	p.tabTo("pile-card")
	p.keys("5\r")
	p.readPalette()
	if r := p.snapshot().Palette.Answer.Piles; len(r) != 1 || r[0].Colour.Lab().Difference(pilesShown[3].colour.Lab()) > 4 {
		t.Errorf("the pile is read as %+v", r)
	}
	p.says(t, "pile-told", "do not trust the red filter")
	p.byKey("palette-away")
	if n := len(p.snapshot().Study.Palette.Piles); n != 0 {
		t.Errorf("taken away, there are %d piles", n)
	}
}

// nudgesTo moves the chosen touch by the arrow keys until it lies near a place.
func (p *tab) nudgesTo(to place.PhotoPoint) {
	p.t.Helper()
	at := func() place.PhotoPoint {
		q := p.snapshot().Study.Palette
		if n := len(q.Piles); n > 0 {
			return place.PhotoPoint{X: q.Piles[n-1].X, Y: q.Piles[n-1].Y}
		}
		c := q.Cards[len(q.Cards)-1]
		return place.PhotoPoint{X: c.X, Y: c.Y}
	}
	for range 200 {
		switch now := at(); {
		case now.X < to.X-20:
			p.keys(kb.ArrowRight, chromedp.ModifierShift)
		case now.X > to.X+20:
			p.keys(kb.ArrowLeft, chromedp.ModifierShift)
		case now.Y < to.Y-20:
			p.keys(kb.ArrowDown, chromedp.ModifierShift)
		case now.Y > to.Y+20:
			p.keys(kb.ArrowUp, chromedp.ModifierShift)
		default:
			return
		}
	}
	p.t.Fatalf("the arrow keys do not bring it from %v to %v", at(), to)
}
