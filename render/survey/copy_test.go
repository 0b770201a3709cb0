package survey

import (
	"math"
	"testing"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// pyramidOf is a finished pyramid of a picture.
func pyramidOf(p *photo.Picture) *photo.Pyramid {
	y := photo.NewPyramid(p)
	y.Finish()
	return y
}

// placed are photographs and the parts of them that are painted: odd sizes, single
// pixels and less, crops at the borders, panoramas, and crops that hold just under
// and just over as many pixels as a copy may.
var placed = []struct {
	width, height int
	crop          place.Crop
}{
	{1, 1, place.Crop{Width: 1, Height: 1}},
	{91, 73, place.Crop{Width: 91, Height: 73}},
	{91, 73, place.Crop{X: 40, Y: 30, Width: 1, Height: 1}},
	{91, 73, place.Crop{X: 40.4, Y: 30.7, Width: 0.2, Height: 0.1}},
	{91, 73, place.Crop{X: 90.5, Y: 72.25, Width: 0.5, Height: 0.75}},
	{91, 73, place.Crop{X: 7.5, Y: 3.25, Width: 51.9, Height: 34.9}},
	{91, 73, place.Crop{X: 39.1, Y: 38.1, Width: 51.9, Height: 34.9}},
	{1501, 1420, place.Crop{X: 0.5, Y: 0.5, Width: 1414.5, Height: 1413.9}},
	{2003, 1003, place.Crop{X: 0.2, Y: 1.4, Width: 2000.5, Height: 1000.2}},
	{2003, 1203, place.Crop{X: 0.49, Y: 0.49, Width: 2001.99, Height: 1201.99}},
	{3001, 1999, place.Crop{Width: 3001, Height: 1999}},
	{3001, 1999, place.Crop{X: 700.3, Y: 0, Width: 2300.7, Height: 1998.5}},
	{9001, 601, place.Crop{Width: 9001, Height: 601}},
	{401, 7003, place.Crop{X: 1.5, Y: 3.25, Width: 399.5, Height: 6999.75}},
	{30011, 101, place.Crop{X: 11, Y: 0, Width: 30000, Height: 101}},
}

// A copy covers the crop to within half of one of its pixels on every side, holds
// no more pixels than it may, nor than the crop has or touches, and what is carried
// to it and back is where it was.
func TestCopyLiesOnTheCrop(t *testing.T) {
	for _, at := range placed {
		c := NewCopy(pyramidOf(photo.New(at.width, at.height)), 0, 0, 1, at.crop)
		w, h := c.Picture.Width, c.Picture.Height
		if w < 1 || h < 1 || w*h > render.TabletPixels || w*h > at.width*at.height {
			t.Errorf("the copy of %v of %d x %d is %d x %d", at.crop, at.width, at.height, w, h)
		}
		if area := at.crop.Width * at.crop.Height; area > render.TabletPixels && float64(w*h) < 0.97*render.TabletPixels {
			t.Errorf("the copy of %v is only %d x %d", at.crop, w, h)
		}
		half := 0.5*c.Side + 1e-6
		if at.crop.Width < 1 { // less than a pixel is shown as one
			half = 1
		}
		for _, edge := range [][2]float64{
			{c.Left, at.crop.X}, {c.Top, at.crop.Y},
			{c.Left + c.Side*float64(w), at.crop.X + at.crop.Width}, {c.Top + c.Side*float64(h), at.crop.Y + at.crop.Height},
		} {
			if math.Abs(edge[0]-edge[1]) > half {
				t.Errorf("the copy of %v of %d x %d has an edge at %v, the crop at %v; its pixels are %v wide", at.crop, at.width, at.height, edge[0], edge[1], c.Side)
			}
		}
		p := place.PhotoPoint{X: at.crop.X + 0.3*at.crop.Width, Y: at.crop.Y + 0.9*at.crop.Height}
		if q := c.onPhoto(c.onCopy(p)); math.Hypot(q.X-p.X, q.Y-p.Y) > 1e-6 {
			t.Errorf("%v comes back from the copy of %v as %v", p, at.crop, q)
		}
	}
}

// A white disc painted anywhere on a black photograph is, on the copy, where the copy
// says: the middle of its light lies within half a pixel of the copy from the disc's.
// That holds for a copy made from a part of the photograph too, which is the copy
// that is made from the whole.
func TestCopyShowsWhatLiesThere(t *testing.T) {
	for _, at := range placed {
		if at.crop.Width < 2 || at.crop.Height < 2 {
			continue
		}
		for _, spot := range [][2]float64{{0.31, 0.62}, {0.83, 0.17}} {
			r := min(at.crop.Width, at.crop.Height) / 8
			x, y := at.crop.X+spot[0]*at.crop.Width, at.crop.Y+spot[1]*at.crop.Height
			pyramid := pyramidOf(disc(at.width, at.height, x, y, r))
			whole := NewCopy(pyramid, 0, 0, 1, at.crop)
			part := partCopy(pyramid, at.crop)
			for name, c := range map[string]Copy{"whole": whole, "part": part} {
				got := c.onPhoto(middleOfLight(c.Picture))
				if off := math.Hypot(got.X-x, got.Y-y); off > 0.5*c.Side {
					t.Errorf("on the copy of %v from the %s the disc at %.2f,%.2f lies at %v: %.2f of its pixels off", at.crop, name, x, y, got, off/c.Side)
				}
			}
			if off := math.Hypot(part.Left-whole.Left, part.Top-whole.Top); part.Picture.Size() != whole.Picture.Size() || off > 1e-6 || math.Abs(part.Side-whole.Side) > 1e-9 {
				t.Errorf("the copy of %v from a part lies elsewhere: %v %v %v, not %v %v %v", at.crop, part.Left, part.Top, part.Side, whole.Left, whole.Top, whole.Side)
			} else if n := differing(part.Picture, whole.Picture); n > 0 {
				t.Errorf("the copy of %v from a part differs in %d of %d pixels", at.crop, n, whole.Picture.Width*whole.Picture.Height)
			}
		}
	}
}

// partCopy is the copy that is made from a part laid out strip by strip.
func partCopy(y *photo.Pyramid, crop place.Crop) Copy {
	part := PartOf(y, crop)
	p := photo.New(part.Width, part.Height)
	buf := make([]byte, 4*part.Width*7)
	for at := 0; at < part.Height; at += 7 {
		copy(p.Pix[4*part.Width*at:], part.Rows(y, at, buf))
	}
	left, top, side := part.Lies()
	return NewCopy(pyramidOf(p), left, top, side, crop)
}

// disc is white on black.
func disc(width, height int, x, y, r float64) *photo.Picture {
	p := photo.New(width, height)
	for i := range width * height {
		px, py := float64(i%width)+0.5, float64(i/width)+0.5
		v := uint8(0)
		if math.Hypot(px-x, py-y) < r {
			v = 255
		}
		pix := p.Pix[4*i:][:4]
		pix[0], pix[1], pix[2], pix[3] = v, v, v, 255
	}
	return p
}

// middleOfLight is the centre of gravity of the picture's light.
func middleOfLight(p *photo.Picture) place.PhotoPoint {
	var sum, sx, sy float64
	for i := range p.Width * p.Height {
		w := float64(colour.EyeMeter.Read(p.Pix[4*i], p.Pix[4*i+1], p.Pix[4*i+2]))
		sum += w
		sx += w * (float64(i%p.Width) + 0.5)
		sy += w * (float64(i/p.Width) + 0.5)
	}
	return place.PhotoPoint{X: sx / sum, Y: sy / sum}
}

// differing counts the pixels in which two pictures of one size differ.
func differing(a, b *photo.Picture) int {
	n := 0
	for i := 0; i < len(a.Pix); i += 4 {
		if [4]byte(a.Pix[i:i+4]) != [4]byte(b.Pix[i:i+4]) {
			n++
		}
	}
	return n
}
