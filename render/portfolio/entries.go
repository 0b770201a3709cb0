package portfolio

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"slices"

	"maulstick/render/study"
)

// mostEntries bounds the files that an archive is looked through for.
const mostEntries = 4000

// entry is one file of an archive.
type entry struct {
	name   string
	offset int64 // of its bytes
	length int64 // of its bytes as they lie there
	size   int64 // unpacked
	method uint16
	crc    uint32
	hash   string // once it has been worked out
}

func (e entry) packed() bool { return e.method != zip.Store }

// list finds the files of the archive: by its directory, which stands at the end, or
// where that is lost or wrong by the headers before each of them.
func (r *reader) list() error {
	archive, err := zip.NewReader(r.file, r.file.Size())
	if err == nil {
		for _, f := range archive.File {
			r.names = append(r.names, f.Name)
			offset, err := f.DataOffset()
			e := entry{name: f.Name, offset: offset, length: int64(f.CompressedSize64), size: int64(f.UncompressedSize64), method: f.Method, crc: f.CRC32}
			if err == nil && r.fits(e) {
				r.entries = append(r.entries, e)
			}
		}
	}
	if err != nil || len(r.entries) < len(archive.File) {
		r.walk()
	}
	if len(r.entries) == 0 {
		return &study.Problem{
			Wrong:  "this file is not a study kept by Maulstick",
			Advice: "choose a photograph, or a file whose name ends in " + study.FileEnding + " or " + study.SingleEnding,
		}
	}
	r.entries = r.entries[:min(len(r.entries), mostEntries)]
	return nil
}

// fits says whether a file lies within the archive, and claims no length that it cannot
// have: deflating makes nothing smaller than a 1032nd.
func (r *reader) fits(e entry) bool {
	const most = 1032
	switch {
	case e.offset < 0 || e.length < 0 || e.size < 0 || e.length > r.file.Size()-e.offset:
		return false
	case e.method == zip.Store:
		return e.size == e.length
	}
	return e.method == zip.Deflate && e.size/most <= e.length
}

// The header before each file of an archive (PKWARE's APPNOTE, 4.3.7).
const (
	headerLength = 30
	sizesAfter   = 1 << 3 // the flag of a file whose sizes follow it
)

var signature = []byte("PK\x03\x04")

// walk finds files by the headers before them that the directory does not tell of. It
// says whether there were any, and does so once.
func (r *reader) walk() bool {
	if r.walked {
		return false
	}
	r.walked = true
	found := r.byHeaders()
	found = slices.DeleteFunc(found, func(e entry) bool {
		return slices.ContainsFunc(r.entries, func(known entry) bool {
			known.hash = ""
			return known == e
		})
	})
	if len(found) > 0 {
		r.damage("the file was cut short or damaged on its way")
	}
	r.entries = append(r.entries, found...)
	return len(found) > 0
}

// byHeaders finds files by the headers before them.
func (r *reader) byHeaders() (found []entry) {
	header := make([]byte, headerLength)
	for at := r.next(0); at >= 0 && len(found) < mostEntries; at = r.next(at) {
		if _, err := r.file.ReadAt(header, at); err != nil {
			break
		}
		name := make([]byte, binary.LittleEndian.Uint16(header[26:]))
		e := entry{
			offset: at + headerLength + int64(len(name)) + int64(binary.LittleEndian.Uint16(header[28:])),
			length: int64(binary.LittleEndian.Uint32(header[18:])), size: int64(binary.LittleEndian.Uint32(header[22:])),
			method: binary.LittleEndian.Uint16(header[8:]), crc: binary.LittleEndian.Uint32(header[14:]),
		}
		_, err := io.ReadFull(io.NewSectionReader(r.file, at+headerLength, int64(len(name))), name)
		e.name = string(name)
		r.names = append(r.names, e.name)
		at++
		if err == nil && binary.LittleEndian.Uint16(header[6:])&sizesAfter == 0 && r.fits(e) {
			found = append(found, e)
			at = e.offset + e.length
		}
	}
	return found
}

// next is where the next header stands, from a place on; -1 for nowhere.
func (r *reader) next(from int64) int64 {
	block := make([]byte, 1<<16)
	for from < r.file.Size() {
		n, err := r.file.ReadAt(block, from)
		if i := bytes.Index(block[:n], signature); i >= 0 {
			return from + int64(i)
		}
		if err != nil || n <= len(signature) {
			return -1
		}
		from += int64(n - len(signature) + 1)
	}
	return -1
}

// read is the bytes of a file of the archive by its name, of at most so many.
func (r *reader) read(name string, most int64) ([]byte, error) {
	data, err := r.readListed(name, most)
	if err != nil && r.walk() {
		data, err = r.readListed(name, most)
	}
	return data, err
}

// readListed is read among the files that are known already.
func (r *reader) readListed(name string, most int64) (data []byte, err error) {
	err = errors.New(name + " is not there")
	for _, e := range r.entries {
		if e.name != name {
			continue
		}
		if e.size > most {
			err = fmt.Errorf("%s is %d bytes long, and none is over %d", name, e.size, most)
			continue
		}
		if data, err = r.unpack(e, most); err == nil && crc32.ChecksumIEEE(data) == e.crc {
			return data, nil
		}
		if err == nil {
			err = errors.New(name + " is not as it was written")
		}
	}
	return nil, err
}

// unpack is the bytes of a file of the archive. It takes no more memory than the file
// says that it is long, nor than may still be taken.
func (r *reader) unpack(e entry, most int64) ([]byte, error) {
	if e.size > most || e.size > r.left {
		return nil, errors.New("it is packed, and too large once it is unpacked")
	}
	from := io.Reader(io.NewSectionReader(r.file, e.offset, e.length))
	if e.packed() {
		r.left -= e.size
		inflating := flate.NewReader(from)
		defer inflating.Close()
		from = inflating
	}
	var out bytes.Buffer
	n, err := io.Copy(&out, io.LimitReader(from, e.size+1))
	if err == nil && n != e.size {
		err = fmt.Errorf("it is %d bytes long where it says %d", n, e.size)
	}
	if err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
