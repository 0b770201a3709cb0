//go:build !js

package sheet

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"maulstick/render/place"
	"maulstick/render/study"
)

// The sheets are read back with programs that have nothing to do with the library
// that writes them: poppler's (pdfinfo, pdftotext, pdffonts, pdfimages, pdftoppm)
// and qpdf.

// tool runs one of them and gives what it writes.
func tool(t testing.TB, name string, args ...string) []byte {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Fatalf("%s is lacking: install it, on Debian with: apt-get install poppler-utils qpdf", name)
	}
	run := exec.Command(path, args...)
	var complaint bytes.Buffer
	run.Stderr = &complaint
	out, err := run.Output()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s%s", name, args, err, out, complaint.Bytes())
	}
	return out
}

// file keeps a PDF in a file.
func file(t testing.TB, data []byte) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "sheets.pdf")
	if err := os.WriteFile(name, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

// numbers are the numbers of a text.
func numbers(t testing.TB, text string) []float64 {
	t.Helper()
	var list []float64
	for _, word := range strings.Fields(text) {
		if v, err := strconv.ParseFloat(word, 64); err == nil {
			list = append(list, v)
		}
	}
	return list
}

// Every kind of sheet of the kept study reads back: sound for qpdf, with its text
// to be found, in a typeface embedded as a subset, with one photograph.
func TestSheetsReadBack(t *testing.T) {
	w := keptWork(t)
	name := file(t, written(t, w))
	if out := tool(t, "qpdf", "--check", name); bytes.Contains(out, []byte("WARNING")) {
		t.Errorf("qpdf warns: %s", out)
	}
	t.Run("text", func(t *testing.T) { textFound(t, name, w) })
	t.Run("fonts", func(t *testing.T) { fontsEmbedded(t, name) })
	t.Run("photograph", func(t *testing.T) { photographOnce(t, name, w) })
	t.Run("scaling", func(t *testing.T) { scalingNone(t, name) })
	t.Run("metadata", func(t *testing.T) { metadata(t, name) })
}

// textFound looks for what has to stand on each page.
func textFound(t *testing.T, name string, w Work) {
	pages, err := w.Pages()
	if err != nil {
		t.Fatal(err)
	}
	texts := textOf(t, name)
	if len(texts) != len(pages) {
		t.Fatalf("there are %d pages of text, want %d", len(texts), len(pages))
	}
	want := map[string][]string{
		study.SheetReference: {"1 : 6 – 1 in on paper is 6 in of canvas", "1: 9 in", "3: 12 in", "measured from the left and the bottom"},
		study.SheetChalk:     {"Both diagonals 43 1/4 in", "Measured from the left and the bottom of what is painted", "Bottom edge, from the left", "Top edge, from the left", "Left edge, from the bottom", "Right edge, from the bottom", "bottom 1: 9 in", "1. left 1 – right 1", "Check at the end", "29 9/16 in"},
		study.SheetValues:    {"5 steps", "1, 10 %", "lightness 80 to 100"},
		study.SheetPalette:   {"Step 5", "deep reddish orange", "Oily rags can set themselves on fire", "the label and the safety sheet of the product", "poisonous"},
		study.SheetMarks:     {"left tip of the bowl", "18 11/16 in from left, 12 3/4 in from bottom", "27 3/16 in, 4 1/5 of fig", "within 1/16 in; value 4.4", "27 in right, 3 in down, within 1/8 in; 6.3° from level, rising to the left, within 0.2°"},
		study.SheetCartoon:   {"The cartoon is on 18 pages, 6 across and 3 down", "A1|A2", "B1|C1", "actual size"},
	}
	of := map[string]string{}
	for i, p := range pages {
		text := texts[i]
		of[p.Kind] += text + " "
		wanted := []string{Title(p.Kind), w.Name, fmt.Sprintf("page %d of %d", i+1, len(pages)), "Print at actual size (100 %), not fitted to", "that this rule is 100 mm long"}
		if p.Part != nil {
			wanted = append(wanted, p.Part.Name+", 1 : 1")
		}
		for _, s := range wanted {
			if !strings.Contains(text, s) {
				t.Errorf("page %d does not say %q: %s", i+1, s, text)
			}
		}
	}
	for kind, list := range want {
		for _, s := range list {
			if !strings.Contains(of[kind], s) {
				t.Errorf("the %s does not say %q: %s", Title(kind), s, of[kind])
			}
		}
	}
}

// fontsEmbedded wants every face embedded, as a subset, its letters to be found.
func fontsEmbedded(t *testing.T, name string) {
	lines := strings.Split(strings.TrimSpace(string(tool(t, "pdffonts", name))), "\n")
	if len(lines) != 4 {
		t.Fatalf("pdffonts tells %q, want two faces", lines)
	}
	for _, line := range lines[2:] {
		if f := strings.Fields(line); len(f) < 9 || strings.Join(f[4:7], " ") != "yes yes yes" {
			t.Errorf("%q is not embedded as a subset with its letters", line)
		}
	}
}

// photographOnce wants the photograph stored once, at the resolution asked for,
// with none of what files of cameras carry.
func photographOnce(t *testing.T, name string, w Work) {
	stored := map[string]bool{}
	shown := 0
	for _, line := range strings.Split(string(tool(t, "pdfimages", "-list", name)), "\n") {
		f := strings.Fields(line)
		if len(f) < 14 || f[8] != "jpeg" {
			continue
		}
		shown++
		stored[f[10]] = true
		if ppi, err := strconv.Atoi(f[12]); err != nil || ppi < w.Resolution-1 {
			t.Errorf("the photograph has %s dots per inch on page %s, want %d or more", f[12], f[0], w.Resolution)
		}
	}
	if len(stored) != 1 || shown != 2 {
		t.Errorf("the photograph is stored %d times and shown %d times, want 1 and 2", len(stored), shown)
	}
	raw := tool(t, "qpdf", "--qdf", "--stream-data=uncompress", name, "-")
	for _, mark := range []string{"Exif", "GPS", "http://ns.adobe.com", "ICC_PROFILE"} {
		if bytes.Contains(raw, []byte(mark)) {
			t.Errorf("the file holds %q", mark)
		}
	}
}

// scalingNone wants the document to ask for no scaling.
func scalingNone(t *testing.T, name string) {
	var doc struct {
		QPDF []json.RawMessage `json:"qpdf"` // a head, and the objects
	}
	if err := json.Unmarshal(tool(t, "qpdf", "--json", "--json-key=qpdf", name), &doc); err != nil || len(doc.QPDF) != 2 {
		t.Fatal(err, len(doc.QPDF))
	}
	var objects map[string]struct {
		Value json.RawMessage `json:"value"`
	}
	var trailer struct {
		Root string `json:"/Root"`
	}
	var catalogue struct {
		View map[string]string `json:"/ViewerPreferences"`
	}
	read := func(data []byte, into any) {
		if err := json.Unmarshal(data, into); err != nil {
			t.Fatal(err)
		}
	}
	read(doc.QPDF[1], &objects)
	read(objects["trailer"].Value, &trailer)
	read(objects["obj:"+trailer.Root].Value, &catalogue)
	if v := catalogue.View; v["/PrintScaling"] != "/None" || len(v) != 1 {
		t.Errorf("the document asks for %v", v)
	}
}

// metadata wants the study's name and no more.
func metadata(t *testing.T, name string) {
	out := string(tool(t, "pdfinfo", name))
	for _, want := range []string{`Title: +Fig in a red bowl\n`, `Creator: +Maulstick\n`, `Page size: +595.28 x 841.89 pts \(A4\)`} {
		if !regexp.MustCompile(want).MatchString(out) {
			t.Errorf("pdfinfo does not tell %s: %s", want, out)
		}
	}
	if strings.Contains(out, "Author") || strings.Contains(out, "Keywords") || strings.Contains(out, "Producer") {
		t.Errorf("pdfinfo tells more than it should: %s", out)
	}
}

// Every paper, upright and lying, has the size that its standard says, to 0.01 mm:
// ISO 216 for A4 and A3, ANSI/ASME Y14.1 for Letter and Tabloid, common practice,
// no source, for Legal.
func TestPaperSizes(t *testing.T) {
	w := keptWork(t)
	w.Kinds = []string{study.SheetPalette}
	for name, want := range map[string][2]float64{
		"A4": {210, 297}, "a3": {297, 420}, "Letter": {8.5 * 25.4, 11 * 25.4}, "legal": {8.5 * 25.4, 14 * 25.4}, "Tabloid": {11 * 25.4, 17 * 25.4},
		"210x297mm": {210, 297}, "36 x 24 in": {36 * 25.4, 24 * 25.4}, "125.37x333.33mm": {125.37, 333.33},
	} {
		p, err := ParsePaper(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, lying := range []bool{false, true} {
			w.Paper = p
			if lying {
				w.Paper, want = p.Landscape(), [2]float64{max(want[0], want[1]), min(want[0], want[1])}
			}
			boxes := boxesOf(t, file(t, written(t, w)))
			if len(boxes) == 0 {
				t.Fatalf("%s: pdfinfo tells no boxes", name)
			}
			for _, b := range boxes {
				for i, side := range want {
					if off := b[2+i]*25.4/72 - side; b[i] != 0 || math.Abs(off) > 0.01 {
						t.Errorf("%s, lying %v: box %v is %.4f mm off", name, lying, b, off)
					}
				}
			}
		}
	}
}

// boxesOf are the media and crop boxes of all pages, in points.
func boxesOf(t testing.TB, name string) [][]float64 {
	t.Helper()
	var boxes [][]float64
	for _, line := range strings.Split(string(tool(t, "pdfinfo", "-box", "-l", "-1", name)), "\n") {
		if strings.Contains(line, "MediaBox:") || strings.Contains(line, "CropBox:") {
			_, text, _ := strings.Cut(line, "Box:")
			if b := numbers(t, text); len(b) == 4 {
				boxes = append(boxes, b)
			}
		}
	}
	return boxes
}

// raster is a page as pdftoppm draws it, in greys.
type raster struct {
	width, height int
	dpi           float64
	pix           []byte
}

// drawn draws a page, or a part of it in pixels.
func drawn(t testing.TB, name string, page int, dpi float64, part ...int) raster {
	t.Helper()
	args := []string{"-gray", "-r", fmt.Sprint(dpi), "-f", fmt.Sprint(page), "-l", fmt.Sprint(page)}
	if len(part) == 4 {
		args = append(args, "-x", fmt.Sprint(part[0]), "-y", fmt.Sprint(part[1]), "-W", fmt.Sprint(part[2]), "-H", fmt.Sprint(part[3]))
	}
	out := tool(t, "pdftoppm", append(args, name)...)
	r := raster{dpi: dpi}
	var most int
	head := bytes.SplitN(out, []byte("\n"), 4)
	if len(head) != 4 {
		t.Fatal("pdftoppm writes no picture")
	}
	if _, err := fmt.Sscan(string(head[1])+" "+string(head[2]), &r.width, &r.height, &most); err != nil || string(head[0]) != "P5" || most != 255 || len(head[3]) != r.width*r.height {
		t.Fatalf("pdftoppm writes %q %q %q", head[0], head[1], head[2])
	}
	r.pix = head[3]
	return r
}

// at is the grey of the pixel at a place of the page.
func (r raster) at(x, y place.MM) byte {
	i, j := int(math.Floor(float64(x)*r.dpi/25.4)), int(math.Floor(float64(y)*r.dpi/25.4))
	return r.pix[min(max(j, 0), r.height-1)*r.width+min(max(i, 0), r.width-1)]
}

// runs are the middles of the dark stretches along a row, in pixels.
func (r raster) runs(row int) []float64 {
	var middles []float64
	line, start := r.pix[row*r.width:][:r.width], -1
	for x, grey := range line {
		dark := grey < 128
		if dark && start < 0 {
			start = x
		}
		if !dark && start >= 0 {
			middles, start = append(middles, float64(start+x)/2), -1
		}
	}
	return middles
}

// On every kind of page the rule measures 100 mm and 4 in as drawn at 600 dots per
// inch, within a pixel, all its long marks included.
func TestRuleMeasures(t *testing.T) {
	const dpi = 600
	for _, paper := range []string{"A4", "Tabloid", "125x140mm"} {
		w := keptWork(t)
		var err error
		if w.Paper, err = ParsePaper(paper); err != nil {
			t.Fatal(err)
		}
		w.Kinds = []string{study.SheetReference, study.SheetChalk, study.SheetValues, study.SheetPalette, study.SheetMarks}
		if paper == "Tabloid" {
			w.Kinds = append(w.Kinds, study.SheetCartoon)
		}
		pages, err := w.Pages()
		if err != nil {
			t.Fatal(err)
		}
		name, seen := file(t, written(t, w)), ""
		for i, p := range pages {
			if p.Kind == seen && p.Part == nil {
				continue
			}
			if seen = p.Kind; p.Part != nil && p.Part.Name != "B2" {
				continue
			}
			ruleMeasures(t, name, i+1, w.Paper, dpi)
		}
	}
}

// ruleMeasures finds the long marks of the rule of a page.
func ruleMeasures(t *testing.T, name string, page int, paper Paper, dpi float64) {
	px := func(l place.MM) int { return int(float64(l) * dpi / 25.4) }
	top := paper.Height - margin - 14
	r := drawn(t, name, page, dpi, px(margin-3), px(top), px(109), px(14))
	base := 0 // the row of the rule's line
	for y := range r.height {
		dark := 0
		for _, grey := range r.pix[y*r.width:][:r.width] {
			if grey < 128 {
				dark++
			}
		}
		if dark > px(100) {
			base = y
			break
		}
	}
	if base == 0 {
		t.Fatalf("page %d has no rule", page)
	}
	for _, side := range []struct {
		what  string
		row   int
		marks int
		each  float64 // mm
	}{{"millimetres", base - px(2.9), 11, 10}, {"inches", base + px(2.9), 5, 25.4}} {
		at := r.runs(side.row)
		if len(at) != side.marks {
			t.Errorf("page %d: the rule has %d long marks for %s, want %d", page, len(at), side.what, side.marks)
			continue
		}
		for i := range at {
			if off := at[i] - at[0] - float64(i)*side.each*dpi/25.4; math.Abs(off) > 1 {
				t.Errorf("page %d: mark %d of the %s is %.2f pixels off", page, i, side.what, off)
			}
		}
	}
}

// On every paper all words stay within the margins of their page, the longest name
// included.
func TestWordsStayOnPage(t *testing.T) {
	box := regexp.MustCompile(`<word xMin="([-0-9.]+)" yMin="([-0-9.]+)" xMax="([-0-9.]+)" yMax="([-0-9.]+)">(.*)</word>`)
	for _, paper := range []string{"A4", "125x125mm", "125x400mm", "Tabloid", "900x2000mm"} {
		w := keptWork(t)
		var err error
		if w.Paper, err = ParsePaper(paper); err != nil {
			t.Fatal(err)
		}
		w.Name = strings.Repeat("A fig, ", 17)
		w.Kinds = []string{study.SheetReference, study.SheetChalk, study.SheetValues, study.SheetPalette, study.SheetMarks}
		if paper != "125x125mm" {
			w.Kinds = append(w.Kinds, study.SheetCartoon)
		}
		words := box.FindAllStringSubmatch(string(tool(t, "pdftotext", "-bbox", file(t, written(t, w)), "-")), -1)
		if len(words) < 300 {
			t.Errorf("%s: only %d words are found", paper, len(words))
		}
		const least = (margin - 1) * 72 / 25.4 // boxes are those of whole lines
		for _, m := range words {
			b := numbers(t, strings.Join(m[1:5], " "))
			if b[0] < float64(least) || b[1] < float64(least) || b[2] > points(w.Paper.Width)-float64(least) || b[3] > points(w.Paper.Height)-float64(least) {
				t.Errorf("%s: %q lies at %v points", paper, m[5], b)
			}
		}
	}
}

// A title keeps its letters but those beyond the first plane of Unicode, which the
// library would turn into others.
func TestTitle(t *testing.T) {
	w := keptWork(t)
	w.Kinds, w.Name = []string{study.SheetPalette}, "Ölbild – 絵 \U0001f58c"
	if out := string(tool(t, "pdfinfo", file(t, written(t, w)))); !strings.Contains(out, "Ölbild – 絵 □\n") {
		t.Errorf("the title is not told: %s", out)
	}
}

// The same work gives the same bytes.
func TestSameBytes(t *testing.T) {
	w := keptWork(t)
	first := written(t, w)
	for range 3 {
		if !bytes.Equal(first, written(t, w)) {
			t.Fatal("the same sheets are written otherwise")
		}
	}
	d, picture := keptStudy(t)
	again, err := Of(d, picture, ownKinds(), nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first, written(t, again)) {
		t.Error("the same study is written otherwise")
	}
}
