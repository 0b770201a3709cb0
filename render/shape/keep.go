package shape

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
)

// keptAs begins the bytes of a hierarchy; its last character is the format's
// number.
const keptAs = "flat shapes 1\n"

// mostKept bounds the pixels of a hierarchy that is read.
const mostKept = 1 << 26

// MarshalBinary is the hierarchy in bytes, to be kept with a study: runs of
// pixels, regions and merges as whole numbers of variable length.
func (h *Hierarchy) MarshalBinary() ([]byte, error) {
	out := []byte(keptAs)
	put := func(numbers ...uint64) {
		for _, n := range numbers {
			out = binary.AppendUvarint(out, n)
		}
	}
	put(uint64(h.width), uint64(h.height), uint64(len(h.regions)), uint64(len(h.merges)))
	for rest := h.base; len(rest) > 0; {
		run := 1
		for run < len(rest) && rest[run] == rest[0] {
			run++
		}
		put(uint64(run), uint64(rest[0]))
		rest = rest[run:]
	}
	for i := range h.regions {
		put(uint64(h.regions[i].label))
		for _, n := range h.regions[i].sums() {
			put(*n)
		}
	}
	for _, m := range h.merges {
		fused := uint64(0)
		if m.fused {
			fused = 1
		}
		put(uint64(m.from), uint64(m.into), uint64(m.size), fused)
	}
	return out, nil
}

// sums are the region's sums of colours; the others follow from its pixels.
func (r *region) sums() [3]*uint64 { return [3]*uint64{&r.red, &r.green, &r.blue} }

// errKept is what is wrong with bytes that are no hierarchy.
var errKept = errors.New("they are damaged or of another version")

// UnmarshalBinary reads what MarshalBinary wrote. It refuses anything else, and
// leaves the hierarchy as it was then.
func (h *Hierarchy) UnmarshalBinary(data []byte) error {
	r := &keptReader{rest: data}
	read := r.hierarchy()
	if r.bad || len(r.rest) > 0 {
		return fmt.Errorf("reading kept shapes of %d bytes: %w", len(data), errKept)
	}
	*h = *read
	return nil
}

// keptReader reads the bytes; once something is wrong it reads zeros.
type keptReader struct {
	rest []byte
	bad  bool
}

// below is the next number, which must be under a limit.
func (r *keptReader) below(limit uint64) uint64 {
	n, size := binary.Uvarint(r.rest)
	if size <= 0 || n >= limit {
		r.bad, r.rest = true, nil
		return 0
	}
	r.rest = r.rest[size:]
	return n
}

func (r *keptReader) hierarchy() *Hierarchy {
	rest, ours := bytes.CutPrefix(r.rest, []byte(keptAs))
	r.rest, r.bad = rest, !ours
	h := &Hierarchy{width: int(r.below(mostKept)), height: int(r.below(mostKept))}
	pixels := uint64(h.width) * uint64(h.height)
	regions, merges := r.below(pixels+1), r.below(pixels)
	// A region takes four bytes at least and a merge as many: no more can be there.
	if r.bad || pixels == 0 || pixels > mostKept || regions == 0 || merges+1 != regions || regions+merges > uint64(len(r.rest)) {
		r.bad, r.rest = true, nil
		return h
	}
	h.regions = make([]region, regions)
	r.pixels(h, pixels)
	for i := range h.regions {
		h.regions[i].label = uint8(r.below(256))
		for _, n := range h.regions[i].sums() {
			*n = r.below(uint64(h.regions[i].area)*fullLight + 1)
		}
		r.bad = r.bad || h.regions[i].area == 0
	}
	r.merges(h)
	return h
}

// pixels reads the runs, and measures the regions by them.
func (r *keptReader) pixels(h *Hierarchy, pixels uint64) {
	h.base = make([]uint32, 0, pixels)
	for uint64(len(h.base)) < pixels && !r.bad {
		run := r.below(pixels - uint64(len(h.base)) + 1)
		id := uint32(r.below(uint64(len(h.regions))))
		r.bad = r.bad || run == 0
		for range run {
			i := uint32(len(h.base))
			h.regions[id].meet(i%uint32(h.width), i/uint32(h.width))
			h.base = append(h.base, id)
		}
	}
}

// merges reads the merges: each of a living region into another, sizes rising.
func (r *keptReader) merges(h *Hierarchy) {
	gone := make([]bool, len(h.regions))
	size := uint32(0)
	for left := len(h.regions) - 1; left > 0 && !r.bad; left-- {
		n := uint64(len(h.regions))
		m := joining{from: uint32(r.below(n)), into: uint32(r.below(n)), size: uint32(r.below(math.MaxUint32)), fused: r.below(2) == 1, left: uint32(left)}
		if r.bad || m.from == m.into || gone[m.from] || gone[m.into] || m.size < size {
			r.bad = true
			return
		}
		gone[m.from], size = true, m.size
		h.merges = append(h.merges, m)
	}
}
