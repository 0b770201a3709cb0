package study

import (
	"errors"
	"fmt"
	"slices"
	"unicode/utf8"

	"maulstick/render/look"
	"maulstick/render/place"
)

// MostMarks is how many marks a study holds.
const MostMarks = 1000

const (
	longestSide = 65_535            // pixels
	mostPixels  = 1 << 28           // of a whole photograph
	mostBytes   = 1 << 31           // of a photograph's file
	smallest    = place.MM(1)       // side of a canvas
	largest     = place.MM(100_000) // side of a canvas
	faintest    = place.MM(1e-6)    // blur
	strongest   = place.MM(100_000) // blur
	farthest    = 1e7               // zoom
	farthestOff = 1.0 / 64          // zoom, as where the canvas is shown at a part of its size
	highest     = 1_000_000_000     // number of a mark
)

// Check holds a document to every rule that the program relies on: finite
// numbers within their ranges, marks with numbers of their own on the
// photograph, known looks and trays. The error names the field.
func (d Document) Check() error {
	return first(
		d.checkNames,
		d.Reference.check,
		d.Canvas.check,
		d.checkRighting,
		d.checkCrop,
		d.checkMarks,
		d.checkSpans,
		d.checkLines,
		func() error { return checkLook(d.Look) },
		func() error { return checkDivision(d.Look) },
		d.checkFinding,
		d.checkView,
		d.checkScreen,
		d.checkSheets,
		d.checkBoard,
		d.checkLog,
		d.checkPalette,
		d.checkChecked,
	)
}

func first(checks ...func() error) error {
	for _, c := range checks {
		if err := c(); err != nil {
			return err
		}
	}
	return nil
}

func (d Document) checkNames() error {
	if !plainID(d.ID) {
		return fmt.Errorf("id %q is not 1 to 64 letters, digits and hyphens", clip(d.ID))
	}
	if d.Name == "" {
		return errors.New("the study has no name")
	}
	return checkName("name", d.Name)
}

func (r Reference) check() error {
	if err := checkName("the photograph's name", r.Name); err != nil {
		return err
	}
	if len(r.Hash) != 64 || !lowerHex(r.Hash) {
		return fmt.Errorf("sha256 %q is not 64 lower-case hexadecimal digits", clip(r.Hash))
	}
	if r.Bytes < 1 || int64(r.Bytes) > mostBytes {
		return fmt.Errorf("a photograph of %d bytes cannot be", r.Bytes)
	}
	if r.Width < 1 || r.Height < 1 || r.Width > longestSide || r.Height > longestSide ||
		int64(r.Width)*int64(r.Height) > mostPixels {
		return fmt.Errorf("a photograph of %d x %d pixels cannot be", r.Width, r.Height)
	}
	return nil
}

func (c Canvas) check() error {
	if c.Unit < place.Inch || c.Unit > place.Metre {
		return fmt.Errorf("unit %d of the canvas is not known", c.Unit)
	}
	if err := checkName("the canvas as typed", c.Typed); err != nil {
		return err
	}
	if c.Width == 0 && c.Height == 0 {
		return nil
	}
	for _, side := range []place.MM{c.Width, c.Height} {
		if !within(float64(side), float64(smallest), float64(largest)) {
			return fmt.Errorf("a canvas of %v x %v mm cannot be", c.Width, c.Height)
		}
	}
	return nil
}

func (d Document) checkMarks() error {
	if d.Marks == nil {
		return errors.New("the list of marks is missing")
	}
	if len(d.Marks) > MostMarks {
		return fmt.Errorf("%d marks are more than %d", len(d.Marks), MostMarks)
	}
	if d.NextMark < 1 || d.NextMark > highest {
		return fmt.Errorf("next_mark %d is not 1 to %d", d.NextMark, highest)
	}
	seen := make(map[int]bool, len(d.Marks))
	for _, m := range d.Marks {
		if m.ID < 1 || m.ID >= d.NextMark || seen[m.ID] {
			return fmt.Errorf("mark number %d is used twice or was never given", m.ID)
		}
		seen[m.ID] = true
		if err := d.checkMark(m); err != nil {
			return err
		}
	}
	if d.Chosen != 0 && !seen[d.Chosen] {
		return fmt.Errorf("the chosen mark %d is not there", d.Chosen)
	}
	return nil
}

