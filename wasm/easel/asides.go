package easel

import (
	"fmt"
	"math"
	"slices"

	"maulstick/render"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
)

// aside is a picture that is seen next to the one on the easel, or in its place: a
// reference of the board, or a photograph of the canvas from the log.
type aside struct {
	pin       int // of the board, 0 for none
	name      string
	reference study.Reference
	righting  study.Righting
	crop      place.Crop // in pixels of it set right
}

// wholeAside is the whole of a photograph as it came.
func wholeAside(name string, r study.Reference) aside {
	return aside{name: name, reference: r, crop: place.WholeCrop(place.Pixels{Width: r.Width, Height: r.Height})}
}

// key tells the pictures of asides apart.
func (a aside) key() string { return a.reference.Hash + a.righting.Key() }

// size is the picture's, set right, in pixels.
func (a aside) size() place.Pixels {
	_, size, err := a.righting.Forward(place.Pixels{Width: a.reference.Width, Height: a.reference.Height})
	if err != nil { // which no study is kept with
		size = place.Pixels{Width: a.reference.Width, Height: a.reference.Height}
	}
	return size
}

// laid is the small copy of a picture that is seen next to the one on the easel, or is
// on its way.
type laid struct {
	id     int
	busy   bool
	share  float64 // 0..1
	failed string
	copy   *photo.Pyramid // nil until it is there
}

// asides are the pictures that are seen besides the one on the easel: one, which stands
// second, or two, and the one on the easel is out of sight.
func (e *Easel) asides() []aside {
	if e.paletteSeen() {
		return []aside{e.paletteAside()}
	}
	d := e.doc()
	if a, ok := e.canvasAside(); ok {
		return []aside{a}
	}
	var all []aside
	for _, id := range d.Compared {
		if entry, ok := d.Entry(id); ok && entry.Photograph != nil {
			all = append(all, wholeAside(entryName(entry), *entry.Photograph))
		}
	}
	if pin, ok := d.Pin(d.Board.Beside); ok && len(all) == 0 {
		r, righting, crop, _ := d.ReferenceOf(pin.ID)
		all = append(all, aside{pin: pin.ID, name: pin.Name, reference: r, righting: righting, crop: crop})
	}
	return all
}

// away says whether the picture on the easel is out of sight.
func (e *Easel) away() bool {
	return e.alone() || len(e.doc().Compared) == 2
}

// alone says whether another picture has the easel's place, and nothing is beside it.
func (e *Easel) alone() bool {
	return e.cornering() || e.paletteSeen() || e.camera.inPlace && e.throughCamera()
}

// comeBack brings the picture on the easel back into sight.
func (e *Easel) comeBack() {
	if len(e.doc().Compared) == 2 {
		e.settle()
		e.show(e.doc().WithCompared())
	}
}

// halves are the parts of the picture's area, in device pixels, that two pictures are
// seen in: side by side in one that lies, one above the other in one that stands. With
// nothing beside it, or where there is no room for two, the first has all of it.
func (e *Easel) halves() (first, second render.Rect) {
	w, h := e.deviceWidth(), e.deviceHeight()
	first = render.Rect{Width: w, Height: h}
	switch d := e.doc(); {
	case e.alone() || !e.throughCamera() && d.Board.Beside == 0 && len(d.Compared) == 0 || min(w, h) < 2:
	case w >= h:
		first.Width = w / 2
		second = render.Rect{X: first.Width, Width: w - first.Width, Height: h}
	default:
		first.Height = h / 2
		second = render.Rect{Y: first.Height, Width: w, Height: h - first.Height}
	}
	return first, second
}

// askAsides asks for the small copies that the screen needs, and lets go of others.
func (e *Easel) askAsides() {
	wanted := map[string]aside{}
	for _, a := range e.asides() {
		wanted[a.key()] = a
	}
	for key := range e.laid {
		if _, ok := wanted[key]; !ok {
			delete(e.laid, key)
		}
	}
	for key, a := range wanted {
		if e.laid[key] == nil {
			e.lastLaid++
			e.laid[key] = &laid{id: e.lastLaid, busy: true}
			e.host.Lay(e.lastLaid, a.reference, a.righting)
		}
	}
}

// laidBy is the small copy that was asked for by that number, nil if it is wanted no
// more.
func (e *Easel) laidBy(id int) *laid {
	for _, l := range e.laid {
		if l.id == id && l.busy {
			return l
		}
	}
	return nil
}

// Wants says whether the small copy of that number is still waited for.
func (e *Easel) Wants(id int) bool { return e.laidBy(id) != nil }

// Laying says how far the small copy of that number is, 0 to 1.
func (e *Easel) Laying(id int, share float64) {
	if l := e.laidBy(id); l != nil {
		l.share = portion(share)
	}
	e.after()
}

// Laid answers the Lay of that number with the small copy, its levels made. One that is
// wanted no more is ignored.
func (e *Easel) Laid(id int, copy *photo.Pyramid) {
	if l := e.laidBy(id); l != nil && copy != nil {
		l.busy, l.copy = false, copy
	}
	e.after()
}

// LayFailed says that a photograph cannot be laid beside the one on the easel, and why.
func (e *Easel) LayFailed(id int, why string) {
	if l := e.laidBy(id); l != nil {
		l.busy, l.failed = false, sentence(why)
		e.says.news = l.failed
	}
	e.after()
}

// propped is another picture than the one on the easel as it is seen: its view is in pixels
// of its small copy, of which there are scale across and down for each of the picture's own.
type propped struct {
	pane  render.Pane
	scale [2]float64
	dpr   float64
}

