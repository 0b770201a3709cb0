package line_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"maulstick/render/line"
	"maulstick/render/place"
)

// corners are the corners of a canvas.
var corners = []place.Edges{{}, {Right: true}, {Bottom: true}, {Right: true, Bottom: true}}

// rounding is one that must be readable.
func rounding(t testing.TB, text string) line.Rounding {
	t.Helper()
	r, err := line.ParseRounding(text)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// measure lays a rule along an edge from the corner's end and makes a mark at
// the distance that is spelt, as a painter would.
func measure(t *testing.T, s *line.Set, corner place.Edges, edge line.Edge, text string) place.CanvasPoint {
	t.Helper()
	l, _, err := place.ParseLength(text, place.Inch)
	if err != nil {
		t.Fatal(err)
	}
	p := place.CanvasPoint{X: l, Y: l}
	if corner.Right {
		p.X = s.Canvas.Width - l
	}
	if corner.Bottom {
		p.Y = s.Canvas.Height - l
	}
	switch edge {
	case line.Top:
		p.Y = 0
	case line.Bottom:
		p.Y = s.Canvas.Height
	case line.Left:
		p.X = 0
	case line.Right:
		p.X = s.Canvas.Width
	}
	return p
}

// The list, drawn again from its words alone, gives every line of the set once,
// and each end within half a division of where it belongs.
func TestChalkListDrawsTheLines(t *testing.T) {
	for n, canvas := range canvases(6) {
		for k, plan := range plans {
			s := draw(t, plan, canvas)
			corner := corners[(n+k)%4]
			r := rounding(t, []string{"1/8", "1/16", "1/32", "mm"}[(n+k/4)%4])
			list := line.Chalk(s, corner, r)
			at := map[string]place.CanvasPoint{
				"top left corner": {}, "top right corner": {X: s.Canvas.Width},
				"bottom left corner":  {Y: s.Canvas.Height},
				"bottom right corner": {X: s.Canvas.Width, Y: s.Canvas.Height},
			}
			for _, m := range list.Marks {
				if _, twice := at[m.Name]; twice {
					t.Fatalf("%s on %s: %s is listed twice", plan, canvas, m.Name)
				}
				at[m.Name] = measure(t, s, corner, m.Edge, m.Text)
				if off := math.Abs(float64(m.Chalk - m.Exact - m.Error)); off > 1e-12 {
					t.Errorf("%s on %s: the error of %s is off by %v", plan, canvas, m.Name, off)
				}
			}
			drawn := make([]int, len(s.Lines))
			for _, j := range list.Joins {
				drawn[j.Line]++
				l := s.Lines[j.Line]
				for _, end := range []struct {
					name  string
					exact place.CanvasPoint
				}{{j.From.Name, l.From}, {j.To.Name, l.To}} {
					p, known := at[end.name]
					off := math.Hypot(float64(p.X-end.exact.X), float64(p.Y-end.exact.Y))
					if !known || off > float64(r.Grain())/2+1e-5 {
						t.Errorf("%s on %s: %s of %s is %v mm off", plan, canvas, end.name, l.Label, off)
					}
				}
			}
			for i, n := range drawn {
				if n != 1 {
					t.Errorf("%s on %s: %s is drawn %d times", plan, canvas, s.Lines[i].Label, n)
				}
			}
		}
	}
}

// Thirds of 33 x 70 in by hand: 11 and 22 in across, 23 1/3 and 46 2/3 up, which to
// sixteenths is 23 5/16, 1/48 in short, and 46 11/16, 1/48 in long.
func TestChalkListByHand(t *testing.T) {
	s := draw(t, "thirds", "33x70in")
	list := line.Chalk(s, place.Edges{Bottom: true}, rounding(t, "1/16"))
	var got []string
	for _, m := range list.Marks {
		got = append(got, fmt.Sprintf("%s %s %.3f", m.Name, m.Text, m.Error))
	}
	want := []string{
		"bottom 1 11 in 0.000", "bottom 2 22 in 0.000", "top 1 11 in 0.000", "top 2 22 in 0.000",
		"left 1 23 5/16 in -0.529", "left 2 46 11/16 in 0.529", "right 1 23 5/16 in -0.529", "right 2 46 11/16 in 0.529",
	}
	if !slices.Equal(got, want) {
		t.Errorf("the marks are %q, want %q", got, want)
	}
	var joins []string
	for _, j := range list.Joins {
		joins = append(joins, j.From.Name+" - "+j.To.Name)
	}
	// Levels from the bottom up; then the nearer plumb line.
	if want := []string{"left 1 - right 1", "left 2 - right 2", "top 1 - bottom 1", "top 2 - bottom 2"}; !slices.Equal(joins, want) {
		t.Errorf("the joins are %q, want %q", joins, want)
	}
	// From crossing to crossing as chalked: 11 in across and 23 3/8 up.
	c := list.Check
	if want := math.Hypot(11, 23.375) * 25.4; math.Abs(float64(c.Distance)-want) > 1e-9 || c.Text != "25 13/16 in" {
		t.Errorf("the check is %v mm, %q, want %v", c.Distance, c.Text, want)
	}
	if want := math.Hypot(11, 70.0/3) * 25.4; math.Abs(float64(c.Exact)-want) > 1e-9 {
		t.Errorf("the check is exactly %v mm, want %v", c.Exact, want)
	}
	if !strings.Contains(c.From+c.To, "left 1 – right 1") || !strings.Contains(c.From+c.To, "left 2 – right 2") {
		t.Errorf("the check is from %s to %s", c.From, c.To)
	}
}

// The diagonal of a canvas of 3 x 4 is 5 (Euclid, Elements I.47), and where there
// is no crossing two marks are measured.
func TestCheckDistance(t *testing.T) {
	list := line.Chalk(draw(t, "plumb:10in", "40x30in"), place.Edges{}, rounding(t, "1/8"))
	c := list.Check
	if c.CanvasDiagonalIs != "50 in" || c.From != "top 1" || c.To != "bottom 1" || c.Text != "30 in" {
		t.Errorf("the check is %+v", c)
	}
	if c := line.Chalk(draw(t, "", "40x30in"), place.Edges{}, rounding(t, "mm")).Check; c.Text != "" || c.CanvasDiagonalIs != "1270 mm" {
		t.Errorf("without lines the check is %+v", c)
	}
}

// A crossing is found again by the two of its lines that meet most squarely. Where
// those are plumb and level it is chalked within half a division each way.
func TestCheckMeetsSquarely(t *testing.T) {
	list := line.Chalk(draw(t, "angled:10in:10in:30,level:10in,plumb:10in,plumb:30in", "40x30in"), place.Edges{}, rounding(t, "1/8"))
	for _, name := range []string{list.Check.From, list.Check.To} {
		if !strings.Contains(name, "left 1 – right 1") || !strings.Contains(name, "top 1 – bottom 1") && !strings.Contains(name, "top 3 – bottom 2") {
			t.Errorf("the check is from %s to %s", list.Check.From, list.Check.To)
		}
	}
	compared := 0
	for _, canvas := range canvases(6) {
		for _, plan := range []string{"thirds", "golden", "divide:5x7", "squares:3in:bottom-right,angled:6in:6in:45"} {
			r := rounding(t, "1/8")
			c := line.Chalk(draw(t, plan, canvas), place.Edges{Right: true}, r).Check
			if off := math.Abs(float64(c.Distance - c.Exact)); off > math.Sqrt2*float64(r.Grain())+1e-6 {
				t.Errorf("%s on %s: the check is %v mm off", plan, canvas, off)
			}
			compared++
		}
	}
	if compared < 40 {
		t.Errorf("%d checks were compared", compared)
	}
}

// A level line half an inch off, as by two marks measured wrong, changes the check
// distance.
func TestCheckFindsAWrongMark(t *testing.T) {
	s := draw(t, "thirds", "70x33in")
	list := line.Chalk(s, place.Edges{}, rounding(t, "1/16"))
	wrong := draw(t, "level:11 1/2in,level:22in,plumb:23 1/3in,plumb:46 2/3in", "70x33in")
	off := line.Chalk(wrong, place.Edges{}, rounding(t, "1/16"))
	if list.Check.Text == off.Check.Text {
		t.Errorf("both checks are %s", off.Check.Text)
	}
}

// travel is how far a rule moves through lines in an order.
func travel(s *line.Set, order []int) (sum float64) {
	apart := func(p, q place.CanvasPoint) float64 { return math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)) }
	for i := 1; i < len(order); i++ {
		a, b := s.Lines[order[i-1]], s.Lines[order[i]]
		sum += min(apart(a.From, b.From)+apart(a.To, b.To), apart(a.From, b.To)+apart(a.To, b.From)) / 2
	}
	return sum
}

