package easel

import (
	"math"
	"reflect"
	"slices"
	"sort"

	"maulstick/render"
	"maulstick/render/check"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
	"maulstick/render/verdict"
)

// PaintingAsk asks where the canvas is on a photograph of the log, or how what is painted
// there compares with the part of the photograph on the easel that is painted.
type PaintingAsk struct {
	Photograph study.Reference // of the canvas
	Part       place.Crop      // of the photograph on the easel, set right
	Find       bool            // the canvas alone
	Ask        verdict.Ask
}

// painting is the check of the painting: what is asked of it, and what was found last.
type painting struct {
	last   int // the number of the newest request
	busy   bool
	share  float64 // 0..1
	ask    PaintingAsk
	of     int    // the note that it is about
	stands string // the photograph on the easel that it is about
	failed string // why the last request was not answered, in sentences

	entry  int                  // the note whose photograph is checked; 0 for the newest
	found  map[int]check.Canvas // canvases that were found, by the note
	answer *verdict.Answer
	to     PaintingAsk // what answer answers
	key    string      // of the photograph on the easel then
	both   verdict.Pictures

	seen   comparison
	mix    float64 // how much of the painting is seen, 0 to 1
	other  bool    // taken in turn, the painting is seen now
	made   *render.Made
	madeOf blend
	told   string // what is listed: a key of toldKeys
	arrow  int    // of the painter's, chosen, from 1; 0 for none
}

// newPainting is before anything was checked.
func newPainting(last int) painting {
	return painting{last: last, found: map[int]check.Canvas{}, mix: 0.5, told: "drawing"}
}

func init() {
	for name, do := range map[string]func(*Easel){
		"painting-open":    func(e *Easel) { e.host.LogFile() },
		"painting-earlier": func(e *Easel) { e.otherPhotograph(-1) },
		"painting-later":   func(e *Easel) { e.otherPhotograph(+1) },
		"painting-corners": (*Easel).pressCorners,
		"painting-find":    (*Easel).findOn,
		"painting-check":   (*Easel).checkPainting,
		"painting-stop":    (*Easel).stopChecking,
	} {
		keys[name] = do
	}
}

// onCheck says whether the Check tray is open at one of its parts.
func (e *Easel) onCheck(part string) bool {
	return e.history != nil && e.doc().Tray == study.TrayCheck && e.doc().Parts.Check == part
}

// photographed are the notes of the log that have a photograph of the canvas.
func (e *Easel) photographed() []study.Entry {
	return slices.DeleteFunc(slices.Clone(e.doc().Log), func(n study.Entry) bool { return n.Photograph == nil })
}

// checkedEntry is the note whose photograph is checked: the one that was chosen, or the
// newest; ok is false where the log has no photograph.
func (e *Easel) checkedEntry() (n study.Entry, ok bool) {
	d := e.doc()
	if n, ok = d.Entry(e.painting.entry); ok && n.Photograph != nil {
		return n, true
	}
	for _, n := range slices.Backward(d.Log) {
		if n.Photograph != nil {
			return n, true
		}
	}
	return study.Entry{}, false
}

// otherPhotograph turns to the photograph of the canvas before or after.
func (e *Easel) otherPhotograph(by int) {
	all := e.photographed()
	n, ok := e.checkedEntry()
	if !ok {
		return
	}
	at := slices.IndexFunc(all, func(o study.Entry) bool { return o.ID == n.ID }) + by
	if at >= 0 && at < len(all) {
		e.turnToEntry(all[at].ID)
	}
}

// turnToEntry has the photograph of a note checked from now on.
func (e *Easel) turnToEntry(id int) {
	e.settle()
	e.stopChecking()
	e.row, e.painting.arrow, e.painting.failed, e.palette.chosen = "", 0, "", 0
	e.painting.entry = id
}

