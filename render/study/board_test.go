package study

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"maulstick/render/line"
	"maulstick/render/place"
)

// another is the nth photograph of a series, 1000 x 800.
func another(n int) Reference {
	return Reference{Name: fmt.Sprintf("cloud %d.jpg", n), Hash: fmt.Sprintf("%064x", n), Bytes: 10 + n, Width: 1000, Height: 800}
}

func check(t *testing.T, d Document) Document {
	t.Helper()
	if err := d.Check(); err != nil {
		t.Fatal(err)
	}
	return d
}

// What is done on one reference waits there, untouched, while another is on the easel;
// the canvas and its lines stay.
func TestReferencesAreTakenUpAsTheyWereLeft(t *testing.T) {
	d := fresh().WithCanvas(canvas(36, 24), "36 x 24 in").WithMark(place.PhotoPoint{X: 2500, Y: 1900}, 3)
	d = d.WithMark(place.PhotoPoint{X: 100, Y: 90}, 3).WithSpan(1, 2)
	d = d.WithConstruction(NewConstruction(line.Thirds, 0)).WithConstruction(NewConstruction(line.Plumb, 1))
	d = d.Pulled(place.Handle{X: 1, Y: 1}, -300, -200).WithView(View{Zoom: 2, CentreX: 700, CentreY: 500})
	d.Finding.Focal = 2
	d, sky := d.Pinned(another(1))
	first := check(t, d)
	on := check(t, d.TakenUp(sky))
	if on.Reference != another(1) || len(on.Marks) != 0 || len(on.Spans) != 0 || on.Finding.Focal != 0 || !on.View.Fit {
		t.Errorf("a fresh reference comes with %+v", on)
	}
	if len(on.Lines.Uses) != 1 || on.Lines.Uses[0].Kind != line.Thirds || on.Canvas != d.Canvas {
		t.Errorf("of the canvas there are left %+v and %+v", on.Canvas, on.Lines.Uses)
	}
	if c := on.Crop(); math.Abs(c.Width/c.Height-1.5) > 1e-9 || on.Board.OnEasel != sky {
		t.Errorf("its crop is %v", c)
	}
	on = on.WithMark(place.PhotoPoint{X: 1, Y: 2}, 1)
	back := check(t, on.TakenUp(first.Board.OnEasel))
	want := first
	want.Board, want.Lines.Chosen = back.Board, 0 // the line that was chosen had gone with it
	if !reflect.DeepEqual(back, want) {
		t.Errorf("taken up again it is %+v, want %+v", back, want)
	}
	if again := check(t, back.TakenUp(sky)); len(again.Marks) != 1 || again.Reference != another(1) {
		t.Errorf("the other one came back with the marks %v", again.Marks)
	}
	if same := back.TakenUp(back.Board.OnEasel).TakenUp(99); !reflect.DeepEqual(same, back) {
		t.Error("taking up what is on the easel, or nothing, changed the study")
	}
}

// A crop that is held to the canvas follows one that changed while it was set aside.
func TestACropSetAsideFollowsTheCanvas(t *testing.T) {
	d := fresh().WithCanvas(canvas(36, 24), "36 x 24 in").Pulled(place.Handle{X: 1, Y: 1}, -1500, -1000)
	area := d.Own.Width * d.Own.Height
	d, sky := d.Pinned(another(1))
	first := d.Board.OnEasel
	d = check(t, d.TakenUp(sky).WithCanvas(canvas(24, 24), "24 x 24 in").TakenUp(first))
	if c := d.Own; math.Abs(c.Width-c.Height) > 1e-6 || math.Abs(c.Width*c.Height/area-1) > 1e-6 {
		t.Errorf("on a square canvas the crop of %v square pixels is %v", area, c)
	}
	if math.Abs(d.Squinting()-1.0/40) > 1e-12 {
		t.Errorf("the squint became %v of the long side", d.Squinting())
	}
}

