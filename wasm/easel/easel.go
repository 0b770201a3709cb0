package easel

import (
	"reflect"
	"time"

	"maulstick/render"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/study"
	"maulstick/render/survey"
)

// Easel holds one open study and everything about how it is being looked at
// and handled. It is used from one goroutine. After every message the page
// reads Face, and Plan if Redraw was called, and calls Tick.
type Easel struct {
	host Host
	now  func() time.Time

	history  *study.History // nil until a study is open
	picture  *photo.Picture
	filled   bool // the picture's pixels have all arrived
	readOnly bool // the study is of a newer form and must not be written

	width, height int     // CSS pixels of the picture's area
	dpr           float64 // device pixels a CSS pixel

	started bool // what the page begins with is there, or is known not to be
	plain   bool // the photograph is shown as it is while the key is held
	armed   bool // the next touch places a mark whatever lies under it
	hand    hand
	lock    lock
	keeping keeping
	shelf   shelved
	counts  counts
	surveys surveys

	row       string    // the row of a list that is looked at, by its key
	contrasts string    // the kind of contrast that is listed
	picking   bool      // the next touch picks the neutral
	outlining bool      // outlines are to be handed over as soon as they are there
	edgeMoved time.Time // when an edge between steps was last moved
	cards     field
	smallest  field

	tool      inHand
	right     righting
	laid      map[string]*laid  // by the key of their aside
	lastLaid  int               // the number of the newest Lay
	littles   map[string]string // those asked for by key, with why they cannot be made
	board     board
	log       logging
	camera    camera
	palette   paletteDesk
	painting  painting
	setting   setting
	printing  printing
	screen    calibration
	sized     float64 // the part of the true size that is shown, 0 for none in particular
	stock     string  // the kind of stock sizes that is offered
	nearLines bool    // marks are read from the nearest line, too
	diagonals string  // of the canvas, as they were typed

	canvas, turnover, margin, figures, tilt, flat, paper field
	flatTyped                                            place.Size // of the flat thing

	says notes

	drawn render.Plan // as of the last Redraw
	asked bool        // Redraw has been called for drawn
}

// New is an easel with nothing on it. The clock need not be monotonic, but
// must not stand still.
func New(h Host, now func() time.Time) *Easel {
	return &Easel{
		host: h, now: now, dpr: 1, stock: "all", contrasts: shape.ByValue.String(),
		surveys: surveys{of: map[survey.Kind]*question{}}, laid: map[string]*laid{}, littles: map[string]string{},
		painting: newPainting(0),
	}
}

// Show puts a study on the easel in place of the one before, which is kept if
// it has changed: a new photograph, the demo, or a study that was kept (kept
// true: nothing needs writing). The picture has the document's size; its pixels
// may still be arriving, until Filled. A document of a newer form is shown and
// never written.
func (e *Easel) Show(doc study.Document, pic *photo.Picture, kept bool) {
	if e.keeping.dirty {
		e.keepNow()
	}
	e.hand.drop()
	e.stopSurveys()
	another := e.started
	e.history, e.started = study.NewHistory(doc), true
	e.picture, e.filled = pic, false
	e.readOnly = doc.Format > study.Format
	e.plain, e.armed, e.picking, e.outlining, e.row = false, false, false, false, ""
	e.surveys.of = map[survey.Kind]*question{}
	e.forgetRefused()
	e.flatTyped, e.diagonals = place.Size{}, ""
	e.stopPlotting()
	e.stopChecking()
	e.painting = newPainting(e.painting.last)
	e.sized = 0
	e.dropCamera("")
	e.tool, e.right.busy, e.counts = inHand{}, false, counts{last: e.counts.last}
	e.setting = setting{last: e.setting.last}
	e.printing = printing{last: e.printing.last}
	e.laid, e.littles = map[string]*laid{}, map[string]string{}
	e.board, e.log = board{}, logging{}
	e.palette = paletteDesk{last: e.palette.last + 1}
	e.says.opening, e.says.message = "", ""
	e.keeping.begin(kept)
	e.says.news = "Opened " + doc.Name + "."
	e.host.Awake(true)
	if !kept {
		e.keepNow()
	}
	if another {
		e.lookAtShelf()
	}
	e.after()
}

