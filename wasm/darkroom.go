//go:build js

package main

import (
	"sync"
	"syscall/js"

	"maulstick/render/photo"
	"maulstick/render/place"
)

// darkroom is held by whoever decodes photographs in a worker of their own: one is open
// at a time, and its memory goes with it.
var darkroom sync.Mutex

// inDarkroom has a photograph decoded that the browser cannot open as it means. The
// worker holds it until the negative is closed.
func (p *page) inDarkroom(buffer js.Value) (n negative, err error) {
	darkroom.Lock()
	var w *worker
	n.close = sync.OnceFunc(func() {
		if w != nil {
			w.object.Call("terminate")
		}
		darkroom.Unlock()
	})
	defer func() {
		if err != nil {
			n.close()
		}
	}()
	if w, err = startWorker("startDarkroom"); err != nil {
		return n, err
	}
	reply, err := w.asked(map[string]any{"kind": "open", "id": 0, "file": js.Global().Get("Uint8Array").New(buffer), "pixels": roomPixels()})
	if err != nil {
		return n, err
	}
	n.came = place.Pixels{Width: reply.Get("width").Int(), Height: reply.Get("height").Int()}
	n.halved = reply.Get("halved").Int()
	for i := range reply.Get("notes").Get("length").Int() {
		n.notes = append(n.notes, reply.Get("notes").Index(i).String())
	}
	held := photo.Held(n.came, n.halved)
	n.strips = func(each strip) error {
		for top := 0; top < held.Height; top += stripRows {
			rows := min(stripRows, held.Height-top)
			reply, err := w.ask(map[string]any{"kind": "rows", "id": 0, "top": top, "rows": rows})
			if err != nil {
				return err
			}
			data := ownArray(reply.Get("pixels"))
			if err := each(top, rows, data); err != nil {
				return err
			}
			letGoOf(data)
		}
		return nil
	}
	return n, nil
}

// How many pixels of a photograph are held whole: of each gigabyte that the browser says
// the device has, of four where it says nothing, so many, and so many at most. With their
// smaller copies 15 megapixels are 65 MB.
const (
	roomEach    = 15_000_000
	roomMost    = 120_000_000
	usualMemory = 4
)

// roomPixels is how many pixels of a photograph are held here.
func roomPixels() int {
	memory := js.Global().Get("navigator").Get("deviceMemory")
	if memory.Type() != js.TypeNumber || !(memory.Float() > 0) {
		return usualMemory * roomEach
	}
	return int(min(memory.Float()*roomEach, roomMost))
}

// halvings is how often a photograph of a size is halved here to be held.
func halvings(size place.Pixels) int { return photo.Halvings(size, roomPixels()) }