// under is the place of the picture that is seen at a place of the area, in CSS pixels.
func (s propped) under(x, y float64) place.PhotoPoint {
	p := s.pane.View.ToPhoto(x*s.dpr-float64(s.pane.At.X), y*s.dpr-float64(s.pane.At.Y))
	return place.PhotoPoint{X: p.X / s.scale[0], Y: p.Y / s.scale[1]}
}

// at is where a place of the picture is seen, in CSS pixels of the area.
func (s propped) at(p place.PhotoPoint) (x, y float64) {
	x, y = s.pane.View.ToScreen(s.onCopy(p))
	return (x + float64(s.pane.At.X)) / s.dpr, (y + float64(s.pane.At.Y)) / s.dpr
}

// onCopy is a place of the picture on its small copy.
func (s propped) onCopy(p place.PhotoPoint) place.PhotoPoint {
	return place.PhotoPoint{X: p.X * s.scale[0], Y: p.Y * s.scale[1]}
}

// away is how far, in CSS pixels, a place of the picture is seen from a finger.
func (s propped) away(f finger, p place.PhotoPoint) float64 {
	x, y := s.at(p)
	return math.Hypot(x-f.x, y-f.y)
}

// about is how it is seen with a place of it in the middle.
func (s propped) about(p place.PhotoPoint) render.Pane {
	pane := s.pane
	pane.View.Centre = s.onCopy(p)
	return pane
}

// beside is the picture in the second half, and how it is seen there; ok is false while
// there is none.
func (e *Easel) beside() (a aside, seen propped, ok bool) {
	all := e.asides()
	_, at := e.halves()
	if len(all) == 0 || at.Empty() {
		return aside{}, propped{}, false
	}
	a = all[len(all)-1]
	seen, ok = e.paneOf(a, at)
	return a, seen, ok
}

// inPlace is the picture that has the easel's place; ok is false while there is none.
func (e *Easel) inPlace() (seen propped, ok bool) {
	all := e.asides()
	if len(all) == 0 {
		return propped{}, false
	}
	at, _ := e.halves()
	return e.paneOf(all[0], at)
}

// paneOf is how a picture is seen in a part of the area, as a whole, under the look that
// the one on the easel has; ok is false while its small copy is not there.
func (e *Easel) paneOf(a aside, at render.Rect) (seen propped, ok bool) {
	l := e.laid[a.key()]
	if l == nil || l.copy == nil || at.Empty() {
		return propped{}, false
	}
	w, h := l.copy.LevelSize(0)
	size := a.size()
	scale := [2]float64{float64(w) / float64(size.Width), float64(h) / float64(size.Height)}
	crop := place.Crop{X: a.crop.X * scale[0], Y: a.crop.Y * scale[1], Width: a.crop.Width * scale[0], Height: a.crop.Height * scale[1]}
	view := render.Fit(crop, at.Width, at.Height, margin*e.dpr)
	view.Mirror, view.Turned = e.doc().View.Mirror, e.doc().View.Turned
	pane := render.Pane{At: at, View: view, Look: e.seenLook(), Other: render.Other{Pyramid: l.copy, Crop: crop}}
	return propped{pane, scale, e.dpr}, true
}

// panes are all pictures on the screen, but the magnified round.
func (e *Easel) panes(onEasel render.Pane) []render.Pane {
	if pane, ok := e.cameraPane(); ok { // before whatever else lies beside
		if e.away() {
			return []render.Pane{pane}
		}
		return []render.Pane{onEasel, pane}
	}
	panes := []render.Pane{}
	if !e.away() {
		panes = append(panes, onEasel)
	} else if seen, ok := e.inPlace(); ok {
		panes = append(panes, seen.pane)
	}
	if _, seen, ok := e.beside(); ok {
		panes = append(panes, seen.pane)
	}
	return panes
}

// overOther says whether a place of the area, in CSS pixels, is another picture's than
// the one's on the easel.
func (e *Easel) overOther(x, y float64) bool {
	first, second := e.halves()
	return e.away() || !second.Empty() && (x*e.dpr >= float64(first.Width) || y*e.dpr >= float64(first.Height))
}

// onBeside is the place of the picture in the second half, in its own pixels, that is
// seen at a place of the area in CSS pixels.
func (e *Easel) onBeside(x, y float64) (place.PhotoPoint, bool) {
	a, seen, ok := e.beside()
	if !ok {
		return place.PhotoPoint{}, false
	}
	return nearest(a.crop, seen.under(x, y)), true
}

// asidesText says what is seen besides the picture on the easel, and how far it is.
func (e *Easel) asidesText() string {
	if e.throughCamera() {
		return e.cameraText()
	}
	all := e.asides()
	names := make([]string, 0, 2)
	for _, a := range all {
		names = append(names, a.name)
	}
	switch len(names) {
	case 0:
		return ""
	case 1:
		if e.paletteSeen() {
			return names[0]
		}
		if e.cornering() {
			return "the canvas on its photograph"
		}
		return "beside " + names[0]
	}
	return names[0] + " beside " + names[1]
}

// laying says how far what is being laid beside the picture on the easel is, or why it
// cannot be, "" for nothing.
func (e *Easel) laying() string {
	for _, a := range e.asides() {
		switch l := e.laid[a.key()]; {
		case l == nil:
		case l.busy && e.alone():
			return fmt.Sprintf("Bringing %s into sight: %.0f %%", a.name, 100*l.share)
		case l.busy:
			return fmt.Sprintf("Laying %s beside: %.0f %%", a.name, 100*l.share)
		case l.failed != "":
			return l.failed
		}
	}
	return ""
}

// allLaid says whether everything that is to be seen besides is there.
func (e *Easel) allLaid() bool {
	return !slices.ContainsFunc(e.asides(), func(a aside) bool { l := e.laid[a.key()]; return l == nil || l.copy == nil })
}
