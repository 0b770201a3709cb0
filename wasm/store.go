//go:build js

package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"strings"
	"syscall/js"
	"time"

	"maulstick/render/shelf"
)

// The object stores of the tablet's database. A photograph is kept once, under
// the hash of its bytes; a study as text with the hash of that text, and with
// the state before it; a card says of each study what the list tells, see package
// shelf; states are earlier ones, under the study and the time; the desk says which
// study lies open; what turns out to be damaged is moved aside, never deleted. Surveys
// are answers that can be worked out again: the newest of each kind for each photograph.
const (
	databaseName = "maulstick"
	databaseForm = 3 // cards and states came with 3
	photoStore   = "photographs"
	studyStore   = "studies"
	cardStore    = "cards"
	stateStore   = "states"
	deskStore    = "desk"
	surveyStore  = "surveys"
	asideStore   = "aside"
	deskKey      = "open"
)

// kept is a study as it came back from the database. Damaged lists what was
// found broken, in words for the painter.
type kept struct {
	Study   []byte
	Photo   js.Value // ArrayBuffer of the file as it came
	Missing bool     // its photograph is not there: it opens without
	Damaged []string
}

// store is the tablet's database. Its methods wait for the browser and must be
// called on a goroutine.
type store struct{ db js.Value }

// A browser that has just been started anew may still hold the database from
// before: then opening it fails with one of these, and is tried again so often and
// so far apart.
var passing = []string{"UnknownError", "AbortError"}

const (
	openTries  = 8
	tryOpening = 250 * time.Millisecond
)

// openStoreAtLast opens the database, in several tries if need be.
func openStoreAtLast() (*store, error) {
	for tries := 1; ; tries++ {
		s, err := openStore()
		passes := err != nil && slices.ContainsFunc(passing, func(name string) bool { return strings.Contains(err.Error(), name) })
		if !passes || tries == openTries {
			return s, err
		}
		time.Sleep(tryOpening)
	}
}

// openStore opens the database, making its object stores the first time.
func openStore() (*store, error) {
	factory := js.Global().Get("indexedDB")
	if !factory.Truthy() {
		return nil, errors.New("opening the tablet's storage: this browser has none")
	}
	request, err := attempt(factory, "open", databaseName, databaseForm)
	if err != nil {
		return nil, fmt.Errorf("opening the tablet's storage: %w", err)
	}
	upgrade := js.FuncOf(func(js.Value, []js.Value) any {
		db := request.Get("result")
		for _, name := range []string{photoStore, studyStore, deskStore, asideStore, surveyStore, cardStore, stateStore} {
			if !db.Get("objectStoreNames").Call("contains", name).Bool() {
				db.Call("createObjectStore", name)
			}
		}
		return nil
	})
	defer upgrade.Release()
	request.Set("onupgradeneeded", upgrade)
	db, err := answer(request)
	if errors.Is(err, errBlocked) {
		// It opens once the other window has been closed, when nobody waits any more.
		request.Set("onsuccess", js.FuncOf(func(js.Value, []js.Value) any { request.Get("result").Call("close"); return nil }))
	}
	if err != nil {
		return nil, fmt.Errorf("opening the tablet's storage: %w", err)
	}
	// A newer version of the page in another window is not held up: what is kept
	// from here fails then, and the painter is told.
	db.Set("onversionchange", js.FuncOf(func(js.Value, []js.Value) any { db.Call("close"); return nil }))
	return &store{db: db}, nil
}

// errBlocked is why the database cannot be brought to its newest form.
var errBlocked = errors.New("an older version of this page lies open in another window; close that and load this one again")

// answer waits for a database request.
func answer(request js.Value) (js.Value, error) {
	done := make(chan error, 1)
	succeed := js.FuncOf(func(js.Value, []js.Value) any { done <- nil; return nil })
	fail := js.FuncOf(func(js.Value, []js.Value) any { done <- failure(request.Get("error")); return nil })
	defer succeed.Release()
	defer fail.Release()
	request.Set("onsuccess", succeed)
	request.Set("onerror", fail)
	block := js.FuncOf(func(js.Value, []js.Value) any { done <- errBlocked; return nil })
	defer block.Release()
	request.Set("onblocked", block)
	if err := <-done; err != nil {
		return js.Undefined(), err
	}
	return request.Get("result"), nil
}

