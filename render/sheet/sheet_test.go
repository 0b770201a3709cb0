package sheet

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"maulstick/render/line"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
)

// slope is a small photograph from dark to light with a red corner.
func slope(width, height int) *photo.Picture {
	p := photo.New(width, height)
	for y := range height {
		for x := range width {
			grey := byte(255 * x / width)
			pix := p.Pix[4*(y*width+x):][:4]
			pix[0], pix[1], pix[2], pix[3] = grey, grey, grey, 255
			if 2*x < width && 2*y < height {
				pix[0] = 200
			}
		}
	}
	return p
}

// sloped is a study of it, with a mark, a span and lines, on a canvas.
func sloped(p *photo.Picture, canvas place.Size) study.Document {
	d := study.New("slope", study.Reference{Name: "slope.png", Hash: strings.Repeat("0", 64), Bytes: 1, Width: p.Width, Height: p.Height})
	w, h := float64(p.Width), float64(p.Height)
	if canvas.Width > 0 {
		d = d.WithCanvas(canvas, "")
	}
	d = d.WithMark(place.PhotoPoint{X: w * 0.4, Y: h * 0.5}, 1).WithMark(place.PhotoPoint{X: w * 0.6, Y: h * 0.5}, 1)
	d = d.WithSpan(1, 2).WithConstruction(study.NewConstruction(line.Thirds, 0))
	return d
}

// Whatever the canvas, from 1 mm to 100 m a side, and whatever the paper, there is
// an end: pages in hundreds at most, or a refusal with a hint.
func FuzzAnyCanvas(f *testing.F) {
	for _, s := range []struct {
		width, height, w, h float64
		kinds               byte
	}{
		{914.4, 609.6, 210, 297, 63}, {1, 1, 210, 297, 63}, {100_000, 100_000, 210, 297, 63}, {100_000, 1, 2000, 2000, 63},
		{1, 100_000, 125, 125, 63}, {2500, 2500, 210, 297, 32}, {180, 240, 125, 2000, 31}, {0, 0, 210, 297, 12}, {3, 2, 297, 210, 17}, {1, 100_000, 125, 125, 1}, {9, 90_000, 125, 125, 17},
	} {
		f.Add(s.width, s.height, s.w, s.h, s.kinds, "A study – Ölbild, №1 絵 \U0001f58c")
	}
	f.Fuzz(func(t *testing.T, width, height, w, h float64, kinds byte, name string) {
		picture := slope(48, 36)
		canvas := place.Size{Width: place.MM(width), Height: place.MM(height), Unit: place.Inch}
		if !(min(width, height) >= 1 && max(width, height) <= 100_000) {
			canvas = place.Size{}
		}
		d := sloped(picture, canvas).WithName(name)
		if d.Check() != nil {
			return // no study at all
		}
		chosen := []string{}
		for i, k := range study.SheetKinds() {
			if kinds>>i&1 == 1 {
				chosen = append(chosen, k)
			}
		}
		d = d.WithSheets(study.Sheets{Paper: study.PaperCustom, Width: place.MM(w), Height: place.MM(h), Resolution: 72})
		work, err := Of(d, picture, chosen, nil, nil)
		var pages []Page
		if err == nil {
			pages, err = work.Pages()
		}
		if err != nil {
			if place.Hint(err) == "" {
				t.Fatalf("%v x %v is refused without a hint: %v", width, height, err)
			}
			return
		}
		if len(pages) > 1+mostTiles+60 {
			t.Fatalf("%v x %v on %v x %v takes %d pages", width, height, w, h, len(pages))
		}
		if len(pages) > 40 {
			return
		}
		var out bytes.Buffer
		if err := Write(&out, work, nil); err != nil || !bytes.HasPrefix(out.Bytes(), []byte("%PDF-1.")) {
			t.Fatalf("%v x %v on %v x %v: %v", width, height, w, h, err)
		}
	})
}

