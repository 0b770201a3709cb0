package check

import (
	"cmp"
	"math"
	"slices"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// ShapeValue is the value of one shape of the reference, and what it has on the
// painting once the exposure of the photograph is fitted.
type ShapeValue struct {
	At                place.CanvasPoint // inside it, on the reference
	Share             float64           // of the canvas
	Reference         colour.Lightness
	Painting          colour.Lightness // in the reference's terms
	StepReference     int              // from 1, the darkest
	StepPainting      int
	Difference        float64 // steps, over 0 where the painting is too light
	Within            float64 // steps, one standard deviation
	reference, stored colour.Linear
	id                int // of the shape in the flattened reference
}

// Off says whether the value is surely half a step or more off.
func (v ShapeValue) Off() bool {
	return math.Abs(v.Difference) >= halfStep && math.Abs(v.Difference) > sureValue*v.Within
}

// Values is what of the painting has the wrong value.
type Values struct {
	Shapes []ShapeValue // what is off most first
	// Range is how wide the painting's lightnesses lie, in those of the reference:
	// under 1 compressed.
	Range, RangeWithin float64
	// Broken are pairs of shapes, by index, whose order from dark to light is turned
	// round: the first is the lighter on the reference, and the darker painted.
	Broken [][2]int

	flat *shape.Flat
}

const (
	halfStep  = 0.5
	sureValue = 2.5 // standard deviations
	valueSide = workSide / 2
	fewShapes = 5    // without which exposure cannot be told from values
	mostOff   = 0.3  // of the area compared that is off, without cards
	blindTone = 0.12 // of the range that a camera's own curve may have made, without cards
)

// compareValues measures the shapes of the reference on both pictures, the painting's
// where the drawing says that they lie. carded says that the painting's light is that
// of grey cards and not the camera's.
func compareValues(ref, painting lit, d Drawing, canvas place.Size, steps shape.Steps, smallest place.MM, carded bool) (Values, error) {
	small := ref.stored()
	flat, err := flatShapes(small, canvas, steps, smallest)
	if err != nil {
		return Values{}, err
	}
	shapes, parts := pieces(ref, painting, flat, d, canvas)
	if len(shapes) < fewShapes {
		return Values{}, &Declined{"the reference has too few shapes of one value to compare", "ask for more steps, or for smaller shapes", WantsNothing}
	}
	v := Values{Shapes: shapes, flat: flat}
	v.read(parts, float64(canvas.Height/canvas.Width), steps, carded)
	if v.offShare() > mostOff && !carded {
		return Values{}, &Declined{"so many values disagree that what is off cannot be told from how the photograph was exposed", "show grey cards beside the canvas", WantsCards}
	}
	slices.SortStableFunc(v.Shapes, func(a, b ShapeValue) int {
		return cmp.Compare(math.Abs(b.Difference)-b.Within, math.Abs(a.Difference)-a.Within)
	})
	v.order()
	return v, nil
}

// offShare is the part of the area compared that is surely off.
func (v *Values) offShare() float64 {
	var off, all float64
	for _, s := range v.Shapes {
		all += s.Share
		if s.Off() {
			off += s.Share
		}
	}
	return off / all
}

// flatShapes are the shapes of a picture as "shapes" finds them.
func flatShapes(p *photo.Picture, canvas place.Size, steps shape.Steps, smallest place.MM) (*shape.Flat, error) {
	m := place.Mapping{Crop: place.WholeCrop(p.Size()), Canvas: canvas}
	sigma := float64(shape.SquintFor(smallest)/m.Pixel()) / 2.355 // the squint is full width at half maximum
	l := litOf(p)
	soft := newLit(l.width, l.height)
	for k := range 3 {
		one := newPlane(l.width, l.height)
		for i := range one.v {
			one.v[i] = l.rgb[3*i+k]
		}
		one = one.blurred(max(sigma, 0.3))
		for i := range one.v {
			soft.rgb[3*i+k] = one.v[i]
		}
	}
	squinted := soft.stored()
	h, err := shape.Flatten(shape.Scene{Plain: p, Squinted: squinted, Labels: shape.StepLabels(squinted, colour.EyeMeter, steps), Sigma: sigma}, nil)
	if err != nil {
		return nil, err
	}
	return h.Smallest(shape.SmallestArea(smallest, m)), nil
}

// greyCode is a lightness as the three codes of a grey.
func greyCode(l colour.Lightness) (r, g, b uint8) {
	c := colour.GreyOf(l)
	return c.R, c.G, c.B
}

// stepWidth is the mean width of steps in L*.
func stepWidth(s shape.Steps) float64 { return 100 / float64(s.Count()) }

// order finds the pairs whose order is turned round, surely.
func (v *Values) order() {
	for i, a := range v.Shapes {
		for j, b := range v.Shapes {
			apart := float64(a.Reference - b.Reference)
			painted := float64(b.Painting - a.Painting)
			if apart > 4 && painted > 4 && (a.Off() || b.Off()) {
				v.Broken = append(v.Broken, [2]int{i, j})
			}
		}
	}
}
