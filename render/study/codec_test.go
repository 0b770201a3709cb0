package study

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"maulstick/render/colour"
	"maulstick/render/line"
	"maulstick/render/look"
	"maulstick/render/place"
)

// worked is a study with something in every field.
func worked() Document {
	d := earlier().WithMark(place.PhotoPoint{X: 900, Y: 700}, 2)
	d = d.WithSpan(1, 3).WithSpan(2, 3).ComparedWith(1).NamedSpan(2, "stalk to rim").Parted(3)
	for _, kind := range []line.Kind{line.Diagonals, line.Thirds, line.Divide, line.Squares, line.Angled} {
		d = d.WithConstruction(NewConstruction(kind, 3))
	}
	d = d.Striking("top:304800").WithEye(EyePath{{X: 10, Y: 20}, {X: 30.5, Y: 40}})
	d, err := d.WithBorder(place.Border{Turnover: 38.1, TurnoverIn: true, Margin: place.Sides{Bottom: 25.4}})
	if err != nil {
		panic(err)
	}
	d, _, err = d.WithRighting(Righting{
		Corners: []place.PhotoPoint{{X: 5, Y: 4}, {X: 2990, Y: 0}, {X: 2995, Y: 1990}, {X: 10, Y: 1999}},
		Flat:    place.Size{Width: 900, Height: 600, Unit: place.Millimetre}, Tilt: -1.5,
	})
	if err != nil {
		panic(err)
	}
	d = d.Pulled(place.Handle{X: 1, Y: 1}, -300, -300)
	d.Finding.Second = 3
	d = onBoard(d)
	return d.WithPart("chalk").WithSheets(Sheets{Paper: PaperCustom, Width: 300, Height: 400, Landscape: true, Kinds: []string{SheetCartoon, SheetChalk}, Resolution: 300})
}

// onBoard is a study with two references more, one of them worked on, something
// borrowed, and a log.
func onBoard(d Document) Document {
	other, third := reference(), reference()
	other.Name, other.Hash, other.Width = "sky.jpg", strings.Repeat("ab", 32), 1000
	third.Name, third.Hash = "", strings.Repeat("cd", 32)
	d, sky := d.Pinned(other)
	d, _ = d.Pinned(third)
	first := d.Board.OnEasel
	d = d.TakenUp(sky).WithMark(place.PhotoPoint{X: 500, Y: 300}, 2).WithConstruction(NewConstruction(line.Plumb, 1))
	d = d.TakenUp(first).NamedPin(sky, "evening sky").LaidBeside(sky)
	d = d.WithBorrowing(sky, place.Crop{X: 10, Y: 20, Width: 300, Height: 200}, 1, "the sky from this one\nbut cooler")
	at := time.Date(2026, 3, 4, 5, 6, 7, 8, time.UTC)
	d = d.WithEntry(at, "block-in", "darks first", nil).WithEntry(at.Add(time.Hour), "", "", &third).WithCompared(2)
	corners := []place.PhotoPoint{{X: 100, Y: 90}, {X: 2900, Y: 110}, {X: 2890, Y: 1900}, {X: 120, Y: 1880}}
	d = d.WithCorners(2, corners...).WithArrow(2, 0, Arrow{X: 300, Y: 200, DX: 6.35, DY: -3, Touch: 1.5})
	value := colour.Value(5)
	cards, _ := d.Log[1].Shown().WithCard(place.PhotoPoint{X: 40, Y: 50}, &value)
	cards, _ = cards.WithCard(place.PhotoPoint{X: 60, Y: 50}, nil)
	d = d.TouchedOn(2, cards).WithCheck(Checked{
		Entry: 2, Time: at.Add(2 * time.Hour), Corners: corners, Found: true, Declined: "a corner of it\nlies in shade",
		Matched: 120, Off: 4.5, DX: 2, DY: -3, Turn: 0.4, Stretch: [2]float64{1.01, 0.99}, Slips: 3, Worst: 12.7,
		Shapes: 40, Steps: 0.4, StepsOff: 2, Broken: 1, Range: 0.8, Cards: 2,
	})
	return onPalette(d)
}

