package easel

import (
	"errors"
	"maps"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/study"
	"maulstick/render/survey"
)

// script turns fuzzed bytes into messages.
type script struct{ data []byte }

func (s *script) byte() byte {
	if len(s.data) == 0 {
		return 0
	}
	b := s.data[0]
	s.data = s.data[1:]
	return b
}

// pick chooses one of some strings, by two bytes where one does not reach them all.
func (s *script) pick(from []string) string {
	i := int(s.byte())
	if len(from) > 256 {
		i += int(s.byte()) << 8
	}
	return from[i%len(from)]
}

// coordinate is mostly on the area, sometimes far off or no number.
func (s *script) coordinate() float64 {
	switch b := s.byte(); b {
	case 255:
		return math.NaN()
	case 254:
		return math.Inf(1)
	case 253:
		return -1e300
	default:
		return float64(b)*4 - 40
	}
}

// pressable are the keys a fuzzed painter can press.
var pressable = sync.OnceValue(func() []string {
	names := []string{"step-1", "step-5", "step-9", "mark-1", "mark-2", "cycle-x", "handsoff", "unlock", "-"}
	names = append(names, slices.Sorted(maps.Keys(keys))...)
	names = append(names, slices.Sorted(maps.Keys(always))...)
	for _, kind := range []struct {
		name  string
		which []string
	}{
		{"fit", study.Fits()}, {"part", study.ValueParts}, {"part", study.ColourParts}, {"part", study.ShapeParts},
		{"part", study.LineParts}, {"part", study.PlaceParts}, {"part", study.StudyParts},
		{"sheet", []string{"orange", "red", "deep", "green"}}, {"wheel", []string{"painter", "munsell", "additive", "x"}},
		{"list", []string{"value", "hue", "sharpness", "all", "x"}}, {"cycle", study.Cycles()},
		{"row", []string{"shape-1", "sharp-1", "contrast-value-1", "pair-1", "pile-1-1", "neutral", ""}},
		{"row", []string{"crossing-1", "crossing-39", "crossing-0", "beside-1", "listmark-1", "listmark-2", "listspan-1", "listspan-2", "listspan-x"}},
		{"use-row", []string{"0", "1", "9", "-1", "x"}}, {"stretcher", []string{"0", "3", "99", "-1", "x"}},
		{"span", []string{"1", "2", "0", "-7"}}, {"pin", []string{"1", "2", "3", "9", "-1"}}, {"entry", []string{"1", "2", "3", "9"}},
		{"row", []string{"borrowed-1", "borrowed-2", "borrowed-x"}},
		{"part", study.CheckParts}, {"touch", []string{"1", "2", "9", "0", "-1", "x"}}, {"stage", []string{"1", "2", "9", "0", "-1"}},
		{"row", []string{"slip-1", "slip-2", "slip-0", "value-1", "value-9", "order-1", "arrow-1", "arrow-2", "arrow-x", "lost-1", "kept-1"}},
		{"strike", []string{"top:0", "top:304800", "left:203200", "top:304800=bottom:304800", "topleftcorner=bottomrightcorner", "", "\xff", "a b\nc", strings.Repeat("x", 200)}},
	} {
		for _, which := range kind.which {
			names = append(names, kind.name+"-"+which)
		}
	}
	return names
})

