//go:build js

package main

import (
	"syscall/js"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/survey"
	"maulstick/wasm/worker"
)

// desk is the small copy that questions are asked about: laid out strip by strip,
// then surveyed.
type desk struct {
	picture         *photo.Picture
	left, top, side float64 // where it begins on the photograph, and its pixels' side there
	crop            place.Crop
	surveyor        *survey.Surveyor
}

// newDesk is a desk for a copy of the size that the message says.
func newDesk(message js.Value) *desk {
	return &desk{
		picture: photo.New(message.Get("width").Int(), message.Get("height").Int()),
		left:    message.Get("left").Float(), top: message.Get("top").Float(), side: message.Get("side").Float(),
		crop: cropOf(message.Get("crop")),
	}
}

// lay lays out a strip of rows.
func (d *desk) lay(message js.Value) {
	js.CopyBytesToGo(d.picture.Pix[4*d.picture.Width*message.Get("top").Int():], message.Get("pixels"))
}

// ready makes what is surveyed out of what was laid out, once.
func (d *desk) ready() *survey.Surveyor {
	if d.surveyor == nil {
		y := photo.NewPyramid(d.picture)
		y.Finish()
		d.surveyor = survey.New(survey.NewCopy(y, d.left, d.top, d.side, d.crop))
		d.picture = nil
	}
	return d.surveyor
}

// survey answers a question. The answer has the picture as pixels, and for flat
// shapes what the next question can be answered from.
func (d *desk) survey(message js.Value, answer map[string]any) error {
	var ask survey.Ask
	if err := ask.UnmarshalBinary(worker.Bytes(message.Get("ask"))); err != nil {
		return err
	}
	s := d.ready()
	if state := message.Get("state"); state.Truthy() {
		// What cannot be read is worked out again.
		_ = s.SetState(ask, worker.Bytes(state))
	}
	found, err := s.Answer(ask, worker.Progress())
	if err != nil {
		return err
	}
	data, err := found.MarshalBinary()
	if err != nil {
		return err
	}
	answer["answer"] = worker.Array(data)
	if p := found.Picture; p != nil {
		answer["picture"] = map[string]any{"width": p.Width, "height": p.Height, "pixels": worker.Array(p.Pix)}
	}
	if ask.Kind == survey.Flat {
		state, err := s.State()
		if err != nil {
			return err
		}
		answer["state"] = worker.Array(state)
	}
	return nil
}
