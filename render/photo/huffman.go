//go:build !js || darkroom

package photo

// huffman is a table of codes, by their lengths less one (ITU-T T.81, annex C).
type huffman struct {
	first, start, count [16]int // the first code, which symbol that is, how many
	symbols             []byte
}

// decode reads one symbol.
func (h *huffman) decode(r *bits) (symbol int, ok bool) {
	code := 0
	for i := range h.first {
		bit, ok := r.next()
		if !ok {
			return 0, false
		}
		if code = 2*code + bit; code-h.first[i] < h.count[i] && code >= h.first[i] {
			return int(h.symbols[h.start[i]+code-h.first[i]]), true
		}
	}
	return 0, false
}

// nothing writes the symbol 0: a difference of nought, or the end of a block.
func (h *huffman) nothing(w *coded) bool {
	for i := range h.first {
		for j := range h.count[i] {
			if h.symbols[h.start[i]+j] == 0 {
				w.put(h.first[i]+j, i+1)
				return true
			}
		}
	}
	return false
}

// bits reads entropy-coded data bit by bit.
type bits struct {
	data []byte
	at   int // the byte at hand
	used int // how many of its bits were read
}

// next is the next bit; ok is false at a marker or at the end.
func (r *bits) next() (bit int, ok bool) {
	if r.used == 8 {
		r.at, r.used = r.end(), 0
	}
	if r.at >= len(r.data) || r.data[r.at] == 0xff && (r.at+1 >= len(r.data) || r.data[r.at+1] != 0) {
		return 0, false
	}
	r.used++
	return int(r.data[r.at]>>(8-r.used)) & 1, true
}

// end is where the byte at hand ends, with the byte stuffed behind it.
func (r *bits) end() int {
	switch {
	case r.used == 0:
		return r.at
	case r.data[r.at] == 0xff:
		return r.at + 2
	}
	return r.at + 1
}

// skip passes over n bits.
func (r *bits) skip(n int) bool {
	for range n {
		if _, ok := r.next(); !ok {
			return false
		}
	}
	return true
}

// value reads a number of n bits as coefficients are stored: those whose first
// bit is 0 are less than nought (T.81, F.2.2.1).
func (r *bits) value(n int) (v int, ok bool) {
	for range n {
		bit, ok := r.next()
		if !ok {
			return 0, false
		}
		v = 2*v + bit
	}
	if n > 0 && v < 1<<(n-1) {
		v -= 1<<n - 1
	}
	return v, true
}

// restart passes over a restart marker, which begins with a byte of its own.
func (r *bits) restart() bool {
	r.at, r.used = r.end(), 0
	if r.at+1 >= len(r.data) || r.data[r.at] != 0xff || r.data[r.at+1] < markerRST0 || r.data[r.at+1] > markerRST7 {
		return false
	}
	r.at += 2
	return true
}

// begin is ready to write on where r has read to.
func (r *bits) begin() coded {
	w := coded{out: append([]byte(nil), r.data[:r.at]...)}
	if r.used > 0 {
		w.put(int(r.data[r.at]>>(8-r.used)), r.used)
	}
	return w
}

// coded writes entropy-coded data.
type coded struct {
	out   []byte
	byte  int // the byte at hand
	count int // of its bits
}

// put writes the lowest n bits, the highest of them first.
func (w *coded) put(code, n int) {
	for n--; n >= 0; n-- {
		w.byte = w.byte<<1 | code>>n&1
		if w.count++; w.count == 8 {
			w.out = append(w.out, byte(w.byte))
			if w.byte == 0xff {
				w.out = append(w.out, 0)
			}
			w.byte, w.count = 0, 0
		}
	}
}

// flush fills the byte at hand with ones.
func (w *coded) flush() {
	if w.count > 0 {
		w.put(0xff, 8-w.count)
	}
}
