package easel

import (
	"fmt"
	"math"
	"math/rand"
	"reflect"
	"strings"
	"testing"
	"time"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/study"
)

// edges are where the handles on the histogram stand.
func (b *bench) edges() []float64 {
	at := []float64{}
	for _, e := range b.Face().Edges {
		at = append(at, e.At)
	}
	return at
}

// betweenGreys is the darker of the two neighbouring grey codes that a lightness
// parts, and false if it falls on a grey.
func betweenGreys(lightness float64) (code int, ok bool) {
	for code := range 255 {
		if from, to := greyLightness(code), greyLightness(code+1); lightness > from+0.02 && lightness < to-0.02 {
			return code, true
		}
	}
	return 0, false
}

func TestDraggedEdgesPartTwoGreysAndKeepTheirOrder(t *testing.T) {
	b := at36x24(t, greys())
	random := rand.New(rand.NewSource(3))
	for range 300 {
		k, to := 1+random.Intn(4), -20+140*random.Float64()
		before := b.edges()
		b.DragEdge(k, colour.Lightness(to))
		now := b.edges()
		code, ok := betweenGreys(now[k-1])
		if !ok {
			t.Fatalf("edge %d dragged to %v stands at %v, on a grey", k, to, now[k-1])
		}
		below, above := 0.0, 100.0
		if k > 1 {
			below = now[k-2]
		}
		if k < 4 {
			above = now[k]
		}
		if !(below < now[k-1] && now[k-1] < above) {
			t.Fatalf("edge %d dragged to %v passes its neighbours: %v", k, to, now)
		}
		for i := range now {
			if i != k-1 && now[i] != before[i] {
				t.Fatalf("dragging edge %d moved edge %d: %v", k, i+1, now)
			}
		}
		// Between its neighbours it is the gap next to where it was dragged.
		if gap := greyLightness(code+1) - greyLightness(code); to > below+1 && to < above-1 && math.Abs(now[k-1]-to) > gap {
			t.Errorf("edge %d dragged to %v stands at %v, which is not the next gap", k, to, now[k-1])
		}
	}
	if _, err := study.Encode(b.doc()); err != nil {
		t.Error(err)
	}
}

func TestDraggingAnEdgeMakesTheDivisionThePaintersOwn(t *testing.T) {
	b := at36x24(t, greys())
	b.press("tray-value", "grey")
	b.DragEdge(2, 47)
	f := b.Face()
	if !f.Pressed["key-fit-hand"] || f.Pressed["key-fit-equal"] || !f.Pressed["key-steps"] || !strings.HasPrefix(f.Text["steps-note"], "Five steps, their edges set by hand.") {
		t.Errorf("after a drag the page says %q", f.Text["steps-note"])
	}
	if f.Edges[1].Label != "Edge between step 2 and step 3" || f.Edges[1].Number != 2 || !near(f.Edges[1].At, 47, 0.3) {
		t.Errorf("the edge is %+v", f.Edges[1])
	}
	// The band of 50 lies above 47 and that of 39 below, as before; at 55 the fifth
	// band, 133 of 1200 columns, has come to the second step: 267, 400, 0, 267 and 266.
	for _, to := range []float64{47, 55} {
		want := map[float64]string{47: "23 % 22 % 11 % 22 % 22 %", 55: "22 % 34 % none 22 % 22 %"}[to]
		b.DragEdge(2, colour.Lightness(to))
		shares := []string{}
		for _, s := range b.Face().Steps {
			shares = append(shares, s.Share)
		}
		if got := strings.Join(shares, " "); got != want {
			t.Errorf("with the edge at %v the shares are %q, want %q", to, got, want)
		}
	}
	if note := b.Face().Text["key-note"]; !strings.HasSuffix(note, "Step 3 is empty.") {
		t.Errorf("the empty step is said as %q", note)
	}
	// Each step is shown as the mean of what lies in it: of 28, 39 and 50 in columns of
	// 267, 133 and 133 or so.
	wide, light := bandsOf(t)
	mean := (wide[2]*light[2] + wide[3]*light[3] + wide[4]*light[4]) / (wide[2] + wide[3] + wide[4])
	if got := float64(b.doc().Look.Division.Shown(2)); !near(got, mean, 0.01) {
		t.Errorf("the second step is shown as L* %v, want the mean %v", got, mean)
	}
}

