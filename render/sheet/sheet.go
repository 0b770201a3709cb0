// Package sheet lays out what hangs on the studio's wall, sheets for printing, and
// writes them as PDF: the reference with its lines, the chalk list, the value
// plan, the palette chart, marks and spans, the board of references, and the cartoon at
// full size over as many pages as that takes.
package sheet

import (
	"errors"
	"fmt"
	"io"
	"slices"

	"maulstick/render/colour"
	"maulstick/render/line"
	"maulstick/render/photo"
	"maulstick/render/pile"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/study"
)

// Work is all that is printed, worked out. Places on the canvas are from the top
// left corner of what is painted, Mapping.Canvas.
type Work struct {
	Name       string   // of the study
	Kinds      []string // of study.SheetKinds, printed in that order; one at least
	Paper      Paper
	Resolution int // of the photograph on paper, in dots per inch

	Picture  *photo.Picture // upright, set right, the whole of it
	Mapping  place.Mapping  // of Picture's pixels onto what is painted
	OnCanvas bool           // the painter has a canvas; else Mapping.Canvas is a stand-in
	Face     place.Size     // of the canvas, as seen from the front, if there is one
	From     place.Edges    // that marks are measured from

	Lines   *line.Set // on the canvas, nil for none
	Strokes []Stroke  // how the lines of each use of Lines' plan are drawn
	Chalk   line.List
	Struck  []string // keys of the chalk list's rows that are done, by their Key

	Values   Values
	Piles    []pile.Step // from the darkest
	Marks    []Mark
	Spans    []Span
	Board    []Pinned // in the painter's order
	Borrowed []Borrowed
	Outlines []Outline // of the flat shapes, each shared border once
}

// Stroke is how the lines of one construction are drawn.
type Stroke struct {
	Weight   int // 1..5
	Colour   colour.SRGB
	Strength int // 10..100 %
}

// Values is the value plan: the steps, how much of the picture lies in each, and
// the step, from 1, of each pixel of a small copy of what is painted.
type Values struct {
	Steps         shape.Steps
	Shares        []float64 // 0..1
	Filter        bool      // read through the red filter
	Width, Height int
	Labels        []uint8
}

// Mark is a named mark with its readings.
type Mark struct {
	Name   string
	At     place.CanvasPoint
	X, Y   place.MM // from the edges that the painter measures from
	Within place.MM
	Value  colour.Value
	Step   int
}

// Span is a named span with what it is compared with, if anything.
type Span struct {
	Name, From, To string
	place.Span
	In string // how often the unit goes into it, "" without one
}

// Outline is a line of the cartoon.
type Outline struct {
	Points []place.CanvasPoint
	Closed bool // the last point joins the first
}

// Page is one page as it is printed.
type Page struct {
	Number        int // from 1
	Kind          string
	Width, Height place.MM
	Part          *Part // of the canvas that a tile of the cartoon shows
}

// Part is a part of the canvas.
type Part struct {
	Name                string   // row and column, as in B3
	X, Y, Width, Height place.MM // on the canvas, the overlap with its neighbours included
	PageX, PageY        place.MM // where its top left corner lies on the page
}

// Title is what a kind of sheet is called on paper.
func Title(kind string) string {
	switch kind {
	case study.SheetReference:
		return "Reference"
	case study.SheetChalk:
		return "Chalk list"
	case study.SheetValues:
		return "Value plan"
	case study.SheetPalette:
		return "Palette chart"
	case study.SheetMarks:
		return "Marks and spans"
	case study.SheetBoard:
		return "Board"
	case study.SheetCartoon:
		return "Cartoon"
	}
	return kind
}

// Pages describes the pages that Write writes. Any error is a *place.Problem: there
// is nothing to print, the paper is too small, the cartoon takes too many pages.
func (w Work) Pages() ([]Page, error) {
	pages, err := w.layOut(newPen(w.Paper))
	if err != nil {
		return nil, err
	}
	list := make([]Page, len(pages))
	for i, p := range pages {
		list[i] = Page{Number: i + 1, Kind: p.kind, Width: w.Paper.Width, Height: w.Paper.Height, Part: p.part}
	}
	return list, nil
}

// Write writes the sheets as a PDF that asks to be printed at actual size. Equal
// work gives equal bytes. Lengths on paper are off by 0.004 mm at most. Progress
// may be nil; it is told how much is done, 0 to 1, and an error from it ends the
// work and is returned. Other errors are *place.Problem, as from Pages, or w's.
func Write(w io.Writer, work Work, progress func(share float64) error) error {
	if progress == nil {
		progress = func(float64) error { return nil }
	}
	p := newPen(work.Paper)
	pages, err := work.layOut(p)
	if err != nil {
		return err
	}
	if err := p.embed(work, part(progress, 0, 0.3)); err != nil {
		return err
	}
	for i, page := range pages {
		if err := progress(0.3 + 0.5*float64(i)/float64(len(pages))); err != nil {
			return err
		}
		p.turnOver()
		work.frame(p, page, i+1, len(pages))
		page.draw(p)
	}
	if err := progress(0.8); err != nil {
		return err
	}
	data, err := p.bytes(work.Name)
	if err != nil {
		return fmt.Errorf("writing the sheets: %w", err)
	}
	if err := progress(0.95); err != nil {
		return err
	}
	if _, err := w.Write(data); err != nil {
		return fmt.Errorf("writing the sheets: %w", err)
	}
	return progress(1)
}

