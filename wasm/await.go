//go:build js

package main

import (
	"errors"
	"fmt"
	"syscall/js"
	"time"
)

// await waits for a promise. It may only be called on a goroutine of its own:
// the browser's events cannot be answered while Go waits inside one of them.
func await(promise js.Value) (js.Value, error) {
	type outcome struct {
		value js.Value
		err   error
	}
	done := make(chan outcome, 1)
	kept := js.FuncOf(func(_ js.Value, args []js.Value) any {
		done <- outcome{value: first(args)}
		return nil
	})
	broken := js.FuncOf(func(_ js.Value, args []js.Value) any {
		done <- outcome{err: failure(first(args))}
		return nil
	})
	defer kept.Release()
	defer broken.Release()
	promise.Call("then", kept, broken)
	o := <-done
	return o.value, o.err
}

// first is the first argument of a callback, or undefined.
func first(args []js.Value) js.Value {
	if len(args) == 0 {
		return js.Undefined()
	}
	return args[0]
}

// failure turns what JavaScript threw into an error that keeps its name.
func failure(thrown js.Value) error {
	if thrown.Type() != js.TypeObject {
		return errors.New("the browser gave no reason")
	}
	return fmt.Errorf("%s: %s", thrown.Get("name").String(), thrown.Get("message").String())
}

// attempt calls a JavaScript method that may throw.
func attempt(object js.Value, method string, args ...any) (value js.Value, err error) {
	defer func() {
		if r := recover(); r != nil {
			thrown, ok := r.(js.Error)
			if !ok {
				panic(r)
			}
			err = failure(thrown.Value)
		}
	}()
	return object.Call(method, args...), nil
}

// turn is how long the program works before it lets the browser answer the
// painter and draw.
const turn = 12 * time.Millisecond

// breather keeps long work from holding the screen.
type breather struct {
	since time.Time
	never bool // there is nothing on the screen yet
}

// breathe gives way to the browser if the work has had its turn.
func (b *breather) breathe() {
	if b.never || time.Since(b.since) < turn {
		return
	}
	giveWay()
	b.since = time.Now()
}

// giveWay lets the browser do what is waiting. Messages are delivered after
// what is waiting already, and unlike timers they are not held back.
func giveWay() {
	done := make(chan struct{})
	channel := js.Global().Get("MessageChannel").New()
	resume := js.FuncOf(func(js.Value, []js.Value) any {
		close(done)
		return nil
	})
	defer resume.Release()
	channel.Get("port1").Set("onmessage", resume)
	channel.Get("port2").Call("postMessage", js.Null())
	<-done
	channel.Get("port1").Call("close")
}

// bytesOf copies an ArrayBuffer into Go.
func bytesOf(buffer js.Value) []byte {
	view := js.Global().Get("Uint8Array").New(buffer)
	data := make([]byte, view.Get("length").Int())
	js.CopyBytesToGo(data, view)
	return data
}

// arrayOf copies bytes out of Go into a fresh Uint8Array.
func arrayOf(data []byte) js.Value {
	view := js.Global().Get("Uint8Array").New(len(data))
	js.CopyBytesToJS(view, data)
	return view
}
