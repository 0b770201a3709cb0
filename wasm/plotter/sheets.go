//go:build js

package main

import (
	"bytes"
	"slices"
	"syscall/js"

	"maulstick/render/photo"
	"maulstick/render/sheet"
	"maulstick/render/study"
	"maulstick/wasm/worker"
)

// sheets prints the sheets of a study whose photograph is laid out, set right.
func (p *plotter) sheets(message js.Value, answer map[string]any) (transfer []any, err error) {
	doc, err := study.Decode(worker.Bytes(message.Get("study")))
	if err != nil {
		return nil, err
	}
	data, err := printed(doc, p.picture, worker.Progress())
	if err != nil {
		return nil, err
	}
	sheets := worker.Array(data)
	answer["sheets"] = sheets
	return []any{sheets.Get("buffer")}, nil
}

// workShare is the part of printing that working out what to print is.
const workShare = 0.7

// printed is a study's sheets as a PDF file.
func printed(doc study.Document, picture *photo.Picture, progress func(share float64) error) ([]byte, error) {
	// Of the sheets that were chosen those that there is something for.
	kinds := slices.DeleteFunc(slices.Clone(doc.Sheets.Kinds), func(k string) bool { return doc.Lacks(k) != "" })
	if len(kinds) == 0 {
		kinds = doc.Sheets.Kinds // the refusal says what is missing
	}
	work, err := sheet.Of(doc, picture, kinds, func(share float64) error { return progress(workShare * share) })
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = sheet.Write(&out, work, func(share float64) error { return progress(workShare + (1-workShare)*share) })
	return out.Bytes(), err
}
