package shape_test

import (
	"bytes"
	"encoding/xml"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"maulstick/render/place"
	"maulstick/render/shape"
)

// drawn is the shape of each pixel by a shape's rings alone: the middle of the
// pixel lies within an odd number of them. -1 where no shape claims it, -2 where
// two do.
func drawn(o *shape.Outline) []int {
	ids := make([]int, o.Width*o.Height)
	for i := range ids {
		ids[i] = -1
	}
	for s, rings := range o.Rings {
		for y := range o.Height {
			var crossings []float64
			for _, ring := range rings {
				crossings = append(crossings, crossed(o.Points(ring), float64(y)+0.5+1e-9)...)
			}
			slices.Sort(crossings)
			for k := 0; k+1 < len(crossings); k += 2 {
				for x := int(math.Ceil(crossings[k] - 0.5)); float64(x)+0.5 < crossings[k+1]; x++ {
					if i := y*o.Width + x; ids[i] == -1 {
						ids[i] = s
					} else {
						ids[i] = -2
					}
				}
			}
		}
	}
	return ids
}

// crossed are the places at which a closed line crosses a level.
func crossed(p []place.PhotoPoint, y float64) []float64 {
	var at []float64
	for i, a := range p {
		b := p[(i+1)%len(p)]
		if (a.Y < y) != (b.Y < y) {
			at = append(at, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
		}
	}
	return at
}

// patchworks are flattened random pictures, coarse and fine, some with a frame or
// thin lines of their own.
func patchworks(t *testing.T) []*shape.Flat {
	r := rand.New(rand.NewPCG(6, 1))
	var flats []*shape.Flat
	for i := range 40 {
		sc := patchwork(r, 1+r.IntN(50), 1+r.IntN(50), 2+r.IntN(4), 1+r.IntN(5))
		flats = append(flats, flattened(t, sc).Smallest(float64(i%4*5)))
	}
	p, _ := paintScene(scenes["a ring"], 3, 1)
	return append(flats, flatten(t, p, 5, 12.7).Smallest(400))
}

// As traced, rings give back every pixel, each side of a pixel where two shapes
// meet is walked once, and closed lines are closed.
func TestTraceGivesBackThePixels(t *testing.T) {
	for n, f := range patchworks(t) {
		o := f.Trace()
		for i, id := range drawn(o) {
			if id != int(f.IDs[i]) {
				t.Fatalf("picture %d: pixel %d is drawn as of shape %d, it is of %d", n, i, id, f.IDs[i])
			}
		}
		checkRings(t, o)
		sides, walked := borders(f), map[[4]int]bool{}
		for _, a := range o.Arcs {
			if first, last := a.Points[0], a.Points[len(a.Points)-1]; a.Closed != (first == last) || a.Left == a.Right {
				t.Fatalf("picture %d: arc %+v", n, a)
			}
			for k, p := range a.Points[1:] {
				for _, side := range unit(a.Points[k], p) {
					if walked[side] || !sides[side] {
						t.Fatalf("picture %d: the side %v is drawn twice or is no border", n, side)
					}
					walked[side] = true
				}
			}
		}
		if len(walked) != len(sides) {
			t.Fatalf("picture %d: of %d sides of pixels %d are drawn", n, len(sides), len(walked))
		}
	}
}

// checkRings holds that each half of an arc belongs to one ring at most, that
// rings go on where they left off, and that the outer one comes first.
func checkRings(t *testing.T, o *shape.Outline) {
	t.Helper()
	used := map[int32]bool{}
	for s, rings := range o.Rings {
		for k, ring := range rings {
			for i, n := range ring {
				if used[n] || side(o, n) != int32(s) || end(o, n) != start(o, ring[(i+1)%len(ring)]) {
					t.Fatalf("ring %v of shape %d is not one round of its own arcs", ring, s)
				}
				used[n] = true
			}
			area := 0.0
			p := o.Points(ring)
			for i, a := range p {
				b := p[(i+1)%len(p)]
				area += a.X*b.Y - b.X*a.Y
			}
			if (area < 0) != (k == 0) {
				t.Fatalf("ring %d of shape %d encloses %v", k, s, area/2)
			}
		}
	}
	for i, a := range o.Arcs {
		if used[int32(i+1)] != (a.Left != shape.Outside) || used[-int32(i+1)] != (a.Right != shape.Outside) {
			t.Fatalf("arc %d between %d and %d is in no ring", i, a.Left, a.Right)
		}
	}
}

func arcOf(o *shape.Outline, n int32) shape.Arc { return o.Arcs[max(n, -n)-1] }

func side(o *shape.Outline, n int32) int32 {
	if n > 0 {
		return arcOf(o, n).Left
	}
	return arcOf(o, n).Right
}

func start(o *shape.Outline, n int32) place.PhotoPoint {
	p := arcOf(o, n).Points
	if n > 0 {
		return p[0]
	}
	return p[len(p)-1]
}

func end(o *shape.Outline, n int32) place.PhotoPoint { return start(o, -n) }

// borders are the sides of pixels at which two shapes, or a shape and the
// outside, meet.
func borders(f *shape.Flat) map[[4]int]bool {
	sides := map[[4]int]bool{}
	at := func(x, y int) int {
		return f.At(place.PhotoPoint{X: float64(x) + 0.5, Y: float64(y) + 0.5})
	}
	for y := 0; y <= f.Height; y++ {
		for x := 0; x <= f.Width; x++ {
			if at(x, y) != at(x, y-1) {
				sides[[4]int{x, y, x + 1, y}] = true
			}
			if at(x, y) != at(x-1, y) {
				sides[[4]int{x, y, x, y + 1}] = true
			}
		}
	}
	return sides
}

// unit cuts a straight piece into sides of pixels.
func unit(a, b place.PhotoPoint) [][4]int {
	var sides [][4]int
	x, y, ex, ey := int(min(a.X, b.X)), int(min(a.Y, b.Y)), int(max(a.X, b.X)), int(max(a.Y, b.Y))
	for x < ex {
		sides = append(sides, [4]int{x, y, x + 1, y})
		x++
	}
	for y < ey {
		sides = append(sides, [4]int{x, y, x, y + 1})
		y++
	}
	return sides
}

// Simplified to within a pixel, outlines cross neither themselves nor one
// another, keep their junctions and sides, and drawn anew give every pixel a
// shape that lies within a pixel of it.
func TestSimplifiedOutlines(t *testing.T) {
	pictures := patchworks(t)
	for n, f := range pictures {
		before, after := 0, 0
		traced := f.Trace()
		for _, tolerance := range []float64{0.3, 0.5, 1, 2, 5} {
			o := traced.Simplify(tolerance)
			checkRings(t, o)
			checkCrossings(t, o)
			for i, a := range o.Arcs {
				b := traced.Arcs[i]
				if a.Left != b.Left || a.Right != b.Right || a.Points[0] != b.Points[0] || a.Points[len(a.Points)-1] != b.Points[len(b.Points)-1] {
					t.Fatalf("picture %d: arc %d is no longer the same border", n, i)
				}
				for _, p := range b.Points {
					if d := away(p, a.Points); d > tolerance+1e-9 {
						t.Fatalf("picture %d: within %v pixels, the corner %v is %v off", n, tolerance, p, d)
					}
				}
				if tolerance == 1 {
					before, after = before+len(b.Points), after+len(a.Points)
				}
			}
			if tolerance <= 1 {
				checkDrawn(t, f, o)
			}
		}
		if n == len(pictures)-1 && after > before/4 {
			t.Errorf("of the %d places of round borders %d are left", before, after)
		}
	}
}

// checkDrawn holds that each pixel is drawn as of one shape, its own or one that
// it or a neighbour of its belongs to.
func checkDrawn(t *testing.T, f *shape.Flat, o *shape.Outline) {
	t.Helper()
	for i, id := range drawn(o) {
		near := false
		for dy := -1; dy <= 1; dy++ {
			for dx := -1; dx <= 1; dx++ {
				near = near || id >= 0 && id == f.At(place.PhotoPoint{X: float64(i%f.Width+dx) + 0.5, Y: float64(i/f.Width+dy) + 0.5})
			}
		}
		if !near {
			t.Fatalf("pixel %d of shape %d is drawn as of shape %d, which is not within a pixel", i, f.IDs[i], id)
		}
	}
}

// away is how far a place is from a line.
func away(p place.PhotoPoint, line []place.PhotoPoint) float64 {
	least := math.Inf(1)
	for k, b := range line[1:] {
		a := line[k]
		dx, dy := b.X-a.X, b.Y-a.Y
		along := min(max(((p.X-a.X)*dx+(p.Y-a.Y)*dy)/(dx*dx+dy*dy), 0), 1)
		least = min(least, math.Hypot(p.X-a.X-along*dx, p.Y-a.Y-along*dy))
	}
	return least
}

// checkCrossings compares every two straight pieces that come near: they may
// have one end in common, if that is a place where they follow one another or a
// junction, and nothing else.
func checkCrossings(t *testing.T, o *shape.Outline) {
	t.Helper()
	type piece struct {
		a, b place.PhotoPoint
		arc  int
	}
	var pieces []piece
	for i, arc := range o.Arcs {
		for k, b := range arc.Points[1:] {
			pieces = append(pieces, piece{arc.Points[k], b, i})
		}
	}
	slices.SortFunc(pieces, func(p, q piece) int { return int(2 * (min(p.a.X, p.b.X) - min(q.a.X, q.b.X))) })
	turn := func(a, b, c place.PhotoPoint) float64 { return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X) }
	on := func(a, b, c place.PhotoPoint) bool {
		return turn(a, b, c) == 0 && min(a.X, b.X) <= c.X && c.X <= max(a.X, b.X) && min(a.Y, b.Y) <= c.Y && c.Y <= max(a.Y, b.Y)
	}
	for i, p := range pieces {
		if p.a == p.b {
			t.Fatalf("arc %d has a piece without length at %v", p.arc, p.a)
		}
		for _, q := range pieces[i+1:] {
			if min(q.a.X, q.b.X) > max(p.a.X, p.b.X) {
				break
			}
			common := 0
			for _, s := range []place.PhotoPoint{p.a, p.b} {
				if s == q.a || s == q.b {
					common++
				} else if on(q.a, q.b, s) {
					common = 2
				}
			}
			for _, s := range []place.PhotoPoint{q.a, q.b} {
				if s != p.a && s != p.b && on(p.a, p.b, s) {
					common = 2
				}
			}
			across := turn(p.a, p.b, q.a)*turn(p.a, p.b, q.b) < 0 && turn(q.a, q.b, p.a)*turn(q.a, q.b, p.b) < 0
			if across || common > 1 {
				t.Fatalf("arcs %d and %d cross or run together: %v-%v and %v-%v", p.arc, q.arc, p.a, p.b, q.a, q.b)
			}
		}
	}
}

