package check

import (
	"math"

	"maulstick/render/colour"
	"maulstick/render/crew"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// workSide is how many pixels the long side of the canvas has while the painting is
// compared: on 36 in three quarters of a millimetre a pixel.
const workSide = 1200

// frameOf is the size that a canvas is compared in, its long side so many pixels.
func frameOf(canvas place.Size, long int) place.Pixels {
	scale := float64(long) / float64(max(canvas.Width, canvas.Height))
	return place.Pixels{
		Width:  max(int(math.Round(float64(canvas.Width)*scale)), 1),
		Height: max(int(math.Round(float64(canvas.Height)*scale)), 1),
	}
}

// squared is the canvas alone, squared up and its lens's bow taken out, in linear
// light: the photograph averaged down to about the size wanted, and read between
// four pixels; in the light that cards say it has, if they do.
func squared(p *photo.Picture, c Canvas, size place.Pixels, truly func(place.PhotoPoint, colour.Linear) colour.Linear) (lit, error) {
	var straight place.Quad
	for i, corner := range c.Corners {
		straight[i] = c.Bow.Straight(corner)
	}
	to, err := place.QuadToQuad(place.WholeCrop(size).Corners(), straight)
	if err != nil {
		return lit{}, err
	}
	longest := 0.0
	for i := range c.Corners {
		a, b := c.Corners[i], c.Corners[(i+1)%4]
		longest = max(longest, math.Hypot(b.X-a.X, b.Y-a.Y))
	}
	scale := min(1.15*float64(max(size.Width, size.Height))/longest, 1)
	small, err := photo.Reduced(p, place.WholeCrop(p.Size()), int(scale*float64(max(p.Width, p.Height))))
	if err != nil {
		return lit{}, err
	}
	sx, sy := float64(small.Width)/float64(p.Width), float64(small.Height)/float64(p.Height)
	from, out := litOf(small), newLit(size.Width, size.Height)
	crew.Share(size.Height, 8, func(first, end int) {
		for y := first; y < end; y++ {
			for x := range size.Width {
				at, ok := to.Apply(place.PhotoPoint{X: float64(x) + 0.5, Y: float64(y) + 0.5})
				if !ok {
					continue
				}
				at = c.Bow.Bent(at)
				i := y*size.Width + x
				from.read(at.X*sx, at.Y*sy, out.rgb[3*i:])
				if truly != nil {
					l := truly(at, out.light(i))
					out.rgb[3*i], out.rgb[3*i+1], out.rgb[3*i+2] = float32(l.R), float32(l.G), float32(l.B)
				}
			}
		}
	})
	return out, nil
}

// cropped is the painted part of the reference in a size, in linear light; one that
// is smaller is read between its pixels.
func cropped(p *photo.Picture, crop place.Crop, size place.Pixels) (lit, error) {
	if err := crop.Check(p.Size()); err != nil {
		return lit{}, err
	}
	small, err := photo.Reduced(p, crop, max(size.Width, size.Height))
	if err != nil {
		return lit{}, err
	}
	from := litOf(small)
	if small.Size() == size {
		return from, nil
	}
	out := newLit(size.Width, size.Height)
	sx, sy := float64(small.Width)/float64(size.Width), float64(small.Height)/float64(size.Height)
	for y := range size.Height {
		for x := range size.Width {
			from.read((float64(x)+0.5)*sx, (float64(y)+0.5)*sy, out.rgb[3*(y*size.Width+x):])
		}
	}
	return out, nil
}
