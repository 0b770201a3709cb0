package easel

import (
	"fmt"
	"slices"
	"strings"

	"maulstick/render/place"
	"maulstick/render/study"
)

// logging is what is being done in the log of the work.
type logging struct {
	chosen       []int  // notes, the last chosen last; two at most
	stage, words string // of a note that is being written
	note         string // what became of the last thing done
}

func init() {
	for name, do := range map[string]func(*Easel){
		"log-add":    (*Easel).writeEntry,
		"log-photo":  func(e *Easel) { e.host.LogFile() },
		"log-beside": (*Easel).compareEntries,
		"log-away":   (*Easel).takeEntryAway,
	} {
		keys[name] = do
	}
}

// entryName is what a note is called where there is little room.
func entryName(entry study.Entry) string {
	if entry.Stage != "" {
		return entry.Stage
	}
	return "note of " + entry.Time.Format("2 January")
}

// chosenEntries are the notes that are chosen, the last chosen last.
func (e *Easel) chosenEntries() []study.Entry {
	var all []study.Entry
	for _, id := range e.log.chosen {
		if entry, ok := e.doc().Entry(id); ok {
			all = append(all, entry)
		}
	}
	return all
}

// soleEntry is the note that the fields are about: the only one that is chosen.
func (e *Easel) soleEntry() (study.Entry, bool) {
	all := e.chosenEntries()
	if len(all) != 1 {
		return study.Entry{}, false
	}
	return all[0], true
}

// pressEntry chooses a note, or no longer; of more than two the first is let go.
func (e *Easel) pressEntry(id int) {
	if _, ok := e.doc().Entry(id); !ok {
		return
	}
	e.log.note = ""
	chosen := slices.DeleteFunc(slices.Clone(e.log.chosen), func(c int) bool {
		_, there := e.doc().Entry(c)
		return c == id || !there
	})
	if !slices.Contains(e.log.chosen, id) {
		chosen = append(chosen, id)
	}
	e.log.chosen = chosen[max(len(chosen)-2, 0):]
	if len(e.doc().Compared) > 0 {
		e.compare()
	}
}

// writeEntry takes the note that is being written.
func (e *Easel) writeEntry() { e.addEntry(nil) }

// Logged takes a photograph of the canvas, with what has been written, as a note.
func (e *Easel) Logged(ref study.Reference) {
	if e.history != nil {
		e.addEntry(&ref)
		if log := e.doc().Log; len(log) > 0 && !e.putting() {
			e.turnToEntry(log[len(log)-1].ID)
		}
	}
	e.after()
}

// addEntry adds a note to the log.
func (e *Easel) addEntry(photograph *study.Reference) {
	before := e.doc()
	d := before.WithEntry(e.now(), e.log.stage, e.log.words, photograph)
	switch {
	case len(d.Log) > len(before.Log):
		e.do(d, "")
		e.log = logging{note: "Written down."}
		if photograph != nil {
			e.log.note = "Written down, with the photograph of the canvas."
		}
	case len(d.Log) >= study.MostEntries:
		e.log.note = fmt.Sprintf("The log holds no more than %d notes. Take one away first.", study.MostEntries)
	default:
		e.log.note = "Write what you did or saw first, or the stage of the work."
	}
	e.says.news = e.log.note
}

// typeEntry takes the stage or the words of the chosen note, or of one being written.
func (e *Easel) typeEntry(stage, words string) {
	e.log.note = ""
	entry, ok := e.soleEntry()
	if !ok {
		e.log.stage, e.log.words = stage, words
		return
	}
	e.do(e.doc().RewordedEntry(entry.ID, stage, words), fmt.Sprintf("reword %d", entry.ID))
}

// entryFields are the stage and the words in the fields.
func (e *Easel) entryFields() (stage, words string) {
	if entry, ok := e.soleEntry(); ok {
		return entry.Stage, entry.Words
	}
	return e.log.stage, e.log.words
}

// compareEntries has the photographs of the chosen notes seen side by side, or no longer.
func (e *Easel) compareEntries() {
	if len(e.doc().Compared) > 0 {
		e.settle()
		e.show(e.doc().WithCompared())
		e.keepSize()
		return
	}
	e.compare()
}

// compare has the photographs of the chosen notes seen side by side, or the only one
// beside the reference on the easel.
func (e *Easel) compare() {
	e.settle()
	e.tool = inHand{}
	ids := []int{}
	for _, entry := range e.chosenEntries() {
		ids = append(ids, entry.ID)
	}
	e.show(e.doc().WithCompared(ids...))
	e.keepSize()
}

// takeEntryAway takes the chosen note out of the log.
func (e *Easel) takeEntryAway() {
	if entry, ok := e.soleEntry(); ok {
		e.settle()
		e.do(e.doc().WithoutEntry(entry.ID), "")
		e.log.chosen, e.log.note = nil, "The note is taken away. Undo brings it back."
		e.says.news = e.log.note
	}
}

// faceLog is the part of the Study tray about the log of the work.
func (e *Easel) faceLog(f *Face) {
	d := e.doc()
	f.Rows["log-rows"] = nil
	f.Disabled["log-stage"], f.Disabled["log-words"] = e.still(), e.still()
	f.Value["log-stage"], f.Value["log-words"] = e.entryFields()
	f.Pressed["key-log-beside"] = len(d.Compared) > 0
	f.Text["log-note"] = e.logNote()
	_, sole := e.soleEntry()
	pictured := slices.ContainsFunc(e.chosenEntries(), func(entry study.Entry) bool { return entry.Photograph != nil })
	e.disable(f, "log-add", sole)
	e.disable(f, "log-away", !sole)
	e.disable(f, "log-beside", !pictured && len(d.Compared) == 0)
	if !e.onPart("log") {
		return
	}
	for _, entry := range slices.Backward(d.Log) {
		f.Rows["log-rows"] = append(f.Rows["log-rows"], e.entryRow(entry))
	}
}

// entryRow is a note in the list.
func (e *Easel) entryRow(entry study.Entry) Row {
	row := Row{
		Key: fmt.Sprintf("entry-%d", entry.ID), Text: entry.Time.In(e.now().Location()).Format("2 Jan 2006, 15:04"),
		Figure: entry.Stage, Note: strings.ReplaceAll(entry.Words, "\n", " "),
		Pressed: slices.Contains(e.log.chosen, entry.ID),
	}
	if entry.Photograph == nil {
		return row
	}
	row.Picture = NewLittle(*entry.Photograph, study.Righting{}, place.Crop{}).Key
	if e.littles[row.Picture] != "" {
		row.Note = strings.TrimSpace(row.Note + " (its photograph is not here)")
	}
	return row
}

// logNote says what became of what was last done, or what can be done next.
func (e *Easel) logNote() string {
	_, sole := e.soleEntry()
	switch {
	case e.laying() != "":
		return e.laying()
	case e.log.note != "":
		return e.log.note
	case len(e.doc().Log) == 0:
		return "Write down what you did, with a photograph of the canvas as it stands: the log is dated for you."
	case len(e.doc().Compared) == 2:
		return "Both are seen side by side, the older first. Press Side by side again to have the easel back."
	case sole:
		return "Change what the note says, or lay its photograph beside the reference. Touch it again to write another."
	case len(e.log.chosen) == 2:
		return "Lay the photographs of both side by side."
	}
	return "Touch a note to reword it, or two to see their photographs side by side."
}
