//go:build js

package main

import (
	"errors"
	"fmt"
	"slices"
	"syscall/js"
	"time"

	"maulstick/render/shelf"
	"maulstick/render/study"
	"maulstick/wasm/easel"
)

// Shelf implements easel.Host. What is asked for is done in its turn among what is
// written away.
func (p *page) Shelf(ask easel.ShelfAsk) {
	p.keeps <- keeping{shelf: func() {
		err := p.shelve(ask)
		p.tellShelf(inWords(err))
	}}
}

// shelve does one thing with the studies that are kept.
func (p *page) shelve(ask easel.ShelfAsk) error {
	switch {
	case p.store == nil:
		return errors.New("nothing is kept here")
	case ask.Do == easel.ShelfList:
		return nil
	case ask.Do == easel.ShelfOpen:
		return p.openStudy(ask.ID)
	case p.refusal != nil:
		return p.refusal
	case ask.Do == easel.ShelfCopy:
		return p.copyStudy(ask)
	case ask.Do == easel.ShelfRename:
		return p.renameStudy(ask.ID, ask.Name)
	case ask.Do == easel.ShelfRemove:
		return p.clear(func(card shelf.Card) bool { return card.ID == ask.ID && card.Binned > 0 })
	}
	return p.binStudy(ask.ID, ask.Do == easel.ShelfBin)
}

// tellShelf tells the easel what is kept, and what could not be done.
func (p *page) tellShelf(err error) {
	var all []shelf.Card
	if p.store != nil {
		listed := p.again(func() (err error) {
			all, err = p.store.list()
			return err
		})
		if err == nil {
			err = inWords(listed)
		}
	}
	p.tell(func() { p.easel.Shelved(all, err) })
	p.measureRoom() // which takes longer
}

// openStudy lays out another study that is kept. It is put on the desk once what was
// done on the one before has been written away.
func (p *page) openStudy(id string) error {
	var back *kept
	err := p.again(func() (err error) {
		back, err = p.store.load(id)
		return err
	})
	if err != nil {
		return err
	}
	p.opening++
	number := p.opening
	go func() {
		switch err := p.layBack(number, back); {
		case errors.Is(err, errGivenUp):
			p.tell(p.easel.Stopped)
		case err != nil:
			p.tell(func() { p.easel.Refuse(err) })
		case back.Study != nil && p.refusal == nil:
			p.keeps <- keeping{shelf: func() {
				_ = p.store.transact(func(tx js.Value) error { return put(tx, deskStore, id, deskKey) }, deskStore) // else the one before opens the next time
			}}
		}
	}()
	return nil
}

// textOf is a study as it was last kept, or as it was at an earlier time.
func (p *page) textOf(id string, at int64) (study.Document, error) {
	var text []byte
	err := p.again(func() (err error) {
		if at != 0 {
			text, err = p.store.earlier(id, at)
			return err
		}
		last, err := p.store.last(id)
		text = last.text
		return err
	})
	if err != nil {
		return study.Document{}, err
	}
	return study.Decode(text)
}

// copyStudy puts a copy of a study, or of an earlier state of it, beside it.
func (p *page) copyStudy(ask easel.ShelfAsk) error {
	doc, err := p.textOf(ask.ID, ask.At)
	if err != nil {
		return fmt.Errorf("copying the study: %w", err)
	}
	doc.ID = newID()
	doc = doc.WithName(ask.Name)
	if err := p.write(doc, nil, false); err != nil {
		return fmt.Errorf("copying the study: %w", err)
	}
	return nil
}

// renameStudy gives another name to a study that does not lie open.
func (p *page) renameStudy(id, name string) error {
	doc, err := p.textOf(id, 0)
	if err == nil {
		err = p.write(doc.WithName(name), nil, false)
	}
	if err != nil {
		return fmt.Errorf("renaming the study: %w", err)
	}
	return nil
}

// binStudy puts a study into the bin, or brings it back.
func (p *page) binStudy(id string, in bool) error {
	last, err := p.lastOf(id)
	if err != nil {
		return err
	}
	last.card.Binned = 0
	if in {
		last.card.Binned = time.Now().UnixMilli()
	}
	err = p.again(func() error {
		return p.store.transact(func(tx js.Value) error { return put(tx, cardStore, last.card.Encode(), id) }, cardStore)
	})
	if err != nil {
		return fmt.Errorf("moving the study: %w", err)
	}
	p.last[id] = last
	return nil
}

// clearShelf removes what has lain in the bin for its time, and photographs that
// nothing names any more. What cannot be cleared now is cleared the next time.
func (p *page) clearShelf() {
	now := time.Now()
	_ = p.clear(func(card shelf.Card) bool { return card.Gone(now) })
}

// clear removes studies for good, and what nothing names any more. What the open study
// has named since it was opened is spared: it may be undone.
func (p *page) clear(gone func(shelf.Card) bool) error {
	var removed []string
	err := p.again(func() (err error) {
		removed, err = p.store.clear(func(card shelf.Card) bool {
			if gone(card) {
				delete(p.last, card.ID)
				return true
			}
			return false
		}, func(hash string) bool { return slices.Contains(p.inUse, hash) || p.photos[hash].Truthy() })
		return err
	})
	for _, hash := range removed {
		delete(p.written, hash)
	}
	return err
}
