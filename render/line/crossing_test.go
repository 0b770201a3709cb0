package line_test

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"maulstick/render/line"
	"maulstick/render/place"
)

// Thirds fall out of the diagonals of the whole and of the halves, on any canvas
// and exactly.
func TestThirdsFallOutOfDiagonals(t *testing.T) {
	for _, canvas := range canvases(10) {
		s, thirds := draw(t, "diagonals:2", canvas), draw(t, "thirds", canvas)
		if len(thirds.Crossings) != 4 {
			t.Fatalf("thirds of %s cross %d times", canvas, len(thirds.Crossings))
		}
		for _, third := range thirds.Crossings {
			want := thirds.Exact(third)
			found := slices.ContainsFunc(s.Crossings, func(c line.Crossing) bool {
				p := s.Exact(c)
				return p.X.Cmp(want.X) == 0 && p.Y.Cmp(want.Y) == 0
			})
			if !found {
				t.Errorf("the diagonals of %s do not cross at %v, %v", canvas, want.X, want.Y)
			}
		}
	}
	if s := draw(t, "diagonals:1", "70x33in"); len(s.Crossings) != 1 || len(s.Crossings[0].Lines) != 4 {
		t.Errorf("diagonals one deep cross at %v", s.Crossings)
	}
}

// The best crossing of the diagonals is the middle, where both diagonals, plumb
// and level meet; ranking never goes up.
func TestRanking(t *testing.T) {
	for _, plan := range plans {
		s := draw(t, plan, "70x33in")
		for i := 1; i < len(s.Crossings); i++ {
			if len(s.Crossings[i].Lines) > len(s.Crossings[i-1].Lines) {
				t.Fatalf("%s: crossing %d has more lines than the one before", plan, i)
			}
		}
	}
	s := draw(t, "diagonals:2", "70x33in")
	if got := s.Crossings[0].At; got != (place.CanvasPoint{X: 35 * 25.4, Y: 16.5 * 25.4}) {
		t.Errorf("the best crossing is at %v", got)
	}
}

// brute finds crossings from nothing but the ends of lines, in floating point:
// segments are cut by Cramer's rule, equal points are those within a ten-thousandth
// of a millimetre, and the lines through each are counted by distance.
func brute(s *line.Set) map[string]int {
	const same = 1e-4
	var points []place.CanvasPoint
	for i, a := range s.Lines {
		for _, b := range s.Lines[:i] {
			ax, ay := float64(a.To.X-a.From.X), float64(a.To.Y-a.From.Y)
			bx, by := float64(b.To.X-b.From.X), float64(b.To.Y-b.From.Y)
			det := ax*by - ay*bx
			if math.Abs(det) < 1e-9*math.Hypot(ax, ay)*math.Hypot(bx, by) {
				continue
			}
			ox, oy := float64(b.From.X-a.From.X), float64(b.From.Y-a.From.Y)
			u, v := (ox*by-oy*bx)/det, (ox*ay-oy*ax)/det
			if u < -1e-9 || u > 1+1e-9 || v < -1e-9 || v > 1+1e-9 {
				continue
			}
			p := place.CanvasPoint{X: a.From.X + place.MM(u*ax), Y: a.From.Y + place.MM(u*ay)}
			if !slices.ContainsFunc(points, func(q place.CanvasPoint) bool {
				return math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)) < same
			}) {
				points = append(points, p)
			}
		}
	}
	counts := map[string]int{}
	for _, p := range points {
		n := 0
		for _, l := range s.Lines {
			dx, dy := float64(l.To.X-l.From.X), float64(l.To.Y-l.From.Y)
			if math.Abs(float64(p.X-l.From.X)*dy-float64(p.Y-l.From.Y)*dx)/math.Hypot(dx, dy) < same {
				n++
			}
		}
		counts[key(p, p)] = n
	}
	return counts
}

