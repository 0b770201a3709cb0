package shape

import (
	"cmp"
	"math"
	"slices"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// fullLight is the linear light of white in the sums of regions.
const fullLight = 65535

// wholeLight is the linear light of each sRGB code in whole numbers.
var wholeLight = func() (table [256]uint32) {
	for code := range table {
		table[code] = uint32(math.Round(colour.Decode(uint8(code)) * fullLight))
	}
	return table
}()

// region is a connected area of one label, added up in whole numbers.
type region struct {
	label                    uint8
	area                     uint32
	red, green, blue         uint64 // linear light, of fullLight a pixel
	x, y                     uint64 // columns and rows
	left, top, right, bottom uint32 // of its pixels, the last ones included
}

// add takes another region in; the label stays.
func (r *region) add(o *region) {
	if r.area == 0 {
		r.left, r.top, r.right, r.bottom = o.left, o.top, o.right, o.bottom
	}
	r.area += o.area
	r.red, r.green, r.blue = r.red+o.red, r.green+o.green, r.blue+o.blue
	r.x, r.y = r.x+o.x, r.y+o.y
	r.left, r.top = min(r.left, o.left), min(r.top, o.top)
	r.right, r.bottom = max(r.right, o.right), max(r.bottom, o.bottom)
}

// mean is the region's mean linear light.
func (r *region) mean() colour.Linear {
	n := float64(r.area) * fullLight
	return colour.Linear{R: float64(r.red) / n, G: float64(r.green) / n, B: float64(r.blue) / n}
}

// labGrain is how many parts a unit of CIELAB is counted in, so that colour
// differences are whole numbers and compare alike on every processor.
const labGrain = 16

// lab is the mean in CIELAB, in parts of labGrain.
func (r *region) lab() [3]int32 {
	c := r.mean().XYZ().Lab()
	whole := func(v float64) int32 { return int32(math.Round(v * labGrain)) }
	return [3]int32{whole(c.L), whole(c.A), whole(c.B)}
}

// shape is what is told of the region; its place is found later.
func (r *region) shape(width, height int) Shape {
	mean, n := r.mean(), float64(r.area)
	y := mean.Luminance()
	return Shape{
		Label: r.label, Area: int(r.area), Share: n / float64(width*height),
		Mean: mean, Colour: mean.SRGB(), Lightness: y.Lightness(), Value: y.Value(),
		Centroid: place.PhotoPoint{X: float64(r.x)/n + 0.5, Y: float64(r.y)/n + 0.5},
		Left:     int(r.left), Top: int(r.top), Width: int(r.right-r.left) + 1, Height: int(r.bottom-r.top) + 1,
		AtTheFrame: r.left == 0 || r.top == 0 || int(r.right) == width-1 || int(r.bottom) == height-1,
	}
}

// meet counts a pixel, met in rows from the top, without its light.
func (r *region) meet(x, y uint32) {
	if r.area == 0 {
		r.left, r.top = x, y
	}
	r.area++
	r.x, r.y = r.x+uint64(x), r.y+uint64(y)
	r.left, r.right, r.bottom = min(r.left, x), max(r.right, x), y
}

// measure adds up the pixels of regions with the given labels.
func measure(w *work, base []uint32, labels []uint8, p *photo.Picture) []region {
	regions := make([]region, len(labels))
	for i, label := range labels {
		regions[i].label = label
	}
	for y := range p.Height {
		if start := y * p.Width; start/often != (start+p.Width)/often && !w.done(y, p.Height) {
			break
		}
		for x := range p.Width {
			i := y*p.Width + x
			r, c := &regions[base[i]], p.Pix[4*i:4*i+3:4*i+3]
			r.meet(uint32(x), uint32(y))
			r.red += uint64(wholeLight[c[0]])
			r.green += uint64(wholeLight[c[1]])
			r.blue += uint64(wholeLight[c[2]])
		}
	}
	return regions
}

// byArea is the order of regions that have an area, the largest first and
// of equal ones the first.
func byArea(regions []region) []uint32 {
	var order []uint32
	for i := range regions {
		if regions[i].area > 0 {
			order = append(order, uint32(i))
		}
	}
	slices.SortStableFunc(order, func(a, b uint32) int { return cmp.Compare(regions[b].area, regions[a].area) })
	return order
}
