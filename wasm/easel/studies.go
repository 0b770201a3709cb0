package easel

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"maulstick/render/shelf"
)

// shelved is what is known of the studies that are kept, and how the list is looked at.
type shelved struct {
	cards   []shelf.Card
	bin     bool   // the bin is listed
	earlier string // the study whose earlier states are listed, "" for none
	search  string
	binned  string // what was put into the bin last
	sure    bool   // the key that removes for good has been pressed once
	note    string
	came    bool // files are saved with the photographs as they came

	room      shelf.Room
	reminded  time.Time // when the painter was last reminded to save a file
	recalled  bool      // that is known
	reminding bool
}

// The keys of rows in the list.
const (
	studyRow = "row-study-"
	stateRow = "row-state-"
)

func init() {
	for name, do := range map[string]func(*Easel){
		"studies-open":    func(e *Easel) { e.shelve(ShelfAsk{Do: ShelfOpen, ID: e.chosenStudy().ID}) },
		"studies-copy":    func(e *Easel) { e.copyChosen() },
		"studies-delete":  func(e *Easel) { e.binChosen() },
		"studies-back":    func(e *Easel) { e.bringBack() },
		"studies-remove":  func(e *Easel) { e.removeChosen() },
		"studies-earlier": func(e *Easel) { e.listEarlier() },
		"studies-bin":     func(e *Easel) { e.listAgain(!e.shelf.bin) },
		"save-came":       func(e *Easel) { e.shelf.came = !e.shelf.came },
	} {
		keys[name] = do
	}
}

// shelve asks for something to be done with the studies that are kept. What of the open
// one is not kept yet is kept first.
func (e *Easel) shelve(ask ShelfAsk) {
	if ask.Do != ShelfList && ask.ID == "" {
		return
	}
	if e.keeping.dirty && ask.Do != ShelfList {
		e.keepNow()
	}
	e.shelf.sure, e.shelf.note = false, ""
	e.host.Shelf(ask)
}

// lookAtShelf lists the studies when their part is turned to.
func (e *Easel) lookAtShelf() {
	if e.onPart("studies") {
		e.shelf.search = ""
		e.listAgain(false)
	}
}

// listAgain lists the studies, or those in the bin.
func (e *Easel) listAgain(bin bool) {
	e.shelf.bin, e.shelf.earlier, e.row = bin, "", ""
	e.shelve(ShelfAsk{Do: ShelfList})
}

// Shelved answers Shelf: what is kept now, nil if that cannot be told, and why what was
// asked could not be done.
func (e *Easel) Shelved(cards []shelf.Card, err error) {
	if cards != nil {
		e.shelf.cards = cards
	}
	if err != nil {
		e.shelf.note = refusal(err)
		e.says.news = e.shelf.note
	}
	e.after()
}

// cardOf is the card of a study, the zero Card if there is none.
func (e *Easel) cardOf(id string) shelf.Card {
	for _, c := range e.shelf.cards {
		if c.ID == id {
			return c
		}
	}
	return shelf.Card{}
}

// chosenStudy is the study that the keys are about.
func (e *Easel) chosenStudy() shelf.Card {
	if e.shelf.earlier != "" {
		return e.cardOf(e.shelf.earlier)
	}
	id, _ := strings.CutPrefix(e.row, studyRow)
	return e.cardOf(id)
}

// chosenState is when the chosen earlier state was written, 0 for none.
func (e *Easel) chosenState() int64 {
	at, _ := strings.CutPrefix(e.row, stateRow)
	ms, err := strconv.ParseInt(at, 10, 64)
	if err != nil {
		return 0
	}
	return ms
}

// lying says whether a study lies open.
func (e *Easel) lying(c shelf.Card) bool { return c.ID != "" && c.ID == e.doc().ID }

func (e *Easel) copyChosen() {
	c := e.chosenStudy()
	e.shelve(ShelfAsk{Do: ShelfCopy, ID: c.ID, Name: c.Name + ", copy"})
}

