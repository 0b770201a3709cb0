package easel

import (
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/study"
	"maulstick/render/survey"
)

// warmth is how warm a colour is relative to a neutral: 500 cos 50 (x - y) + 200 sin
// 50 (y - z), the axis of Ou, Luo, Woodcock and Wright (Color Research and Application
// 29:232, 2004), in linear light by the primaries of IEC 61966-2-1, as a chromaticity
// in CIELAB units at L* 50.
func warmth(c, neutral colour.SRGB) float64 {
	r := luminance(c, 1, 0, 0) / luminance(neutral, 1, 0, 0)
	g := luminance(c, 0, 1, 0) / luminance(neutral, 0, 1, 0)
	b := luminance(c, 0, 0, 1) / luminance(neutral, 0, 0, 1)
	return 66.0 / 116 * (101*r - 16.1*g - 84.8*b) / (r + g + b)
}

var (
	white = colour.SRGB{R: 255, G: 255, B: 255}
	cream = colour.SRGB{R: 230, G: 200, B: 160}
	slate = colour.SRGB{R: 40, G: 50, B: 80}
	stone = colour.SRGB{R: 119, G: 119, B: 119}
)

func TestTemperatureOfLightsAndShadows(t *testing.T) {
	for _, c := range []struct {
		colours []colour.SRGB
		verdict string
	}{
		{[]colour.SRGB{cream, slate}, "Lights warmer than shadows."},
		{[]colour.SRGB{{R: 160, G: 200, B: 230}, {R: 80, G: 50, B: 40}}, "Lights cooler than shadows."},
		{[]colour.SRGB{{R: 220, G: 220, B: 220}, {R: 60, G: 60, B: 60}}, "No clear difference."},
	} {
		b := at36x24(t, stripes(c.colours...))
		b.press("tray-colour")
		b.wantText("temperature-verdict", "")
		b.press("neutral-white")
		if ask := b.newest(survey.Tones).Ask; !ask.White {
			t.Fatalf("with white as neutral the question is %+v", ask)
		}
		b.survey(survey.Tones)
		b.wantText("temperature-verdict", c.verdict)
		note := b.Face().Text["temperature-note"]
		for i, what := range []string{"Lights", "shadows"} {
			want := warmth(c.colours[i], white)
			if got := b.figure(note, what+` ([+-]?\d+) over 50 %`); !near(got, want, 0.6) {
				t.Errorf("%s of %v are %v in %q, want %.1f", what, c.colours[i], got, note, want)
			}
		}
		coloured := "100 %"
		if c.verdict == "No clear difference." {
			coloured = "none"
		}
		if !strings.Contains(note, "Warm or cool are "+coloured+" of it") {
			t.Errorf("the note %q does not say that %s is warm or cool", note, coloured)
		}
		if rows := b.rows("neutral-rows"); !slices.Equal(rows, []string{"Neutral: white"}) {
			t.Errorf("white as neutral is listed as %q", rows)
		}
	}
}

func TestTheNeutralIsFound(t *testing.T) {
	b := at36x24(t, stripes(stone, stone, slate))
	b.press("tray-colour", "temperature")
	b.survey(survey.Tones)
	if rows := b.rows("neutral-rows"); !slices.Equal(rows, []string{"Neutral: found in the picture"}) {
		t.Errorf("the neutral of a picture of greys is listed as %q", rows)
	}
	if n := b.doc().Look.Neutral; warmth(stone, n) > 1 || warmth(stone, n) < -1 || b.doc().Look.Tone != look.Temperature {
		t.Errorf("the picture is seen relative to %v, want a grey", n)
	}
	b = at36x24(t, stripes(colour.SRGB{R: 204, G: 38, B: 30}, colour.SRGB{R: 30, G: 40, B: 180}))
	b.press("tray-colour")
	b.survey(survey.Tones)
	if rows := b.rows("neutral-rows"); !slices.Equal(rows, []string{"Neutral: white: no part of the picture is near enough to grey"}) {
		t.Errorf("the neutral of a picture without greys is listed as %q", rows)
	}
}

func TestTemperatureIsReadAtAMark(t *testing.T) {
	b := at36x24(t, stripes(cream, slate, stone))
	b.markAt(200, 300)
	b.press("tray-colour", "neutral-white")
	b.survey(survey.Tones)
	for i, c := range []struct {
		colour colour.SRGB
		class  string
	}{{cream, "clearly warm"}, {slate, "clearly cool"}, {stone, "neither warm nor cool"}} {
		if i > 0 {
			b.markAt(float64(200+400*i), 300)
			b.press("tray-colour")
		}
		row := b.Face().Rows["neutral-rows"][1]
		if got := b.figure(row.Text, `^Mark \d: `+c.class+`, ([+-]?\d+)$`); !near(got, warmth(c.colour, white), 0.6) || row.Swatches != swatches(c.colour) {
			t.Errorf("%v reads %+v, want %s and %.1f", c.colour, row, c.class, warmth(c.colour, white))
		}
	}
}

