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
	halfStep   = 0.5
	sureValue  = 2.5 // standard deviations
	valueSide  = workSide / 2
	rimPixels  = 5     // of a shape that are left out at its rim
	leastInner = 60    // pixels of a shape within that
	leastFit   = 2.0   // L* that shapes stray by at least
	fewShapes  = 8     // without which exposure cannot be told from values
	smallDoubt = 3.0   // L* that a shape of a hundredth is in doubt for what lies about it
	flareDoubt = 0.006 // of white: light in the lens that is not the painting's
	mostOff    = 0.3   // of the area compared that is off, without cards
	blindTone  = 0.12  // of the range that a camera's own curve may have made, without cards
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
	shapes := measured(ref, painting, flat, d, canvas)
	if len(shapes) < fewShapes {
		return Values{}, &Declined{"the reference has too few shapes of one value to compare", "ask for more steps, or for smaller shapes"}
	}
	v := Values{Shapes: shapes, flat: flat}
	v.fit(canvas, steps, carded)
	if v.share(ShapeValue.Off) > mostOff && !carded {
		return Values{}, &Declined{"so many values disagree that what is off cannot be told from how the photograph was exposed", "show grey cards beside the canvas, and give them with -cards"}
	}
	slices.SortStableFunc(v.Shapes, func(a, b ShapeValue) int {
		return cmp.Compare(math.Abs(b.Difference)-b.Within, math.Abs(a.Difference)-a.Within)
	})
	v.order()
	return v, nil
}

