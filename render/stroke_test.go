package render

import (
	"bytes"
	"math"
	"slices"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// even is a picture of one grey.
func even(width, height int, grey uint8) *photo.Pyramid {
	p := photo.New(width, height)
	for i := range p.Pix {
		p.Pix[i] = grey
		if i%4 == 3 {
			p.Pix[i] = 255
		}
	}
	return whole(p)
}

// plainly is a plan that shows a picture of 40 x 30 pixels as it is.
func plainly(strokes ...Stroke) Plan {
	crop := place.Crop{Width: 40, Height: 30}
	p := one(Viewport{Width: 40, Height: 30, Scale: 1, Centre: place.PhotoPoint{X: 20, Y: 15}}, crop, look.Look{})
	p.Strokes = strokes
	return p
}

func stroke(x1, y1, x2, y2, width float64, c colour.SRGB) Stroke {
	return Stroke{From: place.PhotoPoint{X: x1, Y: y1}, To: place.PhotoPoint{X: x2, Y: y2}, Width: width, Colour: c, Strength: 1}
}

// TestStrokeFillsPixels: a level or upright stroke of whole pixels that lies on
// pixels covers those, its casing one more on each side and a part of the next, and no
// other; it ends where it is said to.
func TestStrokeFillsPixels(t *testing.T) {
	y, yellow := even(40, 30, 119), colour.SRGB{R: 255, G: 214, B: 64}
	// What is left of 119 under black that covers 64/255 and 128/255 of it.
	quarter, half := colour.SRGB{R: 89, G: 89, B: 89}, colour.SRGB{R: 59, G: 59, B: 59}
	for width, middle := range map[float64]float64{1: 15.5, 2: 15, 3: 15.5} {
		next := half
		if width == 1 {
			next = quarter
		}
		across := slices.Concat([]colour.SRGB{grey50, next, {}}, slices.Repeat([]colour.SRGB{yellow}, int(width)), []colour.SRGB{{}, next, grey50})
		first := int(middle - width/2 - 3)
		level := Execute(plainly(stroke(5, middle, 33, middle, width, yellow)), y)
		upright := Execute(plainly(stroke(middle, 25, middle, 3, width, yellow)), y)
		for i, c := range across {
			for at := range 30 {
				want := [2]colour.SRGB{grey50, grey50}
				if at >= 5 {
					want[0] = c
				}
				if at >= 3 && at < 25 {
					want[1] = c
				}
				if got := level.At(at, first+i); got != want[0] {
					t.Errorf("width %v: the level stroke at %d, %d is %v, want %v", width, at, first+i, got, want[0])
				}
				if got := upright.At(first+i, at); got != want[1] {
					t.Errorf("width %v: the upright stroke at %d, %d is %v, want %v", width, first+i, at, got, want[1])
				}
			}
			if level.At(32, first+i) != c || level.At(33, first+i) != grey50 {
				t.Errorf("width %v: the level stroke does not end after 32, %d", width, first+i)
			}
		}
	}
}

// TestStrokesMirror: what is drawn through a mirrored or turned view is the picture
// mirrored or turned, strokes of all kinds included, to the last code.
func TestStrokesMirror(t *testing.T) {
	const w, h = 40, 30
	y := even(w, h, 140)
	plan := plainly()
	for i := range 24 {
		// On quarters of a pixel, where sums are exact and nothing rounds otherwise.
		x, z := float64(i*7%40)+0.25, float64(i*11%30)+0.5
		s := stroke(x, z, 39.75-x/2, float64(i*5%30)+0.25, 1+float64(i%5)/2, colour.SRGB{R: uint8(i * 10), G: 90, B: uint8(250 - i*9)})
		s.Strength = 1 - float64(i%4)/4
		plan.Strokes = append(plan.Strokes, s)
	}
	straight := Execute(plan, y)
	for turn := 1; turn < 4; turn++ {
		v := &plan.Panes[0].View
		v.Mirror, v.Turned = turn&1 == 1, turn&2 == 2
		got := Execute(plan, y)
		for j := range h {
			for i := range w {
				x, z := i, j
				if v.Mirror != v.Turned {
					x = w - 1 - i
				}
				if v.Turned {
					z = h - 1 - j
				}
				if got.At(i, j) != straight.At(x, z) {
					t.Fatalf("turn %d: %d, %d is %v, and %v in the straight picture", turn, i, j, got.At(i, j), straight.At(x, z))
				}
			}
		}
	}
}

// greys is a picture with a column of each grey.
func greys(height int) *photo.Pyramid {
	p := photo.New(256, height)
	for i := range 256 * height {
		copy(p.Pix[4*i:], []byte{byte(i), byte(i), byte(i), 255})
	}
	return whole(p)
}

// contrast is how far in lightness the pixels of a level stroke are at most from the
// grey beneath, where that is least: over any grey, at any place between pixels.
func contrast(y *photo.Pyramid, core colour.SRGB, width float64) colour.Lightness {
	const height = 20
	least := colour.Lightness(100)
	for eighth := range 8 {
		crop := place.Crop{Width: 256, Height: height}
		p := one(Viewport{Width: 256, Height: height, Scale: 1, Centre: centreOf(crop)}, crop, look.Look{})
		at := height/2 + float64(eighth)/8
		p.Strokes = []Stroke{stroke(-5, at, 300, at, width, core)}
		got := Execute(p, y)
		for x := range 256 {
			most, beneath := colour.Lightness(0), got.At(x, 0).Lightness()
			for j := range height {
				l := got.At(x, j).Lightness()
				most = max(most, l-beneath, beneath-l)
			}
			least = min(least, most)
		}
	}
	return least
}

// TestStrokesShowOnAnyGrey: across a stroke of full strength something is so much
// lighter or darker than the grey beneath, whichever grey that is. No core and
// casing can do better than 25 L* if the core is half as light as white, since a
// grey half as far from both is beneath it then; a core thinner than 2 pixels is
// nowhere seen in full if it lies between them.
func TestStrokesShowOnAnyGrey(t *testing.T) {
	var every, strong, extreme []colour.SRGB
	for code := 0; code < 256; code += 15 {
		c := uint8(code)
		every = append(every, colour.SRGB{R: c, G: c, B: c}, colour.SRGB{R: c, G: 255 - c, B: 128}, colour.SRGB{R: 200, G: c, B: 20})
	}
	for _, c := range every {
		if l := c.Lightness(); l <= 40 || l >= 60 {
			strong = append(strong, c)
		}
	}
	extreme = []colour.SRGB{{}, {R: 255, G: 255, B: 255}}
	y := greys(20)
	for _, c := range []struct {
		width float64
		cores []colour.SRGB
		want  colour.Lightness
	}{{1, extreme, 20}, {1.5, extreme, 36}, {2, extreme, 50}, {2, strong, 30}, {2, every, 25}, {3, strong, 30}, {3, every, 25}, {6, strong, 30}} {
		least := colour.Lightness(100)
		for _, core := range c.cores {
			least = min(least, contrast(y, core, c.width))
		}
		t.Logf("%v wide, %d cores: %.1f L* or more", c.width, len(c.cores), least)
		if least < c.want {
			t.Errorf("%v wide: only %.1f L* over some grey, want %v", c.width, least, c.want)
		}
	}
}

// TestStrokesKeepToTheCrop: a stroke shows where the crop does and nowhere else, in
// every view.
func TestStrokesKeepToTheCrop(t *testing.T) {
	y, crop := even(40, 30, 200), place.Crop{X: 7, Y: 5, Width: 20, Height: 14}
	for turn := range 4 {
		v := Viewport{Width: 160, Height: 120, Scale: 3.3, Centre: place.PhotoPoint{X: 16, Y: 12.2}, Mirror: turn&1 == 1, Turned: turn&2 == 2}
		p := one(v, crop, look.Look{})
		p.Strokes = []Stroke{stroke(0, 0, 40, 30, 9, colour.SRGB{R: 255}), stroke(7, 19, 27, 19, 9, colour.SRGB{})}
		got, in := Execute(p, y), v.Inside(crop).Image()
		marked := 0
		for j := range v.Height {
			for i := range v.Width {
				inside := i >= in.Min.X && i < in.Max.X && j >= in.Min.Y && j < in.Max.Y
				if c := got.At(i, j); !inside && c != grey50 {
					t.Fatalf("turn %d: %d, %d outside of the crop is %v", turn, i, j, c)
				} else if inside && c.R != 200 {
					marked++
				}
			}
		}
		if marked == 0 {
			t.Errorf("turn %d: no stroke shows", turn)
		}
	}
}

// TestLooksLeaveStrokes: what strokes of full strength cover is the same under
// every look, the round and its magnification included; under the rim and the cross
// hair they do not show.
func TestLooksLeaveStrokes(t *testing.T) {
	y, red := even(40, 30, 200), colour.SRGB{R: 220, G: 30, B: 40}
	for _, l := range []look.Look{{}, {Tone: look.Grey}, {Filter: true}, {Tone: look.Steps, Steps: 4}, {Tone: look.Temperature}, {Squint: true, Blur: 1}} {
		p := plainly(stroke(3, 12, 38, 12, 4, red))
		p.Canvas = place.Size{Width: 40, Height: 30}
		p.Panes[0].Look = l
		if got := Execute(p, y).At(20, 11); got != red {
			t.Errorf("under %+v a red stroke is %v", l, got)
		}
	}
	p := plainly(stroke(0, 10, 40, 10, 200, red))
	p.Width, p.Height = 121, 121
	p.Panes = []Pane{{At: Rect{Width: 121, Height: 121}, View: Viewport{Width: 121, Height: 121, Scale: 12, Centre: place.PhotoPoint{X: 20, Y: 10}}, Round: true}}
	with := Execute(p, y)
	if c := with.At(65, 65); c != red {
		t.Errorf("the round's clear middle is %v", c)
	}
	p.Strokes = nil
	without := Execute(p, y)
	for _, x := range []int{0, 1, 3, 20, 100} { // outside, rim, cross hair
		if with.At(x, 60) != without.At(x, 60) {
			t.Errorf("a stroke covers the round's rim or hair at %d", x)
		}
	}
}

// TestStrokesInOrder: of two strokes that cross, the later lies over the earlier,
// and as much of that shows through as its strength leaves.
func TestStrokesInOrder(t *testing.T) {
	y, red, blue := even(40, 30, 200), colour.SRGB{R: 200}, colour.SRGB{B: 250}
	first, second := stroke(0, 15, 40, 15, 4, red), stroke(20, 0, 20, 30, 4, blue)
	for _, c := range []struct {
		strength float64
		want     colour.SRGB
	}{{1, blue}, {5, blue}, {0.2, colour.SRGB{R: 160, B: 50}}} {
		second.Strength = c.strength
		if got := Execute(plainly(first, second), y).At(20, 15); got != c.want {
			t.Errorf("strength %v over red is %v, want %v", c.strength, got, c.want)
		}
	}
}

// TestStrokesOfNothing: strokes of no length, width or strength, and of numbers that
// are none, draw nothing, and those very far off no more than passes by.
func TestStrokesOfNothing(t *testing.T) {
	y, nan, inf := even(40, 30, 200), math.NaN(), math.Inf(1)
	plain := Execute(plainly(), y)
	for _, bad := range []float64{nan, inf, -inf} {
		a, b := stroke(bad, 4, 5, 6, 2, grey50), stroke(1, 2, 30, bad, 2, grey50)
		c, d := stroke(1, 2, 30, 20, 2, grey50), stroke(1, 2, 30, 20, 2, grey50)
		c.Width, d.Strength = math.Copysign(nan, bad), min(bad, 0)
		if got := Execute(plainly(a, b, c, d), y); !bytes.Equal(got.Pix, plain.Pix) {
			t.Errorf("something is drawn of %v", bad)
		}
	}
	zero := []Stroke{stroke(5, 5, 5, 5, 2, grey50), stroke(1, 1, 20, 20, 0, grey50), stroke(1, 1, 20, 20, -3, grey50), {}}
	if got := Execute(plainly(zero...), y); !bytes.Equal(got.Pix, plain.Pix) {
		t.Error("something is drawn of nothing")
	}
	far := stroke(-1e12, 15, 1e12, 15, 2, colour.SRGB{R: 255})
	if got := Execute(plainly(far), y); got.At(20, 15) != far.Colour || got.At(20, 3) != plain.At(20, 3) {
		t.Error("a stroke from far to far does not pass by as it should")
	}
	far.Width = 1e12
	if got := Execute(plainly(far), y); got.At(20, 3) != far.Colour {
		t.Error("a stroke of any width does not cover the picture")
	}
}

// TestStrokesOutsideAreLeftOut: of many strokes only those that show in the pane are
// asked for, cut to it, whatever the view.
func TestStrokesOutsideAreLeftOut(t *testing.T) {
	p := plainly()
	for i := range 5000 {
		at := float64(i) * 2
		p.Strokes = append(p.Strokes, stroke(at-4000, -9000, at-4000, 9000, 2, grey50), stroke(0, at+50, 40, at+80, 2, grey50))
	}
	count := 0
	for s := range p.Streaks(p.Panes[0]) {
		count++
		if s.Reach > 30 || s.X < -10 || s.X > 50 || s.Y < -10 || s.Y > 40 {
			t.Fatalf("%+v is not cut to the pane", s)
		}
	}
	if count < 20 || count > 30 {
		t.Errorf("%d streaks for 20 strokes that show", count)
	}
}

// TestShortStrokesFade: a stroke shorter than a pixel covers as much less.
func TestShortStrokesFade(t *testing.T) {
	y, black := even(40, 30, 200), colour.SRGB{}
	for length, want := range map[float64]uint8{1: 0, 0.5: 100, 0.1: 180, 1e-6: 200} {
		got := Execute(plainly(stroke(20.5-length/2, 15.5, 20.5+length/2, 15.5, 3, black)), y).At(20, 15).R
		if length < 1 { // and its end fades over half a pixel beyond
			want = uint8(math.Round(200 * (1 - length*(0.5+length/2))))
		}
		if math.Abs(float64(got)-float64(want)) > 1 {
			t.Errorf("of a stroke %v long %v is left, want %v", length, got, want)
		}
	}
}