// asking is the question as it is put now; ok is false where there is no canvas or no
// photograph of it.
func (e *Easel) asking() (ask PaintingAsk, ok bool) {
	d := e.doc()
	n, ok := e.checkedEntry()
	if !ok || !d.HasCanvas() {
		return ask, false
	}
	ask = PaintingAsk{Photograph: *n.Photograph, Part: d.Crop(), Ask: verdict.Ask{
		Canvas: d.Size(), Steps: d.Look.Flat(), Smallest: d.Finding.Smallest, Cards: named(n.Cards),
	}}
	if len(n.Corners) == 4 {
		ask.Ask.Corners = n.Corners
	} else if c, known := e.painting.found[n.ID]; known {
		ask.Ask.Outline = &c
	}
	return ask, true
}

// pose asks the host.
func (e *Easel) pose(ask PaintingAsk) {
	e.settle()
	e.moveOn()
	e.stopChecking()
	p := &e.painting
	p.last++
	n, _ := e.checkedEntry()
	p.busy, p.share, p.ask, p.failed = true, 0, ask, ""
	p.of, p.stands = n.ID, e.PhotoKey()
	e.host.CheckPainting(p.last, ask)
}

// findOn finds what is being put on the photograph of the canvas: its cards, or else its
// corners.
func (e *Easel) findOn() {
	if e.carding() {
		e.findPatches()
		return
	}
	e.findCanvas()
}

// findCanvas has the canvas found, in place of corners that the painter put.
func (e *Easel) findCanvas() {
	n, there := e.checkedEntry()
	if ask, ok := e.asking(); ok && there {
		if len(n.Corners) > 0 {
			e.do(e.doc().WithCorners(n.ID), "")
		}
		ask.Find, ask.Ask.Corners, ask.Ask.Outline, ask.Ask.Cards = true, nil, nil, nil
		e.pose(ask)
	}
}

// checkPainting has the painting checked.
func (e *Easel) checkPainting() {
	if ask, ok := e.asking(); ok {
		e.tool = inHand{}
		e.pose(ask)
	}
}

// stopChecking gives up what is being found or checked.
func (e *Easel) stopChecking() {
	if e.painting.busy {
		e.painting.busy = false
		e.host.StopChecking()
	}
}

// Checking says how far the CheckPainting of that number is, 0 to 1.
func (e *Easel) Checking(id int, share float64) {
	if e.painting.busy && id == e.painting.last {
		e.painting.share = portion(share)
	}
	e.after()
}

// CheckFailed says that the CheckPainting of that number cannot be answered, and why.
func (e *Easel) CheckFailed(id int, why string) {
	if e.painting.busy && id == e.painting.last {
		e.painting.busy, e.painting.failed = false, sentence(why)
		e.says.news = e.painting.failed
	}
	e.after()
}

// Checked answers the CheckPainting of that number, with the painting squared up and the
// reference in its size where there is a canvas. Of a number that is not the newest, or
// that was stopped, it is ignored.
func (e *Easel) Checked(id int, answer verdict.Answer, both verdict.Pictures) {
	p := &e.painting
	if !p.busy || id != p.last {
		e.after()
		return
	}
	p.busy = false
	if e.hand.doing == drawing { // which would go on with another tool, or after another step
		e.settle()
	}
	n, ok := e.doc().Entry(p.of)
	if !ok || n.Photograph == nil || p.stands != e.PhotoKey() {
		e.after()
		return // it is of something that has gone
	}
	switch {
	case answer.Err != "":
		p.failed = sentence(answer.Err) + " " + sentence(answer.Hint)
	case answer.Canvas.Found && !p.ask.Find && both.Painting == nil:
		p.failed = sentence("the painting could not be squared up")
	case p.ask.Find || answer.Nothing && both.Painting == nil:
		e.tookCanvas(n.ID, answer)
	default:
		e.tookCheck(n.ID, answer, both)
	}
	if p.failed != "" {
		e.says.news = p.failed
	}
	e.after()
}

// tookCanvas takes a canvas that was found, or has the painter put its corners.
func (e *Easel) tookCanvas(entry int, answer verdict.Answer) {
	p := &e.painting
	if answer.Nothing {
		delete(p.found, entry)
		p.failed = sentence(answer.Declined) + " " + sentence(answer.Help)
		if e.onCheck("painting") {
			e.tool = inHand{tool: canvasser}
		}
		return
	}
	p.found[entry] = answer.Canvas
	e.says.news = "The canvas is found. Look whether its corners lie right."
}

