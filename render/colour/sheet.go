package colour

import (
	"fmt"
	"strings"
)

// Sheet is a red sheet to look through: which wavelengths it lets by. The zero
// value is the red sheet, the one to take where none is asked for.
type Sheet int

// The sheets, by the wavelength at which they begin to let light by.
const (
	RedSheet    Sheet = iota // from about 600 nm
	OrangeSheet              // from about 580 nm
	DeepSheet                // from about 620 nm
)

// sheet is what one of them is.
type sheet struct {
	name, say string
	cutOn     int
	weights   Weights
	meter     *Meter
}

// sheets are what is known of each. The red sheet's weights belong to a cut-on
// that rises from a tenth to nine tenths of its light within 40 nm, as of a
// dyed gel. The others are those that rise within 20 nm: a red glass measured
// for the same fit lies on that slope, and it is the one for which tube colours
// have been worked out through both sheets. All are fits on 413 measured
// reflectances under D65, with a root mean square error of 1.2 L* at 580 nm, 1.8
// at 600 and 4.4 at 620; they are kept to thousandths that sum to 1.
var sheets = [...]sheet{
	RedSheet:    {"red", "red sheet", 600, RedFilter, FilterMeter},
	OrangeSheet: newSheet("orange", "orange-red sheet", 580, Weights{R: 0.670, G: 0.302, B: 0.028}),
	DeepSheet:   newSheet("deep", "deep red sheet", 620, Weights{R: 0.836, G: 0.076, B: 0.088}),
}

func newSheet(name, say string, cutOn int, w Weights) sheet {
	return sheet{name, say, cutOn, w, NewMeter(w)}
}

// Sheets is every sheet, from the one that lets most light by.
func Sheets() []Sheet { return []Sheet{OrangeSheet, RedSheet, DeepSheet} }

// known is what is known of a sheet; one that does not exist is the red one.
func (s Sheet) known() *sheet {
	if s < 0 || int(s) >= len(sheets) {
		s = RedSheet
	}
	return &sheets[s]
}

// String is the sheet's name where one is asked for: orange, red or deep.
func (s Sheet) String() string { return s.known().name }

// Say is the sheet's name in a sentence, as in "deep red sheet".
func (s Sheet) Say() string { return s.known().say }

// CutOn is the wavelength in nanometres at which the sheet lets by half of what
// it lets by at most.
func (s Sheet) CutOn() int { return s.known().cutOn }

// Weights is how much each channel of linear light counts through the sheet.
func (s Sheet) Weights() Weights { return s.known().weights }

// Meter reads luminance through the sheet. It is shared: do not change it.
func (s Sheet) Meter() *Meter { return s.known().meter }

// ParseSheet is the sheet of a name: orange, red or deep.
func ParseSheet(name string) (Sheet, error) {
	for _, s := range Sheets() {
		if strings.EqualFold(strings.TrimSpace(name), s.String()) {
			return s, nil
		}
	}
	return RedSheet, fmt.Errorf("choosing the red sheet: there is no sheet %q; the sheets are orange, red and deep", name)
}