// Crossings equal those of a brute force that knows nothing of exact numbers.
func TestCrossingsAgainstBruteForce(t *testing.T) {
	compared := 0
	for _, canvas := range canvases(3) {
		for _, plan := range []string{"diagonals:1", "diagonals:3", "thirds,golden,rabatment,reciprocal", "divide:5x7,reciprocal", "diagonals:2,golden,squares:6in:bottom-left,angled:4in:3in:35,reciprocal"} {
			s := draw(t, plan, canvas)
			want := brute(s)
			got := map[string]int{}
			for _, c := range s.Crossings {
				got[key(c.At, c.At)] = len(c.Lines)
				compared++
			}
			if len(got) != len(s.Crossings) {
				t.Errorf("%s on %s: %d crossings at %d places", plan, canvas, len(s.Crossings), len(got))
			}
			for at, n := range want {
				if got[at] != n && !nextTo(got, at, n) {
					t.Errorf("%s on %s: %d lines meet at %s, want %d", plan, canvas, got[at], at, n)
				}
			}
			if len(got) != len(want) {
				t.Errorf("%s on %s: %d crossings, want %d", plan, canvas, len(got), len(want))
			}
		}
	}
	if compared < 1000 {
		t.Errorf("only %d crossings were compared", compared)
	}
}

// nextTo says whether n lines meet within two thousandths of a millimetre of a
// place: its key may have been rounded the other way.
func nextTo(crossings map[string]int, at string, n int) bool {
	var x, y float64
	fmt.Sscanf(at, "%f,%f", &x, &y)
	for dx := -1.0; dx <= 1; dx++ {
		for dy := -1.0; dy <= 1; dy++ {
			p := place.CanvasPoint{X: place.MM(x + dx/1000), Y: place.MM(y + dy/1000)}
			if crossings[key(p, p)] == n {
				return true
			}
		}
	}
	return false
}

// Every crossing at depth 4 with all kinds, held exactly to every line: the lines
// that meet there are those that pass through, and it is where it is said to be.
func TestCrossingsAreExact(t *testing.T) {
	for _, canvas := range []string{"70x33in", "1234.5x678.9mm"} {
		s := draw(t, full, canvas)
		random := rand.New(rand.NewPCG(9, 10))
		for range 150 {
			c := s.Crossings[random.IntN(len(s.Crossings))]
			p := s.Exact(c)
			var through []int
			for i, l := range s.Lines {
				// The cross product of the way to the point and the line's own.
				from, to := l.Ends[0], l.Ends[1]
				cross := p.X.Sub(from.X).Mul(to.Y.Sub(from.Y)).Sub(p.Y.Sub(from.Y).Mul(to.X.Sub(from.X)))
				if cross.Sign() == 0 {
					through = append(through, i)
				}
			}
			if !slices.Equal(through, c.Lines) {
				t.Errorf("on %s at %v lines %v meet, want %v", canvas, c.At, c.Lines, through)
			}
			at := p.Canvas()
			if math.Hypot(float64(at.X-c.At.X), float64(at.Y-c.At.Y)) > 1e-9*float64(max(s.Canvas.Width, s.Canvas.Height)) {
				t.Errorf("on %s a crossing at %v is said to be at %v", canvas, at, c.At)
			}
			onEdge := p.X.Sign() == 0 || p.Y.Sign() == 0 || at.X == s.Canvas.Width || at.Y == s.Canvas.Height
			if onEdge != c.OnEdge {
				t.Errorf("on %s a crossing at %v is on the edge: %v", canvas, at, c.OnEdge)
			}
		}
	}
}

// Crossings that floating point cannot tell apart are told apart: three lines
// that nearly meet make three crossings, three that do meet one.
func TestNearlyEqualCrossings(t *testing.T) {
	for plan, want := range map[string]int{
		"plumb:100mm,level:100mm,angled:100mm:100mm:45":         1,
		"plumb:100mm,level:100mm,angled:100.0000001mm:100mm:45": 3,
		"plumb:100mm,plumb:100.0000001mm,level:100mm":           2,
	} {
		if got := len(draw(t, plan, "300x200mm").Crossings); got != want {
			t.Errorf("%s cross %d times, want %d", plan, got, want)
		}
	}
	// Two lines a thousandth of a degree apart meet at their common mark.
	s := draw(t, "angled:100mm:100mm:30,angled:100mm:100mm:30.001,angled:50mm:50mm:0.001,level:50mm", "300x200mm")
	for _, at := range []place.CanvasPoint{{X: 100, Y: 100}, {X: 50, Y: 50}} {
		if _, off, ok := s.NearestCrossing(at); !ok || off.Distance > 1e-6 {
			t.Errorf("lines through %v meet %v mm off", at, off.Distance)
		}
	}
}

