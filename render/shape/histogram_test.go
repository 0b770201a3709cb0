package shape

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/place"
)

// noise is a picture of random colours, four bytes a pixel.
func noise(seed uint64, width, height int) []byte {
	r := rand.New(rand.NewPCG(seed, 2))
	pix := make([]byte, 4*width*height)
	for i := range pix {
		pix[i] = byte(r.Uint32())
	}
	return pix
}

// Shares equal a count of the pixels one by one, for every number of steps,
// both meters and a crop whose edges fall on and between pixel centres.
func TestSharesEqualCountingEachPixel(t *testing.T) {
	const width, height = 211, 97
	pix := noise(1, width, height)
	crops := []place.Crop{
		{Width: width, Height: height},
		{X: 10.5, Y: 3.25, Width: 100, Height: 50.5},
		{X: 10.51, Y: 3.5, Width: 99.99, Height: 1},
		{X: -5, Y: -5, Width: 1000, Height: 1000},
	}
	for _, crop := range crops {
		for _, m := range []*colour.Meter{colour.EyeMeter, colour.FilterMeter} {
			var h Histogram
			h.AddRows(m, pix, width, 0, crop)
			for n := FewestSteps; n <= MostSteps; n++ {
				s, err := EqualSteps(n)
				if err != nil {
					t.Fatal(err)
				}
				if got, want := h.Shares(s), countEach(m, pix, width, height, crop, s); !slices.Equal(got, want) {
					t.Errorf("crop %v, %d steps: shares %v, counted one by one %v", crop, n, got, want)
				}
			}
		}
	}
}

// countEach is the definition of shares: each pixel whose centre the crop
// holds, put into its step.
func countEach(m *colour.Meter, pix []byte, width, height int, c place.Crop, s Steps) []float64 {
	counts, total := make([]int, s.Count()), 0
	for y := range height {
		for x := range width {
			cx, cy := float64(x)+0.5, float64(y)+0.5
			if cx < c.X || cy < c.Y || cx >= c.X+c.Width || cy >= c.Y+c.Height {
				continue
			}
			i := 4 * (y*width + x)
			counts[s.Of(m.Read(pix[i], pix[i+1], pix[i+2]))-1]++
			total++
		}
	}
	shares := make([]float64, s.Count())
	for k, n := range counts {
		shares[k] = float64(n) / float64(total)
	}
	return shares
}

// A bin starts at every edge of every number of equal steps and at every gap
// between two grey codes, and holds the light from there up to the next.
func TestBins(t *testing.T) {
	s := binScale()
	if len(s.Edges()) != Bins+1 || !slices.IsSorted(s.Edges()) {
		t.Fatalf("there are %d edges, in order: %v", len(s.Edges()), slices.IsSorted(s.Edges()))
	}
	for i := 1; i < Bins; i++ {
		e := s.Edges()[i]
		if s.Part(e) != i || s.Part(e-1) != i-1 {
			t.Fatalf("about edge %d: bins %d and %d", i, s.Part(e-1), s.Part(e))
		}
	}
	if s.Part(0) != 0 || s.Part(colour.FullLight) != Bins-1 {
		t.Errorf("black is in bin %d, white in %d", s.Part(0), s.Part(colour.FullLight))
	}
	gaps := colour.GreyThresholds()
	wanted := gaps[:]
	for n := FewestSteps; n <= MostSteps; n++ {
		s, err := EqualSteps(n)
		if err != nil {
			t.Fatal(err)
		}
		wanted = append(wanted, s.Thresholds()...)
	}
	for _, l := range wanted {
		if _, found := slices.BinarySearch(s.Edges(), l); !found {
			t.Errorf("no bin starts at light %d", l)
		}
	}
	r := rand.New(rand.NewPCG(3, 4))
	for range 100000 {
		l := colour.Light(r.IntN(int(colour.FullLight) + 1))
		if b := s.Part(l); l < s.Edges()[b] || l >= s.Edges()[b+1] {
			t.Fatalf("light %d is in bin %d, which holds %d up to %d", l, b, s.Edges()[b], s.Edges()[b+1])
		}
	}
}

// The histogram by grey code counts each pixel at the code nearest to it.
func TestCodes(t *testing.T) {
	const width, height = 90, 70
	pix := noise(8, width, height)
	var h Histogram
	h.AddRows(colour.EyeMeter, pix, width, 0, place.Crop{Width: width, Height: height})
	var want [256]uint64
	for i := 0; i < len(pix); i += 4 {
		want[colour.EyeMeter.Read(pix[i], pix[i+1], pix[i+2]).Grey()]++
	}
	if got := h.Codes(); got != want {
		t.Errorf("the codes are %v, want %v", got, want)
	}
}

// A histogram survives being sent as bytes.
func TestHistogramBytes(t *testing.T) {
	var h, back Histogram
	h.AddRows(colour.EyeMeter, noise(9, 50, 50), 50, 0, place.Crop{Width: 50, Height: 50})
	h.AddLight(colour.FullLight+9, 3) // brighter than white counts as white's bin
	if h.Bins[Bins-1] < 3 {
		t.Errorf("the lightest bin holds %d", h.Bins[Bins-1])
	}
	if err := back.SetBytes(h.Bytes()); err != nil || back != h {
		t.Errorf("it comes back with %d pixels of %d: %v", back.Total(), h.Total(), err)
	}
	if err := back.SetBytes(h.Bytes()[1:]); err == nil {
		t.Error("a byte too few is read")
	}
}

// Strips of rows, one after another or in two halves added up, count the same
// as the whole.
func TestStripsCountAsTheWhole(t *testing.T) {
	const width, height = 64, 50
	pix := noise(5, width, height)
	crop := place.Crop{X: 3.3, Y: 7.5, Width: 40, Height: 30}
	var whole, strips, rest Histogram
	whole.AddRows(colour.EyeMeter, pix, width, 0, crop)
	for top := 0; top < height; top += 7 {
		h := &strips
		if top > 20 {
			h = &rest
		}
		h.AddRows(colour.EyeMeter, pix[4*width*top:4*width*min(top+7, height)], width, top, crop)
	}
	strips.Add(&rest)
	if strips != whole || whole.Total() != 40*30 {
		t.Errorf("strips count %d pixels, the whole %d, want 1200 each in the same bins", strips.Total(), whole.Total())
	}
}

func TestNothingToCount(t *testing.T) {
	s, err := EqualSteps(4)
	if err != nil {
		t.Fatal(err)
	}
	nan := math.NaN()
	for _, crop := range []place.Crop{{}, {X: 5, Y: 5, Width: -3, Height: 9}, {X: 100, Width: 5, Height: 5}, {X: nan, Y: nan, Width: nan, Height: nan}} {
		var h Histogram
		h.AddRows(colour.EyeMeter, noise(6, 8, 8), 8, 0, crop)
		h.AddRows(colour.EyeMeter, nil, 0, 0, crop)
		if h.Total() != 0 || !slices.Equal(h.Shares(s), make([]float64, 4)) {
			t.Errorf("crop %v counts %d pixels, shares %v", crop, h.Total(), h.Shares(s))
		}
	}
}

func BenchmarkAddRows(b *testing.B) {
	pix := noise(7, 1000, 1000)
	var h Histogram
	crop := place.Crop{Width: 1000, Height: 1000}
	for b.Loop() {
		h.AddRows(colour.EyeMeter, pix, 1000, 0, crop)
	}
}
