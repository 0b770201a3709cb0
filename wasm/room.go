//go:build js

package main

import (
	"strconv"
	"time"

	"maulstick/render/study"
)

// wrote is called once a state has been written away, or has not been: where another
// photograph was kept the room is measured anew, and for the first of the painter's own
// the browser is asked not to clear it away.
func (p *page) wrote(doc study.Document, err error) {
	hash := doc.Reference.Hash
	if err != nil {
		p.roomFor = ""
	}
	if err != nil || p.roomFor == hash {
		return
	}
	p.roomFor = hash
	storage := p.window.Get("navigator").Get("storage")
	if doc.Reference.Name != demoFile && storage.Truthy() && !p.room.Asked {
		p.room.Asked = true
		if asked, err := attempt(storage, "persist"); err == nil {
			go func() { // some browsers ask the painter
				_, _ = await(asked)
				p.measureRoom()
			}()
		}
	}
	p.measureRoom()
}

// measureRoom asks the browser how much room there is, and whether it keeps what is in
// it.
func (p *page) measureRoom() {
	storage := p.window.Get("navigator").Get("storage")
	if !storage.Truthy() {
		return
	}
	if said, err := attempt(storage, "estimate"); err == nil {
		if said, err = await(said); err == nil {
			p.room.Used, p.room.Quota = int64(said.Get("usage").Float()), int64(said.Get("quota").Float())
		}
	}
	if said, err := attempt(storage, "persisted"); err == nil {
		if said, err = await(said); err == nil {
			p.room.Promised = said.Bool()
		}
	}
	p.room.Installed = p.window.Call("matchMedia", "(display-mode: standalone), (display-mode: fullscreen)").Get("matches").Bool() ||
		p.window.Get("navigator").Get("standalone").Truthy()
	p.tell(func() { p.easel.Room(p.room) })
}

// remindedKey is where the time of the last reminder to save a file is kept, in Unix
// milliseconds. Where that is refused there are none: rather that than one at every
// start.
const remindedKey = "maulstick last reminder to save a file, Unix milliseconds"

// Reminded implements easel.Host.
func (p *page) Reminded(at time.Time) {
	if store := p.localStore(); store.Truthy() {
		_, _ = attempt(store, "setItem", remindedKey, strconv.FormatInt(at.UnixMilli(), 10))
	}
}

// lastReminder brings back when the painter was last reminded.
func (p *page) lastReminder() {
	store := p.localStore()
	if !store.Truthy() {
		return
	}
	var at time.Time
	if kept, err := attempt(store, "getItem", remindedKey); err != nil {
		return
	} else if ms, err := strconv.ParseInt(kept.String(), 10, 64); err == nil {
		at = time.UnixMilli(ms)
	}
	p.tell(func() { p.easel.LastReminder(at) })
}
