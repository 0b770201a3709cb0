//go:build js

package main

import (
	"math"
	"slices"
	"strconv"
	"syscall/js"

	"maulstick/render/colour"
	"maulstick/wasm/easel"
)

// listen adds an event listener that lasts as long as this frame: the page
// around the frame may outlive it.
func listen(target js.Value, event string, handle func(event js.Value)) {
	target.Call("addEventListener", event, js.FuncOf(func(_ js.Value, args []js.Value) any {
		handle(args[0])
		return nil
	}), map[string]any{"passive": false, "signal": js.Global().Get("ending")})
}

// listenAll connects the whole HTML page to the easel.
func (p *page) listenAll() {
	p.listenPointer()
	p.listenKeys()
	p.listenFields()
	p.listenEdges()
	p.listenHandles()
	p.listenFiles()
	p.listenSize()
	hide := func(js.Value) {
		if p.document.Get("visibilityState").String() == "hidden" {
			p.tell(p.easel.Leave)
		} else {
			p.tell(p.easel.Return)
		}
	}
	listen(p.document, "visibilitychange", hide)
	listen(p.window, "pagehide", func(js.Value) { p.tell(p.easel.Leave) })
}

// listenPointer connects mouse, finger and pen on the picture.
func (p *page) listenPointer() {
	kinds := map[string]easel.PointerKind{
		"pointerdown": easel.Down, "pointermove": easel.Move, "pointerup": easel.Up, "pointercancel": easel.Cancel,
	}
	devices := map[string]easel.Device{"mouse": easel.Mouse, "touch": easel.Touch, "pen": easel.Pen}
	for name, kind := range kinds {
		listen(p.overlay, name, func(event js.Value) {
			if kind == easel.Down {
				if event.Get("button").Int() > 0 {
					return
				}
				_, _ = attempt(p.overlay, "setPointerCapture", event.Get("pointerId"))
			}
			box := p.overlay.Call("getBoundingClientRect")
			p.tell(func() {
				p.easel.Pointer(easel.Pointer{
					Kind: kind, ID: event.Get("pointerId").Int(), Device: devices[event.Get("pointerType").String()],
					X: event.Get("clientX").Float() - box.Get("left").Float(),
					Y: event.Get("clientY").Float() - box.Get("top").Float(),
				})
			})
		})
	}
	listen(p.overlay, "contextmenu", func(event js.Value) { event.Call("preventDefault") })
	listen(p.overlay, "wheel", func(event js.Value) {
		event.Call("preventDefault")
		box := p.overlay.Call("getBoundingClientRect")
		p.tell(func() {
			p.easel.Wheel(event.Get("clientX").Float()-box.Get("left").Float(),
				event.Get("clientY").Float()-box.Get("top").Float(), event.Get("deltaY").Float())
		})
	})
}

// held are the keys that act for as long as they are held.
var held = map[string]bool{"plain": true, "handsoff": true, "unlock": true}

// listenKeys connects the ledge, the trays and the keyboard.
func (p *page) listenKeys() {
	listen(p.document, "click", func(event js.Value) {
		if key := keyOf(event.Get("target")); key != "" && !held[key] {
			p.press(key)
		}
	})
	for name := range held {
		p.listenHeld(name)
	}
	p.chooseFocused()
	listen(p.document, "keydown", func(event js.Value) {
		target := event.Get("target")
		onPicture := target.Call("closest", "#overlay, #marks").Truthy() || target.Equal(p.document.Get("body"))
		if event.Get("ctrlKey").Bool() || event.Get("metaKey").Bool() || event.Get("altKey").Bool() {
			p.shortcut(event)
			return
		}
		name := event.Get("key").String()
		if name == "Tab" || keyOf(target) != "" && (name == "Enter" || name == " ") {
			return // the browser's own: to go on, to press the key in focus
		}
		if !onPicture && name != "PageUp" && name != "PageDown" {
			return
		}
		used := false
		p.tell(func() { used = p.easel.Key(name, event.Get("shiftKey").Bool(), event.Get("repeat").Bool()) })
		if used {
			event.Call("preventDefault")
		}
	})
}

// chooseFocused makes the mark that the keyboard comes to the one that its
// arrows move.
func (p *page) chooseFocused() {
	listen(p.document.Call("getElementById", "marks"), "focusin", func(event js.Value) {
		if key := keyOf(event.Get("target")); key != "" {
			p.press(key)
		}
	})
}

// shortcut answers undo and redo wherever the focus is, but in a field.
func (p *page) shortcut(event js.Value) {
	if event.Get("target").Call("closest", "input").Truthy() || event.Get("altKey").Bool() {
		return
	}
	switch key := event.Get("key").String(); {
	case key == "z" && !event.Get("shiftKey").Bool():
		p.press("undo")
	case key == "y", key == "z", key == "Z":
		p.press("redo")
	default:
		return
	}
	event.Call("preventDefault")
}

// keyOf is the key of the ledge or a tray that an event fell on, or "".
func keyOf(target js.Value) string {
	button := target.Call("closest", "[data-key]")
	if !button.Truthy() || button.Get("disabled").Truthy() {
		return ""
	}
	return button.Get("dataset").Get("key").String()
}