// best is the shortest way through lines in any order, by trying all.
func best(s *line.Set, done, left []int) float64 {
	if len(left) == 0 {
		return travel(s, done)
	}
	least := math.Inf(1)
	for i := range left {
		rest := slices.Concat(left[:i], left[i+1:])
		least = min(least, best(s, append(slices.Clone(done), left[i]), rest))
	}
	return least
}

// The way is short: for a handful of slanted lines within a twentieth of the
// shortest of all ways, for all lines far below the plan's own order, and parallel
// ones are never passed twice.
func TestJoinsTravelLittle(t *testing.T) {
	const slanted = "reciprocal,angled:5in:5in:20,angled:9in:3in:110,angled:2in:8in:70"
	for _, canvas := range canvases(6) {
		s := draw(t, slanted, canvas)
		list := line.Chalk(s, place.Edges{}, rounding(t, "mm"))
		var order, all []int
		for i, j := range list.Joins {
			order, all = append(order, j.Line), append(all, i)
		}
		got := travel(s, order)
		if least := best(s, nil, all); got > 1.05*least || got < least-1e-6 {
			t.Errorf("on %s the way is %.0f mm, the shortest %.0f", canvas, got, least)
		}
		if math.Abs(got-float64(list.Travel)) > 1e-6 {
			t.Errorf("on %s the way is %v mm, not %v", canvas, got, list.Travel)
		}
		s = draw(t, full, canvas)
		list = line.Chalk(s, place.Edges{Right: true}, rounding(t, "1/32"))
		all = all[:0]
		var levels []place.MM
		for i, j := range list.Joins {
			all = append(all, i)
			if l := s.Lines[j.Line]; l.From.Y == l.To.Y {
				levels = append(levels, l.From.Y)
			}
		}
		if plain := travel(s, all); float64(list.Travel) > plain/2 {
			t.Errorf("on %s the way is %v mm, in the plan's order %v", canvas, list.Travel, plain)
		}
		if !slices.IsSorted(levels) {
			t.Errorf("on %s the level lines are at %v", canvas, levels)
		}
	}
}

