package study

import (
	"crypto/sha256"
	"encoding/hex"
	"math"
	"reflect"
	"strings"
	"testing"

	"maulstick/render/look"
	"maulstick/render/place"
)

// photograph stands for the bytes of a photograph's file.
var photograph = []byte("the bytes of a photograph")

func reference() Reference {
	sum := sha256.Sum256(photograph)
	return Reference{
		Name: "fig.jpg", Hash: hex.EncodeToString(sum[:]), Bytes: len(photograph),
		Width: 3000, Height: 2000,
	}
}

func fresh() Document { return New("study-1", reference()) }

// canvas is 36 by 24 inches, a proportion of 2 to 3 as the photograph's.
func canvas(width, height float64) place.Size {
	return place.Size{Width: place.MM(width * 25.4), Height: place.MM(height * 25.4), Unit: place.Inch}
}

func TestNewStudyKeepsToItsRules(t *testing.T) {
	d := fresh()
	if err := d.Check(); err != nil {
		t.Fatal(err)
	}
	if d.Name != "fig" || d.Look.Steps != 5 || d.Surround != 50 || !d.View.Fit || d.HasCanvas() {
		t.Errorf("a new study is %+v", d)
	}
	if want := (place.Crop{Width: 3000, Height: 2000}); d.Crop() != want {
		t.Errorf("without a canvas the crop is %v, want the whole photograph %v", d.Crop(), want)
	}
	if share := d.Squinting(); math.Abs(share-1.0/40) > 1e-12 {
		t.Errorf("the first squint is %v of the long side, want 1/40", share)
	}
}

func TestCanvasCropsCentred(t *testing.T) {
	for _, c := range []struct {
		width, height float64
		want          place.Crop
	}{
		{36, 24, place.Crop{X: 0, Y: 0, Width: 3000, Height: 2000}},
		{24, 24, place.Crop{X: 500, Y: 0, Width: 2000, Height: 2000}},
		{24, 36, place.Crop{X: (3000 - 2000*24.0/36) / 2, Y: 0, Width: 2000 * 24.0 / 36, Height: 2000}},
		{60, 24, place.Crop{X: 0, Y: 400, Width: 3000, Height: 1200}},
	} {
		d := fresh().WithCanvas(canvas(c.width, c.height), "typed")
		got := d.Crop()
		for _, pair := range [][2]float64{{got.X, c.want.X}, {got.Y, c.want.Y}, {got.Width, c.want.Width}, {got.Height, c.want.Height}} {
			if math.Abs(pair[0]-pair[1]) > 1e-9 {
				t.Errorf("crop for %v x %v in is %v, want %v", c.width, c.height, got, c.want)
			}
		}
		if math.Abs(d.Squinting()-1.0/40) > 1e-12 {
			t.Errorf("the squint became %v of the long side on another canvas", d.Squinting())
		}
		if err := d.Check(); err != nil {
			t.Errorf("canvas %v x %v in: %v", c.width, c.height, err)
		}
	}
}

func TestEditsLeaveWhatWasThere(t *testing.T) {
	one := fresh().WithMark(place.PhotoPoint{X: 10, Y: 20}, 2)
	before := one
	marks := append([]Mark(nil), one.Marks...)
	cycle := append([]string(nil), one.Cycle...)
	edits := map[string]Document{
		"add":     one.WithMark(place.PhotoPoint{X: 30, Y: 40}, 1),
		"move":    one.MovedMark(1, place.PhotoPoint{X: 50, Y: 60}, 1),
		"name":    one.NamedMark(1, "the stalk"),
		"delete":  one.WithoutMark(1),
		"cycle":   one.WithCycle(CycleGrey, false),
		"canvas":  one.WithCanvas(canvas(12, 16), "12 x 16"),
		"look":    one.WithLook(look.Look{Tone: look.Grey}),
		"view":    one.WithView(View{Zoom: 3, CentreX: 1, CentreY: 2}),
		"choose":  one.Choosing(0),
		"rename":  one.WithName("Fig"),
		"from":    one.WithFrom(place.Edges{Right: true}),
		"unit":    one.WithUnit(place.Centimetre),
		"tray":    one.WithTray(TrayPlace),
		"grey":    one.WithSurround(70),
		"squint":  one.WithSquinting(0.1),
		"another": one.WithMark(place.PhotoPoint{X: -5, Y: 1e9}, math.MaxFloat64),
	}
	for name, after := range edits {
		if reflect.DeepEqual(after, before) {
			t.Errorf("%s changed nothing", name)
		}
		if err := after.Check(); err != nil {
			t.Errorf("%s breaks a rule: %v", name, err)
		}
	}
	if !reflect.DeepEqual(one.Marks, marks) || !reflect.DeepEqual(one.Cycle, cycle) || !reflect.DeepEqual(one, before) {
		t.Error("an edit wrote to the document it came from")
	}
}

func TestMarkNumbersAreNeverUsedTwice(t *testing.T) {
	h := NewHistory(fresh())
	seen := map[int]bool{}
	for range 20 {
		h.Do(h.Now().WithMark(place.PhotoPoint{X: 1, Y: 1}, 0), "")
		id := h.Now().Chosen
		if seen[id] {
			t.Fatalf("mark number %d was given twice", id)
		}
		seen[id] = true
		h.Undo()
	}
}

func TestDeletingChoosesTheMarkBefore(t *testing.T) {
	d := fresh()
	for i := range 3 {
		d = d.WithMark(place.PhotoPoint{X: float64(i), Y: 1}, 0)
	}
	for _, want := range []int{2, 1, 0} {
		if d = d.WithoutMark(d.Chosen); d.Chosen != want {
			t.Fatalf("mark %d is chosen after deleting, want %d", d.Chosen, want)
		}
	}
}

func TestViewStaysOnTheCrop(t *testing.T) {
	d := fresh().WithCanvas(canvas(24, 24), "24 x 24")
	for _, v := range []View{
		{Zoom: 4, CentreX: -1e9, CentreY: 1e9}, {Zoom: math.NaN()}, {Zoom: math.Inf(1)}, {Zoom: 0.2}, {Zoom: 2, CentreX: 700, CentreY: 3},
	} {
		got := d.WithView(v)
		if err := got.Check(); err != nil {
			t.Errorf("view %+v: %v", v, err)
		}
		if !d.Crop().Contains(place.PhotoPoint{X: got.View.CentreX, Y: got.View.CentreY}) {
			t.Errorf("view %+v has its centre off the crop: %+v", v, got.View)
		}
	}
}

func TestNamesAreOneTidyLine(t *testing.T) {
	for typed, want := range map[string]string{
		"  the\tstalk\n":           "the stalk",
		"ombre verdâtre – 影":       "ombre verdâtre – 影",
		"a\x00b\xffc\u202e":        "abc",
		strings.Repeat("é", 5_000): strings.Repeat("é", longestName),
	} {
		if got := fresh().WithName(typed).Name; got != want {
			t.Errorf("a study called %q is called %q, want %q", typed, got, want)
		}
	}
	if got := fresh().WithName(" \n").Name; got != "fig" {
		t.Errorf("an empty name made %q of the study's", got)
	}
}
