package shape

import (
	"sync"

	"maulstick/render/colour"
	"maulstick/render/place"
)

const (
	// Bins is how many bins of lightness a histogram counts into: the parts of the
	// fine scale, so that the edges of every number of equal steps are edges of
	// bins too, parted by the 255 gaps between grey codes, one of which falls on an
	// edge.
	Bins = colour.FineParts + 254
)

// Histogram counts pixels by lightness. Its bins end at every multiple of
// 100/2520 of L* and at every gap between two neighbouring grey codes, so that
// equal steps, and edges that were snapped, part no bin and their shares are
// exact. The zero value is empty and ready.
type Histogram struct {
	Bins  [Bins]uint64 // pixels, from the darkest bin
	Light [Bins]uint64 // the sum of their light
}

// Counted is a picture counted by lightness: a *Histogram or a *Tally.
type Counted interface{ counted() counted }

// counted is pixels and the sum of their light by bin; bin i holds the light
// from edges[i] up to, not including, edges[i+1].
type counted struct {
	edges         []colour.Light
	pixels, light []uint64
}

func (h *Histogram) counted() counted {
	return counted{binScale().Edges(), h.Bins[:], h.Light[:]}
}

// total is how many pixels were counted.
func (c counted) total() uint64 {
	var sum uint64
	for _, n := range c.pixels {
		sum += n
	}
	return sum
}

// lightness is the lightness of the mean light in a bin that holds pixels. What
// lies in one bin differs by 0.04 L* at most.
func (c counted) lightness(i int) float64 {
	return float64(colour.Luminance(float64(c.light[i]) / float64(c.pixels[i]) / float64(colour.FullLight)).Lightness())
}

// stepOf is the step that a bin that holds pixels falls into: that of its mean
// light, which matters only where an edge parts the bin.
func (c counted) stepOf(i int, s Steps) int {
	return s.Of(colour.Light(c.light[i] / c.pixels[i]))
}

// standardEdges are the edges of a histogram's bins, in no order.
func standardEdges() []colour.Light {
	gaps := colour.GreyThresholds()
	return append(gaps[:], colour.Fine().Thresholds()...)
}

// binScale is a histogram's, made at the first use.
var binScale = sync.OnceValue(func() *colour.Scale { return colour.NewScale(standardEdges()) })

// countRows counts rows of a picture by a scale, as Histogram.AddRows says.
func countRows(s *colour.Scale, pixels, light []uint64, m *colour.Meter, pix []byte, width, top int, crop place.Crop) {
	if width < 1 {
		return
	}
	rows := len(pix) / (4 * width)
	left, right := place.Centres(crop.X, crop.Width, 0, width)
	first, end := place.Centres(crop.Y, crop.Height, top, top+rows)
	for y := first; y < end; y++ {
		row := pix[4*width*(y-top):]
		for line := row[4*left : 4*right]; len(line) >= 4; line = line[4:] {
			l := m.Read(line[0], line[1], line[2])
			b := s.Part(l)
			pixels[b]++
			light[b] += uint64(l)
		}
	}
}

// AddRows counts rows of a picture, four bytes a pixel without gaps and width
// pixels a row, of which the first is row top of the picture. Only pixels
// whose centres lie in the crop are counted: from its left and upper edge,
// included, up to its right and lower edge, not included.
func (h *Histogram) AddRows(m *colour.Meter, pix []byte, width, top int, crop place.Crop) {
	countRows(binScale(), h.Bins[:], h.Light[:], m, pix, width, top, crop)
}

// AddLight counts n pixels of one light.
func (h *Histogram) AddLight(l colour.Light, n uint64) {
	l = min(l, colour.FullLight)
	b := binScale().Part(l)
	h.Bins[b] += n
	h.Light[b] += n * uint64(l)
}

// Add counts another histogram's pixels as well.
func (h *Histogram) Add(other *Histogram) {
	for i := range h.Bins {
		h.Bins[i] += other.Bins[i]
		h.Light[i] += other.Light[i]
	}
}

// Total is how many pixels have been counted.
func (h *Histogram) Total() uint64 { return h.counted().total() }

// Codes is how many pixels have the lightness of each grey code, to the nearest
// code: what is drawn under the picture, and what snapped edges part.
func (h *Histogram) Codes() [256]uint64 {
	var codes [256]uint64
	for i, l := range binScale().Edges()[:Bins] {
		codes[l.Grey()] += h.Bins[i]
	}
	return codes
}

// Shares is how much of what was counted falls into each step, from the
// darkest, as fractions of one. They are exact, counts divided once, for equal
// steps, for edges that were snapped, and for steps fitted to this histogram;
// otherwise a bin that an edge parts, 0.04 L* wide at most, goes whole to one
// side, and a Tally is exact. Without a pixel every share is 0.
func (h *Histogram) Shares(s Steps) []float64 {
	c := h.counted()
	counts := make([]uint64, s.count)
	for i, n := range c.pixels {
		if n > 0 {
			counts[c.stepOf(i, s)-1] += n
		}
	}
	return fractions(counts)
}

// fractions divides counts by their sum.
func fractions(counts []uint64) []float64 {
	var total uint64
	for _, n := range counts {
		total += n
	}
	shares := make([]float64, len(counts))
	for k, n := range counts {
		if total > 0 {
			shares[k] = float64(n) / float64(total)
		}
	}
	return shares
}
