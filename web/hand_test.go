package web_test

import (
	"path/filepath"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// box is where an element is on the page, in CSS pixels.
type box struct{ X, Y, Width, Height float64 }

// boxOf brings an element into sight and tells where it is.
func (p *tab) boxOf(id string) box {
	p.t.Helper()
	return eval[box](p, `(() => { const e = document.getElementById(%s);
		e.scrollIntoView({block: 'nearest'}); const b = e.getBoundingClientRect();
		return {X: b.x, Y: b.y, Width: b.width, Height: b.height}; })()`, id)
}

// press clicks a key of the ledge or a tray, which must lie open to the click.
func (p *tab) press(key string) {
	p.t.Helper()
	p.clickAt(`[data-key="` + key + `"]`)
}

// clickAt clicks the first element that a selector finds.
func (p *tab) clickAt(selector string) {
	p.t.Helper()
	x, y := p.spotOf(selector)
	p.mouse(input.DispatchMouseEventTypeMousePressed, x, y)
	p.mouse(input.DispatchMouseEventTypeMouseReleased, x, y)
}

// spotOf is the middle of an element, the first in sight, which must be what a click there meets.
func (p *tab) spotOf(selector string) (x, y float64) {
	p.t.Helper()
	spot := eval[struct {
		X, Y float64
		Over string
	}](p, `(() => { const all = [...document.querySelectorAll(%[1]s)], e = all.find((e) => e.checkVisibility()) ?? all[0];
		if (!e) return {Over: 'nothing: there is no such element'};
		if (e.disabled) return {Over: 'a key that is switched off'};
		e.scrollIntoView({block: 'nearest'}); const b = e.getBoundingClientRect();
		const x = b.x + b.width / 2, y = b.y + b.height / 2, hit = document.elementFromPoint(x, y);
		return {X: x, Y: y, Over: e.contains(hit) ? '' : (hit ? hit.outerHTML.slice(0, 200) : 'nothing in sight')}; })()`, selector)
	if spot.Over != "" {
		p.t.Fatalf("a click on %s would meet %s", selector, spot.Over)
	}
	return spot.X, spot.Y
}

// hold presses a key and keeps it down until the returned function is called.
func (p *tab) hold(key string) (release func()) {
	p.t.Helper()
	x, y := p.spotOf(`[data-key="` + key + `"]`)
	p.mouse(input.DispatchMouseEventTypeMousePressed, x, y)
	return func() { p.mouse(input.DispatchMouseEventTypeMouseReleased, x, y) }
}

func (p *tab) mouse(kind input.DispatchMouseEventType, x, y float64) {
	p.t.Helper()
	p.point(kind, input.DispatchMouseEventPointerTypeMouse, x, y)
}

func (p *tab) pen(kind input.DispatchMouseEventType, x, y float64) {
	p.t.Helper()
	p.point(kind, input.DispatchMouseEventPointerTypePen, x, y)
}

// point sends an event of a mouse or a pen whose tip or button is down unless
// it is being lifted.
func (p *tab) point(kind input.DispatchMouseEventType, device input.DispatchMouseEventPointerType, x, y float64) {
	p.t.Helper()
	event := input.DispatchMouseEventParams{
		Type: kind, X: x, Y: y, Button: input.MouseButtonLeft, Buttons: 1, ClickCount: 1, PointerType: device,
	}
	if kind == input.DispatchMouseEventTypeMouseReleased {
		event.Buttons = 0
	}
	call(p, input.DispatchMouseEvent, event)
	if kind == input.DispatchMouseEventTypeMouseMoved {
		p.frame()
	}
}

// wheel turns a mouse's wheel, over zero to move away from the picture.
func (p *tab) wheel(x, y, delta float64) {
	p.t.Helper()
	// The protocol wants both figures, and the client leaves out a zero.
	call(p, input.DispatchMouseEvent, input.DispatchMouseEventParams{
		Type: input.DispatchMouseEventTypeMouseWheel, X: x, Y: y, DeltaX: 1e-9, DeltaY: delta,
	})
}

// spot is a place of the page, in CSS pixels.
type spot struct{ x, y float64 }

// touch sends one event of the fingers that are down: all of them, or none for
// an end or a cancel. Fingers keep their number by their order.
func (p *tab) touch(kind input.DispatchTouchEventType, fingers ...spot) {
	p.t.Helper()
	points := []*input.TouchPoint{}
	for i, f := range fingers {
		id := float64(i)
		points = append(points, &input.TouchPoint{X: f.x, Y: f.y, ID: &id})
	}
	call(p, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points})
}

func (p *tab) fingersDown(fingers ...spot) {
	p.t.Helper()
	p.touch(input.DispatchTouchEventTypeTouchStart, fingers...)
}

func (p *tab) fingersMove(fingers ...spot) {
	p.t.Helper()
	p.touch(input.DispatchTouchEventTypeTouchMove, fingers...)
	p.frame()
}

// frame waits until the browser has passed on the moves of pointers, which it
// does once a frame.
func (p *tab) frame() {
	p.t.Helper()
	eval[bool](p, `new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))`)
}

func (p *tab) fingersUp() {
	p.t.Helper()
	p.touch(input.DispatchTouchEventTypeTouchEnd)
}

// tap touches a spot and lets go.
func (p *tab) tap(at spot) {
	p.t.Helper()
	p.fingersDown(at)
	p.fingersUp()
}

// tapAlone taps once the time for a double tap with one before has passed.
func (p *tab) tapAlone(at spot) {
	p.t.Helper()
	time.Sleep(400 * time.Millisecond)
	p.tap(at)
}

// keys types on the keyboard; package kb names the keys without a letter.
func (p *tab) keys(keys string, modifiers ...chromedp.Modifier) {
	p.t.Helper()
	p.must(chromedp.Do(p.ctx, chromedp.KeyEvent(keys, chromedp.KeyModifiers(modifiers...))))
}

// fill replaces what stands in a text field and leaves it with Enter.
func (p *tab) fill(field, text string) {
	p.t.Helper()
	p.clickAt("#" + field)
	eval[chromedp.Void](p, `document.getElementById(%s).select()`, field)
	if text == "" {
		p.keys("\b")
	} else {
		call(p, input.InsertText, input.InsertTextParams{Text: text})
	}
	p.keys("\r")
}

// drop lets go of a file over a spot of the page.
func (p *tab) drop(path string, x, y float64) {
	p.t.Helper()
	path, err := filepath.Abs(path)
	p.must(err)
	for _, kind := range []input.DispatchDragEventType{
		input.DispatchDragEventTypeDragEnter, input.DispatchDragEventTypeDragOver, input.DispatchDragEventTypeDrop,
	} {
		call(p, input.DispatchDragEvent, input.DispatchDragEventParams{
			Type: kind, X: x, Y: y,
			Data: &input.DragData{Items: []*input.DragDataItem{}, Files: []string{path}, DragOperationsMask: 1},
		})
	}
}
