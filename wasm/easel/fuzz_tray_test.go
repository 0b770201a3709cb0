package easel

import (
	"fmt"
	"slices"
	"sync"
	"testing"

	"maulstick/render"
	"maulstick/render/check"
	"maulstick/render/palette"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/setout"
	"maulstick/render/study"
	"maulstick/render/verdict"
)

// actTrays does one message of a script about lines, the crop, spans or sheets.
func (b *bench) actTrays(s *script) {
	switch s.byte() % 14 {
	case 12, 13:
		b.actPainting(s)
	case 0:
		b.answerLines(s)
	case 1, 2:
		b.answerRight(s)
	case 3:
		b.answerPrint(s)
	case 4:
		name := s.pick(append(slices.Clone(gripOrder), "corner-0", "corner-1", "corner-2", "corner-3", "corner-4", "x",
			"canvas-0", "canvas-1", "canvas-2", "canvas-3", "canvas-4", "arrow-from", "arrow-to", "part-top-left", "part-x"))
		b.NudgeHandle(name, s.coordinate(), s.coordinate())
	case 5:
		b.Calibrated(s.coordinate() / 100)
	case 6:
		b.Type(s.pick([]string{"tilt", "flat-size", "figures", "turnover", "margin"}), s.pick(typedTexts))
	case 8, 9, 10, 11:
		b.actBoard(s)
	case 7:
		b.Press(s.pick([]string{
			"tray-line", "tray-place", "part-straighten", "part-crossings", "part-span", "crop-hand", "corners", "square-up",
			"level-line", "plumb-line", "span-new", "eye-draw", "use-thirds", "use-plumb", "undo", "redo", "as-it-came", "hold-free",
		}))
	}
}

// actBoard does one message of a script about references and the log.
func (b *bench) actBoard(s *script) {
	id := b.Easel.lastLaid - int(s.byte()%4)/3
	n := int(s.byte())%3 + 1
	ref := study.Reference{Name: "\x00 a.b.jpg", Hash: fmt.Sprintf("%064x", n), Bytes: n, Width: 500 + n, Height: 300 * n}
	switch s.byte() % 12 {
	case 10, 11:
		b.actPalette(s, ref)
	case 0:
		b.Pinned(int(s.byte()), ref)
	case 1:
		b.Logged(ref)
	case 2:
		b.LayFailed(id, "it is missing")
	case 3:
		b.Laying(id, s.coordinate())
	case 4:
		for key := range b.Easel.littles {
			b.LittleFailed(key, "it is missing")
			break
		}
	case 5, 6:
		b.Press(s.pick([]string{"pin-1", "pin-2", "pin-3", "board-work", "board-work", "board-beside", "board-part", "board-borrow", "board-down", "undo", "redo"}))
	case 7:
		b.Press(s.pick([]string{"entry-1", "entry-2", "log-beside", "log-add", "log-away", "tray-study", "part-board", "part-log"}))
	default:
		for _, l := range b.lays {
			if l.id == id && b.laidBy(id) != nil {
				b.Laid(id, smallCopy(40+n, 30))
			}
		}
	}
}

// actPalette does one message of a script about cards and piles.
func (b *bench) actPalette(s *script, ref study.Reference) {
	id := b.Easel.palette.last - int(s.byte()%4)/3
	switch s.byte() % 6 {
	case 0:
		b.PaletteTaken(ref)
	case 1:
		b.PaletteFailed(id, "it is missing")
	case 2:
		b.PaletteReading(id, s.coordinate())
	case 3:
		b.Type(s.pick([]string{"card-value", "pile-card"}), s.pick([]string{"2", "5", "9", "L52", "", "grey", "11"}))
	case 4:
		b.Press(s.pick([]string{
			"tray-check", "part-cards", "part-palette", "cards-find", "palette-take", "cards-away", "palette-away", "cards-use", "touch-1", "touch-2", "undo", "redo",
		}))
	default:
		answer := palette.Answer{Wrong: "they are out of order", Wanted: "look again"}
		if s.byte()%3 > 0 {
			answer = palette.Answer{Cards: &palette.Cards{Faces: []palette.Face{{Value: 2}, {Value: 9}}}, Found: []place.PhotoPoint{{X: 3, Y: 4}, {X: 100, Y: 50}}}
			for _, t := range b.Easel.palette.asked.Piles {
				answer.Piles = append(answer.Piles, palette.Reading{At: t.At, Said: "right"})
			}
		}
		b.PaletteRead(id, answer)
	}
}

