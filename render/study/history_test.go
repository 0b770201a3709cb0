package study

import (
	"fmt"
	"reflect"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/place"
	"maulstick/render/shape"
)

func TestUndoBringsBackEachStepAndRedoMakesItAgain(t *testing.T) {
	h := NewHistory(fresh())
	states := []Document{h.Now()}
	do := func(d Document) {
		h.Do(d, "")
		states = append(states, h.Now())
	}
	do(h.Now().WithMark(place.PhotoPoint{X: 100, Y: 200}, 1))
	do(h.Now().NamedMark(1, "stalk"))
	do(h.Now().WithMark(place.PhotoPoint{X: 300, Y: 400}, 1))
	do(h.Now().MovedMark(1, place.PhotoPoint{X: 5, Y: 6}, 1))
	do(h.Now().WithoutMark(2))
	same := func(what string, got, want Document) {
		t.Helper()
		got.NextMark, want.NextMark = 0, 0
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: got %+v, want %+v", what, got, want)
		}
	}
	for i := len(states) - 2; i >= 0; i-- {
		if !h.Undo() {
			t.Fatalf("step %d could not be undone", i)
		}
		same(fmt.Sprint("undo to ", i), h.Now(), states[i])
	}
	if h.Undo() || h.CanUndo() {
		t.Error("there was something to undo before the first step")
	}
	for i := 1; i < len(states); i++ {
		if !h.Redo() {
			t.Fatalf("step %d could not be made again", i)
		}
		same(fmt.Sprint("redo to ", i), h.Now(), states[i])
	}
	if h.Redo() {
		t.Error("there was something to redo after the last step")
	}
}

func TestUndoKeepsHowThePictureIsSeen(t *testing.T) {
	h := NewHistory(fresh())
	h.Do(h.Now().WithMark(place.PhotoPoint{X: 100, Y: 200}, 1), "")
	l := look.Look{Tone: look.Steps, Steps: 7, Blur: h.Now().Look.Blur, Filter: true}
	v := View{Zoom: 3, CentreX: 1000, CentreY: 900, Mirror: true}
	h.Show(h.Now().WithLook(l).WithView(v).WithTray(TrayPlace).WithSurround(30).WithCycle(CycleGrey, false))
	seen := h.Now()
	h.Undo()
	got := h.Now()
	if len(got.Marks) != 0 {
		t.Errorf("undo left marks %v", got.Marks)
	}
	if got.Look != seen.Look || got.View != seen.View || got.Tray != seen.Tray || got.Surround != seen.Surround || !reflect.DeepEqual(got.Cycle, seen.Cycle) {
		t.Errorf("undo changed how the picture is seen: %+v, want %+v", got, seen)
	}
}

func TestUndoOfACanvasKeepsTheSquintsShare(t *testing.T) {
	h := NewHistory(fresh())
	h.Do(h.Now().WithCanvas(canvas(36, 24), "36 x 24 in"), "")
	h.Do(h.Now().WithCanvas(canvas(72, 48), "72 x 48 in"), "")
	h.Show(h.Now().WithSquinting(0.05))
	h.Undo()
	if got, want := float64(h.Now().Look.Blur), 0.05*36*25.4; got < want*(1-1e-12) || got > want*(1+1e-12) {
		t.Errorf("the squint is %v mm on the smaller canvas, want %v", got, want)
	}
	if h.Now().Canvas.Typed != "36 x 24 in" {
		t.Errorf("undo brought back canvas %+v", h.Now().Canvas)
	}
}

func TestARunIsOneStep(t *testing.T) {
	h := NewHistory(fresh().WithMark(place.PhotoPoint{X: 1, Y: 1}, 0))
	for i := range 50 {
		h.Do(h.Now().MovedMark(1, place.PhotoPoint{X: float64(i), Y: 2}, 0), "move 1")
	}
	h.EndRun()
	h.Do(h.Now().MovedMark(1, place.PhotoPoint{X: 500, Y: 500}, 0), "move 1")
	h.Undo()
	if x := h.Now().Marks[0].X; x != 49 {
		t.Errorf("after one undo the mark is at %v, want the first run's end 49", x)
	}
	h.Undo()
	if x := h.Now().Marks[0].X; x != 1 {
		t.Errorf("after two undos the mark is at %v, want 1", x)
	}
}

func TestTakeBackLeavesNoTrace(t *testing.T) {
	h := NewHistory(fresh())
	for i := range deepest + 1 {
		h.Do(h.Now().WithName(fmt.Sprint("name ", i)), "")
	}
	h.Undo()
	before := *h
	wantPast := append([]Document(nil), h.past...)
	wantFuture := append([]Document(nil), h.future...)
	for i := range 5 {
		h.Do(h.Now().WithMark(place.PhotoPoint{X: float64(i), Y: 1}, 0), "touch 1")
	}
	if h.TakeBack("touch 2") {
		t.Error("a run that is not being made was taken back")
	}
	if !h.TakeBack("touch 1") {
		t.Fatal("the run could not be taken back")
	}
	got := h.Now()
	got.NextMark = before.now.NextMark
	if !reflect.DeepEqual(got, before.now) || !reflect.DeepEqual(h.past, wantPast) || !reflect.DeepEqual(h.future, wantFuture) {
		t.Error("taking back a run left something of it")
	}
	if h.TakeBack("touch 1") {
		t.Error("a run was taken back twice")
	}
}

