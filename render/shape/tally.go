package shape

import (
	"maulstick/render/colour"
	"maulstick/render/place"
)

// Tally counts pixels by lightness as a Histogram does, in bins that the edges of
// certain steps part too: shares of those steps are exact wherever their edges
// lie.
type Tally struct {
	scale         *colour.Scale
	pixels, light []uint64
}

// NewTally is an empty tally in which shares of the given steps are exact.
func NewTally(s Steps) *Tally {
	return newTally(append(standardEdges(), s.Thresholds()...))
}

// closeParts is into how many parts a close tally cuts the bins about an edge.
const closeParts = 1024

// NewCloseTally is an empty tally with the bins about each edge of the given
// steps cut into parts of less than 0.0001 L*. Steps fitted to a histogram of a
// picture, and then again to a close tally of it, have the edges that the pixels
// themselves want, to that accuracy.
func NewCloseTally(s Steps) *Tally {
	edges, standard := append(standardEdges(), s.Thresholds()...), binScale()
	for _, t := range s.Thresholds() {
		about := standard.Part(t)
		for b := max(about-2, 0); b <= min(about+2, Bins-1); b++ {
			from, to := standard.Edges()[b], min(standard.Edges()[b+1], colour.FullLight+1)
			part := max((to-from)/closeParts, 1)
			for l := from + part; l < to; l += part {
				edges = append(edges, l)
			}
		}
	}
	return newTally(edges)
}

func newTally(edges []colour.Light) *Tally {
	s := colour.NewScale(edges)
	bins := len(s.Edges()) - 1
	return &Tally{scale: s, pixels: make([]uint64, bins), light: make([]uint64, bins)}
}

func (t *Tally) counted() counted { return counted{t.scale.Edges(), t.pixels, t.light} }

// AddRows counts rows of a picture as Histogram.AddRows does.
func (t *Tally) AddRows(m *colour.Meter, pix []byte, width, top int, crop place.Crop) {
	countRows(t.scale, t.pixels, t.light, m, pix, width, top, crop)
}
