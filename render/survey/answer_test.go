package survey

import (
	"errors"
	"math"
	"slices"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/pile"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// Each area of a known scene is a pile of its own, of just its colour and as large;
// where a pile is said to lie, the photograph has its colour, and the picture shows
// every pixel in the colour of its pile.
func TestPilesAreKnownColours(t *testing.T) {
	ask := about(t, Piles)
	found := answer(t, sceneCopy(), ask)
	var total float64
	seen := 0
	for k, step := range found.Piles.Steps {
		var inStep float64
		for _, p := range step.Piles {
			seen, inStep = seen+1, inStep+p.Share
			if lies(p.At) != p.Colour {
				t.Errorf("pile %v lies at %v, where %v is", p.Colour, p.At, lies(p.At))
			}
			if k+1 != steps[p.Colour] || !near(p.Share, areas[p.Colour]/(300*200), 0.01) {
				t.Errorf("pile %v of step %d covers %.4f", p.Colour, k+1, p.Share)
			}
			if p.Terms == "" || p.Name == "" {
				t.Errorf("pile %v is called %q and written %q", p.Colour, p.Name, p.Terms)
			}
		}
		if total += step.Share; !near(step.Share, inStep, 1e-12) {
			t.Errorf("step %d covers %v, its piles %v", k+1, step.Share, inStep)
		}
		if want := ask.Steps.Shown(k + 1).Value(); step.Value != want {
			t.Errorf("step %d is shown as value %v, want %v", k+1, step.Value, want)
		}
		// By CIE 15 and IEC 61966-2-1: the greys of L* 10, 30, 50, 70 and 90.
		if want := []uint8{27, 71, 119, 171, 226}[k]; step.Grey != want {
			t.Errorf("the card of step %d is %d, want %d", k+1, step.Grey, want)
		}
	}
	if len(found.Piles.Steps) != 5 || seen != len(areas) || !near(total, 1, 1e-12) {
		t.Errorf("%d piles in %d steps cover %v", seen, len(found.Piles.Steps), total)
	}
	for c, n := range counted(found.Picture) {
		if !near(float64(n), areas[c], 0.01) {
			t.Errorf("%d pixels are shown as %v", n, c)
		}
	}
}

// As many piles a step as were asked for are given where there are colours enough,
// and the chart is the one that is drawn of the piles themselves.
func TestPilesOfPhotograph(t *testing.T) {
	p := demo(t)
	crop := place.Crop{X: 200, Y: 100, Width: 700, Height: 600}
	c := NewCopy(pyramidOf(p), 0, 0, 1, crop)
	ask := Ask{Kind: Piles, Crop: crop, Steps: equal(t, 4), Each: 3}
	found := answer(t, c, ask)
	for k, step := range found.Piles.Steps {
		if len(step.Piles) != 3 {
			t.Errorf("step %d has %d piles", k+1, len(step.Piles))
		}
		for i, q := range step.Piles {
			if i > 0 && q.Share > step.Piles[i-1].Share {
				t.Errorf("pile %d of step %d is larger than the one before it", i+1, k+1)
			}
			if s := ask.Steps.Of(colour.EyeMeter.Read(q.Colour.R, q.Colour.G, q.Colour.B)); s != k+1 {
				t.Errorf("pile %v of step %d is as light as step %d", q.Colour, k+1, s)
			}
		}
	}
	own, err := pile.Find(colour.EyeMeter, p, crop, ask.Steps, 3, nil)
	if err != nil {
		t.Fatal(err)
	}
	got, want := Chart(*found.Piles), pile.Chart(own.Steps)
	if got.Size() != want.Size() || differing(got, want) > 0 {
		t.Errorf("the chart of %v is not the one of %v", got.Size(), want.Size())
	}
}

// A sharp edge and a soft one of known width are told apart, where they lie, with
// shares that come to 1; and the strongest contrast of value is across the black.
func TestEdgesOfKnownWidth(t *testing.T) {
	const width, height, sharpAt, softAt, softWidth = 640, 400, 170, 450, 64
	p := photo.New(width, height)
	for i := range width * height {
		x := float64(i%width) + 0.5
		l := colour.Lightness(10)
		if x > sharpAt {
			l = 85
		}
		// A Gaussian edge of a full width of softWidth, between L* 85 and 45.
		l -= colour.Lightness(20 * (1 + math.Erf((x-softAt)/(softWidth/2.3548*math.Sqrt2))))
		if x <= sharpAt {
			l = 10
		}
		g := colour.GreyOf(l).R
		copy(p.Pix[4*i:], []byte{g, g, g, 255})
	}
	crop := place.Crop{X: 10, Y: 10, Width: 620, Height: 380}
	focal := place.PhotoPoint{X: sharpAt, Y: 200}
	ask := Ask{
		Kind: Edges, Crop: crop, Canvas: place.Size{Width: 620, Height: 380, Unit: place.Millimetre},
		Steps: equal(t, 5), Smallest: 20, Focal: &focal,
	}
	found := answer(t, NewCopy(pyramidOf(p), 0, 0, 1, crop), ask)
	e := found.Edges
	for name, s := range map[string]shape.EdgeShares{"edges": e.Shares, "outlines": e.Outlines} {
		if sum := s.Lost + s.Soft + s.Firm + s.Sharp; !near(sum, 1, 1e-9) || min(s.Lost, s.Soft, s.Firm, s.Sharp) < 0 {
			t.Errorf("the shares of the %s, %+v, come to %v", name, s, sum)
		}
	}
	if l := e.Limits; !(0 < l.Sharp && l.Sharp < l.Firm && l.Firm < l.Soft && l.Distance > 0) {
		t.Errorf("the limits are %+v", l)
	}
	if len(e.Sharpest) == 0 || len(e.Softest) == 0 || len(e.Contrasts) == 0 || len(e.Focal) == 0 {
		t.Fatalf("found %+v", e)
	}
	for _, s := range e.Sharpest {
		if math.Abs(s.At.X-sharpAt) > 2 || s.Class != shape.Sharp.String() || s.Width > e.Limits.Sharp {
			t.Errorf("of the sharpest one is %+v", s)
		}
	}
	if s := e.Softest[0]; math.Abs(s.At.X-softAt) > softWidth/2 || !near(float64(s.Width), softWidth, 0.25) {
		t.Errorf("the softest is %+v, want one at column %d, %d mm wide", s, softAt, softWidth)
	}
	ranks := map[string]int{}
	for _, c := range e.Contrasts {
		if ranks[c.Kind]++; c.Rank != ranks[c.Kind] || c.Words == "" || !crop.Contains(c.At) {
			t.Errorf("contrast %d of %s is %+v", ranks[c.Kind], c.Kind, c)
		}
		if c.Kind == shape.ByValue.String() && c.Rank == 1 && math.Abs(c.At.X-sharpAt) > 20 {
			t.Errorf("the strongest contrast of value lies at %v", c.At)
		}
	}
	if found.Picture == nil || found.Picture.Size() != (place.Pixels{Width: 620, Height: 380}) {
		t.Error("no picture of the edges as large as the copy")
	}
}

// Warm lights and cool shadows are found, relative to a grey that is there, to white
// and to what is picked alike; and a warm light over all of it changes no verdict
// where the grey is found or picked.
func TestTonesOfKnownLight(t *testing.T) {
	warm, cool, grey := colour.SRGB{R: 224, G: 190, B: 150}, colour.SRGB{R: 50, G: 60, B: 84}, colour.SRGB{R: 150, G: 150, B: 150}
	lit := func(cast colour.Linear) (*photo.Picture, colour.SRGB) {
		p := photo.New(300, 200)
		under := func(c colour.SRGB) colour.SRGB {
			l := c.Linear()
			return colour.Linear{R: l.R * cast.R, G: l.G * cast.G, B: l.B * cast.B}.SRGB()
		}
		for i := range 300 * 200 {
			c := grey
			switch x := i % 300; {
			case x < 120:
				c = warm
			case x < 200:
				c = cool
			}
			c = under(c)
			copy(p.Pix[4*i:], []byte{c.R, c.G, c.B, 255})
		}
		return p, under(grey)
	}
	for name, cast := range map[string]colour.Linear{"daylight": {R: 1, G: 1, B: 1}, "a warmer light": {R: 1, G: 0.94, B: 0.82}} {
		p, own := lit(cast)
		crop := place.WholeCrop(p.Size())
		c := NewCopy(pyramidOf(p), 0, 0, 1, crop)
		asks := map[string]Ask{"found": {}, "picked": {Neutral: own}}
		if name == "daylight" {
			asks["white"] = Ask{White: true}
		}
		for how, ask := range asks {
			ask.Kind, ask.Crop = Tones, crop
			tones := answer(t, c, ask).Tones
			if tones.Verdict != shape.LightsWarmer || tones.Lights.Warmth <= 0 || tones.Shadows.Warmth >= 0 {
				t.Errorf("in %s, grey %s: %+v", name, how, tones)
			}
			if tones.Found != (how == "found") {
				t.Errorf("in %s, grey %s: found is %v", name, how, tones.Found)
			}
			if sum := tones.Lights.Area + tones.Shadows.Area; !near(sum, 1, 1e-9) {
				t.Errorf("in %s, grey %s: lights and shadows come to %v", name, how, sum)
			}
			got, want := tones.Neutral.Linear(), own.Linear()
			if !near(got.R/got.G, want.R/want.G, 0.03) || !near(got.B/got.G, want.B/want.G, 0.03) || max(tones.Neutral.R, tones.Neutral.G, tones.Neutral.B) != 255 {
				t.Errorf("in %s, grey %s: the neutral is %v, the grey is %v", name, how, tones.Neutral, own)
			}
		}
	}
}

// A red and a green are opposites, as large and where they are painted; through the
// red filter both mislead by a whole step.
func TestTonesOfOpposites(t *testing.T) {
	found := answer(t, sceneCopy(), Ask{Kind: Tones, Crop: sceneCrop}).Tones
	if len(found.Pairs) != 1 {
		t.Fatalf("the pairs are %+v", found.Pairs)
	}
	for i, want := range []struct {
		hue string
		c   colour.SRGB
	}{{"red", dark}, {"green", middling}} {
		side := found.Pairs[0].Sides[i]
		if side.Hue != want.hue || lies(side.At) != want.c || !near(side.Share, areas[want.c]/(300*200), 0.03) {
			t.Errorf("side %d is %+v, want %s of %v", i+1, side, want.hue, want.c)
		}
	}
	m := found.Misled
	if sum := m.WholeDarker + m.HalfDarker + m.True + m.HalfLighter + m.WholeLighter; !near(sum, 1, 1e-12) {
		t.Errorf("the shares of what misleads come to %v", sum)
	}
	shares := map[bool]float64{}
	for c, area := range areas {
		l := c.Linear()
		// IEC 61966-2-1's row for Y, and the filter's weights, each to L* by CIE 15.
		eye := colour.Luminance(0.2126*l.R + 0.7152*l.G + 0.0722*l.B).Lightness()
		through := colour.Luminance(0.75*l.R + 0.19*l.G + 0.06*l.B).Lightness()
		shares[math.Abs(float64(through-eye)) >= 10] += area / (300 * 200)
	}
	if !near(m.Half(), shares[true], 0.01) || !near(m.True, shares[false], 0.01) {
		t.Errorf("%v of it misleads and %v does not, want %v", m.Half(), m.True, shares)
	}
}

// Specks smaller than the size vanish and larger ones stay; the shares come to 1 and
// are those of the picture, which has no grey but the steps'.
func TestCleanSweepsSpecks(t *testing.T) {
	p := photo.New(240, 160)
	kept := func(x, y int) bool { return math.Hypot(float64(x)-180, float64(y)-80) < 12 }
	for i := range p.Width * p.Height {
		x, y := i%p.Width, i/p.Width
		g := uint8(200)
		if x < 120 && !(x%17 == 5 && y%13 == 6) || kept(x, y) {
			g = 50
		}
		copy(p.Pix[4*i:], []byte{g, g, g, 255})
	}
	crop := place.WholeCrop(p.Size())
	ask := Ask{Kind: Clean, Crop: crop, Canvas: place.Size{Width: 480, Height: 320}, Steps: equal(t, 2), Smallest: 12}
	found := answer(t, NewCopy(pyramidOf(p), 0, 0, 1, crop), ask)
	tones := [2]uint8{ask.Steps.Tone(1), ask.Steps.Tone(2)}
	var shown [2]int
	for i := range p.Width * p.Height {
		x, y := i%p.Width, i/p.Width
		k := slices.Index(tones[:], found.Picture.At(x, y).R)
		if k < 0 {
			t.Fatalf("pixel %d,%d is %v", x, y, found.Picture.At(x, y))
		}
		shown[k]++
		if x < 118 && k != 0 || kept(x, y) && math.Hypot(float64(x)-180, float64(y)-80) < 9 && k != 0 || x > 122 && math.Hypot(float64(x)-180, float64(y)-80) > 15 && k != 1 {
			t.Fatalf("pixel %d,%d lies in step %d", x, y, k+1)
		}
	}
	if len(found.Clean.Shares) != 2 || !(found.Clean.MeanError > 0) {
		t.Fatalf("the answer is %+v", found.Clean)
	}
	for k, share := range found.Clean.Shares {
		if !near(share, float64(shown[k])/float64(p.Width*p.Height), 1e-12) {
			t.Errorf("step %d covers %v, and is shown on %d pixels", k+1, share, shown[k])
		}
	}
}

// Progress rises from 0 to 1 and is told often; an error from it ends the work at
// once and comes back, whenever it comes.
func TestProgress(t *testing.T) {
	p := demo(t)
	crop := place.Crop{X: 300, Y: 200, Width: 500, Height: 400}
	c := NewCopy(pyramidOf(p), 0, 0, 1, crop)
	for _, k := range Kinds() {
		ask := Ask{Kind: k, Crop: crop, Canvas: place.Size{Width: 250, Height: 200}, Steps: equal(t, 5), Smallest: 15}
		var told []float64
		if _, err := New(c).Answer(ask, func(done float64) error { told = append(told, done); return nil }); err != nil {
			t.Fatal(err)
		}
		if len(told) < 4 || !slices.IsSorted(told) || told[0] < 0 || told[len(told)-1] != 1 {
			t.Errorf("%s tells %v", k, told)
		}
		for _, at := range []int{1, 2, len(told) / 2, len(told)} {
			stop, calls := errors.New("stopped"), 0
			_, err := New(c).Answer(ask, func(float64) error {
				if calls++; calls >= at {
					return stop
				}
				return nil
			})
			if !errors.Is(err, stop) || calls != at {
				t.Errorf("%s, stopped at call %d of %d, made %d calls and returned %v", k, at, len(told), calls, err)
			}
		}
	}
}

// A surveyor that was stopped answers the next question as a new one would.
func TestStoppedSurveyorGoesOn(t *testing.T) {
	c, ask := sceneCopy(), about(t, Edges)
	s := New(c)
	stop := errors.New("stopped")
	if _, err := s.Answer(ask, func(done float64) error {
		if done > 0.3 {
			return stop
		}
		return nil
	}); !errors.Is(err, stop) {
		t.Fatal(err)
	}
	for _, k := range []Kind{Flat, Edges} {
		got, err := s.Answer(about(t, k), nil)
		if err != nil {
			t.Fatal(err)
		}
		want, err := answer(t, c, about(t, k)).MarshalBinary()
		if err != nil {
			t.Fatal(err)
		}
		if data, err := got.MarshalBinary(); err != nil || string(data) != string(want) {
			t.Errorf("after a stop the answer about %s differs, %v", k, err)
		}
	}
}
