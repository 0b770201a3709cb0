//go:build js

package main

import (
	"fmt"
	"strconv"
	"syscall/js"

	"maulstick/wasm/easel"
)

// face puts what the easel says on the HTML page. It remembers what it put
// there, so that only what differs touches the page.
type face struct {
	document js.Value
	elements map[string]js.Value
	shown    easel.Face
	steps    []js.Value // the step keys, from the darkest
	marks    map[int]markElements
	edges    []js.Value // the handles on the histogram
	rows     map[string][]js.Value
	spots    []js.Value
	handles  []js.Value
	pictures map[string]string // the URLs of little pictures by their keys
}

// markElements are the two buttons of one mark: on the picture and in the list.
type markElements struct{ spot, row js.Value }

// newFace starts with rows that hold nothing: a frame before this one may have
// left its keys there.
func newFace(document js.Value) *face {
	f := &face{document: document, elements: map[string]js.Value{}, marks: map[int]markElements{}, rows: map[string][]js.Value{}, pictures: map[string]string{}}
	for _, row := range []string{"steps-row", "marks", "marks-row", "spots", "handles"} {
		f.element(row).Call("replaceChildren")
	}
	return f
}

// element finds an element of the page by its id, undefined if there is none.
func (f *face) element(id string) js.Value {
	e, ok := f.elements[id]
	if !ok {
		e = f.document.Call("getElementById", id)
		f.elements[id] = e
	}
	return e
}

// changes calls set for the entries of now that differ from before and whose
// element is on the page.
func changes[T comparable](f *face, before, now map[string]T, set func(element js.Value, v T)) {
	for id, v := range now {
		if old, ok := before[id]; ok && old == v {
			continue
		}
		if e := f.element(id); e.Truthy() {
			set(e, v)
		}
	}
}

// show makes the page say what the easel says.
func (f *face) show(now easel.Face) {
	before := f.shown
	changes(f, before.Text, now.Text, func(e js.Value, s string) { e.Set("textContent", s) })
	changes(f, before.Value, now.Value, func(e js.Value, s string) { e.Set("value", s) })
	changes(f, before.Pressed, now.Pressed, setPressed)
	changes(f, before.Hidden, now.Hidden, func(e js.Value, b bool) { e.Set("hidden", b) })
	changes(f, before.Disabled, now.Disabled, func(e js.Value, b bool) { e.Set("disabled", b) })
	changes(f, before.Checked, now.Checked, func(e js.Value, b bool) { e.Set("checked", b) })
	if now.Surround != before.Surround {
		style := f.document.Get("documentElement").Get("style")
		style.Call("setProperty", "--surround", greyText(now.Surround))
	}
	if now.Says != before.Says && f.element("says").Truthy() {
		f.element("says").Set("textContent", now.Says)
	}
	f.showSteps(now.Steps)
	f.showHistogram(now)
	for list, rows := range now.Rows {
		f.showRows(list, before.Rows[list], rows)
	}
	f.showSpots(now.Spots)
	f.showHandles(now.Handles)
	f.showFrame("crop-frame", f.shown.Frame, now.Frame)
	f.showFrame("part-frame", f.shown.Part, now.Part)
	f.showOutline(before.Outline, now.Outline)
	f.showCard(now.Card)
	f.showMarks(before.Marks, now.Marks)
	f.followLock(before.Hidden["lock"], now.Hidden["lock"])
	f.shown = now
}

// followLock takes the keyboard's focus to the only key that answers while
// hands are off, and back to the picture afterwards.
func (f *face) followLock(before, now bool) {
	switch {
	case before && !now:
		f.element("key-unlock").Call("focus")
	case !before && now && f.shown.Hidden != nil:
		f.element("overlay").Call("focus")
	}
}

// setPressed tells that a key is on: trays are expanded, other keys pressed.
func setPressed(e js.Value, on bool) {
	name := "aria-pressed"
	if e.Call("hasAttribute", "aria-expanded").Bool() {
		name = "aria-expanded"
	}
	e.Call("setAttribute", name, strconv.FormatBool(on))
}

// greyText is a grey in the style sheet's spelling.
func greyText(code uint8) string { return fmt.Sprintf("rgb(%d %d %d)", code, code, code) }

// asMany takes elements away from the end of a list, or adds ones that are made for
// their number, counted from 1, until there are so many.
func asMany(list []js.Value, count int, made func(number int) js.Value) []js.Value {
	for len(list) > count {
		last := len(list) - 1
		list[last].Call("remove")
		list = list[:last]
	}
	for len(list) < count {
		list = append(list, made(len(list)+1))
	}
	return list
}

