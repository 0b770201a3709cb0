package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"maulstick/render/photo"
	"maulstick/render/place"
)

// maxFile bounds how much of a file is read: no photograph that can be opened
// is longer.
const maxFile = 1 << 30

// open reads and decodes the reference.
func (o *options) open() (photo.Opened, error) {
	if o.reference == "" {
		return photo.Opened{}, o.missing("reference", "photo.jpg")
	}
	data, err := readFile(o.reference)
	if err != nil {
		return photo.Opened{}, err
	}
	memory, err := photo.ParseMemory(o.memory)
	if err != nil {
		return photo.Opened{}, err
	}
	opened, err := photo.DecodeWithin(data, memory)
	if err != nil {
		return opened, fmt.Errorf("opening %s: %w", o.reference, err)
	}
	if opened.Deep != nil && o.name != "value" && o.name != "photo" {
		opened.Notes = append(opened.Notes, "the file holds more than 8 bits a colour, and this is worked out on 8; value reads a spot in full")
	}
	return opened, nil
}

// readFile reads a whole file, with errors in plain words.
func readFile(name string) ([]byte, error) {
	problem := func(what, wanted string) error {
		return &place.Problem{Doing: "opening " + name, What: what, Wanted: wanted}
	}
	file, err := os.Open(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, problem("there is no such file", "check the name and the folder")
	case errors.Is(err, fs.ErrPermission):
		return nil, problem("reading it is not allowed", "change who may read it")
	case err != nil:
		return nil, fmt.Errorf("opening the photograph: %w", err)
	}
	defer file.Close()
	if info, err := file.Stat(); err == nil && info.IsDir() {
		return nil, problem("it is a folder", "name a photograph in it")
	}
	data, err := io.ReadAll(io.LimitReader(file, maxFile+1))
	if err != nil {
		return nil, fmt.Errorf("reading the photograph: %w", err)
	}
	if len(data) > maxFile {
		return nil, problem("it is longer than any photograph", "save it as a JPEG and open that")
	}
	return data, nil
}

// photoSizeOf is the size of the reference, and its picture, or the size alone
// where only that was given.
func (o *options) photoSizeOf() (place.Pixels, *photo.Opened, error) {
	switch {
	case o.reference != "" && o.photoSize != "":
		return place.Pixels{}, nil, o.misused("-reference and -photo-size are both given")
	case o.reference == "" && o.photoSize == "":
		return place.Pixels{}, nil, o.missing("reference", "photo.jpg, or -photo-size 3000x2000")
	case o.photoSize != "":
		size, err := o.pixels()
		return size, nil, err
	}
	opened, err := o.open()
	if err != nil {
		return place.Pixels{}, nil, err
	}
	return opened.Size(), &opened, nil
}

// rectangle is a part of the photograph as JSON has it.
type rectangle struct {
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	Width  float64 `json:"width"`
	Height float64 `json:"height"`
}
