package line_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"maulstick/render/line"
	"maulstick/render/place"
)

// plans are made for random canvases, one of each kind and all together.
var plans = []string{
	"diagonals:1", "diagonals:2", "diagonals:3", "diagonals:4", "thirds", "golden", "rabatment", "reciprocal",
	"divide:5x7", "squares:3in:bottom-right", "plumb:4in", "level:3in", "angled:4in:3in:35", full,
}

// canvases are random ones, lying and standing, with sides as typed or any.
func canvases(n int) []string {
	random := rand.New(rand.NewPCG(7, 8))
	list := []string{"70x33in", "33x70in", "30x30in", "84x178cm"}
	for range n {
		list = append(list, fmt.Sprintf("%dx%din", 9+random.IntN(80), 9+random.IntN(80)),
			fmt.Sprintf("%vx%vmm", 300+2000*random.Float64(), 300+2000*random.Float64()))
	}
	return list
}

// Every line runs from edge to edge, inside, from left to right or from the top
// down, and is drawn once.
func TestLinesRunFromEdgeToEdge(t *testing.T) {
	for _, canvas := range canvases(10) {
		for _, plan := range plans {
			s := draw(t, plan, canvas)
			w, h := s.Canvas.Width, s.Canvas.Height
			seen := map[[2]place.CanvasPoint]bool{}
			for _, l := range s.Lines {
				for _, p := range []place.CanvasPoint{l.From, l.To} {
					if p.X < 0 || p.Y < 0 || p.X > w || p.Y > h || p.X != 0 && p.X != w && p.Y != 0 && p.Y != h {
						t.Errorf("%s on %s: %s ends at %v, not at an edge", plan, canvas, l.Label, p)
					}
				}
				if l.From.X > l.To.X || l.From.X == l.To.X && l.From.Y >= l.To.Y {
					t.Errorf("%s on %s: %s runs from %v to %v", plan, canvas, l.Label, l.From, l.To)
				}
				middle := place.CanvasPoint{X: (l.From.X + l.To.X) / 2, Y: (l.From.Y + l.To.Y) / 2}
				if middle.X <= 0 || middle.Y <= 0 || middle.X >= w || middle.Y >= h {
					t.Errorf("%s on %s: %s is at the edge", plan, canvas, l.Label)
				}
				ends := [2]place.CanvasPoint{l.From, l.To}
				if seen[ends] {
					t.Errorf("%s on %s: %s is drawn twice", plan, canvas, l.Label)
				}
				seen[ends] = true
			}
		}
	}
}

// How many lines each construction has, counted by hand. The whole has two
// diagonals, a plumb and a level. The four halves add eight diagonals, two plumbs
// and two levels. At depth 3 four upright quarters add eight diagonals, four
// level ones eight, and the quadrants the four sides of the rhombus between the
// middles of the edges, their other diagonals being those of the whole; with four
// plumbs and four levels.
func TestNumberOfLines(t *testing.T) {
	for plan, want := range map[string]int{
		"diagonals:1": 4, "diagonals:2": 4 + 12, "diagonals:3": 4 + 12 + 8 + 8 + 4 + 8,
		"thirds": 4, "golden": 4, "rabatment": 2, "reciprocal": 4, "divide:5x7": 4 + 6,
		"squares:6in:top-left": 11 + 5, "plumb:1in": 1, "level:1in,level:1in": 1, "": 0,
		"thirds,divide:3x3": 4, "diagonals:1,divide:2x2": 4, "thirds,divide:6x1": 4 + 3,
	} {
		if got := len(draw(t, plan, "70x33in").Lines); got != want {
			t.Errorf("%q has %d lines, want %d", plan, got, want)
		}
	}
	// On a square the reciprocals are the diagonals.
	s := draw(t, "diagonals:1,reciprocal,rabatment", "30x30in")
	if len(s.Lines) != 4 || !slices.Equal(s.Lines[0].Also, []line.Kind{line.Reciprocal}) {
		t.Errorf("a square has %d lines, the diagonal also by %v", len(s.Lines), s.Lines[0].Also)
	}
}

// key is a line to a thousandth of a millimetre, whichever way it runs. The shift
// keeps what has few decimals away from where rounding turns.
func key(p, q place.CanvasPoint) string {
	const shift = 0.000123
	ends := []string{fmt.Sprintf("%.3f,%.3f", p.X+shift, p.Y+shift), fmt.Sprintf("%.3f,%.3f", q.X+shift, q.Y+shift)}
	slices.Sort(ends)
	return strings.Join(ends, " ")
}

// What is symmetric stays itself when the canvas is mirrored or turned upside
// down, lines and crossings; what is not does not.
func TestSymmetricSets(t *testing.T) {
	mirrors := func(s *line.Set, flip func(place.CanvasPoint) place.CanvasPoint) bool {
		lines, crossings := map[string]bool{}, map[string]int{}
		for _, l := range s.Lines {
			lines[key(l.From, l.To)] = true
		}
		for _, c := range s.Crossings {
			crossings[key(c.At, c.At)] = len(c.Lines)
		}
		for _, l := range s.Lines {
			if !lines[key(flip(l.From), flip(l.To))] {
				return false
			}
		}
		for _, c := range s.Crossings {
			if crossings[key(flip(c.At), flip(c.At))] != len(c.Lines) {
				return false
			}
		}
		return true
	}
	for _, canvas := range canvases(4) {
		for _, plan := range []string{"diagonals:4", "thirds", "golden", "rabatment", "reciprocal", "divide:5x7", "diagonals:2,golden,reciprocal,rabatment,thirds"} {
			s := draw(t, plan, canvas)
			w, h := s.Canvas.Width, s.Canvas.Height
			across := func(p place.CanvasPoint) place.CanvasPoint { return place.CanvasPoint{X: w - p.X, Y: p.Y} }
			down := func(p place.CanvasPoint) place.CanvasPoint { return place.CanvasPoint{X: p.X, Y: h - p.Y} }
			if !mirrors(s, across) || !mirrors(s, down) {
				t.Errorf("%s on %s is not symmetric", plan, canvas)
			}
		}
		s := draw(t, "angled:4in:3in:35", canvas)
		if mirrors(s, func(p place.CanvasPoint) place.CanvasPoint { return place.CanvasPoint{X: s.Canvas.Width - p.X, Y: p.Y} }) {
			t.Errorf("a slanted line on %s passes for symmetric", canvas)
		}
	}
}

