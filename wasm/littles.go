//go:build js

package main

import (
	"fmt"
	"math"
	"syscall/js"

	"maulstick/wasm/easel"
)

// littleAcross is the long side of a little picture, in CSS pixels. It is made in device
// pixels, so that the browser, which does not average light, never reduces it further.
const littleAcross = 72

// littleSide is the same in device pixels.
func (p *page) littleSide() int {
	return int(math.Round(littleAcross * p.window.Get("devicePixelRatio").Float()))
}

// littleQueue is the little pictures that are wanted and not there yet.
type littleQueue struct {
	wanted []easel.Little
	busy   bool
}

// Little implements easel.Host.
func (p *page) Little(l easel.Little) {
	if p.face.pictures[l.Key] != "" {
		return
	}
	p.littles.wanted = append(p.littles.wanted, l)
	if !p.littles.busy {
		p.littles.busy = true
		go p.makeLittles()
	}
}

// makeLittles brings back or makes all little pictures that are wanted.
func (p *page) makeLittles() {
	defer func() { p.littles.busy = false }()
	for len(p.littles.wanted) > 0 {
		first := p.littles.wanted[0]
		p.littles.wanted = p.littles.wanted[1:]
		if data := p.keptLittle(first); data.Truthy() {
			p.tell(func() { p.showLittle(first.Key, data) })
			continue
		}
		p.makeOfOne(first)
	}
}

// makeOfOne makes a little picture, with all others of the same photograph that are
// wanted and not kept: it is decoded once for all of them.
func (p *page) makeOfOne(first easel.Little) {
	all, others := []easel.Little{first}, []easel.Little{}
	for _, l := range p.littles.wanted {
		if l.Reference.Hash == first.Reference.Hash && l.Righting.Equal(first.Righting) {
			all = append(all, l)
		} else {
			others = append(others, l)
		}
	}
	p.littles.wanted = others
	asks := make([]smallAsk, len(all))
	for i, l := range all {
		asks[i] = smallAsk{part: l.Part, side: p.littleSide(), file: true}
	}
	buffer, err := p.photograph(first.Reference.Hash)
	var copies []pixels
	if err == nil {
		copies, _, err = p.smaller(fileOf(first.Reference, buffer), first.Righting, asks, func(float64) error { return nil })
	}
	for i, l := range all {
		if err != nil {
			p.tell(func() { p.easel.LittleFailed(l.Key, wordsOf(err)) })
			continue
		}
		p.keepLittle(l, copies[i].data)
		p.tell(func() { p.showLittle(l.Key, copies[i].data) })
	}
}

// littleKey is what a little picture is kept under: first its photograph's hash, as
// surveys are.
func (p *page) littleKey(l easel.Little) string {
	return fmt.Sprintf("%s little %d %s %v", l.Reference.Hash, p.littleSide(), l.Righting.Key(), l.Part)
}

// keptLittle brings a little picture back, undefined if there is none.
func (p *page) keptLittle(l easel.Little) js.Value {
	if p.store == nil {
		return js.Undefined()
	}
	v, err := p.store.get(surveyStore, p.littleKey(l))
	if err != nil || v.Type() != js.TypeObject || !v.Get("little").Truthy() {
		return js.Undefined()
	}
	return v.Get("little")
}

// keepLittle keeps a little picture. One that cannot be kept is made again the next
// time.
func (p *page) keepLittle(l easel.Little, data js.Value) {
	if p.store == nil {
		return
	}
	tx, err := attempt(p.store.db, "transaction", []any{surveyStore}, "readwrite")
	if err != nil {
		return
	}
	if request, err := attempt(tx.Call("objectStore", surveyStore), "put", map[string]any{"little": data}, p.littleKey(l)); err == nil {
		_, _ = answer(request) // a full tablet keeps what matters more
	}
}

// showLittle shows a little picture in all rows that name it.
func (p *page) showLittle(key string, data js.Value) {
	if p.face.pictures[key] != "" {
		return
	}
	blob := js.Global().Get("Blob").New([]any{data}, map[string]any{"type": "image/png"})
	p.face.pictures[key] = js.Global().Get("URL").Call("createObjectURL", blob).String()
	images := p.document.Call("querySelectorAll", "img[data-picture]")
	for i := range images.Get("length").Int() {
		p.face.fillPicture(images.Index(i))
	}
}

// fillPicture shows in an image the little picture that it names, once that is there.
func (f *face) fillPicture(image js.Value) {
	url := f.pictures[image.Get("dataset").Get("picture").String()]
	if url == "" {
		return
	}
	// It is shown pixel by pixel of the screen.
	ratio := f.document.Get("defaultView").Get("devicePixelRatio").Float()
	image.Set("srcset", fmt.Sprintf("%s %gx", url, ratio))
}
