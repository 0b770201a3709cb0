package web_test

import (
	"fmt"
	"image/color"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"maulstick/render"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// slopes are three references of grey, each falling in its own way.
func slopes(t testing.TB) []string {
	return []string{slope{"dawn", 320, 240, 16}.write(t), slope{"noon", 240, 320, 25}.write(t), slope{"dusk", 300, 300, 20}.write(t)}
}

// fillBoard pins references, lays one beside and says what is borrowed of it.
func (p *tab) fillBoard() {
	p.t.Helper()
	p.pin(slopes(p.t)...)
	p.press("pin-2")
	p.press("board-beside")
	p.settle()
	p.fill("borrow-words", "the sky from this one")
}

// fillLog writes two notes, one with a photograph of the canvas.
func (p *tab) fillLog() {
	p.t.Helper()
	p.fill("log-stage", "block-in")
	p.fill("log-words", "the darks first, all of them, and then the lights against them")
	p.press("log-add")
	p.fill("log-stage", "second sitting")
	p.logPhoto(slope{"canvas", 300, 200, 20}.write(p.t))
}

// pin chooses photographs for the board and waits until they and their little pictures
// are there.
func (p *tab) pin(paths ...string) {
	p.t.Helper()
	before := len(p.snapshot().Study.Board.Pins)
	p.chooseIn("pin-files", paths...)
	p.await("the photographs are pinned", `window.maulstick.snapshot().study.board.pins.length === %s`, before+len(paths))
	p.awaitLittles("board-rows")
	p.await("nothing is being opened", `document.getElementById('message').hidden`)
	p.settle()
}

// logPhoto gives the log a photograph of the canvas.
func (p *tab) logPhoto(path string) {
	p.t.Helper()
	before := len(p.snapshot().Study.Log)
	p.chooseIn("log-file", path)
	p.await("the photograph is in the log", `window.maulstick.snapshot().study.log.length === %s`, before+1)
	p.awaitLittles("log-rows")
	p.settle()
}

// awaitLittles waits until every little picture of a list is shown.
func (p *tab) awaitLittles(list string) {
	p.t.Helper()
	p.await("the little pictures are there", `[...document.querySelectorAll('#' + %s + ' img')].every((e) => e.complete && e.naturalWidth > 0)`, list)
}

// names are the references in the list, in their order.
func (p *tab) names() string {
	p.t.Helper()
	return strings.Join(eval[[]string](p, `[...document.querySelectorAll('#board-rows button')].map((e) => e.innerText.replace(/\n+/g, ', ').trim())`), "; ")
}

// A painter pins photographs, orders and names them, works from one, lays another
// beside, borrows from it, and finds all of it again.
func TestBoard(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).open(landscape, s.url())
	p.settleKept()
	p.press("tray-study")
	p.press("part-board")
	p.pinsAndOrders(t)
	p.worksFromAnother(t)
	p.laysBeside(t)
	p.borrows(t)
	p.keepsTheBoard(t)
	if faults := p.complaints(); len(faults) > 0 {
		t.Errorf("the console complains: %q", faults)
	}
}

// pinsAndOrders pins several at once, one by dropping it and none by refusing, and
// takes a look at their little pictures.
func (p *tab) pinsAndOrders(t *testing.T) {
	t.Helper()
	paths := slopes(t)
	p.pin(paths[:2]...)
	middle := p.over(0.5, 0.5)
	p.drop(paths[2], middle.x, middle.y)
	p.await("what was dropped is pinned", `window.maulstick.snapshot().study.board.pins.length === 4`)
	p.awaitLittles("board-rows")
	if got := p.names(); got != "demo, on the easel; dawn; noon; dusk" {
		t.Errorf("on the board hang %s", got)
	}
	if note := p.text("board-note"); note != "Pinned dusk.png: 4 references." {
		t.Errorf("after dropping a photograph the board says %q", note)
	}
	p.chooseIn("pin-files", "../testdata/photo/html.jpg", "../testdata/photo/text.jpg")
	p.await("what is no photograph is refused", `document.getElementById('message-text').checkVisibility() && document.getElementById('message-text').innerText.startsWith('2 photographs cannot be pinned, html.jpg, text.jpg')`)
	p.press("message-close")
	// A little picture is 72 CSS pixels long, and shows the mean of the light.
	size := eval[[2]float64](p, `(() => { const e = document.querySelectorAll('#board-rows img')[1].getBoundingClientRect(); return [e.width, e.height]; })()`)
	if size != [2]float64{72, 54} {
		t.Errorf("the little picture of 320 x 240 pixels is %v", size)
	}
	p.littleIsOfLight(t)
	p.clickAt(`[data-key="pin-4"]`)
	p.press("board-earlier")
	p.press("board-earlier")
	p.fill("pin-name", "late light")
	p.settleKept()
	if got := p.names(); got != "demo, on the easel; late light; dawn; noon" {
		t.Errorf("ordered they are %s", got)
	}
	p.press("board-down")
	if p.settle(); p.names() != "demo, on the easel; dawn; noon" {
		t.Errorf("with one taken down there are %s", p.names())
	}
	p.press("undo")
}