// Started says that nothing comes by itself any more: without a study the
// painter is now led to opening one.
func (e *Easel) Started() {
	e.started = true
	e.lookAtShelf()
	e.after()
}

// Filled says that all pixels of the picture have arrived: values can be read
// and steps counted.
func (e *Easel) Filled() {
	e.filled = e.picture != nil
	e.after()
}

// Resize tells the size of the picture's area in CSS pixels, and how many
// device pixels a CSS pixel has. Sizes that cannot be are ignored.
func (e *Easel) Resize(width, height int, dpr float64) {
	if width < 0 || height < 0 || !(dpr > 0 && dpr < 100) {
		return
	}
	if width == e.width && height == e.height && dpr == e.dpr {
		return
	}
	e.width, e.height, e.dpr = width, height, dpr
	e.keepSize()
	e.rebase()
	e.after()
}

// Leave says that the page is being hidden or closed: what is not kept yet is
// kept now, and nothing stays held.
func (e *Easel) Leave() {
	e.hand.drop()
	e.plain, e.lock.holding = false, false
	if c := &e.camera; c.lens != lensOff || c.picture != nil {
		e.dropCamera("The camera was let go when the page went out of sight. Press Look through it to look on.")
	}
	if e.keeping.dirty {
		e.keepNow()
	}
	e.host.Awake(false)
	e.after()
}

// Return says that the page is seen again after Leave.
func (e *Easel) Return() {
	if e.history != nil {
		e.host.Awake(true)
	}
	e.after()
}

// Tick lets what waits for its time happen, and says how long until it must be
// called again; 0 when nothing waits.
func (e *Easel) Tick() (next time.Duration) {
	now := e.now()
	e.tickKeep(now)
	e.tickLock(now)
	e.tickHand(now)
	e.tickCamera(now)
	e.after()
	for _, due := range []time.Time{e.keepDue(), e.lockDue(), e.handDue(), e.cameraDue(), e.openingDue()} {
		if due.IsZero() {
			continue
		}
		wait := max(due.Sub(now), time.Millisecond)
		if next == 0 || wait < next {
			next = wait
		}
	}
	return next
}

// doc is the open study; the zero Document if there is none.
func (e *Easel) doc() study.Document {
	if e.history == nil {
		return study.Document{}
	}
	return e.history.Now()
}

// show changes how the study is seen: no step to undo.
func (e *Easel) show(d study.Document) {
	if e.history != nil && !reflect.DeepEqual(d, e.doc()) {
		e.history.Show(d)
		e.changed()
	}
}

// do changes what the study says, in steps that can be undone; see
// study.History.Do for runs.
func (e *Easel) do(d study.Document, run string) {
	if e.history != nil && !reflect.DeepEqual(d, e.doc()) {
		e.history.Do(d, run)
		e.changed()
	}
}

// takeBack undoes a run as if it had not been.
func (e *Easel) takeBack(run string) {
	if e.history != nil && e.history.TakeBack(run) {
		e.changed()
	}
}

// after asks for what follows from a change: new counts, a new frame.
func (e *Easel) after() {
	e.checkCamera()
	e.askCounts()
	e.askSurveys()
	e.askLines()
	e.askAsides()
	e.askPalette()
	e.askLittles()
	plan, ok := e.Plan()
	if !ok || e.asked && samePlan(plan, e.drawn) {
		return
	}
	e.drawn, e.asked = plan, true
	e.host.Redraw()
}

func samePlan(a, b render.Plan) bool { return reflect.DeepEqual(a, b) }