// listenHeld connects a key that acts while it is held, by finger or keyboard.
func (p *page) listenHeld(name string) {
	button := p.document.Call("querySelector", "[data-key="+name+"]")
	down := false
	press := func(event js.Value) {
		event.Call("preventDefault")
		if !down {
			down = true
			p.tell(func() { p.easel.Press(name) })
		}
	}
	release := func(js.Value) {
		if down {
			down = false
			p.tell(func() { p.easel.Release(name) })
		}
	}
	listen(button, "pointerdown", func(event js.Value) {
		_, _ = attempt(button, "setPointerCapture", event.Get("pointerId"))
		button.Call("focus")
		press(event)
	})
	for _, event := range []string{"pointerup", "pointercancel", "blur", "keyup"} {
		listen(button, event, release)
	}
	listen(button, "keydown", func(event js.Value) {
		if key := event.Get("key").String(); key == " " || key == "Enter" {
			press(event)
		}
	})
	listen(button, "contextmenu", func(event js.Value) { event.Call("preventDefault") })
}

// edgeReach is how far from an edge a finger takes hold of it, in CSS pixels.
const edgeReach = 32

// nearestEdge is the number of the edge on the histogram that a finger is
// nearest to, 0 if none is within reach: where edges lie close together their
// handles lie over one another.
func (p *page) nearestEdge(x float64) int {
	nearest, reach := 0, float64(edgeReach)
	for i, handle := range p.face.edges {
		r := handle.Call("getBoundingClientRect")
		off := math.Abs(r.Get("left").Float() + r.Get("width").Float()/2 - x)
		if off < reach {
			nearest, reach = i+1, off
		}
	}
	return nearest
}

// listenEdges connects dragging the edges between steps on the histogram, by
// pointer or by the arrow keys.
func (p *page) listenEdges() {
	box := p.document.Call("getElementById", "histogram")
	held := 0
	drag := func(event js.Value) {
		r := box.Call("getBoundingClientRect")
		at := 100 * (event.Get("clientX").Float() - r.Get("left").Float()) / max(r.Get("width").Float(), 1)
		p.tell(func() { p.easel.DragEdge(held, colour.Lightness(min(max(at, 0), 100))) })
	}
	listen(box, "pointerdown", func(event js.Value) {
		if held = p.nearestEdge(event.Get("clientX").Float()); held > 0 {
			_, _ = attempt(box, "setPointerCapture", event.Get("pointerId"))
		}
	})
	listen(box, "pointermove", func(event js.Value) {
		if held > 0 {
			drag(event)
		}
	})
	for _, end := range []string{"pointerup", "pointercancel"} {
		listen(box, end, func(js.Value) { held = 0 })
	}
	number := func(event js.Value) int {
		n, _ := strconv.Atoi(event.Get("target").Get("dataset").Get("edge").String()) // ours
		return n
	}
	steps := map[string]float64{"ArrowLeft": -0.5, "ArrowDown": -0.5, "ArrowRight": 0.5, "ArrowUp": 0.5, "PageDown": -5, "PageUp": 5}
	listen(box, "keydown", func(event js.Value) {
		by, ok := steps[event.Get("key").String()]
		k := number(event)
		if !ok || k == 0 {
			return
		}
		event.Call("preventDefault")
		event.Call("stopPropagation")
		p.tell(func() { p.easel.NudgeEdge(k, colour.Lightness(by)) })
	})
}

// listenFields connects what the painter types and ticks.
func (p *page) listenFields() {
	listen(p.document, "input", func(event js.Value) {
		if target := event.Get("target"); slices.Contains([]string{"range", "search"}, target.Get("type").String()) {
			p.tell(func() { p.easel.Type(target.Get("id").String(), target.Get("value").String()) })
		}
	})
	listen(p.document, "change", func(event js.Value) {
		target := event.Get("target")
		switch id := target.Get("id").String(); {
		case target.Get("type").String() == "file":
			if files := target.Get("files"); files.Get("length").Int() > 0 {
				p.take(fieldsTake[id], files)
			}
			target.Set("value", "")
		case target.Get("type").String() == "checkbox":
			p.press(target.Get("dataset").Get("key").String())
		default:
			p.tell(func() { p.easel.Type(id, target.Get("value").String()) })
		}
	})
}

// listenFiles connects dropping and pasting a photograph.
func (p *page) listenFiles() {
	listen(p.window, "dragover", func(event js.Value) { event.Call("preventDefault") })
	listen(p.window, "drop", func(event js.Value) {
		event.Call("preventDefault")
		p.takeDropped(event.Get("dataTransfer"))
	})
	listen(p.window, "paste", func(event js.Value) { p.takeDropped(event.Get("clipboardData")) })
}

// fieldsTake is what the file fields take files for.
var fieldsTake = map[string]easel.Taking{
	"pin-files": easel.TakePin, "log-file": easel.TakeLog, "palette-file": easel.TakePalette,
}

// takeDropped takes the files of what was dropped or pasted, if any.
func (p *page) takeDropped(transfer js.Value) {
	if transfer.Truthy() {
		p.takeFiles(transfer.Get("files"))
	}
}

// listenSize tells the easel how large the picture area is: as large as Ebiten
// takes it to be, which rounds where the layout leaves parts of a pixel.
func (p *page) listenSize() {
	body := js.Global().Get("document").Get("body")
	measure := func() {
		p.tell(func() {
			p.easel.Resize(body.Get("clientWidth").Int(), body.Get("clientHeight").Int(), p.window.Get("devicePixelRatio").Float())
		})
	}
	measure()
	observer := js.Global().Get("ResizeObserver").New(js.FuncOf(func(js.Value, []js.Value) any {
		measure()
		return nil
	}))
	observer.Call("observe", p.overlay)
	atEnd(func() { observer.Call("disconnect") })
}

// atEnd does something when this frame ends.
func atEnd(do func()) {
	js.Global().Get("ending").Call("addEventListener", "abort", js.FuncOf(func(js.Value, []js.Value) any {
		do()
		return nil
	}))
}
