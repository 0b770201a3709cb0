package study

import (
	"slices"

	"maulstick/render/look"
)

// deepest bounds how many steps can be undone.
const deepest = 200

// History is a study with the states it can go back and forward to. Only what
// was drawn, typed or decided counts as a step: canvas, marks and names, the edges
// between steps, the neutral that was picked. Undoing keeps the look, the view and
// the trays as they are.
type History struct {
	now    Document
	past   []Document
	future []Document
	run    string     // the name of the run of changes being made, "" for none
	undone []Document // what could be redone before the run began
	oldest *Document  // the state that the run's step pushed out of reach, if any
}

// NewHistory starts a history at a document.
func NewHistory(d Document) *History { return &History{now: d} }

// Now is the present state.
func (h *History) Now() Document { return h.now }

// Show replaces the present state without making a step of it.
func (h *History) Show(d Document) { h.now = d }

// Do makes a step to d. Steps of the same run, if it is not "", count as one:
// a drag, a row of nudges, a name being typed.
func (h *History) Do(d Document, run string) {
	if run == "" || run != h.run {
		h.undone, h.oldest = h.future, nil
		h.past = append(h.past, h.now)
		if len(h.past) > deepest {
			h.oldest = &h.past[0]
			h.past = append([]Document(nil), h.past[1:]...)
		}
		h.future = nil
	}
	h.now, h.run = d, run
}

// EndRun makes the next step one of its own, whatever it is called.
func (h *History) EndRun() { h.run = "" }

// Running says whether the run of that name is being made.
func (h *History) Running(run string) bool { return run != "" && h.run == run }

// TakeBack undoes the run as if it had never been begun, and says whether that
// run was the present one.
func (h *History) TakeBack(run string) bool {
	if !h.Running(run) || len(h.past) == 0 {
		return false
	}
	last := len(h.past) - 1
	h.now = h.past[last].seenAs(h.now)
	h.past = h.past[:last]
	if h.oldest != nil {
		h.past = append([]Document{*h.oldest}, h.past...)
	}
	h.future, h.undone, h.oldest, h.run = h.undone, nil, nil, ""
	return true
}

// CanUndo says whether there is a step to undo.
func (h *History) CanUndo() bool { return len(h.past) > 0 }

// CanRedo says whether there is an undone step to make again.
func (h *History) CanRedo() bool { return len(h.future) > 0 }

// Peek is the state that Undo (back) or Redo would go to, as it would be seen, and
// whether there is one.
func (h *History) Peek(back bool) (Document, bool) {
	states := h.future
	if back {
		states = h.past
	}
	if len(states) == 0 {
		return Document{}, false
	}
	return states[len(states)-1].seenAs(h.now), true
}

// Undo goes one step back and says whether there was one.
func (h *History) Undo() bool {
	return h.step(&h.past, &h.future)
}

// Redo makes an undone step again and says whether there was one.
func (h *History) Redo() bool {
	return h.step(&h.future, &h.past)
}

func (h *History) step(from, to *[]Document) bool {
	h.EndRun()
	last := len(*from) - 1
	if last < 0 {
		return false
	}
	*to = append(*to, h.now)
	h.now = (*from)[last].seenAs(h.now)
	*from = (*from)[:last]
	return true
}

// seenAs is an earlier or later state of a study as it is looked at now. Mark
// numbers are not used twice, even by marks that were undone.
func (d Document) seenAs(now Document) Document {
	was := longSide(now.Size())
	d = d.WithLook(d.decidedLook(now))
	d.Finding = d.Finding.seenAs(now.Finding)
	d.Tray, d.Parts, d.Shown, d.From = now.Tray, now.Parts, now.Shown, now.From
	d.Surround, d.Cycle, d.Sheets = now.Surround, now.Cycle, now.Sheets
	d.Lines, d.Parting = d.Lines.seenAs(now.Lines), now.Parting
	d.NextSpan = max(d.NextSpan, now.NextSpan)
	d.NextMark = max(d.NextMark, now.NextMark)
	if d.Canvas.Width == now.Canvas.Width && d.Canvas.Height == now.Canvas.Height {
		d.Canvas.Unit = now.Canvas.Unit
	}
	d.NextEntry = max(d.NextEntry, now.NextEntry)
	d.Palette.Next = max(d.Palette.Next, now.Palette.Next)
	d.Board = d.Board.seenAs(now.Board)
	d = d.WithCompared(now.Compared...)
	view := now.View
	if d.Board.OnEasel != now.Board.OnEasel { // as that reference was looked at last
		view = d.View
	}
	return d.rescaled(was).WithView(view)
}

// decidedLook is the look there is now, but for what an earlier or later state had
// decided of it: how the values are divided, and the neutral that was picked.
func (d Document) decidedLook(now Document) look.Look {
	l, was, is := now.Look, d.Finding, now.Finding
	if was.Fit != is.Fit || was.Fit == FitHand || !slices.Equal(was.Cards, is.Cards) {
		l.Steps, l.Division = d.Look.Steps, d.Look.Division
	}
	if was.Picked || is.Picked {
		l.Neutral = d.Look.Neutral
	}
	return l
}

// seenAs is an earlier or later board as it is looked at now.
func (b Board) seenAs(now Board) Board {
	b.NextPin, b.NextLoan = max(b.NextPin, now.NextPin), max(b.NextLoan, now.NextLoan)
	b.Beside = now.Beside
	if b.Beside == b.OnEasel || !slices.ContainsFunc(b.Pins, func(p Pin) bool { return p.ID == b.Beside }) {
		b.Beside = 0
	}
	return b
}

// seenAs is what an earlier or later state asked, as it is looked at now.
func (f Finding) seenAs(now Finding) Finding {
	f.Clean, f.Each, f.Wheel, f.FocalLast = now.Clean, now.Each, now.Wheel, now.FocalLast
	return f
}
