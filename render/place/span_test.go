package place_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"maulstick/render/place"
)

// close compares two numbers that a test holds equal up to rounding.
func closeTo(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %v, want %v within %v", what, got, want, tolerance)
	}
}

// spanTo is the span from (100, 100) mm to a place to the right and up of it.
func spanTo(run, rise place.MM) place.Span {
	from := place.CanvasPoint{X: 100, Y: 100}
	return place.Span{From: from, To: place.CanvasPoint{X: 100 + run, Y: 100 - rise}, FromWithin: 0.3, ToWithin: 0.4}
}

// Pythagorean triples and angles of school geometry, all the way round.
func TestSpanWorkedExamples(t *testing.T) {
	root := place.MM(math.Sqrt(3))
	for _, c := range []struct{ run, rise, length, level, plumb float64 }{
		{30, 40, 50, math.Atan2(4, 3) * 180 / math.Pi, math.Atan2(3, 4) * 180 / math.Pi},
		{-30, -40, 50, math.Atan2(4, 3) * 180 / math.Pi, math.Atan2(3, 4) * 180 / math.Pi},
		{-50, 120, 130, -math.Atan2(12, 5) * 180 / math.Pi, -math.Atan2(5, 12) * 180 / math.Pi},
		{80, -150, 170, -math.Atan2(15, 8) * 180 / math.Pi, -math.Atan2(8, 15) * 180 / math.Pi},
		{10, 10, 10 * math.Sqrt2, 45, 45},
		{10, -10, 10 * math.Sqrt2, -45, -45},
		{float64(10 * root), 10, 20, 30, 60},
		{20, 0, 20, 0, 90}, {-20, 0, 20, 0, 90}, {0, 20, 20, 90, 0}, {0, -20, 20, 90, 0}, {0, 0, 0, 0, 0},
	} {
		s := spanTo(place.MM(c.run), place.MM(c.rise))
		name := fmt.Sprintf("the span %g to the right and %g up: ", c.run, c.rise)
		closeTo(t, name+"run", float64(s.Run()), c.run, 1e-12)
		closeTo(t, name+"rise", float64(s.Rise()), c.rise, 1e-12)
		closeTo(t, name+"length", float64(s.Length()), c.length, 1e-12)
		closeTo(t, name+"from level", float64(s.FromLevel()), c.level, 1e-12)
		closeTo(t, name+"from plumb", float64(s.FromPlumb()), c.plumb, 1e-12)
		closeTo(t, name+"within", float64(s.Within()), 0.5, 1e-15) // 0.3 and 0.4 in quadrature
		for _, angle := range []place.Degrees{s.FromLevel(), s.FromPlumb()} {
			if math.Signbit(float64(angle)) && angle == 0 {
				t.Errorf("%san angle is -0", name)
			}
		}
	}
}

// A worked example: 3-4-5 on a photograph of 3600 x 2400 pixels for 36 x 24 in,
// where a pixel is a hundredth of an inch, half of one the uncertainty.
func TestSpanOfAPhotograph(t *testing.T) {
	canvas := size(t, "36 x 24 in")
	m := place.Mapping{Crop: place.CentredCrop(place.Pixels{Width: 3600, Height: 2400}, canvas), Canvas: canvas}
	s := m.Span(place.PhotoPoint{X: 100.5, Y: 900.5}, place.PhotoPoint{X: 400.5, Y: 500.5}, 0, 1.2)
	closeTo(t, "run", float64(s.Run()), 3*25.4, 1e-9)
	closeTo(t, "rise", float64(s.Rise()), 4*25.4, 1e-9)
	closeTo(t, "length", float64(s.Length()), 5*25.4, 1e-9)
	closeTo(t, "within", float64(s.Within()), math.Hypot(0.5, 1.3)*0.254, 1e-12)
	closeTo(t, "angle within", float64(s.AngleWithin()), math.Asin(math.Hypot(0.5, 1.3)/500)*180/math.Pi, 1e-12)
}

func TestPlumbAndLevel(t *testing.T) {
	for _, c := range []struct {
		run, rise           place.MM
		plumb, level, tells bool
	}{
		{0, 100, true, false, true}, {0.49, 100, true, false, true}, {-0.49, -100, true, false, true},
		{0.51, 100, false, false, true}, {100, 0.49, false, true, true}, {-100, -0.51, false, false, true},
		{0.2, 0.2, false, false, false}, {0, 0, false, false, false}, // too short to tell
	} {
		s := spanTo(c.run, c.rise)
		if s.Plumb() != c.plumb || s.Level() != c.level || s.Tells() != c.tells {
			t.Errorf("%v right, %v up: plumb %v, level %v, tells %v", c.run, c.rise, s.Plumb(), s.Level(), s.Tells())
		}
	}
	if got := spanTo(0.2, 0.2).AngleWithin(); got != 90 {
		t.Errorf("a span too short to tell has an angle within %v", got)
	}
}

