//go:build js

package main

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"syscall/js"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
	"maulstick/wasm/easel"
)

// PinFiles implements easel.Host: the file chooser, for several at once.
func (p *page) PinFiles() { p.document.Call("getElementById", "pin-files").Call("click") }

// LogFile implements easel.Host: the file chooser, which offers the camera on a tablet.
func (p *page) LogFile() { p.document.Call("getElementById", "log-file").Call("click") }

// takeFiles takes files that were dropped or pasted for what the easel takes them for: a
// study that was saved to a file is opened whatever is in sight.
func (p *page) takeFiles(files js.Value) {
	count := files.Get("length").Int()
	if count == 0 {
		return
	}
	taking := p.easel.Taking()
	if name := files.Index(0).Get("name").String(); strings.HasSuffix(name, study.FileEnding) || strings.HasSuffix(name, study.SingleEnding) {
		taking = easel.TakeOpen
	}
	p.take(taking, files)
}

// take takes files for one thing.
func (p *page) take(taking easel.Taking, files js.Value) {
	switch taking {
	case easel.TakePin:
		p.pinFiles(listOf(files))
	case easel.TakeLog:
		p.logFile(files.Index(0))
	case easel.TakePalette:
		p.takePalette(files.Index(0))
	default:
		p.openFile(files.Index(0))
	}
}

// listOf are the files of a browser's list, which may be emptied later.
func listOf(files js.Value) []js.Value {
	list := make([]js.Value, files.Get("length").Int())
	for i := range list {
		list[i] = files.Index(i)
	}
	return list
}

// pinFiles pins photographs to the board one after the other, until the painter stops
// it. What cannot be opened is told at the end, together.
func (p *page) pinFiles(files []js.Value) {
	p.opening++
	number := p.opening
	go func() {
		var refused []string
		var last error
		for i, file := range files {
			name := file.Get("name").String()
			told := name
			if len(files) > 1 {
				told = fmt.Sprintf("%s, %d of %d", name, i+1, len(files))
			}
			ref, err := p.takeIn(number, told, file)
			switch {
			case errors.Is(err, errGivenUp):
				p.tell(p.easel.Stopped)
				return
			case err != nil:
				refused, last = append(refused, name), err
			default:
				p.tell(func() { p.easel.Pinned(number, ref) })
			}
		}
		p.tell(p.easel.Stopped)
		if len(refused) > 1 {
			last = fmt.Errorf("%d photographs cannot be pinned, %s; of the last: %w", len(refused), strings.Join(refused, ", "), last)
		}
		if last != nil {
			p.tell(func() { p.easel.Refuse(last) })
		}
	}()
}

// logFile takes a photograph of the canvas for the log.
func (p *page) logFile(file js.Value) { p.takeOne(file, func(r study.Reference) { p.easel.Logged(r) }) }

// takeOne takes one photograph into the open study, and does with it what is to be done.
func (p *page) takeOne(file js.Value, do func(r study.Reference)) {
	p.opening++
	number := p.opening
	go func() {
		ref, err := p.takeIn(number, file.Get("name").String(), file)
		switch {
		case errors.Is(err, errGivenUp):
			p.tell(p.easel.Stopped)
		case err != nil:
			p.tell(func() { p.easel.Refuse(err) })
		default:
			p.tell(func() {
				p.easel.Stopped()
				do(ref)
			})
		}
	}()
}

// takeIn takes a photograph into the open study, beside the one on the easel: it is
// decoded once, for its size and its little picture, and its file waits in memory until
// it has been written away with the study that names it.
func (p *page) takeIn(number int, told string, chosen js.Value) (ref study.Reference, err error) {
	name := chosen.Get("name").String()
	p.tell(func() { p.easel.Opening(told, 0) })
	buffer, err := p.read(chosen, math.MaxInt)
	if err != nil {
		return ref, err
	}
	size, err := inspect(bytesOf(buffer))
	if err != nil {
		return ref, fmt.Errorf("opening %s: %w", name, err)
	}
	hash, err := digest(buffer)
	if err != nil {
		return ref, fmt.Errorf("reading %s: %w", name, err)
	}
	tell := everySoOften(func(share float64) { p.tell(func() { p.easel.Opening(told, share) }) })
	copies, came, err := p.smaller(file{buffer: buffer, size: size, name: hash}, study.Righting{}, []smallAsk{{side: p.littleSide(), file: true}}, func(share float64) error {
		if number != p.opening {
			return errGivenUp
		}
		tell(share)
		return nil
	})
	if err == nil && number != p.opening {
		err = errGivenUp // another study may lie open by now
	}
	if err != nil {
		return ref, err
	}
	ref = study.Reference{Name: name, Hash: hash, Bytes: buffer.Get("byteLength").Int(), Width: came.Width, Height: came.Height}
	p.photos[hash], p.written[hash] = buffer, false
	little := easel.NewLittle(ref, study.Righting{}, place.Crop{})
	p.keepLittle(little, copies[0].data)
	p.tell(func() { p.showLittle(little.Key, copies[0].data) })
	return ref, nil
}

// read is the first bytes of a file, at most so many, an ArrayBuffer. A part of a file
// that was taken away meanwhile may be read as if it were empty: the whole is not.
func (p *page) read(file js.Value, most int) (js.Value, error) {
	part := file
	if file.Get("size").Int() > most {
		part = file.Call("slice", 0, most)
	}
	buffer, err := await(part.Call("arrayBuffer"))
	if err != nil {
		return buffer, &photo.Refusal{
			What: "the file " + file.Get("name").String() + " could not be read from where it lies",
			Help: "copy it onto this tablet, then open it again",
		}
	}
	return buffer, nil
}
