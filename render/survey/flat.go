package survey

import (
	"bytes"
	"errors"
	"fmt"

	"maulstick/render"
	"maulstick/render/look"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/wire"
)

const (
	// within is how far outlines are off the shapes at most, in pixels of the copy.
	within = 1
	// stroke is how thick the outlines are drawn.
	stroke place.MM = 0.5
	// nearFocal is how near to the focal point shapes belong to the focal area, as a
	// part of the copy's long side.
	nearFocal = 10
)

// mapping carries places of the copy to the canvas.
func (s *Surveyor) mapping(a Ask) place.Mapping {
	return place.Mapping{Crop: s.copy.whole(), Canvas: a.Canvas}
}

// squint is the width of the squint before the shapes.
func (a Ask) squint() place.MM {
	if a.Count > 0 {
		return shape.SquintForCount(a.Canvas)
	}
	return shape.SquintFor(a.Smallest)
}

// Base is the same for questions about flat shapes that one State answers: it
// leaves out what a hierarchy answers at once.
func (a Ask) Base() string {
	a.Count, a.Focal, a.Last, a.Outlines = min(a.Count, 1), nil, false, false
	if a.Count > 0 {
		a.Smallest = 0
	}
	return a.Key()
}

// flat finds the flat shapes.
func (s *Surveyor) flat(a Ask, answer *Answer, progress func(float64) error) error {
	if err := s.flatten(a, progress); err != nil {
		return err
	}
	m := s.mapping(a)
	f := s.shapesOf(a, m)
	answer.Flat = s.shapes(a, f, m)
	answer.Flat.Fewest, answer.Flat.Most = s.hierarchy.Range()
	answer.Picture = f.Draw()
	if !a.Outlines {
		return nil
	}
	var out bytes.Buffer
	d := shape.Drawing{Outline: f.Trace().Simplify(within), Mapping: m, Stroke: stroke}
	if err := d.WriteSVG(&out); err != nil {
		return err
	}
	answer.Flat.SVG = out.String()
	return nil
}

// shapesOf are the flat shapes that are asked for.
func (s *Surveyor) shapesOf(a Ask, m place.Mapping) *shape.Flat {
	if a.Count > 0 {
		return s.hierarchy.About(a.Count)
	}
	return s.hierarchy.Smallest(shape.SmallestArea(a.Smallest, m))
}

// flat is the question about the flat shapes behind one about edges.
func (a Ask) flat() Ask {
	a.Kind = Flat
	return a
}

// flatten makes the hierarchy unless it is there.
func (s *Surveyor) flatten(a Ask, progress func(float64) error) error {
	if s.hierarchy != nil && s.of == a.Base() {
		return nil
	}
	m := s.mapping(a)
	squinted, err := render.SquintedCopy(s.copy.Picture, m.Canvas, a.squint(), part(progress, 0, 0.3))
	if err != nil {
		return err
	}
	h, err := shape.Flatten(shape.Scene{
		Plain: s.copy.Picture, Squinted: squinted, Labels: shape.StepLabels(squinted, a.meter(), a.Steps),
		Sigma: look.Sigma(float64(a.squint() / m.Pixel())),
	}, part(progress, 0.3, 1))
	if err != nil {
		return err
	}
	s.hierarchy, s.of = h, a.Base()
	return nil
}

// State is what the next question about flat shapes can be answered from, to be
// kept; nil if there is nothing.
func (s *Surveyor) State() ([]byte, error) {
	if s.hierarchy == nil {
		return nil, nil
	}
	shapes, err := s.hierarchy.MarshalBinary()
	if err != nil {
		return nil, err
	}
	return wire.Write(kept, func(c *wire.Code) {
		wire.Texts(c, &s.of)
		c.Bytes(&shapes)
	})
}

// SetState takes back a State that was kept, of a question that has the same Base
// about the same copy. One that is damaged, or of another question or size, is
// refused and changes nothing.
func (s *Surveyor) SetState(a Ask, data []byte) error {
	var of string
	var shapes []byte
	if err := wire.Read(kept, data, func(c *wire.Code) {
		wire.Texts(c, &of)
		c.Bytes(&shapes)
	}); err != nil {
		return err
	}
	if of != a.Base() {
		return errors.New("taking back kept shapes: they belong to another question")
	}
	h := new(shape.Hierarchy)
	if err := h.UnmarshalBinary(shapes); err != nil {
		return err
	}
	if got, want := h.Size(), s.copy.Picture.Size(); got != want {
		return fmt.Errorf("taking back kept shapes: they are of %d x %d pixels, the copy has %d x %d", got.Width, got.Height, want.Width, want.Height)
	}
	s.hierarchy, s.of = h, a.Base()
	return nil
}

// shapes tells the shapes.
func (s *Surveyor) shapes(a Ask, f *shape.Flat, m place.Mapping) *Shapes {
	pixel := shape.PixelArea(m)
	out := &Shapes{Count: len(f.Shapes)}
	for _, of := range f.Shapes[:min(len(f.Shapes), MostListed)] {
		out.Shapes = append(out.Shapes, FlatShape{
			Step: int(of.Label), Share: of.Share, Area: pixel * float64(of.Area), Colour: of.Colour, Value: of.Value, At: s.copy.onPhoto(of.Place),
		})
	}
	for i, k := range f.BlockIn(s.focal(a)) {
		if k < len(out.Shapes) {
			out.Shapes[k].Order = i + 1
		}
	}
	return out
}

// focal is the area where the eye is to go.
func (s *Surveyor) focal(a Ask) shape.FocalArea {
	if a.Focal == nil {
		return shape.FocalArea{}
	}
	area := shape.FocalArea{
		When: shape.FocalFirst, At: s.copy.onCopy(*a.Focal),
		Near: float64(max(s.copy.Picture.Width, s.copy.Picture.Height)) / nearFocal,
	}
	if a.Last {
		area.When = shape.FocalLast
	}
	return area
}
