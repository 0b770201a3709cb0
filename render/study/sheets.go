package study

import (
	"fmt"
	"slices"

	"maulstick/render/place"
)

// Sheets is what is printed, and on what.
type Sheets struct {
	Paper      string   `json:"paper"` // one of Papers
	Width      place.MM `json:"width_mm"`
	Height     place.MM `json:"height_mm"` // of custom paper
	Landscape  bool     `json:"landscape"`
	Kinds      []string `json:"kinds"`          // some of SheetKinds, in their order
	Resolution int      `json:"resolution_dpi"` // of the photograph on paper
}

// The papers: those of ISO 216, ANSI/ASME Y14.1 and the trade, and the painter's own.
const (
	PaperA4      = "A4"
	PaperA3      = "A3"
	PaperLetter  = "Letter"
	PaperLegal   = "Legal"
	PaperTabloid = "Tabloid"
	PaperCustom  = "custom"
)

// Papers are all papers.
func Papers() []string {
	return []string{PaperA4, PaperA3, PaperLetter, PaperLegal, PaperTabloid, PaperCustom}
}

// The sheets that can be printed.
const (
	SheetReference = "reference" // the photograph with its lines
	SheetChalk     = "chalk"     // the chalk list
	SheetValues    = "values"    // the value plan
	SheetPalette   = "palette"   // the palette chart
	SheetMarks     = "marks"     // marks and spans
	SheetBoard     = "board"     // the references, and what is borrowed
	SheetCartoon   = "cartoon"   // the outlines at full size
)

// SheetKinds are all sheets, in the order in which they are printed.
func SheetKinds() []string {
	return []string{SheetReference, SheetChalk, SheetValues, SheetPalette, SheetMarks, SheetBoard, SheetCartoon}
}

// The bounds of a side of custom paper.
const (
	LeastPaper = place.MM(125) // the rule of 100 mm must fit
	MostPaper  = place.MM(2000)
)

// The bounds of the photograph on paper, in dots per inch.
const (
	LeastResolution = 50
	MostResolution  = 600
)

// newSheets are a new study's.
func newSheets() Sheets {
	return Sheets{Paper: PaperA4, Width: 210, Height: 297, Kinds: []string{SheetReference, SheetChalk}, Resolution: 200}
}

// WithSheets is the study with other sheets, brought within what they may be.
func (d Document) WithSheets(s Sheets) Document {
	if !slices.Contains(Papers(), s.Paper) {
		s.Paper = PaperA4
	}
	s.Width, s.Height = min(max(s.Width, LeastPaper), MostPaper), min(max(s.Height, LeastPaper), MostPaper)
	s.Resolution = min(max(s.Resolution, LeastResolution), MostResolution)
	kinds := []string{}
	for _, k := range SheetKinds() {
		if slices.Contains(s.Kinds, k) {
			kinds = append(kinds, k)
		}
	}
	s.Kinds = kinds
	d.Sheets = s
	return d
}

// Lacks says what a sheet of a kind cannot be printed without, as what to do first; ""
// if nothing is missing.
func (d Document) Lacks(kind string) string {
	switch {
	case (kind == SheetReference || kind == SheetCartoon || kind == SheetChalk || kind == SheetMarks) && !d.HasCanvas():
		return "type the size of the canvas first"
	case kind == SheetChalk && len(d.Lines.Uses) == 0:
		return "draw lines first"
	case kind == SheetMarks && len(d.Marks) == 0:
		return "place marks first"
	case kind == SheetBoard && len(d.Board.Pins) < 2:
		return "pin another reference to the board first"
	}
	return ""
}

func (d Document) checkSheets() error {
	s := d.Sheets
	switch {
	case !slices.Contains(Papers(), s.Paper):
		return fmt.Errorf("paper %q is not known", clip(s.Paper))
	case !within(float64(s.Width), float64(LeastPaper), float64(MostPaper)) || !within(float64(s.Height), float64(LeastPaper), float64(MostPaper)):
		return fmt.Errorf("paper of %v x %v mm is not %v to %v a side", s.Width, s.Height, LeastPaper, MostPaper)
	case s.Resolution < LeastResolution || s.Resolution > MostResolution:
		return fmt.Errorf("%d dots per inch are not %d to %d", s.Resolution, LeastResolution, MostResolution)
	case s.Kinds == nil:
		return fmt.Errorf("the list of sheets is missing")
	}
	known := SheetKinds()
	for i, k := range s.Kinds {
		if !slices.Contains(known, k) || slices.Contains(s.Kinds[:i], k) {
			return fmt.Errorf("sheet %q is not known or stands twice", clip(k))
		}
	}
	return nil
}
