package easel

import (
	"fmt"
	"slices"
	"strings"

	"maulstick/render/place"
	"maulstick/render/study"
)

// printing is the sheets being made.
type printing struct {
	last   int // the number of the newest request
	busy   bool
	share  float64 // 0..1
	failed string
	done   bool
}

// sheetNames are the sheets as their keys name them.
var sheetNames = map[string]string{
	study.SheetReference: "Reference", study.SheetChalk: "Chalk list", study.SheetValues: "Values",
	study.SheetPalette: "Palette", study.SheetMarks: "Marks, spans", study.SheetBoard: "Board", study.SheetCartoon: "Cartoon",
}

// resolutions are the dots per inch of the photograph on paper that can be chosen.
var resolutions = []int{100, 200, 300}

func init() {
	for _, kind := range study.SheetKinds() {
		keys["print-"+kind] = func(e *Easel) { e.printKind(kind) }
	}
	for _, paper := range study.Papers() {
		keys["paper-"+paper] = func(e *Easel) { e.sheetsBy(func(s *study.Sheets) { s.Paper = paper }) }
	}
	for _, dots := range resolutions {
		keys[fmt.Sprintf("dots-%d", dots)] = func(e *Easel) { e.sheetsBy(func(s *study.Sheets) { s.Resolution = dots }) }
	}
	keys["paper-lying"] = func(e *Easel) { e.sheetsBy(func(s *study.Sheets) { s.Landscape = !s.Landscape }) }
	keys["print"] = (*Easel).printSheets
	keys["plot-stop"] = (*Easel).stopPlotting
}

// sheetsBy changes what is printed, or on what.
func (e *Easel) sheetsBy(change func(*study.Sheets)) {
	s := e.doc().Sheets
	change(&s)
	e.show(e.doc().WithSheets(s))
}

// printKind prints a kind of sheet, or not.
func (e *Easel) printKind(kind string) {
	e.sheetsBy(func(s *study.Sheets) {
		if i := slices.Index(s.Kinds, kind); i >= 0 {
			s.Kinds = slices.Delete(slices.Clone(s.Kinds), i, i+1)
		} else {
			s.Kinds = append(slices.Clone(s.Kinds), kind)
		}
	})
}

// typePaper takes the size of the painter's own paper.
func (e *Easel) typePaper(text string) {
	e.paper = field{}
	size, err := place.ParseSize(text, place.Millimetre)
	if err == nil && (min(size.Width, size.Height) < study.LeastPaper || max(size.Width, size.Height) > study.MostPaper) {
		err = &place.Problem{
			Doing:  "taking the paper " + text,
			What:   "paper is from " + place.Text(study.LeastPaper, place.Millimetre, 1) + " to " + place.Text(study.MostPaper, place.Millimetre, 1) + " a side",
			Wanted: "give its size, as in 210 x 297 mm",
		}
	}
	if err != nil {
		e.paper = field{refused: true, typed: text, note: refusal(err)}
		e.says.news = e.paper.note
		return
	}
	e.sheetsBy(func(s *study.Sheets) { s.Paper, s.Width, s.Height = study.PaperCustom, size.Width, size.Height })
}

// printSheets has the sheets made.
func (e *Easel) printSheets() {
	if e.printing.busy || len(e.doc().Sheets.Kinds) == 0 || !e.filled {
		return
	}
	e.printing = printing{last: e.printing.last + 1, busy: true}
	e.host.PrintSheets(e.printing.last, e.doc())
}

// stopPlotting gives up what is being made of sheets or pixels.
func (e *Easel) stopPlotting() {
	if e.printing.busy || e.right.busy {
		e.printing.busy, e.right.busy = false, false
		e.host.StopPlotting()
	}
}

// Printing says how far the sheets of that number are, 0 to 1.
func (e *Easel) Printing(id int, share float64) {
	if e.printing.busy && id == e.printing.last {
		e.printing.share = portion(share)
	}
	e.after()
}

// Printed says that the sheets are made and handed over.
func (e *Easel) Printed(id int) {
	if e.printing.busy && id == e.printing.last {
		e.printing.busy, e.printing.done = false, true
		e.says.news = "The sheets are made."
	}
	e.after()
}

// PrintFailed says that the sheets cannot be made, and why.
func (e *Easel) PrintFailed(id int, why string) {
	if e.printing.busy && id == e.printing.last {
		e.printing.busy, e.printing.failed = false, sentence(why)
		e.says.news = e.printing.failed
	}
	e.after()
}

// faceSheets is the part of the Study tray about printing.
func (e *Easel) faceSheets(f *Face) {
	s := e.doc().Sheets
	for _, kind := range study.SheetKinds() {
		f.Pressed["key-print-"+kind] = slices.Contains(s.Kinds, kind)
	}
	for _, paper := range study.Papers() {
		f.Pressed["key-paper-"+paper] = s.Paper == paper
	}
	for _, dots := range resolutions {
		f.Pressed[fmt.Sprintf("key-dots-%d", dots)] = s.Resolution == dots
	}
	f.Pressed["key-paper-lying"] = s.Landscape
	f.Value["paper"], f.Disabled["paper"] = "", e.still()
	if s.Paper == study.PaperCustom {
		f.Value["paper"] = spelt(place.Size{Width: s.Width, Height: s.Height, Unit: place.Millimetre})
	}
	if e.paper.refused {
		f.Value["paper"] = e.paper.typed
	}
	e.disable(f, "print", e.printing.busy || len(s.Kinds) == 0 || !e.filled)
	f.Text["sheets-note"] = e.sheetsNote()
}

// sheetsNote says what is printed, or what went wrong.
func (e *Easel) sheetsNote() string {
	switch p := e.printing; {
	case e.paper.refused:
		return e.paper.note
	case p.failed != "":
		return p.failed
	case p.done:
		return "The sheets are made. Print them at actual size (100 %), not fitted to the page."
	case len(e.doc().Sheets.Kinds) == 0:
		return "Choose the sheets to print."
	}
	text := "Print at actual size (100 %), not fitted to the page: the rule on every page must measure 100 mm."
	for _, kind := range e.doc().Sheets.Kinds {
		if lacks := e.doc().Lacks(kind); lacks != "" {
			text += " " + sheetNames[kind] + ": " + lacks + "."
		}
	}
	return text
}

// plotting says how far what is being made is, "" for nothing.
func (e *Easel) plotting() string {
	switch {
	case e.right.busy && e.right.wanted.Reference.Hash != e.doc().Reference.Hash:
		pin, _ := e.right.wanted.Pin(e.right.wanted.Board.OnEasel)
		return fmt.Sprintf("Putting %s on the easel: %.0f %%", pin.Name, 100*e.right.share)
	case e.right.busy:
		return fmt.Sprintf("Setting the photograph right: %.0f %%", 100*e.right.share)
	case e.printing.busy:
		return strings.TrimSpace(fmt.Sprintf("Making the sheets: %.0f %%", 100*e.printing.share))
	}
	return ""
}
