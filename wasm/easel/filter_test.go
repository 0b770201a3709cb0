package easel

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/survey"
)

// sheetWeights are how much red, green and blue light count through each sheet: the
// fits on 413 measured reflectances of red_filter_weights.tsv for 580/20, 600/40 and
// 620/20 nm, the middle one to two decimals.
var sheetWeights = map[string][3]float64{"orange": {0.669, 0.302, 0.028}, "red": {0.75, 0.19, 0.06}, "deep": {0.836, 0.076, 0.088}}

// misreading is how many steps of 20 L* a colour reads lighter through a sheet.
func misreading(c colour.SRGB, sheet string) float64 {
	w := sheetWeights[sheet]
	return (lightnessOf(luminance(c, w[0], w[1], w[2])) - seen(c)) / 20
}

// stepsOff is a misreading of half a step and more in words.
func stepsOff(steps float64) string {
	way := "lighter"
	if steps < 0 {
		way = "darker"
	}
	if size := fmt.Sprintf("%.1f", math.Abs(steps)); size != "1.0" {
		return size + " steps " + way
	}
	return "a whole step " + way
}

func TestTheFilterSaysHowItMisleadsAtAMark(t *testing.T) {
	vermilion, viridian, grey := colour.SRGB{R: 204, G: 38, B: 30}, colour.SRGB{G: 89, B: 85}, colour.SRGB{R: 119, G: 119, B: 119}
	b := at36x24(t, stripes(vermilion, viridian, grey))
	b.markAt(200, 400)
	b.markAt(600, 400)
	b.markAt(1000, 400)
	b.press("tray-value", "part-filter")
	for sheet := range sheetWeights {
		b.press("sheet-" + sheet)
		for mark, c := range []colour.SRGB{vermilion, viridian} {
			b.press(fmt.Sprintf("mark-%d", mark+1))
			want := fmt.Sprintf("Mark %d: through the filter this reads %s than it is.", mark+1, stepsOff(misreading(c, sheet)))
			if note := b.Face().Text["filter-note"]; note != want {
				t.Errorf("through the %s sheet %v is said as %q, want %q", sheet, c, note, want)
			}
		}
		b.press("mark-3")
		if note := b.Face().Text["filter-note"]; !strings.HasSuffix(note, "Mark 3: through the filter this reads as light as it is.") {
			t.Errorf("through the %s sheet a grey is said to read %q", sheet, note)
		}
	}
	// 204, 38, 30 by hand: L* 44.69 by eye; 73.36 through the red sheet, 1.43 steps.
	b.press("sheet-red", "mark-1")
	if note := b.Face().Text["filter-note"]; !strings.HasSuffix(note, "Mark 1: through the filter this reads 1.4 steps lighter than it is.") {
		t.Errorf("204, 38, 30 through the red sheet is said as %q", note)
	}
}

func TestOneSheetIsChosen(t *testing.T) {
	b := at36x24(t, greys())
	for _, sheet := range []string{"orange", "deep", "red"} {
		b.press("sheet-"+sheet, "sheet-green")
		f := b.Face()
		for other := range sheetWeights {
			if f.Pressed["key-sheet-"+other] != (other == sheet) {
				t.Errorf("with the %s sheet chosen the key of the %s one is pressed: %v", sheet, other, f.Pressed["key-sheet-"+other])
			}
		}
		if got := b.counts[len(b.counts)-1].Sheet.String(); got != sheet {
			t.Errorf("with the %s sheet the picture is counted through the %s one", sheet, got)
		}
		b.count()
	}
}

func TestTheFilterSaysHowMuchOfThePictureItMisleads(t *testing.T) {
	// Half a step is 10 L*: by misreading above, these are a step and more too light,
	// 0.6 of one too light through red and deep and 0.497 through orange, 0.8 too dark
	// (0.6 through orange, 1.03 through deep), and true.
	vermilion, ochre := colour.SRGB{R: 204, G: 38, B: 30}, colour.SRGB{R: 146, G: 93, B: 76}
	viridian, grey := colour.SRGB{G: 89, B: 85}, colour.SRGB{R: 119, G: 119, B: 119}
	colours := []colour.SRGB{vermilion, ochre, viridian, grey, grey}
	b := at36x24(t, stripes(colours...))
	b.press("tray-value", "part-filter")
	for _, sheet := range []string{"red", "orange", "deep"} {
		b.press("sheet-" + sheet)
		if note := b.Face().Text["filter-note"]; note != "" {
			t.Errorf("before the picture is surveyed through the %s sheet the page says %q", sheet, note)
		}
		b.survey(survey.Tones)
		var lighter, darker, whole float64
		for _, c := range colours {
			switch m := misreading(c, sheet); {
			case m >= 0.5:
				lighter += 20
			case m <= -0.5:
				darker += 20
			}
			if math.Abs(misreading(c, sheet)) >= 1 {
				whole += 20
			}
		}
		say, _ := colour.ParseSheet(sheet)
		want := fmt.Sprintf("Through the %s %.0f %% of the picture reads half a step or more off its value (%.0f %% too light, %.0f %% too dark), %.0f %% a whole step or more.",
			say.Say(), lighter+darker, lighter, darker, whole)
		b.wantText("filter-note", want)
	}
}

func TestWhereTheFilterMisleadsIsALook(t *testing.T) {
	b := at36x24(t, greys())
	b.press("filter", "sheet-deep", "misled")
	plan, _ := b.Plan()
	if l := plan.Panes[0].Look; l.Tone != look.Misled || l.Filter || l.Sheet != colour.DeepSheet {
		t.Errorf("where the filter misleads is seen as %+v", l)
	}
	if f := b.Face(); !f.Pressed["key-misled"] || f.Pressed["key-filter"] {
		t.Error("the keys do not show that it is on")
	}
	b.press("filter")
	if l := b.doc().Look; l.Tone != look.Colour || !l.Filter {
		t.Errorf("the filter over it is seen as %+v", l)
	}
	b.press("misled", "misled")
	if l := b.doc().Look; l.Tone != look.Colour {
		t.Errorf("pressed twice it is seen as %+v", l)
	}
}
