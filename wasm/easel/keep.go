package easel

import (
	"errors"
	"fmt"
	"time"

	"maulstick/render/study"
)

// keepAfter is how long a change waits to be written away, so that a drag is
// not written sixty times a second; every change is asked to be kept well
// within a second.
const keepAfter = 500 * time.Millisecond

// keeping is what is known about writing the study away.
type keeping struct {
	dirty   bool      // something changed since the last Keep
	since   time.Time // the first change that is not kept
	waiting int       // Keeps not yet answered
	failed  error     // the last answer, if it was a refusal
}

// begin starts afresh for another study. Answers to the study before may
// still come.
func (k *keeping) begin(kept bool) {
	k.dirty, k.failed = !kept, nil
}

// changed notes that the study differs from what was last kept.
func (e *Easel) changed() {
	if e.readOnly || e.keeping.dirty {
		return
	}
	e.keeping.dirty, e.keeping.since = true, e.now()
}

func (e *Easel) keepNow() {
	if e.history == nil || e.readOnly {
		return
	}
	e.keeping.dirty = false
	e.keeping.waiting++
	e.host.Keep(e.doc())
}

func (e *Easel) keepDue() time.Time {
	if !e.keeping.dirty || e.readOnly {
		return time.Time{}
	}
	return e.keeping.since.Add(keepAfter)
}

func (e *Easel) tickKeep(now time.Time) {
	if due := e.keepDue(); !due.IsZero() && !now.Before(due) {
		e.keepNow()
	}
}

// Kept answers the oldest Keep that has not been answered: nil, or why the
// study could not be written away. Work goes on either way.
func (e *Easel) Kept(err error) {
	if e.keeping.waiting == 0 {
		return
	}
	e.keeping.waiting--
	if err != nil && e.keeping.failed == nil {
		e.says.news = "This study is not being kept."
	}
	e.keeping.failed = err
	if e.onPart("studies") {
		e.host.Shelf(ShelfAsk{Do: ShelfList})
	}
	e.after()
}

// NotKept says that nothing can be kept on this tablet at all.
func (e *Easel) NotKept(err error) {
	if err == nil {
		err = errors.New("the browser refuses storage")
	}
	e.keeping.failed = err
	e.after()
}

// saveFile hands the painter the study as a file.
func (e *Easel) saveFile() {
	e.shelf.reminding = false
	e.tell("The file is being made.")
	e.host.SaveFile(e.doc().FileName(), e.doc(), e.shelf.came)
}

// Saved says that a study has been put into a file and handed over, with so many of its
// photographs as they came: of the others what the camera wrote beside them was left out.
func (e *Easel) Saved(came, photographs int) {
	text := "The file is made. Its photographs are as they came, with all that the camera wrote into them: where and when they were taken, perhaps."
	switch {
	case came == 0:
		text = "The file is made. Where, when and with what the photographs were taken was left out."
	case came < photographs:
		text = fmt.Sprintf("The file is made. Where, when and with what the photographs were taken was left out, but for %d of %d: those are of kinds that it cannot be taken out of, and are as they came.", came, photographs)
	}
	e.tell(text)
	e.after()
}

// stateKept is the right side of the line above the picture.
func (e *Easel) stateKept() string {
	switch {
	case e.history == nil:
		return ""
	case e.readOnly:
		return "To look at only"
	case e.keeping.failed != nil:
		return "Not kept"
	case e.keeping.dirty || e.keeping.waiting > 0:
		return "Keeping"
	case e.shelf.reminding:
		return "Kept here alone: save a file, too"
	}
	return "Kept on this tablet"
}

// notices are the standing sentences above the picture, most pressing first.
func (e *Easel) notices() []string {
	var s []string
	if e.keeping.failed != nil {
		s = append(s, "This study is not being kept: "+e.keeping.failed.Error()+". Save it to a file before you close the page.")
	}
	if text := e.tightText(); text != "" {
		s = append(s, text)
	}
	if e.readOnly {
		n := study.Newer{Found: e.doc().Format}
		s = append(s, sentence(n.Error())+" "+sentence(n.Hint()))
	}
	for _, text := range e.says.standing {
		s = append(s, sentence(text))
	}
	if e.says.awakeRefused && e.history != nil {
		s = append(s, "This tablet may dim by itself: it did not let the page keep the screen on. Set a longer time in its settings.")
	}
	if e.says.update {
		s = append(s, "A new version is ready.")
	}
	return s
}
