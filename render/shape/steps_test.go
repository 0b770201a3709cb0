package shape

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/place"
)

// The edges and middles of five steps are the project's convention: equal
// parts of CIE L*.
func TestFiveEqualSteps(t *testing.T) {
	s, err := EqualSteps(5)
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range []colour.Lightness{20, 40, 60, 80} {
		if got := s.Edges()[k]; got != want {
			t.Errorf("edge %d lies at L* %v, want %v", k+1, got, want)
		}
	}
	if n := len(s.Edges()); n != 4 {
		t.Errorf("5 steps have %d edges, want 4", n)
	}
	// Codes of the greys of L* 10, 30, 50, 70, 90, by CIE 15 and IEC 61966-2-1:
	// L* 50 is Y 0.18419, encoded 118.9; the others worked out in the same way.
	for k, want := range []uint8{27, 71, 119, 171, 226} {
		if got := s.Middle(k + 1); got != colour.Lightness(10+20*k) {
			t.Errorf("the middle of step %d is L* %v", k+1, got)
		}
		if got := s.Tone(k + 1); got != want {
			t.Errorf("step %d is shown as code %d, want %d", k+1, got, want)
		}
	}
}

func TestNumberOfSteps(t *testing.T) {
	for n := -1; n <= 12; n++ {
		s, err := EqualSteps(n)
		if allowed := n >= 2 && n <= 9; allowed != (err == nil) {
			t.Errorf("EqualSteps(%d) gives error %v", n, err)
		} else if allowed && (s.Count() != n || len(s.Edges()) != n-1 || len(s.Thresholds()) != n-1) {
			t.Errorf("EqualSteps(%d) has %d steps, %d edges, %d thresholds", n, s.Count(), len(s.Edges()), len(s.Thresholds()))
		}
	}
}

// Every grey falls into the step that its lightness, worked out here from the
// two standards alone, belongs to; white and black fall into the end steps.
func TestStepOfEveryGrey(t *testing.T) {
	for n := FewestSteps; n <= MostSteps; n++ {
		s, err := EqualSteps(n)
		if err != nil {
			t.Fatal(err)
		}
		for code := range 256 {
			want := min(int(greyLightness(code)*float64(n)/100)+1, n)
			got := s.Of(colour.EyeMeter.Read(uint8(code), uint8(code), uint8(code)))
			if got != want {
				t.Errorf("of %d steps grey %d (L* %.4f) falls into %d, want %d", n, code, greyLightness(code), got, want)
			}
		}
	}
}

// greyLightness is CIE 15 L* of an IEC 61966-2-1 grey.
func greyLightness(code int) float64 {
	e := float64(code) / 255
	y := e / 12.92
	if e > 0.04045 {
		y = math.Pow((e+0.055)/1.055, 2.4)
	}
	if y <= 216.0/24389 {
		return y * 24389 / 27
	}
	return 116*math.Cbrt(y) - 16
}

// A light on an edge belongs to the lighter step, one below it to the darker.
func TestTiesGoToTheLighterStep(t *testing.T) {
	for n := FewestSteps; n <= MostSteps; n++ {
		s, err := EqualSteps(n)
		if err != nil {
			t.Fatal(err)
		}
		for k, threshold := range s.Thresholds() {
			edge := s.Edges()[k]
			if threshold.Lightness() < edge || (threshold-1).Lightness() >= edge {
				t.Errorf("threshold %d of %d steps is not the first light of L* %v", k+1, n, edge)
			}
			if s.Of(threshold) != k+2 || s.Of(threshold-1) != k+1 {
				t.Errorf("at edge %d of %d steps: on it step %d, below it step %d", k+1, n, s.Of(threshold), s.Of(threshold-1))
			}
		}
	}
}

