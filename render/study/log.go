package study

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"

	"maulstick/render/place"
)

// Entry is one note in the log of the work: what was done or seen, and a photograph of
// the canvas as it stood.
type Entry struct {
	ID         int        `json:"id"` // never used twice in a study, from 1
	Time       time.Time  `json:"time"`
	Stage      string     `json:"stage"` // what the painter calls it: "block-in"
	Words      string     `json:"words"`
	Photograph *Reference `json:"photograph"` // of the canvas, null for none

	Corners []place.PhotoPoint `json:"corners_px"` // of the canvas on it, as the painter put them: four, or none
	Arrows  []Arrow            `json:"arrows"`     // that the painter has drawn on it
	Cards   []CardTouch        `json:"cards"`      // grey cards on it that the painter has touched
}

// The limits of a log.
const (
	MostEntries  = 1000
	longestWords = 1000 // characters
	mostCompared = 2
)

// Entry is the note of that number, and whether there is one.
func (d Document) Entry(id int) (Entry, bool) {
	i := d.findEntry(id)
	if i < 0 {
		return Entry{}, false
	}
	return d.Log[i], true
}

func (d Document) findEntry(id int) int {
	return slices.IndexFunc(d.Log, func(e Entry) bool { return e.ID == id })
}

// WithEntry is the study with a note more in its log, at a time, to the second. A note
// with neither words nor a stage nor a photograph is none; a full log takes none.
func (d Document) WithEntry(at time.Time, stage, words string, photograph *Reference) Document {
	stage, words = tidy(stage), tidyLong(words)
	if stage == "" && words == "" && photograph == nil || len(d.Log) >= MostEntries {
		return d
	}
	e := Entry{ID: d.NextEntry, Time: at.UTC().Truncate(time.Second), Stage: stage, Words: words, Corners: []place.PhotoPoint{}, Arrows: []Arrow{}, Cards: []CardTouch{}}
	if photograph != nil {
		kept := *photograph
		kept.Name = tidy(kept.Name)
		e.Photograph = &kept
	}
	d.Log = append(slices.Clone(d.Log), e)
	d.NextEntry++
	return d
}

// RewordedEntry is the study with a note that says something else.
func (d Document) RewordedEntry(id int, stage, words string) Document {
	i := d.findEntry(id)
	if i < 0 {
		return d
	}
	e := d.Log[i]
	e.Stage, e.Words = tidy(stage), tidyLong(words)
	if e.Stage == "" && e.Words == "" && e.Photograph == nil {
		return d
	}
	d.Log = slices.Clone(d.Log)
	d.Log[i] = e
	return d
}

// WithoutEntry is the study without a note.
func (d Document) WithoutEntry(id int) Document {
	if i := d.findEntry(id); i >= 0 {
		d.Log = slices.Delete(slices.Clone(d.Log), i, i+1)
	}
	return d.WithCompared(d.Compared...)
}

// WithCompared is the study with the photographs of notes seen side by side: two of
// them, the older note first, or one beside the reference on the easel, or none. Notes
// without a photograph are passed over; of more than two the last are taken.
func (d Document) WithCompared(ids ...int) Document {
	shown := []int{}
	for _, e := range d.Log {
		if e.Photograph != nil && slices.Contains(ids[max(len(ids)-mostCompared, 0):], e.ID) {
			shown = append(shown, e.ID)
		}
	}
	d.Compared = shown
	return d
}

func (d Document) checkLog() error {
	if d.Log == nil || len(d.Log) > MostEntries {
		return fmt.Errorf("%d notes in the log are not 0 to %d", len(d.Log), MostEntries)
	}
	if d.NextEntry < 1 || d.NextEntry > highest {
		return fmt.Errorf("next_entry %d is not 1 to %d", d.NextEntry, highest)
	}
	seen := map[int]bool{}
	for _, e := range d.Log {
		switch {
		case e.ID < 1 || e.ID >= d.NextEntry || seen[e.ID]:
			return fmt.Errorf("note number %d of the log is used twice or was never given", e.ID)
		case e.Time.Year() < 1 || e.Time.Year() > 9999 || e.Time.Location() != time.UTC || e.Time.Nanosecond() != 0:
			return fmt.Errorf("note %d of the log was made at %v", e.ID, e.Time)
		case tidy(e.Stage) != e.Stage || tidyLong(e.Words) != e.Words || e.Stage == "" && e.Words == "" && e.Photograph == nil:
			return fmt.Errorf("note %d of the log says %q", e.ID, clip(e.Stage+e.Words))
		}
		seen[e.ID] = true
		if err := e.checkOutline(); err != nil {
			return fmt.Errorf("note %d of the log: %w", e.ID, err)
		}
		if e.Photograph != nil {
			if err := e.Photograph.check(); err != nil {
				return fmt.Errorf("note %d of the log: %w", e.ID, err)
			}
		}
	}
	if d.Compared == nil || !slices.Equal(d.WithCompared(d.Compared...).Compared, d.Compared) {
		return fmt.Errorf("the notes that are compared, %v, are not two photographs of the log at most, the older first", d.Compared)
	}
	return nil
}

// tidyLong keeps words to lines of printable text of bounded length.
func tidyLong(s string) string {
	s = strings.Map(func(r rune) rune {
		switch {
		case r == '\n':
			return r
		case unicode.IsSpace(r):
			return ' '
		case r == unicode.ReplacementChar || !unicode.IsPrint(r):
			return -1
		}
		return r
	}, strings.ToValidUTF8(strings.ReplaceAll(s, "\r\n", "\n"), ""))
	s = strings.TrimSpace(s)
	if runes := []rune(s); len(runes) > longestWords {
		s = strings.TrimSpace(string(runes[:longestWords]))
	}
	return s
}
