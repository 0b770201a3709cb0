package easel

import (
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/study"
	"maulstick/render/survey"
)

// broughtBack is the study as it comes back from where it is kept.
func (b *bench) broughtBack(t *testing.T) study.Document {
	t.Helper()
	data, err := study.Encode(b.doc())
	if err != nil {
		t.Fatal(err)
	}
	doc, err := study.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

// reopened is a bench with an easel's study as it comes back.
func (b *bench) reopened(t *testing.T, p *photo.Picture) *bench {
	t.Helper()
	again := newBench(t, 1)
	again.Show(b.broughtBack(t), p, true)
	again.Filled()
	again.count()
	return again
}

func TestWhatIsAskedComesBackWithTheStudy(t *testing.T) {
	picture := stripes(cream, slate, stone)
	for _, c := range []struct {
		what string
		do   func(*bench)
		kind survey.Kind
	}{
		{"flat shapes by size", func(b *bench) { b.press("tray-shape", "flat"); b.Type("smallest", "3 in") }, survey.Flat},
		{"flat shapes by number", func(b *bench) { b.press("tray-shape", "shapes-more", "shapes-more") }, survey.Flat},
		{"edges", func(b *bench) { b.press("tray-shape", "part-edges", "edges", "filter") }, survey.Edges},
		{"contrasts", func(b *bench) { b.markAt(300, 300); b.press("tray-value", "part-contrasts", "focal") }, survey.Edges},
		{"the filter", func(b *bench) { b.press("tray-value", "part-filter", "sheet-orange", "misled") }, survey.Tones},
		{"clean steps by cards", func(b *bench) { b.Type("cards", "1.5, 4.5, 8"); b.press("clean") }, survey.Clean},
		{"steps by hand", func(b *bench) { b.DragEdge(1, 33); b.press("clean") }, survey.Clean},
		{"best steps", func(b *bench) { b.press("fit-best", "more", "clean") }, survey.Clean},
		{"equal areas through the filter", func(b *bench) { b.press("filter", "fit-area", "clean") }, survey.Clean},
		{"a picked neutral", func(b *bench) { b.press("tray-colour", "neutral-pick"); b.touchAt(200, 300); b.press("temperature") }, survey.Tones},
		{"white", func(b *bench) { b.press("tray-colour", "neutral-white", "part-opposites", "wheel-additive") }, survey.Tones},
		{"piles", func(b *bench) { b.press("tray-colour", "part-piles", "each-more", "each-more", "piles") }, survey.Piles},
	} {
		b := at36x24(t, picture)
		c.do(b)
		b.count()
		b.wait(2 * time.Second)
		again := b.reopened(t, picture)
		if !reflect.DeepEqual(again.doc(), b.doc()) {
			t.Errorf("%s: the study comes back as %+v, want %+v", c.what, again.doc(), b.doc())
		}
		if got, want := again.newest(c.kind).Ask, b.newest(c.kind).Ask; !reflect.DeepEqual(got, want) || got.Key() != want.Key() {
			t.Errorf("%s: reopened it asks %+v, want %+v", c.what, got, want)
		}
		f, g := b.Face(), again.Face()
		for _, name := range []string{"key-undo", "key-redo", "check-undo", "line-undo", "shape-undo", "value-undo", "colour-undo", "study-undo"} { // the steps to undo end with the page
			delete(f.Disabled, name)
			delete(g.Disabled, name)
		}
		differing(t, c.what, f.Text, g.Text)
		differing(t, c.what, f.Value, g.Value)
		differing(t, c.what, f.Pressed, g.Pressed)
		differing(t, c.what, f.Hidden, g.Hidden)
		differing(t, c.what, f.Disabled, g.Disabled)
		if !reflect.DeepEqual(f.Steps, g.Steps) || !reflect.DeepEqual(f.Edges, g.Edges) || f.Bars != g.Bars {
			t.Errorf("%s: reopened the steps are %+v, want %+v", c.what, g.Steps, f.Steps)
		}
	}
}

// differing tells where the page shows something else than before.
func differing[T comparable](t *testing.T, what string, before, now map[string]T) {
	t.Helper()
	if len(before) != len(now) {
		t.Errorf("%s: reopened the page tells %d things, want %d", what, len(now), len(before))
	}
	for id, v := range before {
		if now[id] != v {
			t.Errorf("%s: reopened the page shows %s as %v, want %v", what, id, now[id], v)
		}
	}
}

// Documents of the first form know neither what is asked nor how values are divided.
func TestStudiesOfTheFirstFormOpenWithDefaults(t *testing.T) {
	b := at36x24(t, greys())
	b.press("tray-value", "steps", "filter", "more", "mirror")
	b.markAt(300, 300)
	data, err := study.Encode(b.doc())
	if err != nil {
		t.Fatal(err)
	}
	var fields map[string]any
	if err := json.Unmarshal(data, &fields); err != nil {
		t.Fatal(err)
	}
	fields["maulstick_study"] = 1
	for _, name := range []string{"finding", "shown", "parts"} {
		delete(fields, name)
	}
	for _, name := range []string{"division", "sheet", "neutral"} {
		delete(fields["look"].(map[string]any), name)
	}
	if data, err = json.Marshal(fields); err != nil {
		t.Fatal(err)
	}
	doc, err := study.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	again := newBench(t, 1)
	again.Show(doc, greys(), true)
	again.Filled()
	again.press("tray-value")
	f := again.Face()
	for _, key := range []string{"fit-equal", "part-steps", "sheet-red", "neutral-found", "wheel-painter", "part-flat", "part-temperature"} {
		if !f.Pressed["key-"+key] {
			t.Errorf("in a study of the first form %s is not what is chosen", key)
		}
	}
	if len(f.Steps) != 6 || len(f.Marks) != 1 || f.Value["cards"] != "" || f.Value["smallest"] != "" || f.Pressed["key-clean"] {
		t.Errorf("a study of the first form opens with %d steps, %d marks", len(f.Steps), len(f.Marks))
	}
	if !reflect.DeepEqual(again.doc(), b.doc().WithTray("value")) {
		t.Errorf("a study of the first form opens as %+v, want %+v", again.doc(), b.doc())
	}
	for _, part := range []string{"tray-shape", "part-edges", "tray-colour", "part-opposites", "part-piles", "fit-best"} {
		again.press(part)
	}
	if _, err := study.Encode(again.doc()); err != nil {
		t.Error(err)
	}
}

// No key, field or edge changes anything while hands are off.
func TestHandsOffHoldsEveryPart(t *testing.T) {
	for _, open := range [][]string{
		{"tray-shape"}, {"tray-value", "part-contrasts"}, {"tray-colour"}, {"tray-colour", "neutral-pick"},
		{"tray-line", "crop-hand"}, {"tray-line", "part-straighten", "corners"}, {"tray-line", "part-straighten", "level-line"},
		{"tray-line", "part-crossings", "eye-draw"}, {"tray-line", "part-chalk"}, {"tray-place", "span-new"},
		{"tray-place", "part-list"}, {"tray-place", "part-size"}, {"tray-study", "part-sheets"},
	} {
		b := at36x24(t, stripes(cream, slate, stone))
		b.markAt(300, 300)
		b.do(b.doc().WithMark(middle, 1).WithSpan(1, 2), "")
		b.press("use-thirds")
		b.setLines()
		b.press(open...)
		for _, k := range []survey.Kind{survey.Flat, survey.Edges, survey.Tones} {
			if b.asked(k) > 0 {
				b.found(k, madeUp[k])
			}
		}
		b.press("handsoff")
		before, redrawn := b.doc(), b.redrawn
		surveys, counts, handed := len(b.surveys), len(b.counts), len(b.handed)
		b.lineAsks, b.righted, b.printed, b.pixels, b.halts = nil, nil, nil, 0, 0
		for _, key := range pressable() {
			if key != "handsoff" && key != "unlock" {
				b.press(key)
			}
		}
		for _, field := range typedFields {
			for _, text := range typedTexts {
				b.Type(field, text)
			}
		}
		b.DragEdge(2, 47)
		b.NudgeEdge(1, 5)
		for _, name := range append([]string{"corner-0"}, gripOrder...) {
			b.NudgeHandle(name, 5, 5)
		}
		b.touchAt(600, 300)
		b.drag(1, 100, 100, 500, 400)
		if len(b.lineAsks)+len(b.righted)+len(b.printed)+b.halts != 0 || b.pixels != 0 || len(b.Face().Handles) != 0 {
			t.Errorf("with %v open a locked screen asked for something", open)
		}
		if !reflect.DeepEqual(b.doc(), before) || len(b.surveys) != surveys || len(b.counts) != counts || len(b.handed) != handed || b.opened != 0 || b.redrawn != redrawn {
			t.Errorf("with %v open a locked screen did something: %+v, want %+v", open, b.doc(), before)
		}
		for id, off := range b.Face().Disabled {
			if !off && id != "key-handsoff" && id != "key-unlock" {
				t.Errorf("with %v open and hands off %s can be used", open, id)
			}
		}
	}
}

// Every key that does something is told whether it can be used.
func TestEveryKeyIsTold(t *testing.T) {
	b := at36x24(t, greys())
	f := b.Face()
	for _, name := range slices.Sorted(maps.Keys(keys)) {
		if _, ok := f.Disabled["key-"+name]; !ok {
			t.Errorf("key %s is not told", name)
		}
	}
	for _, name := range pressable() {
		kind, _, _ := strings.Cut(name, "-")
		known := slices.Contains([]string{"fit", "part", "sheet", "wheel", "list"}, kind) && name != "sheet-green" && !strings.HasSuffix(name, "-x")
		if disabled, ok := f.Disabled["key-"+name]; known && (!ok || disabled) {
			t.Errorf("key %s is not told, or cannot be used", name)
		}
	}
	empty := newBench(t, 1)
	empty.Started()
	for id, off := range empty.Face().Disabled {
		if usable := id == "key-open" || id == "key-update" || id == "key-message-close"; off == usable {
			t.Errorf("without a study %s is off: %v", id, off)
		}
	}
}

// The red sheet, the neutral and the painter's division go with every look of the
// page-turner's cycle.
func TestTheCycleKeepsWhatWasDecided(t *testing.T) {
	b := at36x24(t, stripes(cream, slate, stone))
	b.press("sheet-deep", "tray-colour", "neutral-pick")
	b.touchAt(200, 300)
	b.DragEdge(2, 47)
	b.press("tray-colour")
	was := b.doc()
	for range len(study.Cycles()) + 1 {
		b.Key("PageDown", false, false)
		l := b.doc().Look
		if l.Sheet != colour.DeepSheet || l.Neutral != was.Look.Neutral || !reflect.DeepEqual(l.Division.Edges(), was.Look.Division.Edges()) {
			t.Fatalf("the cycle's look %+v lost what was decided, %+v", l, was.Look)
		}
	}
}
