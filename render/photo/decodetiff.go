//go:build !js || darkroom

package photo

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"

	"golang.org/x/image/tiff"
)

// decodeTIFF decodes the first picture of a TIFF.
func decodeTIFF(data []byte) (image.Image, error) {
	const jpegInside = 7
	if d := readTIFF(data); d.nth(tagPacking, 0, 1) == jpegInside {
		return decodeTIFFofJPEGs(d)
	}
	return tiff.Decode(bytes.NewReader(data))
}

// Tags for JPEGs in a TIFF (Adobe Photoshop TIFF Technical Notes, 2002).
const (
	tagMeaning      = 262
	tagRowsPerStrip = 278
	tagTileWidth    = 322
	tagTileHeight   = 323
	tagTables       = 347
)

// decodeTIFFofJPEGs decodes a TIFF whose strips or tiles are JPEGs, which
// golang.org/x/image/tiff does not know: each is a JPEG that may lack its tables,
// which are then held once for all.
func decodeTIFFofJPEGs(d directory) (image.Image, error) {
	width, height := d.nth(tagWidth, 0, 0), d.nth(tagHeight, 0, 0)
	partWidth, partHeight := width, min(d.nth(tagRowsPerStrip, 0, height), height)
	starts, sizes := tagStripStarts, tagStripSizes
	_, count, _ := d.find(starts)
	if count == 0 {
		starts, sizes = tagTileStarts, tagTileSizes
		_, count, _ = d.find(starts)
		partWidth, partHeight = d.nth(tagTileWidth, 0, 0), d.nth(tagTileHeight, 0, 0)
	}
	if partWidth < 1 || partHeight < 1 || checkSize(partWidth, partHeight) != nil {
		return nil, damaged(TIFF, "it does not say how large its parts are")
	}
	across := (width + partWidth - 1) / partWidth
	if down := (height + partHeight - 1) / partHeight; count != across*down {
		return nil, &Refusal{"this TIFF of JPEGs keeps its colours apart or lacks some of its parts, which is not opened", helpJPEG}
	}
	out := image.NewRGBA(image.Rect(0, 0, width, height))
	for i := range count {
		start := d.nth(starts, i, 0)
		part, err := decodePart(d, d.data[start:start+d.nth(sizes, i, 0)], partWidth, partHeight)
		if err != nil {
			return nil, err
		}
		corner := image.Pt(i%across*partWidth, i/across*partHeight)
		draw.Draw(out, part.Bounds().Add(corner), part, image.Point{}, draw.Src)
	}
	return out, nil
}

// decodePart decodes one strip or tile.
func decodePart(d directory, data []byte, width, height int) (image.Image, error) {
	const rgb, end = 2, 2
	if tables := d.value(tagTables); len(tables) > 2*end && len(data) > end {
		data = append(bytes.Clone(tables[:len(tables)-end]), data[end:]...)
	}
	if len(data) > end && d.nth(tagMeaning, 0, rgb) == rgb {
		data = marked(data, 0)
	}
	h, err := inspectJPEG(append(bytes.Clone(data), 0xff, markerEOI))
	if err != nil {
		return nil, err
	}
	if h.Width > width || h.Height > height {
		return nil, damaged(TIFF, "a part of it is larger than it says")
	}
	m, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	s := sourceOf(m, chromaJPEG)
	out, row := image.NewRGBA(image.Rect(0, 0, s.width, s.height)), make([]uint16, 4*s.width)
	for y := range s.height {
		s.row(y, row)
		for x := range s.width {
			out.SetRGBA(x, y, color.RGBA{byteOf(row[4*x]), byteOf(row[4*x+1]), byteOf(row[4*x+2]), 255})
		}
	}
	return out, nil
}
