//go:build js

package main

import (
	"fmt"
	"strconv"
	"strings"
	"syscall/js"
	"time"

	"maulstick/render/shelf"
	"maulstick/render/study"
)

// wrote is called once a state has been written away, or has not been: where other
// photographs were kept the room is measured anew, and for the first of the painter's own
// the browser is asked not to clear it away.
func (p *page) wrote(doc study.Document, err error) {
	photographs := fmt.Sprintf("%s, %d, %d", doc.Reference.Hash, len(doc.Board.Pins), len(doc.Log))
	if err != nil {
		p.roomFor = ""
	}
	if err != nil || p.roomFor == photographs {
		return
	}
	p.roomFor = photographs
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
	p.measuring.Lock() // one file is made to learn of room, and taken away again
	defer p.measuring.Unlock()
	storage := p.window.Get("navigator").Get("storage")
	if !storage.Truthy() {
		return
	}
	if said, err := attempt(storage, "estimate"); err == nil {
		if said, err = await(said); err == nil {
			p.room.Used, p.room.Quota = int64(said.Get("usage").Float()), int64(said.Get("quota").Float())
		}
	}
	p.room.Short = refuses(storage, shelf.Spare(p.easel.PhotographBytes()))
	if said, err := attempt(storage, "persisted"); err == nil {
		if said, err = await(said); err == nil {
			p.room.Promised = said.Bool()
		}
	}
	p.room.Installed = p.window.Call("matchMedia", "(display-mode: standalone), (display-mode: fullscreen)").Get("matches").Bool() ||
		p.window.Get("navigator").Get("standalone").Truthy()
	p.tell(func() { p.easel.Room(p.room) })
}

// probe is the file in the page's own folder for which room is asked.
const probe = "room"

// refuses says whether the browser has no room for so many bytes more. It is asked to
// make a file as long, which writes nothing and is given up at once; a browser that
// cannot be asked so does not refuse.
func refuses(storage js.Value, bytes int64) bool {
	folder, err := promised(storage, "getDirectory")
	if err != nil {
		return false
	}
	file, err := promised(folder, "getFileHandle", probe, map[string]any{"create": true})
	if err == nil {
		defer func() { _, _ = promised(folder, "removeEntry", probe) }()
		file, err = promised(file, "createWritable")
	}
	if err == nil {
		defer func() { _, _ = promised(file, "abort") }()
		_, err = promised(file, "truncate", float64(bytes))
	}
	return err != nil && strings.Contains(err.Error(), "QuotaExceeded")
}

// promised calls a method and waits for what it promises.
func promised(object js.Value, method string, args ...any) (js.Value, error) {
	promise, err := attempt(object, method, args...)
	if err != nil {
		return promise, err
	}
	return await(promise)
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
