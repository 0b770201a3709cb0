package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"os"
	"strings"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/portfolio"
	"maulstick/render/study"
)

// held is what "study" tells.
type held struct {
	Study    string      `json:"study"`
	ID       string      `json:"id"`
	Form     int         `json:"form"`
	Newer    bool        `json:"newer"` // than this program: to be looked at alone
	Whole    bool        `json:"whole"` // nothing of it is damaged or missing
	Stripped bool        `json:"stripped"`
	Canvas   string      `json:"canvas"` // as it was typed
	Marks    int         `json:"marks"`
	Entries  int         `json:"log_entries"`
	Files    []heldPhoto `json:"photographs"`
	Output   string      `json:"output,omitempty"`
	advice
}

// heldPhoto is a photograph that a study names.
type heldPhoto struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
	Bytes  int    `json:"bytes"`
	Width  int    `json:"width_px"`
	Height int    `json:"height_px"`
	Whole  bool   `json:"whole"`
}

// studyFile tells what is in a study that was saved to a file.
func studyFile(_ context.Context, o *options) error {
	name, output := "", ""
	// The study comes before the flags, as a command's object does.
	if len(o.args) > 0 && !strings.HasPrefix(o.args[0], "-") {
		name, o.args = o.args[0], o.args[1:]
	}
	err := o.parse("STUDY tells what is in a study that was saved to a file, and whether it is whole.", func(f *flag.FlagSet) {
		f.StringVar(&output, "o", "", "write what is whole of it to a `FILE` of the newest form, photographs as they came")
		o.declareJSON(f)
	})
	if err != nil {
		return err
	}
	if name == "" {
		return o.misused("no study is named before the flags")
	}
	found, data, err := openSaved(name)
	if err != nil {
		return err
	}
	told := tellSaved(found)
	if output != "" {
		if err := rewrite(found, data, name, output); err != nil {
			return err
		}
		told.Output = output
	}
	return o.write(told)
}

// openSaved opens a study that was saved to a file, and the file's bytes.
func openSaved(name string) (portfolio.Opened, []byte, error) {
	if info, err := os.Stat(name); err == nil && info.IsDir() {
		return portfolio.Opened{}, nil, &place.Problem{Doing: "opening " + name, What: "it is a folder", Wanted: "name a study in it, a file whose name ends in " + study.FileEnding}
	}
	data, err := readFile(name)
	if err != nil {
		return portfolio.Opened{}, nil, err
	}
	found, err := portfolio.Open(bytes.NewReader(data), nil)
	if err != nil {
		return found, nil, fmt.Errorf("opening %s: %w", name, err)
	}
	return found, data, nil
}

func tellSaved(found portfolio.Opened) held {
	d := found.Study
	told := held{
		Study: d.Name, ID: d.ID, Form: d.Format, Newer: found.Newer, Whole: len(found.Damage) == 0, Stripped: found.Stripped,
		Canvas: d.Canvas.Typed, Marks: len(d.Marks), Entries: len(d.Log), Files: []heldPhoto{},
	}
	for _, r := range d.References() {
		_, whole := found.Photograph(r.Hash)
		told.Files = append(told.Files, heldPhoto{r.Name, r.Hash, r.Bytes, r.Width, r.Height, whole})
	}
	told.Notes = found.Damage
	return told
}

// rewrite writes what was whole of a study as one file of the newest form.
func rewrite(found portfolio.Opened, data []byte, from, output string) error {
	file := func(hash string) portfolio.Bytes {
		f, ok := found.Photograph(hash)
		if !ok {
			return nil
		}
		whole, err := f.Read(bytes.NewReader(data))
		if err != nil {
			return nil
		}
		return bytes.NewReader(whole)
	}
	board, err := boardOf(found.Study, file)
	if err != nil {
		return err
	}
	pieces, err := portfolio.Write(found.Study, portfolio.Order{Photograph: file, Board: board})
	if err != nil {
		return err
	}
	out, err := portfolio.Joined(pieces, file)
	if err != nil {
		return err
	}
	return writeFile(output, "-o study"+study.FileEnding, out, from)
}

// boardSide is the long side of a reference on the picture of the board, in pixels.
const boardSide = 400

// boardOf draws the picture of a study's board, nil if no photograph of it can be read.
func boardOf(d study.Document, file func(hash string) portfolio.Bytes) ([]byte, error) {
	var copies []*photo.Picture
	for _, pin := range d.Board.Pins {
		ref, righting, crop, _ := d.ReferenceOf(pin.ID)
		bytes := file(ref.Hash)
		if bytes == nil {
			continue
		}
		data := make([]byte, bytes.Size())
		if _, err := bytes.ReadAt(data, 0); err != nil {
			continue
		}
		opened, err := photo.Decode(data)
		if err != nil {
			continue // it is a photograph that only a browser can read
		}
		picture, err := setRight(opened.Picture, righting)
		if err != nil {
			return nil, err
		}
		small, err := photo.Reduced(picture, crop, boardSide)
		if err != nil {
			return nil, err
		}
		copies = append(copies, small)
	}
	if len(copies) == 0 {
		return nil, nil
	}
	return portfolio.Board(copies)
}

// text tells the study and its photographs, a line each.
func (r held) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "study            %s\n", r.Study)
	if r.Canvas != "" {
		fmt.Fprintf(&b, "canvas           %s\n", r.Canvas)
	}
	fmt.Fprintf(&b, "form             %d\nmarks            %d\nnotes in the log %d\n", r.Form, r.Marks, r.Entries)
	for _, f := range r.Files {
		state := "whole"
		if !f.Whole {
			state = "not whole"
		}
		fmt.Fprintf(&b, "photograph       %s, %d x %d, %d bytes, %s\n", f.Name, f.Width, f.Height, f.Bytes, state)
	}
	if r.Output != "" {
		fmt.Fprintf(&b, "written to %s\n", r.Output)
	}
	b.WriteString(r.advice.lines())
	return b.String()
}
