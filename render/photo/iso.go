package photo

// nextBox takes the first box of the ISO base media format (ISO/IEC 14496-12) off
// data: its name, what is in it, and what follows. The name is "" where it is not
// whole.
//
//go:noinline
func nextBox(data []byte) (name string, body, rest []byte) {
	size, header := big(data, 0, 4), 8
	switch size {
	case 0: // to the end
		size = len(data)
	case 1:
		size, header = big(data, 8, 4)<<32|big(data, 12, 4), 16
	}
	if size < header || size > len(data) {
		return "", nil, nil
	}
	return string(data[4:8]), data[header:size], data[size:]
}

// box is what is in the first box of a name, nil where there is none.
//
//go:noinline
func box(data []byte, name string) []byte {
	for len(data) > 0 {
		found, body, rest := nextBox(data)
		if found == name {
			return body
		}
		data = rest
	}
	return nil
}

// wholeBoxes tells whether all boxes are whole.
func wholeBoxes(data []byte) bool {
	for len(data) > 0 {
		name, _, rest := nextBox(data)
		if name == "" {
			return false
		}
		data = rest
	}
	return true
}

// property is one of a picture's.
type property struct {
	name string
	body []byte
}

// primary are the properties of the primary picture, in the order in which they
// apply. Each is named by its place, from 1, among those of the file.
func primary(data []byte) (properties []property) {
	meta := box(data, "meta")
	meta = meta[min(len(meta), 4):]
	chosen, iprp := box(meta, "pitm"), box(meta, "iprp")
	links := box(iprp, "ipma")
	id, each := 2+2*min(big(links, 0, 1), 1), 1+big(links, 3, 1)&1
	picture := big(chosen, 4, 2+2*min(big(chosen, 0, 1), 1))
	at := 8
	for count := big(links, 4, 4); count > 0 && at < len(links) && properties == nil; count-- {
		item, n := big(links, at, id), big(links, at+id, 1)
		for at += id + 1; n > 0; n-- {
			// The highest bit says whether a reader has to know the property.
			place, rest := big(links, at, each)&(0x80<<(8*each-8)-1), box(iprp, "ipco")
			for at += each; item == picture && place > 0 && len(rest) > 0; place-- {
				var p property
				if p.name, p.body, rest = nextBox(rest); place == 1 {
					properties = append(properties, p)
				}
			}
		}
	}
	return properties
}

// inspectISO reads what an AVIF or HEIC tells of its primary picture (ISO/IEC
// 23008-12): its size, how it is to be turned, its profile.
func inspectISO(data []byte) (Header, error) {
	h := Header{Orientation: 1, Moving: box(data, "moov") != nil}
	turn, mirror := 0, 0
	for _, p := range primary(data) {
		switch body := p.body; p.name {
		case "ispe":
			h.Width, h.Height = big(body, 4, 4), big(body, 8, 4)
			if err := checkSize(h.Width, h.Height); err != nil {
				return h, err
			}
		case "irot":
			turn = big(body, 0, 1) & 3
		case "imir":
			mirror = 1 + big(body, 0, 1)&1
		case "colr":
			if kind := big(body, 0, 4); kind == 0x70726f66 || kind == 0x72494343 { // prof, rICC
				h.Profile = body[4:]
			}
		}
	}
	if !wholeBoxes(data) {
		return h, cutShort()
	}
	// Turned anticlockwise by quarters, then not mirrored, top to bottom, or left
	// to right.
	h.Orientation = Orientation("\x01\x08\x03\x06\x04\x05\x02\x07\x02\x07\x04\x05"[4*mirror+turn])
	return h, checkSize(h.Width, h.Height)
}
