//go:build !js || darkroom

package photo

import "fmt"

// plausible refuses a JPEG or PNG that is too short for as many pixels as its
// header says, before any memory is taken for them. A JPEG has a bit or more for
// each block of 8 x 8 samples (ITU-T T.81: a code has a bit at least), and no
// PNG holds 1032 times its own bytes (RFC 1951: 258 bytes are the most that a
// code of two bits stands for).
func plausible(h Header, data []byte) error {
	var needed int // bytes
	switch {
	case h.Width == 0: // cut before it says
	case h.Kind == JPEG:
		needed = blocksOf(data) / 8
	case h.Kind == PNG:
		needed = rowBytes(h, data) / 1032
	}
	if needed > len(data) {
		return &Refusal{fmt.Sprintf("the file says that it is %d x %d pixels, and its %d bytes cannot hold so many: it is damaged, or made to do harm", h.Width, h.Height, len(data)), helpCopy}
	}
	return nil
}

// blocksOf is how many blocks of samples a JPEG's header says that it has.
func blocksOf(data []byte) (blocks int) {
	var f frame
	segments(data, func(s segment) error {
		if isFrame(s.marker) {
			return f.read(s, data[s.body:s.end])
		}
		return nil
	})
	for _, c := range f.components {
		across, down := (f.width*c.h-1)/f.most[0]/8+1, (f.height*c.v-1)/f.most[1]/8+1
		blocks += across * down
	}
	return blocks
}

// rowBytes is how many bytes the rows of a PNG take unpacked.
func rowBytes(h Header, data []byte) (total int) {
	passes, bits := layout(data[16:])
	for _, p := range passes {
		count, size := p.rows(h.Width, h.Height, bits)
		total += count * size
	}
	return total
}
