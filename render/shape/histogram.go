package shape

import (
	"math"

	"maulstick/render/colour"
	"maulstick/render/place"
)

// Bins is how many equal bins of lightness a histogram counts into: the parts of
// the fine scale, so that the edges of every number of equal steps are edges of
// bins too, and shares of steps are exact.
const Bins = colour.FineParts

// Histogram counts pixels by lightness: bin i holds those from 100*i/2520 up
// to, not including, 100*(i+1)/2520; white is in the last. The zero value is
// empty and ready.
type Histogram struct {
	Bins [Bins]uint64
}

// AddRows counts rows of a picture, four bytes a pixel without gaps and width
// pixels a row, of which the first is row top of the picture. Only pixels
// whose centres lie in the crop are counted: from its left and upper edge,
// included, up to its right and lower edge, not included.
func (h *Histogram) AddRows(m *colour.Meter, pix []byte, width, top int, crop place.Crop) {
	if width < 1 {
		return
	}
	s := colour.Fine()
	rows := len(pix) / (4 * width)
	left, right := centres(crop.X, crop.Width, 0, width)
	first, end := centres(crop.Y, crop.Height, top, top+rows)
	for y := first; y < end; y++ {
		row := pix[4*width*(y-top):]
		for line := row[4*left : 4*right]; len(line) >= 4; line = line[4:] {
			h.Bins[s.Part(m.Read(line[0], line[1], line[2]))]++
		}
	}
}

// centres is the range of pixels between low and high whose centres lie from
// start, included, to start+length, not included. Edges that are no numbers
// include nothing.
func centres(start, length float64, low, high int) (first, end int) {
	inside := func(edge float64) int {
		if math.IsNaN(edge) {
			return low
		}
		return int(min(max(math.Ceil(edge-0.5), float64(low)), float64(high)))
	}
	first = inside(start)
	return first, max(inside(start+length), first)
}

// Add counts another histogram's pixels as well.
func (h *Histogram) Add(other *Histogram) {
	for i, n := range other.Bins {
		h.Bins[i] += n
	}
}

// Total is how many pixels have been counted.
func (h *Histogram) Total() uint64 {
	var sum uint64
	for _, n := range h.Bins {
		sum += n
	}
	return sum
}

// Shares is how much of what was counted falls into each step, from the
// darkest, as fractions of one: exact counts, divided once. Without a pixel
// every share is 0.
func (h *Histogram) Shares(s Steps) []float64 {
	shares := make([]float64, s.count)
	total := h.Total()
	if total == 0 {
		return shares
	}
	each := Bins / s.count
	for k := range shares {
		var sum uint64
		for _, n := range h.Bins[k*each : (k+1)*each] {
			sum += n
		}
		shares[k] = float64(sum) / float64(total)
	}
	return shares
}
