package shape

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

const testdata = "../../testdata/"

// countedPhotographs are histograms by grey code of 21 photographs, from the table that
// "maulstick steps -histogram -json" made: eight of the project's samples and the
// thirteen that the published mean errors are of.
func countedPhotographs(t *testing.T) (samples, table map[string]*Histogram) {
	t.Helper()
	samples, table = map[string]*Histogram{}, map[string]*Histogram{}
	rows := parted(t, "shape/grey_codes.tsv")
	for i, name := range rows[0][1:] {
		h := new(Histogram)
		for code, row := range rows[1:] {
			n, err := strconv.ParseUint(row[i+1], 10, 64)
			if err != nil || row[0] != strconv.Itoa(code) {
				t.Fatalf("row %d of the table: %v", code, err)
			}
			h.AddLight(grey(code), n)
		}
		if sample, ok := strings.CutPrefix(name, "sample:"); ok {
			samples[sample] = h
		} else {
			table[name] = h
		}
	}
	if len(samples) != 8 || len(table) != 13 {
		t.Fatalf("there are %d samples and %d of the table", len(samples), len(table))
	}
	return samples, table
}

// parted reads a table below testdata.
func parted(t *testing.T, name string) [][]string {
	t.Helper()
	data, err := os.ReadFile(testdata + name)
	if err != nil {
		t.Fatal(err)
	}
	var rows [][]string
	for line := range strings.Lines(string(data)) {
		rows = append(rows, strings.Split(strings.TrimSuffix(line, "\n"), "\t"))
	}
	return rows
}

// grey is the light of a grey code.
func grey(code int) colour.Light {
	return colour.EyeMeter.Read(uint8(code), uint8(code), uint8(code))
}

// fit is steps that are there.
func fit(t *testing.T, s Steps, err error) Steps {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// small is a histogram of a few grey codes.
func small(r *rand.Rand, most int) (h *Histogram, codes []int, counts []float64) {
	h = new(Histogram)
	codes = r.Perm(256)[:1+r.IntN(most)]
	slices.Sort(codes)
	for _, code := range codes {
		n := uint64(1 + r.IntN(1000))
		h.AddLight(grey(code), n)
		counts = append(counts, float64(n))
	}
	return h, codes, counts
}

// brute is the least sum of costs over every way to part a list into n runs, none
// of them empty unless there are too few.
func brute(from, end, n int, cost func(from, to int) float64) float64 {
	if n == 1 || from == end {
		if from == end {
			return 0
		}
		return cost(from, end)
	}
	least := math.Inf(1)
	for to := from + 1; to <= end; to++ {
		least = min(least, cost(from, to)+brute(to, end, n-1, cost))
	}
	return least
}

// On small histograms the best fit is as good as the best of all divisions tried
// one by one, with lightness worked out here from the standards; equal areas are
// as equal.
func TestFitsEqualBruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for range 400 {
		h, codes, counts := small(r, 12)
		n := FewestSteps + r.IntN(5)
		spread := func(from, to int) float64 {
			var w, sum, square float64
			for i := from; i < to; i++ {
				w += counts[i]
				sum += counts[i] * greyLightness(codes[i])
			}
			for i := from; i < to; i++ {
				square += counts[i] * math.Pow(greyLightness(codes[i])-sum/w, 2)
			}
			return square
		}
		total := float64(h.Total())
		best, err := BestSteps(h, n)
		got, want := float64(Divide(h, fit(t, best, err)).MeanError), math.Sqrt(brute(0, len(codes), n, spread)/total)
		if math.Abs(got-want) > 1e-4 {
			t.Errorf("%d steps of %v, %v: the error is %v, that of the best division %v", n, codes, counts, got, want)
		}
		squares := func(from, to int) float64 {
			sum := 0.0
			for _, n := range counts[from:to] {
				sum += n
			}
			return sum * sum
		}
		areas, err := AreaSteps(h, n)
		sum := 0.0
		for _, part := range Divide(h, fit(t, areas, err)).Parts {
			sum += float64(part.Pixels) * float64(part.Pixels)
		}
		if least := brute(0, len(codes), n, squares); math.Abs(sum-least) > 1e-9*least {
			t.Errorf("%d steps of %v, %v: areas give %v, the most equal ones %v", n, codes, counts, sum, least)
		}
	}
}

// levels are the lightnesses of a picture in order, with sums of their pixels, of
// lightness and of its square: what any division's error is worked out from.
type levels struct{ at, weight, first, second []float64 }

func (v *levels) add(lightness, n float64) {
	if len(v.at) == 0 {
		*v = levels{weight: []float64{0}, first: []float64{0}, second: []float64{0}}
	}
	last := len(v.at)
	v.at = append(v.at, lightness)
	v.weight = append(v.weight, v.weight[last]+n)
	v.first = append(v.first, v.first[last]+n*lightness)
	v.second = append(v.second, v.second[last]+n*lightness*lightness)
}