// child adds an element of that name to another.
func (f *face) child(of js.Value, name string) js.Value {
	e := f.document.Call("createElement", name)
	of.Call("append", e)
	return e
}

// button adds a button to an element.
func (f *face) button(of js.Value) js.Value {
	b := f.child(of, "button")
	b.Set("type", "button")
	return b
}

// showSteps lays out as many step keys as there are steps.
func (f *face) showSteps(steps []easel.StepKey) {
	row := f.element("steps-row")
	if !row.Truthy() {
		return
	}
	fresh := len(f.steps)
	f.steps = asMany(f.steps, len(steps), func(number int) js.Value { return f.stepButton(row, number) })
	for i, step := range steps {
		if i < fresh && i < len(f.shown.Steps) && f.shown.Steps[i] == step {
			continue
		}
		button := f.steps[i]
		button.Get("firstElementChild").Set("textContent", strconv.Itoa(step.Number))
		button.Get("lastElementChild").Set("textContent", step.Share)
		button.Call("setAttribute", "aria-label", step.Label)
		button.Get("style").Set("backgroundColor", greyText(step.Grey))
		button.Get("classList").Call("toggle", "dark-text", step.DarkText)
		setPressed(button, step.Pressed)
	}
}

// stepButton adds a key for one step to the row.
func (f *face) stepButton(row js.Value, number int) js.Value {
	button := f.button(row)
	button.Get("dataset").Set("key", "step-"+strconv.Itoa(number))
	button.Call("append", f.document.Call("createElement", "span"), " ", f.document.Call("createElement", "span"))
	return button
}

// showMarks puts the marks on the picture and in the Place tray's list.
func (f *face) showMarks(before, now []easel.MarkKey) {
	seen := map[int]bool{}
	old := map[int]easel.MarkKey{}
	for _, m := range before {
		old[m.ID] = m
	}
	for i, m := range now {
		seen[m.ID] = true
		buttons, ok := f.marks[m.ID]
		if !ok {
			buttons = f.markButtons(m.ID)
			f.putBefore(buttons, now[i+1:])
			f.marks[m.ID] = buttons
		}
		if ok && old[m.ID] == m {
			continue
		}
		buttons.show(m)
		if m.Chosen && !old[m.ID].Chosen {
			f.bringIntoRow(buttons.row)
		}
	}
	for id, buttons := range f.marks {
		if !seen[id] {
			buttons.spot.Call("remove")
			buttons.row.Call("remove")
			delete(f.marks, id)
		}
	}
}

// bringIntoRow scrolls the list of marks, and nothing else, until a key is seen.
func (f *face) bringIntoRow(key js.Value) {
	row := f.element("marks-row")
	left := key.Get("offsetLeft").Float() - row.Get("offsetLeft").Float()
	right := left + key.Get("offsetWidth").Float()
	seen, width := row.Get("scrollLeft").Float(), row.Get("clientWidth").Float()
	if left < seen || right > seen+width {
		row.Set("scrollLeft", max(0, min(left, right-width)))
	}
}

// markButtons adds a mark's two buttons.
func (f *face) markButtons(id int) markElements {
	make := func(parent string) js.Value {
		button := f.button(f.element(parent))
		button.Get("dataset").Set("key", "mark-"+strconv.Itoa(id))
		return button
	}
	return markElements{spot: make("marks"), row: make("marks-row")}
}

// putBefore moves a mark's new buttons before those of the marks that come after
// it: one that was deleted and is back stands where it stood.
func (f *face) putBefore(buttons markElements, after []easel.MarkKey) {
	for _, m := range after {
		if next, ok := f.marks[m.ID]; ok {
			next.spot.Call("before", buttons.spot)
			next.row.Call("before", buttons.row)
			return
		}
	}
}

// show puts a mark where it stands.
func (b markElements) show(m easel.MarkKey) {
	b.spot.Set("hidden", !m.Visible)
	b.spot.Get("style").Set("transform", fmt.Sprintf("translate(%.2fpx, %.2fpx)", m.X, m.Y))
	b.row.Set("textContent", m.Name)
	for _, button := range []js.Value{b.spot, b.row} {
		button.Call("setAttribute", "aria-label", m.Label)
		setPressed(button, m.Chosen)
	}
}