// Under a warm light a cream wall is the grey, and everything is cooler by as much.
func TestTheNeutralIsPickedByTouch(t *testing.T) {
	b := at36x24(t, stripes(cream, slate, stone))
	b.markAt(600, 300)
	b.press("tray-colour", "neutral-pick")
	b.wantText("temperature-verdict", "Touch something in the picture that should be grey.")
	if !b.Face().Pressed["key-neutral-pick"] {
		t.Error("the key does not show that a touch is waited for")
	}
	b.touchAt(200, 300)
	f := b.Face()
	n := b.doc().Look.Neutral
	if !near(warmth(cream, n), 0, 0.3) || b.newest(survey.Tones).Ask.Neutral != n || !b.doc().Finding.Picked {
		t.Errorf("touching %v took %v as neutral, and asked %+v", cream, n, b.newest(survey.Tones).Ask)
	}
	if want := "Neutral taken there: red 255, green 222, blue 178."; f.Says != want || f.Pressed["key-neutral-found"] || !f.Pressed["key-neutral-pick"] {
		t.Errorf("picking is said as %q, want %q", f.Says, want)
	}
	b.survey(survey.Tones)
	rows := b.rows("neutral-rows")
	if len(rows) != 2 || rows[0] != "Neutral: where you touched" || !near(b.figure(rows[1], `^Mark 1: clearly cool, (-\d+)$`), warmth(slate, n), 0.6) {
		t.Errorf("relative to the neutral that was picked the rows are %q, want %.1f", rows, warmth(slate, n))
	}
	b.markAt(210, 200)
	b.press("tray-colour")
	if rows := b.rows("neutral-rows"); rows[1] != "Mark 2: neither warm nor cool, 0" {
		t.Errorf("the neutral itself reads %q", rows[1])
	}
	n2 := b.asked(survey.Tones)
	b.touchAt(1000, 300)
	if b.doc().Look.Neutral != n || b.asked(survey.Tones) != n2 {
		t.Error("a touch after the neutral was picked picks another")
	}
}

func TestAPickedNeutralCanBeUndone(t *testing.T) {
	b := at36x24(t, stripes(cream, slate, stone))
	b.press("tray-colour")
	b.survey(survey.Tones)
	found := b.doc()
	pick := func(x float64) study.Document {
		b.press("neutral-pick")
		b.touchAt(x, 300)
		return b.doc()
	}
	first := pick(200)
	if row := b.Face().Rows["neutral-rows"][0]; row.Text != "Neutral: where you touched" || row.Swatches != swatches(first.Look.Neutral) {
		t.Errorf("before lights and shadows are read anew the neutral is %+v, want %v", row, first.Look.Neutral)
	}
	second := pick(600)
	for _, want := range []study.Document{first, found} {
		b.press("undo")
		if got := b.doc(); got.Look.Neutral != want.Look.Neutral || got.Finding.Picked != want.Finding.Picked {
			t.Errorf("undo brought back the neutral %v, want %v", got.Look.Neutral, want.Look.Neutral)
		}
	}
	b.survey(survey.Tones)
	if rows := b.rows("neutral-rows"); rows[0] != "Neutral: found in the picture" {
		t.Errorf("after undoing the neutral is %q", rows[0])
	}
	b.press("redo", "redo")
	if got := b.doc(); got.Look.Neutral != second.Look.Neutral || !got.Finding.Picked {
		t.Errorf("redo brought back the neutral %v, want %v", got.Look.Neutral, second.Look.Neutral)
	}
	b.press("neutral-found", "undo")
	if got := b.doc(); got.Look.Neutral != second.Look.Neutral || !got.Finding.Picked {
		t.Errorf("undoing Found brought back the neutral %v, want %v", got.Look.Neutral, second.Look.Neutral)
	}
}

func TestADoubleTapPicksNoNeutral(t *testing.T) {
	b := at36x24(t, stripes(cream, slate, stone))
	b.press("tray-colour", "neutral-pick")
	before := b.doc()
	b.clock = b.clock.Add(time.Second)
	b.tapSoon(1, 200, 300)
	if !b.doc().Finding.Picked {
		t.Fatal("a touch picked nothing")
	}
	b.clock = b.clock.Add(100 * time.Millisecond)
	b.tapSoon(2, 203, 301)
	if got := b.doc(); !reflect.DeepEqual(got, before) || !b.Face().Pressed["key-neutral-pick"] {
		t.Errorf("two taps, which show the whole picture, left %+v, want %+v", got.Finding, before.Finding)
	}
}

func TestBlackIsNoNeutral(t *testing.T) {
	b := at36x24(t, stripes(colour.SRGB{}, colour.SRGB{R: 255}, stone))
	b.press("tray-colour", "neutral-pick")
	before := b.doc()
	for _, x := range []float64{200, 600} {
		b.touchAt(x, 300)
		f := b.Face()
		if !reflect.DeepEqual(b.doc(), before) || f.Hidden["message"] || !strings.Contains(f.Text["message-text"], "should be grey") {
			t.Errorf("touching %v is answered with %q", b.picture.At(int(x), 300), f.Text["message-text"])
		}
		b.press("message-close")
	}
	b.tap(Touch, 5, 5) // beside the picture
	if !reflect.DeepEqual(b.doc(), before) || !b.Face().Pressed["key-neutral-pick"] {
		t.Error("a touch beside the picture picks a neutral, or ends the picking")
	}
	b.touchAt(1000, 300)
	if !b.doc().Finding.Picked {
		t.Error("after a refusal nothing can be picked")
	}
}

func TestPickingCanBeGivenUp(t *testing.T) {
	for what, giveUp := range map[string]func(*bench){
		"its key":      func(b *bench) { b.press("neutral-pick") },
		"Escape":       func(b *bench) { b.Key("Escape", false, false) },
		"another part": func(b *bench) { b.press("part-opposites") },
		"another tray": func(b *bench) { b.press("tray-value", "tray-colour") },
		"hands off": func(b *bench) {
			b.press("handsoff")
			b.Press("unlock")
			b.wait(2 * time.Second)
			b.Release("unlock")
		},
	} {
		b := at36x24(t, stripes(cream, slate, stone))
		b.press("tray-colour", "neutral-pick")
		giveUp(b)
		b.touchAt(200, 300)
		if b.doc().Finding.Picked || b.Face().Pressed["key-neutral-pick"] {
			t.Errorf("%s does not end the picking", what)
		}
	}
}
