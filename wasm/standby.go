//go:build js

package main

import (
	"sync"
	"time"
)

// standby is a worker that is started when it is first needed, anew for the next work
// after it broke or was stopped, and given up when it has not been used for a while: the
// memory that it takes is given back only with the worker itself.
type standby struct {
	lock   sync.Mutex    // held by whoever it works for
	worker *worker       // nil while there is none
	start  string        // what starts it; see startWorker
	rest   time.Duration // how long it is kept after its last use
	forget func()        // what was known to lie with it
	uses   int
}

// do does work with the worker once that is free. Work finds it by ready. Holding says
// afterwards whether so much lies with it that it is not to be kept for long.
func (s *standby) do(work func() error, holding func() bool) error {
	s.lock.Lock()
	defer s.lock.Unlock()
	s.uses++
	err := work()
	switch {
	case s.worker == nil:
	case s.worker.ended:
		s.giveUp()
	case holding():
		uses := s.uses
		time.AfterFunc(s.rest, func() { s.restFrom(uses) })
	}
	return err
}

// ready is the worker, started if there is none.
func (s *standby) ready() (*worker, error) {
	if s.worker != nil && !s.worker.ended {
		return s.worker, nil
	}
	s.giveUp()
	w, err := startWorker(s.start)
	if err != nil {
		return nil, err
	}
	s.worker = w
	return w, nil
}

// restFrom gives the worker up if it has not been used again. If it is being used it has
// been.
func (s *standby) restFrom(uses int) {
	if !s.lock.TryLock() {
		return
	}
	defer s.lock.Unlock()
	if s.uses == uses {
		s.giveUp()
	}
}

// giveUp ends the worker, if there is one, and what it holds.
func (s *standby) giveUp() {
	if s.worker != nil {
		s.worker.object.Call("terminate")
	}
	s.worker = nil
	s.forget()
}
