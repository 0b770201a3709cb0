package study

import (
	"errors"
	"fmt"
	"math"

	"maulstick/render/place"
)

// Righting is how the photograph is set right before anything is measured on it:
// squared up by the four corners of a flat thing, then turned. The zero value
// leaves it as it came.
type Righting struct {
	// Corners are top left, top right, bottom right and bottom left of the thing,
	// on the photograph as it came; none or four.
	Corners []place.PhotoPoint `json:"corners"`
	Flat    place.Size         `json:"flat"`     // of the thing itself
	Tilt    place.Degrees      `json:"tilt_deg"` // clockwise, -45..45
}

// newRighting leaves the photograph as it came.
func newRighting() Righting { return Righting{Corners: []place.PhotoPoint{}} }

// None says whether the photograph stays as it came.
func (r Righting) None() bool { return len(r.Corners) == 0 && r.Tilt == 0 }

// Equal says whether two rightings come to the same.
func (r Righting) Equal(o Righting) bool {
	if len(r.Corners) != len(o.Corners) || r.Tilt != o.Tilt {
		return false
	}
	for i, p := range r.Corners {
		if p != o.Corners[i] {
			return false
		}
	}
	return len(r.Corners) == 0 || r.Flat.Aspect() == o.Flat.Aspect()
}

// Key tells rightings of one photograph apart; "" is none.
func (r Righting) Key() string {
	if r.None() {
		return ""
	}
	return fmt.Sprint(r.Corners, r.Flat.Aspect(), r.Tilt)
}

// finer is how much longer than the photograph a squared-up picture may be: what
// is photographed from the side is finer at its near edge.
const finer = 1.5

// squared is the squaring up alone, and the size that it leaves.
func (r Righting) squared(photo place.Pixels) (place.Homography, place.Pixels, error) {
	if len(r.Corners) == 0 {
		return place.Homography{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}, photo, nil
	}
	if len(r.Corners) != 4 {
		return place.Homography{}, photo, fmt.Errorf("%d corners are not four", len(r.Corners))
	}
	most := min(float64(max(photo.Width, photo.Height))*finer, longestSide)
	return place.Quad(r.Corners).Squared(r.Flat, int(most))
}

// Forward carries places of a photograph of that size, as it came, to the one set
// right, and tells the size of that. The error is a *place.Problem where the
// corners are none of a rectangle.
func (r Righting) Forward(photo place.Pixels) (place.Homography, place.Pixels, error) {
	h, size, err := r.squared(photo)
	if err != nil || r.Tilt == 0 {
		return h, size, err
	}
	turn := place.Turn{Photo: size, Tilt: r.Tilt}
	return h.Then(turn.Forward()), turn.Size(), nil
}

// turn is the turning that comes last.
func (d Document) turn() place.Turn {
	_, size, err := d.Righting.squared(d.came())
	if err != nil {
		size = d.came() // which Check does not let be
	}
	return place.Turn{Photo: size, Tilt: d.Righting.Tilt}
}

// Photograph is the size of the photograph squared up but not turned: the turned
// picture is larger, with nothing in its corners, and says nothing of proportions.
func (d Document) Photograph() place.Pixels { return d.turn().Photo }

// came is the size of the photograph as it came.
func (d Document) came() place.Pixels {
	return place.Pixels{Width: d.Reference.Width, Height: d.Reference.Height}
}

// Pixels is the size of the study's photograph, set right.
func (d Document) Pixels() place.Pixels {
	if d.Righting.None() {
		return d.came()
	}
	return d.turn().Size()
}

// WithRighting is the study with its photograph set right otherwise. Marks, the path
// of the eye and the crop go with it; what then lies outside of the picture is
// left out, and counted. Corners that no rectangle can have are refused.
func (d Document) WithRighting(r Righting) (righted Document, lost int, err error) {
	back, _, err := d.Righting.Forward(d.came())
	if err != nil {
		return d, 0, err
	}
	to, _, err := r.Forward(d.came())
	if err != nil {
		return d, 0, err
	}
	back, ok := back.Inverse()
	if !ok {
		return d, 0, errors.New("setting the photograph right: its corners flatten it to a line")
	}
	before := d
	d.Righting = r
	d.Own = place.Crop{}
	h := back.Then(to)
	lost = d.carry(h)
	if before.Own.Width > 0 && len(r.Corners) == len(before.Righting.Corners) {
		d.Own = d.carried(before.Own, h)
	}
	return d.WithView(View{Fit: true, Mirror: d.View.Mirror, Turned: d.View.Turned}), lost, nil
}

