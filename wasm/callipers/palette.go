//go:build js

package main

import (
	"syscall/js"

	"maulstick/render/palette"
	"maulstick/wasm/worker"
)

// palette reads the grey cards and the piles on the photograph of them.
func (c *callipers) palette(message js.Value, answer map[string]any) error {
	var ask palette.Ask
	if err := ask.UnmarshalBinary(worker.Bytes(message.Get("ask"))); err != nil {
		return err
	}
	picture, err := c.picture("photograph")
	if err != nil {
		return err
	}
	data, err := palette.Read(picture, ask).MarshalBinary()
	if err == nil {
		answer["answer"] = worker.Array(data)
	}
	return err
}