func TestPinsAreOrderedNamedAndTakenDown(t *testing.T) {
	d := fresh()
	for n := 1; n <= 3; n++ {
		d, _ = d.Pinned(another(n))
	}
	order := func() (names string) {
		for _, p := range check(t, d).Board.Pins {
			names += p.Name + ","
		}
		return names
	}
	if got := order(); got != "fig,cloud 1,cloud 2,cloud 3," {
		t.Errorf("pinned are %s", got)
	}
	if same, id := d.Pinned(another(2)); id != 3 || len(same.Board.Pins) != 4 {
		t.Errorf("the same photograph was pinned again, as %d", id)
	}
	if same, id := d.Pinned(reference()); id != 1 || len(same.Board.Pins) != 4 {
		t.Errorf("the photograph on the easel was pinned again, as %d", id)
	}
	d = d.ShiftedPin(4, -3).NamedPin(2, "  evening ").NamedPin(2, "").LaidBeside(3)
	if got := order(); got != "cloud 3,fig,evening,cloud 2," || d.Board.Beside != 3 {
		t.Errorf("ordered they are %s", got)
	}
	d = d.WithBorrowing(3, place.Crop{}, 0, "its sky").WithBorrowing(4, place.Crop{Width: 9, Height: 9}, 7, "its light")
	if b := d.Board.Borrowed; len(b) != 2 || b[0].Part != (place.Crop{Width: 1000, Height: 800}) || b[1].Mark != 0 || b[0].To != 1 {
		t.Errorf("borrowed are %+v", b)
	}
	if same := d.WithBorrowing(1, place.Crop{}, 0, "of itself").WithBorrowing(3, place.Crop{}, 0, " "); len(same.Board.Borrowed) != 2 {
		t.Errorf("borrowed are %+v", same.Board.Borrowed)
	}
	d = d.Unpinned(3).Unpinned(1).Unpinned(77)
	if got := order(); got != "cloud 3,fig,evening," || d.Board.Beside != 0 || len(d.Board.Borrowed) != 1 || d.Board.Borrowed[0].ID != 2 {
		t.Errorf("with one taken down there are %s, beside %d, %+v", got, d.Board.Beside, d.Board.Borrowed)
	}
	if d = d.WithoutBorrowing(2); len(check(t, d).Board.Borrowed) != 0 {
		t.Error("a note of what is borrowed cannot be taken away")
	}
	if d, id := d.Pinned(another(9)); id != 5 { // 3 was used
		t.Errorf("a new pin has the number %d: %+v", id, d.Board)
	}
	for n := 10; n < 300; n++ {
		d, _ = d.Pinned(another(n))
	}
	if _, id := d.Pinned(another(999)); len(check(t, d).Board.Pins) != MostPins || id != 0 {
		t.Errorf("a full board holds %d", len(d.Board.Pins))
	}
}

func TestReferencesAreListedOnce(t *testing.T) {
	d := worked()
	var hashes []string
	for _, r := range d.References() {
		hashes = append(hashes, r.Hash[:2])
	}
	if got := strings.Join(hashes, " "); got != reference().Hash[:2]+" ab cd ef" {
		t.Errorf("the photographs are %s", got)
	}
	r, righting, crop, ok := d.ReferenceOf(2)
	if !ok || r.Name != "sky.jpg" || !righting.None() || crop.Width != 1000 && crop.Height != 2000 {
		t.Errorf("the second reference is %+v, %+v, %v", r, righting, crop)
	}
}

// Undoing the taking up of a reference goes back to the one before, as that was looked
// at; numbers of pins are not given twice.
func TestTakingUpIsUndone(t *testing.T) {
	d := fresh().WithView(View{Zoom: 3, CentreX: 400, CentreY: 300})
	d, sky := d.Pinned(another(1))
	h := NewHistory(d)
	h.Do(h.Now().TakenUp(sky), "")
	h.Show(h.Now().WithView(View{Zoom: 5, CentreX: 10, CentreY: 10}).WithTray(TrayStudy))
	if to, ok := h.Peek(true); !ok || to.Reference != reference() || to.View.Zoom != 3 {
		t.Errorf("back there is %+v", to.View)
	}
	h.Undo()
	if now := check(t, h.Now()); now.Reference != reference() || now.View.Zoom != 3 || now.Tray != TrayStudy || now.Board.OnEasel != 1 {
		t.Errorf("undone there is %+v", now)
	}
	h.Redo()
	if now := check(t, h.Now()); now.Reference != another(1) || now.Board.OnEasel != sky {
		t.Errorf("redone there is %+v", now)
	}
	d2, id := h.Now().Pinned(another(2))
	h.Do(d2, "")
	h.Show(h.Now().LaidBeside(id))
	h.Undo()
	if now := check(t, h.Now()); now.Board.Beside != 0 || now.Board.NextPin != 4 {
		t.Errorf("with the one beside it gone the board is %+v", now.Board)
	}
}

