//go:build js

package main

import (
	"encoding/json"
	"fmt"
	"syscall/js"
	"time"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/survey"
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

// tellEvery is how often progress is told.
const tellEvery = 100 * time.Millisecond

// survey answers a question. The answer has the picture and the chart as pixels,
// and for flat shapes what the next question can be answered from.
func (d *desk) survey(message js.Value, answer map[string]any) error {
	var ask survey.Ask
	if err := json.Unmarshal([]byte(message.Get("ask").String()), &ask); err != nil {
		return fmt.Errorf("reading the question: %w", err)
	}
	s := d.ready()
	if state := message.Get("state"); state.Truthy() {
		// What cannot be read is worked out again.
		_ = s.SetState(ask, bytesOf(state))
	}
	told := time.Now()
	found, err := s.Answer(ask, func(done float64) error {
		if now := time.Now(); now.Sub(told) >= tellEvery {
			told = now
			js.Global().Call("postMessage", map[string]any{"kind": "progress", "share": done})
		}
		return nil
	})
	if err != nil {
		return err
	}
	text, err := json.Marshal(found)
	if err != nil {
		return fmt.Errorf("writing the answer: %w", err)
	}
	answer["answer"] = string(text)
	for name, p := range map[string]*photo.Picture{"picture": found.Picture, "chart": found.Chart} {
		if p != nil {
			answer[name] = map[string]any{"width": p.Width, "height": p.Height, "pixels": array(p.Pix)}
		}
	}
	if ask.Kind == survey.Flat {
		state, err := s.State()
		if err != nil {
			return err
		}
		answer["state"] = array(state)
	}
	return nil
}
