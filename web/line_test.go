package web_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"maulstick/render"
	"maulstick/render/line"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
)

// TestLinesOverThePicture divides the demo's canvas, and holds the screen to the same
// lines drawn by the processor where their construction says that they run.
func TestLinesOverThePicture(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	p := b.open(landscape, s.url())
	p.settleCounted()
	if fetched := strings.Join(p.requests(), " "); strings.Contains(fetched, "plotter") {
		t.Errorf("before a line is drawn the page fetches %s", fetched)
	}
	y := read(t, demo)
	p.openPart("line", "lines")
	for _, key := range []string{"use-diagonals", "use-thirds", "use-golden"} {
		p.press(key)
	}
	p.settleAnswered()
	p.dividedLike(t, "diagonals, thirds and the golden section", look.Look{}, y)
	p.press("mirror")
	p.dividedLike(t, "mirrored", look.Look{}, y)
	p.press("mirror")
	p.press("chalk-red")
	p.press("lines-thicker")
	p.press("use-golden") // taken away
	p.press("use-rabatment")
	p.press("chalk-blue")
	p.settleAnswered()
	p.dividedLike(t, "in other colours", look.Look{}, y)
	p.crossings(t)
	p.eyePath(t)
	p.chalkList(t)
	before := p.studyText()
	p.settleKept()
	p.reload()
	p.settleAnswered()
	if after := p.studyText(); after != before {
		t.Errorf("come back to, the study is\n%s\nand was\n%s", after, before)
	}
	p.dividedLike(t, "come back to", look.Look{}, y)
	if faults := p.complaints(); len(faults) > 0 {
		t.Errorf("the console complains: %q", faults)
	}
}

// setOf is the lines that the study draws, by the package itself.
func setOf(t *testing.T, d *study.Document) *line.Set {
	t.Helper()
	set, err := line.Draw(d.LinePlan(), d.Size())
	if err != nil {
		t.Fatal(err)
	}
	return set
}

// lineWeights are how thick the page draws lines of each weight, in CSS pixels.
var lineWeights = [...]float64{1: 1, 2: 1.5, 3: 2.5, 4: 4, 5: 6}

// strokesOf are the study's lines, and the path of the eye, as they lie on the
// photograph.
func strokesOf(t *testing.T, s snapshot) []render.Stroke {
	t.Helper()
	var all []render.Stroke
	m := s.Study.Mapping()
	for _, l := range setOf(t, s.Study).Lines {
		use := s.Study.Lines.Uses[l.Use]
		all = append(all, render.Stroke{
			From: m.ToPhoto(l.From), To: m.ToPhoto(l.To), Width: lineWeights[use.Weight] * s.Area.DPR,
			Colour: use.Colour, Strength: float64(use.Strength) / 100,
		})
	}
	return all
}

// dividedLike holds the picture's area of the screen to the processor's picture with
// the study's lines over it.
func (p *tab) dividedLike(t *testing.T, what string, l look.Look, y *photo.Pyramid) {
	t.Helper()
	seen, s := p.picture(), p.snapshot()
	g := geometry(s)
	v := render.Viewport{
		Width: s.Area.Width, Height: s.Area.Height, Scale: g.scale,
		Centre: place.PhotoPoint{X: g.centreX, Y: g.centreY}, Mirror: s.Study.View.Mirror,
	}
	plan := render.Plan{
		Width: v.Width, Height: v.Height, Crop: s.Crop, Canvas: s.Study.Size(), Surround: surroundOf(seen),
		Panes: []render.Pane{{At: render.Rect{Width: v.Width, Height: v.Height}, View: v, Look: l}},
	}
	bare := render.Execute(plan, y)
	plan.Strokes = strokesOf(t, s)
	want := render.Execute(plan, y)
	far, lined, missed := 0, 0, 0
	for i := 0; i < len(want.Pix); i += 4 {
		off, by := 0, 0
		for c := i; c < i+3; c++ {
			off = max(off, int(seen.Pix[c])-int(want.Pix[c]), int(want.Pix[c])-int(seen.Pix[c]))
			by = max(by, int(bare.Pix[c])-int(want.Pix[c]), int(want.Pix[c])-int(bare.Pix[c]))
		}
		if off > 16 {
			far++
		}
		if by > 60 { // here a line changes much
			lined++
			if off > 16 {
				missed++
			}
		}
	}
	if pixels := len(want.Pix) / 4; float64(far) > 0.01*float64(pixels) || lined < 2000 || float64(missed) > 0.02*float64(lined) {
		t.Errorf("%s: %d of %d pixels are far off; of the %d that lines change %d are", what, far, pixels, lined, missed)
	}
}

