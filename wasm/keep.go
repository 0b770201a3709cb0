//go:build js

package main

import (
	"errors"
	"strings"
	"syscall/js"

	"maulstick/render/place"
	"maulstick/render/study"
)

// writerLock is the name of the lock that one page alone holds: the one that
// may write studies away.
const writerLock = "maulstick-writer"

// openStorage opens the tablet's storage and starts writing away what the
// easel asks to be kept. Without storage, or while another page writes, work
// goes on and the painter is told.
func (p *page) openStorage() {
	if !p.becomeWriter() {
		err := errors.New("the study lies open in another window, which keeps it")
		p.tell(func() { p.easel.NotKept(err) })
		go p.writeAway(err)
		return
	}
	store, err := openStore()
	p.store = store
	if err != nil {
		err = inWords(err)
		p.tell(func() { p.easel.NotKept(err) })
	}
	go p.writeAway(err)
}

// lockPatience is how many milliseconds an answer is waited for: a page that
// is just being left gives the lock up a moment after the next one has begun.
const lockPatience = 3000

// becomeWriter asks for the writer's lock, which is held until the page ends,
// and tells whether it was to be had. A browser that is only slow to answer is
// asked again; one that says that another page holds the lock is believed.
func (p *page) becomeWriter() bool {
	locks := js.Global().Get("navigator").Get("locks")
	if !locks.Truthy() {
		return true
	}
	for !claimLock(locks) {
		if lockHeld(locks) {
			return false
		}
	}
	return true
}

// claimLock asks for the writer's lock once.
func claimLock(locks js.Value) bool {
	answer := make(chan bool, 2)
	granted := js.FuncOf(func(js.Value, []js.Value) any {
		answer <- true
		// A promise that never settles: the lock is held for good.
		return js.Global().Get("Promise").New(js.FuncOf(func(js.Value, []js.Value) any { return nil }))
	})
	patience := js.Global().Get("AbortSignal").Call("timeout", lockPatience)
	request := locks.Call("request", writerLock, map[string]any{"signal": patience}, granted)
	request.Call("catch", js.FuncOf(func(js.Value, []js.Value) any { answer <- false; return nil }))
	return <-answer
}

// lockHeld says whether a page holds the writer's lock. A browser that does
// not tell is taken to mean so.
func lockHeld(locks js.Value) bool {
	state, err := await(locks.Call("query"))
	if err != nil {
		return true
	}
	held := state.Get("held")
	for i := range held.Length() {
		if held.Index(i).Get("name").String() == writerLock {
			return true
		}
	}
	return false
}

// Keep implements easel.Host.
func (p *page) Keep(doc study.Document) { p.keeps <- doc }

// writeAway keeps studies one after the other, in the order asked.
func (p *page) writeAway(refusal error) {
	for doc := range p.keeps {
		err := refusal
		if err == nil {
			err = p.write(doc)
		}
		p.tell(func() { p.easel.Kept(err) })
	}
}

// write keeps one state of a study, with its photograph if that is new. A
// database that the browser has closed meanwhile is opened again, once.
func (p *page) write(doc study.Document) error {
	text, err := study.Encode(doc)
	if err != nil {
		return err
	}
	hash := doc.Reference.Hash
	photograph := p.photos[hash]
	if p.written[hash] {
		photograph = js.Undefined()
	}
	before := p.before(doc.ID)
	err = p.store.keep(doc.ID, text, before, hash, photograph)
	if err != nil && !strings.Contains(err.Error(), "QuotaExceeded") {
		reopened, again := openStore()
		if again != nil {
			return inWords(err)
		}
		p.store = reopened
		err = p.store.keep(doc.ID, text, before, hash, photograph)
	}
	if err != nil {
		return inWords(err)
	}
	p.written[hash] = true
	p.lastKept, p.lastID = text, doc.ID
	return nil
}

// before is the state that was kept before, if it is of the same study.
func (p *page) before(id string) []byte {
	if p.lastID != id {
		return nil
	}
	return p.lastKept
}

// inWords says why the browser refused, for a painter.
func inWords(err error) error {
	switch text := err.Error(); {
	case strings.Contains(text, "QuotaExceeded"):
		return errors.New("the tablet's storage is full")
	case strings.Contains(text, "SecurityError"), strings.Contains(text, "NotAllowed"):
		return errors.New("this browser's settings do not let the page keep anything")
	case strings.Contains(text, "InvalidState"), strings.Contains(text, "UnknownError"), strings.Contains(text, "AbortError"):
		return errors.New("the browser lost its storage")
	}
	return err
}

// reopen lays out the study that lay open last, and tells whether there was
// one that can be read.
func (p *page) reopen() bool {
	if p.store == nil {
		return false
	}
	back, err := p.store.load(func(text []byte) (string, error) {
		doc, err := study.Decode(text)
		var newer *study.Newer
		if err != nil && (!errors.As(err, &newer) || doc.ID == "") {
			return "", err
		}
		return doc.Reference.Hash, nil
	})
	if err != nil {
		p.tell(func() { p.easel.SetAside(err.Error()) })
		return false
	}
	if back == nil {
		return false
	}
	for _, what := range back.Damaged {
		p.tell(func() { p.easel.SetAside(what) })
	}
	if back.Study == nil {
		return false
	}
	doc, _ := study.Decode(back.Study)
	p.opening++
	err = p.lay(p.opening, doc.Name, file{buffer: back.Photo}, func(place.Pixels) (study.Document, bool, error) {
		return doc, len(back.Damaged) == 0, nil
	})
	if err != nil {
		p.tell(func() {
			p.easel.SetAside("the kept study " + doc.Name + " could not be opened and stays where it is: " + err.Error())
		})
		return false
	}
	p.written[doc.Reference.Hash] = true
	p.lastKept, p.lastID = back.Study, doc.ID
	return true
}