// Each reciprocal is square to a diagonal and starts at a corner; an angled line
// passes through its mark at its angle.
func TestAngles(t *testing.T) {
	for _, canvas := range canvases(6) {
		s := draw(t, "diagonals:1,reciprocal", canvas)
		for _, l := range s.Lines {
			if l.Kind != line.Reciprocal {
				continue
			}
			dx, dy := float64(l.To.X-l.From.X), float64(l.To.Y-l.From.Y)
			w, h := float64(s.Canvas.Width), float64(s.Canvas.Height)
			if square := min(math.Abs(dx*w+dy*h), math.Abs(dx*w-dy*h)); square > 1e-9*w*h {
				t.Errorf("%s on %s: %s is not square to a diagonal", l.Label, canvas, l.Label)
			}
		}
		for _, degrees := range []float64{0, 1, 30, 45, 60, 89.5, 90, 91, 135, 179.999} {
			s := draw(t, fmt.Sprintf("angled:8in:6in:%v", degrees), canvas)
			l := s.Lines[0]
			angle := math.Atan2(float64(l.From.Y-l.To.Y), float64(l.To.X-l.From.X)) * 180 / math.Pi
			if off := math.Abs(math.Remainder(angle-degrees, 180)); off > 1e-9 {
				t.Errorf("%v degrees on %s came out as %v", degrees, canvas, angle)
			}
			if _, d, _, _ := s.NearestLine(place.CanvasPoint{X: 8 * 25.4, Y: 6 * 25.4}); math.Abs(float64(d)) > 1e-9 {
				t.Errorf("%v degrees on %s misses its mark by %v mm", degrees, canvas, d)
			}
		}
	}
}

// What lies off the canvas, or along its edge, is said and not drawn.
func TestMissed(t *testing.T) {
	for plan, want := range map[string]string{
		"plumb:40in":          "plumb line 40 in from the left is not inside",
		"level:0":             "level line 0 in from the top is not inside",
		"plumb:30in":          "30 in from the left is not inside",
		"angled:0:0:45":       "line at 45° through 0 in from the left, 0 in from the top is not inside",
		"rabatment":           "the canvas is square",
		"squares:30in":        "a square of 30 in is as large",
		"thirds,angled:0:0:0": "is not inside",
	} {
		s := draw(t, plan, "30x30in")
		last := strings.Count(plan, ",")
		if len(s.Missed) != 1 || !strings.Contains(s.Missed[0].Why, want) || s.Missed[0].Use != last || len(s.Lines) != 4*last {
			t.Errorf("%s draws %d lines and misses %v, want %q", plan, len(s.Lines), s.Missed, want)
		}
	}
}

// Squares are counted from their corner and named along the two edges there.
func TestSquaresAreNamed(t *testing.T) {
	s := draw(t, "squares:6in:bottom-right", "20x13in")
	var names []string
	for _, n := range s.Notes {
		names = append(names, fmt.Sprintf("%s %s %.1f,%.1f", n.Edge, n.Text, n.At.X/25.4, n.At.Y/25.4))
	}
	want := []string{"bottom A 17.0,13.0", "bottom B 11.0,13.0", "bottom C 5.0,13.0", "bottom D 1.0,13.0",
		"right 1 20.0,10.0", "right 2 20.0,4.0", "right 3 20.0,0.5"}
	if !slices.Equal(names, want) {
		t.Errorf("the squares are %q, want %q", names, want)
	}
	if got := draw(t, "squares:1in", "60x2in").Notes[27].Text; got != "AB" {
		t.Errorf("the 28th square is %s, want AB", got)
	}
}

// Labels are in the unit of the canvas, inches to 1/16, whatever the plan is spelt in.
func TestLabelsAreInTheCanvasUnit(t *testing.T) {
	for _, c := range []struct {
		canvas, plan string
		want         []string
	}{
		{"36 x 24 in", "plumb:304.8mm,level:100.01mm,angled:31.75mm:5cm:30", []string{
			"plumb line 12 in from the left", "level line 3 15/16 in from the top", "line at 30° through 1 1/4 in from the left, 1 15/16 in from the top",
		}},
		{"50 x 40 cm", "plumb:6in,squares:6in", []string{
			"plumb line 15.2 cm from the left", "30.5 cm from the left", "45.7 cm from the left", "15.2 cm from the top", "30.5 cm from the top",
		}},
	} {
		plan, err := line.ParsePlan(c.plan)
		if err != nil {
			t.Fatal(err)
		}
		canvas, err := place.ParseSize(c.canvas, place.Inch)
		if err != nil {
			t.Fatal(err)
		}
		s, err := line.Draw(plan, canvas)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, l := range s.Lines {
			got = append(got, l.Label)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s on %s is labelled %q, want %q", c.plan, c.canvas, got, c.want)
		}
	}
}
