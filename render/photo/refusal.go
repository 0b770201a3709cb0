package photo

import "errors"

// Refusal says in a painter's words why a file is not opened, and what would
// help. It names no file: whoever asked puts that before it.
type Refusal struct {
	What string // what is wrong, in lower case without a full stop
	Help string // what to do about it, a sentence in the same form
}

// Error is what is wrong.
func (r *Refusal) Error() string { return r.What }

// Hint is what to do about it.
func (r *Refusal) Hint() string { return r.Help }

// Hint is what to do about an error, or "" where nothing is known to help.
func Hint(err error) string {
	var hinting interface{ Hint() string }
	if errors.As(err, &hinting) {
		return hinting.Hint()
	}
	return ""
}

// Help that several refusals give.
const (
	helpCopy  = "copy it from the camera or telephone again, whole"
	helpJPEG  = "save it as a JPEG and open that"
	helpOther = "open a photograph, such as a JPEG, PNG, WebP, HEIC, AVIF or TIFF"
)

// errCut refuses a file whose end is missing. What a browser decodes of it shows
// an even grey where the rest should be, which would be read as a value.
var errCut = &Refusal{"the file is cut short: the end of the photograph is missing", helpCopy}

func cutShort() error { return errCut }

// damaged refuses a file that breaks the rules of its own format.
func damaged(kind Kind, how string) error {
	return &Refusal{"the " + kind.String() + " file is damaged: " + how, helpCopy}
}