// littleIsOfLight holds the little picture of the first slope to the mean of its light.
func (p *tab) littleIsOfLight(t *testing.T) {
	t.Helper()
	data, err := os.ReadFile(slope{"dawn", 320, 240, 16}.write(t))
	p.must(err)
	opened, err := photo.Decode(data)
	p.must(err)
	r, err := photo.NewReducing(opened.Picture.Size(), place.WholeCrop(opened.Picture.Size()), 72)
	p.must(err)
	r.Add(opened.Picture.Pix)
	want := r.Picture()
	at := eval[box](p, `(() => { const e = document.querySelectorAll('#board-rows img')[1].getBoundingClientRect(); return {X: e.x, Y: e.y, Width: e.width, Height: e.height}; })()`)
	screen, worst := p.see(), 0
	for y := range want.Height {
		for x := range want.Width {
			c := color.NRGBAModel.Convert(screen.At(int(math.Round(at.X))+x, int(math.Round(at.Y))+y)).(color.NRGBA)
			worst = max(worst, int(c.R)-int(want.At(x, y).R), int(want.At(x, y).R)-int(c.R))
		}
	}
	if worst > 1 {
		t.Errorf("the little picture is %d codes off the mean of the light", worst)
	}
}

// worksFromAnother puts another reference on the easel: its pixels are measured, Undo
// and Redo bring the others' back.
func (p *tab) worksFromAnother(t *testing.T) {
	t.Helper()
	for _, step := range []struct {
		key, name     string
		width, height int
	}{{"board-work", "dawn.png", 320, 240}, {"undo", "demo.jpg", 1800, 1218}, {"redo", "dawn.png", 320, 240}} {
		switch step.key {
		case "board-work":
			p.clickAt(`[data-key="pin-2"]`)
			p.press(step.key)
		case "undo":
			p.press(step.key)
		default:
			p.keys("y", chromedp.ModifierCtrl)
		}
		p.await(step.key+" brings "+step.name, `window.maulstick.snapshot().study.reference.name === %s`, step.name)
		p.settle()
		if d := p.snapshot().Study; d.Pixels() != (place.Pixels{Width: step.width, Height: step.height}) {
			t.Errorf("%s: the photograph is %v", step.name, d.Pixels())
		}
	}
	p.likeDrawn(t, "the reference that was taken up", look.Look{Steps: 5}, read(t, slope{"dawn", 320, 240, 16}.write(t)))
}

// laysBeside has the second reference seen beside the one on the easel, in the same
// looks, on a tablet lying and standing.
func (p *tab) laysBeside(t *testing.T) {
	t.Helper()
	p.clickAt(`[data-key="pin-3"]`)
	p.press("board-beside")
	p.settle()
	p.besideLike(t, "lying", look.Look{Steps: 5})
	p.press("mirror")
	p.press("filter")
	p.press("squint")
	p.besideLike(t, "mirrored and squinted at", look.Look{Steps: 5, Filter: true, Squint: true})
	p.resize(screens[1])
	p.settle()
	p.besideLike(t, "standing", look.Look{Steps: 5, Filter: true, Squint: true})
	p.resize(landscape)
	p.settle()
	p.press("squint")
	p.press("filter")
	p.press("mirror")
	p.settle()
}

