package place_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"maulstick/render/place"
)

func TestTilt(t *testing.T) {
	at := func(x, y float64) place.PhotoPoint { return place.PhotoPoint{X: x, Y: y} }
	for _, c := range []struct {
		a, b  place.PhotoPoint
		plumb bool
		want  float64
	}{
		{at(0, 0), at(100, 0), false, 0},
		{at(0, 10), at(100, 0), false, math.Atan2(10, 100)}, // the right end is higher: clockwise
		{at(100, 0), at(0, 10), false, math.Atan2(10, 100)},
		{at(0, 0), at(100, 10), false, -math.Atan2(10, 100)},
		{at(10, 0), at(0, 100), true, -math.Atan2(10, 100)}, // the top leans right: anticlockwise
		{at(0, 0), at(10, 100), true, math.Atan2(10, 100)},
		{at(5, 90), at(5, 10), true, 0},
		{at(0, 100), at(100, 0), false, math.Pi / 4},
	} {
		got, err := place.Tilt(c.a, c.b, c.plumb)
		if err != nil {
			t.Fatal(err)
		}
		closeTo(t, "tilt", got.Radians(), c.want, 1e-12)
		// Turned by it, the line is level or plumb.
		f := place.Turn{Photo: place.Pixels{Width: 100, Height: 100}, Tilt: got}.Forward()
		a, _ := f.Apply(c.a)
		b, _ := f.Apply(c.b)
		off := a.Y - b.Y
		if c.plumb {
			off = a.X - b.X
		}
		closeTo(t, "what is left", off, 0, 1e-9)
	}
	for _, c := range []struct {
		a, b  place.PhotoPoint
		plumb bool
	}{
		{at(0, 0), at(1, 1), false}, {at(0, 0), at(10, 100), false}, {at(0, 0), at(100, 10), true}, {at(math.NaN(), 0), at(9, 9), false},
	} {
		if got, err := place.Tilt(c.a, c.b, c.plumb); err == nil || place.Hint(err) == "" {
			t.Errorf("%v: %v, %v", c, got, err)
		}
	}
}

// A photograph of 400 x 300 turned by the angle of a 3-4-5 triangle, sine 3/5,
// in exact fractions: it reaches 500 x 480; a square in it has a side of
// 300/(3/5 + 4/5) = 1500/7; the roomiest crop is bounded by the short side alone,
// 300/(2 x 3/5) = 250 by 300/(2 x 4/5) = 187.5.
func TestTurnWorkedExample(t *testing.T) {
	turn := place.Turn{Photo: place.Pixels{Width: 400, Height: 300}, Tilt: place.Degrees(math.Asin(0.6) * 180 / math.Pi)}
	if got := turn.Size(); got != (place.Pixels{Width: 500, Height: 480}) {
		t.Errorf("the turned picture is %v", got)
	}
	side := 1500.0 / 7
	same(t, "a square", turn.Largest(1), place.Crop{X: 250 - side/2, Y: 240 - side/2, Width: side, Height: side})
	same(t, "the roomiest", turn.Largest(0), place.Crop{X: 125, Y: 240 - 187.5/2, Width: 250, Height: 187.5})
	for tilt, want := range map[place.Degrees]place.Pixels{0: {Width: 400, Height: 300}, 90: {Width: 300, Height: 400}, 180: {Width: 400, Height: 300}} {
		turn.Tilt = tilt
		if got := turn.Size(); got != want {
			t.Errorf("turned by %v it is %v", tilt, got)
		}
	}
	if (place.Turn{}).Holds(place.Crop{Width: 1, Height: 1}) {
		t.Error("no photograph holds a crop")
	}
}

// The largest crop lies inside, and no crop a hair larger does, wherever it is
// put; the roomiest has at least the area of any of a given aspect.
func TestLargestIsLargest(t *testing.T) {
	r := rand.New(rand.NewPCG(51, 52))
	for range 3000 {
		turn := place.Turn{Photo: place.Pixels{Width: 50 + r.IntN(3000), Height: 50 + r.IntN(3000)}, Tilt: place.Degrees(90 * (r.Float64() - 0.5))}
		aspect := place.Aspect(math.Exp(2*r.Float64() - 1))
		crop, room := turn.Largest(aspect), turn.Largest(0)
		if !turn.Holds(crop) || !turn.Holds(room) {
			t.Fatalf("%+v does not hold %v or %v", turn, crop, room)
		}
		closeTo(t, "aspect", float64(crop.Aspect()/aspect), 1, 1e-9)
		if crop.Width*crop.Height > room.Width*room.Height*(1+1e-9) {
			t.Fatalf("%+v: %v is larger than %v", turn, crop, room)
		}
		for range 20 {
			larger := crop
			larger.Width, larger.Height = crop.Width*1.001, crop.Height*1.001
			larger.X += 40*(r.Float64()-0.5)*r.Float64() - crop.Width*0.0005
			larger.Y += 40*(r.Float64()-0.5)*r.Float64() - crop.Height*0.0005
			if turn.Holds(larger) {
				t.Fatalf("%+v holds %v, larger than %v", turn, larger, crop)
			}
		}
	}
}

// Cut alone, a crop's corners are the corners of the new picture.
func TestCutOfATurn(t *testing.T) {
	turn := place.Turn{Photo: place.Pixels{Width: 400, Height: 300}, Tilt: 12.5}
	crop := turn.Largest(1.25)
	h, size := turn.Cut(crop)
	if math.Abs(float64(size.Width)-crop.Width) > 0.5 || math.Abs(float64(size.Height)-crop.Height) > 0.5 {
		t.Errorf("%v is cut to %v", crop, size)
	}
	back, _ := turn.Forward().Inverse()
	for i, corner := range crop.Corners() {
		p, _ := back.Apply(corner)
		got, _ := h.Apply(p)
		want := place.WholeCrop(size).Corners()[i]
		closeTo(t, "x", got.X, want.X, 1e-9)
		closeTo(t, "y", got.Y, want.Y, 1e-9)
	}
	if _, size := turn.Cut(place.Crop{Width: 0.1, Height: 7}); size != (place.Pixels{Width: 1, Height: 7}) {
		t.Errorf("a sliver is cut to %v", size)
	}
}
