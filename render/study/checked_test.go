package study

import (
	"reflect"
	"testing"
	"time"

	"maulstick/render/place"
)

// onLog is a study with words and two photographs of the canvas in its log.
func onLog() Document {
	at := time.Date(2026, 3, 4, 5, 6, 7, 0, time.UTC)
	photograph := reference()
	d := earlier().WithEntry(at, "", "primed", nil)
	return d.WithEntry(at, "block-in", "", &photograph).WithEntry(at, "second sitting", "", &photograph)
}

// Corners and arrows lie on the photograph of a note, within it, and can be taken off.
func TestCornersAndArrowsLieOnAPhotograph(t *testing.T) {
	d := onLog()
	four := []place.PhotoPoint{{X: -5, Y: 3}, {X: 1e9, Y: 3}, {X: 2000, Y: 1500}, {X: 4, Y: 1500}}
	if none := d.WithCorners(1, four...).WithCorners(9, four...).WithCorners(2, four[:3]...); !reflect.DeepEqual(none, d) {
		t.Errorf("corners lie on %+v", none.Log)
	}
	d = check(t, d.WithCorners(2, four...))
	if c := d.Log[1].Corners; c[0] != (place.PhotoPoint{X: 0, Y: 3}) || c[1] != (place.PhotoPoint{X: float64(reference().Width), Y: 3}) || c[2] != four[2] {
		t.Errorf("corners are held at %v", c)
	}
	if d = check(t, d.WithCorners(2)); len(d.Log[1].Corners) != 0 {
		t.Errorf("corners stay at %v", d.Log[1].Corners)
	}
	a, b := Arrow{X: 10, Y: 20, DX: 3, DY: -4}, Arrow{X: 11, Y: 20}
	before := d.WithArrow(3, 0, a)
	d = check(t, before.WithArrow(3, 1, b).WithArrow(3, 0, b).WithArrow(3, 7, a).WithArrow(1, 0, a))
	if !reflect.DeepEqual(d.Log[2].Arrows, []Arrow{b, b}) || before.Log[2].Arrows[0] != a || len(d.Log[0].Arrows) != 0 {
		t.Errorf("arrows are %+v, and were %+v", d.Log, before.Log)
	}
	if d = check(t, d.WithoutArrow(3, 0).WithoutArrow(3, 5)); !reflect.DeepEqual(d.Log[2].Arrows, []Arrow{b}) {
		t.Errorf("arrows left are %+v", d.Log[2].Arrows)
	}
	for range 2 * MostArrows {
		d = d.WithArrow(3, len(d.Log[2].Arrows), a)
	}
	if check(t, d); len(d.Log[2].Arrows) != MostArrows {
		t.Errorf("%d arrows are held", len(d.Log[2].Arrows))
	}
}

// Of each photograph the last check is kept, in the order of the log.
func TestChecksAreKept(t *testing.T) {
	d := onLog()
	at := time.Date(2026, 3, 5, 1, 2, 3, 4, time.FixedZone("", 3600))
	d = d.WithCheck(Checked{Entry: 3, Time: at, Off: 3}).WithCheck(Checked{Entry: 2, Time: at, Off: 9}).WithCheck(Checked{Entry: 3, Time: at, Off: 2})
	check(t, d)
	if len(d.Checked) != 2 || d.Checked[0].Off != 9 || d.Checked[1].Off != 2 || d.Checked[0].Time.Hour() != 0 {
		t.Errorf("checks are %+v", d.Checked)
	}
	if d = check(t, d.WithoutEntry(2)); len(d.Checked) != 2 {
		t.Errorf("with a note taken away checks are %+v", d.Checked)
	}
	if d = check(t, d.WithoutCheck(2).WithoutCheck(8)); len(d.Checked) != 1 || d.Checked[0].Entry != 3 {
		t.Errorf("checks left are %+v", d.Checked)
	}
}
