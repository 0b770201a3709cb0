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
		for y := first; y < last; y++ {
			line := pix[4*w.width*y:][:4*w.width]
			for x := range w.width {
				c := w.pixel(float64(x)+0.5, float64(top+y)+0.5)
				copy(line[4*x:4*x+4], []byte{c.R, c.G, c.B, 255})
			}
		}
	})
}

// pixel is the colour about a place of the new picture.
func (w *Warping) pixel(x, y float64) colour.SRGB {
	beyond := colour.SRGB{R: Beyond, G: Beyond, B: Beyond}
	p, ok := w.back.Apply(place.PhotoPoint{X: x, Y: y})
	if !ok || !(p.X >= 0) || !(p.Y >= 0) || p.X > float64(w.from.Width) || p.Y > float64(w.from.Height) {
		return beyond
	}
	rx, ry := w.reach(x, y, p)
	columns, rows := newTent(p.X, rx, w.from.Width), newTent(p.Y, ry, w.from.Height)
	var r, g, b, all float64
	for j := rows.first; j < rows.end; j++ {
		down := rows.weight(j)
		line := w.from.Pix[4*(j*w.from.Width+columns.first) : 4*(j*w.from.Width+columns.end)]
		for i := columns.first; i < columns.end; i++ {
			// The conversions keep processors from fusing product and sum, which
			// would round in another way.
			part := float64(down * columns.weight(i))
			r += float64(part * colour.Decode(line[0]))
			g += float64(part * colour.Decode(line[1]))
			b += float64(part * colour.Decode(line[2]))
			all += part
			line = line[4:]
		}
	}
	if all <= 0 {
		return beyond
	}
	return colour.Linear{R: r / all, G: g / all, B: b / all}.SRGB()
}

// reach is how far the tent reaches across and down the photograph: the size of
// a new pixel there, by the homography's derivatives.
func (w *Warping) reach(x, y float64, p place.PhotoPoint) (across, down float64) {
	h := &w.back
	depth := h[2][0]*x + h[2][1]*y + h[2][2]
	ax, ay := h[0][0]-p.X*h[2][0], h[0][1]-p.X*h[2][1]
	dx, dy := h[1][0]-p.Y*h[2][0], h[1][1]-p.Y*h[2][1]
	across, down = math.Sqrt(ax*ax+ay*ay)/depth, math.Sqrt(dx*dx+dy*dy)/depth
	return min(max(across, 1), widestReach), min(max(down, 1), widestReach)
}

// tent is the pixels along one direction, first..end-1, whose centres lie under a
// tent; what of it lies beyond the photograph has no weight.
type tent struct {
	top, slope float64
	first, end int
}

// newTent is the tent about a place on a line of n pixels.
func newTent(at, reach float64, n int) tent {
	return tent{
		top: at - 0.5, slope: 1 / reach,
		first: max(int(math.Floor(at-0.5-reach))+1, 0),
		end:   min(int(math.Ceil(at-0.5+reach)), n),
	}
}

// weight is the tent's height over pixel i, at least 0.
func (t tent) weight(i int) float64 { return max(1-float64(math.Abs(float64(i)-t.top)*t.slope), 0) }
