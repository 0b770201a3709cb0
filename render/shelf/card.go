// Package shelf is what is known of the studies that are kept without opening them: a
// card for each, its earlier states, which photographs they name, and what follows for
// what may be cleared away. It knows no database and no clock.
package shelf

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"maulstick/render/study"
)

// The limits of what is kept beside the newest state of a study.
const (
	MostStates = 20               // earlier states of a study
	Apart      = 10 * time.Minute // between two of them, at least
	StateBytes = 8 << 20          // of all earlier states of a study, as text
	BinDays    = 30               // that a study lies in the bin before it goes
)

// Card is what is known of one kept study.
type Card struct {
	ID          string          `json:"id"`
	Name        string          `json:"name"`        // "" where the study cannot be read
	Changed     int64           `json:"changed_ms"`  // when it was last written, Unix milliseconds; 0 for not known
	Binned      int64           `json:"binned_ms"`   // when it was put into the bin, 0 for not
	OnEasel     study.Reference `json:"easel"`       // zero where the study cannot be read
	Text        int             `json:"text_bytes"`  // of the newest state and the one before
	Photographs []Photograph    `json:"photographs"` // that those two name
	States      []State         `json:"states"`      // earlier ones, the oldest first
}

// Photograph is a photograph's file by its hash.
type Photograph struct {
	Hash  string `json:"sha256"`
	Bytes int    `json:"bytes"` // 0 where it is not known
}

// State is an earlier state of a study, kept apart under Key.
type State struct {
	At          int64    `json:"at_ms"` // when it was written, Unix milliseconds
	Bytes       int      `json:"bytes"`
	Photographs []string `json:"photographs"` // hashes
}

// Key is the name that the state at a time is kept under.
func Key(id string, at int64) string { return fmt.Sprintf("%s %d", id, at) }

// CardOf is the card of a study that was kept without one: its newest state and the
// one before, "" for none. Of a state that cannot be read the card still has the hashes
// that stand in it.
func CardOf(id string, now, before string) Card {
	c := Card{ID: id, States: []State{}}
	c.tell(now, before)
	return c
}

// tell puts down what the newest state and the one before say.
func (c *Card) tell(now, before string) {
	c.Text, c.Photographs = len(now)+len(before), []Photograph{}
	sizes := map[string]int{}
	for _, text := range []string{before, now} {
		d, err := Readable([]byte(text))
		if err != nil {
			continue
		}
		c.Name, c.OnEasel = d.Name, d.Reference
		for _, r := range d.References() {
			sizes[r.Hash] = r.Bytes
		}
	}
	for _, hash := range named(now, before) {
		c.Photographs = append(c.Photographs, Photograph{Hash: hash, Bytes: sizes[hash]})
	}
}

// Readable is a study as far as it can be read, one of a newer form too. Errors are
// those of study.Decode.
func Readable(text []byte) (study.Document, error) {
	d, err := study.Decode(text)
	var newer *study.Newer
	if errors.As(err, &newer) && d.ID != "" {
		return d, nil
	}
	return d, err
}

// Written is the card once a study has been written at a time, in Unix milliseconds:
// now is its new state, before the one there was, "" for none. If keep is not nil the
// state before is to be kept as that; the states drop are to go.
func (c Card) Written(now, before string, at int64) (next Card, keep *State, drop []int64) {
	next = c
	next.States = slices.Clone(c.States)
	if before != "" && c.due() {
		s := State{At: c.Changed, Bytes: len(before), Photographs: Named(before)}
		next.States = append(next.States, s)
		keep = &s
	}
	for len(next.States) > 0 && (len(next.States) > MostStates || next.stateBytes() > StateBytes) {
		if keep != nil && len(next.States) == 1 {
			keep = nil // it is too long by itself
		} else {
			drop = append(drop, next.States[0].At)
		}
		next.States = next.States[1:]
	}
	next.Changed = at
	next.tell(now, before)
	return next, keep, drop
}

// due says whether the state that is written now is far enough from the last that was
// kept to be kept itself. A clock that was put back is no reason to wait.
func (c Card) due() bool {
	if len(c.States) == 0 {
		return true
	}
	gap := c.Changed - c.States[len(c.States)-1].At
	return gap >= Apart.Milliseconds() || gap < 0
}

func (c Card) stateBytes() int {
	sum := 0
	for _, s := range c.States {
		sum += s.Bytes
	}
	return sum
}

// Bytes is the room that a study takes: its texts and its photographs, which it may
// share with others.
func (c Card) Bytes() int {
	sum := c.Text + c.stateBytes()
	for _, p := range c.Photographs {
		sum += p.Bytes
	}
	return sum
}

// Names says whether a study, or an earlier state of it, names a photograph.
func (c Card) Names(hash string) bool {
	return slices.ContainsFunc(c.Photographs, func(p Photograph) bool { return p.Hash == hash }) ||
		slices.ContainsFunc(c.States, func(s State) bool { return slices.Contains(s.Photographs, hash) })
}

// Gone says whether a study has lain in the bin for its time.
func (c Card) Gone(now time.Time) bool {
	return c.Binned > 0 && now.Sub(time.UnixMilli(c.Binned)) >= BinDays*24*time.Hour
}

// Encode is the card as it is kept.
func (c Card) Encode() string {
	data, err := json.Marshal(c)
	if err != nil {
		return "" // strings and whole numbers can always be written
	}
	return string(data)
}

// Decode reads what Encode wrote.
func Decode(text string) (Card, error) {
	var c Card
	if err := json.Unmarshal([]byte(text), &c); err != nil {
		return Card{}, fmt.Errorf("reading what is known of a kept study: %w", err)
	}
	if c.ID == "" {
		return Card{}, errors.New("reading what is known of a kept study: it names none")
	}
	return c, nil
}

// Newest is the order of the list, for package sort: what was changed last comes first,
// and among equals the names decide.
type Newest []Card

func (n Newest) Len() int      { return len(n) }
func (n Newest) Swap(i, j int) { n[i], n[j] = n[j], n[i] }
func (n Newest) Less(i, j int) bool {
	a, b := n[i], n[j]
	switch {
	case a.Changed != b.Changed:
		return a.Changed > b.Changed
	case a.Name != b.Name:
		return a.Name < b.Name
	}
	return a.ID < b.ID
}
