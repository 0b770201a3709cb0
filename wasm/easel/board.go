package easel

import (
	"fmt"
	"strings"

	"maulstick/render/place"
	"maulstick/render/study"
)

// board is what is being done on the board of references.
type board struct {
	pin   int    // the chosen one, 0 for the one on the easel
	words string // what is being borrowed, as far as it has been typed
	note  string // what became of the last thing done
}

func init() {
	for name, do := range map[string]func(*Easel){
		"board-pin":     func(e *Easel) { e.host.PinFiles() },
		"board-work":    (*Easel).workFrom,
		"board-beside":  (*Easel).layBeside,
		"board-earlier": func(e *Easel) { e.boardDo(e.doc().ShiftedPin(e.chosenPin(), -1), "") },
		"board-later":   func(e *Easel) { e.boardDo(e.doc().ShiftedPin(e.chosenPin(), +1), "") },
		"board-down":    (*Easel).takeDown,
		"board-borrow":  (*Easel).borrow,
		"borrowed-away": (*Easel).giveBack,
	} {
		keys[name] = do
	}
}

// Taking is what a photograph that is dropped, pasted or shared is taken for.
type Taking int

// What a photograph can be taken for.
const (
	TakeOpen    Taking = iota // a new study's
	TakePin                   // another reference of the open study
	TakeLog                   // of the canvas, for the log
	TakePalette               // of the grey cards and the mixed piles
)

// Taking is what a photograph that comes now is taken for: with the board in sight it is
// pinned, with the log in sight it is one of the canvas, with cards or piles in sight it
// is one of them, else a new study begins.
func (e *Easel) Taking() Taking {
	switch {
	case e.onPart("board"):
		return TakePin
	case e.onPart("log") || e.onCheck("painting"):
		return TakeLog
	case e.onPalette():
		return TakePalette
	}
	return TakeOpen
}

// onPart says whether the Study tray is open at one of its parts.
func (e *Easel) onPart(part string) bool {
	return e.history != nil && e.doc().Tray == study.TrayStudy && e.doc().Parts.Study == part
}

// boardDo takes a step on the board.
func (e *Easel) boardDo(d study.Document, run string) {
	e.board.note = ""
	e.do(d, run)
}

// chosenPin is the pin that the keys of the board are about.
func (e *Easel) chosenPin() int {
	if _, ok := e.doc().Pin(e.board.pin); ok {
		return e.board.pin
	}
	return e.doc().Board.OnEasel
}

// pressPin chooses a pin.
func (e *Easel) pressPin(id int) {
	if _, ok := e.doc().Pin(id); ok {
		e.board.pin, e.board.note = id, ""
	}
}

// Pinned pins a photograph to the board that can be opened, as one of a batch: a batch
// is one step to undo.
func (e *Easel) Pinned(batch int, ref study.Reference) {
	if e.history == nil {
		return
	}
	d, id := e.doc().Pinned(ref)
	switch {
	case id == 0:
		e.board.note = fmt.Sprintf("The board holds no more than %d references: %s was not pinned. Take one down first.", study.MostPins, ref.Name)
	case len(d.Board.Pins) == len(e.doc().Board.Pins):
		pin, _ := d.Pin(id)
		e.board.pin, e.board.note = id, fmt.Sprintf("%s hangs on the board already, as %s.", ref.Name, pin.Name)
		delete(e.littles, e.littleOf(id, place.Crop{}).Key) // its file may have been missing
		e.changed()                                         // and is written with the study now
	default:
		e.do(d, fmt.Sprintf("pins %d", batch))
		e.board.pin, e.board.note = id, fmt.Sprintf("Pinned %s: %d references.", ref.Name, len(d.Board.Pins))
	}
	e.says.news = e.board.note
	e.after()
}

