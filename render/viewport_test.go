package render

import (
	"math"
	"math/rand/v2"
	"testing"

	"maulstick/render/place"
)

// viewports makes viewports of every kind, the same ones each time.
func viewports(n int) []Viewport {
	r := rand.New(rand.NewPCG(3, 5))
	list := make([]Viewport, n)
	for i := range list {
		list[i] = Viewport{
			Width: 1 + r.IntN(3000), Height: 1 + r.IntN(3000),
			Scale:  math.Exp2(r.Float64()*14 - 10),
			Centre: place.PhotoPoint{X: r.Float64()*9000 - 500, Y: r.Float64()*9000 - 500},
			Mirror: i&1 == 1, Turned: i&2 == 2,
		}
	}
	return list
}

func TestScreenAndBack(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, v := range viewports(20000) {
		p := place.PhotoPoint{X: r.Float64() * 8000, Y: r.Float64() * 8000}
		back := v.ToPhoto(v.ToScreen(p))
		if math.Hypot(back.X-p.X, back.Y-p.Y) > 1e-9 {
			t.Fatalf("%+v: %v comes back as %v", v, p, back)
		}
		c := v.ToPhoto(float64(v.Width)/2, float64(v.Height)/2)
		if c != v.Centre {
			t.Fatalf("%+v: the middle shows %v", v, c)
		}
	}
}

// TestMirrorAndTurn follows one place of the photograph, right of and below the
// centre, to the corner of the screen where it must stand.
func TestMirrorAndTurn(t *testing.T) {
	for _, c := range []struct {
		mirror, turned bool
		x, y           float64
	}{{false, false, 70, 56}, {true, false, 30, 56}, {false, true, 30, 44}, {true, true, 70, 44}} {
		v := Viewport{Width: 100, Height: 100, Scale: 2, Centre: place.PhotoPoint{X: 40, Y: 50}, Mirror: c.mirror, Turned: c.turned}
		if x, y := v.ToScreen(place.PhotoPoint{X: 50, Y: 53}); x != c.x || y != c.y {
			t.Errorf("mirror %v, turned %v: at %v, %v, want %v, %v", c.mirror, c.turned, x, y, c.x, c.y)
		}
	}
}

func TestFit(t *testing.T) {
	crop := place.Crop{X: 100, Y: 50, Width: 3000, Height: 2000}
	v := Fit(crop, 1028, 728, 14)
	if v.Scale != 1.0/3 || v.Centre != (place.PhotoPoint{X: 1600, Y: 1050}) {
		t.Errorf("fit: %+v", v)
	}
	if in := v.Inside(crop); in != (Rect{X: 14, Y: 31, Width: 1000, Height: 666}) && in != (Rect{X: 14, Y: 31, Width: 1000, Height: 667}) {
		t.Errorf("the crop shows at %+v", in)
	}
	if v := Fit(place.Crop{Width: 2, Height: 2}, 1000, 1000, 0); v.Scale != MaxScale {
		t.Errorf("two pixels are magnified %v times", v.Scale)
	}
	for _, size := range [][2]int{{0, 0}, {-5, 10}, {3, 3}, {1, 4000}} {
		if v := Fit(crop, size[0], size[1], 14); !(v.Scale > 0) || math.IsInf(v.Scale, 0) {
			t.Errorf("fitting into %v gives the scale %v", size, v.Scale)
		}
	}
}

func TestZoomKeepsThePlace(t *testing.T) {
	for i, v := range viewports(4000) {
		v.Scale = min(v.Scale, MaxScale)
		x, y := float64(i%997), float64(i%499)
		before := v.ToPhoto(x, y)
		z := v.Zoom(1.25, x, y)
		after := z.ToPhoto(x, y)
		if d := math.Hypot(after.X-before.X, after.Y-before.Y) * z.Scale; d > 1e-6 || z.Scale > MaxScale {
			t.Fatalf("%+v: the place under the pointer moved by %v device pixels, scale %v", v, d, z.Scale)
		}
		p := v.Pan(10, -4)
		sx, sy := v.ToScreen(before)
		px, py := p.ToScreen(before)
		if math.Abs(px-sx-10) > 1e-6 || math.Abs(py-sy+4) > 1e-6 {
			t.Fatalf("%+v: panned by %v, %v", v, px-sx, py-sy)
		}
	}
	v := Viewport{Width: 10, Height: 10, Scale: 1}
	for _, factor := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if v.Zoom(factor, 1, 1) != v {
			t.Errorf("zooming by %v changes the view", factor)
		}
	}
}

// TestClampKeepsThePicture: after clamping the picture covers the viewport inside
// its margins, or stands in its middle where it is smaller.
func TestClampKeepsThePicture(t *testing.T) {
	const margin = 14
	crop := place.Crop{X: 210.5, Y: 99.25, Width: 3000, Height: 2000.5}
	for _, v := range viewports(8000) {
		v.Width, v.Height = v.Width+100, v.Height+100
		c := v.Clamp(crop, margin)
		if c.Clamp(crop, margin) != c {
			t.Fatalf("%+v: clamping twice differs", v)
		}
		x0, y0 := c.ToScreen(place.PhotoPoint{X: crop.X, Y: crop.Y})
		x1, y1 := c.ToScreen(place.PhotoPoint{X: crop.X + crop.Width, Y: crop.Y + crop.Height})
		covers(t, min(x0, x1), max(x0, x1), float64(c.Width), margin)
		covers(t, min(y0, y1), max(y0, y1), float64(c.Height), margin)
	}
}

func covers(t *testing.T, lo, hi, size, margin float64) {
	t.Helper()
	const hair = 1e-6
	if hi-lo <= size-2*margin+hair {
		if math.Abs((lo+hi)/2-size/2) > hair {
			t.Fatalf("a picture from %v to %v is not in the middle of %v", lo, hi, size)
		}
		return
	}
	if lo > margin+hair || hi < size-margin-hair {
		t.Fatalf("a picture from %v to %v leaves a gap in %v", lo, hi, size)
	}
}

// TestLevel: a pixel of the level drawn from is more than half a device pixel and
// at most one, unless there is no smaller or no larger copy.
func TestLevel(t *testing.T) {
	for _, v := range viewports(4000) {
		k := v.Level(6)
		shown := v.Scale * math.Exp2(float64(k))
		if (shown <= 0.5 && k < 5) || (shown > 1 && k > 0) {
			t.Fatalf("scale %v draws from level %d", v.Scale, k)
		}
	}
}
