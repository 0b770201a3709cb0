package photo

import (
	"bytes"
	"encoding/binary"
)

// boxes hands out the boxes of the ISO base media format (ISO/IEC 14496-12) in
// turn, with what is in each, and tells whether the last one is whole.
func boxes(data []byte, each func(name string, body []byte)) (whole bool) {
	for len(data) >= 8 {
		size, header := uint64(binary.BigEndian.Uint32(data)), uint64(8)
		switch {
		case size == 0: // to the end
			size = uint64(len(data))
		case size == 1 && len(data) >= 16:
			size, header = binary.BigEndian.Uint64(data[8:]), 16
		}
		if size < header || size > uint64(len(data)) {
			return false
		}
		each(string(data[4:8]), data[header:size])
		data = data[size:]
	}
	return len(data) == 0
}

// inspectISO reads what an AVIF or HEIC tells of its primary picture (ISO/IEC
// 23008-12): its size, how it is to be turned, its profile.
func inspectISO(data []byte) (Header, error) {
	h := Header{Orientation: 1}
	var meta []byte
	whole := boxes(data, func(name string, body []byte) {
		switch {
		case name == "meta" && meta == nil && len(body) > 4:
			meta = body[4:]
		case name == "moov":
			h.Moving = true
		}
	})
	turn, mirror := 0, 0
	for _, p := range primary(meta) {
		switch name, body := string(p[:4]), p[4:]; {
		case name == "ispe" && len(body) >= 12:
			h.Width, h.Height = int(binary.BigEndian.Uint32(body[4:])), int(binary.BigEndian.Uint32(body[8:]))
			if err := checkSize(h.Width, h.Height); err != nil {
				return h, err
			}
		case name == "irot" && len(body) >= 1:
			turn = int(body[0] & 3)
		case name == "imir" && len(body) >= 1:
			mirror = 1 + int(body[0]&1)
		case name == "colr" && len(body) >= 4 && (string(body[:4]) == "prof" || string(body[:4]) == "rICC"):
			h.Profile = body[4:]
		}
	}
	// Turned anticlockwise by quarters, then not mirrored, top to bottom, or left
	// to right.
	h.Orientation = [3][4]Orientation{{1, 8, 3, 6}, {4, 5, 2, 7}, {2, 7, 4, 5}}[mirror][turn]
	switch {
	case !whole:
		return h, cutShort()
	case h.Width == 0:
		return h, damaged(kindOf(data), "it says nothing of a picture")
	}
	return h, nil
}

// primary are the properties of the primary picture out of a meta box, each with
// its name before it, in the order in which they apply.
func primary(meta []byte) (properties [][]byte) {
	var all [][]byte
	var number uint32
	var links []byte
	boxes(meta, func(name string, body []byte) {
		switch {
		case name == "pitm" && len(body) >= 8 && body[0] != 0:
			number = binary.BigEndian.Uint32(body[4:])
		case name == "pitm" && len(body) >= 6:
			number = uint32(binary.BigEndian.Uint16(body[4:]))
		case name == "iprp":
			boxes(body, func(name string, body []byte) {
				if name == "ipma" {
					links = body
				} else if name == "ipco" {
					boxes(body, func(name string, body []byte) { all = append(all, bytes.Join([][]byte{[]byte(name), body}, nil)) })
				}
			})
		}
	})
	for _, i := range linked(links, number) {
		if i > 0 && i <= len(all) {
			properties = append(properties, all[i-1])
		}
	}
	return properties
}

// linked are the places, from 1, of the properties that an ipma box gives to an
// item.
func linked(ipma []byte, item uint32) (places []int) {
	if len(ipma) < 8 {
		return nil
	}
	long, wide := ipma[0] > 0, ipma[3]&1 != 0
	count, rest := binary.BigEndian.Uint32(ipma[4:]), ipma[8:]
	for ; count > 0 && len(rest) >= 5; count-- {
		number := uint32(binary.BigEndian.Uint16(rest))
		if rest = rest[2:]; long {
			number = number<<16 | uint32(binary.BigEndian.Uint16(rest))
			rest = rest[2:]
		}
		n := int(rest[0])
		each := 1
		if wide {
			each = 2
		}
		if rest = rest[1:]; n*each > len(rest) {
			return places
		}
		for i := range n {
			place := int(rest[i*each] & 0x7f)
			if wide {
				place = place<<8 | int(rest[i*each+1])
			}
			if number == item {
				places = append(places, place)
			}
		}
		rest = rest[n*each:]
	}
	return places
}

// inspectJPEGXL reads the size and the orientation at the start of a JPEG XL
// (ISO/IEC 18181-1, annexes A and D), which may lie in a container.
func inspectJPEGXL(data []byte) (Header, error) {
	h := Header{Orientation: 1}
	if data[0] == 0 {
		var start []byte // of the codestream, whose parts may be small
		whole := boxes(data, func(name string, body []byte) {
			if name == "jxlp" && len(body) > 4 {
				name, body = "jxlc", body[4:]
			}
			if name == "jxlc" && len(start) < 16 {
				start = append(start, body[:min(len(body), 16)]...)
			}
		})
		if data = start; !whole {
			return h, cutShort()
		}
	}
	if len(data) < 16 {
		return h, cutShort()
	}
	lo, hi := binary.LittleEndian.Uint64(data[2:]), binary.LittleEndian.Uint64(data[8:])>>16
	take := func(n uint) (v int) {
		v = int(lo & (1<<n - 1))
		lo, hi = lo>>n|hi<<(64-n), hi>>n
		return v
	}
	small := take(1) == 1
	side := func() int {
		if small {
			return 8 * (1 + take(5))
		}
		return 1 + take([4]uint{9, 13, 18, 30}[take(2)])
	}
	h.Height = side()
	if ratio := take(3); ratio == 0 {
		h.Width = side()
	} else {
		r := [8][2]int{1: {1, 1}, {12, 10}, {4, 3}, {3, 2}, {16, 9}, {5, 4}, {2, 1}}[ratio]
		h.Width = h.Height * r[0] / r[1]
	}
	if take(1) == 0 && take(1) == 1 {
		h.Orientation = Orientation(1 + take(3))
	}
	return h, nil
}