// onPalette is a study with cards and piles touched on a photograph of them, one of each
// without a value.
func onPalette(d Document) Document {
	shot := reference()
	shot.Name, shot.Hash = "palette.png", strings.Repeat("ef", 32)
	d = d.WithPalette(shot)
	value := colour.Value(2.5)
	p, _ := d.Palette.WithCard(place.PhotoPoint{X: 100, Y: 200}, &value)
	p, _ = p.WithCard(place.PhotoPoint{X: 300, Y: 200}, nil)
	p, pile := p.WithPile(place.PhotoPoint{X: 500, Y: 700})
	p, _ = p.WithPile(place.PhotoPoint{X: 700, Y: 700})
	return d.Touched(p.Valued(pile, &value))
}

// earlier is a study with something in every field of the first form.
func earlier() Document {
	d := fresh().WithCanvas(canvas(24, 36), `2' x 3' <">`).WithName("Fig & bowl")
	d = d.WithMark(place.PhotoPoint{X: 1000.25, Y: 1.0 / 3}, 4.5).NamedMark(1, "stalk")
	d = d.WithMark(place.PhotoPoint{X: 1600, Y: 1999.5}, 0)
	d = d.WithLook(look.Look{Tone: look.Steps, Filter: true, AsGreys: true, Steps: 7, Keep: look.KeepDarker, Step: 3, Squint: true, Blur: 12.7})
	d = d.WithView(View{Zoom: 3.7, CentreX: 1234.5, CentreY: 987.6, Mirror: true, Turned: true})
	return d.WithTray(TrayPlace).WithSurround(35).WithCycle(CycleGrey, false).WithFrom(place.Edges{Bottom: true})
}

