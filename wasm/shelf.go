//go:build js

package main

import (
	"fmt"
	"sort"
	"syscall/js"
	"time"

	"maulstick/render/shelf"
)

// last is a study as it was last kept, its newest state that can be read, and its card;
// nothing for one that never was.
func (s *store) last(id string) (lastState, error) {
	fail := func(err error) (lastState, error) {
		return lastState{}, fmt.Errorf("reading the tablet's storage: %w", err)
	}
	record, err := s.get(studyStore, id)
	if err != nil || record.Type() != js.TypeObject {
		if err != nil {
			return fail(err)
		}
		return lastState{card: shelf.Card{ID: id}}, nil
	}
	kept, err := s.get(cardStore, id)
	if err != nil {
		return fail(err)
	}
	last := lastState{card: cardOf(id, kept, record)}
	for _, state := range []string{"now", "before"} {
		if text, ok := unsealed(record, state); ok {
			if _, err := shelf.Readable(text); err == nil {
				last.text = text
				break
			}
		}
	}
	return last, nil
}

// cardOf is a card as it was kept, or one made from the study's record where there is
// none that can be read.
func cardOf(id string, kept, record js.Value) shelf.Card {
	if kept.Type() == js.TypeString {
		if card, err := shelf.Decode(kept.String()); err == nil && card.ID == id {
			return card
		}
	}
	return shelf.CardOf(id, rawText(record, "now"), rawText(record, "before"))
}

// rawText is the text of one state of a record, whole or damaged, "" for none.
func rawText(record js.Value, state string) string {
	if record.Type() != js.TypeObject || record.Get(state).Type() != js.TypeObject || record.Get(state).Get("text").Type() != js.TypeString {
		return ""
	}
	return record.Get(state).Get("text").String()
}

// cards reads what is known of all studies that are kept. It is part of a transaction
// on studies and cards; a study that was kept without a card is given one.
func cards(tx js.Value) ([]shelf.Card, error) {
	ids, err := ask(tx, studyStore, "getAllKeys")
	if err != nil {
		return nil, err
	}
	kept, err := ask(tx, cardStore, "getAll")
	if err != nil {
		return nil, err
	}
	known := map[string]shelf.Card{}
	for i := range kept.Length() {
		if text := kept.Index(i); text.Type() == js.TypeString {
			if card, err := shelf.Decode(text.String()); err == nil {
				known[card.ID] = card
			}
		}
	}
	var all []shelf.Card
	for i := range ids.Length() {
		if ids.Index(i).Type() != js.TypeString {
			continue
		}
		id := ids.Index(i).String()
		card, ok := known[id]
		if !ok {
			record, err := ask(tx, studyStore, "get", id)
			if err != nil {
				return nil, err
			}
			card = cardOf(id, js.Undefined(), record)
			if err := put(tx, cardStore, card.Encode(), id); err != nil {
				return nil, err
			}
		}
		all = append(all, card)
	}
	sort.Sort(shelf.Newest(all))
	return all, nil
}

// list is what is known of all studies.
func (s *store) list() (all []shelf.Card, err error) {
	err = s.transact(func(tx js.Value) (err error) {
		all, err = cards(tx)
		return err
	}, studyStore, cardStore)
	if err != nil {
		return nil, fmt.Errorf("listing the studies: %w", err)
	}
	return all, nil
}

// clear removes for good the studies that are gone and then, in the same transaction,
// the photographs that nothing names any more and that are not spared. It tells which
// photographs went.
func (s *store) clear(gone func(shelf.Card) bool, spared func(hash string) bool) (removed []string, err error) {
	err = s.transact(func(tx js.Value) error {
		all, err := cards(tx)
		if err != nil {
			return err
		}
		var left []shelf.Card
		for _, card := range all {
			if !gone(card) {
				left = append(left, card)
				continue
			}
			if err := removeStudy(tx, card.ID); err != nil {
				return err
			}
		}
		removed, err = removeUnnamed(tx, left, spared)
		return err
	}, studyStore, cardStore, stateStore, photoStore, surveyStore, asideStore)
	if err != nil {
		return nil, fmt.Errorf("clearing the bin: %w", err)
	}
	return removed, nil
}

// removeStudy removes all that is kept of a study but its photographs.
func removeStudy(tx js.Value, id string) error {
	for _, name := range []string{studyStore, cardStore} {
		if err := takeAway(tx, name, id); err != nil {
			return err
		}
	}
	return takeAway(tx, stateStore, beginningWith(id+" "))
}

// removeUnnamed removes the photographs that nothing names any more, and what was
// worked out about them.
func removeUnnamed(tx js.Value, left []shelf.Card, spared func(hash string) bool) ([]string, error) {
	keys, err := ask(tx, photoStore, "getAllKeys")
	if err != nil {
		return nil, err
	}
	var photographs []string
	for i := range keys.Length() {
		photographs = append(photographs, keys.Index(i).String())
	}
	set, err := ask(tx, asideStore, "getAll")
	if err != nil {
		return nil, err
	}
	aside := []string{}
	if text := js.Global().Get("JSON").Call("stringify", set); text.Type() == js.TypeString {
		aside = append(aside, text.String())
	}
	unnamed := shelf.Unnamed(photographs, left, aside, spared)
	for _, hash := range unnamed {
		if err := takeAway(tx, photoStore, hash); err != nil {
			return nil, err
		}
		if err := takeAway(tx, surveyStore, beginningWith(hash)); err != nil {
			return nil, err
		}
	}
	return unnamed, nil
}

// beginningWith are the keys of a store that begin with a text.
func beginningWith(text string) js.Value {
	return js.Global().Get("IDBKeyRange").Call("bound", text, text+"\uffff")
}

// earlier is the text of an earlier state of a study.
func (s *store) earlier(id string, at int64) ([]byte, error) {
	record, err := s.get(stateStore, shelf.Key(id, at))
	if err != nil {
		return nil, fmt.Errorf("reading the earlier state: %w", err)
	}
	text, ok := unsealed(js.ValueOf(map[string]any{"now": record}), "now")
	if !ok {
		return nil, fmt.Errorf("the state of %s is damaged", time.UnixMilli(at).Format("2 January 15:04"))
	}
	return text, nil
}
