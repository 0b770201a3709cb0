package photo

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
	data   []byte // the whole of it, which places count in
	little bool   // the first byte of a number counts least
	start  int    // of the first entry, of twelve bytes each
	count  int
}

// readTIFF is the first directory of data that begin with a TIFF header; it is
// empty where there is none.
func readTIFF(data []byte) directory {
	d := directory{data: data}
	switch big(data, 0, 4) {
	case 0x49492a00:
		d.little = true
	case 0x4d4d002a:
	default:
		return directory{}
	}
	return d.at(number(data, 4, 4, d.little))
}

// at is the directory that begins at a place.
func (d directory) at(place int) directory {
	d.start = place + 2
	d.count = min(number(d.data, place, 2, d.little), max(len(d.data)-d.start, 0)/12)
	return d
}

// find is where the numbers of a tag are, how many there are, and how many bytes
// each takes: none where there is no such tag, or they are beyond the end.
func (d directory) find(tag int) (place, count, each int) {
	for e := d.start; e < d.start+12*d.count; e += 12 {
		if number(d.data, e, 2, d.little) != tag {
			continue
		}
		each = int("\x00\x01\x01\x02\x04\x08\x01\x01\x02\x04\x08\x04\x08"[min(number(d.data, e+2, 2, d.little), 12)])
		count, place = number(d.data, e+4, 4, d.little), e+8
		if each*count > 4 {
			place = number(d.data, e+8, 4, d.little)
		}
		if each == 0 || place+each*count > len(d.data) {
			place, count = 0, 0
		}
		break
	}
	return place, count, each
}

// value is the bytes of a tag, none where there is no such tag.
func (d directory) value(tag int) []byte {
	place, count, each := d.find(tag)
	return d.data[place : place+each*count]
}

// nth is one of the numbers of a tag, counted from 0, or another where there is
// none.
func (d directory) nth(tag, n, otherwise int) int {
	place, count, each := d.find(tag)
	if n >= count || each < 1 || each > 4 {
		return otherwise
	}
	return number(d.data, place+n*each, each, d.little)
}

// orientation is 1 where there is none or it makes no sense.
func (d directory) orientation() Orientation {
	const short = 2
	if _, _, each := d.find(tagOrientation); each == short {
		if o := d.nth(tagOrientation, 0, 1); o >= 1 && o <= 8 {
			return Orientation(o)
		}
	}
	return 1
}

// exifOrientation reads the orientation out of Exif data. The second directory,
// about the thumbnail, does not count.
func exifOrientation(data []byte) Orientation { return readTIFF(data).orientation() }

// inspectTIFF reads the first directory of a TIFF. A camera's raw file is one,
// too, in which that directory is about a small picture or none that can be
// shown without developing it.
func inspectTIFF(data []byte) (Header, error) {
	h := Header{Orientation: 1}
	d := readTIFF(data)
	if d.count == 0 {
		return h, &Refusal{"this TIFF is of a sort that is not opened (BigTIFF), or its directory is missing", helpJPEG}
	}
	if _, dng, _ := d.find(tagDNG); dng > 0 || d.nth(tagSubfile, 0, 0)&1 != 0 || big(data, 8, 2) == 0x4352 { // CR
		return h, &Refusal{"this is a camera's raw file, which has to be developed first", "develop it in the camera or its maker's program, save it as a JPEG or TIFF and open that"}
	}
	h.Width, h.Height = d.nth(tagWidth, 0, 0), d.nth(tagHeight, 0, 0)
	if err := checkSize(h.Width, h.Height); err != nil {
		return h, err
	}
	h.Orientation = d.orientation()
	if profile := d.value(tagProfile); len(profile) > 0 {
		h.Profile = profile
	}
	for _, part := range [][2]int{{tagStripStarts, tagStripSizes}, {tagTileStarts, tagTileSizes}} {
		_, count, _ := d.find(part[0])
		for i := range count {
			if d.nth(part[0], i, 0)+d.nth(part[1], i, 0) > len(data) {
				return h, cutShort()
			}
		}
	}
	return h, nil
}