// tookCheck takes what was found about the painting, and keeps it with the study.
func (e *Easel) tookCheck(entry int, answer verdict.Answer, both verdict.Pictures) {
	p := &e.painting
	if answer.Canvas.Found {
		p.found[entry] = answer.Canvas
		p.ask.Ask.Outline = &answer.Canvas
	}
	p.answer, p.both, p.to, p.key = &answer, both, p.ask, p.stands
	p.made, e.row = nil, ""
	if p.seen == seenReference {
		p.seen = seenOver
	}
	kept := e.kept(entry, answer)
	kept.Cards = len(p.to.Ask.Cards)
	e.do(e.doc().WithCheck(kept), "")
	e.says.news = "The painting is checked. " + e.paintingNote()
}

// kept is what of an answer stays with the study.
func (e *Easel) kept(entry int, a verdict.Answer) study.Checked {
	c := study.Checked{
		Entry: entry, Time: e.now(), Corners: a.Canvas.Corners[:], Found: a.Canvas.Found,
		Matched: len(a.Matches), Slips: len(a.Slips), Shapes: len(a.Values), Broken: len(a.Broken), Range: a.Range.Of,
		Declined: a.Declined,
	}
	if !a.Nothing {
		c.DX, c.DY, c.Turn, c.Stretch = a.Whole.DX, a.Whole.DY, a.Whole.Turn, [2]float64{a.Whole.Across, a.Whole.Down}
		c.Off = middleOff(a.Matches)
	}
	for _, s := range a.Slips {
		c.Worst = max(c.Worst, s.Size())
	}
	area := 0.0
	for _, v := range a.Values {
		c.Steps += v.Share * math.Abs(v.Difference)
		area += v.Share
		if v.Off {
			c.StepsOff++
		}
	}
	if area > 0 {
		c.Steps /= area
	}
	return c
}

// middleOff is how far places lie off where they belong, the middle one of all.
func middleOff(matches []check.Match) place.MM {
	if len(matches) == 0 {
		return 0
	}
	off := make([]place.MM, len(matches))
	for i, m := range matches {
		off[i] = place.MM(math.Hypot(float64(m.DX), float64(m.DY)))
	}
	sort.Slice(off, func(i, j int) bool { return off[i] < off[j] })
	return off[len(off)/2]
}

// verdict is what was found about the photograph that is turned to, whatever has been
// changed since; nil where it was not checked since the study was opened.
func (e *Easel) verdict() *verdict.Answer {
	p := &e.painting
	if p.answer == nil {
		return nil
	}
	n, ok := e.checkedEntry()
	if !ok || p.to.Photograph.Hash != n.Photograph.Hash || p.key != e.PhotoKey() {
		return nil
	}
	return p.answer
}

// stale says whether what was found answers another question than the one put now.
func (e *Easel) stale() bool {
	ask, ok := e.asking()
	was := e.painting.to
	if ask.Ask.Corners == nil && was.Ask.Corners == nil {
		ask.Ask.Outline, was.Ask.Outline = nil, nil
	}
	return !ok || !reflect.DeepEqual(ask, was)
}

// compared is what was found, where it lies on the photograph as it is cropped now.
func (e *Easel) compared() *verdict.Answer {
	a := e.verdict()
	if a == nil || e.painting.to.Part != e.doc().Crop() || e.painting.to.Ask.Canvas != e.doc().Size() {
		return nil
	}
	return a
}

// onPhotograph is where a place of the canvas lies on the photograph on the easel.
func (e *Easel) onPhotograph(at place.CanvasPoint) place.PhotoPoint {
	return e.doc().Mapping().ToPhoto(at)
}

// picturesFor are the two pictures of a check that is shown, nil for none.
func (e *Easel) picturesFor() (reference, painted *photo.Picture) {
	if e.compared() == nil || e.painting.both.Painting == nil {
		return nil, nil
	}
	return e.painting.both.Reference, e.painting.both.Painting
}