// part is the share of the progress that lies between two.
func part(progress func(float64) error, from, to float64) func(float64) error {
	return func(done float64) error { return progress(min(from+(to-from)*done, 1)) }
}

// page is a page that is laid out.
type page struct {
	kind   string
	detail string // under the title: the scale, where one applies
	part   *Part
	draw   func(p *pen)
}

// layOut lays out all pages, in the order of study.SheetKinds.
func (w Work) layOut(p *pen) ([]page, error) {
	if err := w.check(); err != nil {
		return nil, err
	}
	body := w.Paper.body()
	var pages []page
	for _, kind := range study.SheetKinds() {
		if !slices.Contains(w.Kinds, kind) {
			continue
		}
		switch kind {
		case study.SheetReference:
			pages = append(pages, w.referencePage(p, body))
		case study.SheetChalk:
			pages = append(pages, w.chalkPages(p, body)...)
		case study.SheetValues:
			pages = append(pages, w.valuePages(p, body)...)
		case study.SheetPalette:
			pages = append(pages, w.palettePages(p, body)...)
		case study.SheetMarks:
			pages = append(pages, w.markPages(p, body)...)
		case study.SheetBoard:
			pages = append(pages, w.boardPages(p, body)...)
		case study.SheetCartoon:
			tiles, err := w.cartoonPages(body)
			if err != nil {
				return nil, err
			}
			pages = append(pages, tiles...)
		}
	}
	if err := p.pdf.Error(); err != nil {
		return nil, fmt.Errorf("laying out the sheets: %w", err)
	}
	return pages, nil
}

// check refuses work that cannot be printed.
func (w Work) check() error {
	if err := w.Paper.Check(); err != nil {
		return err
	}
	problem := func(what, wanted string) error {
		return &place.Problem{Doing: "laying out the sheets", What: what, Wanted: wanted}
	}
	known := study.SheetKinds()
	for _, k := range w.Kinds {
		if !slices.Contains(known, k) {
			return problem(fmt.Sprintf("there is no sheet %q", k), "choose among "+list(known))
		}
		if missing := w.missing(k); missing != "" {
			wanted := "give the canvas its size first, or leave that sheet out"
			if w.OnCanvas {
				wanted = "leave that sheet out, or add what it shows"
			}
			return problem(fmt.Sprintf("the sheet %q needs %s", k, missing), wanted)
		}
		if c := w.Mapping.Canvas; (k == study.SheetReference || k == study.SheetMarks) && max(c.Width, c.Height) > slimmest*min(c.Width, c.Height) {
			return problem(sizeText(c)+" is too narrow to show a photograph on", "look at the size of the canvas again, or leave that sheet out")
		}
	}
	switch c := w.Mapping.Crop; {
	case len(w.Kinds) == 0:
		return problem("none is chosen", "choose among "+list(known))
	case w.Resolution < study.LeastResolution || w.Resolution > study.MostResolution:
		return problem(fmt.Sprintf("%d dots per inch are not %d to %d", w.Resolution, study.LeastResolution, study.MostResolution), "200 does for most printers")
	case w.Picture == nil || w.Picture.Width < 1 || w.Picture.Height < 1:
		return errors.New("laying out the sheets: there is no photograph")
	default:
		return c.Check(w.Picture.Size())
	}
}

// missing is what a kind of sheet needs and there is not, "" if all is there.
func (w Work) missing(kind string) string {
	switch kind {
	case study.SheetReference, study.SheetChalk, study.SheetMarks, study.SheetCartoon:
		if c := w.Mapping.Canvas; !w.OnCanvas || !(min(c.Width, c.Height) >= leastCanvas && max(c.Width, c.Height) <= mostCanvas) {
			return "a canvas"
		}
	}
	switch {
	case kind == study.SheetChalk && (w.Lines == nil || len(w.Lines.Lines) == 0):
		return "lines on the canvas"
	case kind == study.SheetMarks && len(w.Marks) == 0:
		return "marks"
	case kind == study.SheetBoard && len(w.Board) < 2:
		return "another reference on the board"
	case kind == study.SheetValues && !w.Values.fit():
		return "value steps"
	case kind == study.SheetPalette && len(w.Piles) == 0:
		return "piles of colour"
	}
	return ""
}

// fit says whether the value plan is all there.
func (v Values) fit() bool {
	return v.Steps.Count() > 0 && len(v.Shares) == v.Steps.Count() && v.Width > 0 && v.Height > 0 && len(v.Labels) == v.Width*v.Height
}

// The sides of a canvas, and how many times longer than wide a picture may be that
// is stored as JPEG, which counts no further than 65,535.
const (
	leastCanvas, mostCanvas place.MM = 1, 100_000
	slimmest                         = 10_000
)
