package shape

import (
	"errors"
	"math"
	"strings"
	"testing"

	colorful "github.com/lucasb-eyer/go-colorful"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// paint is a picture of the colour that a function gives at each pixel's centre.
func paint(width, height int, of func(x, y float64) colour.SRGB) *photo.Picture {
	p := photo.New(width, height)
	for y := range height {
		for x := range width {
			c := of(float64(x)+0.5, float64(y)+0.5)
			copy(p.Pix[4*(y*width+x):], []byte{c.R, c.G, c.B, 255})
		}
	}
	return p
}

// contrastsOf finds three contrasts of each kind.
func contrastsOf(t *testing.T, p *photo.Picture) *Contrasts {
	t.Helper()
	c, err := FindContrasts(p, found(t, p), 3, nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// in says whether a place is within a rectangle.
func in(p place.PhotoPoint, left, top, right, bottom float64) bool {
	return p.X >= left && p.X <= right && p.Y >= top && p.Y <= bottom
}

// The difference in colour is that of CIE 1994 without lightness: of colours of
// one lightness and one chroma it is the standard's, as go-colorful 1.4.1 works
// it out; from grey it counts chroma at half the weight that a standard of that
// chroma has, by hand: 30/(1+0.045*15) = 17.910.
func TestHueDifferenceIsCIE94(t *testing.T) {
	for _, chroma := range []float64{5, 20, 40} {
		for turn := 0.0; turn < 180; turn += 15 {
			sin, cos := math.Sincos(turn * math.Pi / 180)
			a, b := colour.Lab{L: 60, A: chroma}, colour.Lab{L: 60, A: chroma * cos, B: chroma * sin}
			want := 100 * colorful.Lab(a.L/100, a.A/100, a.B/100).DistanceCIE94(colorful.Lab(b.L/100, b.A/100, b.B/100))
			if got := hueDifference(a, b); math.Abs(got-want) > 0.01 || got != hueDifference(b, a) {
				t.Errorf("chroma %v, %v degrees: %v, want %v", chroma, turn, got, want)
			}
		}
	}
	if got := hueDifference(colour.Lab{L: 10}, colour.Lab{L: 90, B: 30}); math.Abs(got-17.910) > 0.001 {
		t.Errorf("grey against a chroma of 30: %v", got)
	}
}

// Of three patches of grey on mid-grey: the strongest contrast of value is where
// black and white meet, with their steps and lightnesses.
func TestStrongestContrastOfValue(t *testing.T) {
	p := greyScene(600, 400, 1, 1, func(x, y float64) float64 {
		switch {
		case x > 380 && x <= 440 && y > 120 && y < 280:
			return 8
		case x > 440 && x < 500 && y > 120 && y < 280:
			return 93
		case x > 60 && x < 160 && y > 60 && y < 160:
			return 75
		}
		return 50
	})
	c := contrastsOf(t, p)
	list := c.ByKind[ByValue]
	if len(list) < 2 || !in(list[0].At, 432, 120, 448, 280) {
		t.Fatalf("the strongest contrasts of value are %+v", list)
	}
	first := list[0]
	if math.Abs(first.Value-85) > 6 || math.Abs(float64(first.Dark.Lightness())-8) > 4 || math.Abs(float64(first.Light.Lightness())-93) > 3 {
		t.Errorf("black against white is %v L*, from %v to %v", first.Value, first.Dark.Lightness(), first.Light.Lightness())
	}
	if first.Dark.At.X >= first.At.X || first.Light.At.X <= first.At.X {
		t.Errorf("the dark side is at %v, the light one at %v, of %v", first.Dark.At, first.Light.At, first.At)
	}
	steps, err := EqualSteps(5)
	if err != nil {
		t.Fatal(err)
	}
	if words := first.Words(steps, place.Inch); !strings.HasPrefix(words, "step 1 against step 5, 8") {
		t.Errorf("in words: %q", words)
	}
	for i, r := range list {
		if r.Rank != i+1 || (i > 0 && r.Strength > list[i-1].Strength) {
			t.Errorf("contrast %d has rank %d and strength %v", i+1, r.Rank, r.Strength)
		}
	}
	if hue := c.ByKind[ByHue]; len(hue) > 0 && hue[0].Hue > 1 {
		t.Errorf("greys differ in hue by %v", hue[0].Hue)
	}
}

// Of patches of one lightness on grey, red beside green is the strongest
// contrast of hue, and no contrast of value.
func TestStrongestContrastOfHue(t *testing.T) {
	red, green, blue := colour.SRGB{R: 203, G: 60, B: 50}, colour.SRGB{R: 60, G: 129, B: 40}, colour.SRGB{R: 95, G: 116, B: 170}
	grey := colour.GreyOf(red.Lightness())
	p := paint(600, 400, func(x, y float64) colour.SRGB {
		switch {
		case x > 100 && x <= 170 && y > 100 && y < 260:
			return red
		case x > 170 && x < 240 && y > 100 && y < 260:
			return green
		case x > 400 && x < 500 && y > 120 && y < 220:
			return blue
		}
		return grey
	})
	c := contrastsOf(t, p)
	list := c.ByKind[ByHue]
	if len(list) == 0 || !in(list[0].At, 160, 100, 180, 260) {
		t.Fatalf("the strongest contrasts of hue are %+v", list)
	}
	first := list[0]
	if want := hueDifference(red.Lab(), green.Lab()); math.Abs(first.Hue/want-1) > 0.1 {
		t.Errorf("red against green is %v, want %v", first.Hue, want)
	}
	if first.Value > 4 {
		t.Errorf("red and green of one lightness differ by %v L*", first.Value)
	}
	hues := []float64{first.Dark.Hue(), first.Light.Hue()}
	if min(hues[0], hues[1]) > 45 || max(hues[0], hues[1]) < 120 {
		t.Errorf("the hues are %v degrees", hues)
	}
}

// Stripes with razor edges beside stripes eight times as wide at the edges: the
// strongest contrast of sharpness is where they meet.
func TestStrongestContrastOfSharpness(t *testing.T) {
	const near, far = 3.0, 24.0
	p := greyScene(800, 500, 0.5, 2, func(x, y float64) float64 {
		// Without a seam, which would be an edge of its own.
		width := near * math.Pow(far/near, min(max((x-460)/80, 0), 1))
		// Level stripes 80 px wide.
		s := math.Mod(y, 160)
		edge := func(at float64) float64 { return math.Erf((s - at) / (width / widthOfSigma * math.Sqrt2)) }
		return 50 + 20*(edge(40)-edge(120)-1)
	})
	c := contrastsOf(t, p)
	list := c.ByKind[BySharpness]
	if len(list) == 0 || math.Abs(list[0].At.X-500) > 40 {
		t.Fatalf("the strongest contrasts of sharpness are %+v", list)
	}
	if got := list[0].Octaves; math.Abs(got-3) > 0.6 {
		t.Errorf("edges 8 times as wide differ by %v octaves", got)
	}
	if words := list[0].sharpness(place.Millimetre); !strings.Contains(words, "mm wide against") {
		t.Errorf("in words: %q", words)
	}
}

// The more two areas are made to differ, the stronger the contrast is; a lone
// speck smaller than any area weighs less than an area.
func TestContrastsRise(t *testing.T) {
	before := 0.0
	for difference := 5.0; difference <= 60; difference += 5 {
		p := greyScene(400, 300, 0.5, 3, func(x, y float64) float64 {
			if x > 200 {
				return 50 + difference/2
			}
			return 50 - difference/2
		})
		got := contrastsOf(t, p).ByKind[ByValue][0].Strength
		if !(got > before) || math.Abs(got/difference-1) > 0.1 {
			t.Errorf("%v L* apart gives %v after %v", difference, got, before)
		}
		before = got
	}
	p := greyScene(400, 300, 0, 3, func(x, y float64) float64 {
		switch {
		case math.Hypot(x-100, y-150) < 2:
			return 100
		case x > 300:
			return 60
		}
		return 30
	})
	if at := contrastsOf(t, p).ByKind[ByValue][0].At; math.Abs(at.X-300) > 8 {
		t.Errorf("the strongest contrast is at %v, not at the border of the large area", at)
	}
}

// The kinds weigh together as the root of the sum of squares.
func TestContrastOfAllKinds(t *testing.T) {
	c := Contrasts{Limits: EdgeLimits{Sharp: 2, Soft: 64}}
	if got := c.strength(ByAll, 30, 40, 0); math.Abs(got-50) > 1e-12 {
		t.Errorf("30 and 40 come to %v", got)
	}
	// From 1 mm, half of the widest sharp edge, to 64 mm are 6 octaves.
	if got := c.strength(ByAll, 0, 0, 3); math.Abs(got-25) > 1e-12 {
		t.Errorf("half of all octaves come to %v", got)
	}
	if got := c.strength(ByAll, 0, 0, 30); math.Abs(got-50) > 1e-12 {
		t.Errorf("more octaves than there are come to %v", got)
	}
}

// The strongest contrast is told from the focal point by arithmetic: 100 pixels
// are an inch.
func TestFocus(t *testing.T) {
	m := place.Mapping{Crop: place.Crop{Width: 2400, Height: 3600}, Canvas: place.Size{Width: 24 * 25.4, Height: 36 * 25.4}}
	c := &Contrasts{Mapping: m}
	c.ByKind[ByValue] = []Contrast{
		{Kind: ByValue, Rank: 1, At: place.PhotoPoint{X: 1500, Y: 1000}, Radius: 25, Strength: 60},
		{Kind: ByValue, Rank: 2, At: place.PhotoPoint{X: 800, Y: 1010}, Radius: 25, Strength: 50},
	}
	for _, k := range []struct {
		x, y  float64
		words string
		rank  int
	}{
		{1500, 1100, "the strongest contrast of value lies at your focal point", 1},
		{800, 1000, "the strongest contrast of value is 7 in right of your focal point; number 2 is near it", 2},
		{1500, 2550, "the strongest contrast of value is 15 1/2 in above your focal point", 0},
		{2100, 200, "the strongest contrast of value is 10 in below and left of your focal point", 0},
	} {
		list := c.Focus(place.PhotoPoint{X: k.x, Y: k.y})
		if len(list) != 1 || list[0].Rank != k.rank || list[0].There != (k.rank == 1) {
			t.Fatalf("from %v,%v: %+v", k.x, k.y, list)
		}
		if got := list[0].Words(place.Inch); got != k.words {
			t.Errorf("from %v,%v: %q, want %q", k.x, k.y, got, k.words)
		}
	}
}

func TestContrastsTellHowFarTheyAre(t *testing.T) {
	p := greyScene(900, 700, 1, 1, blurredStep(450, 350, 3, 20, 20, 80))
	e := found(t, p)
	var told []float64
	if _, err := FindContrasts(p, e, 3, func(done float64) error { told = append(told, done); return nil }); err != nil {
		t.Fatal(err)
	}
	if len(told) < 10 || told[len(told)-1] != 1 || told[0] > 0.2 || told[len(told)-2] < 0.7 {
		t.Errorf("told %v", told)
	}
	stop := errors.New("stop")
	if c, err := FindContrasts(p, e, 3, func(float64) error { return stop }); !errors.Is(err, stop) || c != nil {
		t.Errorf("stopped: %v", err)
	}
	small := photo.New(20, 20)
	if c, err := FindContrasts(small, e, 3, nil); err == nil || c != nil || place.Hint(err) == "" {
		t.Errorf("another picture: %v", err)
	}
}