func TestEdgesMoveByTheArrowKeys(t *testing.T) {
	b := at36x24(t, greys())
	for _, by := range []float64{0.5, -0.5, 5, -5} {
		for range 30 {
			before := b.edges()[2]
			b.NudgeEdge(3, colour.Lightness(by))
			now := b.edges()
			_, ok := betweenGreys(now[2])
			if !ok || (now[2]-before)*by < 0 || now[2] <= now[1] || now[2] >= now[3] {
				t.Fatalf("nudged by %v from %v the edges are %v", by, before, now)
			}
			// Against a neighbour it stays.
			if room := math.Min(now[3]-before, before-now[1]); now[2] == before && room > math.Abs(by)+0.5 {
				t.Fatalf("nudged by %v the edge sticks at %v of %v", by, before, now)
			}
		}
	}
}

func TestEdgesThatAreNotThereDoNothing(t *testing.T) {
	b := at36x24(t, greys())
	before := b.doc()
	for _, k := range []int{-1, 0, 5, 9} {
		b.DragEdge(k, 50)
		b.NudgeEdge(k, 1)
	}
	b.DragEdge(2, colour.Lightness(math.NaN()))
	b.DragEdge(2, colour.Lightness(math.Inf(1)))
	if !reflect.DeepEqual(b.doc(), before) {
		t.Error("an edge that is not there, or a drag to nowhere, changed the study")
	}
	b.DragEdge(2, 50)
	before = b.doc()
	b.DragEdge(2, colour.Lightness(b.edges()[1]+0.05))
	if !reflect.DeepEqual(b.doc(), before) {
		t.Error("a drag within the same gap changed the study")
	}
	empty := newBench(t, 1)
	empty.DragEdge(1, 50)
	empty.NudgeEdge(1, 1)
	if empty.history != nil {
		t.Error("an easel without a study has edges")
	}
}

func TestDraggedEdgesCanBeUndone(t *testing.T) {
	b := at36x24(t, greys())
	drag := func(k int, to ...float64) []float64 {
		b.clock = b.clock.Add(3 * time.Second)
		for _, l := range to {
			b.clock = b.clock.Add(16 * time.Millisecond)
			b.DragEdge(k, colour.Lightness(l))
		}
		return b.edges()
	}
	states := [][]float64{b.edges()}
	states = append(states, drag(2, 41, 43, 45, 47))
	states = append(states, drag(2, 48, 50))
	states = append(states, drag(4, 84, 88))
	for i := len(states) - 2; i >= 0; i-- {
		if b.Face().Disabled["value-undo"] {
			t.Error("the Value tray has nothing to undo")
		}
		b.press("undo")
		if got := b.edges(); fmt.Sprint(got) != fmt.Sprint(states[i]) {
			t.Errorf("undo brought back %v, want %v", got, states[i])
		}
	}
	if f := b.Face(); !f.Pressed["key-fit-equal"] || b.doc().Look.Division.Count() != 0 {
		t.Error("undoing every drag does not bring back equal steps")
	}
	for i := 1; i < len(states); i++ {
		b.press("redo")
		if got := b.edges(); fmt.Sprint(got) != fmt.Sprint(states[i]) {
			t.Errorf("redo brought back %v, want %v", got, states[i])
		}
	}
}

