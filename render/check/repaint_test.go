package check

import (
	"math"
	"math/rand/v2"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// slipped is a part of a painting that was put off by a known amount: all within
// core millimetres of a place by the same, less and less to where it ends.
type slipped struct {
	x, y, dx, dy, core, rim float64
}

// at is how much of the slip a place has, 0..1.
func (s slipped) at(x, y float64) float64 {
	r := math.Hypot(x-s.x, y-s.y)
	if r <= s.core {
		return 1
	}
	t := min((r-s.core)/s.rim, 1)
	return 1 - t*t*(3-2*t)
}

// repaint is how a painter has painted a reference, as known amounts.
type repaint struct {
	canvas place.Size
	flat   float64 // how far shapes are filled flat, 0..1
	soft   float64 // what is not flat is softened by so many pixels
	whole  Whole
	slips  []slipped
	values []valued
	shapes *shape.Flat // of the reference, in its pixels
}

// valued is a shape whose value was changed by a number of steps.
type valued struct {
	id    int
	steps float64
}

// newRepaint is a repainting by chance, with up to three slips of 1/4 in to 1 1/4 in
// and up to three shapes a step off.
func newRepaint(t testing.TB, rng *rand.Rand, reference *photo.Picture, canvas place.Size) *repaint {
	t.Helper()
	even := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	r := &repaint{canvas: canvas, flat: even(0.4, 0.85), soft: even(1, 3)}
	r.whole = Whole{DX: place.MM(even(-12, 12)), DY: place.MM(even(-12, 12)), Turn: even(-1, 1), Across: even(0.975, 1.025), Down: even(0.975, 1.025)}
	w, h := float64(canvas.Width), float64(canvas.Height)
	for range 1 + rng.IntN(3) {
		size, way := even(6.35, 32), even(0, 2*math.Pi)
		s := slipped{x: even(0.18, 0.82) * w, y: even(0.18, 0.82) * h, dx: size * math.Cos(way), dy: size * math.Sin(way), core: even(55, 90), rim: 90}
		clear := true
		for _, o := range r.slips {
			clear = clear && math.Hypot(o.x-s.x, o.y-s.y) > o.core+s.core+o.rim+40
		}
		if clear {
			r.slips = append(r.slips, s)
		}
	}
	r.shapes = flattened(t, reference, canvas, 5+rng.IntN(3), shape.SmallestFor(canvas)/place.MM(even(1, 3)))
	var large []int
	for i, s := range r.shapes.Shapes {
		if s.Share > 0.008 && s.Share < 0.3 {
			large = append(large, i)
		}
	}
	rng.Shuffle(len(large), func(i, j int) { large[i], large[j] = large[j], large[i] })
	total := 0.0
	for _, id := range large[:min(len(large), 1+rng.IntN(3), len(r.shapes.Shapes)/5)] {
		s := r.shapes.Shapes[id]
		steps := 1.0
		if s.Lightness > 60 || s.Lightness > 30 && rng.IntN(2) == 0 {
			steps = -1
		}
		if total += s.Share; total < 0.25 {
			r.values = append(r.values, valued{id, steps})
		}
	}
	return r
}

// flattened is the reference in so many values, no shape smaller than so much.
func flattened(t testing.TB, p *photo.Picture, canvas place.Size, n int, smallest place.MM) *shape.Flat {
	t.Helper()
	steps, err := shape.EqualSteps(n)
	if err != nil {
		t.Fatal(err)
	}
	sigma := float64(shape.SquintFor(smallest)/canvas.Width) * float64(p.Width) / 2.355
	soft := softened(litOf(p), sigma).stored()
	h, err := shape.Flatten(shape.Scene{Plain: p, Squinted: soft, Labels: shape.StepLabels(soft, colour.EyeMeter, steps), Sigma: sigma}, nil)
	if err != nil {
		t.Fatal(err)
	}
	m := place.Mapping{Crop: place.WholeCrop(p.Size()), Canvas: canvas}
	return h.Smallest(shape.SmallestArea(smallest, m))
}

func softened(l lit, sigma float64) lit {
	out := newLit(l.width, l.height)
	for k := range 3 {
		p := newPlane(l.width, l.height)
		for i := range p.v {
			p.v[i] = l.rgb[3*i+k]
		}
		p = p.blurred(sigma)
		for i := range p.v {
			out.rgb[3*i+k] = p.v[i]
		}
	}
	return out
}

// valuesOf is the paint of each place of the reference, before anything is put off.
func (r *repaint) valuesOf(reference *photo.Picture) lit {
	soft, flat := softened(litOf(reference), r.soft), litOf(r.shapes.Draw())
	gain := make([]float32, len(r.shapes.Shapes))
	for i := range gain {
		gain[i] = 1
	}
	for _, v := range r.values {
		l := r.shapes.Shapes[v.id].Lightness
		gain[v.id] = float32((l + 20*colour.Lightness(v.steps)).Luminance() / l.Luminance())
	}
	mixed := newLit(soft.width, soft.height)
	for i := range soft.rgb {
		mixed.rgb[i] = gain[r.shapes.IDs[i/3]] * (float32(1-r.flat)*soft.rgb[i] + float32(r.flat)*flat.rgb[i])
	}
	return mixed
}

// paint is the painting.
func (r *repaint) paint(reference *photo.Picture) *photo.Picture {
	mixed := r.valuesOf(reference)
	out := newLit(mixed.width, mixed.height)
	pixel := float64(r.canvas.Width) / float64(out.width)
	for y := range out.height {
		for x := range out.width {
			u, v := r.from((float64(x)+0.5)*pixel, (float64(y)+0.5)*pixel)
			mixed.read(u/pixel, v/pixel, out.rgb[3*(y*out.width+x):])
		}
	}
	return out.stored()
}

// from is the place of the reference that is painted at a place of the canvas: the
// place that the whole and the slips carry there, found by iteration.
func (r *repaint) from(x, y float64) (float64, float64) {
	u, v := x, y
	for range 12 {
		dx, dy := r.off(u, v)
		u, v = x-dx, y-dy
	}
	return u, v
}

// off is how far a place of the reference is put off on the canvas.
func (r *repaint) off(x, y float64) (dx, dy float64) {
	dx, dy = r.whole.at(x-float64(r.canvas.Width)/2, y-float64(r.canvas.Height)/2)
	for _, s := range r.slips {
		k := s.at(x, y)
		dx, dy = dx+k*s.dx, dy+k*s.dy
	}
	return dx, dy
}