// binChosen puts the chosen study into the bin, unless it lies open.
func (e *Easel) binChosen() {
	c := e.chosenStudy()
	if c.ID == "" || e.lying(c) {
		return
	}
	e.shelve(ShelfAsk{Do: ShelfBin, ID: c.ID})
	e.shelf.binned, e.row = c.ID, ""
	e.shelf.note = fmt.Sprintf("%s is in the bin, and stays there for %d days.", nameOf(c), shelf.BinDays)
	e.says.news = e.shelf.note
}

// bringBack brings back the chosen earlier state, as a study beside the others, or a
// study out of the bin: the chosen one, else the last that was put there.
func (e *Easel) bringBack() {
	c, at := e.chosenStudy(), e.chosenState()
	switch {
	case at != 0:
		when := time.UnixMilli(at).In(e.now().Location())
		e.shelve(ShelfAsk{Do: ShelfCopy, ID: c.ID, At: at, Name: c.Name + when.Format(", as of 2 January 15:04")})
		e.shelf.earlier, e.row = "", ""
		e.shelf.note = "As it was then it is a study of its own now, first in the list."
		return
	case c.Binned == 0:
		c = e.cardOf(e.shelf.binned)
	}
	if c.ID != "" {
		e.shelve(ShelfAsk{Do: ShelfBack, ID: c.ID})
		e.shelf.binned, e.row = "", ""
		e.shelf.note = nameOf(c) + " is back in the list."
	}
}

// removeChosen removes a study for good out of the bin, once the key is pressed again.
func (e *Easel) removeChosen() {
	c := e.chosenStudy()
	switch {
	case c.Binned == 0:
	case !e.shelf.sure:
		e.shelf.sure, e.shelf.note = true, "Removed for good it cannot be brought back. Press again to remove "+nameOf(c)+"."
		e.says.news = e.shelf.note
	default:
		e.shelve(ShelfAsk{Do: ShelfRemove, ID: c.ID})
		e.row = ""
	}
}

// listEarlier lists the earlier states of the chosen study, or the studies again.
func (e *Easel) listEarlier() {
	if e.shelf.earlier != "" {
		e.listAgain(false)
		return
	}
	if c := e.chosenStudy(); len(c.States) > 0 {
		e.shelf.earlier, e.row = c.ID, ""
	}
}

// renameChosen gives the chosen study another name.
func (e *Easel) renameChosen(name string) {
	c := e.chosenStudy()
	switch name = strings.TrimSpace(name); {
	case c.ID == "" || name == "" || name == c.Name:
	case e.lying(c):
		e.do(e.doc().WithName(name), "study name")
		e.keepNow()
		e.shelve(ShelfAsk{Do: ShelfList})
	default:
		e.shelve(ShelfAsk{Do: ShelfRename, ID: c.ID, Name: name})
	}
}

// nameOf is what a study is called.
func nameOf(c shelf.Card) string {
	if c.Name == "" {
		return "A study that cannot be read"
	}
	return c.Name
}

// PhotographBytes is how long the file of the photograph on the easel is, 0 where there is
// none.
func (e *Easel) PhotographBytes() int {
	if e.history == nil {
		return 0
	}
	return e.doc().Reference.Bytes
}

// Room says how much room the browser gives, and whether it keeps what is in it.
func (e *Easel) Room(r shelf.Room) {
	e.shelf.room = r
	e.remind()
	e.after()
}

// LastReminder says when the painter was last reminded to save a file, the zero time
// for never.
func (e *Easel) LastReminder(at time.Time) {
	e.shelf.reminded, e.shelf.recalled = at, true
	e.remind()
	e.after()
}

// remindEvery is how often the painter is reminded to save a file at most; the first
// day goes by without.
const remindEvery = 24 * time.Hour

// remind reminds the painter to save a file, where the browser may clear away what is
// kept and it is time to. It moves nothing on the screen.
func (e *Easel) remind() {
	s := &e.shelf
	if !s.recalled || !s.room.MayGo() || !s.room.Asked {
		return
	}
	now := e.now()
	switch {
	case s.reminded.IsZero():
	case now.Sub(s.reminded) < remindEvery:
		return
	default:
		s.reminding = true
		e.says.news = "Save this study to a file: " + mayGo
	}
	s.reminded = now
	e.host.Reminded(now)
}

const mayGo = "this browser may clear away what is kept here, when it needs room or after days without a visit."