// actPainting does one message of a script about the check of the painting, its cards and
// its stages.
func (b *bench) actPainting(s *script) {
	id := b.Easel.painting.last - int(s.byte()%4)/3
	n := int(s.byte())%3 + 1
	switch s.byte() % 10 {
	case 0:
		b.Logged(study.Reference{Name: "canvas.jpg", Hash: fmt.Sprintf("%064x", n), Bytes: n, Width: 500 + n, Height: 300 * n})
	case 1:
		b.CheckFailed(id, "it is missing")
	case 2:
		b.Checking(id, s.coordinate())
	case 3:
		b.Type(s.pick([]string{"painting-mix", "canvas-card"}), s.pick([]string{"2", "5", "9", "L52", "", "grey", "11", "NaN", "100"}))
	case 4, 5:
		b.Press(s.pick([]string{
			"tray-check", "part-painting", "painting-check", "painting-corners", "painting-cards", "painting-find", "painting-stop",
			"painting-earlier", "painting-later", "arrow-draw", "arrow-new", "arrow-away", "undo", "redo", "log-away",
		}))
	case 6:
		b.Press(s.pick([]string{
			"told-drawing", "told-values", "told-colour", "seen-over", "seen-turn", "seen-divided", "seen-lighter", "row-slip-1", "row-slip-2",
			"row-value-1", "row-order-1", "row-arrow-1", "touch-1", "touch-2", "part-stages", "stage-1", "stage-2", "stages-again", "stages-away",
		}))
	default:
		b.Checked(id, fuzzedVerdict(s), squaredUp(s.byte()%4 > 0))
	}
}

// fuzzedVerdict is an answer to a check of any kind.
func fuzzedVerdict(s *script) verdict.Answer {
	a := verdictOf()
	a.Canvas.Found = s.byte()%3 > 0
	if !a.Canvas.Found {
		a.Canvas.Bow = check.Bow{}
	}
	at := place.CanvasPoint{X: place.MM(s.byte()) * 5, Y: place.MM(s.byte()) * 5}
	a.Slips[0].At, a.Values[0].At = at, at
	switch s.byte() % 6 {
	case 0:
		return verdict.Answer{Err: "the corners cross", Hint: "put them in order"}
	case 1:
		return verdict.Answer{Declined: "no outline is surely the canvas's", Help: "touch the corners", Nothing: true}
	case 2:
		return verdict.Answer{Canvas: a.Canvas, Declined: "it shows too little", Help: "go on", Nothing: true}
	case 3:
		return verdict.Answer{Canvas: a.Canvas, Whole: a.Whole, Matches: a.Matches, Declined: "its light is too uneven", Help: "use cards"}
	}
	return a
}

// squaredUp are the pictures that come with an answer, or none.
func squaredUp(there bool) verdict.Pictures {
	if there {
		return squares()
	}
	return verdict.Pictures{}
}

// smallCopy is a small copy of that size.
func smallCopy(width, height int) *photo.Pyramid {
	y := photo.NewPyramid(photo.New(width, height))
	y.Finish()
	return y
}

// holdsAway checks what is drawn while the picture on the easel is out of sight.
func holdsAway(t *testing.T, plan render.Plan) {
	t.Helper()
	for _, p := range plan.Panes {
		if p.Other.Pyramid == nil {
			t.Fatalf("the picture on the easel is in sight: %+v", p)
		}
	}
}

// setOutOnce are the lines that were set out in any script.
var setOutOnce sync.Map

// answerLines is what the page answers to a plan of lines, the newest or one before.
func (b *bench) answerLines(s *script) {
	if len(b.lineAsks) == 0 {
		return
	}
	back := min(int(s.byte()%4)/3, len(b.lineAsks)-1) // mostly the newest
	ask := b.lineAsks[len(b.lineAsks)-1-back]
	answer, known := setOutOnce.Load(ask)
	if !known {
		answer = setout.Draw(ask)
		setOutOnce.Store(ask, answer)
	}
	b.Easel.SetOut(b.setting.last-back, answer.(setout.Answer))
}

// answerRight is what the page answers when a photograph is to be set right.
func (b *bench) answerRight(s *script) {
	id := b.right.last - int(s.byte()%4)/3
	switch s.byte() % 8 {
	case 0:
		b.RightFailed(id, "out of memory")
	case 1:
		b.Easel.Righting(id, s.coordinate())
	case 2:
		b.Righted(id, nil)
	case 3:
		b.Righted(id, photo.New(b.right.size.Width+1, 30))
	default:
		if size := b.right.size; size.Width > 0 {
			b.Righted(id, photo.New(size.Width, size.Height))
		}
	}
}

