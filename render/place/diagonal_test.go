package place_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"maulstick/render/place"
)

const inch = 25.4

// A canvas of 33 x 70 in has diagonals of 77.39 in: 33² + 70² = 5989, and
// 77.385² < 5989 < 77.395² by Pythagoras.
func TestDiagonal(t *testing.T) {
	for _, typed := range []string{"33 x 70 in", "70 x 33 in"} {
		if got := place.Decimal(size(t, typed).Diagonal(), place.Inch, 2); got != "77.39 in" {
			t.Errorf("the diagonal of %s is %s", typed, got)
		}
	}
	if got := size(t, "30 x 40 cm").Diagonal(); got != 500 {
		t.Errorf("the diagonal of 30 x 40 cm is %v", got)
	}
}

// A frame of 70 x 33 in whose diagonals measure 77 1/2 and 77 1/4 in: a quarter
// out; by the law of cosines the top has slid (77.25² - 77.5²) / (4 x 70) in.
func TestCheckSquareWorkedExample(t *testing.T) {
	q, err := place.CheckSquare(size(t, "70 x 33 in"), 77.5*inch, 77.25*inch)
	if err != nil {
		t.Fatal(err)
	}
	closeTo(t, "out", float64(q.Out), 0.25*inch, 1e-9)
	closeTo(t, "lean", float64(q.Lean), -38.6875/280*inch, 1e-9)
	closeTo(t, "skew", float64(q.Skew), math.Asin(38.6875/280/33)*180/math.Pi, 1e-9)
	closeTo(t, "sides", float64(q.Sides), (math.Sqrt((77.5*77.5+77.25*77.25)/2)-math.Sqrt(5989))*inch, 1e-9)
	if q.Square || q.Ease != [2]place.Corner{place.TopLeft, place.BottomRight} {
		t.Errorf("it is %+v", q)
	}
	other, err := place.CheckSquare(size(t, "70 x 33 in"), 77.25*inch, 77.5*inch)
	if err != nil || other.Lean != -q.Lean || other.Ease != [2]place.Corner{place.BottomLeft, place.TopRight} {
		t.Errorf("the other way it is %+v, %v", other, err)
	}
	if eighth, err := place.CheckSquare(size(t, "70 x 33 in"), 77.5*inch, 77.375*inch); err != nil || eighth.Square {
		t.Errorf("an eighth out it is %+v, %v", eighth, err)
	}
	if near, err := place.CheckSquare(size(t, "70 x 33 in"), 77.45*inch, 77.33*inch); err != nil || !near.Square {
		t.Errorf("under an eighth out it is %+v, %v", near, err)
	}
}

// Frames built with a known lean give it back.
func TestCheckSquareFindsTheLean(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 32))
	for range 10_000 {
		w, h := 100+2000*r.Float64(), 100+2000*r.Float64()
		lean := 0.04 * (r.Float64() - 0.5) * min(w, h)
		rise := math.Sqrt(h*h - lean*lean)
		q, err := place.CheckSquare(place.Size{Width: place.MM(w), Height: place.MM(h)},
			place.MM(math.Hypot(w-lean, rise)), place.MM(math.Hypot(w+lean, rise)))
		if err != nil {
			t.Fatal(err)
		}
		closeTo(t, "lean", float64(q.Lean), lean, 1e-9)
		closeTo(t, "skew", math.Sin(q.Skew.Radians()), math.Abs(lean)/h, 1e-9)
		closeTo(t, "sides", float64(q.Sides), 0, 1e-9)
		if top := q.Ease[0] == place.BottomLeft; lean != 0 && top != (lean > 0) {
			t.Fatalf("leaning by %v, ease %v", lean, q.Ease)
		}
	}
}

func TestCheckSquareRefuses(t *testing.T) {
	canvas := size(t, "70 x 33 in")
	for _, d := range [][2]place.MM{{70 * inch, 77.4 * inch}, {77.4 * inch, 85 * inch}, {0, 0}, {place.MM(math.NaN()), 77.4 * inch}, {77.4 * inch, place.MM(math.Inf(1))}, {77.4, 77.4}} {
		if _, err := place.CheckSquare(canvas, d[0], d[1]); err == nil || place.Hint(err) == "" {
			t.Errorf("%v: %v", d, err)
		}
	}
	if got := place.Corner(9).String(); got != "?" {
		t.Errorf("no corner is %q", got)
	}
}

// A canvas of 36 x 24 in with 1 1/2 in of turnover and margins of an inch, and
// two at the bottom, put together by hand.
func TestCompose(t *testing.T) {
	face := size(t, "36 x 24 in")
	b := place.Border{Turnover: 1.5 * inch, Margin: place.Sides{Left: inch, Top: inch, Right: inch, Bottom: 2 * inch}}
	for _, c := range []struct {
		turnoverIn, marginIn     bool
		width, height, left, top float64 // inches
	}{
		{false, false, 34, 21, 1, 1}, {false, true, 36, 24, 0, 0},
		{true, false, 37, 24, -0.5, -0.5}, {true, true, 39, 27, -1.5, -1.5},
	} {
		b.TurnoverIn, b.MarginIn = c.turnoverIn, c.marginIn
		got, err := b.Compose(face)
		if err != nil {
			t.Fatal(err)
		}
		for i, pair := range [][2]float64{{float64(got.Size.Width), c.width}, {float64(got.Size.Height), c.height}, {float64(got.Inset.Left), c.left}, {float64(got.Inset.Top), c.top}} {
			closeTo(t, "side "+string(rune('0'+i)), pair[0], pair[1]*inch, 1e-9)
		}
		m := place.Mapping{Canvas: got.Size, Inset: got.Inset}
		if x, y := m.Distances(place.CanvasPoint{X: 10, Y: 20}, place.Edges{}); x != 10+got.Inset.Left || y != 20+got.Inset.Top {
			t.Errorf("a place lies at %v, %v", x, y)
		}
		// The far corner of the composition, from the face's right and bottom edges.
		x, y := m.Distances(place.CanvasPoint{X: got.Size.Width, Y: got.Size.Height}, place.Edges{Right: true, Bottom: true})
		closeTo(t, "from the right", float64(x), 36*inch-(c.left+c.width)*inch, 1e-9)
		closeTo(t, "from the bottom", float64(y), 24*inch-(c.top+c.height)*inch, 1e-9)
	}
	for _, bad := range []place.Border{
		{Margin: place.Sides{Left: 20 * inch, Right: 16 * inch}}, {Turnover: -1}, {Turnover: place.MM(math.NaN())}, {Margin: place.Sides{Top: place.MM(math.Inf(1))}},
		{Turnover: 12 * inch}, {Margin: place.Sides{Bottom: 12 * inch}, MarginIn: true}, {Margin: place.Sides{Right: 18 * inch}},
	} {
		if got, err := bad.Compose(face); err == nil || place.Hint(err) == "" {
			t.Errorf("%+v gives %+v, %v", bad, got, err)
		}
	}
}