// A grey goes to the card nearest in lightness: every grey code against the cards
// one by one, with lightness by the standards alone (CIE 15, IEC 61966-2-1, and
// the polynomial of ASTM D1535).
func TestGreysGoToTheNearestCard(t *testing.T) {
	values := []colour.Value{1.5, 3.5, 5.5, 7.5, 9.5}
	s, err := CardSteps(values)
	if err != nil {
		t.Fatal(err)
	}
	var cards []float64
	for k, v := range values {
		v := float64(v)
		percent := v * (1.1914 + v*(-0.22533+v*(0.23352+v*(-0.020484+v*0.00081939))))
		cards = append(cards, 116*math.Cbrt(percent/100)-16)
		if math.Abs(float64(s.Shown(k+1))-cards[k]) > 1e-9 {
			t.Errorf("card %v is shown as L* %v, want %v", v, s.Shown(k+1), cards[k])
		}
	}
	for code := range 256 {
		nearest := 0
		for k, l := range cards {
			if math.Abs(l-greyLightness(code)) <= math.Abs(cards[nearest]-greyLightness(code)) {
				nearest = k
			}
		}
		if got := s.Of(colour.EyeMeter.Read(uint8(code), uint8(code), uint8(code))); got != nearest+1 {
			t.Errorf("grey %d goes to card %d, want %d", code, got, nearest+1)
		}
	}
}

// What no steps can be made of is refused in words, never with a panic.
func TestStepsThatCannotBe(t *testing.T) {
	nan := colour.Lightness(math.NaN())
	for want, refused := range map[string]func() error{
		"there are 1 of them":       func() error { _, err := CardSteps([]colour.Value{5}); return err },
		"there are 10 of them":      func() error { _, err := CardSteps(make([]colour.Value, 10)); return err },
		"5.5 comes after 7.5":       func() error { _, err := CardSteps([]colour.Value{7.5, 5.5}); return err },
		"3 is there twice":          func() error { _, err := CardSteps([]colour.Value{3, 3}); return err },
		"11 is no value":            func() error { _, err := CardSteps([]colour.Value{3, 11}); return err },
		"NaN is no value":           func() error { _, err := CardSteps([]colour.Value{colour.Value(nan), 3}); return err },
		"too alike":                 func() error { _, err := CardSteps([]colour.Value{3, 3 + 1e-12, 3 + 2e-12}); return err },
		"there are 0 of them":       func() error { _, err := EdgedSteps(nil); return err },
		"30 is not lighter than 40": func() error { _, err := EdgedSteps([]colour.Lightness{40, 30}); return err },
		"40 is not lighter than 40": func() error { _, err := EdgedSteps([]colour.Lightness{40, 40}); return err },
		"100 is not between":        func() error { _, err := EdgedSteps([]colour.Lightness{100}); return err },
		"0 is not between":          func() error { _, err := EdgedSteps([]colour.Lightness{0}); return err },
		"NaN is not between":        func() error { _, err := EdgedSteps([]colour.Lightness{nan}); return err },
		"no lightness lies":         func() error { _, err := EdgedSteps([]colour.Lightness{40, 40 + 1e-12}); return err },
		"10 steps were asked for":   func() error { _, err := BestSteps(new(Histogram), 10); return err },
		"1 steps were asked for":    func() error { _, err := AreaSteps(new(Histogram), 1); return err },
		"2 lightnesses show the steps": func() error {
			return new(Steps).UnmarshalJSON([]byte(`{"edges_lightness":[1,2],"shown_lightness":[1,2]}`))
		},
		"which is no lightness": func() error {
			return new(Steps).UnmarshalJSON([]byte(`{"edges_lightness":[1],"shown_lightness":[1,200]}`))
		},
		"reading steps: unexpected EOF": func() error { return new(Steps).UnmarshalJSON([]byte(`{`)) },
	} {
		if err := refused(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("the error is %v, want %q in it", err, want)
		}
	}
}

