package place_test

import (
	"encoding/json"
	"math"
	"math/big"
	"math/rand/v2"
	"os"
	"testing"

	"maulstick/render/place"
)

// quad is four corners by their numbers.
func quad(n ...float64) (q place.Quad) {
	for i := range q {
		q[i] = place.PhotoPoint{X: n[2*i], Y: n[2*i+1]}
	}
	return q
}

// randomQuad is four corners of a rectangle, each moved by up to a third.
func randomQuad(r *rand.Rand) place.Quad {
	for {
		w, h := 100+4000*r.Float64(), 100+4000*r.Float64()
		q := (place.Crop{X: 500 * r.Float64(), Y: 500 * r.Float64(), Width: w, Height: h}).Corners()
		for i := range q {
			q[i].X += w / 3 * (2*r.Float64() - 1)
			q[i].Y += h / 3 * (2*r.Float64() - 1)
		}
		if q.Check() == nil {
			return q
		}
	}
}

// Four corners of whole numbers go to the corners of a unit square exactly as
// fractions say: the trapezium (0,0) (4,0) (3,2) (1,2) has its parallel sides in
// the ratio 1/2, so that the crossing of its diagonals, (2, 4/3), is the middle
// of the square, and the middle of its bottom is that of the square's.
func TestHomographyWorkedExample(t *testing.T) {
	h, err := place.QuadToQuad(quad(0, 0, 4, 0, 3, 2, 1, 2), quad(0, 0, 1, 0, 1, 1, 0, 1))
	if err != nil {
		t.Fatal(err)
	}
	third, _ := new(big.Rat).SetFrac64(4, 3).Float64()
	for from, want := range map[place.PhotoPoint]place.PhotoPoint{
		{X: 2, Y: third}: {X: 0.5, Y: 0.5}, {X: 2, Y: 0}: {X: 0.5, Y: 0}, {X: 2, Y: 2}: {X: 0.5, Y: 1}, {X: 3, Y: 2}: {X: 1, Y: 1},
	} {
		got, ok := h.Apply(from)
		if !ok || math.Hypot(got.X-want.X, got.Y-want.Y) > 1e-14 {
			t.Errorf("%v goes to %v, want %v", from, got, want)
		}
	}
	// Its slanting sides meet at (2, 4): there and beyond is nothing.
	for _, y := range []float64{4, 5, 100} {
		if got, ok := h.Apply(place.PhotoPoint{X: 2, Y: y}); ok {
			t.Errorf("beyond the horizon there is %v", got)
		}
	}
}

// Corners go to corners, straight lines stay straight, what goes there comes
// back, and one after the other is the same as both at once.
func TestHomographyProperties(t *testing.T) {
	r := rand.New(rand.NewPCG(61, 62))
	for range 5000 {
		a, b, c := randomQuad(r), randomQuad(r), randomQuad(r)
		ab, err := place.QuadToQuad(a, b)
		if err != nil {
			t.Fatal(err)
		}
		bc, err := place.QuadToQuad(b, c)
		if err != nil {
			t.Fatal(err)
		}
		back, ok := ab.Inverse()
		if !ok {
			t.Fatalf("%v has no inverse", ab)
		}
		apply := func(h place.Homography, p place.PhotoPoint) place.PhotoPoint {
			q, ok := h.Apply(p)
			if !ok {
				t.Fatalf("%v goes nowhere by %v", p, h)
			}
			return q
		}
		near := func(what string, p, q place.PhotoPoint) {
			if !(math.Hypot(p.X-q.X, p.Y-q.Y) <= 1e-6) {
				t.Fatalf("%v to %v: %s %v, want %v", a, b, what, p, q)
			}
		}
		for i := range a {
			near("a corner is", apply(ab, a[i]), b[i])
			near("a corner on is", apply(ab.Then(bc), a[i]), c[i])
		}
		s, u := r.Float64(), r.Float64() // a place on a line from side to side
		p := mix(a[0], a[1], s)
		q := mix(a[3], a[2], u)
		m := mix(p, q, 0.3)
		near("back is", apply(back, apply(ab, m)), m)
		p, q, m = apply(ab, p), apply(ab, q), apply(ab, m)
		length := math.Hypot(q.X-p.X, q.Y-p.Y)
		if off := ((q.X-p.X)*(m.Y-p.Y) - (q.Y-p.Y)*(m.X-p.X)) / length; math.Abs(off) > 1e-6 {
			t.Fatalf("%v to %v: a line is bent by %v", a, b, off)
		}
	}
	if _, ok := (place.Homography{}).Inverse(); ok {
		t.Error("nothing has an inverse")
	}
}

func mix(a, b place.PhotoPoint, share float64) place.PhotoPoint {
	return place.PhotoPoint{X: a.X + share*(b.X-a.X), Y: a.Y + share*(b.Y-a.Y)}
}

