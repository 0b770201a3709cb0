package photo

import (
	"bytes"
	"encoding/binary"
)

// chunks hands out the chunks of a PNG (ISO/IEC 15948) up to IEND, itself
// included, until each returns false: its name, what is in it, and the whole of
// it. It tells whether it came to an end before the data did.
func chunks(data []byte, each func(name string, body, whole []byte) bool) (complete bool) {
	for rest := data[8:]; len(rest) >= 12; {
		size := uint64(binary.BigEndian.Uint32(rest))
		if size > uint64(len(rest)-12) {
			return false
		}
		name := string(rest[4:8])
		if !each(name, rest[8:8+size], rest[:12+size]) || name == "IEND" {
			return true
		}
		rest = rest[12+size:]
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
			h.Width = int(binary.BigEndian.Uint32(body))
			h.Height = int(binary.BigEndian.Uint32(body[4:]))
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
func inspectWebP(data []byte) (Header, error) {
	h := Header{Orientation: 1}
	if size := uint64(binary.LittleEndian.Uint32(data[4:])); size+8 > uint64(len(data)) {
		if bitstream(&h, data[12:]); h.Width != 0 {
			if err := checkSize(h.Width, h.Height); err != nil {
				return h, err
			}
		}
		return h, cutShort()
	}
	for rest := data[12:]; len(rest) >= 8; {
		size := uint64(binary.LittleEndian.Uint32(rest[4:]))
		if size > uint64(len(rest)-8) {
			return h, cutShort()
		}
		body := rest[8 : 8+size]
		switch string(rest[:4]) {
		case "VP8X", "VP8 ", "VP8L":
			before := h
			bitstream(&h, rest)
			if err := checkSize(h.Width, h.Height); err != nil {
				return h, err
			}
			if before.Width != 0 && (h.Width != before.Width || h.Height != before.Height) {
				return h, damaged(WebP, "it gives two sizes")
			}
		case "ANIM":
			h.Moving = true
		case "EXIF":
			h.Orientation = exifOrientation(bytes.TrimPrefix(body, []byte("Exif\x00\x00")))
		case "ICCP":
			h.Profile = body
		}
		rest = rest[min(8+size+size%2, uint64(len(rest))):]
	}
	if h.Width == 0 {
		return h, damaged(WebP, "it holds no picture")
	}
	return h, nil
}

// bitstream reads the size out of a chunk that gives one; a chunk too short
// for it leaves the size 0.
func bitstream(h *Header, chunk []byte) {
	if len(chunk) < 8 {
		return
	}
	body := chunk[8:]
	h.Width, h.Height = 0, 0
	switch name := string(chunk[:4]); {
	case name == "VP8X" && len(body) >= 10:
		h.Width = 1 + int(body[4]) + int(body[5])<<8 + int(body[6])<<16
		h.Height = 1 + int(body[7]) + int(body[8])<<8 + int(body[9])<<16
	case name == "VP8L" && len(body) >= 5 && body[0] == 0x2f:
		bits := int(binary.LittleEndian.Uint32(body[1:]))
		h.Width, h.Height = 1+bits&0x3fff, 1+bits>>14&0x3fff
	case name == "VP8 " && len(body) >= 10 && string(body[3:6]) == "\x9d\x01\x2a":
		h.Width = int(binary.LittleEndian.Uint16(body[6:])) & 0x3fff
		h.Height = int(binary.LittleEndian.Uint16(body[8:])) & 0x3fff
	}
}

// inspectGIF walks the blocks to the end of the first picture, which is the one
// that is opened (GIF89a specification).
func inspectGIF(data []byte) (Header, error) {
	h := Header{Orientation: 1}
	if len(data) < 13 {
		return h, cutShort()
	}
	h.Width = int(binary.LittleEndian.Uint16(data[6:]))
	h.Height = int(binary.LittleEndian.Uint16(data[8:]))
	if err := checkSize(h.Width, h.Height); err != nil {
		return h, err
	}
	at := 13 + colourTable(data[10])
	for at < len(data) {
		switch data[at] {
		case ',':
			if at+10 > len(data) {
				return h, cutShort()
			}
			if end := skipBlocks(data, at+11+colourTable(data[at+9])); end < 0 {
				return h, cutShort()
			} else if rest := data[end:]; len(rest) > 1 {
				h.Moving = rest[0] == ',' || rest[0] == '!' && rest[1] == 0xf9
			}
			return h, nil
		case '!':
			if at = skipBlocks(data, at+2); at < 0 {
				return h, cutShort()
			}
		case ';':
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
	if len(data) < 26 {
		return h, cutShort()
	}
	if second := binary.LittleEndian.Uint32(data[14:]); second < 40 {
		return h, &Refusal{"this is an old sort of BMP, which is not opened", helpJPEG}
	}
	if len(data) < 54 {
		return h, cutShort()
	}
	h.Width = int(int32(binary.LittleEndian.Uint32(data[18:])))
	h.Height = int(int32(binary.LittleEndian.Uint32(data[22:])))
	h.Height = max(h.Height, -h.Height) // rows from the top are told by a minus
	if err := checkSize(h.Width, h.Height); err != nil {
		return h, err
	}
	const plain, masked = 0, 3
	bits := int(binary.LittleEndian.Uint16(data[28:]))
	if packing := binary.LittleEndian.Uint32(data[30:]); packing == plain || packing == masked {
		row := (h.Width*bits + 31) / 32 * 4
		if start := int(binary.LittleEndian.Uint32(data[10:])); start+row*h.Height > len(data) {
			return h, cutShort()
		}
	}
	return h, nil
}