func TestHistoryIsBounded(t *testing.T) {
	h := NewHistory(fresh())
	for i := range 3 * deepest {
		h.Do(h.Now().WithName(fmt.Sprint("name ", i)), "")
	}
	n := 0
	for h.Undo() {
		n++
	}
	if n != deepest {
		t.Errorf("%d steps could be undone, want %d", n, deepest)
	}
}

func TestTakeBackAtTheBoundBringsTheOldestBack(t *testing.T) {
	h := NewHistory(fresh())
	for i := range deepest {
		h.Do(h.Now().WithName(fmt.Sprint("name ", i)), "")
	}
	oldest := h.past[0].Name
	h.Do(h.Now().WithMark(place.PhotoPoint{X: 1, Y: 1}, 0), "touch")
	h.TakeBack("touch")
	if len(h.past) != deepest || h.past[0].Name != oldest {
		t.Errorf("%d steps from %q are left, want %d from %q", len(h.past), h.past[0].Name, deepest, oldest)
	}
}

// What was decided about the picture is undone with the rest; how it is looked at
// stays.
func TestUndoBringsBackWhatWasDecided(t *testing.T) {
	decided := func(d Document, change func(*Finding), l look.Look) Document {
		f := d.Finding
		change(&f)
		return d.WithFinding(f).WithLook(l)
	}
	h := NewHistory(fresh())
	plain := h.Now()
	five, err := shape.EdgedSteps([]colour.Lightness{10, 20, 45, 80})
	if err != nil {
		t.Fatal(err)
	}
	l := h.Now().Look
	l.Division, l.Steps = five, 5
	h.Do(decided(h.Now(), func(f *Finding) { f.Fit = FitHand }, l), "")
	l.Division, l.Steps, l.Step = shape.Steps{}, 9, 9
	h.Do(decided(h.Now(), func(f *Finding) { f.Fit, f.Smallest, f.Focal = FitEqual, 50, 3 }, l), "")
	l.Neutral = colour.SRGB{R: 255, G: 240, B: 200}
	h.Do(decided(h.Now(), func(f *Finding) { f.Picked = true }, l), "")
	l.Filter, l.Sheet, l.Keep = true, colour.DeepSheet, look.KeepOnly
	h.Show(decided(h.Now(), func(f *Finding) { f.Clean, f.Each, f.Wheel, f.FocalLast = true, 3, colour.AdditiveWheel, true }, l).
		WithPart("piles").WithShown(ShownPiles))
	seen := h.Now()

	for i, want := range []struct {
		fit      string
		steps    int
		division shape.Steps
		smallest place.MM
		focal    int
		picked   bool
		neutral  colour.SRGB
	}{
		{FitEqual, 9, shape.Steps{}, 50, 3, false, colour.SRGB{}},
		{FitHand, 5, five, 0, 0, false, colour.SRGB{}},
		{FitEqual, 5, shape.Steps{}, 0, 0, false, colour.SRGB{}},
	} {
		if !h.Undo() {
			t.Fatalf("step %d cannot be undone", i)
		}
		d := h.Now()
		f, l := d.Finding, d.Look
		if f.Fit != want.fit || l.Steps != want.steps || l.Division != want.division || f.Smallest != want.smallest || f.Focal != want.focal || f.Picked != want.picked || l.Neutral != want.neutral {
			t.Errorf("undo %d brought back %+v seen as %+v, want %+v", i, f, l, want)
		}
		if !f.Clean || f.Each != 3 || f.Wheel != colour.AdditiveWheel || !f.FocalLast || !l.Filter || l.Sheet != colour.DeepSheet || d.Parts != seen.Parts || d.Shown != ShownPiles {
			t.Errorf("undo %d changed how the picture is seen: %+v, %+v", i, f, l)
		}
		if err := d.Check(); err != nil {
			t.Errorf("undo %d broke a rule: %v", i, err)
		}
	}
	if h.Now().Finding.Fit != plain.Finding.Fit || h.CanUndo() {
		t.Error("there is more to undo than was decided")
	}
	for range 3 {
		h.Redo()
	}
	if f := h.Now().Finding; f.Fit != FitEqual || !f.Picked || f.Smallest != 50 || h.Now().Look.Neutral != seen.Look.Neutral || h.Now().Look.Steps != 9 {
		t.Errorf("redo brought back %+v", h.Now())
	}
}