func TestNearest(t *testing.T) {
	s := draw(t, "thirds", "300x300mm")
	i, off, ok := s.NearestCrossing(place.CanvasPoint{X: 97, Y: 204})
	if at := s.Crossings[i].At; !ok || at != (place.CanvasPoint{X: 100, Y: 200}) || off.DX != -3 || off.DY != 4 || off.Distance != 5 {
		t.Errorf("the nearest crossing is at %v, %+v off", at, off)
	}
	for _, c := range []struct {
		plan  string
		point place.CanvasPoint
		want  place.MM
	}{
		{"plumb:100mm", place.CanvasPoint{X: 103, Y: 7}, 3},
		{"plumb:100mm", place.CanvasPoint{X: 97, Y: 7}, -3},
		{"level:100mm", place.CanvasPoint{X: 7, Y: 104}, 4},
		{"level:100mm", place.CanvasPoint{X: 7, Y: 96}, -4},
		{"angled:150mm:150mm:45", place.CanvasPoint{X: 160, Y: 150}, 10 / math.Sqrt2},   // right of a rising line
		{"angled:150mm:150mm:45", place.CanvasPoint{X: 140, Y: 150}, -10 / math.Sqrt2},  //
		{"angled:150mm:150mm:135", place.CanvasPoint{X: 160, Y: 150}, 10 / math.Sqrt2},  // right of a falling line
		{"angled:150mm:150mm:135", place.CanvasPoint{X: 150, Y: 160}, -10 / math.Sqrt2}, // below it is left of it
		{"angled:290mm:300mm:45", place.CanvasPoint{X: 285, Y: 299}, -place.MM(math.Sqrt(25 + 1))},
	} {
		s := draw(t, c.plan, "300x300mm")
		i, got, foot, ok := s.NearestLine(c.point)
		away := math.Hypot(float64(foot.X-c.point.X), float64(foot.Y-c.point.Y))
		if !ok || i != 0 || math.Abs(float64(got-c.want)) > 1e-9 || math.Abs(away-math.Abs(float64(got))) > 1e-9 {
			t.Errorf("%v is %v mm from %s, foot at %v, want %v", c.point, got, c.plan, foot, c.want)
		}
	}
	none := draw(t, "", "300x300mm")
	if _, _, ok := none.NearestCrossing(place.CanvasPoint{}); ok {
		t.Error("nothing has a crossing")
	}
	if _, _, _, ok := none.NearestLine(place.CanvasPoint{}); ok {
		t.Error("nothing has a line")
	}
}

// A whole-number check of one crossing by hand: on 70 x 33 in the diagonal from the
// top left and the left half's from the bottom left meet at a third of both sides.
func TestCrossingByHand(t *testing.T) {
	s := draw(t, "diagonals:2", "70x33in")
	i, off, _ := s.NearestCrossing(place.CanvasPoint{X: 70 * 25.4 / 3, Y: 11 * 25.4})
	p := s.Exact(s.Crossings[i])
	third := line.Number{P: big.NewRat(1778, 3)}
	if off.Distance > 1e-9 || p.X.Cmp(third) != 0 || p.Y.Cmp(line.Number{P: big.NewRat(1397, 5)}) != 0 {
		t.Errorf("they meet at %v, %v", p.X, p.Y)
	}
}

func BenchmarkDraw(b *testing.B) {
	for _, plan := range []string{"diagonals:2,thirds", "diagonals:4", full} {
		b.Run(fmt.Sprintf("%.12s", plan), func(b *testing.B) {
			var s *line.Set
			for b.Loop() {
				s = draw(b, plan, "70x33in")
			}
			b.ReportMetric(float64(len(s.Lines)), "lines")
			b.ReportMetric(float64(len(s.Crossings)), "crossings")
		})
	}
}
