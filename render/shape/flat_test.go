package shape_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// patchwork is a random picture of greys, each pixel one of a few labels; the
// larger the grain, the larger its areas.
func patchwork(r *rand.Rand, width, height, labels, grain int) shape.Scene {
	coarse := make([]uint8, (width/grain+1)*(height/grain+1))
	for i := range coarse {
		coarse[i] = uint8(r.IntN(labels)) + 1
	}
	p := photo.New(width, height)
	of := make([]uint8, width*height)
	for i := range of {
		of[i] = coarse[i/width/grain*(width/grain+1)+i%width/grain]
		grey := uint8(int(of[i])*220/labels + r.IntN(12))
		copy(p.Pix[4*i:], []byte{grey, grey, uint8(int(grey) + r.IntN(10)), 255})
	}
	return shape.Scene{Plain: p, Squinted: p, Labels: of}
}

func flattened(t *testing.T, sc shape.Scene) *shape.Hierarchy {
	t.Helper()
	h, err := shape.Flatten(sc, nil)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// areas are the connected areas of equal numbers, found by filling: of each
// pixel the first pixel of its area.
func areas[T comparable](of []T, width int) []int {
	first := make([]int, len(of))
	for i := range first {
		first[i] = -1
	}
	for i := range of {
		if first[i] >= 0 {
			continue
		}
		first[i] = i
		for heap := []int{i}; len(heap) > 0; {
			k := heap[len(heap)-1]
			heap = heap[:len(heap)-1]
			for _, j := range beside(k, width, len(of)) {
				if first[j] < 0 && of[j] == of[i] {
					first[j] = i
					heap = append(heap, j)
				}
			}
		}
	}
	return first
}

// beside are the pixels that share a side with one.
func beside(k, width, n int) []int {
	var list []int
	if k%width > 0 {
		list = append(list, k-1)
	}
	if k%width+1 < width {
		list = append(list, k+1)
	}
	if k >= width {
		list = append(list, k-width)
	}
	if k+width < n {
		list = append(list, k+width)
	}
	return list
}

// checkFlat holds what is true of every flat picture: shapes are connected, those
// of one label never touch, figures are those of their pixels.
func checkFlat(t *testing.T, sc shape.Scene, f *shape.Flat) {
	t.Helper()
	count := map[int]bool{}
	for _, a := range areas(f.IDs, f.Width) {
		count[a] = true
	}
	if len(count) != len(f.Shapes) {
		t.Fatalf("%d connected areas make %d shapes", len(count), len(f.Shapes))
	}
	share := 0.0
	for id, s := range f.Shapes {
		var n int
		var light [3]float64
		var x, y float64
		for i, k := range f.IDs {
			if int(k) != id {
				continue
			}
			n++
			for c := range light {
				light[c] += colour.Decode(sc.Plain.Pix[4*i+c])
			}
			x, y = x+float64(i%f.Width)+0.5, y+float64(i/f.Width)+0.5
			for _, j := range beside(i, f.Width, len(f.IDs)) {
				if o := f.IDs[j]; o != k && f.Shapes[o].Label == s.Label {
					t.Fatalf("shapes %d and %d touch and are both of label %d", k, o, s.Label)
				}
			}
		}
		// Sums of light are in 65,535ths, half of one at most off at each pixel.
		for c, mean := range []float64{s.Mean.R, s.Mean.G, s.Mean.B} {
			if math.Abs(mean-light[c]/float64(n)) > 1e-5 {
				t.Fatalf("shape %d has a mean light of %v, by its pixels %v", id, s.Mean, light)
			}
		}
		centre := place.PhotoPoint{X: x / float64(n), Y: y / float64(n)}
		if s.Area != n || math.Hypot(s.Centroid.X-centre.X, s.Centroid.Y-centre.Y) > 1e-6 || f.At(s.Place) != id {
			t.Fatalf("shape %d of %d pixels about %v is told as %+v", id, n, centre, s)
		}
		if id > 0 && s.Area > f.Shapes[id-1].Area {
			t.Fatalf("shape %d is larger than the one before", id)
		}
		share += s.Share
	}
	if math.Abs(share-1) > 1e-9 {
		t.Fatalf("shares sum to %v", share)
	}
}

// Without a squint the finest shapes are the connected areas of one label, and
// after any number of merges every shape is of the smallest size at least and
// within the areas of the finer ones.
func TestSmallestSizeHolds(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 60 {
		sc := patchwork(r, 8+r.IntN(60), 8+r.IntN(60), 2+r.IntN(7), 1+r.IntN(6))
		h := flattened(t, sc)
		finest := h.Smallest(0)
		checkFlat(t, sc, finest)
		if a, b := areas(sc.Labels, sc.Plain.Width), areas(finest.IDs, sc.Plain.Width); !slices.Equal(a, b) {
			t.Fatal("the finest shapes are not the connected areas")
		}
		before := finest
		for size := 2; size < 2*sc.Plain.Width*sc.Plain.Height; size *= 3 {
			f := h.Smallest(float64(size))
			checkFlat(t, sc, f)
			if n := h.Count(float64(size)); n != len(f.Shapes) {
				t.Fatalf("%d shapes are told, %d given", n, len(f.Shapes))
			}
			for i, s := range f.Shapes {
				if s.Area < size && len(f.Shapes) > 1 {
					t.Fatalf("shape %d has %d pixels, asked for were %d at least", i, s.Area, size)
				}
			}
			nested(t, before, f)
			before = f
		}
	}
}

// nested holds that a coarser picture is made of whole shapes of a finer one.
func nested(t *testing.T, fine, coarse *shape.Flat) {
	t.Helper()
	into := map[uint32]uint32{}
	for i, id := range fine.IDs {
		if to, known := into[id]; known && to != coarse.IDs[i] {
			t.Fatalf("shape %d is torn: a border has moved", id)
		}
		into[id] = coarse.IDs[i]
	}
}

// The merges are those of the rule told literally: the smallest shape, of
// equal ones that which began first, joins the
// neighbour with the least squared CIELAB difference over the border shared,
// worked out anew from the pixels each time. Colours here differ enough for the
// rounding of Lab to decide nothing.
func TestMergesAsTheRuleSays(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	for range 40 {
		width, height := 5+r.IntN(8), 5+r.IntN(8)
		sc := shape.Scene{Plain: photo.New(width, height), Labels: make([]uint8, width*height)}
		sc.Squinted = sc.Plain
		for i := range sc.Labels {
			sc.Labels[i] = uint8(r.IntN(4))
			copy(sc.Plain.Pix[4*i:], []byte{uint8(r.IntN(256)), uint8(r.IntN(256)), uint8(r.IntN(256)), 255})
		}
		h := flattened(t, sc)
		ids := areas(sc.Labels, width)
		labels := map[int]uint8{}
		for i, a := range ids {
			labels[a] = sc.Labels[i]
		}
		for {
			least := smallestArea(ids)
			f := h.Smallest(float64(least))
			if !slices.Equal(areas(f.IDs, width), areas(ids, width)) {
				t.Fatalf("with no shape under %d pixels the shapes are not those of the rule", least)
			}
			if !mergeByRule(sc.Plain, ids, labels) {
				break
			}
		}
	}
}

func smallestArea(ids []int) int {
	count, least := map[int]int{}, len(ids)
	for _, a := range ids {
		count[a]++
	}
	for _, n := range count {
		least = min(least, n)
	}
	return least
}

// mergeByRule makes all merges that shapes of the present smallest size ask for;
// it tells whether there was anything to merge.
func mergeByRule(p *photo.Picture, ids []int, labels map[int]uint8) bool {
	size, merged := smallestArea(ids), false
	for smallestArea(ids) == size {
		count := map[int]int{}
		for _, a := range ids {
			count[a]++
		}
		if len(count) == 1 {
			return merged
		}
		from := -1
		for a, n := range count {
			if n == size && (from < 0 || a < from) {
				from = a
			}
		}
		into := closestByRule(p, ids, from)
		replaceAll(ids, from, into)
		for again := true; again; {
			again = false
			for i, a := range ids {
				for _, j := range beside(i, p.Width, len(ids)) {
					if b := ids[j]; a == into && b != into && labels[b] == labels[into] {
						replaceAll(ids, b, into)
						again = true
					}
				}
			}
		}
		merged = true
	}
	return merged
}

func replaceAll(ids []int, from, into int) {
	for i := range ids {
		if ids[i] == from {
			ids[i] = into
		}
	}
}

func closestByRule(p *photo.Picture, ids []int, from int) int {
	mean := func(a int) colour.Lab {
		var sum colour.Linear
		n := 0.0
		for i, k := range ids {
			if k == a {
				l := colour.SRGB{R: p.Pix[4*i], G: p.Pix[4*i+1], B: p.Pix[4*i+2]}.Linear()
				sum.R, sum.G, sum.B, n = sum.R+l.R, sum.G+l.G, sum.B+l.B, n+1
			}
		}
		return colour.Linear{R: sum.R / n, G: sum.G / n, B: sum.B / n}.XYZ().Lab()
	}
	own, length := mean(from), map[int]int{}
	for i, k := range ids {
		for _, j := range beside(i, p.Width, len(ids)) {
			if k == from && ids[j] != from {
				length[ids[j]]++
			}
		}
	}
	best, least := -1, math.Inf(1)
	for b, n := range length {
		o := mean(b)
		cost := ((o.L-own.L)*(o.L-own.L) + (o.A-own.A)*(o.A-own.A) + (o.B-own.B)*(o.B-own.B)) / float64(n)
		if cost < least {
			best, least = b, cost
		}
	}
	return best
}

// As many shapes as are asked for come, to within what merges at once.
func TestAbout(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for range 20 {
		sc := patchwork(r, 60, 50, 5, 3)
		h := flattened(t, sc)
		fewest, most := h.Range()
		if fewest != 1 {
			t.Errorf("the fewest shapes are %d", fewest)
		}
		for _, n := range []int{-1, 0, 1, 2, 5, 20, most / 2, most - 1, most, most + 10} {
			f := h.About(n)
			checkFlat(t, sc, f)
			want := min(max(n, fewest), most)
			// The nearest of all numbers that sizes give, or nearer.
			near := most
			for size := range 60 * 50 {
				if c := h.Count(float64(size)); apart(c-want) < apart(near-want) {
					near = c
				}
			}
			if apart(len(f.Shapes)-want) > apart(near-want) {
				t.Errorf("asked for %d shapes of %d to %d, got %d where there could be %d", n, fewest, most, len(f.Shapes), near)
			}
		}
	}
}

func apart(n int) int { return max(n, -n) }

// A disc of the smallest diameter is just large enough: the area of a disc, by
// elementary geometry, on a canvas with pixels of 2 x 3 mm.
func TestSmallestArea(t *testing.T) {
	m := place.Mapping{Crop: place.Crop{Width: 100, Height: 50}, Canvas: place.Size{Width: 200, Height: 150}}
	if got, want := shape.SmallestArea(20, m), 314.159265358979/6; math.Abs(got-want) > 1e-9 {
		t.Errorf("a disc of 20 mm has %v pixels, want %v", got, want)
	}
}

func TestProgress(t *testing.T) {
	sc := patchwork(rand.New(rand.NewPCG(4, 1)), 400, 400, 4, 2)
	sc.Sigma = 1
	last, calls := 0.0, 0
	if _, err := shape.Flatten(sc, func(done float64) error {
		if done < last || done > 1 {
			t.Errorf("after %v the work is done to %v", last, done)
		}
		last, calls = done, calls+1
		return nil
	}); err != nil || last != 1 || calls < 8 {
		t.Errorf("%d calls up to %v, error %v", calls, last, err)
	}
	stop := errors.New("cancelled")
	for _, after := range []int{0, 1, calls / 2, calls - 1} {
		n := 0
		h, err := shape.Flatten(sc, func(float64) error {
			if n++; n > after {
				return stop
			}
			return nil
		})
		if !errors.Is(err, stop) || h != nil {
			t.Fatalf("cancelled after %d calls: %v", after, err)
		}
	}
	sc.Labels = sc.Labels[1:]
	if _, err := shape.Flatten(sc, nil); err == nil {
		t.Error("a pixel without a label is taken")
	}
}

// The same scene gives the same shapes, and they survive being kept.
func TestKeptAndReadAgain(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	for range 10 {
		sc := patchwork(r, 40+r.IntN(40), 40, 5, 2)
		h := flattened(t, sc)
		data, err := h.MarshalBinary()
		if err != nil {
			t.Fatal(err)
		}
		if again, err := flattened(t, sc).MarshalBinary(); err != nil || !slices.Equal(again, data) {
			t.Fatal("the same scene is kept differently", err)
		}
		read := new(shape.Hierarchy)
		if err := read.UnmarshalBinary(data); err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(h, read) {
			t.Fatal("what is read again is not what was kept")
		}
		for cut := range 40 {
			if err := read.UnmarshalBinary(data[:len(data)*cut/40]); err == nil {
				t.Fatalf("%d of %d bytes are read", len(data)*cut/40, len(data))
			}
		}
	}
}
