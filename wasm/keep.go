//go:build js

package main

import (
	"errors"
	"slices"
	"strings"
	"syscall/js"
	"time"

	"maulstick/render/place"
	"maulstick/render/study"
)

// writerLock is the name of the lock that one page alone holds: the one that
// may write studies away.
const writerLock = "maulstick-writer"

// openStorage opens the tablet's storage. Without it work goes on and the painter
// is told.
func (p *page) openStorage() error {
	store, err := openStoreAtLast()
	p.store = store
	if err != nil {
		err = inWords(err)
		p.tell(func() { p.easel.NotKept(err) })
	}
	return err
}

// lockPatience is how many tenths of a second a page waits to become the one
// that writes. They are counted, not timed: a busy browser is not another page.
const lockPatience = 30

// becomeWriter asks for the writer's lock, which is held until the page ends,
// and tells whether it was to be had. A page that is just being left gives it
// up a moment after the next one has begun.
func becomeWriter() bool {
	locks := js.Global().Get("navigator").Get("locks")
	if !locks.Truthy() {
		return true
	}
	granted := false
	take := js.FuncOf(func(js.Value, []js.Value) any {
		granted = true
		// A promise that never settles: the lock is held for good.
		return js.Global().Get("Promise").New(js.FuncOf(func(js.Value, []js.Value) any { return nil }))
	})
	control := js.Global().Get("AbortController").New()
	given := locks.Call("request", writerLock, map[string]any{"signal": control.Get("signal")}, take)
	given.Call("catch", js.FuncOf(func(js.Value, []js.Value) any { return nil }))
	for waited := 0; !granted; waited++ {
		if waited == lockPatience {
			control.Call("abort")
			return false
		}
		time.Sleep(100 * time.Millisecond)
	}
	return true
}

// keeping is a state to be written away, with the files of its photographs that have
// not been yet: by the time it is written another study may lie open.
type keeping struct {
	doc         study.Document
	photographs []filed
}

// Keep implements easel.Host.
func (p *page) Keep(doc study.Document) { p.keeps <- keeping{doc, p.unwritten(doc)} }

// forgetKeeps writes nothing of what was asked to be kept so far.
func (p *page) forgetKeeps() {
	for len(p.keeps) > 0 {
		<-p.keeps
		p.tell(func() { p.easel.Kept(nil) })
	}
}

// writeAway keeps studies one after the other, in the order asked. With a reason
// to keep nothing, or while another page writes, work goes on and the painter is
// told.
func (p *page) writeAway(refusal error) {
	if refusal == nil && !becomeWriter() {
		refusal = errors.New("the study lies open in another window, which keeps it")
		p.tell(func() { p.easel.NotKept(refusal) })
	}
	for k := range p.keeps {
		err := refusal
		if err == nil {
			err = p.write(k.doc, k.photographs)
		}
		p.tell(func() { p.easel.Kept(err) })
	}
}

// write keeps one state of a study, with those of its photographs that are new. A
// database that the browser has closed meanwhile is opened again, once.
func (p *page) write(doc study.Document, photographs []filed) error {
	text, err := study.Encode(doc)
	if err != nil {
		return err
	}
	photographs = slices.DeleteFunc(photographs, func(f filed) bool { return p.written[f.hash] })
	before := p.before(doc.ID)
	err = p.store.keep(doc.ID, text, before, photographs)
	if err != nil && !strings.Contains(err.Error(), "QuotaExceeded") {
		reopened, again := openStore()
		if again != nil {
			return inWords(err)
		}
		p.store = reopened
		err = p.store.keep(doc.ID, text, before, photographs)
	}
	if err != nil {
		return inWords(err)
	}
	for _, f := range photographs {
		p.written[f.hash] = true
	}
	p.letGo()
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

// errUnread is why nothing is kept beside a study that could not be read: what
// is kept next would take its place on the desk.
var errUnread = errors.New("the study kept here could not be read and is left alone; load the page again to try once more")

// reopen lays out the study that lay open last, and tells whether there was one
// that can be read. An error means that the storage does not answer.
func (p *page) reopen() (found bool, err error) {
	if p.store == nil {
		return false, nil
	}
	back, err := p.lastStudy()
	if err != nil {
		p.tell(func() { p.easel.NotKept(errUnread) })
		return false, errUnread
	}
	if back == nil {
		return false, nil
	}
	for _, what := range back.Damaged {
		p.tell(func() { p.easel.SetAside(what) })
	}
	if back.Study == nil {
		return false, nil
	}
	doc, _ := study.Decode(back.Study)
	p.opening++
	err = p.lay(p.opening, doc.Name, photographOf(doc, back.Photo), doc.Righting, func(place.Pixels) (study.Document, bool, error) {
		return doc, len(back.Damaged) == 0, nil
	})
	if err != nil {
		p.tell(func() {
			p.easel.SetAside("the kept study " + doc.Name + " could not be opened and stays where it is: " + err.Error())
		})
		return false, nil
	}
	p.written[doc.Reference.Hash] = true
	p.lastKept, p.lastID = back.Study, doc.ID
	return true, nil
}

// lastStudy reads the study that lay open last. A storage that the browser has
// lost meanwhile is opened again, once.
func (p *page) lastStudy() (*kept, error) {
	back, err := p.store.load(photoOf)
	if err == nil {
		return back, nil
	}
	again, lost := openStore()
	if lost != nil {
		return nil, err
	}
	p.store = again
	return p.store.load(photoOf)
}

// photoOf is the hash of the photograph of a study as it is kept, of a newer
// version's too.
func photoOf(text []byte) (string, error) {
	doc, err := study.Decode(text)
	var newer *study.Newer
	if err != nil && (!errors.As(err, &newer) || doc.ID == "") {
		return "", err
	}
	return doc.Reference.Hash, nil
}
