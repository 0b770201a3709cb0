//go:build js

package main

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"
	"syscall/js"
	"time"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
)

// The demo: a photograph that comes with the page, and the canvas that its
// painter has stretched.
const (
	demoFile   = "demo.jpg"
	demoName   = "Fig in a red bowl"
	demoCanvas = "36 x 24 in"
)

// errGivenUp ends an opening that the painter stopped or overtook.
var errGivenUp = errors.New("the opening was given up")

// openFile opens what the painter chose, dropped or pasted: a photograph, which
// starts a new study, or a study kept as a file.
func (p *page) openFile(file js.Value) {
	p.opening++
	number, name := p.opening, file.Get("name").String()
	p.tell(func() { p.easel.Opening(name, 0) })
	go func() {
		err := p.openChosen(number, name, file)
		switch {
		case errors.Is(err, errGivenUp):
			if number == p.opening-1 || number == p.opening {
				p.tell(p.easel.Stopped)
			}
		case err != nil:
			p.tell(func() { p.easel.Refuse(err) })
		}
	}()
}

// openChosen opens a file by what it begins with.
func (p *page) openChosen(number int, name string, file js.Value) error {
	start, err := p.read(file, 64)
	if err != nil {
		return err
	}
	if data := bytes.TrimLeft(bytesOf(start), " \t\r\n\ufeff"); bytes.HasPrefix(data, []byte("{")) || bytes.HasPrefix(data, []byte("PK")) {
		return p.openStudyFile(number, name, file)
	}
	buffer, err := p.read(file, math.MaxInt)
	if err != nil {
		return err
	}
	return p.openBuffer(number, name, buffer)
}

// openBuffer opens the bytes of a photograph.
func (p *page) openBuffer(number int, name string, buffer js.Value) error {
	data := bytesOf(buffer)
	size, err := inspect(data)
	if err != nil {
		return err
	}
	data = nil // the file may be large
	hash, err := digest(buffer)
	if err != nil {
		return fmt.Errorf("reading %s: %w", name, err)
	}
	reference := study.Reference{Name: name, Hash: hash, Bytes: buffer.Get("byteLength").Int()}
	return p.lay(number, name, file{buffer: buffer, size: size}, study.Righting{}, func(size place.Pixels) (study.Document, bool, error) {
		reference.Width, reference.Height = size.Width, size.Height
		return study.New(newID(), reference), false, nil
	})
}

// inspect refuses what is no photograph that can be opened, before anything is decoded,
// and tells the size that it will have upright, zero if its end is missing.
func inspect(data []byte) (place.Pixels, error) {
	header, err := photo.Inspect(data)
	if photo.Cut(err) && (header.Kind == photo.JPEG || header.Kind == photo.PNG) {
		return place.Pixels{}, nil
	}
	if err != nil {
		return place.Pixels{}, err
	}
	width, height := header.Upright()
	return place.Pixels{Width: width, Height: height}, nil
}

// openDemo lays out the study that comes with the page. Its photograph is
// fetched unless it is here already.
func (p *page) openDemo(demo file) {
	p.opening++
	err := p.layDemo(p.opening, demo)
	if err != nil {
		p.quiet = false
		p.tell(func() { p.easel.Refuse(fmt.Errorf("opening the demo study: %w", err)) })
	}
}

// firstVisit says whether the browser knows of nothing that was ever kept here.
func firstVisit() bool {
	nothing, err := await(js.Global().Get("nothingKept"))
	return err == nil && nothing.Truthy()
}

// earlyDemo is the demo's photograph as the page fetched it beforehand, or
// nothing.
func (p *page) earlyDemo() file {
	early, err := await(p.window.Get("maulstick").Call("takeDemo"))
	if err != nil || !early.Truthy() {
		return file{}
	}
	return file{buffer: early.Get("buffer"), bitmap: early.Get("bitmap"), sum: early.Get("sum")}
}

// fetchDemo brings the demo's photograph.
func fetchDemo() (file, error) {
	response, err := await(js.Global().Call("fetch", demoFile))
	if err != nil {
		return file{}, err
	}
	if !response.Get("ok").Bool() {
		return file{}, fmt.Errorf("the page's own %s is missing", demoFile)
	}
	buffer, err := await(response.Call("arrayBuffer"))
	return file{buffer: buffer}, err
}

