package study

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"maulstick/render/line"
	"maulstick/render/place"
)

// handles are all that a crop is held by.
func handles() []place.Handle {
	var all []place.Handle
	for x := -1; x <= 1; x++ {
		for y := -1; y <= 1; y++ {
			all = append(all, place.Handle{X: x, Y: y})
		}
	}
	return all
}

// However a crop is pulled, it shows the photograph alone, also where that is turned,
// and held to the canvas it keeps the canvas's proportion.
func TestPulledCropsShowThePhotographAlone(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	for _, tilt := range []place.Degrees{0, 3.2, -17} {
		d, _, err := fresh().WithCanvas(canvas(36, 20), "36 x 20").WithRighting(Righting{Corners: []place.PhotoPoint{}, Tilt: tilt})
		if err != nil {
			t.Fatal(err)
		}
		turn := place.Turn{Photo: d.came(), Tilt: tilt}
		for i := range 300 {
			if i == 150 {
				d = d.Held(HoldFree)
			}
			h := handles()[r.IntN(9)]
			d = d.Pulled(h, r.Float64()*2000-1000, r.Float64()*2000-1000)
			if err := d.Check(); err != nil {
				t.Fatalf("tilt %v, pull %d: %v", tilt, i, err)
			}
			if !turn.Holds(d.Crop()) {
				t.Fatalf("tilt %v, pull %d by %v: %v shows what lies beyond the photograph", tilt, i, h, d.Crop())
			}
			if off := float64(d.Crop().Aspect())/(36.0/20) - 1; d.Hold == HoldCanvas && math.Abs(off) > 1e-9 {
				t.Fatalf("tilt %v, pull %d: the crop's aspect is off by %v", tilt, i, off)
			}
		}
		if d = d.Held(HoldCanvas); math.Abs(float64(d.Crop().Aspect())/(36.0/20)-1) > 1e-9 || !turn.Holds(d.Crop()) {
			t.Errorf("tilt %v: held to the canvas again the crop is %v", tilt, d.Crop())
		}
	}
}

// A crop inside the photograph is as large on every canvas, and back on the first it
// is the same.
func TestCropKeepsItsAreaFromCanvasToCanvas(t *testing.T) {
	d := fresh().WithCanvas(canvas(36, 24), "").Pulled(place.Handle{X: -1, Y: -1}, 1400, 1400).Pulled(place.Handle{}, -400, -400)
	first := d.Crop()
	for _, c := range []place.Size{canvas(24, 24), canvas(24, 30), canvas(36, 24)} {
		d = d.WithCanvas(c, "")
		if got := d.Crop().Width * d.Crop().Height / (first.Width * first.Height); math.Abs(got-1) > 1e-9 {
			t.Errorf("on %v the crop is %v times as large", c, got)
		}
	}
	if got := d.Crop(); math.Abs(got.X-first.X)+math.Abs(got.Y-first.Y)+math.Abs(got.Width-first.Width) > 1e-6 {
		t.Errorf("back on the first canvas the crop is %v, was %v", got, first)
	}
}

// Turned and turned back, marks and the path of the eye lie where they did; what a
// squaring up leaves out is counted.
func TestRightingCarriesWhatLiesOnThePhotograph(t *testing.T) {
	d := fresh().WithCanvas(canvas(36, 24), "").WithMark(place.PhotoPoint{X: 1500, Y: 900}, 3).WithMark(place.PhotoPoint{X: 20, Y: 30}, 3)
	d = d.WithEye(EyePath{{X: 700, Y: 800}, {X: 900, Y: 1000}}).WithSpan(1, 2)
	turned, lost, err := d.WithRighting(Righting{Corners: []place.PhotoPoint{}, Tilt: 5})
	if err != nil || lost != 0 {
		t.Fatal(lost, err)
	}
	// 5 degrees clockwise about the middle of 3000 x 2000, in a picture that just holds
	// all of it (a rotation matrix with y downwards).
	sin, cos := math.Sincos(5 * math.Pi / 180)
	size := turned.Pixels()
	x := float64(size.Width)/2 + cos*0 - sin*-100
	y := float64(size.Height)/2 + sin*0 + cos*-100
	if m := turned.Marks[0]; math.Abs(m.X-x) > 1e-9 || math.Abs(m.Y-y) > 1e-9 {
		t.Errorf("a mark 100 above the middle went to %v, %v, want %v, %v", m.X, m.Y, x, y)
	}
	back, lost, err := turned.WithRighting(newRighting())
	if err != nil || lost != 0 {
		t.Fatal(lost, err)
	}
	for i, m := range back.Marks {
		if math.Hypot(m.X-d.Marks[i].X, m.Y-d.Marks[i].Y) > 1e-6 {
			t.Errorf("mark %d came back to %v, %v", m.ID, m.X, m.Y)
		}
	}
	if p := back.Eye[0][1]; math.Hypot(p.X-900, p.Y-1000) > 1e-6 {
		t.Errorf("the path of the eye came back to %v", p)
	}
	squared, lost, err := d.WithRighting(Righting{
		Corners: []place.PhotoPoint{{X: 500, Y: 400}, {X: 2600, Y: 500}, {X: 2500, Y: 1700}, {X: 450, Y: 1800}},
		Flat:    canvas(30, 20),
	})
	if err != nil || lost != 1 || len(squared.Marks) != 1 || len(squared.Spans) != 0 {
		t.Errorf("squaring up lost %d marks and left %v and %v, %v", lost, squared.Marks, squared.Spans, err)
	}
	if err := squared.Check(); err != nil {
		t.Error(err)
	}
	if aspect := float64(squared.Pixels().Width) / float64(squared.Pixels().Height); math.Abs(aspect-1.5) > 0.002 {
		t.Errorf("a thing of 30 x 20 became a picture of aspect %v", aspect)
	}
	if _, _, err := d.WithRighting(Righting{Corners: []place.PhotoPoint{{}, {}, {}, {}}, Flat: canvas(30, 20)}); err == nil || place.Hint(err) == "" {
		t.Errorf("four corners in one place: %v", err)
	}
}

