package easel

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"maulstick/render/study"
)

// printingSheets has the greys on a canvas and the sheets open.
func printingSheets(t *testing.T) *bench {
	b := atWork(t, 1)
	b.press("tray-study", "part-sheets")
	return b
}

func TestSheetsAreChosen(t *testing.T) {
	b := printingSheets(t)
	on := func() (kinds []string) {
		for _, kind := range study.SheetKinds() {
			if b.Face().Pressed["key-print-"+kind] {
				kinds = append(kinds, kind)
			}
		}
		return kinds
	}
	if got := on(); !slices.Equal(got, []string{"reference", "chalk"}) {
		t.Errorf("at first %q are printed", got)
	}
	b.press("print-cartoon", "print-values", "print-chalk")
	if got := on(); !slices.Equal(got, []string{"reference", "values", "cartoon"}) || !slices.Equal(b.doc().Sheets.Kinds, got) {
		t.Errorf("printed are %q, in the study %q", got, b.doc().Sheets.Kinds)
	}
	b.press("print-cartoon", "print-values", "print-reference", "print")
	if b.wantText("sheets-note", "Choose the sheets to print."); len(b.printed) != 0 || !b.Face().Disabled["key-print"] {
		t.Error("no sheets at all were printed")
	}
	b.press("paper-A3", "paper-lying", "dots-300")
	if f := b.Face(); !f.Pressed["key-paper-A3"] || f.Pressed["key-paper-A4"] || !f.Pressed["key-paper-lying"] || !f.Pressed["key-dots-300"] || f.Pressed["key-dots-200"] {
		t.Error("the keys do not show the paper")
	}
	if s := b.doc().Sheets; s.Paper != study.PaperA3 || !s.Landscape || s.Resolution != 300 {
		t.Errorf("the sheets are %+v", s)
	}
	if b.doc().Check() != nil || !reflect.DeepEqual(b.reopened(t, greys()).doc(), b.doc()) {
		t.Error("the sheets do not come back with the study")
	}
}

// Paper from 125 mm a side, which the rule of 100 mm needs, to 2 m.
func TestOwnPaperIsTyped(t *testing.T) {
	b := printingSheets(t)
	b.wantValue("paper", "")
	for typed, want := range map[string][2]float64{"210 x 330": {210, 330}, "11 x 17 in": {279.4, 431.8}, "50x70cm": {500, 700}, "125 x 2000 mm": {125, 2000}} {
		b.Type("paper", typed)
		if s := b.doc().Sheets; s.Paper != study.PaperCustom || !near(float64(s.Width), want[0], 1e-9) || !near(float64(s.Height), want[1], 1e-9) || !b.Face().Pressed["key-paper-custom"] {
			t.Errorf("%q is taken as %+v", typed, s)
		}
	}
	b.Type("paper", "210 x 330")
	b.wantValue("paper", "210 x 330 mm")
	before := b.doc()
	for _, typed := range []string{"", "x", "210", "0 x 5", "100 x 330", "210 x 2001", "2 x 3 m"} {
		b.Type("paper", typed)
		f := b.Face()
		if note := f.Text["sheets-note"]; !reflect.DeepEqual(b.doc(), before) || f.Value["paper"] != typed || f.Says != note || strings.HasPrefix(note, "Print at") || note == "" {
			t.Errorf("%q in the field %q is refused with %q", typed, f.Value["paper"], note)
		}
	}
	b.wantText("sheets-note", "Taking the paper 2 x 3 m: paper is from 125 mm to 2000 mm a side. Give its size, as in 210 x 297 mm.")
	b.Type("paper", "210 x 330")
	b.wantText("sheets-note", atActualSize+" Chalk list: draw lines first.")
}

const atActualSize = "Print at actual size (100 %), not fitted to the page: the rule on every page must measure 100 mm."

func TestSheetsSayWhatTheyLack(t *testing.T) {
	b := newBench(t, 1)
	b.Show(greysDoc(), greys(), true)
	b.Filled()
	b.press("tray-study", "part-sheets", "print-marks")
	if note := b.Face().Text["sheets-note"]; !strings.HasPrefix(note, atActualSize+" ") || !strings.Contains(note, " Chalk list: ") || !strings.Contains(note, " Marks, spans: ") {
		t.Errorf("with neither canvas nor lines nor marks it says %q", note)
	}
	b.Type("canvas", "36 x 24 in")
	b.press("use-thirds")
	b.do(b.doc().WithMark(middle, 1), "")
	b.wantText("sheets-note", atActualSize)
	b.press("undo")
	b.wantText("sheets-note", atActualSize+" Marks, spans: place marks first.")
}

func TestSheetsAreMadeByThePage(t *testing.T) {
	b := printingSheets(t)
	b.press("print")
	if len(b.printed) != 1 || !reflect.DeepEqual(b.printed[0], b.doc()) {
		t.Fatalf("%d sheets were asked for", len(b.printed))
	}
	b.Easel.Printing(b.printing.last, 0.254)
	if f := b.Face(); f.Text["study-finding"] != "Making the sheets: 25 %" || f.Hidden["study-asking"] || !f.Disabled["key-print"] {
		t.Errorf("making them is told as %q", f.Text["study-finding"])
	}
	b.Easel.Printing(b.printing.last-1, 0.9)
	b.Printed(b.printing.last - 1)
	if got := b.Face().Text["study-finding"]; got != "Making the sheets: 25 %" {
		t.Errorf("after an older one's end it is told as %q", got)
	}
	b.press("print")
	if len(b.printed) != 1 {
		t.Error("sheets were asked for twice")
	}
	b.Printed(b.printing.last)
	b.wantText("sheets-note", "The sheets are made. Print them at actual size (100 %), not fitted to the page.")
	if f := b.Face(); !f.Hidden["study-asking"] || f.Disabled["key-print"] || f.Says != "The sheets are made." {
		t.Error("made, the sheets are still being made")
	}
	b.press("print")
	b.PrintFailed(b.printing.last-1, "too late")
	b.PrintFailed(b.printing.last, "the cartoon has more than 200 pages")
	b.wantText("sheets-note", "The cartoon has more than 200 pages.")
	b.Printed(b.printing.last)
	b.wantText("sheets-note", "The cartoon has more than 200 pages.")
	b.press("print", "plot-stop")
	b.Printed(b.printing.last)
	if f := b.Face(); b.halts != 1 || !f.Hidden["study-asking"] || strings.HasPrefix(f.Text["sheets-note"], "The sheets") {
		t.Errorf("stopped %d times, it says %q", b.halts, f.Text["sheets-note"])
	}
}

func TestSheetsWaitForThePhotograph(t *testing.T) {
	b := newBench(t, 1)
	b.Show(greysDoc(), greys(), true)
	b.press("tray-study", "part-sheets", "print")
	if len(b.printed) != 0 || !b.Face().Disabled["key-print"] {
		t.Error("sheets of a photograph that is still arriving were asked for")
	}
	b.Filled()
	b.press("print")
	if len(b.printed) != 1 {
		t.Error("once it is there they were not asked for")
	}
	b.Show(greysDoc(), greys(), true)
	if b.halts != 1 || !b.Face().Hidden["study-asking"] {
		t.Error("another study did not stop the sheets of the one before")
	}
}
