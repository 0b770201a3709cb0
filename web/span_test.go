package web_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"maulstick/render/place"
	"maulstick/render/study"
)

// TestSpans measures from mark to mark by touch, compares spans, lists and saves
// them.
func TestSpans(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	p := b.open(landscape, s.url())
	p.settleCounted()
	p.openPart("place", "mark")
	p.tapAlone(p.over(0.4, 0.3))
	p.press("mark-new")
	p.tapAlone(p.over(0.4, 0.6))
	p.openPart("place", "span")
	p.press("span-new")
	p.tapAlone(p.over(0.6, 0.3)) // a new spot
	p.settle()
	p.choosesMark(1)
	p.press("span-new")
	at := p.markAt(2)
	p.tapAlone(at) // a mark that is there
	p.settle()
	d := p.snapshot().Study
	if len(d.Spans) != 2 || d.Spans[0].From != 2 || d.Spans[0].To != 3 || d.Spans[1].From != 1 || d.Spans[1].To != 2 {
		t.Fatalf("the spans are %+v", d.Spans)
	}
	p.press("span-unit")
	p.press("span-2")
	p.settle()
	p.press("span-1")
	p.settle()
	p.spanReads(t)
	p.press("span-thirds")
	p.settle()
	if spots := eval[int](p, `document.querySelectorAll('#spots span').length`); spots != 2 {
		t.Errorf("thirds are marked by %d spots", spots)
	}
	p.fill("span-name", "stalk to rim")
	p.savesLists(t)
	p.trueSize(t)
	if faults := p.complaints(); len(faults) > 0 {
		t.Errorf("the console complains: %q", faults)
	}
}

// choosesMark chooses a mark in the list of the Place tray.
func (p *tab) choosesMark(id int) {
	p.t.Helper()
	p.press("part-mark")
	p.clickAt(fmt.Sprintf(`#marks-row [data-key="mark-%d"]`, id))
	p.press("part-span")
	p.settle()
}

// markAt is where a mark stands on the screen.
func (p *tab) markAt(id int) spot {
	p.t.Helper()
	s, over := p.snapshot(), p.boxOf("overlay")
	m, ok := s.Study.Mark(id)
	if !ok {
		p.t.Fatalf("there is no mark %d", id)
	}
	x, y := geometry(s).toScreen(m.X, m.Y)
	return spot{over.X + x/s.Area.DPR, over.Y + y/s.Area.DPR}
}

// spanReads holds what is said of the chosen span to its two marks.
func (p *tab) spanReads(t *testing.T) {
	t.Helper()
	d := p.snapshot().Study
	chosen, _ := d.SpanOf(d.Span)
	span := p.spanOf(t, d, chosen)
	length := place.Split(span.Length(), place.Inch, 16)
	if got, want := p.text("span-length-whole"), length.Whole; got != want {
		t.Errorf("the span is %q inches and a fraction, want %q", got, want)
	}
	note := p.text("span-note")
	size := func(l place.MM) string { return place.Text(max(l, -l), place.Inch, 16) }
	for _, want := range []string{size(span.Run()), size(span.Rise()), fmt.Sprintf("%.1f°", math.Abs(float64(span.FromPlumb())))} {
		if math.Abs(float64(span.FromLevel())) <= 45 && strings.Contains(want, "°") {
			want = fmt.Sprintf("%.1f°", math.Abs(float64(span.FromLevel())))
		}
		if !strings.Contains(note, want) {
			t.Errorf("of the span it is said %q, without %q", note, want)
		}
	}
	unit, ok := d.SpanOf(d.Unit)
	if !ok || unit.ID == chosen.ID {
		t.Fatalf("the unit is span %d, chosen is %d", d.Unit, d.Span)
	}
	m := span.In(p.spanOf(t, d, unit))
	if more := p.text("span-more"); !strings.Contains(more, "It is "+m.String()+" of") {
		t.Errorf("compared it is said %q, it is %s", more, m)
	}
}

// spanOf is a span by its marks.
func (p *tab) spanOf(t *testing.T, d *study.Document, s study.Span) place.Span {
	t.Helper()
	from, ok := d.Mark(s.From)
	to, ok2 := d.Mark(s.To)
	if !ok || !ok2 {
		t.Fatalf("span %+v has no marks", s)
	}
	return d.Mapping().Span(place.PhotoPoint{X: from.X, Y: from.Y}, place.PhotoPoint{X: to.X, Y: to.Y}, from.Touch, to.Touch)
}

