//go:build js

package main

import (
	"fmt"
	"syscall/js"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
	"maulstick/render/survey"
)

// PrintSheets implements easel.Host: the plotter prints, and the painter is handed
// the file. Of several requests only the newest is answered, and none that was
// stopped or whose study has gone.
func (p *page) PrintSheets(id int, doc study.Document) {
	p.plots.stopPrinting()
	p.plots.print = id
	go func() {
		sheets, err := p.printed(id, doc)
		if p.plots.print != id {
			return
		}
		p.plots.print = 0
		if err != nil {
			p.tell(func() { p.easel.PrintFailed(id, wordsOf(err)) })
			return
		}
		p.window.Get("maulstick").Call("saveFile", doc.FileStem()+".pdf", sheets, "application/pdf")
		p.tell(func() { p.easel.Printed(id) })
	}()
}

// SaveChart implements easel.Host: the plotter draws.
func (p *page) SaveChart(name string, answer survey.Answer) {
	go func() {
		data, err := answer.MarshalBinary()
		var reply js.Value
		if err == nil {
			reply, err = p.plotted(map[string]any{"kind": "chart", "answer": arrayOf(data)})
		}
		if err == nil {
			p.window.Get("maulstick").Call("saveFile", name, reply.Get("chart"), "image/png")
		}
		if err != nil {
			p.tell(func() { p.easel.Refuse(fmt.Errorf("drawing the palette chart: %w", err)) })
		}
	}()
}

// printed is a study's sheets as a PDF file, an array of bytes of the page's.
func (p *page) printed(id int, doc study.Document) (sheets js.Value, err error) {
	text, err := study.Encode(doc)
	if err != nil {
		return sheets, err
	}
	tell := everySoOften(func(share float64) { p.tell(func() { p.easel.Printing(id, share) }) })
	err = p.plot(func() error {
		progress := func(share float64) error {
			if p.plots.print != id {
				return errGivenUp
			}
			tell(share)
			return nil
		}
		if err := progress(0); err != nil {
			return err
		}
		if err := p.handReferences(doc, text, progress); err != nil {
			return err
		}
		if err := p.handPicture(doc, progress); err != nil {
			return err
		}
		w, err := p.plots.ready()
		if err != nil {
			return err
		}
		p.plots.printing = true
		w.object.Call("postMessage", map[string]any{"kind": "sheets", "id": id, "study": arrayOf(text)})
		reply, err := w.next(func(share float64) { tell(handedShare + (1-handedShare)*share) })
		p.plots.printing = false
		if err != nil {
			return err
		}
		sheets = reply.Get("sheets")
		return refusedBy(reply)
	})
	return sheets, err
}

// handReferences has the plotter keep the small copies of other references that the
// sheets show. Those of a photograph that is not here are left out, which the sheet says.
func (p *page) handReferences(doc study.Document, text []byte, progress func(float64) error) error {
	w, err := p.plots.ready()
	if err != nil {
		return err
	}
	reply, err := w.asked(map[string]any{"kind": "wants", "id": 0, "study": arrayOf(text)})
	if err != nil {
		return err
	}
	pins := reply.Get("pins")
	for i := range pins.Get("length").Int() {
		pin := pins.Index(i)
		r, righting, _ := doc.PhotographOf(pin.Get("pin").Int())
		buffer, err := p.photograph(r.Hash)
		if err != nil {
			continue
		}
		parts := []any{}
		for k := range pin.Get("parts").Get("length").Int() {
			parts = append(parts, pin.Get("parts").Index(k))
		}
		if _, err := p.reduce(fileOf(r, buffer), righting, func(place.Pixels) []any { return parts }, func(float64) error { return progress(0) }); err != nil {
			return fmt.Errorf("printing the reference %s: %w", r.Name, err)
		}
		if _, err := w.ask(map[string]any{"kind": "reduced-kept", "id": 0, "pin": pin.Get("pin")}); err != nil {
			return err
		}
	}
	return nil
}

// handPicture hands the photograph of a study to the plotter as it was set right,
// unless it lies there.
func (p *page) handPicture(doc study.Document, progress func(float64) error) error {
	picture, name := p.picture, lying(doc.Reference.Hash, doc.Righting)
	if picture == nil || picture.Size() != doc.Pixels() || !p.righting.Equal(doc.Righting) {
		return &photo.Refusal{What: "printing the sheets: the photograph is being set right", Help: "wait until that is done, then print again"}
	}
	if p.plots.holds == name {
		return nil
	}
	strip, err := p.layOut(name, picture.Size(), picture.Halved, progress)
	if err != nil {
		return err
	}
	return stripsOf(picture, strip)
}