func TestDivided(t *testing.T) {
	s := spanTo(90, -30)
	want := map[int][]place.CanvasPoint{
		1: {}, 2: {{X: 145, Y: 115}}, 3: {{X: 130, Y: 110}, {X: 160, Y: 120}}, 0: {}, -4: {},
	}
	for n, places := range want {
		got := s.Divided(n)
		if len(got) != len(places) {
			t.Fatalf("%d parts give %v", n, got)
		}
		for i, p := range got {
			closeTo(t, "x", float64(p.X), float64(places[i].X), 1e-12)
			closeTo(t, "y", float64(p.Y), float64(places[i].Y), 1e-12)
		}
	}
}

// Followed 4 times its length, a span rising 1 in 2 meets a place exactly, misses
// one beside it by the distance from point to line, and points away from one
// behind it.
func TestPointsAt(t *testing.T) {
	s := spanTo(20, 10)
	at := func(x, y place.MM) place.CanvasPoint { return place.CanvasPoint{X: 100 + x, Y: 100 - y} }
	hit := s.PointsAt(at(80, 40), 0)
	closeTo(t, "miss", float64(hit.Miss), 0, 1e-12)
	closeTo(t, "along", hit.Along, 4, 1e-12)
	closeTo(t, "within", float64(hit.Within), math.Hypot(3*0.3, 4*0.4), 1e-12)
	if !hit.Hits || hit.Behind {
		t.Errorf("it is %+v", hit)
	}
	past := s.PointsAt(at(82, 36), 0.7) // 2 right and 4 down of it, square to the line
	closeTo(t, "miss", float64(past.Miss), math.Sqrt(20), 1e-12)
	closeTo(t, "along", past.Along, 4, 1e-12)
	closeTo(t, "within", float64(past.Within), math.Sqrt(0.81+2.56+0.49), 1e-12)
	if past.Hits {
		t.Errorf("it is %+v", past)
	}
	if behind := s.PointsAt(at(-20, -10), 0); !behind.Hits || !behind.Behind || behind.Along != -1 {
		t.Errorf("it is %+v", behind)
	}
	if none := spanTo(0, 0).PointsAt(at(3, 4), 0); none.Hits || none.Miss != 5 {
		t.Errorf("a span without length gives %+v", none)
	}
}

// The uncertainties are what independent errors of the ends come to: standard
// deviations over 40,000 draws, whose own scatter is under 1 %.
func TestUncertaintyByDrawing(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	shaken := func(p place.CanvasPoint, by place.MM) place.CanvasPoint {
		return place.CanvasPoint{X: p.X + by*place.MM(r.NormFloat64()), Y: p.Y + by*place.MM(r.NormFloat64())}
	}
	s, u := spanTo(70, 40), spanTo(-20, 25)
	target := s.At(2.5)
	var sums [3]float64
	const draws = 40_000
	for range draws {
		one := place.Span{From: shaken(s.From, s.FromWithin), To: shaken(s.To, s.ToWithin)}
		two := place.Span{From: shaken(u.From, u.FromWithin), To: shaken(u.To, u.ToWithin)}
		for i, off := range []float64{
			float64(one.Length() - s.Length()), float64(one.FromLevel() - s.FromLevel()),
			float64(one.Length()/two.Length() - s.Length()/u.Length()),
		} {
			sums[i] += off * off
		}
	}
	for i, want := range []float64{float64(s.Within()), float64(s.AngleWithin()), s.In(u).Within} {
		closeTo(t, fmt.Sprint("deviation ", i), math.Sqrt(sums[i]/draws)/want, 1, 0.02)
	}
	sum := 0.0
	for range draws {
		one := place.Span{From: shaken(s.From, s.FromWithin), To: shaken(s.To, s.ToWithin)}
		miss := float64(one.PointsAt(shaken(target, 0.6), 0).Miss)
		sum += miss * miss
	}
	closeTo(t, "deviation of an aim", math.Sqrt(sum/draws)/float64(s.PointsAt(target, 0.6).Within), 1, 0.02)
}
