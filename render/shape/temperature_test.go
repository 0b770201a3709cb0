package shape

import (
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// photographs are the real photographs of these tests, by name.
func photographs(t *testing.T) map[string]*photo.Picture {
	t.Helper()
	names, err := filepath.Glob("../../testdata/shape/*.jpg")
	if err != nil || len(names) < 7 {
		t.Fatalf("%d photographs: %v", len(names), err)
	}
	pictures := map[string]*photo.Picture{}
	for _, name := range append(names, "../../testdata/photo/fig-in-red-bowl.jpg") {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		opened, err := photo.Decode(data)
		if err != nil {
			t.Fatal(err)
		}
		pictures[filepath.Base(name)] = opened.Picture
	}
	return pictures
}

// lit is the picture with every channel's light multiplied, in codes again.
func lit(p *photo.Picture, by colour.Linear) *photo.Picture {
	q := photo.New(p.Width, p.Height)
	var table [3][256]uint8
	for i, factor := range []float64{by.R, by.G, by.B} {
		for code := range 256 {
			table[i][code] = colour.Encode(colour.Decode(uint8(code)) * factor)
		}
	}
	for i := 0; i < len(p.Pix); i += 4 {
		q.Pix[i], q.Pix[i+1], q.Pix[i+2], q.Pix[i+3] = table[0][p.Pix[i]], table[1][p.Pix[i+1]], table[2][p.Pix[i+2]], 255
	}
	return q
}

// compare finds a picture's neutral and compares its lights with its shadows.
func compare(t *testing.T, p *photo.Picture) (Neutral, Lights) {
	t.Helper()
	n, err := FindNeutral(p, place.WholeCrop(p.Size()), nil)
	if err != nil {
		t.Fatal(err)
	}
	l, err := CompareLights(p, place.WholeCrop(p.Size()), colour.NewTemperature(n.Light), nil)
	if err != nil {
		t.Fatal(err)
	}
	return n, l
}

// Eight photographs, darkened by up to three stops in linear light and stored in
// 8-bit codes again: neutral, figures and verdict stay.
func TestVerdictDoesNotKnowExposure(t *testing.T) {
	verdicts := map[string]int{}
	for name, p := range photographs(t) {
		neutral, lights := compare(t, p)
		verdicts[lights.Verdict()]++
		for _, stop := range []float64{2, 4, 8} {
			n, l := compare(t, lit(p, colour.Linear{R: 1 / stop, G: 1 / stop, B: 1 / stop}))
			a, b := colour.Daylight.Cast(neutral.Light), colour.Daylight.Cast(n.Light)
			if off := math.Hypot(a.A-b.A, a.B-b.B); off > 0.5 || n.Found != neutral.Found {
				t.Errorf("%s: the neutral %v, with 1/%g of the light %v", name, a, stop, b)
			}
			if l.Verdict() != lights.Verdict() {
				t.Errorf("%s: %s, with 1/%g of the light %s", name, lights.Verdict(), stop, l.Verdict())
			}
			for _, pair := range [][2]Mass{{lights.Lights, l.Lights}, {lights.Shadows, l.Shadows}} {
				if math.Abs(float64(pair[0].Warmth-pair[1].Warmth)) > 0.5 || math.Abs(pair[0].Area-pair[1].Area) > 0.01 {
					t.Errorf("%s: %+v, with 1/%g of the light %+v", name, pair[0], stop, pair[1])
				}
			}
		}
	}
	if len(verdicts) != 3 {
		t.Errorf("the photographs do not try every verdict: %v", verdicts)
	}
}

// patches is a picture of flat colours side by side, each a share of the width,
// with sensor noise of one code or so.
func patches(width, height int, colours []colour.SRGB, shares []float64) *photo.Picture {
	p, r := photo.New(width, height), rand.New(rand.NewPCG(8, 9))
	for y := range height {
		for x := range width {
			k, at := 0, shares[0]
			for float64(x) >= at*float64(width) && k < len(shares)-1 {
				k++
				at += shares[k]
			}
			i := 4 * (y*width + x)
			for j, code := range []uint8{colours[k].R, colours[k].G, colours[k].B} {
				p.Pix[i+j] = uint8(min(max(int(code)+r.IntN(3)-1, 0), 255))
			}
			p.Pix[i+3] = 255
		}
	}
	return p
}

// Scenes made to be warm in the lights, cool in the lights, of one temperature,
// grey, and flat. What lies in the lights does not depend on how much of it there
// is.
func TestVerdictOnScenes(t *testing.T) {
	warm, cool, grey := colour.SRGB{R: 240, G: 200, B: 150}, colour.SRGB{R: 40, G: 55, B: 80}, colour.SRGB{R: 128, G: 128, B: 128}
	dark, pale := colour.SRGB{R: 90, G: 50, B: 25}, colour.SRGB{R: 190, G: 210, B: 240}
	for name, scene := range map[string]struct {
		colours []colour.SRGB
		verdict string
	}{
		"sun":     {[]colour.SRGB{warm, cool, grey}, LightsWarmer},
		"window":  {[]colour.SRGB{pale, dark, grey}, LightsCooler},
		"greys":   {[]colour.SRGB{{R: 220, G: 220, B: 220}, {R: 30, G: 30, B: 30}, grey}, NoClearDifference},
		"one":     {[]colour.SRGB{{R: 206, G: 186, B: 149}, {R: 64, G: 56, B: 43}, {R: 107, G: 96, B: 75}}, NoClearDifference},
		"neutral": {[]colour.SRGB{{R: 220, G: 220, B: 220}, cool, grey}, LightsWarmer},
	} {
		for _, shares := range [][]float64{{0.4, 0.4, 0.2}, {0.65, 0.2, 0.15}, {0.2, 0.65, 0.15}} {
			n, l := compare(t, patches(300, 200, scene.colours, shares))
			if l.Verdict() != scene.verdict {
				t.Errorf("%s in shares %v: %s, want %s (%+v, neutral %+v)", name, shares, l.Verdict(), scene.verdict, l, n)
			}
			if sum := l.Lights.Area + l.Shadows.Area; math.Abs(sum-1) > 1e-9 {
				t.Errorf("%s: lights and shadows are %g of the picture", name, sum)
			}
		}
	}
	flat := patches(20, 20, []colour.SRGB{warm}, []float64{1})
	for i := range flat.Pix {
		flat.Pix[i] = []byte{240, 200, 150, 255}[i%4]
	}
	if _, l := compare(t, flat); l.Verdict() != NoClearDifference || l.Shadows.Area != 0 {
		t.Errorf("a flat picture has %+v", l)
	}
}

// A grey wall under a coloured light is found to be the neutral, to half the bound
// of grey; without anything near grey white is taken.
func TestNeutralIsFound(t *testing.T) {
	for _, light := range []colour.Linear{{R: 1, G: 1, B: 1}, {R: 1, G: 0.9, B: 0.75}, {R: 0.8, G: 0.9, B: 1}} {
		scene := patches(300, 200, []colour.SRGB{{R: 150, G: 150, B: 150}, {R: 200, G: 60, B: 30}, {R: 40, G: 90, B: 160}, {R: 90, G: 90, B: 90}}, []float64{0.3, 0.3, 0.2, 0.2})
		n, _ := compare(t, lit(scene, light))
		got, want := colour.Daylight.Cast(n.Light), colour.Daylight.Cast(light)
		if off := math.Hypot(got.A-want.A, got.B-want.B); !n.Found || off > float64(colour.GreyWarmth)/2 {
			t.Errorf("under %v the neutral is %v, want %v", light, got, want)
		}
	}
	n, _ := compare(t, patches(100, 100, []colour.SRGB{{R: 200, G: 60, B: 30}, {R: 40, G: 90, B: 200}}, []float64{0.5, 0.5}))
	if n.Found || n.Light != (colour.Linear{R: 1, G: 1, B: 1}) {
		t.Errorf("without a grey the neutral is %+v", n)
	}
}

// The shares of what the filter misleads about are a count of the pixels one by
// one, and a picture of one colour is all in its class.
func TestMisledShares(t *testing.T) {
	p := photographs(t)["brushes.jpg"]
	crop := place.Crop{X: 10.5, Y: 20, Width: 200, Height: 150.25}
	for _, s := range colour.Sheets() {
		var counts [5]float64
		for y := 20; y < 170; y++ {
			for x := 10; x < 210; x++ {
				counts[s.Misled(p.At(x, y))+2] += 1.0 / (200 * 150)
			}
		}
		m, err := MisledBy(p, crop, s, nil)
		if err != nil {
			t.Fatal(err)
		}
		for i, got := range []float64{m.WholeDarker, m.HalfDarker, m.True, m.HalfLighter, m.WholeLighter} {
			if math.Abs(got-counts[i]) > 1e-9 {
				t.Errorf("%s: class %d has %g, counted %g", s, i-2, got, counts[i])
			}
		}
		if math.Abs(m.Half()+m.True-1) > 1e-9 || m.Whole() > m.Half() {
			t.Errorf("%s: shares %+v", s, m)
		}
	}
	// Cadmium red light of the table of pigments reads 1.68 steps too light.
	flat := photo.New(8, 4)
	for i := range flat.Pix {
		flat.Pix[i] = []byte{231, 56, 8, 255}[i%4]
	}
	if m, err := MisledBy(flat, place.WholeCrop(flat.Size()), colour.RedSheet, nil); err != nil || m.WholeLighter != 1 {
		t.Errorf("a red picture: %+v, %v", m, err)
	}
	if m, err := MisledBy(flat, place.Crop{X: 20, Width: 1, Height: 1}, colour.RedSheet, nil); err != nil || m != (Misled{}) {
		t.Errorf("nothing: %+v, %v", m, err)
	}
}

// Work reports how much is done, rising to 1, and ends with the error that a report
// returns.
func TestProgressAndCancelling(t *testing.T) {
	p := photo.New(2000, 1500)
	stop := errors.New("stop")
	works := map[string]func(progress func(float64) error) error{
		"neutral": func(progress func(float64) error) error {
			_, err := FindNeutral(p, place.WholeCrop(p.Size()), progress)
			return err
		},
		"lights": func(progress func(float64) error) error {
			_, err := CompareLights(p, place.WholeCrop(p.Size()), colour.Daylight, progress)
			return err
		},
		"misled": func(progress func(float64) error) error {
			_, err := MisledBy(p, place.WholeCrop(p.Size()), colour.RedSheet, progress)
			return err
		},
	}
	for name, work := range works {
		last, calls := 0.0, 0
		if err := work(func(done float64) error {
			if done < last || done > 1 {
				t.Errorf("%s: %g after %g", name, done, last)
			}
			last = done
			calls++
			return nil
		}); err != nil || last != 1 || calls < 3 {
			t.Errorf("%s: %d reports up to %g, %v", name, calls, last, err)
		}
		if err := work(func(float64) error { return stop }); !errors.Is(err, stop) {
			t.Errorf("%s goes on: %v", name, err)
		}
	}
}

// A picked grey is the neutral, whatever stands around it, and black is refused.
func TestPickNeutral(t *testing.T) {
	p := patches(90, 60, []colour.SRGB{{R: 180, G: 150, B: 110}, {R: 20, G: 200, B: 90}, {}}, []float64{0.4, 0.3, 0.3})
	n, err := PickNeutral(p, 15, 59)
	if err != nil {
		t.Fatal(err)
	}
	want := colour.Daylight.Cast(colour.SRGB{R: 180, G: 150, B: 110}.Linear())
	if got := colour.Daylight.Cast(n.Light); math.Hypot(got.A-want.A, got.B-want.B) > 0.3 {
		t.Errorf("the picked neutral is %v, want %v", got, want)
	}
	black := photo.New(9, 9)
	var problem *place.Problem
	if _, err := PickNeutral(black, 4, 4); !errors.As(err, &problem) {
		t.Errorf("black is picked: %v", err)
	}
}