// workFrom has the chosen reference on the easel once its pixels are there.
func (e *Easel) workFrom() {
	id := e.chosenPin()
	if id == e.doc().Board.OnEasel {
		return
	}
	e.settle()
	e.board.note = ""
	e.rightFor(e.doc().TakenUp(id), func(e *Easel) { e.do(e.doc().TakenUp(id), "") })
}

// layBeside has the chosen reference seen beside the one on the easel, or no longer.
func (e *Easel) layBeside() {
	id := e.chosenPin()
	if e.doc().Board.Beside == id {
		id = 0
	}
	e.besideBy(id)
}

// besideBy has a reference seen beside the one on the easel, 0 for none.
func (e *Easel) besideBy(id int) {
	e.settle()
	e.tool, e.board.note = inHand{}, ""
	e.show(e.doc().LaidBeside(id))
	e.keepSize()
}

// takeDown takes the chosen reference off the board.
func (e *Easel) takeDown() {
	id := e.chosenPin()
	pin, _ := e.doc().Pin(id)
	if id == e.doc().Board.OnEasel {
		return
	}
	e.settle()
	e.tool = inHand{}
	e.do(e.doc().Unpinned(id), "")
	e.board.pin, e.board.note = 0, pin.Name+" is taken down. Undo brings it back."
	e.says.news = e.board.note
}

// lender is the reference that things are borrowed from: the one that lies beside, else
// the chosen one; 0 where that is the one on the easel.
func (e *Easel) lender() int {
	if b := e.doc().Board; b.Beside != 0 {
		return b.Beside
	}
	if id := e.chosenPin(); id != e.doc().Board.OnEasel {
		return id
	}
	return 0
}

// borrow notes what is to be taken from another reference.
func (e *Easel) borrow() {
	from := e.lender()
	switch {
	case from == 0:
		e.board.note = "Choose the reference that you borrow from first, or lay it beside."
	case strings.TrimSpace(e.board.words) == "":
		e.board.note = "Say what you borrow first, as in: the sky from this one."
	default:
		d := e.doc().WithBorrowing(from, e.borrowedPart(from), e.doc().Chosen, e.board.words)
		if len(d.Board.Borrowed) == len(e.doc().Board.Borrowed) {
			e.board.note = fmt.Sprintf("This study holds no more than %d notes of what is borrowed. Take one away first.", study.MostBorrowed)
			break
		}
		e.do(d, "")
		e.tool, e.board.words = inHand{}, ""
		pin, _ := d.Pin(from)
		e.board.note = "Borrowed from " + pin.Name + "."
	}
	e.says.news = e.board.note
}

// borrowedPart is the part of a reference that is meant: as it was drawn, else its crop.
func (e *Easel) borrowedPart(from int) place.Crop {
	if e.tool.tool == parter && e.tool.part.Width > 0 && from == e.doc().Board.Beside {
		return e.tool.part
	}
	_, _, crop, _ := e.doc().ReferenceOf(from)
	return crop
}

// borrowing is the note of what is borrowed that a row is about.
func (e *Easel) borrowing() (study.Borrowing, bool) {
	for _, l := range e.doc().Board.Borrowed {
		if e.row == borrowedRow(l) {
			return l, true
		}
	}
	return study.Borrowing{}, false
}

func borrowedRow(l study.Borrowing) string { return fmt.Sprintf("row-borrowed-%d", l.ID) }

// pressBorrowed shows what a note of what is borrowed is about: the reference that it
// comes from, beside, and the mark that it goes to.
func (e *Easel) pressBorrowed() {
	l, ok := e.borrowing()
	if !ok {
		return
	}
	if l.From != e.doc().Board.OnEasel {
		e.besideBy(l.From)
	}
	if l.To == e.doc().Board.OnEasel && l.Mark != 0 {
		e.choose(l.Mark)
	}
}

// giveBack takes the note of what is borrowed away that is looked at.
func (e *Easel) giveBack() {
	if l, ok := e.borrowing(); ok {
		e.do(e.doc().WithoutBorrowing(l.ID), "")
		e.row, e.board.note = "", "No longer borrowed. Undo brings it back."
		e.says.news = e.board.note
	}
}