func (d Document) checkMark(m Mark) error {
	size := d.Pixels()
	w, h := float64(size.Width), float64(size.Height)
	if !within(m.X, 0, w) || !within(m.Y, 0, h) {
		return fmt.Errorf("mark %d at %v, %v is not on the photograph", m.ID, m.X, m.Y)
	}
	if !within(m.Touch, 0, max(w, h)) {
		return fmt.Errorf("mark %d cannot be %v pixels off", m.ID, m.Touch)
	}
	return checkName("a mark's name", m.Name)
}

func checkLook(l look.Look) error {
	switch {
	case l.Tone < look.Colour || l.Tone > look.Misled:
		return fmt.Errorf("tone %d is not known", l.Tone)
	case l.Keep < look.KeepAll || l.Keep > look.KeepLighter:
		return fmt.Errorf("keep %d is not known", l.Keep)
	case l.Steps < 2 || l.Steps > 9:
		return fmt.Errorf("%d steps are not 2 to 9", l.Steps)
	case l.Step < 0 || l.Step > l.Steps || l.Step == 0 && l.Keep != look.KeepAll:
		return fmt.Errorf("step %d is not one of %d", l.Step, l.Steps)
	case !within(float64(l.Blur), float64(faintest), float64(strongest)):
		return fmt.Errorf("a squint of %v mm cannot be", l.Blur)
	}
	return nil
}

func (d Document) checkView() error {
	v, size := d.View, d.Pixels()
	if !within(v.Zoom, farthestOff, farthest) || v.Fit && v.Zoom != 1 {
		return fmt.Errorf("a zoom of %v cannot be", v.Zoom)
	}
	if !within(v.CentreX, 0, float64(size.Width)) || !within(v.CentreY, 0, float64(size.Height)) {
		return fmt.Errorf("the view's centre %v, %v is not on the photograph", v.CentreX, v.CentreY)
	}
	return nil
}

func (d Document) checkScreen() error {
	if !slices.Contains([]string{"", TrayLine, TrayShape, TrayValue, TrayColour, TrayPlace, TrayCheck, TrayStudy}, d.Tray) {
		return fmt.Errorf("tray %q is not known", clip(d.Tray))
	}
	if d.Surround < 20 || d.Surround > 80 {
		return fmt.Errorf("a surround of lightness %d is not 20 to 80", d.Surround)
	}
	if d.Cycle == nil {
		return errors.New("the cycle of looks is missing")
	}
	known := Cycles()
	for i, c := range d.Cycle {
		if !slices.Contains(known, c) || slices.Contains(d.Cycle[:i], c) {
			return fmt.Errorf("look %q of the cycle is not known or stands twice", clip(c))
		}
	}
	return nil
}

// checkName refuses what tidy would have changed.
func checkName(what, s string) error {
	if tidy(s) != s {
		return fmt.Errorf("%s %q is not one line of at most %d characters", what, clip(s), longestName)
	}
	return nil
}

func within(x, low, high float64) bool { return x >= low && x <= high }

func plainID(s string) bool {
	for _, c := range []byte(s) {
		if !(c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-') {
			return false
		}
	}
	return len(s) >= 1 && len(s) <= 64
}

func lowerHex(s string) bool {
	for _, c := range []byte(s) {
		if !(c >= 'a' && c <= 'f' || c >= '0' && c <= '9') {
			return false
		}
	}
	return true
}

// clip keeps an error to one readable line.
func clip(s string) string {
	if len(s) <= 40 {
		return s
	}
	cut := 40
	for cut > 0 && !utf8.RuneStart(s[cut]) {
		cut--
	}
	return s[:cut] + "..."
}
