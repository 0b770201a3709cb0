package setout_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"maulstick/render/line"
	"maulstick/render/place"
	"maulstick/render/setout"
)

// plans are of every kind, and of some at once.
var plans = []string{
	"", "diagonals:1", "diagonals:4", "thirds", "golden", "rabatment", "reciprocal", "divide:5x7",
	"squares:3in:bottom-right", "plumb:4in", "level:3in", "angled:4in:3in:35", "plumb:90in", "thirds,rabatment,thirds,squares:60in",
	"diagonals:3,thirds,golden,rabatment,reciprocal,squares:4in:top-right,angled:7in:5in:112.5",
}

// asks are all plans, each on a canvas, from a corner and with a rounding of its own.
func asks() []setout.Ask {
	random := rand.New(rand.NewPCG(11, 12))
	var all []setout.Ask
	for i, plan := range plans {
		all = append(all, setout.Ask{
			Plan: plan, Canvas: place.Size{
				Width: place.MM(100 + 2000*random.Float64()), Height: place.MM(9+random.IntN(60)) * place.Inch.MM(), Unit: place.Unit(i % 5),
			},
			Corner: place.Edges{Right: i%2 > 0, Bottom: i%3 > 0}, Rounding: []string{"", "1/8", "1/32", "mm"}[i%4],
		})
	}
	return all
}

// direct is what package line itself makes of a question.
func direct(t testing.TB, a setout.Ask) (*line.Set, line.List) {
	t.Helper()
	plan, err := line.ParsePlan(a.Plan)
	if err != nil {
		t.Fatal(err)
	}
	s, err := line.Draw(plan, a.Canvas)
	if err != nil {
		t.Fatal(err)
	}
	rounding := line.RoundingFor(a.Canvas.Unit)
	if a.Rounding != "" {
		if rounding, err = line.ParseRounding(a.Rounding); err != nil {
			t.Fatal(err)
		}
	}
	return s, line.Chalk(s, a.Corner, rounding)
}

// crossed is a question's answer on the other side of both crossings.
func crossed(t testing.TB, a setout.Ask) setout.Answer {
	t.Helper()
	data, err := a.MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	var asked setout.Ask
	if err := asked.UnmarshalBinary(data); err != nil || asked != a {
		t.Fatalf("%+v comes over as %+v, %v", a, asked, err)
	}
	if data, err = setout.Draw(asked).MarshalBinary(); err != nil {
		t.Fatal(err)
	}
	var answer setout.Answer
	if err := answer.UnmarshalBinary(data); err != nil {
		t.Fatal(err)
	}
	return answer
}

// What comes back over is what package line draws, figure for figure.
func TestAnswersAreWhatIsDrawn(t *testing.T) {
	crossings := 0
	for _, a := range asks() {
		s, list := direct(t, a)
		got := crossed(t, a)
		if got.Err != "" || len(got.Lines) != len(s.Lines) || len(got.Crossings) != len(s.Crossings) {
			t.Fatalf("%s: %q, %d lines and %d crossings, want %d and %d", a.Plan, got.Err, len(got.Lines), len(got.Crossings), len(s.Lines), len(s.Crossings))
		}
		for i, l := range s.Lines {
			if !reflect.DeepEqual(got.Lines[i], l.Drawn) {
				t.Errorf("%s: line %d is %+v, want %+v", a.Plan, i, got.Lines[i], l.Drawn)
			}
		}
		for i, c := range s.Crossings {
			if !reflect.DeepEqual(got.Crossings[i], c) {
				t.Errorf("%s: crossing %d is %+v, want %+v", a.Plan, i, got.Crossings[i], c)
			}
		}
		if !slices.Equal(got.Notes, s.Notes) || !slices.Equal(got.Missed, s.Missed) || !reflect.DeepEqual(got.Chalk, list) {
			t.Errorf("%s: notes, what is missed or the chalk list come back as %+v", a.Plan, got)
		}
		crossings += len(s.Crossings)
	}
	if crossings < 1000 {
		t.Errorf("only %d crossings came over", crossings)
	}
}

