package render

import (
	"math"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// scene is a picture of hard edges, thin bars, speckle and ramps.
func scene(width, height int) *photo.Picture {
	p, n := photo.New(width, height), uint32(9)
	for y := range height {
		for x := range width {
			n = n*1664525 + 1013904223
			c := [3]byte{byte(x * 255 / width), byte(y * 255 / height), 60}
			switch {
			case x/50%4 == 1 && y/40%2 == 0:
				c = [3]byte{}
			case x/50%4 == 2:
				c = [3]byte{byte(n >> 24), byte(n >> 16), 255}
			case x/50%4 == 3 && x%6 < 2:
				c = [3]byte{255, 255, 255}
			}
			copy(p.Pix[4*(y*width+x):], []byte{c[0], c[1], c[2], 255})
		}
	}
	return p
}

// gaussian is the straightforward blur of linear light in float64 at full
// resolution, over the crop from (x0, y0) up to (x1, y1), mirrored at its border.
func gaussian(p *photo.Picture, x0, y0, x1, y1 int, sigma float64) [][3]float64 {
	w, h, reach := x1-x0, y1-y0, int(6*sigma)+1
	weights, sum := make([]float64, reach+1), 0.0
	for i := range weights {
		weights[i] = math.Exp(-float64(i*i) / (2 * sigma * sigma))
		sum += weights[i]
	}
	sum = 2*sum - weights[0]
	source, across, out := make([][3]float64, w*h), make([][3]float64, w*h), make([][3]float64, w*h)
	for i := range source {
		c := p.At(x0+i%w, y0+i/w).Linear()
		source[i] = [3]float64{c.R, c.G, c.B}
	}
	pass := func(from, to [][3]float64, dx, dy int) {
		for y := range h {
			for x := range w {
				for d := -reach; d <= reach; d++ {
					at := mirrored(y+d*dy, h)*w + mirrored(x+d*dx, w)
					for k := range 3 {
						to[y*w+x][k] += from[at][k] * weights[max(d, -d)] / sum
					}
				}
			}
		}
	}
	pass(source, across, 1, 0)
	pass(across, out, 0, 1)
	return out
}

// mirrored is place i of a row of n, each end a mirror.
func mirrored(i, n int) int {
	for i < 0 || i >= n {
		if i < 0 {
			i = -1 - i
		} else {
			i = 2*n - 1 - i
		}
	}
	return i
}

// TestSquintIsAGaussian holds the squint, which works on smaller copies and in ten
// bits, to the blur of the full photograph in float64, from a fine blur to one
// whose width is a tenth of the picture. Where the crop ends between the smaller
// copy's pixels, what is mirrored is off by part of a pixel, and more is allowed
// along the border.
func TestSquintIsAGaussian(t *testing.T) {
	p := scene(400, 300)
	y := whole(p)
	for _, c := range []struct {
		left, top, right, bottom int
		border                   float64 // codes
	}{{8, 8, 392, 296, 2}, {7, 5, 393, 296, 5}} {
		for _, sigma := range []float64{0.8, 2, 5, 9, 17} {
			w, h := c.right-c.left, c.bottom-c.top
			crop := place.Crop{X: float64(c.left), Y: float64(c.top), Width: float64(w), Height: float64(h)}
			plan := one(Viewport{Width: w, Height: h, Scale: 1, Centre: centreOf(crop)}, crop, look.Look{Squint: true})
			plan.Canvas = place.Size{Width: place.MM(w) / 2, Height: place.MM(h) / 2}
			plan.Panes[0].Look.Blur = place.MM(sigma * 2 * math.Sqrt(2*math.Ln2) / 2)
			got, within, border := Execute(plan, y), 0.0, 0.0
			for i, want := range gaussian(p, c.left, c.top, c.right, c.bottom, sigma) {
				d := off(got.At(i%w, i/w), want)
				if edge := float64(min(i%w, w-1-i%w, i/w, h-1-i/w)); edge < 3*sigma {
					border = max(border, d)
				} else {
					within = max(within, d)
				}
			}
			t.Logf("%v, sigma %v: at most %.2f codes off, %.2f along the border", c, sigma, within, border)
			if within > 1.5 || border > c.border {
				t.Errorf("%v, sigma %v: up to %.2f codes off, %.2f along the border", c, sigma, within, border)
			}
		}
	}
}

// TestLiveSquintIsNearTheGaussian holds a live picture's blur, which is made of a copy half
// as large, to the same blur in float64: to four codes, and to five along the border where
// the copy's pixels are whole. Where they are not, the last ones count as whole, and the
// border is mirrored elsewhere.
func TestLiveSquintIsNearTheGaussian(t *testing.T) {
	for size, wanted := range map[place.Pixels]float64{{Width: 416, Height: 304}: 5, {Width: 401, Height: 299}: 25} {
		p := scene(size.Width, size.Height)
		y, crop := whole(p), place.WholeCrop(size)
		view := Viewport{Width: p.Width, Height: p.Height, Scale: 1, Centre: centreOf(crop)}
		for _, sigma := range []float64{4, 9, 17} {
			plan := one(view, crop, look.Look{Squint: true, Blur: place.MM(sigma * 2 * math.Sqrt(2*math.Ln2))})
			plan.Canvas = place.Size{Width: place.MM(p.Width), Height: place.MM(p.Height)}
			plan.Panes[0].Other = Other{Pyramid: y, Crop: crop, Live: true}
			s, on := plan.Squint(plan.Panes[0], y)
			if !on || !s.Live || len(s.Tiles()) > 0 {
				t.Fatalf("sigma %v: %+v with %d tiles", sigma, s.Work, len(s.Tiles()))
			}
			got, within, border := photo.New(p.Width, p.Height), 0.0, 0.0
			s.Patch.Draw(s.Frame(y), got.Pix, p.Width)
			for i, want := range gaussian(p, 0, 0, p.Width, p.Height, sigma) {
				x, y := i%p.Width, i/p.Width
				d := off(got.At(x, y), want)
				if edge := float64(min(x, p.Width-1-x, y, p.Height-1-y)); edge < 3*sigma {
					border = max(border, d)
				} else {
					within = max(within, d)
				}
			}
			t.Logf("%v, sigma %v: at most %.2f codes off, %.2f along the border", size, sigma, within, border)
			if within > 4 || border > wanted {
				t.Errorf("%v, sigma %v: up to %.2f codes off, %.2f along the border", size, sigma, within, border)
			}
		}
	}
}

// off is how many codes a colour is from linear light, in the worst channel.
func off(c colour.SRGB, light [3]float64) float64 {
	worst := 0.0
	for k, code := range [3]uint8{c.R, c.G, c.B} {
		worst = max(worst, math.Abs(float64(code)-255*colour.EncodeUnit(light[k])))
	}
	return worst
}

// TestSigmaOnTheCanvas: a blur of 10 mm on a canvas of 500 mm is a fiftieth of
// the crop's width; without a canvas the long side counts as 1000 mm.
func TestSigmaOnTheCanvas(t *testing.T) {
	p := Plan{Crop: place.Crop{Width: 2000, Height: 1000}, Canvas: place.Size{Width: 500, Height: 250}}
	l := look.Look{Squint: true, Blur: 10}
	if got, want := p.Sigma(Pane{Look: l}), 40/2.3548200450309493; math.Abs(got-want) > 1e-9 {
		t.Errorf("on the canvas sigma is %v px, want %v", got, want)
	}
	p.Canvas = place.Size{}
	if got, want := p.Sigma(Pane{Look: l}), 20/2.3548200450309493; math.Abs(got-want) > 1e-9 {
		t.Errorf("without a canvas sigma is %v px, want %v", got, want)
	}
	l.Squint = false
	if p.Sigma(Pane{Look: l}) != 0 {
		t.Error("there is a blur without a squint")
	}
}

// TestSquintHoldsStill: panning by whole device pixels moves the squinted picture
// and changes none of it.
func TestSquintHoldsStill(t *testing.T) {
	y := whole(scene(1400, 1100))
	crop := place.Crop{X: 3, Y: 4, Width: 1390, Height: 1090}
	v := Viewport{Width: 200, Height: 150, Scale: 1, Centre: place.PhotoPoint{X: 700, Y: 550}}
	for _, blur := range []place.MM{3, 60} {
		l := look.Look{Squint: true, Blur: blur}
		a := Execute(one(v, crop, l), y)
		b := Execute(one(v.Pan(-37, -21), crop, l), y)
		for j := range 129 {
			for i := range 163 {
				if a.At(i+37, j+21) != b.At(i, j) {
					t.Fatalf("blur %v: %d, %d changes from %v to %v", blur, i, j, a.At(i+37, j+21), b.At(i, j))
				}
			}
		}
	}
}

// TestSurroundStaysOut: a white crop stays white to its edges, however dark the
// photograph around it and the surround are.
func TestSurroundStaysOut(t *testing.T) {
	p := photo.New(300, 200)
	for y := 50; y < 150; y++ {
		for x := 60; x < 240; x++ {
			copy(p.Pix[4*(y*300+x):], []byte{255, 255, 255, 255})
		}
	}
	crop := place.Crop{X: 64, Y: 56, Width: 168, Height: 88}
	got := Execute(one(Fit(crop, 168, 88, 0), crop, look.Look{Squint: true, Blur: 60}), whole(p))
	for i := range 168 * 88 {
		if c := got.At(i%168, i/168); c != (colour.SRGB{R: 255, G: 255, B: 255}) {
			t.Fatalf("%d, %d is %v", i%168, i/168, c)
		}
	}
}
