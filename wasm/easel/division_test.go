package easel

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/study"
)

// bandsOf is how many columns of greys there are of each of its nine greys, and how
// light they are by their codes.
func bandsOf(t *testing.T) (wide [9]float64, light [9]float64) {
	t.Helper()
	p := greys()
	for x := range photoWidth {
		k := 9 * x / photoWidth
		wide[k]++
		light[k] = seen(p.At(x, 0))
	}
	return wide, light
}

// partings are all ways to part nine bands into n runs, by where each run ends.
func partings(n int) [][]int {
	all := [][]int{{}}
	for range n - 1 {
		var longer [][]int
		for _, p := range all {
			from := 1
			if len(p) > 0 {
				from = p[len(p)-1] + 1
			}
			for end := from; end < 9; end++ {
				longer = append(longer, append(append([]int{}, p...), end))
			}
		}
		all = longer
	}
	for i, p := range all {
		all[i] = append(p, 9)
	}
	return all
}

// shownParting is how the bands fall into the steps whose edges the page shows.
func (b *bench) shownParting(light [9]float64) []int {
	var ends []int
	for _, edge := range b.Face().Edges {
		end := 0
		for end < 9 && light[end] < edge.At {
			end++
		}
		ends = append(ends, end)
	}
	return append(ends, 9)
}

func TestStepsAreFittedToThePicture(t *testing.T) {
	wide, light := bandsOf(t)
	costs := map[string]func(from, to int) float64{
		// The spread about the mean of each step.
		study.FitBest: func(from, to int) float64 {
			var n, mean, cost float64
			for i := from; i < to; i++ {
				n, mean = n+wide[i], mean+wide[i]*light[i]
			}
			for i := from; i < to; i++ {
				cost += wide[i] * math.Pow(light[i]-mean/n, 2)
			}
			return cost
		},
		study.FitArea: func(from, to int) float64 {
			n := 0.0
			for i := from; i < to; i++ {
				n += wide[i]
			}
			return n * n
		},
	}
	total := func(fit string, ends []int) float64 {
		cost, from := 0.0, 0
		for _, end := range ends {
			cost += costs[fit](from, end)
			from = end
		}
		return cost
	}
	for fit, words := range map[string]string{study.FitBest: "fitted to this picture", study.FitArea: "of equal areas"} {
		b := at36x24(t, greys())
		b.press("tray-value", "fit-"+fit, "fewer", "fewer", "fewer")
		for n := 2; n <= 8; n++ {
			least := math.Inf(1)
			for _, ends := range partings(n) {
				least = min(least, total(fit, ends))
			}
			got := b.shownParting(light)
			if len(got) != n || total(fit, got) > least*(1+1e-9) {
				t.Errorf("%d steps %s end after bands %v, which costs %v where %v can be had", n, fit, got, total(fit, got), least)
			}
			f := b.Face()
			if !f.Pressed["key-fit-"+fit] || f.Pressed["key-fit-equal"] || !strings.HasPrefix(f.Text["steps-note"], numbers[n]+" steps, "+words+".") {
				t.Errorf("%d steps %s are said as %q", n, fit, f.Text["steps-note"])
			}
			b.press("more")
		}
	}
}

// Each step is shown as what the picture has in it, and says its range and share.
func TestStepsTellTheirShareRangeAndValue(t *testing.T) {
	wide, light := bandsOf(t)
	b := at36x24(t, greys())
	b.press("fit-best")
	ends, from, steps := b.shownParting(light), 0, b.Face().Steps
	edges := b.Face().Edges
	for k, end := range ends {
		n, mean := 0.0, 0.0
		for i := from; i < end; i++ {
			n, mean = n+wide[i], mean+wide[i]*light[i]
		}
		low, high := 0.0, 100.0
		if k > 0 {
			low = edges[k-1].At
		}
		if k < len(edges) {
			high = edges[k].At
		}
		label := steps[k].Label
		want := fmt.Sprintf("Step %d, %s of the picture, value %.1f, L* %.0f to %.0f", k+1, steps[k].Share, valueOf(mean/n), low, high)
		if label != want {
			t.Errorf("step %d is %q, want %q", k+1, label, want)
		}
		if got := b.figure(steps[k].Share, `^(\d+) %$`); !near(got, 100*n/photoWidth, 1) {
			t.Errorf("step %d has %q of the picture in %q, want %.1f %%", k+1, steps[k].Share, label, 100*n/photoWidth)
		}
		from = end
	}
	b.press("step-2")
	label := b.Face().Steps[1].Label
	_, value, _ := strings.Cut(label, "of the picture, ")
	value, _, _ = strings.Cut(value, ", L*")
	if note := b.Face().Text["steps-note"]; !strings.Contains(note, " Step 2: "+value+", L* ") || !strings.HasSuffix(note, " Step 2 alone.") {
		t.Errorf("isolated, %q is said as %q", label, note)
	}
	if plan, _ := b.Plan(); plan.Panes[0].Look.Keep != look.KeepOnly || plan.Panes[0].Look.Step != 2 {
		t.Errorf("isolated, the picture is seen as %+v", plan.Panes[0].Look)
	}
}

