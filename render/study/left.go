package study

import (
	"fmt"
	"slices"

	"maulstick/render/colour"
	"maulstick/render/line"
	"maulstick/render/place"
)

// Left is a reference of the board that is not on the easel, with all that was done on
// it: how it is set right and cropped, what is marked, measured and drawn on it, how it
// was looked at. What belongs to the canvas, its size and the lines that divide it, is
// the study's and stays on the easel.
type Left struct {
	Reference Reference      `json:"reference"`
	Righting  Righting       `json:"righting"`
	Own       place.Crop     `json:"crop"`
	Hold      string         `json:"hold"`
	Marks     []Mark         `json:"marks"`
	Chosen    int            `json:"chosen"`
	NextMark  int            `json:"next_mark"`
	Spans     []Span         `json:"spans"`
	Span      int            `json:"span"`
	Unit      int            `json:"unit"`
	NextSpan  int            `json:"next_span"`
	Parting   int            `json:"parting"`
	Through   []Construction `json:"through"` // lines through its marks
	Eye       []EyePath      `json:"eye"`
	View      View           `json:"view"`
	Focal     int            `json:"focal"`
	Second    int            `json:"second"`
	Picked    bool           `json:"picked"`
	White     bool           `json:"white"`
	Neutral   colour.SRGB    `json:"neutral"`
}

// newLeft is a reference that nothing has been done on.
func newLeft(ref Reference) Left {
	return Left{
		Reference: ref, Righting: newRighting(), Hold: HoldCanvas, Marks: []Mark{}, NextMark: 1,
		Spans: []Span{}, NextSpan: 1, Parting: 1, Through: []Construction{}, Eye: []EyePath{},
		View: View{Fit: true, Zoom: 1, CentreX: float64(ref.Width) / 2, CentreY: float64(ref.Height) / 2},
	}
}

// left is what is on the easel, as it is set aside.
func (d Document) left() Left {
	through := slices.DeleteFunc(slices.Clone(d.Lines.Uses), func(c Construction) bool { return !c.Through() })
	return Left{
		Reference: d.Reference, Righting: d.Righting, Own: d.Own, Hold: d.Hold,
		Marks: d.Marks, Chosen: d.Chosen, NextMark: d.NextMark,
		Spans: d.Spans, Span: d.Span, Unit: d.Unit, NextSpan: d.NextSpan, Parting: d.Parting,
		Through: append([]Construction{}, through...), Eye: d.Eye, View: d.View,
		Focal: d.Finding.Focal, Second: d.Finding.Second,
		Picked: d.Finding.Picked, White: d.Finding.White, Neutral: d.Look.Neutral,
	}
}

// holding is the study with a reference that was set aside on the easel, and what was
// there gone.
func (d Document) holding(l Left) Document {
	d.Reference, d.Righting, d.Own, d.Hold = l.Reference, l.Righting, l.Own, l.Hold
	d.Marks, d.Chosen, d.NextMark = l.Marks, l.Chosen, l.NextMark
	d.Spans, d.Span, d.Unit, d.NextSpan, d.Parting = l.Spans, l.Span, l.Unit, l.NextSpan, l.Parting
	d.Eye, d.View = l.Eye, l.View
	d.Finding.Focal, d.Finding.Second = l.Focal, l.Second
	d.Finding.Picked, d.Finding.White, d.Look.Neutral = l.Picked, l.White, l.Neutral
	lines := d.Lines
	lines.Uses = slices.DeleteFunc(slices.Clone(lines.Uses), Construction.Through)
	for _, c := range l.Through {
		if len(lines.Uses) < line.MostUses {
			lines.Uses = append(lines.Uses, c)
		}
	}
	return d.WithLines(lines)
}

// takenUp is the study with a reference that was set aside on the easel. Its crop
// follows a canvas that has changed meanwhile, and the squint keeps its share.
func (d Document) takenUp(l Left) Document {
	before := longSide(d.Size())
	d = d.holding(l)
	if d.Own.Width > 0 && d.Hold == HoldCanvas && d.HasCanvas() {
		if aspect := d.Composition().Size.Aspect(); !alike(float64(d.Own.Aspect()), float64(aspect)) {
			d.Own = d.refitted(d.Own, aspect)
		}
	}
	return d.rescaled(before).WithView(d.View)
}

// alike says whether two proportions are the same but for rounding.
func alike(a, b float64) bool { return a-b < 1e-9*b && b-a < 1e-9*b }

// check holds a reference that was set aside to all that one on the easel is held to.
func (l Left) check(d Document) error {
	if l.Through == nil {
		return fmt.Errorf("the list of lines through marks is missing")
	}
	for _, c := range l.Through {
		if !c.Through() {
			return fmt.Errorf("%s goes through no mark", clip(string(c.Kind)))
		}
	}
	d.Lines = newLines()
	d = d.holding(l)
	return first(
		d.Reference.check, d.checkRighting, d.checkCrop, d.checkMarks, d.checkSpans, d.checkLines, d.checkView,
		func() error { return checkPoint(l.Focal) }, func() error { return checkPoint(l.Second) },
	)
}

// checkPoint holds the number of a mark that is a focal or second point.
func checkPoint(mark int) error {
	if mark < 0 || mark > highest {
		return fmt.Errorf("the focal point or the second one cannot be mark %d", mark)
	}
	return nil
}
