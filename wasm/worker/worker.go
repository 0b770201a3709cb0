//go:build js

// Package worker is what the programs share that run in a worker: they answer the
// page's messages one after the other, each before they are sent the next.
package worker

import (
	"syscall/js"
	"time"
)

// Serve tells the page that the program is ready and then answers its messages, for
// ever. An answer has the message's kind and number put to it. What is to be handed
// over, not copied, is listed beside it.
func Serve(answer func(kind string, message js.Value) (reply map[string]any, transfer []any)) {
	js.Global().Set("onmessage", js.FuncOf(func(_ js.Value, args []js.Value) any {
		message := args[0].Get("data")
		reply, transfer := answer(message.Get("kind").String(), message)
		reply["kind"], reply["id"] = message.Get("kind"), message.Get("id")
		js.Global().Call("postMessage", reply, transfer)
		return nil
	}))
	js.Global().Call("postMessage", map[string]any{"kind": "ready"})
	select {}
}

// tellEvery is how often progress is told.
const tellEvery = 100 * time.Millisecond

// Progress tells the page how far the answer to a message is, 0 to 1, but not too
// often. It never fails.
func Progress() func(share float64) error {
	told := time.Now()
	return func(share float64) error {
		if now := time.Now(); now.Sub(told) >= tellEvery {
			told = now
			js.Global().Call("postMessage", map[string]any{"kind": "progress", "share": share})
		}
		return nil
	}
}

// Bytes copies bytes out of an array of the browser's.
func Bytes(array js.Value) []byte {
	data := make([]byte, array.Get("length").Int())
	js.CopyBytesToGo(data, array)
	return data
}

// Array copies bytes into an array of the browser's.
func Array(data []byte) js.Value {
	array := js.Global().Get("Uint8Array").New(len(data))
	js.CopyBytesToJS(array, data)
	return array
}
