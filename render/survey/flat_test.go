package survey

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// A scene of known flat areas falls into those: as large, as coloured, and where
// they are. Whether values are read by eye or not, the shares come to 1.
func TestFlatFindsKnownAreas(t *testing.T) {
	found := answer(t, sceneCopy(), about(t, Flat))
	f := found.Flat
	if f == nil || f.Count != len(areas) || len(f.Shapes) != len(areas) {
		t.Fatalf("found %+v", f)
	}
	if f.Fewest != 1 || f.Most < f.Count || f.SVG != "" || found.Edges != nil || found.Piles != nil {
		t.Errorf("from %d to %d shapes can be asked for; also told: %q %v %v", f.Fewest, f.Most, f.SVG, found.Edges, found.Piles)
	}
	left, share, orders := len(areas), 0.0, []int{}
	for i, s := range f.Shapes {
		c := lies(s.At)
		if s.Colour != c {
			t.Errorf("shape %d is %v, there lies %v", i, s.Colour, c)
		}
		if want := areas[c]; !near(s.Area, want, 0.01) || !near(s.Share, want/(300*200), 0.01) {
			t.Errorf("the shape of %v covers %.0f mm2 and %.4f, want %.0f", c, s.Area, s.Share, want)
		}
		if s.Step != steps[c] {
			t.Errorf("the shape of %v lies in step %d, want %d", c, s.Step, steps[c])
		}
		if i > 0 && s.Area > f.Shapes[i-1].Area {
			t.Errorf("shape %d is larger than the one before it", i)
		}
		left, share, orders = left-1, share+s.Share, append(orders, s.Order)
	}
	if slices.Sort(orders); left != 0 || !near(share, 1, 1e-12) || !slices.Equal(orders, []int{1, 2, 3}) {
		t.Errorf("%d areas are missing, the shares come to %v, the order is %v", left, share, orders)
	}
	at := found.Picture
	for c, n := range counted(at) {
		if !near(float64(n), areas[c], 0.01) {
			t.Errorf("%d pixels of the picture are %v, want %.0f", n, c, areas[c])
		}
	}
}

// No shape is smaller than was asked; about as many are given as were asked for, the
// smallest gone first; and the focal area comes first or last.
func TestFlatKeepsToWhatIsAsked(t *testing.T) {
	c := sceneCopy()
	large := about(t, Flat)
	large.Smallest = 70 // a disc of 3848 mm2, which the slab is not
	if f := answer(t, c, large).Flat; f.Count != 2 || slices.ContainsFunc(f.Shapes, func(s FlatShape) bool { return s.Colour == middling }) {
		t.Errorf("no smaller than 70 mm there are %+v", f.Shapes)
	}
	for count := 1; count <= 3; count++ {
		ask := about(t, Flat)
		ask.Count = count
		if f := answer(t, c, ask).Flat; f.Count != count {
			t.Errorf("of %d shapes there are %d", count, f.Count)
		}
	}
	for colour, at := range map[colour.SRGB]place.PhotoPoint{dark: {X: discX, Y: discY}, middling: {X: 260, Y: 85}} {
		ask := about(t, Flat)
		ask.Focal = &at
		for _, last := range []bool{false, true} {
			ask.Last = last
			want := 1
			if last {
				want = 3
			}
			for _, s := range answer(t, c, ask).Flat.Shapes {
				if (s.Colour == colour) != (s.Order == want) {
					t.Errorf("with the focal point on %v, last %v, %v comes %d", colour, last, s.Colour, s.Order)
				}
			}
		}
	}
}

// Through the red filter a red is lighter than it is and a green darker.
func TestFlatReadsThroughFilter(t *testing.T) {
	ask := about(t, Flat)
	ask.Filter = true
	for _, s := range answer(t, sceneCopy(), ask).Flat.Shapes {
		// The weights 0.75, 0.19, 0.06 on linear light by IEC 61966-2-1.
		l := s.Colour.Linear()
		through := colour.Luminance(0.75*l.R + 0.19*l.G + 0.06*l.B).Lightness()
		if want := int(through/20) + 1; s.Step != want {
			t.Errorf("%v lies in step %d through the filter, want %d for L* %.1f", s.Colour, s.Step, want, float64(through))
		}
	}
}

// The outlines are a whole SVG as large as the canvas.
func TestFlatOutlines(t *testing.T) {
	ask := about(t, Flat)
	ask.Outlines = true
	svg := answer(t, sceneCopy(), ask).Flat.SVG
	names, size := []string{}, map[string]string{}
	for d := xml.NewDecoder(strings.NewReader(svg)); ; {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if start, ok := token.(xml.StartElement); ok {
			names = append(names, start.Name.Local)
			for _, a := range start.Attr {
				if start.Name.Local == "svg" {
					size[a.Name.Local] = a.Value
				}
			}
		}
	}
	if size["width"] != "300mm" || size["height"] != "200mm" {
		t.Errorf("the drawing is %s x %s", size["width"], size["height"])
	}
	if len(names) == 0 || names[0] != "svg" || !slices.Contains(names, "path") {
		t.Errorf("the outlines are made of %v", names)
	}
}

