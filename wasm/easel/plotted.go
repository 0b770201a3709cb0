package easel

import (
	"maulstick/render/photo"
	"maulstick/render/setout"
)

// SetOut answers the SetOut of that number with the lines.
func (e *Easel) SetOut(id int, answer setout.Answer) { e.after() }

// Righting says how far the setting right of that number is, 0 to 1.
func (e *Easel) Righting(id int, share float64) { e.after() }

// Righted answers Right with the photograph's new pixels, all of them, and says
// whether the study takes them: if so they lie on the screen from now on.
func (e *Easel) Righted(id int, pic *photo.Picture) (taken bool) {
	e.after()
	return false
}

// RightFailed says that the photograph cannot be set right so, and why.
func (e *Easel) RightFailed(id int, why string) { e.after() }

// Printing says how far the printing of that number is, 0 to 1.
func (e *Easel) Printing(id int, share float64) { e.after() }

// Printed says that the painter has been handed the sheets.
func (e *Easel) Printed(id int) { e.after() }

// PrintFailed says that the sheets cannot be printed, and why.
func (e *Easel) PrintFailed(id int, why string) { e.after() }
