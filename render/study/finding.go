package study

import (
	"fmt"
	"slices"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// Finding is what the painter asks about the picture as a whole: how its values are
// divided, how small a shape may be, which opposites are meant.
type Finding struct {
	Fit       string         `json:"fit"`         // how the steps are divided, one of the Fits
	Cards     []colour.Value `json:"cards"`       // the painter's grey cards, rising; none at first
	Clean     bool           `json:"clean"`       // steps are shown without specks
	Smallest  place.MM       `json:"smallest_mm"` // of flat shapes and specks; 0 goes by the canvas
	Count     int            `json:"count"`       // about how many flat shapes; 0 goes by Smallest
	Each      int            `json:"each"`        // piles a step; 0 finds as many as there are
	Wheel     colour.Wheel   `json:"wheel"`       // of the opposites
	White     bool           `json:"white"`       // white counts as neutral, instead of one found
	Picked    bool           `json:"picked"`      // the look's neutral was touched by the painter
	Focal     int            `json:"focal"`       // the mark where the eye is to go, 0 for none
	FocalLast bool           `json:"focal_last"`  // it is blocked in last
	Second    int            `json:"second"`      // the mark where it is to go from there, 0 for none
}

// The ways to divide the values into steps.
const (
	FitEqual = "equal" // equal in lightness
	FitBest  = "best"  // those that stray least from the picture
	FitArea  = "area"  // equal areas
	FitCards = "cards" // the painter's own cards
	FitHand  = "hand"  // edges dragged by hand
)

// Fits are all ways to divide.
func Fits() []string { return []string{FitEqual, FitBest, FitArea, FitCards, FitHand} }

// What is shown in place of the photograph.
const (
	ShownFlat  = "flat"  // the picture in flat shapes
	ShownEdges = "edges" // its edges
	ShownPiles = "piles" // every colour as its pile
)

// Parts are the parts of the trays that were last looked at.
type Parts struct {
	Value  string `json:"value"`
	Colour string `json:"colour"`
	Shape  string `json:"shape"`
	Line   string `json:"line"`
	Place  string `json:"place"`
	Check  string `json:"check"`
	Study  string `json:"study"`
}

// The parts of the trays, the first of each being the one to begin with.
var (
	ValueParts  = []string{"steps", "filter", "contrasts"}
	ColourParts = []string{"temperature", "opposites", "piles"}
	ShapeParts  = []string{"flat", "edges"}
	LineParts   = []string{"canvas", "stretcher", "straighten", "lines", "crossings", "chalk"}
	PlaceParts  = []string{"mark", "span", "list", "size"}
	CheckParts  = []string{"camera", "cards", "palette", "painting", "stages"}
	StudyParts  = []string{"study", "studies", "board", "log", "sheets"}
)

// SmallestSize is the smallest size on the canvas: the painter's, or the usual one.
func (d Document) SmallestSize() place.MM {
	if d.Finding.Smallest > 0 {
		return d.Finding.Smallest
	}
	return shape.SmallestFor(d.Size())
}

// MostCards is how many grey cards there can be.
const MostCards = shape.MostSteps

// MostShapes bounds how many flat shapes are asked for.
const MostShapes = 2000

// newFinding is a new study's, and what an older document has.
func newFinding() Finding { return Finding{Fit: FitEqual, Cards: []colour.Value{}} }

// WithFinding is the study with other questions, brought within what they may be.
func (d Document) WithFinding(f Finding) Document {
	if !slices.Contains(Fits(), f.Fit) {
		f.Fit = FitEqual
	}
	if !(f.Smallest >= 0) || !finite(float64(f.Smallest)) {
		f.Smallest = 0
	}
	f.Count = min(max(f.Count, 0), MostShapes)
	f.Each = min(max(f.Each, 0), 9)
	f.Cards = slices.Clone(f.Cards)
	if f.Cards == nil {
		f.Cards = []colour.Value{}
	}
	d.Finding = f
	return d
}

// WithShown is the study with something in place of the photograph, "" for nothing.
func (d Document) WithShown(what string) Document {
	d.Shown = what
	return d
}

// WithPart is the study with a tray turned to one of its parts.
func (d Document) WithPart(part string) Document {
	switch {
	case slices.Contains(ValueParts, part):
		d.Parts.Value = part
	case slices.Contains(ColourParts, part):
		d.Parts.Colour = part
	case slices.Contains(ShapeParts, part):
		d.Parts.Shape = part
	case slices.Contains(LineParts, part):
		d.Parts.Line = part
	case slices.Contains(PlaceParts, part):
		d.Parts.Place = part
	case slices.Contains(CheckParts, part):
		d.Parts.Check = part
	case slices.Contains(StudyParts, part):
		d.Parts.Study = part
	}
	return d
}

// newParts are the parts that trays begin with.
func newParts() Parts {
	return Parts{
		Value: ValueParts[0], Colour: ColourParts[0], Shape: ShapeParts[0],
		Line: LineParts[0], Place: PlaceParts[0], Check: CheckParts[0], Study: StudyParts[0],
	}
}

func (d Document) checkFinding() error {
	f := d.Finding
	switch {
	case !slices.Contains(Fits(), f.Fit):
		return fmt.Errorf("a division of the values by %q is not known", clip(f.Fit))
	case f.Cards == nil || len(f.Cards) > MostCards:
		return fmt.Errorf("%d grey cards are not 0 to %d", len(f.Cards), MostCards)
	case !within(float64(f.Smallest), 0, float64(largest)):
		return fmt.Errorf("a smallest size of %v mm cannot be", f.Smallest)
	case f.Count < 0 || f.Count > MostShapes:
		return fmt.Errorf("%d flat shapes are not 0 to %d", f.Count, MostShapes)
	case f.Each < 0 || f.Each > 9:
		return fmt.Errorf("%d piles a step are not 0 to 9", f.Each)
	case !slices.Contains(colour.Wheels(), f.Wheel):
		return fmt.Errorf("wheel %d is not known", f.Wheel)
	case f.Focal < 0 || f.Focal > highest || f.Second < 0 || f.Second > highest:
		return fmt.Errorf("the focal point or the second one cannot be mark %d or %d", f.Focal, f.Second)
	case !slices.Contains([]string{"", ShownFlat, ShownEdges, ShownPiles}, d.Shown):
		return fmt.Errorf("%q cannot be shown", clip(d.Shown))
	}
	for i, v := range f.Cards {
		if !within(float64(v), 0, 10) || i > 0 && v <= f.Cards[i-1] {
			return fmt.Errorf("grey card %v is no value from 0 to 10, or is not lighter than the one before", v)
		}
	}
	return d.Parts.check()
}

// check holds every tray to its parts.
func (p Parts) check() error {
	for _, tray := range []struct {
		part  string
		known []string
	}{
		{p.Value, ValueParts}, {p.Colour, ColourParts}, {p.Shape, ShapeParts},
		{p.Line, LineParts}, {p.Place, PlaceParts}, {p.Check, CheckParts}, {p.Study, StudyParts},
	} {
		if !slices.Contains(tray.known, tray.part) {
			return fmt.Errorf("part %q of a tray is not known", clip(tray.part))
		}
	}
	return nil
}

// upgraded is a document of an older form in the newest.
func upgraded(d Document) Document {
	if d.Format < 2 {
		d.Finding, d.Parts = newFinding(), newParts()
	}
	if d.Format < 3 {
		first := newParts()
		d.Parts.Line, d.Parts.Place, d.Parts.Study = first.Line, first.Place, first.Study
		d.Righting, d.Hold = newRighting(), HoldCanvas
		d.Spans, d.NextSpan, d.Parting = []Span{}, 1, 1
		d.Lines, d.Eye, d.Sheets = newLines(), []EyePath{}, newSheets()
	}
	if d.Format < 4 {
		d.Board, d.Log, d.NextEntry, d.Compared = newBoard(stem(d.Reference.Name)), []Entry{}, 1, []int{}
	}
	if d.Format < 5 {
		d.Parts.Check, d.Palette = newParts().Check, newPalette()
		d.Log, d.Checked = withOutlines(d.Log), []Checked{}
	}
	d.Format = Format
	return d
}

// checkDivision holds the steps of a look to their number: none of their own, or as
// many as are shown.
func checkDivision(l look.Look) error {
	if n := l.Division.Count(); n != 0 && n != l.Steps {
		return fmt.Errorf("%d steps are divided in %d", l.Steps, n)
	}
	if !slices.Contains(colour.Sheets(), l.Sheet) {
		return fmt.Errorf("red sheet %d is not known", l.Sheet)
	}
	return nil
}