// What was kept answers the next question at once and as a fresh survey would,
// whatever the number of shapes; it goes for no other question and no other copy.
func TestKeptStateAnswersAtOnce(t *testing.T) {
	p := demo(t)
	crop := place.Crop{X: 300, Y: 200, Width: 500, Height: 400}
	c := NewCopy(pyramidOf(p), 0, 0, 1, crop)
	ask := Ask{Kind: Flat, Crop: crop, Canvas: place.Size{Width: 500, Height: 400}, Steps: equal(t, 5), Smallest: 12}
	if state, err := New(c).State(); state != nil || err != nil {
		t.Errorf("before any question %d bytes are kept, %v", len(state), err)
	}
	at := place.PhotoPoint{X: 500, Y: 400}
	same := []func(*Ask){
		func(*Ask) {}, func(a *Ask) { a.Focal, a.Last = &at, true }, func(a *Ask) { a.Outlines = true },
	}
	state := keptAnswers(t, c, ask, same)
	ask.Count = 40
	keptAnswers(t, c, ask, append(same, func(a *Ask) { a.Count = 5 }, func(a *Ask) { a.Count = 100_000 },
		func(a *Ask) { a.Count, a.Smallest = 17, 13 }))
	ask.Count = 0
	for name, change := range map[string]func(*Ask){
		"steps": func(a *Ask) { a.Steps = equal(t, 4) }, "smallest size": func(a *Ask) { a.Smallest = 13 },
		"filter": func(a *Ask) { a.Filter = true }, "crop": func(a *Ask) { a.Crop.X++ },
	} {
		other := ask
		change(&other)
		if err := New(c).SetState(other, state); err == nil {
			t.Errorf("shapes of another %s are taken back", name)
		}
	}
	other := Copy{Picture: sceneCopy().Picture, Side: 1}
	if err := New(other).SetState(ask, state); err == nil {
		t.Error("shapes of another copy are taken back")
	}
}

// A kept state that is damaged is refused, and what the surveyor has goes on.
func TestDamagedStateIsRefused(t *testing.T) {
	c, ask := sceneCopy(), about(t, Flat)
	s := New(c)
	want, err := s.Answer(ask, nil)
	if err != nil {
		t.Fatal(err)
	}
	state, err := s.State()
	if err != nil {
		t.Fatal(err)
	}
	for i := range state {
		bent := bytes.Clone(state)
		bent[i] ^= 1 << (i % 8)
		if s.SetState(ask, bent) == nil || s.SetState(ask, state[:i]) == nil {
			t.Fatalf("bytes damaged or cut at %d of %d are taken", i, len(state))
		}
	}
	if got, err := s.Answer(ask, nil); err != nil || !reflect.DeepEqual(got, want) {
		t.Error("a refused state changed the answer", err)
	}
}

// Fitted steps cross as they are: any that a picture can give are read back.
func TestFittedStepsCross(t *testing.T) {
	pictures := map[string]*photo.Picture{"demo": demo(t), "scene": scene()}
	for _, greys := range [][]uint8{{0}, {255}, {0, 255}, {0, 1}, {254, 255}, {100, 101, 102}} {
		p := photo.New(len(greys), 1)
		for i, g := range greys {
			copy(p.Pix[4*i:], []byte{g, g, g, 255})
		}
		pictures[fmt.Sprint("greys ", greys)] = p
	}
	for name, p := range pictures {
		var h shape.Histogram
		h.AddRows(colour.EyeMeter, p.Pix, p.Width, 0, place.WholeCrop(p.Size()))
		for n := shape.FewestSteps; n <= shape.MostSteps; n++ {
			for _, fit := range []func(shape.Counted, int) (shape.Steps, error){shape.BestSteps, shape.AreaSteps} {
				s, err := fit(&h, n)
				if err != nil {
					t.Fatal(name, err)
				}
				ask := Ask{Kind: Piles, Steps: s}
				data, err := ask.MarshalBinary()
				if err != nil {
					t.Fatal(err)
				}
				var back Ask
				if err := back.UnmarshalBinary(data); err != nil || back != ask {
					t.Errorf("%s: %d steps between %v come back as %v, %v", name, n, s.Edges(), back.Steps.Edges(), err)
				}
			}
		}
	}
}

// keptAnswers asks a question, and has what is kept of it answer the same one
// after changes. It returns what is kept.
func keptAnswers(t *testing.T, c Copy, ask Ask, changes []func(*Ask)) []byte {
	t.Helper()
	first := New(c)
	if _, err := first.Answer(ask, nil); err != nil {
		t.Fatal(err)
	}
	state, err := first.State()
	if err != nil || len(state) == 0 {
		t.Fatal(len(state), err)
	}
	for _, change := range changes {
		next := ask
		change(&next)
		s := New(c)
		if err := s.SetState(next, state); err != nil {
			t.Fatal(err)
		}
		got, err := s.Answer(next, func(float64) error { t.Error("it is worked out again"); return nil })
		if err != nil {
			t.Fatal(err)
		}
		if want := answer(t, c, next); !reflect.DeepEqual(got, want) {
			t.Errorf("%d shapes asked for: the kept state gives %d, a fresh survey %d", next.Count, got.Flat.Count, want.Flat.Count)
		}
		if again, err := s.State(); err != nil || !bytes.Equal(again, state) {
			t.Error("what is kept again differs", err)
		}
	}
	return state
}
