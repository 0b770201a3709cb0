package photo

import "bytes"

// chunks hands out the chunks of a PNG (ISO/IEC 15948) up to IEND, itself
// included, until each returns false: its name, what is in it, and the whole of
// it. It tells whether it came to an end before the data did.
func chunks(data []byte, each func(name string, body, whole []byte) bool) (complete bool) {
	for rest := data[8:]; len(rest) >= 12; {
		size := 12 + big(rest, 0, 4)
		if size > len(rest) {
			return false
		}
		name := string(rest[4:8])
		if !each(name, rest[8:size-4], rest[:size]) || name == "IEND" {
			return true
		}
		rest = rest[size:]
	}
	return false
}

// inspectPNG walks the chunks.
func inspectPNG(data []byte) (h Header, err error) {
	h.Orientation = 1
	pixels := false
	complete := chunks(data, func(name string, body, _ []byte) bool {
		if h.Width == 0 && name != "IHDR" && name != "CgBI" {
			err = damaged(PNG, "its header is not the first part")
			return false
		}
		switch name {
		case "IHDR":
			if len(body) != 13 {
				err = damaged(PNG, "its header has the wrong length")
				break
			}
			h.Width, h.Height = big(body, 0, 4), big(body, 4, 4)
			err = checkSize(h.Width, h.Height)
		case "CgBI":
			err = &Refusal{"this PNG is of a private form made for one maker's programs", helpJPEG}
		case "eXIf":
			h.Orientation = exifOrientation(body)
		case "iCCP":
			h.Profile = body
		case "acTL":
			h.Moving = true
		case "IDAT":
			pixels = true
		case "IEND":
			if !pixels {
				err = damaged(PNG, "it holds no picture")
			}
		}
		return err == nil
	})
	if !complete && err == nil {
		err = cutShort()
	}
	return h, err
}

// inspectWebP walks the chunks of the RIFF container (RFC 9649). Where a file
// claims several sizes each is held to the limits.
func inspectWebP(data []byte) (h Header, err error) {
	h.Orientation = 1
	for at, end := 12, 8+little(data, 4, 4); at+8 <= end; {
		if at+8 > len(data) {
			return h, cutShort()
		}
		size := little(data, at+4, 4)
		name, body := string(data[at:at+4]), data[at+8:min(at+8+size, len(data))]
		before := h
		switch name {
		case "VP8X", "VP8 ", "VP8L":
			bitstream(&h, name, body)
			if err := checkSize(h.Width, h.Height); err != nil {
				return h, err
			}
			if before.Width != 0 && (h.Width != before.Width || h.Height != before.Height) {
				return h, damaged(WebP, "it gives two sizes")
			}
		case "ANIM":
			h.Moving = true
		case "EXIF":
			h.Orientation = exifOrientation(bytes.TrimPrefix(body, []byte(exifMark)))
		case "ICCP":
			h.Profile = body
		}
		if at += 8 + size + size%2; at-size%2 > len(data) {
			return h, cutShort()
		}
	}
	if h.Width == 0 {
		return h, damaged(WebP, "it holds no picture")
	}
	return h, nil
}

// bitstream reads the size out of a chunk that gives one; a chunk too short
// for it leaves the size 0.
func bitstream(h *Header, name string, body []byte) {
	h.Width, h.Height = 0, 0
	switch {
	case name == "VP8X" && len(body) >= 10:
		h.Width, h.Height = 1+little(body, 4, 3), 1+little(body, 7, 3)
	case name == "VP8L" && len(body) >= 5 && body[0] == 0x2f:
		bits := little(body, 1, 4)
		h.Width, h.Height = 1+bits&0x3fff, 1+bits>>14&0x3fff
	case name == "VP8 " && big(body, 3, 3) == 0x9d012a:
		h.Width, h.Height = little(body, 6, 2)&0x3fff, little(body, 8, 2)&0x3fff
	}
}

// inspectGIF walks the blocks to the end of the first picture, which is the one
// that is opened (GIF89a specification).
func inspectGIF(data []byte) (Header, error) {
	h := Header{Orientation: 1, Width: little(data, 6, 2), Height: little(data, 8, 2)}
	if len(data) < 13 {
		return h, cutShort()
	}
	if err := checkSize(h.Width, h.Height); err != nil {
		return h, err
	}
	at := 13 + colourTable(data[10])
	for at < len(data) {
		const extension, picture, end, control = '!', ',', ';', 0xf9
		switch kind := data[at]; kind {
		case picture, extension:
			if kind == picture {
				at += 9 + colourTable(byte(big(data, at+9, 1)))
			}
			if at = skipBlocks(data, at+2); at < 0 {
				return h, cutShort()
			}
			if kind == picture {
				next := big(data, at, 1)
				h.Moving = next == picture || next == extension && big(data, at+1, 1) == control
				return h, nil
			}
		case end:
			return h, damaged(GIF, "it holds no picture")
		default:
			return h, damaged(GIF, "a block is of no known sort")
		}
	}
	return h, cutShort()
}

// colourTable is the length of the colour table that a packed field tells of.
func colourTable(packed byte) int {
	if packed&0x80 == 0 {
		return 0
	}
	return 3 << (packed&7 + 1)
}

// skipBlocks passes over data in sub-blocks and tells where it ends, or -1 where
// the file ends first.
func skipBlocks(data []byte, at int) int {
	for at < len(data) {
		size := int(data[at])
		at += 1 + size
		if size == 0 {
			return at
		}
	}
	return -1
}

// inspectBMP reads the two headers of a bitmap; that its rows are all there is
// checked where they are stored plainly.
func inspectBMP(data []byte) (Header, error) {
	h := Header{Orientation: 1}
	if len(data) >= 26 && little(data, 14, 4) < 40 {
		return h, &Refusal{"this is an old sort of BMP, which is not opened", helpJPEG}
	}
	if len(data) < 54 {
		return h, cutShort()
	}
	h.Width, h.Height = int(int32(little(data, 18, 4))), int(int32(little(data, 22, 4)))
	h.Height = max(h.Height, -h.Height) // rows from the top are told by a minus
	if err := checkSize(h.Width, h.Height); err != nil {
		return h, err
	}
	const plain, masked = 0, 3
	row := (h.Width*little(data, 28, 2) + 31) / 32 * 4
	if packing := little(data, 30, 4); (packing == plain || packing == masked) && little(data, 10, 4)+row*h.Height > len(data) {
		return h, cutShort()
	}
	return h, nil
}