func TestQuadCheck(t *testing.T) {
	for _, c := range []struct {
		q    place.Quad
		want string
	}{
		{quad(0, 0, 10, 1, 9, 8, 1, 9), ""},
		{quad(0, 0, 100, 0, 100, 2, 0, 2), ""},
		{quad(0, 0, 1000, 0, 1000, 5, 0, 5), "three of them lie on one line, or nearly"},
		{quad(0, 0, 10, 0, 0, 10, 10, 10), "the outline crosses itself"},
		{quad(0, 0, 10, 10, 10, 0, 0, 10), "the outline crosses itself"},
		{quad(10, 0, 0, 0, 0, 10, 10, 10), "they run round the wrong way, as in a mirror"},
		{quad(0, 0, 10, 0, 3, 3, 0, 10), "the outline is dented"},
		{quad(0, 0, 10, 0, 5, 5, 0, 10), "three of them lie on one line, or nearly"},
		{quad(0, 0, 0, 0, 10, 10, 0, 10), "three of them lie on one line, or nearly"},
		{quad(1, 1, 1, 1, 1, 1, 1, 1), "three of them lie on one line, or nearly"},
		{quad(0, 0, 10, 0, 10, math.NaN(), 0, 10), "they are not eight numbers"},
		{quad(0, 0, math.Inf(1), 0, 10, 10, 0, 10), "they are not eight numbers"},
	} {
		err := c.q.Check()
		if c.want == "" {
			if err != nil {
				t.Errorf("%v: %v", c.q, err)
			}
			continue
		}
		if err == nil || err.Error() != "squaring up by four corners: "+c.want || place.Hint(err) == "" {
			t.Errorf("%v: %v, want %q", c.q, err, c.want)
		}
		if _, err := place.QuadToQuad(c.q, quad(0, 0, 1, 0, 1, 1, 0, 1)); err == nil {
			t.Errorf("%v is squared up", c.q)
		}
	}
}

// Corners tapped in any order come into one.
func TestOrdered(t *testing.T) {
	want := quad(3, 1, 90, 10, 80, 70, 8, 60)
	r := rand.New(rand.NewPCG(71, 72))
	for range 200 {
		shuffled := want
		r.Shuffle(4, func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		if got := place.Ordered(shuffled); got != want {
			t.Fatalf("%v becomes %v, want %v", shuffled, got, want)
		}
	}
}

// A print of 600 x 396 mm before a synthetic camera (testdata/warp/cases.json):
// with the focal length its proportion, 1.515, is found, where the sides in the
// photograph would say 1.428.
func TestAspectWithFocalLength(t *testing.T) {
	data, err := os.ReadFile("../../testdata/warp/cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []struct {
		Corners   [4][2]float64 `json:"src_quad_TL_TR_BR_BL"`
		Focal     float64       `json:"focal_px"`
		Principal [2]float64    `json:"principal_point"`
		Aspect    float64       `json:"true_aspect"`
	}
	if err := json.Unmarshal(data, &cases); err != nil || len(cases) == 0 {
		t.Fatal(err)
	}
	for _, c := range cases {
		var q place.Quad
		for i, p := range c.Corners {
			q[i] = place.PhotoPoint{X: p[0] + 0.5, Y: p[1] + 0.5} // its pixels' centres are whole
		}
		photo := place.Pixels{Width: int(2*c.Principal[0] + 1), Height: int(2*c.Principal[1] + 1)}
		got, err := q.Aspect(c.Focal, photo)
		if err != nil {
			t.Fatal(err)
		}
		closeTo(t, "aspect", float64(got), c.Aspect, 1e-12)
		if _, err := q.Aspect(0, photo); err == nil || place.Hint(err) == "" {
			t.Error("without a focal length there is an aspect")
		}
		// Squared up by the size of the print it keeps its proportion.
		h, pixels, err := q.Squared(place.Size{Width: 600, Height: 396}, 500)
		if err != nil || pixels != (place.Pixels{Width: 500, Height: 330}) {
			t.Errorf("squared up it is %v, %v", pixels, err)
		}
		corner, _ := h.Apply(q[2])
		closeTo(t, "right", corner.X, 500, 1e-9)
		closeTo(t, "bottom", corner.Y, 330, 1e-9)
	}
	// 26 mm on film of 36 x 24: a frame of 3600 x 2400 pixels has 100 of them a mm.
	closeTo(t, "focal length", place.FocalPixels(26, place.Pixels{Width: 3600, Height: 2400}), 2600, 1e-9)
}

// Rectangles before a random camera give their aspect back.
func TestAspectOfRandomCameras(t *testing.T) {
	r := rand.New(rand.NewPCG(81, 82))
	photo := place.Pixels{Width: 4000, Height: 3000}
	for range 2000 {
		w, h, focal := 300+1000*r.Float64(), 300+1000*r.Float64(), 2000+4000*r.Float64()
		pan, nod, roll := 0.7*(r.Float64()-0.5), 0.7*(r.Float64()-0.5), 0.4*(r.Float64()-0.5)
		var q place.Quad
		for i, corner := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
			x, y, z := corner[0]*w/2, corner[1]*h/2, 0.0
			x, y = x*math.Cos(roll)-y*math.Sin(roll), x*math.Sin(roll)+y*math.Cos(roll)
			x, z = x*math.Cos(pan)-z*math.Sin(pan), x*math.Sin(pan)+z*math.Cos(pan)
			y, z = y*math.Cos(nod)-z*math.Sin(nod), y*math.Sin(nod)+z*math.Cos(nod)
			z += 3000
			q[i] = place.PhotoPoint{X: 2000 + focal*x/z, Y: 1500 + focal*y/z}
		}
		got, err := q.Aspect(focal, photo)
		if err != nil {
			t.Fatal(err)
		}
		closeTo(t, "aspect", float64(got)*h/w, 1, 1e-9)
	}
}
