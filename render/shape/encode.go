package shape

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"

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
// 0..100, a field of another name.
func (s *Steps) UnmarshalJSON(data []byte) error {
	var read stepsJSON
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&read); err != nil {
		return fmt.Errorf("reading steps: %w", err)
	}
	steps, err := readSteps(read.Edges, read.Shown)
	if err != nil {
		return err
	}
	*s = steps
	return nil
}

// readSteps is the steps that were written down as their edges and what each is
// shown as.
func readSteps(edges, shown []colour.Lightness) (Steps, error) {
	if len(edges)+len(shown) == 0 {
		return Steps{}, nil
	}
	if _, err := EdgedSteps(edges); err != nil {
		return Steps{}, fmt.Errorf("reading steps: %w", err)
	}
	if len(shown) != len(edges)+1 {
		return Steps{}, fmt.Errorf("reading steps: %d lightnesses show the steps between %d edges", len(shown), len(edges))
	}
	for _, l := range shown {
		if !(l >= 0 && l <= 100) {
			return Steps{}, fmt.Errorf("reading steps: a step is shown as %v, which is no lightness", float64(l))
		}
	}
	return newSteps(edges, shown), nil
}

// MarshalBinary writes what MarshalJSON writes in bytes: how many steps there are,
// and the numbers in eight bytes each, the lowest first.
func (s Steps) MarshalBinary() ([]byte, error) {
	b := []byte{uint8(s.count)}
	for _, list := range [][]colour.Lightness{s.Edges(), s.shown[:s.count]} {
		for _, l := range list {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(float64(l)))
		}
	}
	return b, nil
}

// UnmarshalBinary reads steps as MarshalBinary writes them. It refuses what
// UnmarshalJSON refuses.
func (s *Steps) UnmarshalBinary(data []byte) error {
	if len(data) == 0 || len(data) != 1+8*max(2*int(data[0])-1, 0) {
		return fmt.Errorf("reading steps: %d bytes are no steps", len(data))
	}
	count, numbers := int(data[0]), make([]colour.Lightness, 0, 2*MostSteps)
	for rest := data[1:]; len(rest) > 0; rest = rest[8:] {
		numbers = append(numbers, colour.Lightness(math.Float64frombits(binary.LittleEndian.Uint64(rest))))
	}
	edges := max(count-1, 0)
	steps, err := readSteps(numbers[:edges], numbers[edges:])
	if err != nil {
		return err
	}
	*s = steps
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
