package study

import (
	"errors"
	"fmt"
	"slices"

	"maulstick/render/place"
)

// Pin is a reference on the study's board.
type Pin struct {
	ID   int    `json:"id"` // never used twice in a study, from 1
	Name string `json:"name"`
	Left *Left  `json:"left"` // null for the one on the easel
}

// Board is the references that a study works from, in the painter's order.
type Board struct {
	Pins     []Pin       `json:"pins"`
	NextPin  int         `json:"next_pin"`
	OnEasel  int         `json:"on_easel"` // the pin that is being painted from
	Beside   int         `json:"beside"`   // the pin that is compared with it, 0 for none
	Borrowed []Borrowing `json:"borrowed"`
	NextLoan int         `json:"next_borrowed"`
}

// Borrowing is a note that one thing is to be taken from another reference.
type Borrowing struct {
	ID    int        `json:"id"` // never used twice in a study, from 1
	Words string     `json:"words"`
	From  int        `json:"from"` // the pin
	Part  place.Crop `json:"part"` // of that reference, set right
	To    int        `json:"to"`   // the pin that it is brought into
	Mark  int        `json:"mark"` // where, a mark of that reference, 0 for nowhere in particular
}

// The limits of a board.
const (
	MostPins     = 200
	MostBorrowed = 200
)

// newBoard is a board with one reference, which is on the easel.
func newBoard(name string) Board {
	return Board{Pins: []Pin{{ID: 1, Name: name}}, NextPin: 2, OnEasel: 1, Borrowed: []Borrowing{}, NextLoan: 1}
}

// Pin is the pin of that number, and whether there is one.
func (d Document) Pin(id int) (Pin, bool) {
	i := d.findPin(id)
	if i < 0 {
		return Pin{}, false
	}
	return d.Board.Pins[i], true
}

func (d Document) findPin(id int) int {
	return slices.IndexFunc(d.Board.Pins, func(p Pin) bool { return p.ID == id })
}

// PhotographOf is the photograph of a pin, and how it is set right.
func (d Document) PhotographOf(id int) (Reference, Righting, bool) {
	p, ok := d.Pin(id)
	switch {
	case !ok:
		return Reference{}, Righting{}, false
	case p.Left != nil:
		return p.Left.Reference, p.Left.Righting, true
	}
	return d.Reference, d.Righting, true
}

// ReferenceOf is the photograph of a pin, how it is set right, and the part of it that
// is painted.
func (d Document) ReferenceOf(id int) (Reference, Righting, place.Crop, bool) {
	p, ok := d.Pin(id)
	if !ok {
		return Reference{}, Righting{}, place.Crop{}, false
	}
	if p.Left != nil {
		d = d.takenUp(*p.Left)
	}
	return d.Reference, d.Righting, d.Crop(), true
}

// References are the photographs of a study, each once: those on its board, then those
// of its log, and that of its cards and piles.
func (d Document) References() []Reference {
	var all []Reference
	add := func(r Reference) {
		if !slices.ContainsFunc(all, func(known Reference) bool { return known.Hash == r.Hash }) {
			all = append(all, r)
		}
	}
	for _, p := range d.Board.Pins {
		if p.Left == nil {
			add(d.Reference)
		} else {
			add(p.Left.Reference)
		}
	}
	for _, e := range d.Log {
		if e.Photograph != nil {
			add(*e.Photograph)
		}
	}
	if r := d.Palette.Photograph; r != nil {
		add(*r)
	}
	return all
}

// Pinned is the study with one reference more at the end of its board. A photograph
// that hangs there already is not pinned twice; id is then its pin's. A full board
// changes nothing, and id is 0.
func (d Document) Pinned(ref Reference) (pinned Document, id int) {
	ref.Name = tidy(ref.Name)
	for _, p := range d.Board.Pins {
		if r, _, _ := d.PhotographOf(p.ID); r.Hash == ref.Hash {
			return d, p.ID
		}
	}
	if len(d.Board.Pins) >= MostPins {
		return d, 0
	}
	b := d.Board
	left := newLeft(ref)
	p := Pin{ID: b.NextPin, Name: stem(ref.Name), Left: &left}
	b.Pins = append(slices.Clone(b.Pins), p)
	b.NextPin++
	d.Board = b
	return d, p.ID
}

// TakenUp is the study with another of its references on the easel. All that was done
// on the one before is set aside with it.
func (d Document) TakenUp(id int) Document {
	to, from := d.findPin(id), d.findPin(d.Board.OnEasel)
	if to < 0 || to == from || d.Board.Pins[to].Left == nil {
		return d
	}
	b, left, next := d.Board, d.left(), *d.Board.Pins[to].Left
	b.Pins = slices.Clone(b.Pins)
	b.Pins[from].Left, b.Pins[to].Left = &left, nil
	b.OnEasel = id
	if b.Beside == id {
		b.Beside = d.Board.OnEasel
	}
	d = d.takenUp(next)
	d.Board = b
	return d
}

// Unpinned is the study without a reference, and without what was borrowed from it or
// brought into it. The one on the easel stays: take another up first.
func (d Document) Unpinned(id int) Document {
	i := d.findPin(id)
	if i < 0 || id == d.Board.OnEasel {
		return d
	}
	b := d.Board
	b.Pins = slices.Delete(slices.Clone(b.Pins), i, i+1)
	b.Borrowed = slices.DeleteFunc(slices.Clone(b.Borrowed), func(l Borrowing) bool { return l.From == id || l.To == id })
	if b.Beside == id {
		b.Beside = 0
	}
	d.Board = b
	return d
}

