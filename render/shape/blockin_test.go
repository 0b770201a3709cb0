package shape_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"maulstick/render/place"
	"maulstick/render/shape"
)

// Trade usage: large shapes first, and of shapes about as large the dark one
// first. The tiles' areas are told in inches of a scene of 36 x 24 in.
func TestBlockInOrder(t *testing.T) {
	p, _ := paintScene([]scenePart{
		{everywhere, flatTone(70)},         // 864 sq in
		{box(1, 1, 13, 11), flatTone(90)},  // 120
		{box(15, 1, 25, 11), flatTone(10)}, // 100
		{box(27, 1, 30, 4), flatTone(90)},  // 9
		{box(27, 6, 30, 9), flatTone(30)},  // 9
		{box(27, 11, 30, 14), flatTone(10)},
	}, 0, 1)
	f := flatten(t, p, 5, 12.7).Smallest(400)
	inch := func(x, y float64) place.PhotoPoint { return place.PhotoPoint{X: x * perInch, Y: y * perInch} }
	middles := []place.PhotoPoint{inch(33, 20), inch(7, 6), inch(20, 6), inch(28.5, 2.5), inch(28.5, 7.5), inch(28.5, 12.5)}
	for _, c := range []struct {
		name  string
		focal shape.FocalArea
		want  []int
	}{
		{"no focal area", shape.FocalArea{At: middles[4]}, []int{0, 2, 1, 5, 4, 3}},
		{"focal area first", shape.FocalArea{When: shape.FocalFirst, At: middles[4], Near: 1}, []int{4, 0, 2, 1, 5, 3}},
		{"focal area last", shape.FocalArea{When: shape.FocalLast, At: middles[2], Near: 1}, []int{0, 1, 5, 4, 3, 2}},
		{"a wide one", shape.FocalArea{When: shape.FocalFirst, At: middles[4], Near: 5.5 * perInch}, []int{5, 4, 3, 0, 2, 1}},
		{"off the picture", shape.FocalArea{When: shape.FocalFirst, At: inch(-90, 90), Near: 1}, []int{0, 2, 1, 5, 4, 3}},
	} {
		order := f.BlockIn(c.focal)
		if len(order) != len(c.want) {
			t.Fatalf("%s: %d shapes, want %d", c.name, len(order), len(c.want))
		}
		for i, k := range c.want {
			if order[i] != f.At(middles[k]) {
				t.Errorf("%s: shape %d comes in place %d, want that at %v", c.name, order[i], i+1, middles[k])
			}
		}
	}
}

// Whatever the labels, colours, size and squint, shapes keep their promises and
// outlines give them back.
func FuzzFlatten(f *testing.F) {
	f.Add(uint64(1), uint8(20), uint8(30), uint8(3), uint8(2), uint8(0), uint16(7))
	f.Add(uint64(2), uint8(63), uint8(5), uint8(8), uint8(1), uint8(9), uint16(40))
	f.Add(uint64(3), uint8(40), uint8(40), uint8(5), uint8(8), uint8(17), uint16(90))
	f.Fuzz(func(t *testing.T, seed uint64, width, height, labels, grain, sigma uint8, size uint16) {
		r := rand.New(rand.NewPCG(seed, 7))
		sc := patchwork(r, int(width%64)+1, int(height%64)+1, int(labels%20)+1, int(grain%9)+1)
		sc.Sigma = float64(sigma%32) / 8
		flat := flattened(t, sc).Smallest(float64(size))
		checkFlat(t, sc, flat)
		for i, s := range flat.Shapes {
			if s.Area < int(size) && len(flat.Shapes) > 1 {
				t.Fatalf("shape %d has %d pixels, asked for were %d at least", i, s.Area, size)
			}
		}
		o := flat.Trace()
		for i, id := range drawn(o) {
			if id != int(flat.IDs[i]) {
				t.Fatalf("pixel %d of shape %d is drawn as of shape %d", i, flat.IDs[i], id)
			}
		}
		o = o.Simplify(1)
		checkRings(t, o)
		checkCrossings(t, o)
		checkDrawn(t, flat, o)
	})
}

// Bytes that are no kept shapes are refused, and those that are can be used.
func FuzzKept(f *testing.F) {
	r := rand.New(rand.NewPCG(8, 1))
	for range 3 {
		h, err := shape.Flatten(patchwork(r, 9, 7, 4, 2), nil)
		if err != nil {
			f.Fatal(err)
		}
		data, err := h.MarshalBinary()
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		h := new(shape.Hierarchy)
		if h.UnmarshalBinary(data) != nil {
			return
		}
		if fewest, _ := h.Range(); fewest != 1 {
			t.Fatalf("all merges leave %d shapes", fewest)
		}
		for _, n := range []int{1, 3, 100} {
			h.About(n).Trace().Simplify(1)
		}
	})
}

// Another number of shapes, in parts of the first run over the same picture: the
// cost that the slider has against the cost that is paid once.
func BenchmarkShapes(b *testing.B) {
	sc := patchwork(rand.New(rand.NewPCG(9, 1)), 1500, 1000, 5, 6)
	var first, again time.Duration
	for b.Loop() {
		start := time.Now()
		h, err := shape.Flatten(sc, nil)
		if err != nil {
			b.Fatal(err)
		}
		first += time.Since(start)
		start = time.Now()
		h.About(100)
		again += time.Since(start)
	}
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(float64(again)/float64(first), "again/first")
}