// savesLists reorders the marks and saves them, and the spans, as comma-separated
// values, which Go's own reader (RFC 4180) opens.
func (p *tab) savesLists(t *testing.T) {
	t.Helper()
	p.openPart("place", "list")
	p.press("row-listmark-3")
	p.press("order-up")
	p.settle()
	d := p.snapshot().Study
	if d.Marks[1].ID != 3 {
		t.Errorf("moved up, the marks are %+v", d.Marks)
	}
	table := func(key string) [][]string {
		data, err := os.ReadFile(p.saveAs(key, ".csv"))
		p.must(err)
		rows, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
		p.must(err)
		return rows
	}
	marks := table("marks-save")
	if len(marks) != 4 || marks[0][3] != "from_left_mm" || marks[2][0] != "Mark 3" {
		t.Fatalf("the marks are saved as %q", marks)
	}
	for i, m := range d.Marks {
		at := d.Mapping().ToCanvas(place.PhotoPoint{X: m.X, Y: m.Y})
		if x, err := strconv.ParseFloat(marks[i+1][3], 64); err != nil || math.Abs(x-float64(at.X)) > 1e-4 {
			t.Errorf("mark %d lies %v mm from the left and is saved as %q", m.ID, at.X, marks[i+1])
		}
	}
	spans := table("spans-save")
	if len(spans) != 3 || spans[1][0] != "stalk to rim" {
		t.Errorf("the spans are saved as %q", spans)
	}
}

// trueSize calibrates the screen and shows the canvas at half its size.
func (p *tab) trueSize(t *testing.T) {
	t.Helper()
	p.openPart("place", "size")
	p.press("card-wider")
	p.press("card-wider")
	p.settle()
	card := p.boxOf("card")
	// ISO/IEC 7810 ID-1: 85.60 x 53.98 mm.
	if ratio := card.Width / card.Height; math.Abs(ratio-85.60/53.98) > 0.01 {
		t.Errorf("the card is %.3f times as wide as high", ratio)
	}
	p.press("size-2")
	p.settle()
	s := p.snapshot()
	// 36 in of canvas are as many pixels as the crop is wide.
	inch := s.Scale * s.Crop.Width / 36 / s.Area.DPR
	if want := card.Width / 85.60 * 25.4 / 2; math.Abs(inch-want) > 0.005*want {
		t.Errorf("at half its size an inch of canvas is %.2f CSS pixels, by the card it is %.2f", inch, want)
	}
	p.press("size-fit")
	p.settleKept()
	p.reload()
	p.settle()
	if again := p.boxOf("card"); math.Abs(again.Width-card.Width) > 0.01 {
		t.Errorf("come back to, the card is %.2f wide, it was %.2f", again.Width, card.Width)
	}
}

// TestSheets prints from the tablet, and reads the file with poppler.
func TestSheets(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	p := b.open(landscape, s.url())
	p.settleCounted()
	p.openPart("line", "lines")
	p.press("use-diagonals")
	p.settleAnswered()
	p.openPart("study", "sheets")
	p.press("print-values")
	p.press("paper-Letter")
	path := p.saveAs("print", ".pdf")
	p.settleAnswered()
	if note := p.text("sheets-note"); !strings.HasPrefix(note, "The sheets are made.") {
		t.Errorf("with the sheets made it is said %q", note)
	}
	info, err := exec.Command("pdfinfo", "-box", path).CombinedOutput()
	if err != nil {
		t.Fatalf("pdfinfo: %v: %s", err, info)
	}
	// Letter is 8.5 x 11 in, of 72 points each (ANSI/ASME Y14.1).
	for _, want := range []string{"Title:           Fig in a red bowl", "MediaBox:            0.00     0.00   612.00   792.00"} {
		if !strings.Contains(string(info), want) {
			t.Errorf("the file is\n%s\nwithout %q", info, want)
		}
	}
	text, err := exec.Command("pdftotext", "-layout", path, "-").Output()
	if err != nil {
		t.Fatalf("pdftotext: %v", err)
	}
	for _, want := range []string{"Reference", "Chalk list", "Value plan", "43 1/4 in", "100 mm"} {
		if !strings.Contains(string(text), want) {
			t.Errorf("the sheets say\n%s\nwithout %q", text, want)
		}
	}
	if faults := p.complaints(); len(faults) > 0 {
		t.Errorf("the console complains: %q", faults)
	}
}