func (p *page) layDemo(number int, demo file) (err error) {
	if !demo.buffer.Truthy() {
		if demo, err = fetchDemo(); err != nil {
			return err
		}
	}
	hash, err := demo.hash()
	if err != nil {
		return err
	}
	return p.lay(number, demoName, demo, study.Righting{}, func(size place.Pixels) (study.Document, bool, error) {
		reference := study.Reference{
			Name: demoFile, Hash: hash, Bytes: demo.buffer.Get("byteLength").Int(), Width: size.Width, Height: size.Height,
		}
		doc := study.New(newID(), reference)
		doc.Name = demoName
		canvas, err := place.ParseSize(demoCanvas, place.Inch)
		if err != nil {
			return doc, false, err
		}
		return doc.WithCanvas(canvas, demoCanvas), false, nil
	})
}

// progressEvery is how often the painter is told how far an opening or a setting
// right is.
const progressEvery = 100 * time.Millisecond

// lay decodes a photograph, sets it right and puts its study on the easel: document
// makes it of the size that the photograph came in. Until the pixels are there the
// study before stays as it was.
func (p *page) lay(number int, name string, photograph file, righting study.Righting, document func(place.Pixels) (study.Document, bool, error)) error {
	tell := everySoOften(func(share float64) { p.tell(func() { p.easel.Opening(name, share) }) })
	pyramid, came, notes, err := p.pixelsOf(photograph, righting, func(share float64) error {
		if number != p.opening {
			return errGivenUp
		}
		tell(share)
		return nil
	})
	if err != nil {
		return err
	}
	doc, kept, err := document(came)
	if err != nil {
		return err
	}
	if came.Width != doc.Reference.Width || came.Height != doc.Reference.Height {
		return fmt.Errorf("opening %s: the browser shows it %d x %d pixels, the study knows it as %d x %d",
			name, came.Width, came.Height, doc.Reference.Width, doc.Reference.Height)
	}
	p.photos[doc.Reference.Hash] = photograph.buffer
	p.StopPlotting() // for the study before
	p.littles.wanted = nil
	p.put(pyramid, righting)
	p.tell(func() {
		p.easel.Show(doc, pyramid.Picture(), kept)
		p.easel.Filled()
		if !kept {
			p.easel.Noted(notes)
		}
	})
	// The study before has had its last state kept: its photographs may go.
	p.inUse, p.onEasel = nil, doc.Reference.Hash
	p.use(doc)
	for hash := range p.photos {
		if !slices.Contains(p.inUse, hash) {
			delete(p.photos, hash)
		}
	}
	return nil
}

// pixelsOf decodes a photograph and sets it right, and tells the size that it came in and
// what the painter should know of it.
// It ends early with the error that progress returns, as copyOut does.
func (p *page) pixelsOf(photograph file, righting study.Righting, progress func(float64) error) (*photo.Pyramid, place.Pixels, []string, error) {
	if !photograph.buffer.Truthy() {
		pyramid, came, err := blank(photograph.size, righting)
		return pyramid, came, nil, err
	}
	if !righting.None() {
		pyramid, came, err := p.redrawn(photograph, righting, progress)
		return pyramid, came, nil, err
	}
	pyramid, notes, err := p.copyOut(photograph, progress)
	if err != nil {
		return nil, place.Pixels{}, nil, err
	}
	return pyramid, pyramid.Picture().Size(), notes, nil
}

// blank is grey in place of a photograph of that size whose file is not here.
func blank(came place.Pixels, righting study.Righting) (*photo.Pyramid, place.Pixels, error) {
	_, size, err := righting.Forward(came)
	if err != nil {
		return nil, came, err
	}
	p := newPicture(size, halvings(size))
	grey := colour.GreyOf(50)
	for i := 0; i < len(p.Pix); i += 4 {
		p.Pix[i], p.Pix[i+1], p.Pix[i+2], p.Pix[i+3] = grey.R, grey.G, grey.B, 255
	}
	pyramid := photo.NewPyramid(p)
	pyramid.Finish()
	return pyramid, came, nil
}

// put takes the pixels of a photograph, set right so, in place of those before.
func (p *page) put(pyramid *photo.Pyramid, righting study.Righting) {
	p.picture, p.pyramid, p.righting = pyramid.Picture(), pyramid, righting
	p.game.show(pyramid)
}

// everySoOften passes on how far work is, but not too often.
func everySoOften(tell func(share float64)) func(share float64) {
	told := time.Now()
	return func(share float64) {
		if time.Since(told) >= progressEvery {
			told = time.Now()
			tell(share)
		}
	}
}

// newID is the name of a new study: 128 random bits.
func newID() string {
	return js.Global().Get("crypto").Call("randomUUID").String()
}