// What cannot be printed is refused, with what would help.
func TestRefused(t *testing.T) {
	picture := slope(48, 36)
	on := sloped(picture, place.Size{Width: 600, Height: 450, Unit: place.Millimetre})
	off := sloped(picture, place.Size{})
	bare := on.WithoutConstruction(0)
	large := sloped(picture, place.Size{Width: 6000, Height: 4500, Unit: place.Millimetre})
	slim := on
	slim.Sheets = study.Sheets{Paper: study.PaperCustom, Width: 100, Height: 300, Resolution: 100}
	for _, c := range []struct {
		d     study.Document
		kinds []string
		want  string
	}{
		{off, []string{study.SheetReference}, "needs a canvas"},
		{off, []string{study.SheetChalk}, "needs a canvas"},
		{off, []string{study.SheetMarks}, "needs a canvas"},
		{off, []string{study.SheetCartoon}, "needs a canvas"},
		{bare, []string{study.SheetChalk}, "needs lines"},
		{on.WithoutMark(1).WithoutMark(2), []string{study.SheetMarks}, "needs marks"},
		{on, []string{"poster"}, "no sheet"},
		{on, []string{}, "none is chosen"},
		{slim, []string{study.SheetValues}, "125 mm"},
		{large, []string{study.SheetCartoon}, "over 200"},
		{sloped(picture, place.Size{Width: 1, Height: 90_000}), []string{study.SheetReference}, "too narrow"},
	} {
		w, err := Of(c.d, picture, c.kinds, nil, nil)
		if err == nil {
			err = Write(io.Discard, w, nil)
		}
		if err == nil || !strings.Contains(err.Error(), c.want) || place.Hint(err) == "" {
			t.Errorf("%v: %v, hint %q, want %q", c.kinds, err, place.Hint(err), c.want)
		}
	}
	if _, err := Of(on, slope(36, 48), nil, nil, nil); err == nil {
		t.Error("a photograph of another size is taken")
	}
	if _, err := ParsePaper("B5"); place.Hint(err) == "" {
		t.Errorf("paper B5: %v", err)
	}
	if _, err := ParsePaper("2100x297mm"); place.Hint(err) == "" {
		t.Errorf("paper of 2.1 m: %v", err)
	}
}

// Without a word about sheets a study prints what it asks for, as far as it has
// something for it, or else whatever it has.
func TestChosenSheets(t *testing.T) {
	picture := slope(48, 36)
	canvas := place.Size{Width: 600, Height: 450, Unit: place.Millimetre}
	on, off := sloped(picture, canvas), sloped(picture, place.Size{})
	for _, c := range []struct {
		d    study.Document
		want string
	}{
		{on, "reference chalk"}, // as a new study asks
		{on.WithoutConstruction(0), "reference"},
		{off, "values palette"},
		{on.WithSheets(study.Sheets{Kinds: []string{}}), "reference chalk values palette marks cartoon"},
		{off.WithSheets(study.Sheets{Kinds: []string{study.SheetPalette, study.SheetCartoon}}), "palette"},
	} {
		w, err := Of(c.d, picture, nil, nil, nil)
		if got := strings.Join(w.Kinds, " "); err != nil || got != c.want {
			t.Errorf("printed is %q, want %q: %v", got, c.want, err)
		}
	}
}

// Progress rises from nothing to all and can stop the work at every point.
func TestProgressStops(t *testing.T) {
	picture := slope(48, 36)
	d := sloped(picture, place.Size{Width: 600, Height: 450, Unit: place.Millimetre})
	stop := errors.New("stop")
	for name, do := range map[string]func(func(float64) error) error{
		"of": func(progress func(float64) error) error {
			_, err := Of(d, picture, ownKinds(), nil, progress)
			return err
		},
		"write": func(progress func(float64) error) error {
			w, err := Of(d, picture, ownKinds(), nil, nil)
			if err != nil {
				return err
			}
			return Write(io.Discard, w, progress)
		},
	} {
		var told []float64
		if err := do(func(share float64) error { told = append(told, share); return nil }); err != nil {
			t.Fatal(name, err)
		}
		for i, share := range told {
			if share < 0 || share > 1 || i > 0 && share < told[i-1]-1e-9 {
				t.Errorf("%s: progress goes %v", name, told)
				break
			}
		}
		if len(told) < 5 || told[len(told)-1] != 1 {
			t.Errorf("%s: progress ends %v", name, told)
		}
		for n := range told {
			left := n
			err := do(func(float64) error {
				if left--; left < 0 {
					return stop
				}
				return nil
			})
			if !errors.Is(err, stop) {
				t.Errorf("%s: stopped at %d it says %v", name, n, err)
			}
		}
	}
}

