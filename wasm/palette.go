//go:build js

package main

import (
	"errors"
	"fmt"
	"syscall/js"

	"maulstick/render/palette"
	"maulstick/render/photo"
	"maulstick/render/study"
)

// PaletteFile implements easel.Host: the file chooser, which offers the camera on a
// tablet.
func (p *page) PaletteFile() { p.document.Call("getElementById", "palette-file").Call("click") }

// PaletteFrame implements easel.Host.
func (p *page) PaletteFrame(name string, frame *photo.Picture) {
	p.frameFile(name, frame, p.takePalette)
}

// takePalette takes a photograph of the cards and the palette.
func (p *page) takePalette(file js.Value) {
	p.takeOne(file, func(r study.Reference) { p.easel.PaletteTaken(r) })
}

// ReadPalette implements easel.Host. Of several requests only the newest is answered.
func (p *page) ReadPalette(id int, r study.Reference, ask palette.Ask) {
	p.reading = id
	go func() {
		answer, err := p.readPalette(id, r, ask)
		if p.reading != id || errors.Is(err, errGivenUp) {
			return
		}
		p.tell(func() {
			if err != nil {
				p.easel.PaletteFailed(id, fmt.Sprintf("reading %s: %s", r.Name, wordsOf(err)))
				return
			}
			p.easel.PaletteRead(id, answer)
		})
	}()
}

// readPalette has the callipers read a photograph, unless that is wanted no more.
func (p *page) readPalette(id int, r study.Reference, ask palette.Ask) (answer palette.Answer, err error) {
	question, err := ask.MarshalBinary()
	if err != nil {
		return answer, err
	}
	wanted := func() bool { return p.reading == id }
	err = p.measure(wanted, func(w *worker) error {
		tell := everySoOften(func(share float64) { p.tell(func() { p.easel.PaletteReading(id, share) }) })
		err := p.layPhotograph(w, r, func(share float64) error {
			tell(share)
			return nil
		})
		if err != nil {
			return err
		}
		reply, err := w.asked(map[string]any{"kind": "palette", "id": id, "ask": arrayOf(question)})
		if err != nil {
			return err
		}
		return answer.UnmarshalBinary(bytesOf(reply.Get("answer").Get("buffer")))
	})
	return answer, err
}
