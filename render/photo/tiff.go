package photo

import "encoding/binary"

// The tags of TIFF 6.0 and of Exif (CIPA DC-008) that matter here.
const (
	tagSubfile     = 254
	tagWidth       = 256
	tagHeight      = 257
	tagPacking     = 259
	tagStripStarts = 273
	tagOrientation = 274
	tagStripSizes  = 279
	tagTileStarts  = 324
	tagTileSizes   = 325
	tagProfile     = 34675
	tagDNG         = 50706
)

// directory is one directory of a TIFF, or of Exif data, which are the same.
type directory struct {
	data    []byte // the whole of it, which offsets count in
	order   binary.ByteOrder
	entries []byte // twelve bytes each
}

// readTIFF is the first directory of data that begin with a TIFF header.
func readTIFF(data []byte) (d directory, ok bool) {
	if len(data) < 8 {
		return d, false
	}
	switch string(data[:4]) {
	case "II*\x00":
		d.order = binary.LittleEndian
	case "MM\x00*":
		d.order = binary.BigEndian
	default:
		return d, false
	}
	d.data = data
	return d.at(d.order.Uint32(data[4:]))
}

// at is the directory that begins at an offset; entries that lie beyond the end
// of the data are left out.
func (d directory) at(start uint32) (directory, bool) {
	if uint64(start)+2 > uint64(len(d.data)) {
		return d, false
	}
	d.entries = d.data[start+2:]
	size := 12 * int(d.order.Uint16(d.data[start:]))
	d.entries = d.entries[:min(size, len(d.entries)/12*12)]
	return d, true
}

// value is the bytes of a tag and how many each of its numbers takes, nil where
// there is no such tag or its bytes are beyond the end.
func (d directory) value(tag uint16) (bytes []byte, each int) {
	for e := d.entries; len(e) >= 12; e = e[12:] {
		if d.order.Uint16(e) != tag {
			continue
		}
		each = [...]int{0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8}[min(d.order.Uint16(e[2:]), 12)]
		size := uint64(each) * uint64(d.order.Uint32(e[4:]))
		if size <= 4 {
			return e[8 : 8+size], each
		}
		if start := uint64(d.order.Uint32(e[8:])); start+size <= uint64(len(d.data)) {
			return d.data[start : start+size], each
		}
		return nil, each
	}
	return nil, 0
}

// numbers are the whole numbers of a tag, nil where there are none.
func (d directory) numbers(tag uint16) []uint32 {
	value, each := d.value(tag)
	if each == 0 || each > 4 {
		return nil
	}
	numbers := make([]uint32, len(value)/each)
	for i := range numbers {
		switch b := value[i*each:]; each {
		case 1:
			numbers[i] = uint32(b[0])
		case 2:
			numbers[i] = uint32(d.order.Uint16(b))
		default:
			numbers[i] = d.order.Uint32(b)
		}
	}
	return numbers
}

// number is the first number of a tag, or another where there is none.
func (d directory) number(tag uint16, otherwise uint32) uint32 {
	if n := d.numbers(tag); len(n) > 0 {
		return n[0]
	}
	return otherwise
}

// orientation is 1 where there is none or it makes no sense.
func (d directory) orientation() Orientation {
	const short = 2
	if _, each := d.value(tagOrientation); each == short {
		if o := Orientation(d.number(tagOrientation, 1)); o >= 1 && o <= 8 {
			return o
		}
	}
	return 1
}

// exifOrientation reads the orientation out of Exif data. The second directory,
// about the thumbnail, does not count.
func exifOrientation(data []byte) Orientation {
	d, _ := readTIFF(data)
	return d.orientation()
}

// inspectTIFF reads the first directory of a TIFF. A camera's raw file is one,
// too, in which that directory is about a small picture or none that can be
// shown without developing it.
func inspectTIFF(data []byte) (Header, error) {
	h := Header{Orientation: 1}
	d, ok := readTIFF(data)
	if !ok {
		return h, &Refusal{"this TIFF is of a sort that is not opened (BigTIFF), or its directory is missing", helpJPEG}
	}
	if dng, _ := d.value(tagDNG); dng != nil || d.number(tagSubfile, 0)&1 != 0 || string(data[8:min(len(data), 10)]) == "CR" {
		return h, &Refusal{"this is a camera's raw file, which has to be developed first", "develop it in the camera or its maker's program, save it as a JPEG or TIFF and open that"}
	}
	h.Width, h.Height = int(d.number(tagWidth, 0)), int(d.number(tagHeight, 0))
	if err := checkSize(h.Width, h.Height); err != nil {
		return h, err
	}
	h.Orientation = d.orientation()
	h.Profile, _ = d.value(tagProfile)
	for _, part := range [][2]uint16{{tagStripStarts, tagStripSizes}, {tagTileStarts, tagTileSizes}} {
		sizes := d.numbers(part[1])
		for i, start := range d.numbers(part[0]) {
			if i < len(sizes) && uint64(start)+uint64(sizes[i]) > uint64(len(data)) {
				return h, cutShort()
			}
		}
	}
	return h, nil
}
