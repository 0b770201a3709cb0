package photo

// stream reads the bits of a JPEG XL, the lowest of each byte first.
type stream struct {
	data []byte
	at   int
}

// take is the number in the next n bits, noughts where there are none.
//
//go:noinline
func (s *stream) take(n int) (v int) {
	for i := range n {
		v |= big(s.data, s.at>>3, 1) >> (s.at & 7) & 1 << i
		s.at++
	}
	return v
}

// inspectJPEGXL reads the size and the orientation at the start of a JPEG XL
// (ISO/IEC 18181-1, annexes A and D), which may lie in a container.
func inspectJPEGXL(data []byte) (Header, error) {
	h := Header{Orientation: 1}
	s := stream{data, 16} // behind the signature
	if data[0] == 0 {
		if !wholeBoxes(data) {
			return h, cutShort()
		}
		if s.data = box(data, "jxlc"); s.data == nil {
			for rest := data; len(rest) > 0; { // in parts, which may be small
				var name string
				var body []byte
				if name, body, rest = nextBox(rest); name == "jxlp" && len(s.data) < 16 {
					s.data = append(s.data, body[min(len(body), 4):]...)
				}
			}
		}
	}
	small := s.take(1)
	h.Height = s.side(small)
	if ratio := 2 * s.take(3); ratio == 0 {
		h.Width = s.side(small)
	} else {
		const ratios = "\x01\x01\x0c\x0a\x04\x03\x03\x02\x10\x09\x05\x04\x02\x01"
		h.Width = h.Height * int(ratios[ratio-2]) / int(ratios[ratio-1])
	}
	if s.take(1) == 0 && s.take(1) == 1 {
		h.Orientation = Orientation(1 + s.take(3))
	}
	if len(s.data) < 16 {
		return h, cutShort()
	}
	return h, nil
}

// side is a width or height; small ones are in eights.
//
//go:noinline
func (s *stream) side(small int) int {
	if small == 1 {
		return 8 * (1 + s.take(5))
	}
	return 1 + s.take(int("\x09\x0d\x12\x1e"[s.take(2)]))
}