// answerPrint is what the page answers when sheets are to be made.
func (b *bench) answerPrint(s *script) {
	id := b.printing.last - int(s.byte()%4)/3
	switch s.byte() % 3 {
	case 0:
		b.Easel.Printing(id, s.coordinate())
	case 1:
		b.Printed(id)
	case 2:
		b.PrintFailed(id, "out of memory")
	}
}

// holdsTrays checks that what is measured on is what is seen: the picture is the
// study's photograph as it is set right, the crop shows nothing beyond it, and all
// that is drawn over it has a place.
func (b *bench) holdsTrays(t *testing.T, f Face, plan render.Plan) {
	t.Helper()
	d := b.doc()
	if size := b.picture.Size(); size != d.Pixels() {
		t.Fatalf("the picture has %v pixels, the study's photograph %v", size, d.Pixels())
	}
	if err := d.Crop().Check(d.Pixels()); err != nil {
		t.Fatal(err)
	}
	if !turnOf(t, d).Holds(d.Crop()) {
		t.Fatalf("the crop %v shows what lies beyond the photograph, which is turned by %v", d.Crop(), d.Righting.Tilt)
	}
	for _, s := range plan.Strokes {
		if !isNumber(s.From.X, s.From.Y, s.To.X, s.To.Y) || !(s.Width > 0) || !(s.Strength > 0 && s.Strength <= 1) {
			t.Fatalf("a stroke cannot be drawn: %+v", s)
		}
	}
	for _, h := range f.Handles {
		if !isNumber(h.X, h.Y) || h.Label == "" {
			t.Fatalf("a handle cannot stand: %+v", h)
		}
	}
	if r := f.Frame; r != nil && (!isNumber(r.X, r.Y) || !(r.Width > 0 && r.Height > 0)) {
		t.Fatalf("the crop cannot be framed: %+v", *r)
	}
	if r := f.Part; r != nil && (!isNumber(r.X, r.Y, r.Width, r.Height) || !(r.Width > 0 && r.Height > 0)) {
		t.Fatalf("the part cannot be framed: %+v", *r)
	}
	for _, p := range plan.Panes {
		if c := p.Other.Crop; p.Other.Pyramid != nil && (!(c.Width > 0 && c.Height > 0) || !isNumber(c.X, c.Y)) {
			t.Fatalf("nothing of the picture beside is in sight: %+v", c)
		}
	}
	if !(f.Card[0] > 0 && f.Card[1] > 0) {
		t.Fatalf("a bank card is %v CSS pixels large", f.Card)
	}
}

// turnOf is the turning of a study's photograph, after its squaring up.
func turnOf(t *testing.T, d study.Document) place.Turn {
	t.Helper()
	_, size, err := study.Righting{Corners: d.Righting.Corners, Flat: d.Righting.Flat}.Forward(
		place.Pixels{Width: d.Reference.Width, Height: d.Reference.Height})
	if err != nil {
		t.Fatal(err)
	}
	return place.Turn{Photo: size, Tilt: d.Righting.Tilt}
}

// pressing are the bytes of a script that presses keys.
func pressing(names ...string) []byte {
	var data []byte
	for _, name := range names {
		i := slices.Index(pressable(), name)
		if i < 0 {
			panic("there is no key " + name)
		}
		data = append(data, 4, byte(i), byte(i>>8))
	}
	return data
}

// typing are those of one that types.
func typing(field, text string) []byte {
	f, x := slices.Index(typedFields, field), slices.Index(typedTexts, text)
	if f < 0 || x < 0 {
		panic("nobody types " + text + " in " + field)
	}
	return []byte{7, byte(f), byte(x)}
}

// Bytes of scripts: a touch that is drawn from place to place, and what the page
// answers.
var (
	drawn    = []byte{0, 0, 1, 1, 60, 60, 0, 1, 1, 1, 140, 70, 0, 2, 1, 1, 150, 120}
	tapped   = []byte{0, 0, 1, 1, 90, 90, 0, 2, 1, 1, 90, 90, 11, 200}
	filled   = []byte{12, 2}
	setOut   = []byte{20, 0, 0}
	righted  = []byte{20, 1, 0, 7}
	pinnedTo = []byte{20, 8, 0, 1, 0, 1}
	written  = []byte{20, 8, 0, 1, 1}
	laidOut  = []byte{20, 8, 0, 1, 9}
	logged   = []byte{20, 12, 0, 1, 0}
	checked  = []byte{20, 12, 0, 1, 7, 1, 40, 30, 5, 1}
	outlined = []byte{20, 12, 0, 1, 7, 1, 40, 30, 2, 0}
	refound  = []byte{20, 12, 0, 1, 7, 1, 40, 30, 1, 0}
)

