package photo

import (
	"math"

	"maulstick/render/colour"
	"maulstick/render/crew"
	"maulstick/render/place"
)

// Beyond is the code, in all three channels, of what a warped picture shows of
// beyond the photograph: grey of lightness 50.
const Beyond = 119

// widestReach is how far, in photo pixels, one pixel of a warped picture gathers
// light at most: only near a horizon would it be more.
const widestReach = 128

// warpBatch is how many pixels are made between two reports of progress.
const warpBatch = 1 << 19

// Warp redraws a photograph through a homography from its pixels to those of a
// new picture of that size: turned by place.Turn, squared up by place.Quad. Light
// is gathered, never codes, under a tent about the place that each new pixel's
// centre comes from; the tent reaches a pixel of the photograph each way, or the
// length of the new pixel there where that is longer, so that fine patterns fade
// to their mean light and do not turn into coarse ones. Along slanting
// directions it is up to 1.4 times as wide as it needs be. A tent neither rings
// nor leaves the range of the light it gathers; a picture not altered at all
// comes out the same, code for code.
//
// Progress may be nil; it is told 0..1, and an error that it returns ends the
// work and is returned. A homography or size that cannot be drawn is a
// *Refusal.
func Warp(p *Picture, to place.Homography, size place.Pixels, progress func(done float64) error) (*Picture, error) {
	w, err := NewWarping(p, to, size)
	if err != nil {
		return nil, err
	}
	out := New(size.Width, size.Height)
	batch := out.Height
	if progress != nil {
		batch = max(warpBatch/out.Width, 1)
	}
	for top := 0; top < out.Height; top += batch {
		end := min(top+batch, out.Height)
		w.Rows(top, out.Pix[4*out.Width*top:4*out.Width*end])
		if progress == nil {
			continue
		}
		if err := progress(float64(end) / float64(out.Height)); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Warping redraws a photograph as Warp does, rows by rows, where there is no room
// for the whole new picture.
type Warping struct {
	from  *Picture
	back  place.Homography
	width int // of the new picture
}

// NewWarping is ready to redraw. A homography or size that cannot be drawn is a
// *Refusal.
func NewWarping(p *Picture, to place.Homography, size place.Pixels) (*Warping, error) {
	back, ok := to.Inverse()
	switch {
	case !ok:
		return nil, &Refusal{"the four corners flatten the picture to a line", "put each on its own corner of the canvas"}
	case size.Width < 1 || size.Height < 1 || max(size.Width, size.Height) > MaxSide || size.Width*size.Height > MaxPixels:
		return nil, &Refusal{"the new picture would have no pixels, or more than can be opened", "ask for a smaller one"}
	case p.Width < 1 || p.Height < 1:
		return nil, &Refusal{"there is no photograph to redraw", helpOther}
	}
	return &Warping{from: p, back: back, width: size.Width}, nil
}

// Rows makes rows of the new picture from one on, as many as fill pix, four bytes a
// pixel as in a Picture.
func (w *Warping) Rows(top int, pix []byte) {
	crew.Share(len(pix)/(4*w.width), 4, func(first, last int) {
		var columns, rows tent
		for y := first; y < last; y++ {
			w.row(float64(top+y)+0.5, pix[4*w.width*y:][:4*w.width], &columns, &rows)
		}
	})
}

// row makes one row of the new picture, y being the middle of its pixels. It has two
// tents to work with.
func (w *Warping) row(y float64, pix []byte, columns, rows *tent) {
	h, width, height := w.back, float64(w.from.Width), float64(w.from.Height)
	for i := 0; i < len(pix); i += 4 {
		pixel := pix[i : i+4 : i+4]
		pixel[0], pixel[1], pixel[2], pixel[3] = Beyond, Beyond, Beyond, 255
		x := float64(i/4) + 0.5
		depth := h[2][0]*x + h[2][1]*y + h[2][2]
		if !(depth > 0) {
			continue
		}
		atX, atY := (h[0][0]*x+h[0][1]*y+h[0][2])/depth, (h[1][0]*x+h[1][1]*y+h[1][2])/depth
		if !(atX >= 0 && atY >= 0 && atX <= width && atY <= height) {
			continue
		}
		// The tent reaches as far as a new pixel does there, by the homography's
		// derivatives.
		ax, ay := h[0][0]-atX*h[2][0], h[0][1]-atX*h[2][1]
		dx, dy := h[1][0]-atY*h[2][0], h[1][1]-atY*h[2][1]
		columns.pitch(atX, math.Sqrt(ax*ax+ay*ay)/depth, w.from.Width)
		rows.pitch(atY, math.Sqrt(dx*dx+dy*dy)/depth, w.from.Height)
		if light, ok := w.gather(columns, rows); ok {
			pixel[0], pixel[1], pixel[2] = colour.Encode(light.R), colour.Encode(light.G), colour.Encode(light.B)
		}
	}
}

// gather is the mean light under two tents, one across and one down; ok is false if
// nothing lies under them.
func (w *Warping) gather(columns, rows *tent) (light colour.Linear, ok bool) {
	var r, g, b, all float64
	across := columns.weights[:columns.count]
	for j, down := range rows.weights[:rows.count] {
		line := w.from.Pix[4*((rows.first+j)*w.from.Width+columns.first):]
		for _, weight := range across {
			// The conversions keep processors from fusing product and sum, which
			// would round in another way.
			part := float64(down * weight)
			r += float64(part * colour.Decode(line[0]))
			g += float64(part * colour.Decode(line[1]))
			b += float64(part * colour.Decode(line[2]))
			all += part
			line = line[4:]
		}
	}
	return colour.Linear{R: r / all, G: g / all, B: b / all}, all > 0
}

// tent is the weights of the pixels along one direction whose centres lie under a
// tent, count of them from first on; what of it lies beyond the photograph has none.
type tent struct {
	first, count int
	weights      [2*widestReach + 2]float64
}

// pitch pitches the tent about a place on a line of n pixels, to reach so far but no
// less than a pixel.
func (t *tent) pitch(at, reach float64, n int) {
	// A comparison is quicker than min and max of floats in a browser's engine.
	if reach < 1 {
		reach = 1
	} else if !(reach < widestReach) {
		reach = widestReach
	}
	top, slope := at-0.5, 1/reach
	t.first = max(int(math.Floor(top-reach))+1, 0)
	t.count = max(min(int(math.Ceil(top+reach)), n)-t.first, 0)
	for i := range t.weights[:t.count] {
		weight := 1 - float64(math.Abs(float64(t.first+i)-top)*slope)
		if weight < 0 {
			weight = 0 // by rounding
		}
		t.weights[i] = weight
	}
}
