package shape

import (
	"math"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// Scene is a picture to be flattened. Its pictures have one size, about two
// megapixels at most; heavier ones work as well, only slower.
type Scene struct {
	Plain    *photo.Picture // what colours are measured on
	Squinted *photo.Picture // what shapes and their borders are found on; may be the same
	Labels   []uint8        // of each pixel of the squinted picture: its step, or its pile
	Sigma    float64        // the squint's standard deviation in pixels, 0 without one
}

// StepLabels is the step, from 1, of each pixel of a picture.
func StepLabels(p *photo.Picture, m *colour.Meter, s Steps) []uint8 {
	labels := make([]uint8, p.Width*p.Height)
	for i := range labels {
		c := p.Pix[4*i : 4*i+3 : 4*i+3]
		labels[i] = uint8(s.Of(m.Read(c[0], c[1], c[2])))
	}
	return labels
}

// Flat is a picture in flat shapes: each a connected area of one step or pile.
// Pixels are connected through their sides.
type Flat struct {
	Width, Height int
	IDs           []uint32 // of each pixel, rows from the top: the index of its shape
	Shapes        []Shape  // from the largest to the smallest
}

// Shape is one flat shape of a picture. Places and lengths are in pixels of the
// picture that was flattened; Place is the middle of a pixel.
type Shape struct {
	Label      uint8            `json:"label"` // its step, or whatever the labels meant
	Area       int              `json:"area_px"`
	Share      float64          `json:"area_share"` // of the picture, 0..1
	Mean       colour.Linear    `json:"mean_linear"`
	Colour     colour.SRGB      `json:"rgb"` // the mean, stored
	Lightness  colour.Lightness `json:"lightness"`
	Value      colour.Value     `json:"munsell_value"`
	Centroid   place.PhotoPoint `json:"centroid_px"`
	Place      place.PhotoPoint `json:"place_px"` // inside it, as far from its border as any
	Left       int              `json:"left_px"`
	Top        int              `json:"top_px"`
	Width      int              `json:"width_px"`
	Height     int              `json:"height_px"`
	AtTheFrame bool             `json:"at_the_frame"` // it reaches the picture's border
}

// Draw is the picture with every shape in its mean colour.
func (f *Flat) Draw() *photo.Picture {
	out := photo.New(f.Width, f.Height)
	for i, id := range f.IDs {
		c := f.Shapes[id].Colour
		pix := out.Pix[4*i:][:4]
		pix[0], pix[1], pix[2], pix[3] = c.R, c.G, c.B, 255
	}
	return out
}

// PixelArea is the area of a pixel on the canvas, in square millimetres. The
// mapping's crop is in pixels of the same picture.
func PixelArea(m place.Mapping) float64 {
	return float64(m.Canvas.Width) / m.Crop.Width * (float64(m.Canvas.Height) / m.Crop.Height)
}

// SmallestArea is the area in pixels that "nothing smaller than" a length
// asks of every shape: that of a disc of this diameter on the canvas.
func SmallestArea(diameter place.MM, m place.Mapping) float64 {
	return math.Pi / 4 * float64(diameter*diameter) / PixelArea(m)
}

// SmallestFor is the smallest size of shapes on a canvas unless the painter says
// another: a sixteenth of its short side.
func SmallestFor(canvas place.Size) place.MM { return min(canvas.Width, canvas.Height) / 16 }

// SquintFor is how wide a squint, at half maximum on the canvas, goes before
// shapes that are to be no smaller than a length: wide enough for grain and
// texture to go, and little enough for a shape of the smallest size to keep its
// own.
func SquintFor(smallest place.MM) place.MM { return smallest / 4 }

// SquintForCount is the same before shapes that are asked for by their number:
// so little that most pictures come to hundreds, from which few are merged.
func SquintForCount(canvas place.Size) place.MM { return min(canvas.Width, canvas.Height) / 512 }

// Smallest is the picture in shapes none of which is smaller than an area in
// pixels; in one shape if the whole picture is smaller.
func (h *Hierarchy) Smallest(area float64) *Flat { return h.cut(h.mergesBelow(area)) }

// Count is how many shapes Smallest gives.
func (h *Hierarchy) Count(area float64) int {
	if n := h.mergesBelow(area); n > 0 {
		return int(h.merges[n-1].left)
	}
	return len(h.regions)
}

// Size is the size of the picture that was flattened.
func (h *Hierarchy) Size() place.Pixels { return place.Pixels{Width: h.width, Height: h.height} }

// Fewest and most shapes that About can give.
func (h *Hierarchy) Range() (fewest, most int) {
	return h.Count(math.Inf(1)), h.Count(0)
}

// About is the picture in as nearly the asked number of shapes as there is,
// rather fewer than more. The smallest vanish first.
func (h *Hierarchy) About(count int) *Flat { return h.cut(h.mergesTo(count)) }

// cut is the picture after the first merges.
func (h *Hierarchy) cut(merges int) *Flat {
	f := &Flat{Width: h.width, Height: h.height, IDs: make([]uint32, len(h.base))}
	root := h.roots(merges)
	sums := h.collect(root)
	order := byArea(sums)
	index := make([]uint32, len(h.regions))
	for i, r := range order {
		index[r] = uint32(i)
		f.Shapes = append(f.Shapes, sums[r].shape(h.width, h.height))
	}
	for r := range root {
		index[r] = index[root[r]]
	}
	for i, r := range h.base {
		f.IDs[i] = index[r]
	}
	f.findPlaces()
	return f
}

// roots is the region that each one has become part of after the first merges.
func (h *Hierarchy) roots(merges int) []uint32 {
	root := make([]uint32, len(h.regions))
	for i := range root {
		root[i] = uint32(i)
	}
	// What a region has merged into may itself have merged later on, so the last
	// merges come first.
	for i := merges - 1; i >= 0; i-- {
		m := h.merges[i]
		root[m.from] = root[m.into]
	}
	return root
}

// collect adds up regions by what they have become part of.
func (h *Hierarchy) collect(root []uint32) []region {
	sums := make([]region, len(h.regions))
	for i, r := range root {
		if int(r) == i {
			sums[i] = h.regions[i]
		}
	}
	for i, r := range root {
		if int(r) != i {
			sums[r].add(&h.regions[i])
		}
	}
	for i, r := range root {
		if int(r) != i {
			sums[i] = region{}
		}
	}
	return sums
}

// findPlaces puts each shape's place where the distance to its border, and to
// the picture's, is greatest; the first such pixel counts.
func (f *Flat) findPlaces() {
	d := distances(nil, f.IDs, f.Width, f.Height, true)
	best := make([]uint16, len(f.Shapes))
	for i, id := range f.IDs {
		if d[i] > best[id] {
			best[id] = d[i]
			f.Shapes[id].Place = place.PhotoPoint{X: float64(i%f.Width) + 0.5, Y: float64(i/f.Width) + 0.5}
		}
	}
}