// besideLike holds both halves of the screen to the processor's.
func (p *tab) besideLike(t *testing.T, what string, l look.Look) {
	t.Helper()
	p.settle()
	seen, s := p.picture(), p.snapshot()
	l.Blur = s.Study.Look.Blur
	w, h := s.Area.Width, s.Area.Height
	first, second := render.Rect{Width: w / 2, Height: h}, render.Rect{X: w / 2, Width: w - w/2, Height: h}
	if h > w {
		first, second = render.Rect{Width: w, Height: h / 2}, render.Rect{Y: h / 2, Width: w, Height: h - h/2}
	}
	other := read(t, slope{"noon", 240, 320, 25}.write(t))
	_, _, crop, _ := s.Study.ReferenceOf(s.Study.Board.Beside)
	const margin = 14
	pane := func(c place.Crop, at render.Rect) render.Pane {
		v := render.Fit(c, at.Width, at.Height, margin)
		v.Mirror = s.Study.View.Mirror
		return render.Pane{At: at, View: v, Look: l}
	}
	panes := []render.Pane{pane(s.Crop, first), pane(crop, second)}
	panes[1].Other = render.Other{Pyramid: other, Crop: crop}
	want := render.Execute(render.Plan{
		Width: w, Height: h, Crop: s.Crop, Canvas: s.Study.Size(), Surround: surroundOf(seen), Panes: panes,
	}, read(t, slope{"dawn", 320, 240, 16}.write(t)))
	worst := 0
	for i := range want.Pix {
		worst = max(worst, int(want.Pix[i])-int(seen.Pix[i]), int(seen.Pix[i])-int(want.Pix[i]))
	}
	if worst > 2 {
		t.Errorf("%s: side by side the screen is %d codes off", what, worst)
	}
}

// borrows draws round a part of the reference beside, and says what is borrowed.
func (p *tab) borrows(t *testing.T) {
	t.Helper()
	p.press("board-part")
	p.settle()
	p.drag(p.over(0.70, 0.30), p.over(0.78, 0.45))
	if !eval[bool](p, `document.getElementById('part-frame').checkVisibility()`) {
		t.Error("there is no frame about what is borrowed")
	}
	p.fill("borrow-words", "the sky from this one")
	p.press("board-borrow")
	p.settleKept()
	d := p.snapshot().Study
	if len(d.Board.Borrowed) != 1 {
		t.Fatalf("borrowed are %+v", d.Board.Borrowed)
	}
	_, _, crop, _ := d.ReferenceOf(d.Board.Beside)
	over := p.boxOf("overlay")
	scale := min((over.Width/2-28)/crop.Width, (over.Height-28)/crop.Height)
	l := d.Board.Borrowed[0]
	if l.Words != "the sky from this one" || l.From != 3 || math.Abs(l.Part.Width-0.08*over.Width/scale) > 2 || math.Abs(l.Part.Height-0.15*over.Height/scale) > 2 {
		t.Errorf("borrowed is %+v, at %v of its size on the screen", l, scale)
	}
	p.awaitLittles("borrowed-rows")
	p.clickAt(`[data-key="row-borrowed-1"]`)
	p.press("borrowed-away")
	p.settle()
	if n := len(p.snapshot().Study.Board.Borrowed); n != 0 {
		t.Errorf("%d things are borrowed still", n)
	}
	p.press("undo")
}

// keepsTheBoard finds everything again in a page that is loaded anew, with the files in
// the store and nothing but the one on the easel in memory.
func (p *tab) keepsTheBoard(t *testing.T) {
	t.Helper()
	p.settleKept()
	before, names := p.whole(), p.names()
	p.reload()
	p.settleCounted()
	p.awaitWhole("loaded anew", before)
	p.awaitLittles("board-rows")
	if now := p.names(); now != names {
		t.Errorf("loaded anew the board says %s, and said %s", now, names)
	}
	p.clickAt(`[data-key="pin-1"]`)
	p.press("board-work")
	p.await("the first reference is back on the easel", `window.maulstick.snapshot().study.reference.name === 'demo.jpg'`)
	p.settle()
}