// faceBoard is the part of the Study tray about the references.
func (e *Easel) faceBoard(f *Face) {
	d := e.doc()
	chosen := e.chosenPin()
	f.Rows["board-rows"], f.Rows["borrowed-rows"] = nil, nil
	f.Disabled["pin-name"], f.Disabled["borrow-words"] = e.still(), e.still()
	f.Pressed["key-board-beside"] = d.Board.Beside == chosen && d.Board.Beside != 0
	f.Pressed["key-board-part"] = e.tool.tool == parter
	f.Value["borrow-words"], f.Text["board-note"] = e.board.words, e.boardNote()
	pin, ok := d.Pin(chosen)
	f.Value["pin-name"] = pin.Name
	f.Hidden["borrowed-rows"] = len(d.Board.Borrowed) == 0
	if !ok {
		return
	}
	here := chosen == d.Board.OnEasel
	e.disable(f, "board-work", here || e.right.busy)
	e.disable(f, "board-beside", here)
	e.disable(f, "board-down", here)
	e.disable(f, "board-earlier", d.Board.Pins[0].ID == chosen)
	e.disable(f, "board-later", d.Board.Pins[len(d.Board.Pins)-1].ID == chosen)
	e.disable(f, "board-part", d.Board.Beside == 0 || len(d.Compared) > 0)
	_, looked := e.borrowing()
	e.disable(f, "borrowed-away", !looked)
	if !e.onPart("board") {
		return
	}
	for _, p := range d.Board.Pins {
		f.Rows["board-rows"] = append(f.Rows["board-rows"], e.pinRow(p, p.ID == chosen))
	}
	for _, l := range d.Board.Borrowed {
		f.Rows["borrowed-rows"] = append(f.Rows["borrowed-rows"], e.borrowedRow(l))
	}
}

// pinRow is a reference on the board.
func (e *Easel) pinRow(p study.Pin, chosen bool) Row {
	b := e.doc().Board
	row := Row{Key: fmt.Sprintf("pin-%d", p.ID), Text: p.Name, Pressed: chosen}
	switch p.ID {
	case b.OnEasel:
		row.Note = "on the easel"
	case b.Beside:
		row.Note = "beside"
	}
	row.Picture = e.littleOf(p.ID, place.Crop{}).Key
	if e.littles[row.Picture] != "" {
		row.Note = "not here"
	}
	return row
}

// borrowedRow is a note of what is borrowed.
func (e *Easel) borrowedRow(l study.Borrowing) Row {
	d := e.doc()
	from, _ := d.Pin(l.From)
	row := Row{Key: borrowedRow(l), Text: l.Words, Note: "from " + from.Name, Pressed: e.row == borrowedRow(l)}
	switch to, _ := d.Pin(l.To); {
	case l.To != d.Board.OnEasel:
		row.Note += ", into " + to.Name
	case l.Mark != 0:
		if _, ok := d.Mark(l.Mark); ok {
			row.Note += ", to " + e.label(l.Mark)
		}
	}
	row.Picture = e.littleOf(l.From, l.Part).Key
	return row
}

// boardNote says what became of what was last done, or what can be done next.
func (e *Easel) boardNote() string {
	d := e.doc()
	switch {
	case e.laying() != "":
		return e.laying()
	case e.board.note != "":
		return e.board.note
	case e.tool.tool == parter:
		return "Drag over what you borrow in the picture beside, or move the corners by the arrow keys."
	case len(d.Board.Pins) < 2:
		return "Pin more photographs: choose several at once, or drop or paste them while the board is in sight."
	case d.Board.Beside != 0:
		return "Say what you borrow from the one beside. It goes to the chosen mark, if there is one."
	}
	return fmt.Sprintf("%d references. Choose one to work from it, or to lay it beside.", len(d.Board.Pins))
}
