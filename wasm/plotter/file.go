//go:build js

package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"syscall/js"

	"maulstick/render/photo"
	"maulstick/render/portfolio"
	"maulstick/render/study"
	"maulstick/wasm/worker"
)

// blob is a browser's file that is read piecemeal, so that it is never held whole. It
// may have been taken away meanwhile: then reading it fails.
type blob struct{ object, reader js.Value }

func newBlob(object js.Value) *blob {
	return &blob{object: object, reader: js.Global().Get("FileReaderSync").New()}
}

// Size implements portfolio.Bytes.
func (b *blob) Size() int64 { return int64(b.object.Get("size").Float()) }

// ReadAt implements portfolio.Bytes.
func (b *blob) ReadAt(p []byte, at int64) (n int, err error) {
	defer func() {
		if thrown, ok := recover().(js.Error); ok {
			n, err = 0, errors.New("the file could not be read from where it lies: "+thrown.Value.Get("name").String())
		}
	}()
	end := min(at+int64(len(p)), b.Size())
	if at >= end {
		return 0, io.EOF
	}
	part := b.reader.Call("readAsArrayBuffer", b.object.Call("slice", at, end))
	n = js.CopyBytesToGo(p, js.Global().Get("Uint8Array").New(part))
	if n < len(p) {
		return n, io.EOF
	}
	return n, nil
}

// writeFile makes the file of a study. The photographs' own files stay with the page: of
// each that goes in as it came the answer has the hash in its place.
func writeFile(message js.Value, answer map[string]any) error {
	doc, err := study.Decode(worker.Bytes(message.Get("study")))
	if err != nil {
		return err
	}
	photographs := message.Get("photographs")
	asTheyCame := 0
	order := portfolio.Order{
		Photograph: func(hash string) portfolio.Bytes {
			if object := photographs.Get(hash); object.Truthy() {
				return newBlob(object)
			}
			return nil
		},
		Strip: func(photograph []byte) ([]byte, error) {
			bare, _, err := photo.Bare(photograph)
			if err != nil { // of a kind that cannot be freed of anything, or an odd one
				asTheyCame++
				return nil, nil
			}
			return bare, nil
		},
		Progress: worker.Progress(),
	}
	if message.Get("came").Bool() {
		order.Strip = nil
		asTheyCame = len(doc.References())
	}
	if order.Board, err = board(message.Get("copies")); err != nil {
		return err
	}
	pieces, err := portfolio.Write(doc, order)
	if err != nil {
		return err
	}
	parts := make([]any, 0, len(pieces))
	for _, p := range pieces {
		if p.Photograph != "" {
			parts = append(parts, p.Photograph)
			continue
		}
		parts = append(parts, worker.Array(p.Data))
	}
	answer["pieces"], answer["came"] = parts, asTheyCame
	return nil
}

// board draws the picture of the board from small copies, nil if there are none.
func board(copies js.Value) ([]byte, error) {
	var pictures []*photo.Picture
	for i := range copies.Length() {
		c := copies.Index(i)
		p := photo.New(c.Get("width").Int(), c.Get("height").Int())
		js.CopyBytesToGo(p.Pix, c.Get("pixels"))
		pictures = append(pictures, p)
	}
	if len(pictures) == 0 {
		return nil, nil
	}
	return portfolio.Board(pictures)
}

// openFile reads the file of a study. Photographs are answered by where they lie in it,
// or as their bytes where they were packed.
func openFile(message js.Value, answer map[string]any) error {
	o, err := portfolio.Open(newBlob(message.Get("file")), worker.Progress())
	if err != nil {
		return err
	}
	text, err := spelt(o)
	if err != nil {
		return fmt.Errorf("reading the study: %w", err)
	}
	photographs := make([]any, 0, len(o.Photographs))
	for _, f := range o.Photographs {
		found := map[string]any{"hash": f.Reference.Hash, "offset": f.Offset, "bytes": f.Reference.Bytes}
		if f.Data != nil {
			found["data"] = worker.Array(f.Data)
		}
		photographs = append(photographs, found)
	}
	damage := make([]any, 0, len(o.Damage))
	for _, d := range o.Damage {
		damage = append(damage, d)
	}
	lost := make([]any, 0, len(o.Lost))
	for _, hash := range o.Lost {
		lost = append(lost, hash)
	}
	answer["study"], answer["photographs"], answer["damage"], answer["lost"] = worker.Array(text), photographs, damage, lost
	return nil
}

// spelt is a study as text that study.Decode reads to the same, one of a newer form too.
func spelt(o portfolio.Opened) ([]byte, error) {
	if !o.Newer {
		return study.Encode(o.Study)
	}
	d := o.Study
	d.Format = study.Format
	text, err := study.Encode(d)
	form := fmt.Sprintf(`"maulstick_study": %d,`, study.Format)
	newer := fmt.Sprintf(`"maulstick_study": %d,`, o.Study.Format)
	return bytes.Replace(text, []byte(form), []byte(newer), 1), err
}