// seeds are scripts to begin with.
func seeds() [][]byte {
	return [][]byte{
		slices.Concat(pressing("tray-place"), tapped, drawn),
		slices.Concat(pressing("tray-place"), []byte{0, 0, 1, 1, 60, 60, 1, 0, 2, 1, 90, 90, 2, 1, 2, 1, 140, 90, 3, 3, 1, 1, 0, 0, 10, 80, 80, 3}),
		slices.Concat(typing("canvas", "33 x 70 in"), pressing("tray-place", "canvas-turn", "undo", "redo")),
		slices.Concat([]byte{13, 0, 0}, filled, pressing("handsoff"), []byte{11, 255}, pressing("unlock"), []byte{11, 255, 12, 1, 13, 1}),
		slices.Concat(filled, []byte{18, 1, 19, 3, 14, 3, 100, 19, 5, 14, 2, 90, 15, 2, 60, 19, 6}, typing("cards", "1.5, 3.5, 5.5"), []byte{19, 4, 19, 5}),
		slices.Concat(filled, []byte{19, 0, 16, 0, 2, 3, 60, 60, 1, 2, 3, 90, 50, 20, 19, 1, 17, 4, 2, 3, 9, 9, 9, 9, 9, 9, 9, 9, 19, 2, 19, 7}, tapped, []byte{19, 5}),
		slices.Concat(filled, typing("canvas", "24 x 36 in"), pressing("tray-line", "crop-hand"), drawn, []byte{20, 4, 3, 200, 5}, pressing("hold-free"), drawn, pressing("undo", "hold-canvas", "stretcher-0")),
		slices.Concat(filled, typing("canvas", "8 x 10 in"), pressing("tray-line", "level-line"), drawn, righted, pressing("crop-hand"), drawn, pressing("undo", "undo"), righted, pressing("redo"), righted),
		slices.Concat(filled, typing("flat-size", "8 x 10 in"), pressing("tray-line", "part-straighten", "corners"), drawn, pressing("square-up"), righted, typing("tilt", "1.5"), righted, pressing("as-it-came"), righted, pressing("undo"), righted),
		slices.Concat(filled, typing("canvas", "8 x 10 in"), pressing("tray-line", "part-lines", "use-thirds", "use-diagonals"), setOut, pressing("part-crossings", "row-crossing-1", "focal-here", "part-chalk"), setOut, pressing("strike-top:304800", "part-crossings", "eye-draw"), drawn),
		slices.Concat(filled, typing("canvas", "8 x 10 in"), pressing("tray-place"), tapped, pressing("span-new"), drawn, pressing("part-list", "span-thirds", "row-listspan-1", "order-up", "spans-save", "part-size", "size-1"), []byte{20, 5, 140}, pressing("size-8")),
		slices.Concat(filled, typing("canvas", "8 x 10 in"), pressing("tray-study", "part-sheets", "print-cartoon"), typing("paper", "210 x 297"), pressing("print"), []byte{20, 3, 0, 0, 20}, pressing("plot-stop", "print"), []byte{20, 3, 0, 1}),
		slices.Concat(filled, typing("canvas", "8 x 10 in"), pressing("tray-study", "part-board"), pinnedTo, pressing("board-beside"), laidOut, pressing("board-part"), drawn, typing("borrow-words", "stalk"), pressing("board-borrow", "row-borrowed-1", "board-work"), righted, pressing("undo"), righted, pressing("redo"), righted),
		slices.Concat(filled, pressing("tray-study", "part-log"), written, written, pressing("entry-1", "entry-2", "log-beside"), laidOut, tapped, pressing("tray-place"), typing("log-words", "stalk"), pressing("undo", "log-add", "log-away")),
		slices.Concat(filled, typing("canvas", "24 x 36 in"), pressing("tray-check", "part-painting"), logged, pressing("painting-check"), checked, pressing("row-slip-1", "told-values", "row-value-1", "seen-turn", "seen-turn", "arrow-draw"), drawn, pressing("row-arrow-1", "arrow-away", "part-stages", "stage-1", "stages-away", "undo", "undo")),
		slices.Concat(filled, typing("canvas", "24 x 36 in"), pressing("tray-check", "part-painting"), logged, pressing("painting-corners"), outlined, laidOut, drawn, pressing("painting-check"), refound, laidOut, drawn, pressing("undo", "painting-find"), checked, pressing("undo", "undo")),
		slices.Concat(filled, typing("canvas", "24 x 36 in"), pressing("tray-check", "part-painting"), logged, logged, pressing("painting-cards"), laidOut, tapped, typing("canvas-card", "5"), drawn, typing("canvas-card", "9"), pressing("painting-earlier", "painting-check"), checked, pressing("painting-later", "touch-1", "arrow-away", "undo", "undo", "undo")),
	}
}