// err is the root mean square error of steps between edges, shown at their means.
func (v *levels) err(edges []float64) float64 {
	square, from := 0.0, 0
	for k := 0; k <= len(edges); k++ {
		to := len(v.at)
		if k < len(edges) {
			to, _ = slices.BinarySearch(v.at, edges[k])
		}
		if w := v.weight[to] - v.weight[from]; w > 0 {
			first := v.first[to] - v.first[from]
			square += v.second[to] - v.second[from] - first*first/w
		}
		from = to
	}
	return math.Sqrt(max(square, 0) / v.weight[len(v.at)])
}

// neverLoses tries ten thousand random divisions for every number of steps.
func neverLoses(t *testing.T, name string, v *levels, best func(n int) Steps) {
	t.Helper()
	r := rand.New(rand.NewPCG(13, 14))
	for n := FewestSteps; n <= MostSteps; n++ {
		var own []float64
		for _, e := range best(n).Edges() {
			own = append(own, float64(e))
		}
		least := v.err(own)
		edges := make([]float64, n-1)
		for range 10000 {
			for k := range edges {
				edges[k] = 100 * r.Float64()
			}
			slices.Sort(edges)
			if other := v.err(edges); other < least-1e-6 {
				t.Fatalf("%s, %d steps: edges %v leave %.7f, the best fit %v leaves %.7f", name, n, edges, other, own, least)
			}
		}
	}
}

// The best fit to a photograph never loses to any of ten thousand random ones:
// on every grey code of 21 photographs, and on every pixel of one.
func TestBestStepsNeverLose(t *testing.T) {
	samples, table := countedPhotographs(t)
	for _, set := range []map[string]*Histogram{samples, table} {
		for name, h := range set {
			var v levels
			for code, n := range h.Codes() {
				if n > 0 {
					v.add(greyLightness(code), float64(n))
				}
			}
			neverLoses(t, name, &v, func(n int) Steps { s, err := BestSteps(h, n); return fit(t, s, err) })
		}
	}
	p := decode(t, "photo/fig-in-red-bowl.jpg")
	var h Histogram
	h.AddRows(colour.EyeMeter, p.Pix, p.Width, 0, place.WholeCrop(p.Size()))
	neverLoses(t, "each pixel", levelsOf(p), func(n int) Steps {
		s, err := BestSteps(&h, n)
		closer := NewCloseTally(fit(t, s, err))
		closer.AddRows(colour.EyeMeter, p.Pix, p.Width, 0, place.WholeCrop(p.Size()))
		s, err = BestSteps(closer, n)
		return fit(t, s, err)
	})
}

func decode(t testing.TB, name string) *photo.Picture {
	t.Helper()
	data, err := os.ReadFile(testdata + name)
	if err != nil {
		t.Fatal(err)
	}
	opened, err := photo.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	return opened.Picture
}

// levelsOf is every light of a picture.
func levelsOf(p *photo.Picture) *levels {
	lights := make([]colour.Light, p.Width*p.Height)
	for i := range lights {
		lights[i] = colour.EyeMeter.Read(p.Pix[4*i], p.Pix[4*i+1], p.Pix[4*i+2])
	}
	slices.Sort(lights)
	v := new(levels)
	for i := 0; i < len(lights); {
		n := 1
		for i+n < len(lights) && lights[i+n] == lights[i] {
			n++
		}
		v.add(float64(lights[i].Lightness()), float64(n))
		i += n
	}
	return v
}

// On every photograph and at every number of steps the best fit strays less from
// the picture than equal steps do, even where those are shown at their means.
func TestBestStepsBeatEqualSteps(t *testing.T) {
	samples, table := countedPhotographs(t)
	for _, set := range []map[string]*Histogram{samples, table} {
		for name, h := range set {
			for n := FewestSteps; n <= MostSteps; n++ {
				e, err := EqualSteps(n)
				equal := fit(t, e, err)
				b, err := BestSteps(h, n)
				best := Divide(h, fit(t, b, err)).MeanError
				if shown, mean := Divide(h, equal).MeanError, Divide(h, equal.WithMeans(h)).MeanError; best >= mean || mean > shown {
					t.Errorf("%s, %d steps: best fit %.3f, equal steps at their means %.3f, at their middles %.3f", name, n, best, mean, shown)
				}
			}
		}
	}
}

