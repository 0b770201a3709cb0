package shape

import (
	"encoding/binary"
	"encoding/json"
	"fmt"

	"maulstick/render/colour"
)

// stepsJSON is how steps are written down.
type stepsJSON struct {
	Edges []colour.Lightness `json:"edges_lightness"`
	Shown []colour.Lightness `json:"shown_lightness"`
}

// MarshalJSON writes the edges and what each step is shown as, in L*.
func (s Steps) MarshalJSON() ([]byte, error) {
	return json.Marshal(stepsJSON{Edges: append([]colour.Lightness{}, s.Edges()...), Shown: append([]colour.Lightness{}, s.shown[:s.count]...)})
}

// UnmarshalJSON reads steps as MarshalJSON writes them. It refuses what no steps
// are: a wrong number of either list, edges out of order, lightnesses outside
// 0..100.
func (s *Steps) UnmarshalJSON(data []byte) error {
	var read stepsJSON
	if err := json.Unmarshal(data, &read); err != nil {
		return fmt.Errorf("reading steps: %w", err)
	}
	if len(read.Edges)+len(read.Shown) == 0 {
		*s = Steps{}
		return nil
	}
	if _, err := EdgedSteps(read.Edges); err != nil {
		return fmt.Errorf("reading steps: %w", err)
	}
	if len(read.Shown) != len(read.Edges)+1 {
		return fmt.Errorf("reading steps: %d lightnesses show the steps between %d edges", len(read.Shown), len(read.Edges))
	}
	for _, l := range read.Shown {
		if !(l >= 0 && l <= 100) {
			return fmt.Errorf("reading steps: a step is shown as %v, which is no lightness", float64(l))
		}
	}
	*s = newSteps(read.Edges, read.Shown)
	return nil
}

// HistogramBytes is how long a histogram is in bytes.
const HistogramBytes = 2 * 8 * Bins

// Bytes is the histogram in HistogramBytes bytes: the pixels of each bin and then
// the light of each, eight bytes each, the lowest first.
func (h *Histogram) Bytes() []byte {
	b := make([]byte, 0, HistogramBytes)
	for _, list := range [][]uint64{h.Bins[:], h.Light[:]} {
		for _, n := range list {
			b = binary.LittleEndian.AppendUint64(b, n)
		}
	}
	return b
}

// SetBytes reads a histogram as Bytes writes it.
func (h *Histogram) SetBytes(data []byte) error {
	if len(data) != HistogramBytes {
		return fmt.Errorf("reading a histogram: it is %d bytes long, not %d", len(data), HistogramBytes)
	}
	for _, list := range [][]uint64{h.Bins[:], h.Light[:]} {
		for i := range list {
			list[i], data = binary.LittleEndian.Uint64(data), data[8:]
		}
	}
	return nil
}