// transact does work in a single strict transaction, which it commits: a kill leaves
// either all of the work or nothing of it. Work may wait for answers to what it asks
// the transaction, and for nothing else.
func (s *store) transact(work func(tx js.Value) error, names ...any) error {
	tx, err := attempt(s.db, "transaction", names, "readwrite", map[string]any{"durability": "strict"})
	if err != nil {
		return err
	}
	done := make(chan error, 1)
	complete := js.FuncOf(func(js.Value, []js.Value) any { done <- nil; return nil })
	abort := js.FuncOf(func(js.Value, []js.Value) any { done <- failure(tx.Get("error")); return nil })
	defer complete.Release()
	defer abort.Release()
	tx.Set("oncomplete", complete)
	tx.Set("onabort", abort)
	if err = work(tx); err == nil {
		_, err = attempt(tx, "commit")
	}
	if err != nil {
		_, _ = attempt(tx, "abort") // it may have ended by itself
		<-done
		return err
	}
	return <-done
}

// put, take away and ask are what work does with an object store of its transaction.
func put(tx js.Value, name string, value, key any) error {
	_, err := attempt(tx.Call("objectStore", name), "put", value, key)
	return err
}

func takeAway(tx js.Value, name string, key any) error {
	_, err := attempt(tx.Call("objectStore", name), "delete", key)
	return err
}

func ask(tx js.Value, name, method string, args ...any) (js.Value, error) {
	request, err := attempt(tx.Call("objectStore", name), method, args...)
	if err != nil {
		return js.Undefined(), err
	}
	return answer(request)
}

// writing is one state of a study to be kept, with what is to be done to its card and
// its earlier states.
type writing struct {
	id            string
	study, before []byte
	card          shelf.Card
	state         *shelf.State // the state before is one of the earlier ones from now on
	drop          []int64      // earlier states that go
	open          bool         // it lies on the desk
	photographs   []filed      // to be kept too
}

// keep writes a state of a study. All puts are issued and the transaction committed
// before Go gives way.
func (s *store) keep(w writing) error {
	names := []any{studyStore, cardStore, stateStore, deskStore}
	if len(w.photographs) > 0 {
		names = append(names, photoStore)
	}
	if err := s.transact(w.put, names...); err != nil {
		return fmt.Errorf("keeping the study: %w", err)
	}
	return nil
}

// put issues the puts of one keeping.
func (w writing) put(tx js.Value) error {
	type record struct {
		store      string
		value, key any
	}
	records := []record{
		{studyStore, map[string]any{"now": sealed(w.study), "before": sealed(w.before)}, w.id},
		{cardStore, w.card.Encode(), w.id},
	}
	for _, f := range w.photographs {
		records = append(records, record{photoStore, f.buffer, f.hash})
	}
	if w.state != nil {
		records = append(records, record{stateStore, sealed(w.before), shelf.Key(w.id, w.state.At)})
	}
	if w.open {
		records = append(records, record{deskStore, w.id, deskKey})
	}
	for _, r := range records {
		if err := put(tx, r.store, r.value, r.key); err != nil {
			return err
		}
	}
	for _, at := range w.drop {
		if err := takeAway(tx, stateStore, shelf.Key(w.id, at)); err != nil {
			return err
		}
	}
	return nil
}

// sealed is a study's text with its hash beside it.
func sealed(study []byte) map[string]any {
	return map[string]any{"text": string(study), "sha256": hashOf(study)}
}

// hashOf is the SHA-256 of data in lower-case hex.
func hashOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// get reads one record.
func (s *store) get(name string, key any) (js.Value, error) {
	tx, err := attempt(s.db, "transaction", []any{name}, "readonly")
	if err != nil {
		return js.Undefined(), err
	}
	request, err := attempt(tx.Call("objectStore", name), "get", key)
	if err != nil {
		return js.Undefined(), err
	}
	return answer(request)
}

// onDesk is the study that lies open, "" for none.
func (s *store) onDesk() (string, error) {
	id, err := s.get(deskStore, deskKey)
	if err != nil {
		return "", fmt.Errorf("reading the tablet's storage: %w", err)
	}
	if id.Type() != js.TypeString {
		return "", nil
	}
	return id.String(), nil
}