// The nearest line and crossing to any point are those that the set itself tells.
func TestNearestIsTheSets(t *testing.T) {
	random := rand.New(rand.NewPCG(13, 14))
	told := 0
	for _, a := range asks() {
		s, _ := direct(t, a)
		got := crossed(t, a)
		for range 200 {
			p := place.CanvasPoint{X: a.Canvas.Width * place.MM(random.Float64()*1.2-0.1), Y: a.Canvas.Height * place.MM(random.Float64()*1.2-0.1)}
			i, off, ok := s.NearestCrossing(p)
			j, otherOff, otherOK := got.NearestCrossing(p)
			if i != j || off != otherOff || ok != otherOK {
				t.Fatalf("%s: the crossing nearest to %v is %d, %+v, want %d, %+v", a.Plan, p, j, otherOff, i, off)
			}
			k, signed, foot, found := s.NearestLine(p)
			l, otherSigned, otherFoot, otherFound := got.NearestLine(p)
			if k != l || signed != otherSigned || foot != otherFoot || found != otherFound {
				t.Fatalf("%s: the line nearest to %v is %d, %v, want %d, %v", a.Plan, p, l, otherSigned, k, signed)
			}
			if ok && found {
				told++
			}
		}
	}
	if told < 1500 {
		t.Errorf("only %d points had both near them", told)
	}
}

// Thirds of 33 x 70 in, divided by hand: marks at 11 and 22 in across and at
// 23 1/3 and 46 2/3 in down, which to eighths are 23 3/8 and 46 5/8; the four
// crossings are a third of the sides from the edges.
func TestThirdsByHand(t *testing.T) {
	got := crossed(t, setout.Ask{
		Plan: "thirds", Canvas: place.Size{Width: 33 * 25.4, Height: 70 * 25.4, Unit: place.Inch}, Rounding: "1/8",
	})
	var marks []string
	for _, m := range got.Chalk.Marks {
		marks = append(marks, m.Edge.String()+" "+m.Text)
	}
	want := []string{
		"top 11 in", "top 22 in", "bottom 11 in", "bottom 22 in",
		"left 23 3/8 in", "left 46 5/8 in", "right 23 3/8 in", "right 46 5/8 in",
	}
	if !slices.Equal(marks, want) {
		t.Errorf("the marks are %q, want %q", marks, want)
	}
	at := place.CanvasPoint{X: 12 * 25.4, Y: 23 * 25.4}
	if _, off, ok := got.NearestCrossing(at); !ok || math.Abs(float64(off.DX)-25.4) > 1e-9 || math.Abs(float64(off.DY)+25.4/3) > 1e-9 {
		t.Errorf("12 in across and 23 in down is %+v off a crossing, want 1 in right and 1/3 in above", off)
	}
}

// What cannot be drawn is refused in words, with a hint, and nothing else.
func TestRefusals(t *testing.T) {
	good := setout.Ask{Plan: "thirds", Canvas: place.Size{Width: 300, Height: 200}}
	for what, change := range map[string]func(*setout.Ask){
		"“spirals” is no construction": func(a *setout.Ask) { a.Plan = "spirals" },
		"the canvas has no size":       func(a *setout.Ask) { a.Canvas.Height = 0 },
		"it is none that a rule shows": func(a *setout.Ask) { a.Rounding = "1/7" },
		"are more than":                func(a *setout.Ask) { a.Plan = "squares:1mm" },
	} {
		a := good
		change(&a)
		got := crossed(t, a)
		if words := strings.NewReplacer("“", `"`, "”", `"`).Replace(what); !strings.Contains(got.Err, words) || got.Hint == "" {
			t.Errorf("%+v is refused with %q and the hint %q, want %q", a, got.Err, got.Hint, what)
		}
		if got.Err, got.Hint = "", ""; !reflect.DeepEqual(got, setout.Answer{}) {
			t.Errorf("%+v is refused and has lines: %+v", a, got)
		}
	}
	if got := crossed(t, good); got.Err != "" || len(got.Lines) != 4 {
		t.Errorf("thirds have %d lines, %q", len(got.Lines), got.Err)
	}
}

func BenchmarkAnswer(b *testing.B) {
	a := setout.Ask{Plan: "diagonals:4,thirds,golden,rabatment,reciprocal", Canvas: place.Size{Width: 838.2, Height: 1778}}
	answer := setout.Draw(a)
	data, err := answer.MarshalBinary()
	if err != nil {
		b.Fatal(err)
	}
	b.Run(fmt.Sprintf("draw-%d-lines", len(answer.Lines)), func(b *testing.B) {
		for b.Loop() {
			setout.Draw(a)
		}
	})
	b.Run(fmt.Sprintf("read-%d-crossings", len(answer.Crossings)), func(b *testing.B) {
		b.SetBytes(int64(len(data)))
		for b.Loop() {
			var back setout.Answer
			if err := back.UnmarshalBinary(data); err != nil {
				b.Fatal(err)
			}
		}
	})
}