// share is the part of the area compared that some shapes have.
func (v *Values) share(some func(ShapeValue) bool) float64 {
	var part, all float64
	for _, s := range v.Shapes {
		all += s.Share
		if some(s) {
			part += s.Share
		}
	}
	return part / all
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

// measured is the mean light of the inside of each shape, on both pictures.
func measured(ref, painting lit, flat *shape.Flat, d Drawing, canvas place.Size) []ShapeValue {
	type sum struct {
		n        int
		from, to colour.Linear
	}
	sums := make([]sum, len(flat.Shapes))
	pixel := float64(canvas.Width) / float64(flat.Width)
	moved := d.moves(canvas, flat.Width, flat.Height)
	var rgb [3]float32
	for y := rimPixels; y < flat.Height-rimPixels; y++ {
		for x := rimPixels; x < flat.Width-rimPixels; x++ {
			i := y*flat.Width + x
			id := flat.IDs[i]
			if !inside(flat, x, y, id) {
				continue
			}
			dx, dy := moved.at(x, y)
			u, v := float64(x)+0.5+dx/pixel, float64(y)+0.5+dy/pixel
			if u < rimPixels || v < rimPixels || u > float64(flat.Width-rimPixels) || v > float64(flat.Height-rimPixels) {
				continue
			}
			painting.read(u, v, rgb[:])
			s, c := &sums[id], ref.light(i)
			s.n++
			s.from.R, s.from.G, s.from.B = s.from.R+c.R, s.from.G+c.G, s.from.B+c.B
			s.to.R, s.to.G, s.to.B = s.to.R+float64(rgb[0]), s.to.G+float64(rgb[1]), s.to.B+float64(rgb[2])
		}
	}
	var found []ShapeValue
	for id, s := range sums {
		if s.n < leastInner {
			continue
		}
		n := float64(s.n)
		at := flat.Shapes[id].Place
		v := ShapeValue{
			At:    place.CanvasPoint{X: place.MM(at.X * pixel), Y: place.MM(at.Y * pixel)},
			Share: flat.Shapes[id].Share, id: id,
			reference: colour.Linear{R: s.from.R / n, G: s.from.G / n, B: s.from.B / n},
			stored:    colour.Linear{R: s.to.R / n, G: s.to.G / n, B: s.to.B / n},
		}
		v.Reference, v.Painting = v.reference.Luminance().Lightness(), v.stored.Luminance().Lightness()
		found = append(found, v)
	}
	return found
}

// inside says whether a pixel lies well within its shape.
func inside(flat *shape.Flat, x, y int, id uint32) bool {
	for _, o := range [8][2]int{{-5, 0}, {5, 0}, {0, -5}, {0, 5}, {-4, -4}, {4, -4}, {-4, 4}, {4, 4}} {
		if flat.IDs[(y+o[1])*flat.Width+x+o[0]] != id {
			return false
		}
	}
	return true
}

// moves is how far the parts of a drawing are off, on a coarse grid.
type moves struct {
	cell, columns int
	off           [][2]float64 // millimetres
}

func (m moves) at(x, y int) (dx, dy float64) {
	o := m.off[y/m.cell*m.columns+x/m.cell]
	return o[0], o[1]
}

// moves follows the whole, and near matches what they say beyond it.
func (d Drawing) moves(canvas place.Size, width, height int) moves {
	const cell = 12
	m := moves{cell: cell, columns: width/cell + 1}
	pixel := float64(canvas.Width) / float64(width)
	reach := 1.2 * windowPart * float64(max(canvas.Width, canvas.Height))
	for j := range height/cell + 1 {
		for i := range m.columns {
			at := place.CanvasPoint{X: place.MM((float64(i) + 0.5) * cell * pixel), Y: place.MM((float64(j) + 0.5) * cell * pixel)}
			x, y := fromMiddle(at, canvas)
			dx, dy := d.Whole.at(x, y)
			var weight, sx, sy float64
			for _, match := range d.Matches {
				r := math.Hypot(float64(match.At.X-at.X), float64(match.At.Y-at.Y)) / reach
				if r >= 1 {
					continue
				}
				rx, ry := miss(d.Whole, match, canvas)
				k := (1 - r*r) * (1 - r*r)
				weight, sx, sy = weight+k, sx+k*rx, sy+k*ry
			}
			// Where little is matched, the whole counts.
			m.off = append(m.off, [2]float64{dx + sx/(weight+0.5), dy + sy/(weight+0.5)})
		}
	}
	return m
}

// terms are what the lightness of a painting on a photograph is made of, beside the
// reference's: exposure, contrast, a bend and an S of the camera's curve, and light
// that rises across, downwards and towards the middle.
const terms = 7

// exposure is how the photograph shows lightness.
type exposure [terms]float64

// row is the terms at a place of the canvas, for a lightness of the reference.
func row(l colour.Lightness, at place.CanvasPoint, canvas place.Size) [terms]float64 {
	u := float64(l) / 100
	x, y := 2*float64(at.X/canvas.Width)-1, 2*float64(at.Y/canvas.Height)-1
	light := (float64(l) + 16) / 66 // what a part more light adds, 1 at L* 50
	return [terms]float64{light, u - 0.5, 4 * u * (1 - u), 8 * u * (1 - u) * (2*u - 1), light * x, light * y, light * (x*x + y*y - 0.67)}
}

// fit fits the exposure to all shapes, those that stray counting less and in the end
// not at all, and reads what each is off.
func (v *Values) fit(canvas place.Size, steps shape.Steps, carded bool) {
	// How far each term may stray, in L*: contrast about that of the reference.
	loose := [terms]float64{60, 14, 5, 5, 4, 4, 4}
	if carded {
		loose = [terms]float64{8, 25, 2, 2, 2, 2, 2}
	}
	n := len(v.Shapes)
	rows, off := make([][terms]float64, n), make([]float64, n)
	for i, s := range v.Shapes {
		rows[i] = row(s.Reference, s.At, canvas)
		off[i] = float64(s.Painting - s.Reference)
	}
	var e exposure
	left := func(i int) float64 {
		r := off[i]
		for k := range terms {
			r -= e[k] * rows[i][k]
		}
		return r
	}
	spread := 8.0
	var covariance []float64
	for round := range 40 {
		m, b := make([]float64, terms*terms), make([]float64, terms)
		for i, s := range v.Shapes {
			r := left(i)
			w := 1 / max(math.Abs(r), 2) // least absolute differences to begin with
			if round >= 20 {
				k := r / (3.5 * spread)
				w = math.Pow(max(1-k*k, 0), 2)
			}
			w *= math.Sqrt(min(s.Share, 0.1)/0.1) + 0.2
			for j := range terms {
				for k := range terms {
					m[terms*j+k] += w * rows[i][j] * rows[i][k]
				}
				b[j] += w * rows[i][j] * off[i]
			}
		}
		for j := range terms {
			ridge := 3.0 // L* times least absolute weights
			if round >= 20 {
				ridge = spread * spread
			}
			m[terms*j+j] += ridge / (loose[j] * loose[j])
		}
		covariance = slices.Clone(m)
		if !solve(m, b) {
			break
		}
		copy(e[:], b)
		lengths := make([]float64, n)
		for i := range lengths {
			lengths[i] = math.Abs(left(i))
		}
		spread = max(1.4826*median(lengths), leastFit)
	}
	// Less light on the same painting lies closer in lightness, too: that is exposure.
	exposed := 1 + e[0]/66
	contrast := exposed + e[1]/100
	for i := range v.Shapes {
		s := &v.Shapes[i]
		step := stepWidth(steps)
		difference := left(i) / max(contrast, 0.3)
		// What the fit itself may be off there.
		x := make([]float64, terms)
		copy(x, rows[i][:])
		lean := 0.0
		if m := slices.Clone(covariance); solve(m, x) {
			for k := range terms {
				lean += x[k] * rows[i][k]
			}
		}
		s.Difference = difference / step
		small := smallDoubt * math.Sqrt(0.01/max(s.Share, 1e-4))
		flare := flareDoubt * 116 / 3 / math.Pow(max(float64(s.Reference.Luminance()), 0.01), 2.0/3)
		doubt := spread*spread*(1+max(lean, 0)) + small*small + flare*flare
		s.Within = math.Sqrt(doubt) / max(contrast, 0.3) / step
		s.Painting = min(max(s.Reference+colour.Lightness(difference), 0), 100)
		s.StepReference = steps.Of(colour.EyeMeter.Read(greyCode(s.Reference)))
		s.StepPainting = steps.Of(colour.EyeMeter.Read(greyCode(s.Painting)))
	}
	v.Range = contrast / exposed
	x := make([]float64, terms)
	x[1] = 1
	if solve(covariance, x) {
		v.RangeWithin = spread * math.Sqrt(max(x[1], 0)) / 100 / exposed
	}
	if !carded {
		v.RangeWithin = math.Hypot(v.RangeWithin, blindTone)
	}
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
