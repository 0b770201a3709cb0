package easel

import (
	"fmt"
	"strconv"
	"strings"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
	"maulstick/render/survey"
)

// righting is the photograph being set right otherwise, or another being put on the
// easel. The study follows once the new pixels are there, so that nothing is ever
// measured on others.
type righting struct {
	last   int // the number of the newest request
	busy   bool
	share  float64        // 0..1
	wanted study.Document // whose pixels are asked for
	size   place.Pixels   // of the photograph then
	then   func(*Easel)   // takes the study to the new pixels
}

// setRight sets the photograph right otherwise, as a step to undo.
func (e *Easel) setRight(r study.Righting) {
	d, _, err := e.doc().WithRighting(r)
	if err == nil {
		err = d.Check()
	}
	if err != nil {
		e.say(err)
		return
	}
	e.rightFor(d, func(e *Easel) {
		d, lost, err := e.doc().WithRighting(r) // which may have changed meanwhile
		if err != nil {
			return
		}
		e.do(d, "")
		switch lost {
		case 0:
		case 1:
			e.tell("One mark lay outside of what is left, and went with it. Undo brings it back.")
		default:
			e.tell(fmt.Sprintf("%d marks lay outside of what is left, and went with it. Undo brings them back.", lost))
		}
	})
}

// samePixels says whether two states of a study stand on the same pixels.
func samePixels(a, b study.Document) bool {
	return a.Reference.Hash == b.Reference.Hash && a.Righting.Equal(b.Righting)
}

// rightFor asks for the pixels of a study that has its photograph set right otherwise,
// or another one on the easel, and does the rest when they are there.
func (e *Easel) rightFor(d study.Document, then func(*Easel)) {
	e.tool = inHand{}
	e.right.last++
	e.right.busy, e.right.share, e.right.then = true, 0, then
	e.right.wanted, e.right.size = d, d.Pixels()
	e.host.Right(e.right.last, d)
}

// Righting says how far the setting right of that number is, 0 to 1.
func (e *Easel) Righting(id int, share float64) {
	if e.right.busy && id == e.right.last {
		e.right.share = portion(share)
	}
	e.after()
}

// Righted answers Right with the photograph's new pixels, all of them, and says
// whether the study takes them: if so they lie on the screen from now on. It does not
// take what was asked for before something else, or what it has since no use for.
func (e *Easel) Righted(id int, pic *photo.Picture) (taken bool) {
	if !e.right.busy || id != e.right.last || pic == nil {
		return false
	}
	e.right.busy = false
	before := e.doc()
	if pic.Size() == e.right.size {
		e.settle()
		e.right.then(e)
	}
	if !samePixels(e.doc(), e.right.wanted) {
		e.after()
		return false
	}
	e.picture, e.filled = pic, true
	e.forgetFound()
	if before.Reference.Hash != e.doc().Reference.Hash {
		e.turnToOther()
	}
	e.refit()
	e.after()
	return true
}

// RightFailed says that the photograph cannot be set right so, and why.
func (e *Easel) RightFailed(id int, why string) {
	if e.right.busy && id == e.right.last {
		e.right.busy = false
		e.tell(sentence(why))
	}
	e.after()
}

// forgetFound forgets what was found about the pixels before.
func (e *Easel) forgetFound() {
	e.stopSurveys()
	e.counts = counts{last: e.counts.last}
	e.surveys.of = map[survey.Kind]*question{}
}

// turnToOther forgets what was being done on the photograph that was on the easel
// before.
func (e *Easel) turnToOther() {
	e.armed, e.picking, e.outlining, e.row, e.tool = false, false, false, "", inHand{}
	e.flat, e.flatTyped, e.sized, e.hand.tap = field{}, place.Size{}, 0, tap{}
	e.board.pin = 0
	if pin, ok := e.doc().Pin(e.doc().Board.OnEasel); ok {
		e.says.news = pin.Name + " is on the easel."
	}
}

// straighten turns the photograph until a line drawn on it is level, or plumb.
func (e *Easel) straighten(a, b place.PhotoPoint, plumb bool) {
	tilt, err := place.Tilt(a, b, plumb)
	if err != nil {
		e.say(err)
		return
	}
	e.turnTo45(e.doc().Righting.Tilt + tilt)
}

// turnTo45 turns the photograph by so many degrees from how it came, no further than
// a level line can have been off.
func (e *Easel) turnTo45(tilt place.Degrees) {
	r := e.doc().Righting
	r.Tilt = min(max(tilt, -45), 45)
	if !r.Equal(e.doc().Righting) {
		e.setRight(r)
	}
}

// typeTilt takes by how much the photograph is turned, typed in degrees.
func (e *Easel) typeTilt(text string) {
	e.tilt = field{}
	word := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "°"))
	degrees, err := strconv.ParseFloat(strings.ReplaceAll(word, ",", "."), 64)
	if word == "" {
		degrees, err = 0, nil
	}
	if err != nil || !(degrees >= -45 && degrees <= 45) {
		e.tilt = field{refused: true, typed: text, note: "Type degrees from -45 to 45, clockwise over 0, as in 1.5."}
		e.says.news = e.tilt.note
		return
	}
	e.turnTo45(place.Degrees(degrees))
}

// squareUp squares up the flat thing that the corners lie on.
func (e *Easel) squareUp() {
	if e.tool.tool != cornerer {
		return
	}
	flat := e.flatSize()
	if flat.Width == 0 {
		e.flat = field{refused: true, note: "Type the size of the flat thing first, as in 8 x 10 in: its proportion cannot be told from the photograph."}
		e.says.news = e.flat.note
		return
	}
	corners := e.tool.corners
	if err := place.Quad(corners).Check(); err != nil {
		e.say(err)
		return
	}
	e.setRight(study.Righting{Corners: corners[:], Flat: flat})
}

// flatSize is the size of the flat thing: as typed, else the canvas's.
func (e *Easel) flatSize() place.Size {
	if e.flatTyped.Width > 0 {
		return e.flatTyped
	}
	return e.doc().Canvas.Face()
}

// typeFlat takes the size of the flat thing.
func (e *Easel) typeFlat(text string) {
	e.flat, e.flatTyped = field{}, place.Size{}
	if strings.TrimSpace(text) == "" {
		return
	}
	size, err := place.ParseSize(text, small(e.doc().Canvas.Unit))
	if err != nil {
		e.flat = field{refused: true, typed: text, note: refusal(err)}
		e.says.news = e.flat.note
		return
	}
	e.flatTyped = size
}

// asItCame takes back all that set the photograph right.
func (e *Easel) asItCame() {
	e.tilt, e.flat = field{}, field{}
	if !e.doc().Righting.None() {
		e.setRight(study.Righting{Corners: []place.PhotoPoint{}})
	}
}

// undo goes a step back or forward. Where the photograph was set right otherwise
// there, or another one was on the easel, its pixels come first.
func (e *Easel) undo(back bool) {
	e.settle()
	to, ok := e.history.Peek(back)
	if !ok || e.right.busy {
		return
	}
	if samePixels(to, e.doc()) {
		e.stepTo(back)
		return
	}
	wanted := to
	e.rightFor(to, func(e *Easel) {
		// The painter may have done something else meanwhile.
		if to, ok := e.history.Peek(back); ok && samePixels(to, wanted) {
			e.stepTo(back)
		}
	})
}

// stepTo goes one step of the history.
func (e *Easel) stepTo(back bool) {
	went := e.history.Redo
	if back {
		went = e.history.Undo
	}
	if went() {
		e.moveOn()
		e.forgetRefused()
		e.refit()
		e.changed()
	}
}
