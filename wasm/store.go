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
)

// The object stores of the tablet's database. A photograph is kept once, under
// the hash of its bytes; a study as text with the hash of that text, and with
// the state before it; the desk says which study lies open; what turns out to
// be damaged is moved aside, never deleted. Surveys are answers that can be worked
// out again: the newest of each kind for each photograph.
const (
	databaseName = "maulstick"
	photoStore   = "photographs"
	studyStore   = "studies"
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
	request, err := attempt(factory, "open", databaseName, 2)
	if err != nil {
		return nil, fmt.Errorf("opening the tablet's storage: %w", err)
	}
	upgrade := js.FuncOf(func(js.Value, []js.Value) any {
		db := request.Get("result")
		for _, name := range []string{photoStore, studyStore, deskStore, asideStore, surveyStore} {
			if !db.Get("objectStoreNames").Call("contains", name).Bool() {
				db.Call("createObjectStore", name)
			}
		}
		return nil
	})
	defer upgrade.Release()
	request.Set("onupgradeneeded", upgrade)
	db, err := answer(request)
	if err != nil {
		return nil, fmt.Errorf("opening the tablet's storage: %w", err)
	}
	return &store{db: db}, nil
}

// answer waits for a database request.
func answer(request js.Value) (js.Value, error) {
	done := make(chan error, 1)
	succeed := js.FuncOf(func(js.Value, []js.Value) any { done <- nil; return nil })
	fail := js.FuncOf(func(js.Value, []js.Value) any { done <- failure(request.Get("error")); return nil })
	defer succeed.Release()
	defer fail.Release()
	request.Set("onsuccess", succeed)
	request.Set("onerror", fail)
	request.Set("onblocked", fail)
	if err := <-done; err != nil {
		return js.Undefined(), err
	}
	return request.Get("result"), nil
}

// keep writes the study, and those of its photographs that are new, in a single
// strict transaction: all puts are issued and the transaction committed before
// Go gives way, so that a kill leaves either the state before or this one.
func (s *store) keep(id string, study []byte, before []byte, photographs []filed) error {
	names := []any{studyStore, deskStore}
	if len(photographs) > 0 {
		names = append(names, photoStore)
	}
	tx, err := attempt(s.db, "transaction", names, "readwrite", map[string]any{"durability": "strict"})
	if err != nil {
		return fmt.Errorf("keeping the study: %w", err)
	}
	done := make(chan error, 1)
	complete := js.FuncOf(func(js.Value, []js.Value) any { done <- nil; return nil })
	abort := js.FuncOf(func(js.Value, []js.Value) any { done <- failure(tx.Get("error")); return nil })
	defer complete.Release()
	defer abort.Release()
	tx.Set("oncomplete", complete)
	tx.Set("onabort", abort)
	if err := putAll(tx, id, study, before, photographs); err != nil {
		return fmt.Errorf("keeping the study: %w", err)
	}
	if err := <-done; err != nil {
		return fmt.Errorf("keeping the study: %w", err)
	}
	return nil
}

// putAll issues the puts of one keeping and commits them.
func putAll(tx js.Value, id string, study, before []byte, photographs []filed) error {
	for _, f := range photographs {
		if _, err := attempt(tx.Call("objectStore", photoStore), "put", f.buffer, f.hash); err != nil {
			return err
		}
	}
	record := map[string]any{"now": sealed(study), "before": sealed(before)}
	if _, err := attempt(tx.Call("objectStore", studyStore), "put", record, id); err != nil {
		return err
	}
	if _, err := attempt(tx.Call("objectStore", deskStore), "put", id, deskKey); err != nil {
		return err
	}
	_, err := attempt(tx, "commit")
	return err
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

// load brings back the study that lies open, or nil if there is none. A text
// whose hash does not fit is set aside and the state before it taken.
func (s *store) load(photoHash func(study []byte) (string, error)) (*kept, error) {
	id, err := s.get(deskStore, deskKey)
	if err != nil {
		return nil, fmt.Errorf("reading the tablet's storage: %w", err)
	}
	if id.Type() != js.TypeString {
		return nil, nil
	}
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
		hash, err := photoHash(text)
		if err != nil {
			k.Damaged = append(k.Damaged, "the study as it was last kept cannot be read and was set aside: "+err.Error())
			continue
		}
		buffer, err := s.photograph(hash)
		if err != nil {
			k.Damaged = append(k.Damaged, err.Error()+"; it was set aside")
			continue
		}
		k.Study, k.Photo = text, buffer
		break
	}
	if len(k.Damaged) > 0 {
		if err := s.setAside(id.String(), record); err != nil {
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

// photograph reads a photograph and holds it to its hash.
func (s *store) photograph(hash string) (js.Value, error) {
	buffer, err := s.get(photoStore, hash)
	if err != nil {
		return js.Undefined(), fmt.Errorf("reading the kept photograph: %w", err)
	}
	if !buffer.Truthy() {
		return js.Undefined(), errors.New("the photograph of the kept study is missing")
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

// setAside copies a damaged record, with the time, where nothing overwrites it.
func (s *store) setAside(id string, record js.Value) error {
	if !record.Truthy() {
		return nil
	}
	tx, err := attempt(s.db, "transaction", []any{asideStore}, "readwrite", map[string]any{"durability": "strict"})
	if err != nil {
		return fmt.Errorf("setting the damaged study aside: %w", err)
	}
	key := id + " " + js.Global().Get("Date").New().Call("toISOString").String()
	request, err := attempt(tx.Call("objectStore", asideStore), "put", record, key)
	if err != nil {
		return fmt.Errorf("setting the damaged study aside: %w", err)
	}
	if _, err := answer(request); err != nil {
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
