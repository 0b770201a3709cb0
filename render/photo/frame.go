//go:build !js || darkroom

package photo

import "encoding/binary"

const (
	markerSOF1 = 0xc1
	markerSOF2 = 0xc2
	markerDHT  = 0xc4
	markerDQT  = 0xdb
	markerDRI  = 0xdd
)

// frame is what a JPEG says of itself before the scan that the end of its file
// cuts: all that is needed to follow Huffman-coded data without decoding a pixel
// (ITU-T T.81, annexes B and C).
type frame struct {
	width, height int // in pixels
	components    []component
	most          [2]int         // their greatest sampling factors
	tables        [2][4]*huffman // for DC and AC
	restart       int            // units between restart markers, 0 for none
	steps         [4][64]int     // of quantisation, in the order of coefficients in the file
	depth         int            // bits a sample
	sort          byte           // the marker of its header
	scan          segment        // the last one begun
	first, before byte           // which coefficient it begins with, which bit of it came before
	begun         []*component   // that it gives
}

// component is one channel of a frame.
type component struct {
	name     byte
	place    int // among the components
	h, v     int // sampling factors
	steps    int // which of the frame's
	dc, ac   int // its tables in the scan
	complete bool
}

// finish notes that the scan before is whole.
func (f *frame) finish() {
	for _, c := range f.begun {
		c.complete = true
	}
	f.begun = nil
}

// read takes in one segment.
func (f *frame) read(s segment, body []byte) error {
	switch {
	case isFrame(s.marker) && len(body) >= 6 && len(body) >= 6+3*int(body[5]):
		f.depth, f.sort = int(body[0]), s.marker
		f.height, f.width = int(binary.BigEndian.Uint16(body[1:])), int(binary.BigEndian.Uint16(body[3:]))
		f.components = nil
		for p := body[6:]; len(f.components) < int(body[5]); p = p[3:] {
			c := component{name: p[0], place: len(f.components), h: int(p[1] >> 4), v: int(p[1] & 15), steps: int(p[2] & 3)}
			if c.h == 0 || c.v == 0 || c.h > 4 || c.v > 4 {
				return damaged(JPEG, "its channels are sampled in no known way")
			}
			f.most = [2]int{max(f.most[0], c.h), max(f.most[1], c.v)}
			f.components = append(f.components, c)
		}
	case s.marker == markerDHT:
		f.define(body)
	case s.marker == markerDQT:
		f.quantise(body)
	case s.marker == markerDRI && len(body) >= 2:
		f.restart = int(binary.BigEndian.Uint16(body))
	case s.marker == markerSOS:
		f.scan = s
		f.begin(body)
	}
	return nil
}

// define takes in Huffman tables.
func (f *frame) define(body []byte) {
	for len(body) >= 17 {
		h := &huffman{}
		code, count := 0, 0
		for i, n := range body[1:17] {
			h.first[i], h.start[i], h.count[i] = code, count, int(n)
			code, count = 2*(code+int(n)), count+int(n)
		}
		if count > len(body)-17 {
			return
		}
		h.symbols = body[17 : 17+count]
		f.tables[body[0]>>4&1][body[0]&3] = h
		body = body[17+count:]
	}
}

// quantise takes in the steps of quantisation.
func (f *frame) quantise(body []byte) {
	for len(body) > 0 {
		into, each := &f.steps[body[0]&3], 1+int(body[0]>>4&1)
		if body = body[1:]; len(body) < 64*each {
			return
		}
		for i := range into {
			if into[i] = int(body[i*each]); each == 2 {
				into[i] = into[i]<<8 | int(body[2*i+1])
			}
		}
		body = body[64*each:]
	}
}

// layered tells whether the frame is progressive.
func (f *frame) layered() bool { return f.sort == markerSOF2 }

// begin takes in the header of a scan.
func (f *frame) begin(body []byte) {
	if len(body) < 1 || len(body) < 4+2*int(body[0]) {
		return
	}
	for p := body[1:]; len(p) > 4; p = p[2:] {
		for i := range f.components {
			if c := &f.components[i]; c.name == p[0] {
				c.dc, c.ac = int(p[1]>>4&3), int(p[1]&3)
				f.begun = append(f.begun, c)
			}
		}
	}
	tail := body[1+2*int(body[0]):]
	f.first, f.before = tail[0], tail[2]>>4
}

// factors are the sampling factors of a unit of the scan, relative to the greatest:
// a unit is the samples of all its components over a patch of the picture, or one
// block of samples where the scan has one component (T.81, A.2).
func (f *frame) factors() (h, v int) {
	if len(f.begun) == 1 {
		return f.begun[0].h, f.begun[0].v
	}
	return 1, 1
}

// units are how many units across and down the scan is made of.
func (f *frame) units() (across, down int) {
	h, v := f.factors()
	return ((f.width*h-1)/f.most[0])/8 + 1, ((f.height*v-1)/f.most[1])/8 + 1
}

// restartsBefore tells whether a restart marker comes before a unit.
func (f *frame) restartsBefore(n int) bool { return f.restart > 0 && n > 0 && n%f.restart == 0 }

// each calls do with the tables of each block of a unit in turn, while it
// succeeds; the second table is nil where the scan has but the mean of a block.
func (f *frame) each(do func(dc, ac *huffman) bool) bool {
	for _, c := range f.begun {
		blocks := c.h * c.v
		if len(f.begun) == 1 {
			blocks = 1
		}
		dc, ac := f.tables[0][c.dc], f.tables[1][c.ac]
		if f.layered() {
			ac = nil
		}
		if dc == nil || ac == nil && !f.layered() {
			return false
		}
		for range blocks {
			if !do(dc, ac) {
				return false
			}
		}
	}
	return true
}

// follow passes over one unit.
func (f *frame) follow(r *bits) bool {
	return f.each(func(dc, ac *huffman) bool {
		if n, ok := dc.decode(r); !ok || !r.skip(n&15) {
			return false
		}
		for k := 1; ac != nil && k < 64; k++ {
			run, ok := ac.decode(r)
			switch {
			case !ok:
				return false
			case run == 0:
				return true
			case run == 0xf0:
				k += 15
				continue
			}
			if k += run >> 4; !r.skip(run & 15) {
				return false
			}
		}
		return true
	})
}
