package easel

import (
	"fmt"
	"math"
	"strings"

	"maulstick/render/check"
	"maulstick/render/colour"
	"maulstick/render/place"
	"maulstick/render/verdict"
)

// listFound lists what was found of what is told.
func (e *Easel) listFound(f *Face) {
	a := e.compared()
	switch {
	case a == nil && e.painting.told != "drawing":
	case e.painting.told == "values":
		e.listValues(f, a)
	case e.painting.told == "colour":
		listColours(f, a)
	default:
		if a != nil {
			e.listSlips(f, a)
		}
		e.listArrows(f, a)
	}
}

// spotOff is how far from the tail of its arrow a spot stands, in CSS pixels.
const spotOff = 26

// tail is where the spot of an arrow stands, so that it hides none of it.
func (e *Easel) tail(dx, dy place.MM) [2]float64 {
	length := math.Hypot(float64(dx), float64(dy))
	if length == 0 {
		return [2]float64{0, -spotOff}
	}
	x, y := -spotOff*float64(dx)/length, -spotOff*float64(dy)/length
	view := e.doc().View
	if view.Turned {
		x, y = -x, -y
	}
	if view.Mirror {
		x = -x
	}
	return [2]float64{x, y}
}

func (e *Easel) listSlips(f *Face, a *verdict.Answer) {
	u := e.doc().Canvas.Unit
	for i, s := range a.Slips {
		at := e.onPhotograph(s.At)
		e.list(f, "painting-rows", found{
			key: slipRow(i), text: fmt.Sprint(i + 1), figure: check.OffText(s.DX, s.DY, u), spot: fmt.Sprint(i + 1),
			note: "within " + place.WithinText(s.Within, u, s.DX, s.DY) + "; " + e.where(at), at: []place.PhotoPoint{at}, shift: e.tail(s.DX, s.DY),
		})
	}
}

// listArrows lists the painter's arrows: what each is off beyond the whole, if that is
// known.
func (e *Easel) listArrows(f *Face, a *verdict.Answer) {
	u := e.doc().Canvas.Unit
	for k, arrow := range e.arrows() {
		dx, dy, within, beyond := arrow.DX, arrow.DY, arrow.Touch, ""
		if a != nil && !a.Nothing {
			x, y := a.Whole.Off(place.CanvasPoint{X: arrow.X, Y: arrow.Y}, e.doc().Size())
			dx, dy, beyond = dx-x, dy-y, " beyond the whole"
			within = place.MM(math.Hypot(float64(within), float64(a.Whole.ShiftWithin)))
		}
		from, _ := e.ends(arrow)
		letter := strings.Repeat(string(rune('A'+k%26)), 1+k/26)
		e.list(f, "painting-rows", found{
			key: arrowRow(k), text: letter, figure: check.OffText(dx, dy, u), spot: letter,
			note: "yours" + beyond + ", within " + place.WithinText(within, u, dx, dy) + "; " + e.where(from),
			at:   []place.PhotoPoint{from}, shift: e.tail(arrow.DX, arrow.DY),
		})
	}
}

// arrowRow is the key of the row of the painter's arrow k, from 0.
func arrowRow(k int) string { return fmt.Sprintf("row-arrow-%d", k+1) }

// mostBroken is how many pairs whose order is broken are listed.
const mostBroken = 6

func (e *Easel) listValues(f *Face, a *verdict.Answer) {
	number := 0
	for i, v := range a.Values {
		if !v.Off {
			continue
		}
		number++
		at := e.onPhotograph(v.At)
		e.list(f, "painting-rows", found{
			key: fmt.Sprintf("row-value-%d", i+1), text: fmt.Sprint(number), figure: check.StepsText(v.Difference), spot: fmt.Sprint(number),
			note:     fmt.Sprintf("within %.1f; step %d, painted %d; %s", v.Within, v.StepReference, v.StepPainting, e.where(at)),
			swatches: swatches(colour.GreyOf(colour.Lightness(v.Reference)), colour.GreyOf(colour.Lightness(v.Painting))),
			at:       []place.PhotoPoint{at},
		})
	}
	for i, pair := range a.Broken[:min(len(a.Broken), mostBroken)] {
		lighter, darker := e.onPhotograph(a.Values[pair[0]].At), e.onPhotograph(a.Values[pair[1]].At)
		letter := string(rune('a' + i))
		r := found{key: fmt.Sprintf("row-order-%d", i+1), text: letter, figure: "order turned round", spot: letter,
			note: "lighter on the reference, darker painted: " + e.where(lighter) + ", against " + e.where(darker)}
		if e.row == r.key { // two spots a pair are too many to be seen at once
			r.at = []place.PhotoPoint{lighter, darker}
		}
		e.list(f, "painting-rows", r)
	}
}

// listColours lists the opposites of the reference.
func listColours(f *Face, a *verdict.Answer) {
	if a.Colour == nil {
		return
	}
	for _, list := range []struct {
		pairs [][2]string
		word  string
	}{{a.Colour.Lost, "lost"}, {a.Colour.Kept, "kept"}} {
		for i, pair := range list.pairs {
			f.Rows["painting-rows"] = append(f.Rows["painting-rows"], Row{
				Key: fmt.Sprintf("row-%s-%d", list.word, i+1), Text: pair[0] + " and " + pair[1], Figure: list.word,
			})
		}
	}
}

// rowCloser is how much closer than the whole a row's place is seen.
const rowCloser = 2.5

// goToRow goes to the place that the row looked at is about, or back to the whole.
func (e *Easel) goToRow() {
	if !e.onCheck("painting") || !e.ready() || e.putting() {
		return
	}
	e.painting.arrow = 0
	if i := numbered(e.row, "row-arrow-"); i <= len(e.arrows()) {
		e.painting.arrow = i
	}
	at, ok := e.rowPlace()
	if !ok {
		if e.row == "" {
			e.seeWhole()
		}
		return
	}
	v := e.fit()
	v.Scale, v.Centre = v.Scale*rowCloser, at
	e.see(v)
}

// rowPlace is the place that the row looked at, or the chosen arrow, is about.
func (e *Easel) rowPlace() (at place.PhotoPoint, ok bool) {
	a := e.compared()
	if k := e.painting.arrow; k > 0 {
		from, _ := e.ends(e.arrows()[k-1])
		return from, true
	}
	if a == nil {
		return at, false
	}
	if i := numbered(e.row, "row-slip-"); i >= 1 && i <= len(a.Slips) {
		return e.onPhotograph(a.Slips[i-1].At), true
	}
	if i := numbered(e.row, "row-value-"); i >= 1 && i <= len(a.Values) {
		return e.onPhotograph(a.Values[i-1].At), true
	}
	return at, false
}