// carry moves all places through a homography and leaves out those that fall off
// the picture; it says how many marks did.
func (d *Document) carry(h place.Homography) (lost int) {
	size := d.Pixels()
	inside := func(p place.PhotoPoint) (place.PhotoPoint, bool) {
		p, ok := h.Apply(p)
		return p, ok && within(p.X, 0, float64(size.Width)) && within(p.Y, 0, float64(size.Height))
	}
	for _, m := range d.Marks {
		p, ok := inside(place.PhotoPoint{X: m.X, Y: m.Y})
		if !ok {
			*d = d.WithoutMark(m.ID)
			lost++
			continue
		}
		*d = d.MovedMark(m.ID, p, m.Touch*stretched(h, place.PhotoPoint{X: m.X, Y: m.Y}))
	}
	paths := []EyePath{}
	for _, path := range d.Eye {
		moved := EyePath{}
		for _, p := range path {
			if p, ok := inside(p); ok {
				moved = append(moved, p)
			}
		}
		if len(moved) > 1 {
			paths = append(paths, moved)
		}
	}
	d.Eye = paths
	return lost
}

// stretched is how much longer a homography makes a short length about a place, at
// most, along either direction.
func stretched(h place.Homography, p place.PhotoPoint) float64 {
	const step = 0.5
	from, ok := h.Apply(p)
	longest := 0.0
	for _, by := range [][2]float64{{step, 0}, {0, step}} {
		to, ok2 := h.Apply(place.PhotoPoint{X: p.X + by[0], Y: p.Y + by[1]})
		if !ok || !ok2 {
			return 1
		}
		longest = max(longest, math.Hypot(to.X-from.X, to.Y-from.Y)/step)
	}
	return longest
}

// carried is a crop whose middle went through a homography.
func (d Document) carried(c place.Crop, h place.Homography) place.Crop {
	middle, ok := h.Apply(place.PhotoPoint{X: c.X + c.Width/2, Y: c.Y + c.Height/2})
	if !ok {
		return place.Crop{}
	}
	c.X, c.Y = middle.X-c.Width/2, middle.Y-c.Height/2
	return d.shrunk(c)
}

func (d Document) checkRighting() error {
	r := d.Righting
	switch {
	case r.Corners == nil || len(r.Corners) != 0 && len(r.Corners) != 4:
		return fmt.Errorf("%d corners to square up by are not none or four", len(r.Corners))
	case !within(math.Abs(float64(r.Tilt)), 0, 45):
		return fmt.Errorf("a photograph cannot be turned by %v degrees", r.Tilt)
	case r.Flat.Unit < place.Inch || r.Flat.Unit > place.Metre:
		return fmt.Errorf("unit %d of the flat thing is not known", r.Flat.Unit)
	}
	if len(r.Corners) == 0 {
		return nil
	}
	long := float64(max(d.Reference.Width, d.Reference.Height))
	for _, p := range r.Corners {
		if !within(p.X, -long, 2*long) || !within(p.Y, -long, 2*long) {
			return fmt.Errorf("a corner at %v, %v is nowhere near the photograph", p.X, p.Y)
		}
	}
	if !within(float64(r.Flat.Width), float64(smallest), float64(largest)) || !within(float64(r.Flat.Height), float64(smallest), float64(largest)) {
		return fmt.Errorf("a flat thing of %v x %v mm cannot be", r.Flat.Width, r.Flat.Height)
	}
	if _, size, err := r.Forward(d.came()); err != nil {
		return err
	} else if int64(size.Width)*int64(size.Height) > mostPixels || max(size.Width, size.Height) > longestSide {
		return fmt.Errorf("set right, the photograph would have %d x %d pixels", size.Width, size.Height)
	}
	return nil
}
