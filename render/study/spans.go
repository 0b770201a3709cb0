package study

import (
	"fmt"
	"slices"

	"maulstick/render/place"
)

// Span is a span between two marks.
type Span struct {
	ID   int    `json:"id"` // never used twice in a study, from 1
	Name string `json:"name"`
	From int    `json:"from"` // numbers of marks
	To   int    `json:"to"`
}

// MostSpans is how many spans a study holds, MostEye how many places the path of the
// eye.
const (
	MostSpans = 1000
	MostEye   = 4000
)

// SpanOf is the span of that number, and whether there is one.
func (d Document) SpanOf(id int) (Span, bool) {
	i := slices.IndexFunc(d.Spans, func(s Span) bool { return s.ID == id })
	if i < 0 {
		return Span{}, false
	}
	return d.Spans[i], true
}

// Spanned is a span on the canvas.
func (d Document) Spanned(s Span) (place.Span, bool) {
	from, ok := d.Mark(s.From)
	to, ok2 := d.Mark(s.To)
	if !ok || !ok2 {
		return place.Span{}, false
	}
	return d.Mapping().Span(place.PhotoPoint{X: from.X, Y: from.Y}, place.PhotoPoint{X: to.X, Y: to.Y}, from.Touch, to.Touch), true
}

// WithSpan adds a span between two marks and chooses it; the same span in either
// direction is not added twice.
func (d Document) WithSpan(from, to int) Document {
	if d.find(from) < 0 || d.find(to) < 0 || from == to {
		return d
	}
	for _, s := range d.Spans {
		if s.From == from && s.To == to || s.From == to && s.To == from {
			d.Span = s.ID
			return d
		}
	}
	if len(d.Spans) >= MostSpans {
		return d
	}
	s := Span{ID: d.NextSpan, From: from, To: to}
	d.Spans = append(slices.Clone(d.Spans), s)
	d.NextSpan++
	d.Span = s.ID
	return d
}

// WithoutSpan is the study without a span; the one before it is chosen.
func (d Document) WithoutSpan(id int) Document {
	i := slices.IndexFunc(d.Spans, func(s Span) bool { return s.ID == id })
	if i < 0 {
		return d
	}
	d.Spans = slices.Delete(slices.Clone(d.Spans), i, i+1)
	if d.Unit == id {
		d.Unit = 0
	}
	if d.Span == id {
		d.Span = 0
		if len(d.Spans) > 0 {
			d.Span = d.Spans[max(i-1, 0)].ID
		}
	}
	return d
}

// ChoosingSpan is the study with a span chosen, or none.
func (d Document) ChoosingSpan(id int) Document {
	if _, ok := d.SpanOf(id); !ok {
		id = 0
	}
	d.Span = id
	return d
}

// ComparedWith is the study with a span as the unit of others, or none.
func (d Document) ComparedWith(id int) Document {
	if _, ok := d.SpanOf(id); !ok {
		id = 0
	}
	d.Unit = id
	return d
}

// NamedSpan is the study with a span called otherwise.
func (d Document) NamedSpan(id int, name string) Document {
	i := slices.IndexFunc(d.Spans, func(s Span) bool { return s.ID == id })
	if i < 0 {
		return d
	}
	d.Spans = slices.Clone(d.Spans)
	d.Spans[i].Name = tidy(name)
	return d
}

// Parted is the study with its chosen span divided in 1, 2 or 3.
func (d Document) Parted(n int) Document {
	d.Parting = min(max(n, 1), 3)
	return d
}

// ShiftedMark is the study with a mark further up (by under 0) or down in the list.
func (d Document) ShiftedMark(id, by int) Document {
	d.Marks = shifted(d.Marks, d.find(id), by)
	return d
}

// ShiftedSpan is the same for a span.
func (d Document) ShiftedSpan(id, by int) Document {
	d.Spans = shifted(d.Spans, slices.IndexFunc(d.Spans, func(s Span) bool { return s.ID == id }), by)
	return d
}

// shifted is a list with the item at i moved.
func shifted[T any](list []T, i, by int) []T {
	if i < 0 {
		return list
	}
	item, to := list[i], min(max(i+by, 0), len(list)-1)
	return slices.Insert(slices.Delete(slices.Clone(list), i, i+1), to, item)
}

// WithEye is the study with one stroke more of the path of the eye. Strokes of
// under two places, or more places than there is room for, change nothing.
func (d Document) WithEye(path EyePath) Document {
	count := len(path)
	for _, p := range d.Eye {
		count += len(p)
	}
	if len(path) < 2 || count > MostEye {
		return d
	}
	path = slices.Clone(path)
	for i, p := range path {
		path[i] = d.inside(p)
	}
	d.Eye = append(slices.Clone(d.Eye), path)
	return d
}

// WithoutEye is the study without the path of the eye.
func (d Document) WithoutEye() Document {
	d.Eye = []EyePath{}
	return d
}

// withoutMarked drops the spans and lines that went through a mark.
func (d Document) withoutMarked(id int) Document {
	for _, s := range d.Spans {
		if s.From == id || s.To == id {
			d = d.WithoutSpan(s.ID)
		}
	}
	for i := len(d.Lines.Uses) - 1; i >= 0; i-- {
		if d.Lines.Uses[i].Mark == id {
			d = d.WithoutConstruction(i)
		}
	}
	return d
}

func (d Document) checkSpans() error {
	switch {
	case d.Spans == nil || d.Eye == nil:
		return fmt.Errorf("the list of spans or the path of the eye is missing")
	case len(d.Spans) > MostSpans:
		return fmt.Errorf("%d spans are more than %d", len(d.Spans), MostSpans)
	case d.NextSpan < 1 || d.NextSpan > highest:
		return fmt.Errorf("next_span %d is not 1 to %d", d.NextSpan, highest)
	case d.Parting < 1 || d.Parting > 3:
		return fmt.Errorf("a span is not divided in %d", d.Parting)
	}
	seen := map[int]bool{0: true}
	for _, s := range d.Spans {
		if s.ID < 1 || s.ID >= d.NextSpan || seen[s.ID] {
			return fmt.Errorf("span number %d is used twice or was never given", s.ID)
		}
		seen[s.ID] = true
		if d.find(s.From) < 0 || d.find(s.To) < 0 || s.From == s.To {
			return fmt.Errorf("span %d is from mark %d to mark %d", s.ID, s.From, s.To)
		}
		if err := checkName("a span's name", s.Name); err != nil {
			return err
		}
	}
	if !seen[d.Span] || !seen[d.Unit] {
		return fmt.Errorf("the chosen span %d or the unit %d is not there", d.Span, d.Unit)
	}
	return d.checkEye()
}

func (d Document) checkEye() error {
	count, size := 0, d.Pixels()
	for _, path := range d.Eye {
		if count += len(path); len(path) < 2 || count > MostEye {
			return fmt.Errorf("a stroke of the path of the eye has %d places", len(path))
		}
		for _, p := range path {
			if !within(p.X, 0, float64(size.Width)) || !within(p.Y, 0, float64(size.Height)) {
				return fmt.Errorf("the path of the eye at %v, %v is not on the photograph", p.X, p.Y)
			}
		}
	}
	return nil
}
