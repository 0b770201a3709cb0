//go:build js

package main

import (
	"fmt"
	"strings"
	"syscall/js"

	"maulstick/render/place"
	"maulstick/render/shelf"
	"maulstick/render/study"
)

// SaveFile implements easel.Host: the plotter makes the file, and the painter is handed
// it through the tablet's share sheet where that takes files, else as a download.
func (p *page) SaveFile(name string, doc study.Document, came bool) {
	go func() {
		file, asTheyCame, err := p.fileOf(doc, came)
		if err != nil {
			p.tell(func() { p.easel.Refuse(fmt.Errorf("saving the study to a file: %w", err)) })
			return
		}
		p.window.Get("maulstick").Call("saveFile", name, file, "application/zip")
		p.tell(func() { p.easel.Saved(asTheyCame, len(doc.References())) })
	}()
}

// fileOf is a study with its photographs as one file, a Blob, and how many of
// them are in it as they came.
func (p *page) fileOf(doc study.Document, came bool) (file js.Value, asTheyCame int, err error) {
	text, err := study.Encode(doc)
	if err != nil {
		return file, 0, err
	}
	photographs := map[string]any{}
	for _, r := range doc.References() {
		if buffer, err := p.photograph(r.Hash); err == nil {
			photographs[r.Hash] = js.Global().Get("Blob").New([]any{buffer})
		}
	}
	copies, err := p.copies(doc)
	if err != nil {
		return file, 0, err
	}
	reply, err := p.plotted(map[string]any{
		"kind": "file-write", "study": arrayOf(text), "photographs": photographs, "came": came, "copies": copies,
	})
	if err != nil {
		return file, 0, err
	}
	var pieces []any
	for i := range reply.Get("pieces").Length() {
		piece := reply.Get("pieces").Index(i)
		if piece.Type() == js.TypeString {
			pieces = append(pieces, photographs[piece.String()])
			continue
		}
		pieces = append(pieces, piece)
	}
	return js.Global().Get("Blob").New(pieces), reply.Get("came").Int(), nil
}

// boardSide is the long side of a reference on the picture of the board, in pixels.
const boardSide = 400

// copies are the small copies that the picture of the board is made of: of every
// reference whose photograph is here, what of it is painted.
func (p *page) copies(doc study.Document) ([]any, error) {
	all := []any{}
	for _, pin := range doc.Board.Pins {
		ref, righting, crop, _ := doc.ReferenceOf(pin.ID)
		buffer, err := p.photograph(ref.Hash)
		if err != nil {
			continue // it is told by the file
		}
		copies, _, err := p.smaller(fileOf(ref, buffer), righting, []smallAsk{{part: crop, side: boardSide}}, func(float64) error { return nil })
		if err != nil {
			return nil, err
		}
		c := copies[0]
		all = append(all, map[string]any{"width": c.width, "height": c.height, "pixels": c.data})
	}
	return all, nil
}

// openStudyFile opens a study that was saved to a file. What of it is whole is taken,
// and the painter told what is not.
func (p *page) openStudyFile(number int, name string, file js.Value) error {
	doc, photographs, damage, err := p.takeApart(file)
	if err != nil {
		return err
	}
	if number != p.opening {
		return errGivenUp
	}
	if doc, err = p.besideItself(doc); err != nil {
		return err
	}
	for hash, buffer := range photographs {
		p.photos[hash] = buffer
	}
	buffer, err := p.photograph(doc.Reference.Hash) // it may lie here from before
	if err == nil {
		if _, err := inspect(bytesOf(buffer)); err != nil {
			return err
		}
	}
	err = p.lay(number, doc.Name, fileOf(doc.Reference, buffer), doc.Righting, func(place.Pixels) (study.Document, bool, error) {
		return doc, false, nil
	})
	if err == nil && len(damage) > 0 {
		p.tell(func() { p.easel.Patchy("not all of the file " + name + " was whole: " + strings.Join(damage, "; ")) })
	}
	return err
}

// takeApart has the plotter find out what a file holds, and takes the photographs out of
// it.
func (p *page) takeApart(file js.Value) (doc study.Document, photographs map[string]js.Value, damage []string, err error) {
	reply, err := p.plotted(map[string]any{"kind": "file-open", "file": file})
	if err != nil {
		return doc, nil, nil, err
	}
	if doc, err = shelf.Readable(bytesOf(reply.Get("study").Get("buffer"))); err != nil {
		return doc, nil, nil, err
	}
	for i := range reply.Get("damage").Length() {
		damage = append(damage, reply.Get("damage").Index(i).String())
	}
	lost, here := reply.Get("lost"), 0
	for i := range lost.Length() {
		if p.store != nil && p.store.has(lost.Index(i).String()) {
			here++
		}
	}
	if here > 0 {
		damage = append(damage, fmt.Sprintf("of the photographs that it lacks, %d of %d lie on this tablet and are shown", here, lost.Length()))
	}
	photographs, err = takeOut(file, reply.Get("photographs"))
	return doc, photographs, damage, err
}

// takeOut takes photographs out of a file, from where they lie in it.
func takeOut(file, found js.Value) (map[string]js.Value, error) {
	photographs := map[string]js.Value{}
	for i := range found.Length() {
		f := found.Index(i)
		if data := f.Get("data"); data.Truthy() {
			photographs[f.Get("hash").String()] = ownArray(data).Get("buffer")
			continue
		}
		from := f.Get("offset").Int()
		buffer, err := await(file.Call("slice", from, from+f.Get("bytes").Int()).Call("arrayBuffer"))
		if err != nil {
			return nil, fmt.Errorf("reading the file: %w", err)
		}
		photographs[f.Get("hash").String()] = buffer
	}
	return photographs, nil
}

// besideItself is a study out of a file as it is to be kept here: where there is one of
// that id already, in another state, it becomes a study of its own, and the one that is
// here stays as it is.
func (p *page) besideItself(doc study.Document) (study.Document, error) {
	if p.store == nil || doc.Format > study.Format {
		return doc, nil
	}
	last, err := p.lastOf(doc.ID)
	if err != nil || last.text == nil {
		return doc, inWords(err)
	}
	text, err := study.Encode(doc)
	if err != nil || string(text) == string(last.text) {
		return doc, err
	}
	doc.ID = newID()
	return doc.WithName(doc.Name + ", from a file"), nil
}