// crossings lists where the lines cross, and puts the focal and the second point on
// two of the crossings.
func (p *tab) crossings(t *testing.T) {
	t.Helper()
	p.openPart("line", "crossings")
	d := p.snapshot().Study
	set := setOf(t, d)
	rows := eval[[]string](p, `[...document.querySelectorAll('#crossings-rows button')].map((b) => b.textContent)`)
	if len(rows) != min(len(set.Crossings), 40) {
		t.Fatalf("%d crossings are listed, there are %d", len(rows), len(set.Crossings))
	}
	for i, row := range rows {
		c := set.Crossings[i]
		want := fmt.Sprintf("%d. %d lines meet, %s from the left, %s from the top", i+1, len(c.Lines),
			place.Text(c.At.X, place.Inch, 16), place.Text(c.At.Y, place.Inch, 16))
		if row != want {
			t.Errorf("crossing %d is listed as %q, want %q", i+1, row, want)
		}
	}
	for i, key := range []string{"focal-here", "second-here"} {
		p.press(fmt.Sprintf("row-crossing-%d", 2*i+1))
		p.press(key)
		p.settle()
		d := p.snapshot().Study
		mark, _ := d.Mark([]int{d.Finding.Focal, d.Finding.Second}[i])
		at := d.Mapping().ToCanvas(place.PhotoPoint{X: mark.X, Y: mark.Y})
		want := set.Crossings[2*i].At
		if math.Hypot(float64(at.X-want.X), float64(at.Y-want.Y)) > 1e-6 {
			t.Errorf("%s: the mark %+v lies at %v, the crossing at %v", key, mark, at, want)
		}
	}
	if beside := eval[string](p, `document.querySelector('[data-key="row-beside-1"]')?.textContent ?? ''`); !strings.HasPrefix(beside, "Focal point: on a crossing") {
		t.Errorf("of the focal point it is said %q", beside)
	}
}

// eyePath draws the path of the eye with a finger.
func (p *tab) eyePath(t *testing.T) {
	t.Helper()
	p.press("eye-draw")
	at := p.over(0.4, 0.3)
	x, y := p.under(at)
	p.fingersDown(at)
	for range 6 {
		at = spot{at.x + 25, at.y + 15}
		p.fingersMove(at)
	}
	endX, endY := p.under(at)
	p.fingersUp()
	p.settle()
	eye := p.snapshot().Study.Eye
	if len(eye) != 1 || len(eye[0]) < 5 {
		t.Fatalf("the path of the eye is %v", eye)
	}
	first, last := eye[0][0], eye[0][len(eye[0])-1]
	if scale := p.snapshot().Scale; math.Hypot(first.X-x, first.Y-y)*scale > 8 || math.Hypot(last.X-endX, last.Y-endY)*scale > 8 {
		t.Errorf("drawn from %.0f, %.0f to %.0f, %.0f the path goes from %v to %v", x, y, endX, endY, first, last)
	}
	p.press("eye-straight")
	p.settle()
	if eye = p.snapshot().Study.Eye; len(eye) != 2 {
		t.Errorf("with a straight stretch there are %d", len(eye))
	}
	p.press("eye-clear")
	p.press("undo")
	p.press("undo")
	p.press("undo")
	p.settle()
	if eye = p.snapshot().Study.Eye; len(eye) != 0 {
		t.Errorf("undone, the path of the eye is %v", eye)
	}
}

// chalkList holds the list on the screen to the package's, strikes rows off by touch
// and takes that back.
func (p *tab) chalkList(t *testing.T) {
	t.Helper()
	p.openPart("line", "chalk")
	p.press("chalk-from-bottom-left")
	p.press("round-8")
	p.settleAnswered()
	d := p.snapshot().Study
	list := line.Chalk(setOf(t, d), place.Edges{Bottom: true}, line.Rounding{Unit: place.Inch, Denominator: 8})
	figures := func(box string) []string {
		return eval[[]string](p, `[...document.querySelectorAll('#' + %s + ' b')].map((b) => b.textContent)`, box)
	}
	var marks, joins []string
	for _, m := range list.Marks {
		marks = append(marks, m.Text)
	}
	for _, j := range list.Joins {
		joins = append(joins, strings.ToUpper(j.From.Name[:1])+j.From.Name[1:]+" – "+j.To.Name)
	}
	if got := figures("chalk-marks"); !slices.Equal(got, marks) {
		t.Errorf("the marks are %v, want %v", got, marks)
	}
	if got := figures("chalk-joins"); !slices.Equal(got, joins) {
		t.Errorf("the lines to join are %v, want %v", got, joins)
	}
	if check := p.text("chalk-check"); !strings.Contains(check, list.Check.Text) || !strings.Contains(check, list.Check.CanvasDiagonalIs) {
		t.Errorf("the check is %q, want %q and %q", check, list.Check.Text, list.Check.CanvasDiagonalIs)
	}
	struck := func() []bool {
		return eval[[]bool](p, `[...document.querySelectorAll('#chalk-marks button')].map((b) => b.getAttribute('aria-pressed') === 'true')`)
	}
	for _, nth := range []string{"1", "2"} {
		x, y := p.spotOf("#chalk-marks button:nth-child(" + nth + ")")
		p.tap(spot{x, y})
		time.Sleep(100 * time.Millisecond)
	}
	p.settle()
	if got := struck(); !got[0] || !got[1] || slices.Contains(got[2:], true) {
		t.Errorf("two rows touched, struck off are %v", got)
	}
	p.press("undo")
	p.settle()
	if got := struck(); !got[0] || got[1] {
		t.Errorf("one taken back, struck off are %v", got)
	}
}
