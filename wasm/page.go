//go:build js

package main

import (
	"errors"
	"runtime/debug"
	"sync"
	"syscall/js"
	"time"

	"maulstick/render/gpu"
	"maulstick/render/photo"
	"maulstick/render/shelf"
	"maulstick/render/study"
	"maulstick/render/survey"
	"maulstick/wasm/easel"
)

// page joins the HTML, the easel, the tablet's storage and the game.
type page struct {
	window, document, overlay js.Value // of the HTML around the frame

	easel *easel.Easel
	game  *game
	face  *face

	store     *store // nil where the browser keeps nothing
	keeps     chan keeping
	refusal   error                // why nothing is kept, nil if all is
	last      map[string]lastState // studies as they were last kept, as far as that was asked
	room      shelf.Room
	measuring sync.Mutex          // how much room there is
	roomFor   string              // the photographs at whose keeping the room was last measured
	inUse     []string            // photographs that the open study has named since it was opened
	photos    map[string]js.Value // photograph files by hash, as they came: the one on the easel, one being opened, and those not written yet
	onEasel   string              // the hash of the one on the easel
	littles   littleQueue
	lens      lens
	written   map[string]bool // photographs known to be in the store
	counting  int             // the number of the newest count asked for
	counts    chan easel.CountRequest
	surveys   chan easel.SurveyRequest
	newest    map[survey.Kind]int // the number of the newest survey of each kind
	worker    *worker             // nil until it runs
	busied    survey.Kind         // what it is surveying
	plots     plotting
	compares  comparing
	reading   int // the number of the newest ReadPalette
	picture   *photo.Picture
	pyramid   *photo.Pyramid // of picture
	righting  study.Righting // how picture was set right
	opening   int            // the number of the newest opening; an older one gives up
	lock      js.Value       // the wake lock, if it is held
	timer     js.Value
	tick      js.Func
	busy      bool // inside tell
	quiet     bool // the picture goes before all words around it
}

// newPage builds the page around an empty easel.
func newPage(window js.Value) (*page, error) {
	p := &page{
		window: window, document: window.Get("document"),
		keeps: make(chan keeping, 64), counts: make(chan easel.CountRequest, 64),
		surveys: make(chan easel.SurveyRequest, 64), newest: map[survey.Kind]int{},
		photos: map[string]js.Value{}, written: map[string]bool{},
		last: map[string]lastState{},
	}
	p.overlay = p.document.Call("getElementById", "overlay")
	if !p.overlay.Truthy() {
		return nil, errors.New("starting the page: the picture's area is missing")
	}
	screen, err := gpu.New()
	if err != nil {
		return nil, err
	}
	p.plots.prepare()
	p.compares.prepare()
	p.easel = easel.New(p, time.Now)
	p.face = newFace(p.document)
	p.game = &game{gate: gate{js.Global().Get("gate")}, screen: screen, plan: p.easel.Plan, first: make(chan struct{})}
	p.game.frame, p.game.coming = p.takeFrame, p.frameCame
	atEnd(p.CameraOff)
	p.tick = js.FuncOf(func(js.Value, []js.Value) any {
		p.timer = js.Undefined()
		p.tell(func() {})
		return nil
	})
	return p, nil
}

// tell passes something to the easel and then shows what came of it. It may be
// called from within itself, when a host's answer comes at once.
func (p *page) tell(message func()) {
	if p.busy {
		message()
		return
	}
	p.busy = true
	message()
	next := p.easel.Tick()
	p.busy = false
	if !p.quiet {
		p.face.show(p.easel.Face())
	}
	if p.timer.Truthy() {
		js.Global().Call("clearTimeout", p.timer)
		p.timer = js.Undefined()
	}
	if next > 0 {
		p.timer = js.Global().Call("setTimeout", p.tick, next.Milliseconds()+1)
	}
}

// press is a key pressed and let go.
func (p *page) press(key string) {
	p.tell(func() {
		p.easel.Press(key)
		p.easel.Release(key)
	})
}

// start opens the storage, lays out what lay open last, or the demo, and only
// then listens to the painter. The browser's list of what is kept here is no more
// than a hint: on what looks like a first visit the demo is laid out while the
// storage is opened, but only the storage itself says that it holds no study, and
// until then nothing is written to it.
func (p *page) start() {
	p.publish()
	p.listenSize()
	opened := make(chan error, 1)
	go func() { opened <- p.openStorage() }()
	first := firstVisit()
	if first {
		p.quiet = true
		p.openDemo(p.earlyDemo())
	}
	refusal := <-opened
	found, err := p.reopen()
	switch {
	case found:
		p.forgetKeeps()
	case !first:
		p.openDemo(p.earlyDemo())
	}
	if err != nil {
		refusal = err
	}
	go p.writeAway(refusal)
	p.tell(p.easel.Started)
	p.listenAll()
	p.calibrate()
	p.lastReminder()
	p.waitForPicture()
	p.offerUpdate()
	p.work()
}

// pictureLate is when what comes after the first picture is begun without it:
// there may be none.
const pictureLate = 5 * time.Second

// collectAt is how much garbage, in percent of what is in use, may gather
// before it is cleared away once the first picture is shown: photographs are
// large, and memory that a page once took is never given back. Until then there
// is little in use, and the frame starts the program with nothing cleared away.
const collectAt = 25

// waitForPicture leaves the browser to the first picture: clearing away garbage,
// the words around the demo, storing the page for use without a network and
// starting the worker come after it.
func (p *page) waitForPicture() {
	select {
	case <-p.game.first:
	case <-time.After(pictureLate):
	}
	debug.SetGCPercent(collectAt)
	p.quiet = false
	p.tell(func() {})
}

// publish gives tests and bug reports their read-only view of the page.
func (p *page) publish() {
	shared := p.window.Get("maulstick")
	shared.Set("snapshot", js.FuncOf(func(js.Value, []js.Value) any {
		return js.Global().Get("JSON").Call("parse", string(p.easel.Snapshot()))
	}))
	shared.Set("frames", js.FuncOf(func(js.Value, []js.Value) any {
		return map[string]any{
			"run": p.game.gate.frames(), "drawn": p.game.drawn, "settled": !p.quiet && p.game.settled(),
		}
	}))
	shared.Set("pixels", js.FuncOf(func(_ js.Value, args []js.Value) any {
		wide, top := 4*p.picture.Held().Width, args[0].Int()
		return arrayOf(p.picture.Pix[wide*top : wide*(top+args[1].Int())])
	}))
}

// offerUpdate tells the easel when a new version of the page is ready.
func (p *page) offerUpdate() {
	offer := js.FuncOf(func(js.Value, []js.Value) any {
		p.tell(p.easel.UpdateOffered)
		return nil
	})
	p.window.Get("maulstick").Call("whenUpdate", offer)
}