func TestTheLogIsDatedAndKept(t *testing.T) {
	at := time.Date(2026, 11, 26, 9, 30, 1, 999, time.FixedZone("", 3600))
	canvas := another(7)
	d := fresh().WithEntry(at, " block-in ", "two lines\r\nof words\x00", nil).WithEntry(at, "", "", nil).WithEntry(at.Add(time.Minute), "", "", &canvas)
	if len(check(t, d).Log) != 2 || d.Log[0].Time != time.Date(2026, 11, 26, 8, 30, 1, 0, time.UTC) || d.Log[0].Words != "two lines\nof words" || d.Log[0].Stage != "block-in" {
		t.Fatalf("the log is %+v", d.Log)
	}
	d = d.RewordedEntry(1, "drawing", "").RewordedEntry(1, "", "").RewordedEntry(5, "x", "x")
	if e, _ := check(t, d).Entry(1); e.Stage != "drawing" || e.Words != "" {
		t.Errorf("reworded it says %+v", e)
	}
	if d = d.WithoutEntry(1).WithoutEntry(1); len(d.Log) != 1 || d.Log[0].ID != 2 || d.WithEntry(at, "", "more", nil).Log[1].ID != 3 {
		t.Errorf("with one note gone the log is %+v", d.Log)
	}
	long := fresh().WithEntry(at, "", strings.Repeat("ü", 5000), nil)
	if n := len([]rune(check(t, long).Log[0].Words)); n != longestWords {
		t.Errorf("a long note has %d characters", n)
	}
}

// Photographs of the log are seen side by side, the older first; notes without one
// cannot be, and what is taken away is seen no longer.
func TestNotesAreCompared(t *testing.T) {
	at := time.Date(2026, 11, 26, 9, 30, 0, 0, time.UTC)
	first, second, third := another(7), another(8), another(9)
	d := fresh().WithEntry(at, "", "", &first).WithEntry(at, "words", "", nil).WithEntry(at, "", "", &second).WithEntry(at, "", "", &third)
	for _, c := range []struct{ ids, want []int }{
		{[]int{3, 1}, []int{1, 3}}, {[]int{2, 4}, []int{4}}, {[]int{1, 3, 4}, []int{3, 4}}, {[]int{9}, []int{}}, {nil, []int{}},
	} {
		if got := check(t, d.WithCompared(c.ids...)).Compared; !reflect.DeepEqual(got, c.want) {
			t.Errorf("%v are compared as %v, want %v", c.ids, got, c.want)
		}
	}
	d = d.WithCompared(1, 4)
	if got := check(t, d.WithoutEntry(1)).Compared; !reflect.DeepEqual(got, []int{4}) {
		t.Errorf("with one taken away %v are compared", got)
	}
	d, id := d.Pinned(another(1))
	if d = check(t, d.LaidBeside(id)); len(d.Compared) != 0 || d.Board.Beside != id {
		t.Errorf("with a reference laid beside, %v are compared", d.Compared)
	}
	h := NewHistory(fresh())
	h.Do(h.Now().WithEntry(at, "", "", &first), "")
	h.Show(h.Now().WithCompared(1))
	if h.Undo(); len(check(t, h.Now()).Compared) != 0 {
		t.Errorf("with the note undone, %v are compared", h.Now().Compared)
	}
}

