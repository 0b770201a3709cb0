//go:build js

package main

import (
	"syscall/js"

	"maulstick/render/verdict"
	"maulstick/wasm/worker"
)

// find answers where the canvas is on the photograph of the painting.
func (c *callipers) find(message js.Value, answer map[string]any) error {
	ask, err := askOf(message)
	if err != nil {
		return err
	}
	painting, err := c.picture("photograph")
	if err != nil {
		return err
	}
	return put(answer, verdict.Find(ask, painting))
}

// check compares the painting with the reference, and answers with both squared up
// beside the figures.
func (c *callipers) check(message js.Value, answer map[string]any) (transfer []any, err error) {
	ask, err := askOf(message)
	if err != nil {
		return nil, err
	}
	reference, err := c.picture("reference")
	if err != nil {
		return nil, err
	}
	painting, err := c.picture("photograph")
	if err != nil {
		return nil, err
	}
	found, pictures := verdict.Check(ask, reference, painting, worker.Progress())
	if pictures.Painting != nil {
		answer["width"], answer["height"] = pictures.Painting.Width, pictures.Painting.Height
		for name, p := range map[string][]byte{"painting": pictures.Painting.Pix, "reference": pictures.Reference.Pix} {
			array := worker.Array(p)
			answer[name] = array
			transfer = append(transfer, array.Get("buffer"))
		}
	}
	return transfer, put(answer, found)
}

// askOf reads the question out of a message.
func askOf(message js.Value) (ask verdict.Ask, err error) {
	err = ask.UnmarshalBinary(worker.Bytes(message.Get("ask")))
	return ask, err
}

// put puts what was found into an answer.
func put(answer map[string]any, found verdict.Answer) error {
	data, err := found.MarshalBinary()
	if err != nil {
		return err
	}
	answer["answer"] = worker.Array(data)
	return nil
}