func TestRoundings(t *testing.T) {
	for text, want := range map[string]line.Rounding{
		"1/8": {Unit: place.Inch, Denominator: 8}, " 1/16 in": {Unit: place.Inch, Denominator: 16},
		"1/32": {Unit: place.Inch, Denominator: 32}, "MM": {Unit: place.Millimetre, Denominator: 1},
	} {
		if got := rounding(t, text); got != want {
			t.Errorf("%q is %v, want %v", text, got, want)
		}
	}
	for _, text := range []string{"", "1/7", "1/64", "cm", "16"} {
		if _, err := line.ParseRounding(text); place.Hint(err) == "" {
			t.Errorf("%q is refused with %v", text, err)
		}
	}
	if got := line.RoundingFor(place.Foot); got.Denominator != 16 || got.Grain() != 25.4/16 {
		t.Errorf("feet are rounded to %v", got)
	}
	if got := line.RoundingFor(place.Centimetre); got.Unit != place.Millimetre || got.Grain() != 1 {
		t.Errorf("centimetres are rounded to %v", got)
	}
	// Feet are spelt in feet, and no mark lies past the end of its side.
	s := draw(t, "plumb:2499.8mm", "2499.9x100mm")
	m := line.Chalk(s, place.Edges{}, rounding(t, "mm")).Marks[0]
	if m.Text != "2499 mm" {
		t.Errorf("a mark at the end of a side is at %s", m.Text)
	}
	feet := line.Chalk(draw(t, "plumb:2ft 9 1/2in", "4x3ft"), place.Edges{}, line.RoundingFor(place.Foot)).Marks[0]
	if feet.Text != "2 ft 9 1/2 in" {
		t.Errorf("a mark in feet is at %s", feet.Text)
	}
}

func BenchmarkChalk(b *testing.B) {
	s := draw(b, full, "70x33in")
	for b.Loop() {
		line.Chalk(s, place.Edges{Bottom: true}, rounding(b, "1/16"))
	}
}

// Keys are of places on the canvas: neither the corner nor the rounding changes them.
func TestKeysAreOfPlaces(t *testing.T) {
	set := draw(t, "diagonals:2,divide:7x5,golden", "70x33in")
	keysOf := func(l line.List) (keys []string) {
		for _, m := range l.Marks {
			keys = append(keys, m.Key())
		}
		for _, j := range l.Joins {
			keys = append(keys, l.Key(j))
		}
		slices.Sort(keys)
		return keys
	}
	want := keysOf(line.Chalk(set, place.Edges{}, line.RoundingFor(place.Inch)))
	if len(slices.Compact(slices.Clone(want))) != len(want) {
		t.Error("two rows have one key")
	}
	for _, corner := range []place.Edges{{}, {Right: true}, {Bottom: true}, {Right: true, Bottom: true}} {
		for _, r := range []line.Rounding{{place.Inch, 8}, {place.Inch, 32}, {place.Millimetre, 1}} {
			if got := keysOf(line.Chalk(set, corner, r)); !slices.Equal(got, want) {
				t.Errorf("from the %s to %v the keys are other ones", line.CornerWords(corner), r)
			}
		}
	}
}