// ShiftedPin is the study with a pin earlier on the board (by under 0) or later.
func (d Document) ShiftedPin(id, by int) Document {
	d.Board.Pins = shifted(d.Board.Pins, d.findPin(id), by)
	return d
}

// NamedPin is the study with a reference called otherwise; an empty name changes
// nothing.
func (d Document) NamedPin(id int, name string) Document {
	i := d.findPin(id)
	if name = tidy(name); i < 0 || name == "" {
		return d
	}
	d.Board.Pins = slices.Clone(d.Board.Pins)
	d.Board.Pins[i].Name = name
	return d
}

// LaidBeside is the study with a reference compared with the one on the easel; 0, or
// that one itself, for none. Photographs of the log are then no longer compared.
func (d Document) LaidBeside(id int) Document {
	if d.findPin(id) < 0 || id == d.Board.OnEasel {
		id = 0
	}
	if id != 0 {
		d = d.WithCompared()
	}
	d.Board.Beside = id
	return d
}

// WithBorrowing is the study with a note of what is to be taken from another reference
// into the one on the easel, at a mark there or at none. The part is brought onto that
// reference; without words, or from the one on the easel, there is nothing to note.
func (d Document) WithBorrowing(from int, part place.Crop, mark int, words string) Document {
	pin, ok := d.Pin(from)
	words = tidyLong(words)
	if !ok || pin.Left == nil || words == "" || len(d.Board.Borrowed) >= MostBorrowed {
		return d
	}
	if d.find(mark) < 0 {
		mark = 0
	}
	other := d.holding(*pin.Left)
	size := other.Pixels()
	if part.Check(size) != nil {
		part = other.Crop()
	}
	b := d.Board
	b.Borrowed = append(slices.Clone(b.Borrowed), Borrowing{ID: b.NextLoan, Words: words, From: from, Part: part, To: b.OnEasel, Mark: mark})
	b.NextLoan++
	d.Board = b
	return d
}

// WithoutBorrowing is the study without a note of what is borrowed.
func (d Document) WithoutBorrowing(id int) Document {
	d.Board.Borrowed = slices.DeleteFunc(slices.Clone(d.Board.Borrowed), func(l Borrowing) bool { return l.ID == id })
	return d
}

func (d Document) checkBoard() error {
	b := d.Board
	switch {
	case len(b.Pins) == 0 || len(b.Pins) > MostPins:
		return fmt.Errorf("%d references on the board are not 1 to %d", len(b.Pins), MostPins)
	case b.NextPin < 1 || b.NextPin > highest || b.NextLoan < 1 || b.NextLoan > highest:
		return fmt.Errorf("next_pin %d or next_borrowed %d is not 1 to %d", b.NextPin, b.NextLoan, highest)
	case b.Beside == b.OnEasel:
		return errors.New("a reference lies beside itself")
	}
	seen := map[int]bool{}
	for _, p := range b.Pins {
		if p.ID < 1 || p.ID >= b.NextPin || seen[p.ID] {
			return fmt.Errorf("pin number %d is used twice or was never given", p.ID)
		}
		seen[p.ID] = true
		if err := d.checkPin(p); err != nil {
			return fmt.Errorf("reference %d of the board: %w", p.ID, err)
		}
	}
	if !seen[b.OnEasel] || b.Beside != 0 && !seen[b.Beside] {
		return fmt.Errorf("the reference on the easel, %d, or the one beside it, %d, is not on the board", b.OnEasel, b.Beside)
	}
	return d.checkBorrowed(seen)
}

func (d Document) checkPin(p Pin) error {
	if (p.Left == nil) != (p.ID == d.Board.OnEasel) {
		return errors.New("it is on the easel and set aside, or neither")
	}
	if p.Name == "" {
		return errors.New("it has no name")
	}
	if err := checkName("its name", p.Name); err != nil || p.Left == nil {
		return err
	}
	return p.Left.check(d)
}

func (d Document) checkBorrowed(pins map[int]bool) error {
	b := d.Board
	if b.Borrowed == nil || len(b.Borrowed) > MostBorrowed {
		return fmt.Errorf("%d notes of what is borrowed are not 0 to %d", len(b.Borrowed), MostBorrowed)
	}
	seen := map[int]bool{}
	for _, l := range b.Borrowed {
		switch {
		case l.ID < 1 || l.ID >= b.NextLoan || seen[l.ID]:
			return fmt.Errorf("borrowing %d is used twice or was never given", l.ID)
		case !pins[l.From] || !pins[l.To] || l.From == l.To:
			return fmt.Errorf("borrowing %d is from reference %d to %d", l.ID, l.From, l.To)
		case l.Mark < 0 || l.Mark > highest:
			return fmt.Errorf("borrowing %d goes to mark %d", l.ID, l.Mark)
		case l.Words == "" || tidyLong(l.Words) != l.Words:
			return fmt.Errorf("borrowing %d says %q", l.ID, clip(l.Words))
		}
		seen[l.ID] = true
		for _, side := range []float64{l.Part.X, l.Part.Y, l.Part.Width, l.Part.Height} {
			if !within(side, 0, longestSide) {
				return fmt.Errorf("borrowing %d is of a part that cannot be", l.ID)
			}
		}
	}
	return nil
}
