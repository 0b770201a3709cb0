//go:build js

package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"maulstick/render/place"
	"maulstick/render/shelf"
	"maulstick/render/study"
)

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

// becomeWriter tells whether this window is the one that may write studies away: no
// two are.
func (p *page) becomeWriter() bool {
	may, err := await(p.window.Get("maulstick").Call("becomeWriter"))
	return err == nil && may.Bool()
}

// keeping is a state to be written away, with the files of its photographs that have
// not been yet: by the time it is written another study may lie open. Or else it is
// something to be done with the studies kept, in its turn.
type keeping struct {
	doc         study.Document
	photographs []filed
	shelf       func() // nil for a state
}

// Keep implements easel.Host.
func (p *page) Keep(doc study.Document) {
	p.use(doc)
	p.keeps <- keeping{doc: doc, photographs: p.unwritten(doc)}
}

// use notes which photographs the open study names.
func (p *page) use(doc study.Document) {
	for _, r := range doc.References() {
		if !slices.Contains(p.inUse, r.Hash) {
			p.inUse = append(p.inUse, r.Hash)
		}
	}
}

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
	if refusal == nil && !p.becomeWriter() {
		refusal = errors.New("the study lies open in another window, which keeps it")
		p.tell(func() { p.easel.NotKept(refusal) })
	}
	p.refusal = refusal
	if refusal == nil {
		p.clearShelf()
	}
	for k := range p.keeps {
		if k.shelf != nil {
			k.shelf()
			continue
		}
		err := refusal
		if err == nil {
			err = p.write(k.doc, k.photographs, true)
		}
		p.wrote(k.doc, err)
		p.tell(func() { p.easel.Kept(err) })
	}
}

// lastState is a study as it was last kept.
type lastState struct {
	text []byte
	card shelf.Card
}

// write keeps one state of a study, with those of its photographs that are new, and puts
// it on the desk if it lies open: then it is in no bin, either. A database that the
// browser has closed meanwhile is opened again, once.
func (p *page) write(doc study.Document, photographs []filed, open bool) error {
	text, err := study.Encode(doc)
	if err != nil {
		return err
	}
	last, err := p.lastOf(doc.ID)
	if err != nil {
		return inWords(err)
	}
	photographs = slices.DeleteFunc(photographs, func(f filed) bool { return p.written[f.hash] })
	w := writing{id: doc.ID, study: text, before: last.text, open: open, photographs: photographs}
	w.card, w.state, w.drop = last.card.Written(string(text), string(last.text), time.Now().UnixMilli())
	if open {
		w.card.Binned = 0
	}
	if err := p.again(func() error { return p.store.keep(w) }); err != nil {
		return inWords(err)
	}
	for _, f := range photographs {
		p.written[f.hash] = true
	}
	p.letGo()
	p.last[doc.ID] = lastState{text, w.card}
	return nil
}

// again does something with the database, and once more with one that is opened anew
// if the browser has closed it meanwhile.
func (p *page) again(work func() error) error {
	err := work()
	if err == nil || strings.Contains(err.Error(), "QuotaExceeded") {
		return err
	}
	reopened, lost := openStore()
	if lost != nil {
		return err
	}
	p.store = reopened
	return work()
}

// lastOf is a study as it was last kept, nothing for one that never was.
func (p *page) lastOf(id string) (lastState, error) {
	if last, known := p.last[id]; known {
		return last, nil
	}
	var last lastState
	err := p.again(func() (err error) {
		last, err = p.store.last(id)
		return err
	})
	if err == nil {
		p.last[id] = last
	}
	return last, err
}

// inWords says why the browser refused, for a painter; nil if it did not.
func inWords(err error) error {
	if err == nil {
		return nil
	}
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
	var id string
	var back *kept
	err = p.again(func() (err error) {
		if id, err = p.store.onDesk(); err == nil && id != "" {
			back, err = p.store.load(id)
		}
		return err
	})
	if err != nil {
		p.tell(func() { p.easel.NotKept(errUnread) })
		return false, errUnread
	}
	if back == nil {
		return false, nil
	}
	p.opening++
	err = p.layBack(p.opening, back)
	if err != nil {
		p.tell(func() { p.easel.SetAside(err.Error()) })
	}
	return err == nil && back.Study != nil, nil
}

// layBack lays out a study that was kept, if it can be read, and tells what of it was
// found damaged.
func (p *page) layBack(number int, back *kept) error {
	for _, what := range back.Damaged {
		p.tell(func() { p.easel.SetAside(what) })
	}
	if back.Study == nil {
		return nil
	}
	doc, _ := study.Decode(back.Study) // load has read it
	for _, r := range doc.References() {
		p.written[r.Hash] = p.written[r.Hash] || p.store.has(r.Hash)
	}
	err := p.lay(number, doc.Name, fileOf(doc.Reference, back.Photo), doc.Righting, func(place.Pixels) (study.Document, bool, error) {
		return doc, len(back.Damaged) == 0, nil
	})
	if err == nil && back.Missing {
		p.tell(func() {
			p.easel.SetAside("the photograph " + doc.Reference.Name + " of this study is not here; once you have opened it by itself, open this study again")
		})
	}
	if err != nil && !errors.Is(err, errGivenUp) {
		return fmt.Errorf("the kept study %s could not be opened and stays where it is: %w", doc.Name, err)
	}
	return err
}