// What the painter did and how the canvas stood is written down, found again, and seen
// side by side.
func TestLog(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).open(landscape, s.url())
	p.settleKept()
	p.press("tray-study")
	p.press("part-log")
	p.fillLog()
	middle := p.over(0.5, 0.5)
	p.fill("log-words", "glazed")
	p.drop(slope{"noon", 240, 320, 25}.write(t), middle.x, middle.y)
	p.await("what was dropped is in the log", `window.maulstick.snapshot().study.log.length === 3`)
	p.awaitLittles("log-rows")
	p.press("entry-1")
	p.fill("log-words", "darks first")
	p.press("entry-1")
	p.press("entry-3")
	p.press("log-beside")
	p.press("entry-2")
	p.settleKept()
	d := p.snapshot().Study
	if d.Log[0].Words != "darks first" || d.Log[2].Words != "glazed" || d.Log[1].Stage != "second sitting" || !slices.Equal(d.Compared, []int{2, 3}) {
		t.Errorf("the log is %+v, compared are %v", d.Log, d.Compared)
	}
	if state := p.text("state-study"); !strings.HasSuffix(state, "second sitting beside note of "+d.Log[2].Time.Format("2 January")) {
		t.Errorf("above the picture it says %q", state)
	}
	before := p.whole()
	p.reload()
	p.settleCounted()
	p.awaitWhole("loaded anew", before)
	seen := p.picture()
	w, h := seen.Rect.Dx(), seen.Rect.Dy()
	left, right := read(t, slope{"canvas", 300, 200, 20}.write(t)), read(t, slope{"noon", 240, 320, 25}.write(t))
	plan := render.Plan{Width: w, Height: h, Canvas: d.Size(), Surround: surroundOf(seen)}
	for i, y := range []*photo.Pyramid{left, right} {
		at := render.Rect{X: i * (w / 2), Width: w/2 + i*(w%2), Height: h}
		crop := place.WholeCrop(y.Picture().Size())
		plan.Panes = append(plan.Panes, render.Pane{At: at, View: render.Fit(crop, at.Width, h, 14), Look: look.Look{Steps: 5}, Other: render.Other{Pyramid: y, Crop: crop}})
	}
	want, worst := render.Execute(plan, left), 0
	for i := range want.Pix {
		worst = max(worst, int(want.Pix[i])-int(seen.Pix[i]), int(seen.Pix[i])-int(want.Pix[i]))
	}
	if worst > 1 {
		t.Errorf("side by side the photographs of the canvas are %d codes off", worst)
	}
	if faults := p.complaints(); len(faults) > 0 {
		t.Errorf("the console complains: %q", faults)
	}
}

// Without a pointer references are chosen, laid beside, borrowed from and taken up.
func TestBoardByKeyboard(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).open(landscape, s.url())
	p.settle()
	p.byKey("tray-study")
	p.byKey("part-board")
	p.pin(slopes(t)...)
	p.reachesAll(t, "board")
	p.tabTo("pin-2")
	p.keys("\r")
	p.byKey("board-beside")
	p.settle()
	p.byKey("board-part")
	p.settle()
	was := eval[box](p, partBox)
	p.tabTo("part-middle")
	for range 5 {
		p.keys(kb.ArrowRight)
	}
	p.settle()
	if now := eval[box](p, partBox); math.Abs(now.X-was.X-5) > 1 || math.Abs(now.Width-was.Width) > 1 {
		t.Errorf("five arrows move the part from %+v to %+v", was, now)
	}
	p.tabTo("borrow-words")
	p.keys("its light\r")
	p.byKey("board-borrow")
	p.settleKept()
	if d := p.snapshot().Study; len(d.Board.Borrowed) != 1 || d.Board.Borrowed[0].Words != "its light" {
		t.Errorf("borrowed are %+v", d.Board.Borrowed)
	}
	p.byKey("board-work")
	p.await("the other reference is on the easel", `window.maulstick.snapshot().study.reference.name === 'dawn.png'`)
	p.settle()
}

const partBox = `(() => { const b = document.getElementById('part-frame').getBoundingClientRect(); return {X: b.x, Y: b.y, Width: b.width, Height: b.height}; })()`

// A study whose photographs were pinned and killed at once has them, or is the one before.
func TestPinsSurviveAKill(t *testing.T) {
	s, profile := newSite(t), t.TempDir()
	b := startBrowser(t, profile)
	p := b.open(landscape, s.url())
	p.settleKept()
	p.press("tray-study")
	p.press("part-board")
	p.pin(slopes(t)...)
	p.settleKept()
	b.kill()
	p = startBrowser(t, profile).open(landscape, s.url())
	p.settle()
	for id, name := range map[int]string{2: "dawn.png", 3: "noon.png", 4: "dusk.png"} {
		p.clickAt(fmt.Sprintf(`[data-key="pin-%d"]`, id))
		p.press("board-work")
		p.await(name+" is on the easel", `window.maulstick.snapshot().study.reference.name === %s`, name)
		p.settle()
	}
}
