//go:build !js || darkroom

package photo

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"
)

// pass is one of the passes in which a PNG holds its rows: from which column and
// row on, and every which of them (W3C PNG 3, section 8).
type pass struct{ left, top, across, down int }

// layout is the passes that a PNG's header says, and how many bits a pixel takes.
func layout(header []byte) (passes []pass, bits int) {
	bits = int(header[8]) * [8]int{1, 0, 3, 1, 2, 0, 4, 0}[header[9]&7]
	if header[12] == 0 {
		return []pass{{0, 0, 1, 1}}, bits
	}
	return []pass{{0, 0, 8, 8}, {4, 0, 8, 8}, {0, 4, 4, 8}, {2, 0, 4, 4}, {0, 2, 2, 4}, {1, 0, 2, 2}, {0, 1, 1, 2}}, bits
}

// rows are how many rows a pass has in a picture, and how many bytes each takes
// with the byte of its filter.
func (p pass) rows(width, height, bits int) (count, size int) {
	columns := max((width-p.left+p.across-1)/p.across, 0)
	if columns == 0 {
		return 0, 0
	}
	return max((height-p.top+p.down-1)/p.down, 0), 1 + (columns*bits+7)/8
}

// mendPNG makes a cut PNG whole: rows that are missing are black.
func mendPNG(h Header, data []byte) ([]byte, mending, error) {
	header, packed, head := []byte(nil), []byte(nil), append([]byte(nil), data[:8]...)
	at := 8
	chunks(data, func(name string, body, whole []byte) bool {
		switch at += len(whole); name {
		case "IHDR":
			header = body
			head = append(head, whole...)
		case "IDAT":
			packed = append(packed, body...)
		default:
			head = append(head, whole...)
		}
		return true
	})
	// The last chunk, which the end of the file cuts.
	if rest := data[at:]; len(rest) > 8 && string(rest[4:8]) == "IDAT" {
		packed = append(packed, rest[8:min(8+int(binary.BigEndian.Uint32(rest)), len(rest))]...)
	}
	if header == nil || len(packed) == 0 {
		return nil, mending{}, errCut
	}
	passes, bits := layout(header)
	total := rowBytes(h, data)
	there := unpacked(packed, total)
	m := pngMissing(h, passes, bits, there)
	if 1-m.share < leastThere {
		return nil, m, errCut
	}
	return rebuilt(head, packed, there, total), m, nil
}

// unpacked is how many bytes can be unpacked, at most limit.
func unpacked(packed []byte, limit int) int {
	reader, err := zlib.NewReader(bytes.NewReader(packed))
	if err != nil {
		return 0
	}
	n, _ := io.Copy(io.Discard, io.LimitReader(reader, int64(limit)))
	return int(n)
}

// pngMissing tells which pixels lie in rows of which not every byte is there.
func pngMissing(h Header, passes []pass, bits, there int) mending {
	whole := make([]int, len(passes)) // rows of each pass
	missing := 0
	for i, p := range passes {
		count, size := p.rows(h.Width, h.Height, bits)
		if size > 0 {
			whole[i] = min(there/size, count)
			missing += (count - whole[i]) * ((h.Width - p.left + p.across - 1) / p.across)
		}
		there -= min(count*size, there)
	}
	if missing == 0 {
		return mending{closed: true}
	}
	m := mending{share: float64(missing) / float64(h.Width*h.Height)}
	if len(passes) > 1 {
		m.from = fromAllOver
	}
	m.missing = func(x, y int) bool {
		for i, p := range passes {
			if x >= p.left && y >= p.top && (x-p.left)%p.across == 0 && (y-p.top)%p.down == 0 {
				return (y-p.top)/p.down >= whole[i]
			}
		}
		return false
	}
	return m
}

// rebuilt is a PNG of the chunks in head and of the bytes that are there, filled
// up to their total by nought, which are black rows without a filter.
func rebuilt(head, packed []byte, there, total int) []byte {
	var pixels bytes.Buffer
	writer, _ := zlib.NewWriterLevel(&pixels, zlib.BestSpeed)
	if reader, err := zlib.NewReader(bytes.NewReader(packed)); err == nil {
		io.CopyN(writer, reader, int64(there))
	}
	zeros := make([]byte, 1<<16)
	for left := total - there; left > 0; left -= len(zeros) {
		writer.Write(zeros[:min(left, len(zeros))])
	}
	writer.Close()
	return appendChunk(appendChunk(head, "IDAT", pixels.Bytes()), "IEND", nil)
}