func encoded(t testing.TB, d Document) []byte {
	t.Helper()
	data, err := Encode(d)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestDecodingAndEncodingGivesTheSameBytes(t *testing.T) {
	for name, d := range map[string]Document{"new": fresh(), "worked": worked()} {
		data := encoded(t, d)
		back, err := Decode(data)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if !reflect.DeepEqual(back, d) {
			t.Errorf("%s came back as %+v, want %+v", name, back, d)
		}
		if again := encoded(t, back); !bytes.Equal(again, data) {
			t.Errorf("%s was written differently the second time:\n%s\n%s", name, data, again)
		}
	}
}

func TestFileFormIsPlainJSON(t *testing.T) {
	var fields map[string]any
	if err := json.Unmarshal(encoded(t, worked()), &fields); err != nil {
		t.Fatal(err)
	}
	if fields["maulstick_study"] != float64(Format) || fields["name"] != "Fig & bowl" {
		t.Errorf("the form and the name are %v and %v", fields["maulstick_study"], fields["name"])
	}
	if err := json.Unmarshal(encoded(t, earlier()), &fields); err != nil {
		t.Fatal(err)
	}
	mark := fields["marks"].([]any)[0].(map[string]any)
	if mark["x_px"] != 1000.25 || mark["y_px"] != 1.0/3 || mark["name"] != "stalk" {
		t.Errorf("the first mark is %v", mark)
	}
}

// spoilt is the worked study's text with one piece put in another's place.
func spoilt(t *testing.T, old, new string) []byte {
	t.Helper()
	text := string(encoded(t, worked()))
	if !strings.Contains(text, old) {
		t.Fatalf("the study's text has no %q:\n%s", old, text)
	}
	return []byte(strings.Replace(text, old, new, 1))
}

// again is the worked study written with something changed.
func again(change func(*Document)) []byte {
	d := worked()
	change(&d)
	data, err := spell(d)
	if err != nil {
		panic(err)
	}
	return data
}

func TestDamagedStudiesAreRefused(t *testing.T) {
	cases := map[string][]byte{
		"corners":         again(func(d *Document) { d.Righting.Corners = d.Righting.Corners[:3] }),
		"crossed corners": again(func(d *Document) { c := d.Righting.Corners; c[0], c[1] = c[1], c[0] }),
		"turned too far":  again(func(d *Document) { d.Righting.Tilt = 46 }),
		"no flat thing":   again(func(d *Document) { d.Righting.Flat.Width = 0 }),
		"hold":            again(func(d *Document) { d.Hold = "tight" }),
		"crop":            again(func(d *Document) { d.Own.Width *= 30 }),
		"border":          again(func(d *Document) { d.Canvas.Border.Margin.Left = 9000 }),
		"span of none":    again(func(d *Document) { d.Spans[0].To = 9 }),
		"span twice":      again(func(d *Document) { d.Spans[1].ID = 1 }),
		"unit span":       again(func(d *Document) { d.Unit = 7 }),
		"parting":         again(func(d *Document) { d.Parting = 4 }),
		"no eye":          again(func(d *Document) { d.Eye = nil }),
		"eye off":         again(func(d *Document) { d.Eye[0][0].X = -1 }),
		"construction":    again(func(d *Document) { d.Lines.Uses[0].Kind = "spiral" }),
		"depth":           again(func(d *Document) { d.Lines.Uses[0].Depth = 5 }),
		"same lines":      again(func(d *Document) { d.Lines.Uses[1] = d.Lines.Uses[0] }),
		"line of no mark": again(func(d *Document) { d.Lines.Uses[4].Mark = 8 }),
		"weight":          again(func(d *Document) { d.Lines.Uses[0].Weight = 6 }),
		"strength":        again(func(d *Document) { d.Lines.Uses[0].Strength = 5 }),
		"rounding":        again(func(d *Document) { d.Lines.Rounding = "1/7" }),
		"paper":           again(func(d *Document) { d.Sheets.Paper = "A9" }),
		"sheets":          again(func(d *Document) { d.Sheets.Kinds = []string{"poster"} }),
		"part of Line":    again(func(d *Document) { d.Parts.Line = "lid" }),

		"empty":           nil,
		"not JSON":        []byte("a photograph"),
		"a list":          []byte("[]"),
		"cut short":       encoded(t, worked())[:300],
		"two of them":     append(encoded(t, worked()), encoded(t, worked())...),
		"unknown field":   spoilt(t, `"name":`, `"brush": 3, "name":`),
		"word for number": spoilt(t, `"touch_px": 4.5`, `"touch_px": "4"`),
		"huge number":     spoilt(t, `"touch_px": 4.5`, `"touch_px": 1e999`),
		"off the photo":   again(func(d *Document) { d.Marks[0].X = 9000 }),
		"under zero":      again(func(d *Document) { d.Marks[0].X = -0.5 }),
		"number twice":    again(func(d *Document) { d.Marks[1].ID = 1 }),
		"number to come":  again(func(d *Document) { d.Marks[1].ID = 4 }),
		"no such mark":    again(func(d *Document) { d.Chosen = 9 }),
		"no marks":        again(func(d *Document) { d.Marks = nil }),
		"ten steps":       spoilt(t, `"steps": 7`, `"steps": 10`),
		"step of none":    spoilt(t, `"step": 3`, `"step": 0`),
		"no blur":         again(func(d *Document) { d.Look.Blur = 0 }),
		"zoom too far":    again(func(d *Document) { d.View.Zoom = 0.01 }),
		"unit":            again(func(d *Document) { d.Canvas.Unit = 8 }),
		"canvas":          spoilt(t, `"width_mm": 609.5999999999999`, `"width_mm": 0`),
		"tray":            spoilt(t, `"tray": "place"`, `"tray": "drawer"`),
		"surround":        spoilt(t, `"surround_lightness": 35`, `"surround_lightness": 100`),
		"look of cycle":   spoilt(t, `"photograph"`, `"sepia"`),
		"look twice":      spoilt(t, `"photograph"`, `"filter"`),
		"hash":            spoilt(t, `"sha256": "`, `"sha256": "Z`),
		"pixels":          spoilt(t, `"width_px": 3000`, `"width_px": 70000`),
		"id":              spoilt(t, `"id": "study-1"`, `"id": "../etc"`),
		"name of lines":   spoilt(t, `"name": "stalk"`, `"name": "sta\nlk"`),
		"way to divide":   spoilt(t, `"fit": "equal"`, `"fit": "evenly"`),
		"cards":           spoilt(t, `"cards": []`, `"cards": [3, 2]`),
		"shown":           spoilt(t, `"shown": ""`, `"shown": "frame"`),
		"part of a tray":  spoilt(t, `"value": "steps"`, `"value": "lid"`),
		"sheet":           spoilt(t, `"sheet": 0`, `"sheet": 9`),
		"division":        spoilt(t, `"edges_lightness": []`, `"edges_lightness": [60, 40]`),
		"no form":         []byte(`{"name": "x"}`),
		"form nought":     spoilt(t, `"maulstick_study": 5`, `"maulstick_study": 0`),
		"too long":        bytes.Repeat([]byte(" "), longestFile+1),
	}
	for name, data := range cases {
		d, err := Decode(data)
		var problem *Problem
		if !errors.As(err, &problem) {
			t.Errorf("%s: error %v, want a *Problem", name, err)
			continue
		}
		if !reflect.DeepEqual(d, Document{}) {
			t.Errorf("%s: a document came with the refusal", name)
		}
		if problem.Hint() == "" || strings.Contains(err.Error(), "json:") || strings.Contains(err.Error(), "Go ") {
			t.Errorf("%s: %q with the hint %q is not in a painter's words", name, err, problem.Hint())
		}
	}
}

// Studies of earlier forms open with what a new study has of what they had not, and
// are kept in the newest form. The first had no division, sheet, neutral, findings or
// parts of trays; the second no righting, crop of the painter's own, border, spans,
// lines, path of the eye or sheets; the third no board and no log; the fourth no Check
// tray and no palette.
func TestStudiesOfEarlierFormsOpen(t *testing.T) {
	for form := 1; form <= 4; form++ {
		var fields map[string]any
		if err := json.Unmarshal(encoded(t, earlier()), &fields); err != nil {
			t.Fatal(err)
		}
		fields["maulstick_study"] = form
		delete(fields["parts"].(map[string]any), "check")
		delete(fields, "palette")
		if form < 4 {
			for _, name := range []string{"board", "log", "next_entry"} {
				delete(fields, name)
			}
		}
		if form < 3 {
			withoutThird(fields)
		}
		if form == 1 {
			withoutSecond(fields)
		}
		data, err := json.Marshal(fields)
		if err != nil {
			t.Fatal(err)
		}
		d, err := Decode(data)
		if err != nil || !reflect.DeepEqual(d, earlier()) {
			t.Errorf("form %d opens as %+v with %v, want %+v", form, d, err, earlier())
			continue
		}
		if !bytes.Equal(encoded(t, d), encoded(t, earlier())) {
			t.Errorf("form %d is not kept in the newest form", form)
		}
	}
}

// withoutThird takes out what the third form brought.
func withoutThird(fields map[string]any) {
	for _, name := range []string{"righting", "crop", "hold", "spans", "span", "unit", "next_span", "parting", "lines", "eye", "sheets"} {
		delete(fields, name)
	}
	delete(fields["canvas"].(map[string]any), "border")
	delete(fields["finding"].(map[string]any), "second")
	for _, name := range []string{"line", "place", "study"} {
		delete(fields["parts"].(map[string]any), name)
	}
}

// withoutSecond takes out what the second form brought.
func withoutSecond(fields map[string]any) {
	for _, name := range []string{"finding", "shown", "parts"} {
		delete(fields, name)
	}
	for _, name := range []string{"division", "sheet", "neutral"} {
		delete(fields["look"].(map[string]any), name)
	}
}

func TestNewerStudyOpensToBeLookedAt(t *testing.T) {
	data := spoilt(t, `"maulstick_study": 5`, `"brush": {"hog": 12}, "maulstick_study": 7`)
	d, err := Decode(data)
	var newer *Newer
	if !errors.As(err, &newer) || newer.Found != 7 || !strings.Contains(err.Error(), "newer") || newer.Hint() == "" {
		t.Fatalf("error %v, want a *Newer of form 7", err)
	}
	want := worked()
	want.Format = 7
	if !reflect.DeepEqual(d, want) {
		t.Errorf("what could be read is %+v, want %+v", d, want)
	}
	if _, err := Encode(d); err == nil {
		t.Error("a study of a newer form was written, and lost what is not understood here")
	}
	if d, err := Decode([]byte(`{"maulstick_study": 7, "id": 5}`)); !errors.As(err, &newer) || !reflect.DeepEqual(d, Document{}) {
		t.Errorf("a newer study that cannot be read gave %+v and %v", d, err)
	}
}

func TestEncodeRefusesWhatDecodeWould(t *testing.T) {
	d := worked()
	d.View.Zoom = math.NaN()
	if _, err := Encode(d); err == nil {
		t.Error("a zoom that is no number was written")
	}
	d = worked()
	d.Name = "two\nlines"
	if _, err := Encode(d); err == nil {
		t.Error("a name of two lines was written")
	}
}

func TestKeptFileHoldsStudyAndPhotograph(t *testing.T) {
	data, err := EncodeFile(worked(), photograph)
	if err != nil {
		t.Fatal(err)
	}
	d, bytesBack, err := DecodeFile(data)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(d, worked()) || !bytes.Equal(bytesBack, photograph) {
		t.Errorf("the file gave back %+v and %q", d, bytesBack)
	}
	// The file is open: anything that reads JSON and base64 (RFC 4648) can take
	// the photograph out, and its SHA-256 (FIPS 180-4) is the study's.
	var open struct {
		Study      Document `json:"study"`
		Photograph string   `json:"photograph"`
	}
	if err := json.Unmarshal(data, &open); err != nil {
		t.Fatal(err)
	}
	raw, err := base64.StdEncoding.DecodeString(open.Photograph)
	if err != nil {
		t.Fatal(err)
	}
	if sum := sha256.Sum256(raw); hex.EncodeToString(sum[:]) != open.Study.Reference.Hash {
		t.Error("the photograph in the file has another hash than the study says")
	}
}

func TestDamagedFilesAreRefused(t *testing.T) {
	good, err := EncodeFile(worked(), photograph)
	if err != nil {
		t.Fatal(err)
	}
	text := string(good)
	photo := base64.StdEncoding.EncodeToString(photograph)
	other := base64.StdEncoding.EncodeToString(bytes.ToUpper(photograph))
	for name, data := range map[string]string{
		"empty":              "",
		"cut short":          text[:len(text)/2],
		"another photograph": strings.Replace(text, photo, other, 1),
		"no photograph":      strings.Replace(text, photo, "", 1),
		"not base64":         strings.Replace(text, photo, "*"+photo, 1),
		"unknown field":      strings.Replace(text, `"study"`, `"palette": 1, "study"`, 1),
		"a study alone":      string(encoded(t, worked())),
		"damaged study":      strings.Replace(text, `"steps": 7`, `"steps": 77`, 1),
	} {
		if data == text {
			t.Fatalf("%s: nothing was spoilt", name)
		}
		d, photo, err := DecodeFile([]byte(data))
		var problem *Problem
		if !errors.As(err, &problem) || photo != nil || !reflect.DeepEqual(d, Document{}) {
			t.Errorf("%s: got %+v, %d bytes and %v, want only a *Problem", name, d, len(photo), err)
		}
	}
	if _, err := EncodeFile(worked(), []byte("another photograph")); err == nil {
		t.Error("a study was written with a photograph that is not its own")
	}
}

func TestNewerFileOpensToBeLookedAt(t *testing.T) {
	good, err := EncodeFile(worked(), photograph)
	if err != nil {
		t.Fatal(err)
	}
	data := strings.Replace(string(good), `"maulstick_study": 5`, `"maulstick_study": 7`, 1)
	d, photo, err := DecodeFile([]byte(data))
	var newer *Newer
	if !errors.As(err, &newer) || !bytes.Equal(photo, photograph) || d.Name != worked().Name {
		t.Errorf("got %+v, %q and %v, want what could be read and a *Newer", d, photo, err)
	}
}

func TestFileNamesSuitEveryTablet(t *testing.T) {
	for name, want := range map[string]string{
		"Fig in a bowl": "Fig in a bowl.maulstick.zip",
		`a/b\c:d*e?"<>`: "a-b-c-d-e----.maulstick.zip",
		"...":           "study.maulstick.zip",
	} {
		if got := fresh().WithName(name).FileName(); got != want {
			t.Errorf("a study called %q is kept as %q, want %q", name, got, want)
		}
	}
}

func FuzzDecode(f *testing.F) {
	f.Add(encoded(f, fresh()))
	f.Add(encoded(f, worked()))
	f.Add([]byte(`{"maulstick_study": 9, "id": "a"}`))
	f.Add([]byte("{"))
	if file, err := EncodeFile(worked(), photograph); err == nil {
		f.Add(file)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if d, photo, err := DecodeFile(data); err == nil {
			if sum := sha256.Sum256(photo); hex.EncodeToString(sum[:]) != d.Reference.Hash {
				t.Error("a file was accepted with a photograph that is not the study's")
			}
		}
		d, err := Decode(data)
		if err != nil {
			return
		}
		first, err := Encode(d)
		if err != nil {
			t.Fatalf("what was read cannot be written: %v", err)
		}
		back, err := Decode(first)
		if err != nil || !reflect.DeepEqual(back, d) {
			t.Fatalf("what was written came back as %+v, %v; want %+v", back, err, d)
		}
		second, err := Encode(back)
		if err != nil || !bytes.Equal(first, second) {
			t.Fatalf("the second writing differs: %v\n%s\n%s", err, first, second)
		}
	})
}
