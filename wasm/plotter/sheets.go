//go:build js

package main

import (
	"syscall/js"

	"maulstick/render/photo"
	"maulstick/render/place"
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

// printed is a study's sheets as a PDF file.
func printed(study.Document, *photo.Picture, func(share float64) error) ([]byte, error) {
	return nil, &place.Problem{
		Doing: "printing the sheets", What: "this version of the page cannot print",
		Wanted: "save the study to a file and print it once the page has been renewed",
	}
}
