//go:build js

// Command callipers runs in a worker that is started when it is first needed: it does
// what compares a photograph of the canvas or of the palette with the plan, for which
// neither the page nor its other workers have room.
//
// Pictures are handed to it under names, strip by strip from the top, and lie there
// until another comes under their name. A message asks about those
// that lie there, with its question in bytes beside it.
package main

import (
	"fmt"
	"syscall/js"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/wasm/worker"
)

// callipers is what the worker holds.
type callipers struct {
	pictures map[string]*laying
	strip    []byte // of a picture, on its way
}

// laying is a picture that is being handed over: as it is held, or a small copy of a part
// of it.
type laying struct {
	whole    *photo.Picture // with room for all, nil for a copy
	filled   int            // bytes of it that are there
	reducing *photo.Reducing
	copy     *photo.Picture // once it is asked for
}

func main() {
	c := callipers{pictures: map[string]*laying{}}
	worker.Serve(c.answer)
}

// answer does what a message asks for and returns what is to be sent back.
func (c *callipers) answer(kind string, message js.Value) (answer map[string]any, transfer []any) {
	answer = map[string]any{}
	var err error
	switch kind {
	case "picture":
		err = c.lay(message)
	case "rows":
		err = c.addRows(message)
	case "find":
		err = c.find(message, answer)
	case "check":
		transfer, err = c.check(message, answer)
	case "palette":
		err = c.palette(message, answer)
	default:
		fmt.Println("callipers: a message of an unknown kind:", kind)
	}
	if err != nil {
		answer["failed"], answer["hint"] = err.Error(), place.Hint(err)
	}
	return answer, transfer
}

// lay makes room for a picture of a size, halved so often, under a name; with a part it
// is a copy of that part, so many pixels long at most, and no more is held.
func (c *callipers) lay(message js.Value) error {
	name := message.Get("name").String()
	delete(c.pictures, name)
	size, halved := place.Pixels{Width: message.Get("width").Int(), Height: message.Get("height").Int()}, message.Get("halved").Int()
	v := message.Get("part")
	if !v.Truthy() {
		c.pictures[name] = &laying{whole: photo.NewHalved(size, halved)}
		return nil
	}
	whole := photo.Picture{Width: size.Width, Height: size.Height, Halved: halved}
	part := place.Crop{X: v.Get("x").Float(), Y: v.Get("y").Float(), Width: v.Get("width").Float(), Height: v.Get("height").Float()}
	r, err := photo.NewReducing(whole.Held(), whole.OnHeld(part), message.Get("side").Int())
	if err != nil {
		return err
	}
	c.pictures[name] = &laying{reducing: r}
	return nil
}

// addRows adds the rows that come next to the picture under a name.
func (c *callipers) addRows(message js.Value) error {
	name, pixels := message.Get("name").String(), message.Get("pixels")
	l := c.pictures[name]
	if l == nil {
		return fmt.Errorf("laying a picture out: there is no room for the %s", name)
	}
	if l.whole != nil {
		l.filled += js.CopyBytesToGo(l.whole.Pix[l.filled:], pixels)
		return nil
	}
	if n := pixels.Get("length").Int(); cap(c.strip) < n {
		c.strip = make([]byte, n)
	} else {
		c.strip = c.strip[:n]
	}
	js.CopyBytesToGo(c.strip, pixels)
	l.reducing.Add(c.strip)
	return nil
}

// picture is the picture that lies there under a name.
func (c *callipers) picture(name string) (*photo.Picture, error) {
	l := c.pictures[name]
	switch {
	case l == nil:
		return nil, fmt.Errorf("comparing: the %s is not there", name)
	case l.whole != nil:
		return l.whole, nil
	case l.copy == nil:
		l.copy, l.reducing = l.reducing.Picture(), nil
	}
	return l.copy, nil
}