// Edges set with care are not lost to a key that divides otherwise, and undoing
// something else leaves how the picture is seen alone.
func TestWaysToDivideCanBeUndone(t *testing.T) {
	for _, key := range []string{"more", "fewer", "fit-best", "fit-equal", "fit-area"} {
		b := at36x24(t, greys())
		b.DragEdge(2, 47)
		own := b.edges()
		b.press(key)
		if fmt.Sprint(b.edges()) == fmt.Sprint(own) || b.Face().Pressed["key-fit-hand"] {
			t.Fatalf("%s leaves the edges by hand", key)
		}
		b.press("undo")
		if fmt.Sprint(b.edges()) != fmt.Sprint(own) || !b.Face().Pressed["key-fit-hand"] || len(b.Face().Steps) != 5 {
			t.Errorf("undoing %s brought back %v, want %v", key, b.edges(), own)
		}
	}
	// Steps that are fitted come back as they are fitted now, through the filter.
	b := at36x24(t, stripes(colour.SRGB{}, colour.SRGB{R: 204, G: 38, B: 30}, colour.SRGB{G: 110, B: 60}, white))
	b.press("fit-best", "fewer", "filter")
	through := b.edges()
	b.press("filter", "fit-equal", "filter", "undo")
	if fmt.Sprint(b.edges()) != fmt.Sprint(through) {
		t.Errorf("undo brought back %v, want the edges through the filter, %v", b.edges(), through)
	}
	b = at36x24(t, greys())
	b.press("fit-best", "tray-value")
	b.markAt(300, 300)
	b.press("more", "tray-colour", "part-piles", "piles", "each-more", "clean", "wheel-munsell", "filter")
	before := b.doc()
	b.press("undo")
	now := b.doc()
	if len(now.Marks) != 0 {
		t.Fatalf("undo left the marks %v", now.Marks)
	}
	if now.Look != before.Look || !reflect.DeepEqual(now.Finding, before.Finding) || now.Parts != before.Parts || now.Shown != before.Shown {
		t.Errorf("undoing a mark changed how the picture is seen:\n%+v\n%+v", now, before)
	}
}

func TestEdgesSetByHandComeBack(t *testing.T) {
	b := at36x24(t, greys())
	b.press("more", "filter")
	b.DragEdge(1, 12.3)
	b.DragEdge(5, 91)
	again := newBench(t, 1)
	again.Show(b.broughtBack(t), greys(), true)
	if fmt.Sprint(again.edges()) != fmt.Sprint(b.edges()) || !reflect.DeepEqual(again.doc(), b.doc()) {
		t.Errorf("reopened the edges are %v, want %v", again.edges(), b.edges())
	}
	again.Filled()
	again.count()
	if f, g := again.Face(), b.Face(); !reflect.DeepEqual(f.Steps, g.Steps) || !f.Pressed["key-fit-hand"] || f.Bars != g.Bars {
		t.Errorf("reopened and counted the steps are %+v, want %+v", f.Steps, g.Steps)
	}
}

// The histogram has a bar at each of the nine greys, as high as there are columns.
func TestTheHistogramIsDrawnByGreyCode(t *testing.T) {
	grey := func(code uint8) colour.SRGB { return colour.SRGB{R: code, G: code, B: code} }
	bars := at36x24(t, stripes(grey(50), grey(50), grey(120), grey(0))).Face().Bars
	for _, want := range []string{
		fmt.Sprintf("H%.2fV0.0", greyLightness(50)),   // the highest, to the top
		fmt.Sprintf("H%.2fV50.0", greyLightness(120)), // half as many
		fmt.Sprintf("H%.2fV100.0", greyLightness(51)),
		"M0 100H0.00V50.0", // black
	} {
		if !strings.Contains(bars, want) {
			t.Errorf("the histogram lacks %q: %s", want, bars)
		}
	}
	if strings.Count(bars, "V") != 257 || !strings.HasSuffix(bars, "H100V100Z") {
		t.Error("the histogram has not one bar for each of 256 greys")
	}
}

func TestPlainShowsThePhotographOverOwnSteps(t *testing.T) {
	b := at36x24(t, greys())
	b.DragEdge(2, 47)
	b.Press("plain")
	if plan, _ := b.Plan(); plan.Panes[0].Look.Tone != look.Colour {
		t.Error("while Plain is held the steps are shown")
	}
	b.Release("plain")
	if plan, _ := b.Plan(); plan.Panes[0].Look != b.doc().Look {
		t.Error("after Plain the painter's own steps are not shown")
	}
}
