package easel

import "time"

// holdToUnlock is how long the key must be held to have the screen back.
const holdToUnlock = time.Second

// lock is Hands off: the screen does nothing until its key is held.
type lock struct {
	on      bool
	holding bool
	since   time.Time
}

func (l lock) words() string {
	if l.holding {
		return "Keep holding for one second."
	}
	return "Hands off: the screen does nothing until its key is held for one second."
}

// pressLock locks the screen, or starts the hold that has it back.
func (e *Easel) pressLock() {
	if e.lock.on {
		if !e.lock.holding {
			e.lock.holding, e.lock.since = true, e.now()
		}
		return
	}
	e.settle()
	e.plain, e.armed, e.picking, e.tool = false, false, false, inHand{}
	e.lock = lock{on: true}
	e.says.news = "Hands off."
	e.show(e.doc().WithTray(""))
}

func (e *Easel) releaseLock() {
	e.tickLock(e.now())
	e.lock.holding = false
}

func (e *Easel) lockDue() time.Time {
	if !e.lock.holding {
		return time.Time{}
	}
	return e.lock.since.Add(holdToUnlock)
}

func (e *Easel) tickLock(now time.Time) {
	if due := e.lockDue(); !due.IsZero() && !now.Before(due) {
		e.lock = lock{}
		e.says.news = "The screen answers again."
	}
}

// still says whether nothing of the study can be changed: there is none, or hands
// are off.
func (e *Easel) still() bool { return e.history == nil || e.lock.on }
