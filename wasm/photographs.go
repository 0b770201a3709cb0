//go:build js

package main

import (
	"errors"
	"runtime"
	"syscall/js"

	"maulstick/render/study"
)

// filed is the file of a photograph, as it came, under its hash.
type filed struct {
	hash   string
	buffer js.Value // ArrayBuffer
}

// photograph is the file of a photograph of the open study: from memory, where there are
// the one on the easel and those that are not written away yet, else from the store. It
// waits for the browser and must be called on a goroutine.
func (p *page) photograph(hash string) (js.Value, error) {
	if buffer := p.photos[hash]; buffer.Truthy() {
		return buffer, nil
	}
	if p.store == nil {
		return js.Undefined(), errors.New("the photograph is not here any more; open it again")
	}
	return p.store.photograph(hash)
}

// unwritten are the photographs of a study that have still to be written to the store.
func (p *page) unwritten(doc study.Document) []filed {
	var all []filed
	for _, r := range doc.References() {
		if buffer := p.photos[r.Hash]; buffer.Truthy() && !p.written[r.Hash] {
			all = append(all, filed{r.Hash, buffer})
		}
	}
	return all
}

// letGo lets go of the files in memory that the store has, but for the one on the easel.
// The browser has their memory back once this program has cleared away what names them.
func (p *page) letGo() {
	before := len(p.photos)
	for hash := range p.photos {
		if p.written[hash] && hash != p.onEasel {
			delete(p.photos, hash)
		}
	}
	if len(p.photos) < before {
		runtime.GC()
	}
}