// load brings back a study. A text whose hash does not fit is set aside and the state
// before it taken.
func (s *store) load(id string) (*kept, error) {
	record, err := s.get(studyStore, id)
	if err != nil {
		return nil, fmt.Errorf("reading the study: %w", err)
	}
	k := &kept{}
	for _, state := range []string{"now", "before"} {
		text, ok := unsealed(record, state)
		if !ok {
			k.Damaged = append(k.Damaged, "the study as it was last kept is damaged and was set aside")
			continue
		}
		doc, err := shelf.Readable(text)
		if err != nil {
			k.Damaged = append(k.Damaged, "the study as it was last kept cannot be read and was set aside: "+err.Error())
			continue
		}
		buffer, err := s.photograph(doc.Reference.Hash)
		if errors.Is(err, errMissing) {
			k.Missing = true
			err = nil
		}
		if err != nil {
			k.Damaged = append(k.Damaged, err.Error()+"; it was set aside")
			continue
		}
		k.Study, k.Photo = text, buffer
		break
	}
	if len(k.Damaged) > 0 {
		if err := s.setAside(id, record); err != nil {
			return nil, err
		}
	}
	return k, nil
}

// unsealed is the text of one state of a record, if its hash fits.
func unsealed(record js.Value, state string) ([]byte, bool) {
	if record.Type() != js.TypeObject {
		return nil, false
	}
	seal := record.Get(state)
	if seal.Type() != js.TypeObject || seal.Get("text").Type() != js.TypeString {
		return nil, false
	}
	text := []byte(seal.Get("text").String())
	return text, len(text) > 0 && seal.Get("sha256").Type() == js.TypeString && seal.Get("sha256").String() == hashOf(text)
}

// errMissing says that a photograph is not there at all.
var errMissing = errors.New("the photograph of the kept study is missing")

// photograph reads a photograph and holds it to its hash.
func (s *store) photograph(hash string) (js.Value, error) {
	buffer, err := s.get(photoStore, hash)
	if err != nil {
		return js.Undefined(), fmt.Errorf("reading the kept photograph: %w", err)
	}
	if !buffer.Truthy() {
		return js.Undefined(), errMissing
	}
	if !buffer.InstanceOf(js.Global().Get("ArrayBuffer")) {
		return js.Undefined(), errors.New("the kept photograph is damaged")
	}
	found, err := digest(buffer)
	if err != nil {
		return js.Undefined(), fmt.Errorf("checking the kept photograph: %w", err)
	}
	if found != hash {
		return js.Undefined(), errors.New("the kept photograph is damaged")
	}
	return buffer, nil
}

// has says whether a photograph is kept.
func (s *store) has(hash string) bool {
	tx, err := attempt(s.db, "transaction", []any{photoStore}, "readonly")
	if err != nil {
		return false
	}
	key, err := ask(tx, photoStore, "getKey", hash)
	return err == nil && key.Truthy()
}

// setAside copies a damaged record, with the time, where nothing overwrites it.
func (s *store) setAside(id string, record js.Value) error {
	if !record.Truthy() {
		return nil
	}
	key := id + " " + js.Global().Get("Date").New().Call("toISOString").String()
	if err := s.transact(func(tx js.Value) error { return put(tx, asideStore, record, key) }, asideStore); err != nil {
		return fmt.Errorf("setting the damaged study aside: %w", err)
	}
	return nil
}

// hash is the SHA-256 of the file's bytes, in lower-case hex.
func (f file) hash() (string, error) {
	if f.sum.Truthy() {
		return hex.EncodeToString(bytesOf(f.sum)), nil
	}
	return digest(f.buffer)
}

// digest is the SHA-256 of an ArrayBuffer, worked out by the browser off the
// main thread, in lower-case hex.
func digest(buffer js.Value) (string, error) {
	subtle := js.Global().Get("crypto").Get("subtle")
	if !subtle.Truthy() {
		return hashOf(bytesOf(buffer)), nil
	}
	sum, err := await(subtle.Call("digest", "SHA-256", buffer))
	if err != nil {
		return "", err
	}
	return hex.EncodeToString(bytesOf(sum)), nil
}