// svgFile is what a reader of SVG finds in the file.
type svgFile struct {
	Width   string     `xml:"width,attr"`
	Height  string     `xml:"height,attr"`
	ViewBox string     `xml:"viewBox,attr"`
	Attrs   []xml.Attr `xml:",any,attr"`
	Groups  []struct {
		Fill  string `xml:"fill,attr"`
		Paths []struct {
			Fill string `xml:"fill,attr"`
			D    string `xml:"d,attr"`
		} `xml:"path"`
	} `xml:"g"`
}

// The SVG (W3C, Scalable Vector Graphics 1.1) is as large as the canvas in
// millimetres, and has each shared border once, where it lands on the canvas.
func TestSVG(t *testing.T) {
	p, _ := paintScene(scenes["a ring"], 1, 1)
	f := flatten(t, p, 5, 12.7).Smallest(400)
	o := f.Trace().Simplify(1)
	for _, filled := range [][]shape.Shape{nil, f.Shapes} {
		var out bytes.Buffer
		if err := (shape.Drawing{Outline: o, Mapping: sceneMapping, Filled: filled, Stroke: 0.5}).WriteSVG(&out); err != nil {
			t.Fatal(err)
		}
		var file svgFile
		if err := xml.Unmarshal(out.Bytes(), &file); err != nil {
			t.Fatal(err)
		}
		if file.Width != "914.4mm" || file.Height != "609.6mm" || file.ViewBox != "0 0 914.4 609.6" || len(file.Attrs) != 1 {
			t.Errorf("the drawing is %s by %s, shows %s, and tells %v", file.Width, file.Height, file.ViewBox, file.Attrs)
		}
		lines := file.Groups[len(file.Groups)-1]
		if len(lines.Paths) != len(o.Arcs) || len(o.Arcs) != 3 || lines.Fill != "none" || len(file.Groups) != 1+min(len(filled), 1) {
			t.Fatalf("%d groups, %d lines for %d arcs", len(file.Groups), len(lines.Paths), len(o.Arcs))
		}
		for i, path := range lines.Paths {
			closed := strings.HasSuffix(path.D, "Z")
			points := readPath(t, path.D)
			if closed {
				points = append(points, points[0])
			}
			if closed != o.Arcs[i].Closed || len(points) != len(o.Arcs[i].Points) {
				t.Fatalf("arc %d of %d places is drawn with %d", i, len(o.Arcs[i].Points), len(points))
			}
			for k, at := range points {
				want := o.Arcs[i].Points[k]
				// A canvas of 36 in has 900 pixels: 1.016 mm each.
				if math.Abs(at[0]-want.X*1.016) > 1e-3 || math.Abs(at[1]-want.Y*1.016) > 1e-3 {
					t.Fatalf("the corner %v is drawn at %v mm", want, at)
				}
			}
		}
		if filled != nil && file.Groups[0].Paths[0].Fill == "" {
			t.Error("the shapes are not filled")
		}
	}
}

// readPath reads a path of one line.
func readPath(t *testing.T, d string) [][2]float64 {
	t.Helper()
	var points [][2]float64
	for _, pair := range strings.FieldsFunc(d, func(r rune) bool { return strings.ContainsRune("MLZ", r) }) {
		numbers := strings.Fields(pair)
		x, badX := strconv.ParseFloat(numbers[0], 64)
		y, badY := strconv.ParseFloat(numbers[1], 64)
		if badX != nil || badY != nil {
			t.Fatalf("%q is no place", pair)
		}
		points = append(points, [2]float64{x, y})
	}
	return points
}