// An error of what is written to is told.
func TestWriteFails(t *testing.T) {
	if err := Write(full{}, keptWork(t), nil); err == nil || !strings.Contains(err.Error(), "no room") {
		t.Errorf("a full disk gives %v", err)
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no room") }

// Scales are handy and stated rightly: worked by hand.
func TestScales(t *testing.T) {
	for _, c := range []struct {
		width, height, roomWidth, roomHeight place.MM
		unit                                 place.Unit
		want                                 string
	}{
		{838.2, 1778, 190, 420, place.Inch, "1 : 4.5 – 1 in on paper is 4 1/2 in of canvas"},
		{838.2, 1778, 190, 430, place.Foot, "1 : 4.5 – 1 in on paper is 4 1/2 in of canvas"},
		{840, 1780, 200, 430, place.Centimetre, "1 : 4.2 – 1 cm on paper is 4.2 cm of canvas"},
		{100, 100, 150, 100, place.Centimetre, "1 : 1 – actual size"},
		{30, 20, 100, 100, place.Millimetre, "3 : 1 – 3 cm on paper is 1 cm of canvas"},
		{25.4, 25.4, 80, 80, place.Inch, "3 : 1 – 3 in on paper is 1 in of canvas"},
		{2500, 2000, 200, 200, place.Metre, "1 : 12.5 – 1 cm on paper is 12.5 cm of canvas"},
		{100_000, 100, 190, 100, place.Inch, "1 : 530 – 1 in on paper is 530 in of canvas"},
	} {
		canvas := place.Size{Width: c.width, Height: c.height, Unit: c.unit}
		s := scaleFor(canvas, c.roomWidth, c.roomHeight)
		if got := s.words(c.unit); got != c.want {
			t.Errorf("%v in %v x %v: %q, want %q", canvas, c.roomWidth, c.roomHeight, got, c.want)
		}
		if at := s.centred(canvas, box{0, 0, c.roomWidth, c.roomHeight}); at.X < -1e-9 || at.Y < -1e-9 {
			t.Errorf("%v leaves its room: %v", canvas, at)
		}
	}
}

// Every letter that is printed as it is has a shape in both faces, so that none
// comes out as a blank.
func TestPrintableLetters(t *testing.T) {
	for name, data := range map[string][]byte{"regular": goregular.TTF, "bold": gobold.TTF} {
		has := lettersOf(t, data)
		kept := 0
		for r := rune(' '); r <= 0x1ffff; r++ {
			if printable(string(r)) != string(r) {
				continue
			}
			kept++
			if !has[r] {
				t.Errorf("%s has no %q (%U)", name, r, r)
			}
		}
		if kept < 400 {
			t.Errorf("only %d letters are printed", kept)
		}
	}
	for _, text := range []string{"1/16 ½ ¼ ¾ ⅛ ° × ± – é è ñ ü ß ø å ő ğ ş Ł œ", "Ελλάδα", "Россия, Київ"} {
		if printable(text) != text {
			t.Errorf("%q is printed as %q", text, printable(text))
		}
	}
	if got := printable("絵\n\U0001f58c"); got != "□□□" {
		t.Errorf("other letters are printed as %q", got)
	}
}

// lettersOf reads which letters a TrueType file has shapes for: its cmap table of
// format 4 (ISO/IEC 14496-22, 5.2.1).
func lettersOf(t *testing.T, data []byte) map[rune]bool {
	t.Helper()
	at := func(i int) int { return int(binary.BigEndian.Uint16(data[i:])) }
	long := func(i int) int { return int(binary.BigEndian.Uint32(data[i:])) }
	table := 0
	for i := range at(4) {
		if row := 12 + 16*i; string(data[row:row+4]) == "cmap" {
			cmap := long(row + 8)
			for k := range at(cmap + 2) {
				if sub := cmap + long(cmap+4+8*k+4); at(sub) == 4 {
					table = sub
				}
			}
		}
	}
	if table == 0 {
		t.Fatal("the typeface has no table of letters")
	}
	has := map[rune]bool{}
	twice := at(table + 6) // the number of segments
	for i := 0; i < twice; i += 2 {
		end, start := at(table+14+i), at(table+16+twice+i)
		delta, from := at(table+16+2*twice+i), at(table+16+3*twice+i)
		for c := start; c <= end && c != 0xffff; c++ {
			glyph := c + delta
			if from != 0 {
				if glyph = at(table + 16 + 3*twice + i + from + 2*(c-start)); glyph != 0 {
					glyph += delta
				}
			}
			has[rune(c)] = glyph&0xffff != 0
		}
	}
	return has
}

// Numbers in a page are in thousandths of a point, without superfluous noughts.
func TestNumbers(t *testing.T) {
	for n, want := range map[float64]string{0: "0", -0.0004: "0", 1: "1", 1.5: "1.5", 283.46457: "283.465", -12.25: "-12.25", 100: "100"} {
		if got := string(appendNumber(nil, n)); got != want {
			t.Errorf("%v is written %q, want %q", n, got, want)
		}
	}
	if off := math.Abs(points(100) - 283.4645669); off > 1e-6 {
		t.Errorf("100 mm are %v points", points(100))
	}
}

// What is struck off the list on the screen is ticked on paper: by the same keys.
func TestStruckKeys(t *testing.T) {
	w := keptWork(t)
	keys := map[string]bool{}
	for _, m := range w.Chalk.Marks {
		keys[m.Key()] = true
	}
	for _, j := range w.Chalk.Joins {
		keys[w.Chalk.Key(j)] = true
	}
	if len(keys) != len(w.Chalk.Marks)+len(w.Chalk.Joins) {
		t.Errorf("%d rows have %d keys", len(w.Chalk.Marks)+len(w.Chalk.Joins), len(keys))
	}
	for _, key := range []string{"bottom:228600", "left:304800=right:304800", "topleftcorner=bottomrightcorner"} {
		if !keys[key] {
			t.Errorf("no row has the key %q: %v", key, keys)
		}
	}
	clear := w
	clear.Struck, clear.Kinds, w.Kinds = nil, []string{study.SheetChalk}, []string{study.SheetChalk}
	if bytes.Equal(written(t, w), written(t, clear)) {
		t.Error("a row that is struck off looks as the others")
	}
}

// The library is held to what is added to its file behind its back.
func TestAtActualSizeRefuses(t *testing.T) {
	sound := written(t, keptWork(t))
	addition := "/ViewerPreferences <</PrintScaling /None>>\n"
	if n := bytes.Count(sound, []byte(addition)); n != 1 {
		t.Fatalf("it is added %d times", n)
	}
	plain := bytes.Replace(sound, []byte(addition), nil, 1)
	for what, broken := range map[string][]byte{
		"empty": nil, "no catalogue": bytes.Replace(plain, []byte("/Type /Catalog"), []byte("/Type /Katalog"), 1),
		"wrong place": plain, "no list": []byte(fmt.Sprintf("/Type /Catalog\n\nstartxref\n%d\n%%%%EOF\n", 3)),
	} {
		if _, err := atActualSize(broken); err == nil {
			t.Errorf("%s: taken", what)
		}
	}
}
