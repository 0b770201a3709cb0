package shape

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// found finds the edges of a whole picture on a canvas half a metre wide.
func found(t testing.TB, p *photo.Picture) *Edges {
	t.Helper()
	e, err := FindEdges(p, wholeOn(p, 500), 0, nil)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// points are all places of edges.
func (e *Edges) points() []EdgePoint { return slices.Concat(e.Strands...) }

// middle is the median of a figure of some places.
func middle(points []EdgePoint, figure func(EdgePoint) float64) float64 {
	if len(points) == 0 {
		return math.NaN()
	}
	list := make([]float64, len(points))
	for i, p := range points {
		list[i] = figure(p)
	}
	slices.Sort(list)
	return list[len(list)/2]
}

func widthOf(p EdgePoint) float64  { return float64(p.Pixels) }
func strength(p EdgePoint) float64 { return float64(p.Contrast) }

// Straight edges blurred by a Gaussian, of widths from 1 to 100 pixels from 10
// to 90 %, in four directions, of two contrasts, in noise of 1 and 2 L*, come
// back within 10 % of the width that they were made with, and 5 % of the
// contrast. Between 10 and 90 % of a normal distribution lie 2.5631 standard
// deviations (any table of it).
func TestWidthsOfBlurredEdges(t *testing.T) {
	for _, width := range []float64{1, 1.3, 2, 3, 4, 5, 7, 10, 14, 20, 28, 40, 70, 100} {
		side := 400
		if width > 40 {
			side = 800
		}
		for k, degrees := range []float64{0, 17, 45, 110} {
			for _, contrast := range []float64{20, 60} {
				noise := float64(1 + (k+int(width))%2)
				centre := float64(side)/2 + 0.17*float64(k)
				p := greyScene(side, side, noise, uint64(k), blurredStep(centre, centre, width/2.5631, degrees, 50-contrast/2, 50+contrast/2))
				points := found(t, p).points()
				name := fmt.Sprintf("%v px wide at %v degrees, %v L* in noise of %v", width, degrees, contrast, noise)
				if got := middle(points, widthOf); !(math.Abs(got/width-1) <= 0.1) {
					t.Errorf("%s: measured %.2f px", name, got)
				}
				if got := middle(points, strength); !(math.Abs(got/contrast-1) <= 0.05) {
					t.Errorf("%s: measured %.1f L*", name, got)
				}
			}
		}
	}
}

// Light itself blurred, as a lens does it, makes edges uneven in lightness, up to
// a sixth wider from black to white; the width in lightness still comes back
// within 10 %.
func TestWidthsOfEdgesBlurredInLight(t *testing.T) {
	for _, sides := range [][2]colour.Lightness{{20, 35}, {35, 65}, {60, 80}, {20, 80}, {5, 95}} {
		dark, light := float64(sides[0].Luminance()), float64(sides[1].Luminance())
		for _, sigma := range []float64{1, 3, 8} {
			across := blurredStep(150.3, 150, sigma, 20, dark, light)
			lightness := func(x, y float64) float64 { return float64(colour.Luminance(across(x, y)).Lightness()) }
			// How far the edge takes from a tenth to nine tenths in lightness,
			// along the direction in which it rises.
			profile := blurredStep(0, 0, sigma, 0, dark, light)
			reaches := func(share float64) float64 {
				want := float64(sides[0]) + share*float64(sides[1]-sides[0])
				low, high := -6*sigma, 6*sigma
				for range 60 {
					if middle := (low + high) / 2; float64(colour.Luminance(profile(middle, 0)).Lightness()) < want {
						low = middle
					} else {
						high = middle
					}
				}
				return low
			}
			want := reaches(0.9) - reaches(0.1)
			got := middle(found(t, greyScene(300, 300, 1, 5, lightness)).points(), widthOf)
			if !(math.Abs(got/want-1) <= 0.1) {
				t.Errorf("L* %v to %v, sigma %v in light: measured %.2f px, is %.2f px", sides[0], sides[1], sigma, got, want)
			}
		}
	}
}

// Noise makes no edges: of 24 pictures of nothing but noise, 700 x 500 pixels,
// no more than three hold any, where one in twenty may by the rule.
func TestNoEdgesInNoise(t *testing.T) {
	with := 0
	for seed := range uint64(24) {
		noise := []float64{0.3, 1, 2, 4}[seed%4]
		p := greyScene(700, 500, noise, seed, func(x, y float64) float64 { return 50 })
		e := found(t, p)
		if len(e.Strands) > 0 {
			with++
		}
		if want := math.Hypot(noise, storedNoise); math.Abs(e.Noise/want-1) > 0.1 {
			t.Errorf("noise of %v L* is measured as %.2f", noise, e.Noise)
		}
	}
	if with > 3 {
		t.Errorf("%d of 24 pictures of noise hold edges", with)
	}
}

// A slope is no edge, however strong.
func TestNoEdgesOnASlope(t *testing.T) {
	p := greyScene(400, 300, 0.5, 9, func(x, y float64) float64 { return 10 + x/5 })
	for _, s := range found(t, p).Strands {
		t.Errorf("an edge of %v px and %v L* at %v", s[0].Pixels, s[0].Contrast, s[0].At)
	}
}

// Edges lie where they were made, and rise towards the lighter side, whatever
// the crop.
func TestPlacesOfEdges(t *testing.T) {
	for _, width := range []float64{2, 8, 30} {
		p := greyScene(420, 380, 1, 3, blurredStep(230, 170, width/widthOfSigma, 30, 30, 70))
		m := place.Mapping{
			Crop:   place.Crop{X: 40.4, Y: 20.5, Width: 340, Height: 320},
			Canvas: place.Size{Width: 680, Height: 640},
		}
		e, err := FindEdges(p, m, 0, nil)
		if err != nil {
			t.Fatal(err)
		}
		sin, cos := math.Sincos(30 * math.Pi / 180)
		for _, q := range e.points() {
			if off := (q.At.X-230)*cos + (q.At.Y-170)*sin; math.Abs(off) > max(0.5, width/8) {
				t.Errorf("%v px wide: %v is %.2f px off the edge", width, q.At, off)
			}
			if alike := float64(q.LightX)*cos + float64(q.LightY)*sin; alike < 0.95 {
				t.Errorf("%v px wide: the edge at %v rises towards %v, %v", width, q.At, q.LightX, q.LightY)
			}
			if math.Abs(float64(q.Width)/float64(q.Pixels)-2) > 1e-3 {
				t.Fatalf("%v px are %v mm, with 2 mm a pixel", q.Pixels, q.Width)
			}
			if !m.Crop.Contains(q.At) {
				t.Errorf("%v is outside the crop", q.At)
			}
		}
		if got := middle(e.points(), widthOf); !(math.Abs(got/width-1) <= 0.1) {
			t.Errorf("%v px wide in a crop: measured %v", width, got)
		}
	}
}

// On a stretched canvas a width is measured across the edge: an upright edge in
// the canvas's wide pixels, a level one in its high ones.
func TestWidthsOnAStretchedCanvas(t *testing.T) {
	for degrees, mm := range map[float64]float64{0: 3, 90: 1} {
		p := greyScene(200, 200, 0.5, 4, blurredStep(100, 100, 2, degrees, 30, 70))
		m := place.Mapping{Crop: place.WholeCrop(p.Size()), Canvas: place.Size{Width: 600, Height: 200}}
		e, err := FindEdges(p, m, 0, nil)
		if err != nil {
			t.Fatal(err)
		}
		got := middle(e.points(), func(q EdgePoint) float64 { return float64(q.Width) })
		if want := 2 * 2.5631 * mm; !(math.Abs(got/want-1) <= 0.1) {
			t.Errorf("at %v degrees the edge is %.2f mm wide, want %.2f", degrees, got, want)
		}
	}
}

// The limits at a distance of 1 m are what 4, 20 and 300 minutes of arc make
// there by trigonometry, unless the photograph's pixels are coarser.
func TestLimitsByViewingAngle(t *testing.T) {
	fine := place.Mapping{Crop: place.Crop{Width: 8000, Height: 6000}, Canvas: place.Size{Width: 800, Height: 600}}
	l := LimitsOf(fine, 1000)
	for _, c := range []struct{ got, want place.MM }{{l.Sharp, 1.1636}, {l.Firm, 5.8178}, {l.Soft, 87.3219}} {
		if math.Abs(float64(c.got-c.want)) > 1e-3 {
			t.Errorf("a limit is %v mm, want %v", c.got, c.want)
		}
	}
	if own := LimitsOf(fine, 0); own.Distance != 1000 || own != l {
		t.Errorf("the diagonal of 800 x 600 mm gives %+v", own)
	}
	coarse := fine
	coarse.Crop = place.Crop{Width: 80, Height: 60}
	if got := LimitsOf(coarse, 1000); got.Sharp != 25 || got.Firm != 60 || got.Soft != 180 {
		t.Errorf("pixels of 10 mm give %+v", got)
	}
	for _, c := range []struct {
		width    place.MM
		contrast float64
		want     EdgeClass
	}{
		{0.5, 2.2, NoEdge}, {0.5, 4.9, Lost}, {0.5, 5, Sharp}, {1.16, 90, Sharp}, {1.17, 90, Firm},
		{5.8, 90, Firm}, {5.9, 90, Soft}, {87.3, 90, Soft}, {87.4, 90, Lost}, {place.MM(math.NaN()), 90, Lost},
	} {
		if got := l.Class(c.width, c.contrast); got != c.want {
			t.Errorf("%v mm and %v L* are %v, want %v", c.width, c.contrast, got, c.want)
		}
	}
}

// bands is a picture of upright edges 200 pixels apart, from dark to light and
// back, of the given widths, with level ends.
func bands(widths []float64, contrast, noise float64) *photo.Picture {
	return greyScene(200*len(widths), 300, noise, 11, func(x, y float64) float64 {
		k := min(int(x/200), len(widths)-1)
		sign := 1 - 2*float64(k%2)
		s := (x - float64(200*k+100)) * sign
		return 50 + contrast/2*(1-math.Erfc(s/(widths[k]/widthOfSigma*math.Sqrt2)))
	})
}

// Edges of one width each, as many as there are classes, share the length; the
// widest is lost. The canvas is 1 mm a pixel and seen from 0.8 m, where the
// limits are 2.5 and 6 mm, which are pixels, and 69.9 mm.
func TestSharesAndLists(t *testing.T) {
	p := bands([]float64{1.8, 4.5, 35, 90}, 40, 0.5)
	m := wholeOn(p, 800)
	e, err := FindEdges(p, m, 800, nil)
	if err != nil {
		t.Fatal(err)
	}
	shares, length := e.Shares()
	for name, share := range map[string]float64{"sharp": shares.Sharp, "firm": shares.Firm, "soft": shares.Soft, "lost": shares.Lost} {
		if math.Abs(share-0.25) > 0.06 {
			t.Errorf("%s edges are %.3f of the length, want a quarter", name, share)
		}
	}
	if length < 1000 || length > 1250 {
		t.Errorf("four edges of 300 mm come to %v mm", length)
	}
	sharpest, softest := e.Sharpest(3), e.Softest(3)
	if len(sharpest) == 0 || math.Abs(sharpest[0].At.X-100) > 1 || sharpest[0].Class != Sharp {
		t.Errorf("the sharpest are %+v", sharpest)
	}
	if len(softest) == 0 || math.Abs(softest[0].At.X-700) > 12 || math.Abs(float64(softest[0].Width)/90-1) > 0.1 {
		t.Errorf("the softest are %+v", softest)
	}
	for _, list := range [][]EdgeStretch{sharpest, softest} {
		for i, a := range list {
			for _, b := range list[:i] {
				if d := e.between(a.At, b.At); d < arc(apartArc, 800) {
					t.Errorf("two stretches listed are %v mm apart", d)
				}
			}
		}
	}
}

// The wider an edge was made the wider it is measured.
func TestWidthsRise(t *testing.T) {
	before := 0.0
	for width := 1.0; width < 60; width *= 1.35 {
		got := middle(found(t, greyScene(400, 400, 1, 2, blurredStep(200, 200, width/widthOfSigma, 33, 30, 70))).points(), widthOf)
		if !(got > before) {
			t.Errorf("%.2f px is measured as %.2f after %.2f", width, got, before)
		}
		before = got
	}
}

func TestMapAndNear(t *testing.T) {
	p := greyScene(300, 200, 0.5, 6, blurredStep(150, 100, 0.8, 0, 30, 70))
	e := found(t, p)
	m := e.Map()
	if m.Width != 300 || m.Height != 200 || len(m.Class) != 300*200 {
		t.Fatalf("the map is %d x %d of %d", m.Width, m.Height, len(m.Class))
	}
	rows := 0
	for y := range 200 {
		for x := range 300 {
			class := m.Class[y*300+x]
			if class != NoEdge && (x < 148 || x > 151) {
				t.Errorf("pixel %d,%d is %v", x, y, class)
			}
			if class == Sharp {
				rows++
			}
		}
	}
	if rows < 190 {
		t.Errorf("%d pixels of an edge of 200 rows are sharp", rows)
	}
	if q, ok := e.Near(place.PhotoPoint{X: 145, Y: 90}, 6); !ok || math.Abs(q.At.X-150) > 0.5 || math.Abs(q.At.Y-90) > 1 {
		t.Errorf("nearest to 145,90 is %v, %v", q.At, ok)
	}
	if _, ok := e.Near(place.PhotoPoint{X: 140, Y: 90}, 6); ok {
		t.Error("an edge 10 px off is near")
	}
}

// Along a line on which an edge goes from sharp to soft and then ends, the runs
// say so, in order and without a gap.
func TestAlongOutline(t *testing.T) {
	p := greyScene(300, 600, 0.5, 8, func(x, y float64) float64 {
		sigma, contrast := 0.8, 40.0
		if y > 200 {
			sigma = 11
		}
		if y > 400 {
			contrast = 0
		}
		return 50 - contrast/2*math.Erf((x-150)/(sigma*math.Sqrt2))
	})
	e, err := FindEdges(p, wholeOn(p, 300), 1200, nil)
	if err != nil {
		t.Fatal(err)
	}
	// A line in stairs about the edge, as outlines along pixels are.
	var line []place.PhotoPoint
	for y := 10; y < 590; y++ {
		line = append(line, place.PhotoPoint{X: float64(150 + y%2), Y: float64(y)}, place.PhotoPoint{X: float64(150 + y%2), Y: float64(y + 1)})
	}
	runs := e.AlongOutline([][]place.PhotoPoint{line, nil, line[:1]}, 4)
	if len(runs) != 3 || len(runs[1]) != 0 || len(runs[2]) != 0 {
		t.Fatalf("three lines give %d lists: %v", len(runs), runs)
	}
	var classes []EdgeClass
	at := place.MM(0)
	for _, r := range runs[0] {
		classes = append(classes, r.Class)
		if r.From != at || r.To <= r.From {
			t.Errorf("a run goes from %v to %v after %v", r.From, r.To, at)
		}
		at = r.To
	}
	// Stairs make the line twice as long: 2 mm for each row.
	if math.Abs(float64(at)-2*580) > 4 {
		t.Errorf("the runs end at %v mm", at)
	}
	compact := slices.DeleteFunc(slices.Clone(runs[0]), func(r OutlineRun) bool { return r.To-r.From < 60 })
	if len(compact) != 3 || compact[0].Class != Sharp || compact[1].Class != Soft || compact[2].Class != Lost {
		t.Fatalf("the runs are %v: %+v", classes, runs[0])
	}
	if math.Abs(float64(compact[1].From)-2*190) > 60 || math.Abs(float64(compact[2].From)-2*390) > 60 {
		t.Errorf("the runs begin at %v and %v mm, want 380 and 780", compact[1].From, compact[2].From)
	}
	if w := float64(compact[1].Width); math.Abs(w/(11*widthOfSigma)-1) > 0.2 {
		t.Errorf("the soft run is %v mm wide, was made %v", w, 11*widthOfSigma)
	}
}

func TestEdgesTellHowFarTheyAre(t *testing.T) {
	p := greyScene(900, 700, 1, 1, blurredStep(450, 350, 3, 20, 20, 80))
	var told []float64
	if _, err := FindEdges(p, wholeOn(p, 500), 0, func(done float64) error { told = append(told, done); return nil }); err != nil {
		t.Fatal(err)
	}
	if len(told) < 20 || !slices.IsSorted(told) || told[0] > 0.2 || told[len(told)-1] != 1 || told[len(told)-2] < 0.8 {
		t.Errorf("told %v", told)
	}
	stop := errors.New("stop")
	calls := 0
	e, err := FindEdges(p, wholeOn(p, 500), 0, func(float64) error {
		calls++
		if calls == 5 {
			return stop
		}
		return nil
	})
	if !errors.Is(err, stop) || e != nil || calls != 5 {
		t.Errorf("stopped at the fifth call of %d: %v", calls, err)
	}
}

func TestEdgesOfWhatCannotBeMeasured(t *testing.T) {
	p := greyScene(40, 30, 1, 1, func(x, y float64) float64 { return x })
	canvas := place.Size{Width: 100, Height: 100}
	for _, crop := range []place.Crop{
		{}, {X: 5, Y: 5, Width: 100, Height: 10}, {Width: 13, Height: 30}, {X: math.NaN(), Y: 1, Width: 20, Height: 20},
	} {
		if e, err := FindEdges(p, place.Mapping{Crop: crop, Canvas: canvas}, 0, nil); err == nil || e != nil || place.Hint(err) == "" {
			t.Errorf("crop %v gives the error %v", crop, err)
		}
	}
}

// Whatever a small picture holds, edges are measured without a fault, and every
// figure is a number within its bounds.
func FuzzFindEdges(f *testing.F) {
	f.Add(uint64(1), uint8(14), uint8(14), uint8(0))
	f.Add(uint64(2), uint8(40), uint8(33), uint8(7))
	f.Add(uint64(3), uint8(200), uint8(15), uint8(255))
	f.Fuzz(func(t *testing.T, seed uint64, width, height, grain uint8) {
		w, h := max(int(width), smallestScene), max(int(height), smallestScene)
		p := photo.New(w, h)
		source := noise(seed, w, h)
		for i := range p.Pix {
			x, y := i/4%w, i/4/w
			g := int(grain)%9 + 1
			p.Pix[i] = source[4*(y/g*w+x/g)+i%4]
		}
		for _, q := range found(t, p).points() {
			if !(q.Pixels > 0) || !(q.Contrast >= FaintestEdge) || math.IsInf(float64(q.Contrast), 0) || q.Class == NoEdge ||
				q.At.X < 0 || q.At.Y < 0 || q.At.X > float64(w) || q.At.Y > float64(h) {
				t.Fatalf("an edge is %+v", q)
			}
		}
	})
}

func BenchmarkFindEdges(b *testing.B) {
	p := greyScene(1600, 1250, 1, 1, func(x, y float64) float64 { return 50 + 30*math.Sin(x/9)*math.Sin(y/13) })
	for b.Loop() {
		found(b, p)
	}
}