// Steps of every making come back equal from JSON.
func TestStepsSurviveJSON(t *testing.T) {
	h := new(Histogram)
	for code := 0; code < 256; code += 3 {
		h.AddLight(colour.EyeMeter.Read(uint8(code), uint8(code), uint8(code)), uint64(1+code*code))
	}
	all := []Steps{{}}
	for n := FewestSteps; n <= MostSteps; n++ {
		for _, make := range []func() (Steps, error){
			func() (Steps, error) { return EqualSteps(n) },
			func() (Steps, error) { return BestSteps(h, n) },
			func() (Steps, error) { return AreaSteps(h, n) },
			func() (Steps, error) { return CardSteps([]colour.Value{0.3, 1, 2, 4.4, 5, 6, 7, 8, 9.1}[:n]) },
		} {
			s, err := make()
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, s, s.Dragged(1, 31))
		}
	}
	for _, s := range all {
		data, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		var back Steps
		if err := json.Unmarshal(data, &back); err != nil || back != s {
			t.Errorf("%s comes back as %+v: %v", data, back, err)
		}
	}
}

// A snapped edge parts two neighbouring greys, and the nearest ones.
func TestSnapEdge(t *testing.T) {
	for code := range 255 {
		middle := colour.Lightness(greyLightness(code)+greyLightness(code+1)) / 2
		s, err := EdgedSteps([]colour.Lightness{SnapEdge(middle)})
		if err != nil {
			t.Fatal(err)
		}
		if s.Of(grey(code)) != 1 || s.Of(grey(code+1)) != 2 {
			t.Errorf("L* %v snaps to %v, which does not part greys %d and %d", middle, SnapEdge(middle), code, code+1)
		}
		if e := SnapEdge(middle); SnapEdge(e) != e {
			t.Errorf("%v snaps on to %v", e, SnapEdge(e))
		}
	}
	if SnapEdge(-5) != gaps[0] || SnapEdge(200) != gaps[254] {
		t.Errorf("beyond the ends it snaps to %v and %v", SnapEdge(-5), SnapEdge(200))
	}
}

// A dragged edge goes where it is put, never past its neighbours, and shares of
// the steps stay exact in the histogram.
func TestDragged(t *testing.T) {
	s, err := EqualSteps(4)
	if err != nil {
		t.Fatal(err)
	}
	pix := noise(31, 100, 80)
	crop := place.Crop{Width: 100, Height: 80}
	var h Histogram
	h.AddRows(colour.EyeMeter, pix, 100, 0, crop)
	r := rand.New(rand.NewPCG(5, 6))
	for range 300 {
		k, to := 1+r.IntN(3), colour.Lightness(140*r.Float64()-20)
		from, _ := s.Range(k)
		_, end := s.Range(k + 1)
		d := s.Dragged(k, to)
		if !d.apart() {
			t.Fatalf("edge %d of %v dragged to %v: %v", k, s.Edges(), to, d.Edges())
		}
		if e := d.Edges()[k-1]; to > from+1 && to < end-1 && e != SnapEdge(to) {
			t.Errorf("edge %d of %v dragged to %v lies at %v", k, s.Edges(), to, e)
		}
		if s = d; !slices.Equal(h.Shares(s)[k:], countEach(colour.EyeMeter, pix, 100, 80, crop, s)[k:]) {
			t.Errorf("edges %v: shares %v, counted one by one %v", s.Edges(), h.Shares(s), countEach(colour.EyeMeter, pix, 100, 80, crop, s))
		}
	}
	if s.Dragged(0, 50) != s || s.Dragged(4, 50) != s || (Steps{}).Dragged(1, 50) != (Steps{}) {
		t.Error("edges that are not there can be dragged")
	}
}

// Two and three steps have the names of the notan.
func TestNotan(t *testing.T) {
	for n, want := range map[int]string{2: "dark light", 3: "dark middle light", 4: "   "} {
		s, err := EqualSteps(n)
		if err != nil {
			t.Fatal(err)
		}
		var names []string
		for k := 1; k <= n; k++ {
			names = append(names, s.Name(k))
		}
		if got := strings.Join(names, " "); got != want || (Notan(n) == "") != (n > 3) {
			t.Errorf("%d steps are %q, %q", n, got, Notan(n))
		}
	}
}
