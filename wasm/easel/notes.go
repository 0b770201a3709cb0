package easel

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"maulstick/render/place"
)

// notes are the sentences that the page says.
type notes struct {
	news         string // read aloud once, not shown
	message      string // shown until closed
	passing      bool   // the message is about what was just tried, and goes with it
	opening      string // the file being opened, with how far it is
	openingSince time.Time
	standing     []string // shown until the page is opened anew
	awakeRefused bool
	update       bool
}

// Refuse says that a file could not be opened, and why; the study stays as it
// was.
func (e *Easel) Refuse(err error) {
	e.says.opening = ""
	e.say(err)
	e.says.passing = false
	e.after()
}

// Noted tells the painter what there is to know of the photograph that was opened, until
// it is closed: sentences in lower case without a full stop. That it is held halved is
// one more, and goes on being told where its size on the canvas is.
func (e *Easel) Noted(notes []string) {
	if held := e.heldText(); held != "" {
		notes = append(notes, held)
	}
	if len(notes) == 0 {
		return
	}
	text := ""
	for _, n := range notes {
		text += " " + sentence(n)
	}
	e.leave(text[1:])
}

// leave shows a sentence until it is closed, whatever the painter does meanwhile.
func (e *Easel) leave(text string) {
	e.tell(text)
	e.says.passing = false
	e.after()
}

// heldText says how the photograph on the easel is held, if not whole.
func (e *Easel) heldText() string {
	if e.picture == nil || e.picture.Halved == 0 {
		return ""
	}
	held := e.picture.Held()
	return fmt.Sprintf("the photograph is %d x %d pixels, more than this tablet holds, and is held averaged in light to %d x %d; places are still counted in pixels of the photograph",
		e.picture.Width, e.picture.Height, held.Width, held.Height)
}

// finest is, after other words, how large a pixel that is held is on the canvas, of a
// photograph that is not held whole.
func (e *Easel) finest() string {
	d := e.doc()
	if e.picture == nil || e.picture.Halved == 0 || !d.HasCanvas() {
		return ""
	}
	each := float64(d.Size().Width) / d.Crop().Width * float64(int(1)<<e.picture.Halved)
	size := fmt.Sprintf("%.2g mm", each)
	if d.Canvas.Unit == place.Inch {
		size = fmt.Sprintf("1/%.0f in", float64(place.Inch.MM())/each)
	}
	return " The photograph is held at 1 pixel = " + size + "."
}

// say shows an error and its hint until the painter closes them.
func (e *Easel) say(err error) {
	if err == nil {
		return
	}
	e.says.message = sentence(err.Error())
	if hint := hintOf(err); hint != "" {
		e.says.message += " " + sentence(hint)
	}
	e.says.news, e.says.passing = e.says.message, true
}

// tell shows a sentence about what was just done until it is closed.
func (e *Easel) tell(text string) { e.says.message, e.says.news, e.says.passing = text, text, true }

// moveOn closes a message about what was tried before: the painter is at something
// else.
func (e *Easel) moveOn() {
	if e.says.passing {
		e.says.message, e.says.passing = "", false
	}
}

// hintOf is what an error advises, or "".
func hintOf(err error) string {
	var advises interface{ Hint() string }
	if errors.As(err, &advises) {
		return advises.Hint()
	}
	return place.Hint(err)
}

// Opening says how far the opening of a file has come, 0 to 1. It ends with
// Show or Refuse, or with Stopped.
func (e *Easel) Opening(name string, share float64) {
	if e.says.opening == "" {
		e.says.openingSince = e.now()
	}
	percent := math.Floor(100 * portion(share))
	e.says.opening = fmt.Sprintf("Opening %s: %.0f %%", name, percent)
	e.after()
}

// portion is how much of something is done, 0 to 1; nothing if that is no number.
func portion(share float64) float64 {
	if !(share > 0) {
		return 0
	}
	return min(share, 1)
}

// startQuietly is how long the page may take to begin before it says what it
// is waiting for: a bar that comes and goes makes the picture jump.
const startQuietly = 2 * time.Second

// openingDue is when the opening that the page begins with is told, if it is
// not yet.
func (e *Easel) openingDue() time.Time {
	if due := e.says.openingSince.Add(startQuietly); e.says.opening != "" && !e.started && e.now().Before(due) {
		return due
	}
	return time.Time{}
}

// Stopped says that the opening was given up as asked.
func (e *Easel) Stopped() {
	e.says.opening = ""
	e.after()
}

// SetAside says that something kept was found damaged and put aside, in a
// sentence for the painter.
func (e *Easel) SetAside(what string) {
	if what != "" && !slices.Contains(e.says.standing, what) {
		e.says.standing = append(e.says.standing, what)
	}
	e.after()
}

// Patchy says that the file that was opened was not whole, in a sentence for the painter,
// after what else there is to know of it, until it is closed.
func (e *Easel) Patchy(what string) {
	e.leave(strings.TrimSpace(e.says.message + " " + sentence(what)))
}

// UpdateOffered says that a new version of the page can be started.
func (e *Easel) UpdateOffered() {
	e.says.update = true
	e.after()
}

// WakeLock answers Awake: whether the screen is being kept on. A lock lost
// because the page is hidden is not told.
func (e *Easel) WakeLock(held bool) {
	e.says.awakeRefused = !held
	e.after()
}

// closeMessage answers the message's key: it stops the opening that is under
// way, or closes the message.
func (e *Easel) closeMessage() {
	if e.says.opening != "" {
		e.host.StopOpening()
		return
	}
	e.says.message = ""
}

// sentence starts with a capital and ends in a full stop.
func sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" {
		return ""
	}
	r, n := utf8.DecodeRuneInString(s)
	s = string(unicode.ToUpper(r)) + s[n:]
	if !strings.ContainsAny(s[len(s)-1:], ".!?") {
		s += "."
	}
	return s
}
