//go:build js

package main

import (
	"bytes"
	"slices"
	"syscall/js"

	"maulstick/render/photo"
	"maulstick/render/place"
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
	defer func() { p.smalls = nil }()
	data, err := printed(doc, p.picture, p.smalls, worker.Progress())
	if err != nil {
		return nil, err
	}
	sheets := worker.Array(data)
	answer["sheets"] = sheets
	return []any{sheets.Get("buffer")}, nil
}

// workShare is the part of printing that working out what to print is.
const workShare = 0.7

// kindsOf are, of the sheets that were chosen, those that there is something for.
func kindsOf(doc study.Document) []string {
	kinds := slices.DeleteFunc(slices.Clone(doc.Sheets.Kinds), func(k string) bool { return doc.Lacks(k) != "" })
	if len(kinds) == 0 {
		return doc.Sheets.Kinds // the refusal says what is missing
	}
	return kinds
}

// wants tells which small copies of references the sheets of a study show: of each pin
// the parts, with how long a copy is.
func wants(message js.Value, answer map[string]any) error {
	doc, err := study.Decode(worker.Bytes(message.Get("study")))
	if err != nil {
		return err
	}
	pins, order, parts := []any{}, []int{}, map[int][]any{}
	for _, w := range sheet.Wants(doc, kindsOf(doc)) {
		part := map[string]any{"x": w.Part.X, "y": w.Part.Y, "width": w.Part.Width, "height": w.Part.Height, "side": w.Long, "file": false}
		if parts[w.Pin] == nil {
			order = append(order, w.Pin)
		}
		parts[w.Pin] = append(parts[w.Pin], part)
	}
	for _, id := range order {
		pins = append(pins, map[string]any{"pin": id, "parts": parts[id]})
	}
	answer["pins"] = pins
	return nil
}

// keepCopies keeps the copies of a reference's parts that were made, for the sheets.
func (p *plotter) keepCopies(message js.Value) {
	if p.smalls == nil {
		p.smalls = map[small]*photo.Picture{}
	}
	for _, r := range p.reducing {
		p.smalls[small{message.Get("pin").Int(), r.part, r.long}] = r.Picture()
	}
	p.reducing = nil
}

// small tells a copy of a part of a reference apart.
type small struct {
	pin  int
	part place.Crop
	long int
}

// printed is a study's sheets as a PDF file.
func printed(doc study.Document, picture *photo.Picture, smalls map[small]*photo.Picture, progress func(share float64) error) ([]byte, error) {
	copies := func(w sheet.Wanted) (*photo.Picture, error) { return smalls[small{w.Pin, w.Part, w.Long}], nil }
	work, err := sheet.Of(doc, picture, kindsOf(doc), copies, func(share float64) error { return progress(workShare * share) })
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = sheet.Write(&out, work, func(share float64) error { return progress(workShare + (1-workShare)*share) })
	return out.Bytes(), err
}