// The mean errors of the published table over the same thirteen photographs. It
// does not say at what size they were read. Halved in linear light to under one
// megapixel they came within 0.03 of every figure; counted at full size, as here,
// the finest detail adds up to 0.05.
func TestMeanErrorsOfTheTable(t *testing.T) {
	_, table := countedPhotographs(t)
	cards := []colour.Value{1.5, 3.5, 5.5, 7.5, 9.5}
	methods := map[string]func(h *Histogram, n int) (Steps, error){
		"equal L* midpoint": func(_ *Histogram, n int) (Steps, error) { return EqualSteps(n) },
		"equal L* mean":     func(h *Histogram, n int) (Steps, error) { s, err := EqualSteps(n); return s.WithMeans(h), err },
		"quantile mean":     func(h *Histogram, n int) (Steps, error) { return AreaSteps(h, n) },
		"DP 256":            func(h *Histogram, n int) (Steps, error) { return BestSteps(h, n) },
		"DP 1024":           func(h *Histogram, n int) (Steps, error) { return BestSteps(h, n) },
		"cards V1.5,3.5,5.5,7.5,9.5 nearest": func(*Histogram, int) (Steps, error) {
			return CardSteps(cards)
		},
		"same cards, drawn at region mean": func(h *Histogram, _ int) (Steps, error) {
			s, err := CardSteps(cards)
			return s.WithMeans(h), err
		},
	}
	checked := 0
	for _, row := range parted(t, "shape/value_steps_rmse.tsv")[1:] {
		method := methods[row[0]]
		if method == nil {
			continue // ways to divide that are not offered
		}
		for n := FewestSteps; n <= MostSteps; n++ {
			want, err := strconv.ParseFloat(row[n-1], 64)
			if row[n-1] == "" {
				continue
			}
			mean := 0.0
			for _, h := range table {
				s, err := method(h, n)
				mean += float64(Divide(h, fit(t, s, err)).MeanError) / float64(len(table))
			}
			if err != nil || math.Abs(mean-want) > 0.05 {
				t.Errorf("%s, %d steps: the mean error is %.3f, the table has %v", row[0], n, mean, row[n-1])
			}
			checked++
		}
	}
	if checked != 5*8+2 {
		t.Errorf("%d figures were checked", checked)
	}
}

// Where a picture has fewer lightnesses than there are steps, the rest are empty,
// each lightness keeps a step, and nothing is lost.
func TestFewerLightnessesThanSteps(t *testing.T) {
	for _, codes := range [][]int{nil, {0}, {255}, {119}, {0, 255}, {100, 101}, {0, 1, 2, 3}, {27, 71, 119, 171, 226}} {
		for n := FewestSteps; n <= MostSteps; n++ {
			h := new(Histogram)
			for _, code := range codes {
				h.AddLight(grey(code), 10)
			}
			best, err := BestSteps(h, n)
			areas, areasErr := AreaSteps(h, n)
			for _, s := range []Steps{fit(t, best, err), fit(t, areas, areasErr)} {
				d := Divide(h, s)
				if !s.apart() || len(d.Parts) != n || len(d.Empty()) != max(n-len(codes), 0) {
					t.Errorf("%v in %d steps: edges %v, empty %v", codes, n, s.Edges(), d.Empty())
				}
				if len(codes) <= n && d.MeanError > 1e-9 {
					t.Errorf("%v in %d steps: the error is %v", codes, n, d.MeanError)
				}
			}
		}
	}
}

// A tally's shares are those of counting each pixel, wherever the edges lie.
func TestTallyCountsEachPixel(t *testing.T) {
	const width, height = 180, 120
	pix := noise(21, width, height)
	crop := place.Crop{X: 3.5, Y: 2, Width: 150.2, Height: 99}
	cards, err := CardSteps([]colour.Value{0.7, 2.2, 5, 5.1, 9})
	edged, edgedErr := EdgedSteps([]colour.Lightness{0.001, 33.333, 33.334, 99.9999})
	for _, s := range []Steps{fit(t, cards, err), fit(t, edged, edgedErr)} {
		for _, tally := range []*Tally{NewTally(s), NewCloseTally(s)} {
			tally.AddRows(colour.EyeMeter, pix, width, 0, crop)
			want := countEach(colour.EyeMeter, pix, width, height, crop, s)
			if got := Divide(tally, s).Shares(); !slices.Equal(got, want) {
				t.Errorf("edges %v: shares %v, counted one by one %v", s.Edges(), got, want)
			}
		}
	}
}

func BenchmarkBestSteps(b *testing.B) {
	var h Histogram
	h.AddRows(colour.EyeMeter, noise(7, 1000, 1000), 1000, 0, place.Crop{Width: 1000, Height: 1000})
	for b.Loop() {
		if _, err := BestSteps(&h, MostSteps); err != nil {
			b.Fatal(err)
		}
	}
}