// Boards and logs that no painter could have made are refused.
func TestDamagedBoardsAreRefused(t *testing.T) {
	for name, spoil := range map[string]func(*Document){
		"no pins":                func(d *Document) { d.Board.Pins = nil },
		"two on the easel":       func(d *Document) { d.Board.Pins[1].Left = nil },
		"none on the easel":      func(d *Document) { d.Board.OnEasel = 9 },
		"one set aside on it":    func(d *Document) { d.Board.Pins[0].Left = d.Board.Pins[1].Left },
		"a number twice":         func(d *Document) { d.Board.Pins[1].ID = 1 },
		"no name":                func(d *Document) { d.Board.Pins[1].Name = "" },
		"beside itself":          func(d *Document) { d.Board.Beside = d.Board.OnEasel },
		"beside nothing":         func(d *Document) { d.Board.Beside = 44 },
		"a bad hash":             func(d *Document) { d.Board.Pins[1].Left.Reference.Hash = "xyz" },
		"a mark off it":          func(d *Document) { d.Board.Pins[1].Left.Marks[0].X = 1e6 },
		"no list of marks":       func(d *Document) { d.Board.Pins[1].Left.Marks = nil },
		"no list of lines":       func(d *Document) { d.Board.Pins[1].Left.Through = nil },
		"a line through no mark": func(d *Document) { d.Board.Pins[1].Left.Through[0].Mark = 8 },
		"lines of the canvas":    func(d *Document) { d.Board.Pins[1].Left.Through[0] = NewConstruction(line.Thirds, 0) },
		"a view off it":          func(d *Document) { d.Board.Pins[1].Left.View.CentreX = -5 },
		"a focal point":          func(d *Document) { d.Board.Pins[1].Left.Focal = -1 },
		"borrowed from nothing":  func(d *Document) { d.Board.Borrowed[0].From = 9 },
		"borrowed from itself":   func(d *Document) { d.Board.Borrowed[0].From = 1 },
		"borrowed without words": func(d *Document) { d.Board.Borrowed[0].Words = "" },
		"a part of no size":      func(d *Document) { d.Board.Borrowed[0].Part.X = math.NaN() },
		"no list of what is":     func(d *Document) { d.Board.Borrowed = nil },
		"next pin":               func(d *Document) { d.Board.NextPin = 2 },
		"no log":                 func(d *Document) { d.Log = nil },
		"a note twice":           func(d *Document) { d.Log[1].ID = 1 },
		"a note of nothing":      func(d *Document) { d.Log[0].Stage, d.Log[0].Words = "", "" },
		"a note in another zone": func(d *Document) { d.Log[0].Time = d.Log[0].Time.In(time.FixedZone("", 60)) },
		"a photograph of it":     func(d *Document) { d.Log[1].Photograph.Width = 0 },
		"comparing nothing":      func(d *Document) { d.Compared = nil },
		"comparing no notes":     func(d *Document) { d.Compared = []int{9} },
		"comparing words":        func(d *Document) { d.Compared = []int{1} },
		"next note":              func(d *Document) { d.NextEntry = 1 },
		"three corners":          func(d *Document) { d.Log[1].Corners = d.Log[1].Corners[:3] },
		"no list of corners":     func(d *Document) { d.Log[0].Corners = nil },
		"corners on nothing":     func(d *Document) { d.Log[0].Corners = d.Log[1].Corners },
		"a corner off it":        func(d *Document) { d.Log[1].Corners[2].X = -1 },
		"no list of arrows":      func(d *Document) { d.Log[0].Arrows = nil },
		"an arrow to nowhere":    func(d *Document) { d.Log[1].Arrows[0].DX = place.MM(math.Inf(1)) },
		"no list of cards":       func(d *Document) { d.Log[0].Cards = nil },
		"a card off it":          func(d *Document) { d.Log[1].Cards[0].Y = 1e6 },
		"a card twice":           func(d *Document) { d.Log[1].Cards[1].ID = d.Log[1].Cards[0].ID },
		"cards on nothing":       func(d *Document) { d.Log[0].Cards = d.Log[1].Cards },
		"fewer than no cards":    func(d *Document) { d.Checked[0].Cards = -1 },
		"no list of checks":      func(d *Document) { d.Checked = nil },
		"a check of no note":     func(d *Document) { d.Checked[0].Entry = 3 },
		"a check twice":          func(d *Document) { d.Checked = append(d.Checked, d.Checked[0]) },
		"a check in local time":  func(d *Document) { d.Checked[0].Time = d.Checked[0].Time.In(time.FixedZone("", 60)) },
		"fewer than no slips":    func(d *Document) { d.Checked[0].Slips = -1 },
		"steps of no number":     func(d *Document) { d.Checked[0].Steps = math.NaN() },
		"a slip of no number":    func(d *Document) { d.Checked[0].Worst = place.MM(math.NaN()) },
		"a turn of no number":    func(d *Document) { d.Checked[0].Turn = math.Inf(-1) },
	} {
		d := worked()
		spoil(&d)
		if d.Check() == nil {
			t.Errorf("%s: the study is taken", name)
		}
	}
}