// cardLightness is the lightness of Munsell values in the table of ASTM D1535.
func cardLightness(t *testing.T) map[string]float64 {
	t.Helper()
	file, err := os.Open("../../testdata/colour/munsell_value.tsv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comma, r.LazyQuotes, r.FieldsPerRecord = '\t', true, -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	light := map[string]float64{}
	for _, row := range rows[1:] {
		if light[row[0]], err = strconv.ParseFloat(row[4], 64); err != nil {
			t.Fatal(err)
		}
	}
	return light
}

func TestStepsByThePaintersCards(t *testing.T) {
	light := cardLightness(t)
	for _, typed := range []string{"1.5, 3.5, 5.5, 7.5, 9.5", "2 5 8", "1;9", "  1,2,3,4,5,6,7,8,9 "} {
		b := at36x24(t, greys())
		b.press("tray-value", "fit-cards")
		if f := b.Face(); f.Hidden["cards-line"] || f.Hidden["cards-note"] || !strings.Contains(f.Text["cards-note"], "1.5, 3.5") || f.Pressed["key-fit-cards"] {
			t.Errorf("without cards their key says %q", f.Text["cards-note"])
		}
		b.Type("cards", typed)
		f := b.Face()
		cards := strings.FieldsFunc(typed, func(r rune) bool { return r == ',' || r == ' ' || r == ';' })
		if f.Value["cards"] != strings.Join(cards, ", ") || !f.Pressed["key-fit-cards"] || !f.Hidden["cards-note"] || len(f.Steps) != len(cards) {
			t.Errorf("%q is taken as %q, note %q", typed, f.Value["cards"], f.Text["cards-note"])
		}
		for i, card := range cards {
			v, _ := strconv.ParseFloat(card, 64)
			if want := fmt.Sprintf("Step %d, %s of the picture, value %.1f, ", i+1, f.Steps[i].Share, v); !strings.HasPrefix(f.Steps[i].Label, want) {
				t.Errorf("card %s is step %q, want %q", card, f.Steps[i].Label, want)
			}
			if i > 0 {
				// A lightness goes to the card that is nearest in L*.
				if want := (light[cards[i-1]] + light[card]) / 2; !near(f.Edges[i-1].At, want, 1e-3) {
					t.Errorf("the cards %s and %s part at L* %v, want %v", cards[i-1], card, f.Edges[i-1].At, want)
				}
			}
		}
		if note := f.Text["steps-note"]; !strings.HasPrefix(note, numbers[len(cards)]+" steps, your grey cards.") {
			t.Errorf("%q is said as %q", typed, note)
		}
	}
}

func TestCardsThatCannotBeAreRefusedBesideTheField(t *testing.T) {
	for _, typed := range []string{"grey", "5", "3, 3", "5, 3", "1, 11", "-1, 5", "1 2 3 4 5 6 7 8 9 9.5", "NaN, 2", "2, 1e400", "1.5, light"} {
		b := at36x24(t, greys())
		b.press("tray-value")
		b.Type("cards", "2, 5, 8")
		before := b.doc()
		b.Type("cards", typed)
		f := b.Face()
		if d := b.doc(); d.Look != before.Look || fmt.Sprint(d.Finding.Cards) != "[2 5 8]" {
			t.Errorf("%q changed the steps", typed)
		}
		if f.Hidden["cards-note"] || f.Value["cards"] != typed || !strings.Contains(f.Text["cards-note"], "1.5") || f.Says != f.Text["cards-note"] {
			t.Errorf("%q is refused with %q in a field of %q", typed, f.Text["cards-note"], f.Value["cards"])
		}
		b.press("fit-equal")
		if f := b.Face(); !f.Hidden["cards-note"] || !f.Hidden["cards-line"] || f.Value["cards"] != "2, 5, 8" {
			t.Errorf("after %q and equal steps the field says %q", typed, f.Text["cards-note"])
		}
	}
	b := at36x24(t, greys())
	b.Type("cards", "2, light, 8")
	b.wantText("cards-note", "Taking the grey cards 2, light, 8: light is no number. Give their Munsell values, the darkest first, as in 1.5, 3.5, 5.5, 7.5, 9.5.")
}

func TestTakingTheCardsAwayLeavesEqualSteps(t *testing.T) {
	b := at36x24(t, greys())
	b.press("tray-value")
	b.Type("cards", "2, 5, 8")
	b.Type("cards", " ")
	f := b.Face()
	if !f.Pressed["key-fit-equal"] || len(f.Edges) != 2 || !near(f.Edges[0].At, 100.0/3, 1e-9) || f.Value["cards"] != "" {
		t.Errorf("without cards there are the edges %+v, cards %q", f.Edges, f.Value["cards"])
	}
	b.press("undo")
	if f := b.Face(); !f.Pressed["key-fit-cards"] || f.Value["cards"] != "2, 5, 8" {
		t.Errorf("undo brought back the cards %q", f.Value["cards"])
	}
}

func TestEmptyStepsAreSaid(t *testing.T) {
	black, white := colour.SRGB{}, colour.SRGB{R: 255, G: 255, B: 255}
	for keys, want := range map[string]string{
		"":                  "Steps 2, 3 and 4 are empty.",
		"fewer fewer":       "Step 2 is empty.",
		"fewer fewer fewer": "",
		"fewer fit-best":    "Steps 2 and 3 are empty.",
	} {
		b := at36x24(t, stripes(black, white))
		b.press(strings.Fields(keys)...)
		note := b.Face().Text["key-note"]
		if got := strings.Contains(note, "empty"); got != (want != "") || !strings.HasSuffix(note, want) {
			t.Errorf("after %q the note is %q, want %q in it", keys, note, want)
		}
		shares := ""
		for _, s := range b.Face().Steps {
			shares += s.Share + " "
		}
		if n := len(b.Face().Steps); shares != "50 % "+strings.Repeat("none ", n-2)+"50 % " {
			t.Errorf("after %q the shares are %q", keys, shares)
		}
	}
}

func TestTheKeyIsStatedWithItsFigures(t *testing.T) {
	_, light := bandsOf(t)
	grey := func(code int) colour.SRGB { return colour.SRGB{R: uint8(code), G: uint8(code), B: uint8(code)} }
	for _, c := range []struct {
		what             string
		b                *bench
		middle, from, to float64 // lightness of the middle pixel, of a twentieth from each end
		want             string
	}{
		{"nine bands", at36x24(t, greys()), light[4], light[0], light[8], "Middle key, wide range"},
		{"darks", at36x24(t, stripes(grey(20), grey(50), grey(60))), greyLightness(50), greyLightness(20), greyLightness(60), "Low key, narrow range"},
		{"lights", at36x24(t, stripes(grey(190), grey(225), grey(240))), greyLightness(225), greyLightness(190), greyLightness(240), "High key, narrow range"},
		{"lights with an accent", at36x24(t, stripes(grey(0), grey(225), grey(240), grey(250))), greyLightness(225), 0, greyLightness(250), "High key, wide range"},
	} {
		want := fmt.Sprintf("%s: half is darker than value %.1f, nine tenths lie from %.1f to %.1f.", c.want, valueOf(c.middle), valueOf(c.from), valueOf(c.to))
		if got := c.b.Face().Text["key-note"]; !strings.HasPrefix(got, want) {
			t.Errorf("the key of %s is %q, want %q", c.what, got, want)
		}
	}
}

func TestTheKeyOfAnotherCropIsNotShown(t *testing.T) {
	b := at36x24(t, greys())
	b.Type("canvas", "10 x 10 in")
	if f := b.Face(); !told(f, "key-note") || f.Text["key-note"] != "" || f.Bars != "" || f.Steps[0].Share != "" {
		t.Errorf("before another crop is counted the page says %q, %q", f.Text["key-note"], f.Steps[0].Share)
	}
	b.count()
	if b.Face().Text["key-note"] == "" {
		t.Error("the key of the crop is not said")
	}
}

// told says whether the page is told what stands somewhere: otherwise it stays.
func told(f Face, id string) bool {
	_, ok := f.Text[id]
	return ok
}

func TestTwoAndThreeStepsAreTheNotan(t *testing.T) {
	b := at36x24(t, greys())
	for n, want := range map[int]string{2: "Two steps, equal in value. Notan of two: dark and light. They part at L* 50.", 3: "Three steps, equal in value. Notan of three: dark, middle and light. They part at L* 33, 67.", 4: "Four steps, equal in value. They part at L* 25, 50, 75."} {
		for b.doc().Look.Steps > n {
			b.press("fewer")
		}
		for b.doc().Look.Steps < n {
			b.press("more")
		}
		b.wantText("steps-note", want)
	}
}

// The filter changes what is counted, and with it steps that are fitted; looks that
// take the filter away must not leave its steps behind.
func TestFittedStepsFollowTheFilter(t *testing.T) {
	red, green := colour.SRGB{R: 204, G: 38, B: 30}, colour.SRGB{R: 0, G: 110, B: 60}
	dark, light := colour.SRGB{R: 20, G: 20, B: 20}, colour.SRGB{R: 235, G: 235, B: 235}
	for _, away := range []string{"filter", "misled", "temperature", "grey"} {
		b := at36x24(t, stripes(dark, red, green, light))
		b.press("fit-best", "fewer")
		eye := b.Face().Edges
		b.press("filter")
		if through := b.Face().Edges; through[1].At == eye[1].At {
			t.Fatalf("through the filter the edges are still %+v", through)
		}
		if away == "grey" { // by a page-turner: photograph, grey
			b.press("steps")
			b.Key("PageDown", false, false)
			b.Key("PageDown", false, false)
		} else {
			b.press(away)
		}
		if b.doc().Look.Filter {
			t.Fatalf("%s leaves the filter on", away)
		}
		for i, e := range b.Face().Edges {
			if e.At != eye[i].At {
				t.Errorf("after the filter, %s leaves the edges %+v, want %+v", away, b.Face().Edges, eye)
				break
			}
		}
	}
}