var (
	typedTexts = []string{
		"33 x 70 in", "84x178cm", "", "0 x 1", "x", "\xff", "1 x 4000 in", "99 m x 1 mm", "stalk", "2' 9\" x 5' 10\"",
		"1.5, 3.5, 5.5", "2 9", "5", "nan, 2", "0, 1e-9, 10", "2 in", "5 cm", "-1 in", "0", "50", "100", "1e999",
		"1 1/2 in", "11 in", "4 x 3", "1 x 64", "65 x 2", "2", "0.1 mm", "35", "-20°", "1.5", "-44,9", "45.1", "77 1/2, 77 1/4",
		"77 and", "9", "L52", "8 x 10 in", "1 x 2 mm", "210 x 297", "300", "x 8", "24 x 36 in", "1 x 1 mm",
	}
	typedFields = []string{
		"canvas", "mark-name", "study-name", "x", "cards", "smallest", "count", "turnover", "margin", "diagonals", "figures",
		"tilt", "flat-size", "card-width", "paper", "span-name", "pin-name", "borrow-words", "log-stage", "log-words",
		"painting-mix", "canvas-card", "card-value", "pile-card",
	}
	boardKeys = []string{"ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "+", "-", "0", "Delete", "Escape", "Enter", "PageUp", "PageDown", " ", "Tab"}
)

// act does one message of a script.
func (b *bench) act(s *script) {
	switch s.byte() % 26 {
	case 0, 1, 2, 3:
		b.Pointer(Pointer{Kind: PointerKind(s.byte() % 5), ID: int(s.byte() % 4), Device: Device(s.byte() % 4), X: s.coordinate(), Y: s.coordinate()})
	case 4, 5:
		b.Press(s.pick(pressable()))
	case 6:
		b.Release(s.pick(pressable()))
	case 7:
		b.Type(s.pick(typedFields), s.pick(typedTexts))
	case 8:
		b.Wheel(s.coordinate(), s.coordinate(), s.coordinate()*5)
	case 9:
		v := s.byte()
		b.Key(s.pick(boardKeys), v&1 != 0, v&2 != 0)
	case 10:
		b.Resize(int(s.byte())*5-5, int(s.byte())*4, float64(s.byte()%8)/2)
	case 11:
		b.clock = b.clock.Add(time.Duration(s.byte()) * 8 * time.Millisecond)
		b.Tick()
	case 12:
		b.answer(s)
	case 13:
		if s.byte()%8 == 0 {
			b.Show(greysDoc(), greys(), s.byte()%2 == 0)
		} else {
			b.Leave()
		}
	case 14:
		b.DragEdge(int(s.byte()%11)-1, colour.Lightness(s.coordinate()/8))
	case 15:
		b.NudgeEdge(int(s.byte()%11)-1, colour.Lightness(s.coordinate()/80))
	case 16, 17:
		b.answerSurvey(s)
	case 18:
		b.Counted(int(s.byte()%4)+b.Easel.counts.last-1, *counted(), *counted())
	case 19:
		b.Press(s.pick([]string{"tray-shape", "tray-value", "tray-colour", "fit-best", "fit-cards", "undo", "redo", "neutral-pick"}))
	default:
		b.actTrays(s)
	}
}

// counted is the photograph counted, as if any crop of it.
var counted = sync.OnceValue(func() *shape.Histogram {
	eye, _ := histograms(greys(), place.Crop{Width: photoWidth, Height: photoHeight})
	return &eye
})

// answerSurvey is what the page answers to a question, the newest or another.
func (b *bench) answerSurvey(s *script) {
	kinds := survey.Kinds()
	kind, id := kinds[int(s.byte())%len(kinds)], int(s.byte()%4)+b.Easel.surveys.last-2
	for _, q := range b.Easel.surveys.of {
		if q.id == id {
			kind = q.ask.Kind
		}
	}
	switch s.byte() % 8 {
	case 0:
		b.SurveyFailed(kind, id, "out of memory")
	case 1:
		b.Surveying(kind, id, s.coordinate())
	case 2:
		b.Surveyed(id, survey.Answer{}, nil)
	default:
		at := place.PhotoPoint{X: float64(s.byte()) * 5, Y: float64(s.byte()) * 3}
		b.Surveyed(id, fuzzedAnswer(at, s), &render.Made{Side: 1})
	}
}

// fuzzedAnswer is an answer of every kind about one place.
func fuzzedAnswer(at place.PhotoPoint, s *script) survey.Answer {
	c := colour.SRGB{R: s.byte(), G: s.byte(), B: s.byte()}
	share := float64(s.byte()) / 255
	return survey.Answer{
		Flat:  &survey.Shapes{Most: int(s.byte()), Count: int(s.byte()), Shapes: []survey.FlatShape{{Share: share, Order: 1, At: at}}},
		Edges: &survey.Hard{Sharpest: []survey.Stretch{{At: at}}, Contrasts: []survey.Contrast{{Kind: "value", Rank: 1, At: at}}, Focal: []string{"x"}},
		Piles: &survey.Mixes{Steps: []survey.Mix{{Share: share, Piles: []survey.Pile{{Colour: c, Share: share, At: at}}}}},
		Tones: &survey.Tints{Neutral: c, Verdict: "x", Pairs: []survey.Pair{{Sides: [2]survey.Side{{Share: share, At: at}, {At: at}}}}},
		Clean: &survey.Swept{},
	}
}

// answer is what the page answers, asked or unasked.
func (b *bench) answer(s *script) {
	switch s.byte() % 8 {
	case 0:
		b.Kept(nil)
	case 1:
		b.Kept(errors.New("full"))
	case 2:
		b.Filled()
	case 3:
		b.WakeLock(s.byte()%2 == 0)
	case 4:
		b.Refuse(errors.New("no"))
	case 5:
		b.Opening("x", s.coordinate())
	case 6:
		b.UpdateOffered()
	case 7:
		b.SetAside("broken")
	}
}

// holds checks what must be true after every message.
func (b *bench) holds(t *testing.T) {
	t.Helper()
	if b.history == nil {
		return
	}
	d := b.doc()
	if !reflect.DeepEqual(d, b.held) {
		holdsRules(t, d)
		b.held = d
	}
	if len(b.hand.down) > 2 || len(b.hand.down) == 0 && b.hand.doing != idle {
		t.Fatalf("the hand does %d with %d pointers", b.hand.doing, len(b.hand.down))
	}
	plan, ok := b.Plan()
	if !ok {
		return
	}
	for _, p := range plan.Panes {
		if p.View.Width != p.At.Width || p.View.Height != p.At.Height || !(p.View.Scale > 0 && p.View.Scale <= render.MaxScale) ||
			p.At.X < 0 || p.At.Y < 0 || p.At.X+p.At.Width > plan.Width || p.At.Y+p.At.Height > plan.Height {
			t.Fatalf("a pane cannot be drawn: %+v", p)
		}
	}
	if b.away() {
		holdsAway(t, plan)
	} else if middle := plan.Panes[0].View.Centre; !isNumber(middle.X, middle.Y) || middle.X < plan.Crop.X-1e-6 || middle.X > plan.Crop.X+plan.Crop.Width+1e-6 {
		t.Fatalf("the picture is lost: %+v", plan.Panes[0].View)
	}
	f := b.Face()
	if f.Hidden["place-x"] != f.Hidden["place-y"] || len(f.Steps) != d.Look.Steps || len(f.Marks) != len(d.Marks) {
		t.Fatalf("the page shows %d steps and %d marks of %d and %d", len(f.Steps), len(f.Marks), d.Look.Steps, len(d.Marks))
	}
	b.holdsEdges(t, f)
	b.holdsTrays(t, f, plan)
	for _, s := range f.Spots {
		if !isNumber(s.X, s.Y) || s.X < 0 || s.Y < 0 || s.X > float64(b.width)+1 || s.Y > float64(b.height)+1 {
			t.Fatalf("a spot stands off the picture: %+v", s)
		}
	}
	for id, text := range f.Text {
		if (strings.Contains(text, "NaN") || strings.Contains(text, "Inf")) && !strings.HasPrefix(id, "cards") {
			t.Fatalf("#%s says %q", id, text)
		}
	}
}

// holdsRules checks that a study keeps every rule and comes back as it was written.
func holdsRules(t *testing.T, d study.Document) {
	t.Helper()
	if err := d.Check(); err != nil {
		t.Fatalf("the study breaks a rule: %v", err)
	}
	data, err := study.Encode(d)
	if err != nil {
		t.Fatalf("the study cannot be written: %v", err)
	}
	if again, err := study.Decode(data); err != nil || !reflect.DeepEqual(again, d) {
		t.Fatalf("the study comes back as %+v, %v, want %+v", again, err, d)
	}
}

// holdsEdges checks the edges on the histogram: between as many steps as there are,
// each lighter than the one before.
func (b *bench) holdsEdges(t *testing.T, f Face) {
	t.Helper()
	if len(f.Edges) != len(f.Steps)-1 {
		t.Fatalf("%d edges part %d steps", len(f.Edges), len(f.Steps))
	}
	below := 0.0
	for _, e := range f.Edges {
		if !(e.At > below && e.At < 100) {
			t.Fatalf("the edges are out of order: %+v", f.Edges)
		}
		below = e.At
	}
}

// No order of messages may panic, lose the picture or break the study.
func FuzzMessages(f *testing.F) {
	for _, seed := range seeds() {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 4000 {
			return
		}
		play(t, data)
	})
}

// play does a script and checks every message's end.
func play(t *testing.T, data []byte) {
	t.Helper()
	b := newBench(t, 2)
	b.Show(greysDoc(), greys(), true)
	s := &script{data: data}
	for len(s.data) > 0 {
		b.act(s)
		b.holds(t)
	}
}

// Long scripts of anything at all, after each of those to begin with.
func TestLongScripts(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 7))
	for _, seed := range seeds() {
		for range 3 {
			data := slices.Clone(seed)
			for range 600 {
				data = append(data, byte(r.UintN(256)))
			}
			play(t, data)
		}
	}
}