func TestLinesFollowTheirMarks(t *testing.T) {
	d := fresh().WithCanvas(canvas(36, 24), "").WithMark(place.PhotoPoint{X: 1500, Y: 500}, 0)
	d = d.WithConstruction(NewConstruction(line.Plumb, 1)).WithConstruction(NewConstruction(line.Thirds, 0))
	d = d.WithConstruction(NewConstruction(line.Angled, 1))
	// 3000 pixels are 36 in: the mark lies 18 in from the left, 6 in from the top.
	at := func(d Document) (place.MM, place.MM) { return d.LinePlan().Uses[0].X, d.LinePlan().Uses[2].Y }
	if x, y := at(d); math.Abs(float64(x)-18*25.4) > 1e-9 || math.Abs(float64(y)-6*25.4) > 1e-9 {
		t.Errorf("the lines go through %v, %v mm", x, y)
	}
	moved := d.MovedMark(1, place.PhotoPoint{X: 750, Y: 1000}, 0)
	if x, y := at(moved); math.Abs(float64(x)-9*25.4) > 1e-9 || math.Abs(float64(y)-12*25.4) > 1e-9 {
		t.Errorf("with the mark moved the lines go through %v, %v mm", x, y)
	}
	// Cropped to 1000..2500 by 1000..2000, 500 pixels are 12 in: the mark is 500 above the
	// crop. The plumb line through it is seen, 12 in from the left, the level one is not,
	// and one that rises at 45 degrees meets the top left corner alone; falling at 45, it
	// comes in at the top 24 in from the left and ends at the right edge 12 in down, its
	// middle 30 in from the left and 6 in from the top.
	cropped := d.WithConstruction(NewConstruction(line.Level, 1))
	cropped.Own = place.Crop{X: 1000, Y: 1000, Width: 1500, Height: 1000}
	falling := NewConstruction(line.Angled, 1)
	falling.Degrees = -45
	for i, c := range []struct {
		d    Document
		use  int
		x, y place.MM
	}{{cropped, 0, 12 * 25.4, 0}, {cropped, 3, 0, 0}, {cropped, 2, 0, 0}, {cropped.WithConstruction(falling), 2, 30 * 25.4, 6 * 25.4}} {
		u := c.d.LinePlan().Uses[c.use]
		if math.Abs(float64(u.X-c.x)) > 1e-9 || math.Abs(float64(u.Y-c.y)) > 1e-9 {
			t.Errorf("%d: through a mark off the canvas %s goes through %v, %v mm, want %v, %v", i, u.Kind, u.X, u.Y, c.x, c.y)
		}
		if err := c.d.Check(); err != nil {
			t.Error(err)
		}
	}
	tiny := d.WithCanvas(place.Size{Width: 3, Height: 2}, "") // a pixel is a thousandth of a millimetre
	if err := tiny.MovedMark(1, place.PhotoPoint{X: 5, Y: 1995}, 0).Check(); err != nil {
		t.Error(err)
	}
	if left := moved.WithoutMark(1); len(left.Lines.Uses) != 1 || left.Lines.Uses[0].Kind != line.Thirds || left.Check() != nil {
		t.Errorf("without the mark %v are left", left.Lines.Uses)
	}
	again := d.WithConstruction(Construction{Kind: line.Thirds, Weight: 5, Strength: 100})
	if len(again.Lines.Uses) != 3 || again.Lines.Uses[1].Weight != 5 || again.Lines.Chosen != 1 {
		t.Errorf("thirds drawn again: %v", again.Lines)
	}
}

func TestListsAreReordered(t *testing.T) {
	d := fresh()
	for i := range 3 {
		d = d.WithMark(place.PhotoPoint{X: float64(i)}, 0)
	}
	d = d.WithSpan(1, 2).WithSpan(2, 3).WithSpan(2, 1)
	if len(d.Spans) != 2 || d.Span != 1 {
		t.Errorf("the same span the other way round: %v, chosen %d", d.Spans, d.Span)
	}
	order := func(d Document) (ids []int) {
		for _, m := range d.Marks {
			ids = append(ids, m.ID)
		}
		return ids
	}
	for _, c := range []struct {
		id, by int
		want   []int
	}{{1, 1, []int{2, 1, 3}}, {3, -2, []int{3, 1, 2}}, {3, 9, []int{1, 2, 3}}, {8, 1, []int{1, 2, 3}}} {
		if got := order(d.ShiftedMark(c.id, c.by)); !reflect.DeepEqual(got, c.want) {
			t.Errorf("mark %d moved by %d: %v, want %v", c.id, c.by, got, c.want)
		}
	}
	if got := d.ShiftedSpan(2, -1).Spans[0].ID; got != 2 {
		t.Errorf("span %d is first", got)
	}
	if left := d.WithoutMark(2); len(left.Spans) != 0 || left.Span != 0 || left.Check() != nil {
		t.Errorf("without their mark the spans are %v", left.Spans)
	}
}
