//go:build js

// Command plotter runs in a worker that is started when it is first needed: it does
// what neither the page nor the mill has room for. It sets lines out exactly,
// redraws photographs that are set right, prints sheets, and puts studies into files and
// takes them out again.
package main

import (
	"errors"
	"fmt"
	"syscall/js"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/setout"
	"maulstick/render/survey"
	"maulstick/wasm/worker"
)

// plotter is what the worker holds.
type plotter struct {
	picture *photo.Picture // laid out strip by strip
	warping *photo.Warping // of the picture
	width   int            // of the picture that the warping makes

	reducing []reducing
	reduced  place.Pixels             // of the picture that the small copies are made of
	strip    []byte                   // of that picture
	smalls   map[small]*photo.Picture // for the sheets to be printed
}

func main() {
	var p plotter
	worker.Serve(p.answer)
}

// answer does what a message asks for and returns what is to be sent back.
func (p *plotter) answer(kind string, message js.Value) (answer map[string]any, transfer []any) {
	answer = map[string]any{}
	var err error
	switch kind {
	case "set-out":
		err = setOut(message, answer)
	case "photograph":
		p.warping = nil
		size := place.Pixels{Width: message.Get("width").Int(), Height: message.Get("height").Int()}
		p.picture = photo.NewHalved(size, message.Get("halved").Int())
	case "photograph-rows":
		js.CopyBytesToGo(p.picture.Pix[4*p.picture.Held().Width*message.Get("top").Int():], message.Get("pixels"))
	case "right":
		err = p.right(message)
	case "righted-rows":
		rows := p.righted(message)
		answer["pixels"], transfer = rows, []any{rows.Get("buffer")}
	case "reduce":
		err = p.reduce(message)
	case "reduce-rows":
		p.addRows(p.stripOf(message.Get("pixels")))
	case "reduced":
		transfer, err = p.handCopies(answer)
	case "reduced-kept":
		p.keepCopies(message)
	case "reduce-right":
		err = p.reduceRight()
	case "wants":
		err = wants(message, answer)
	case "chart":
		err = chart(message, answer)
	case "file-write":
		err = writeFile(message, answer)
	case "file-open":
		err = openFile(message, answer)
	case "sheets":
		transfer, err = p.sheets(message, answer)
	default:
		fmt.Println("plotter: a message of an unknown kind:", kind)
	}
	if err != nil {
		answer["failed"], answer["hint"] = err.Error(), hintOf(err)
	}
	return answer, transfer
}

// stripOf copies a strip of a picture out of an array of the browser's, into the same
// memory as the strip before.
func (p *plotter) stripOf(array js.Value) []byte {
	if n := array.Get("length").Int(); cap(p.strip) < n {
		p.strip = make([]byte, n)
	} else {
		p.strip = p.strip[:n]
	}
	js.CopyBytesToGo(p.strip, array)
	return p.strip
}

// hintOf is what helps against an error, or "".
func hintOf(err error) string {
	if hint := photo.Hint(err); hint != "" {
		return hint
	}
	return place.Hint(err)
}

// chart draws the palette chart of piles.
func chart(message js.Value, answer map[string]any) error {
	var found survey.Answer
	if err := found.UnmarshalBinary(worker.Bytes(message.Get("answer"))); err != nil {
		return err
	}
	if found.Piles == nil {
		return errors.New("drawing the palette chart: there are no piles")
	}
	data, err := pngOf(survey.Chart(*found.Piles))
	if err == nil {
		answer["chart"] = worker.Array(data)
	}
	return err
}

// setOut sets lines out.
func setOut(message js.Value, answer map[string]any) error {
	var ask setout.Ask
	if err := ask.UnmarshalBinary(worker.Bytes(message.Get("ask"))); err != nil {
		return err
	}
	data, err := setout.Draw(ask).MarshalBinary()
	if err != nil {
		return err
	}
	answer["answer"] = worker.Array(data)
	return nil
}
