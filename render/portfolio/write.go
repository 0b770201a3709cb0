package portfolio

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"io"
	"path"
	"strings"

	"maulstick/render/study"
)

// Piece is a part of an archive as it is written: Data, or the whole file of a
// photograph, by its hash.
type Piece struct {
	Data       []byte
	Photograph string
}

// Order is what is to be written beside the study.
type Order struct {
	// Photograph is the file of a photograph by its hash, nil if it is not at hand.
	Photograph func(hash string) Bytes
	// Strip frees the photographs of what they tell beside the picture, nil writes them
	// as they came. The study in the archive then names the files that are in it.
	Strip Strip
	// Board is the picture of the board as a JPEG file, nil for none.
	Board []byte
	// Progress is told how far the work is, 0 to 1, and ends it by an error. It may be nil.
	Progress func(share float64) error
}

// Write is a study as one file, as pieces one after the other. The same study and order
// give the same bytes. It is refused if the study breaks a rule or is of a newer form,
// if a photograph at hand is not the one that is named, and if Strip fails.
func Write(d study.Document, o Order) ([]Piece, error) {
	fail := func(err error) ([]Piece, error) {
		return nil, &study.Problem{Wrong: fmt.Sprintf("writing study %q to a file", d.Name), Cause: err}
	}
	d, files, missing, err := o.gather(d)
	if err != nil {
		return fail(err)
	}
	text, err := study.Encode(d)
	if err != nil {
		return nil, err
	}
	x := index{Form: Form, Study: partOf(studyFile, text), Photographs: []photograph{}, Missing: missing}
	for _, f := range files {
		x.Photographs = append(x.Photographs, f.photograph)
	}
	if o.Board != nil {
		board := partOf(boardFile, o.Board)
		x.Board = &board
	}
	head, err := spell(x)
	if err != nil {
		return fail(err)
	}
	w := newWriter()
	w.add(indexFile, head)
	w.add(studyFile, text)
	w.add(schemaFile, Schema)
	if o.Board != nil {
		w.add(boardFile, o.Board)
	}
	for _, f := range files {
		w.addFile(f)
	}
	pieces, err := w.close()
	if err != nil {
		return fail(err)
	}
	return pieces, nil
}

// Joined is pieces as one file.
func Joined(pieces []Piece, photograph func(hash string) Bytes) ([]byte, error) {
	var out bytes.Buffer
	for _, p := range pieces {
		out.Write(p.Data)
		if p.Photograph == "" {
			continue
		}
		file := photograph(p.Photograph)
		if _, err := io.Copy(&out, io.NewSectionReader(file, 0, file.Size())); err != nil {
			return nil, fmt.Errorf("reading the photograph: %w", err)
		}
	}
	return out.Bytes(), nil
}

// stored is a photograph's file as it is written.
type stored struct {
	photograph
	data []byte // nil for the file as it came
	crc  uint32
}

// gather reads the photographs of a study, and is the study that names them as they are
// written.
func (o Order) gather(d study.Document) (written study.Document, files []stored, missing []string, err error) {
	missing = []string{}
	references := d.References()
	var all, done float64
	for _, r := range references {
		all += float64(r.Bytes)
	}
	for _, r := range references {
		file := o.Photograph(r.Hash)
		if file == nil {
			missing = append(missing, r.Hash)
			continue
		}
		s, err := o.store(r, file)
		if err != nil {
			return d, nil, nil, fmt.Errorf("the photograph %s: %w", r.Name, err)
		}
		if s.Hash != r.Hash {
			d = exchanged(d, r.Hash, s.Hash, int(s.Bytes))
		}
		files = append(files, s)
		done += float64(r.Bytes)
		if o.Progress != nil {
			if err := o.Progress(done / all); err != nil {
				return d, nil, nil, err
			}
		}
	}
	return d, once(files), missing, nil
}

// once leaves out what stands there before: two files may be the same once they are
// stripped.
func once(files []stored) []stored {
	seen := map[string]bool{}
	var left []stored
	for _, f := range files {
		if !seen[f.Hash] {
			seen[f.Hash] = true
			left = append(left, f)
		}
	}
	return left
}

// store is a photograph's file as it is to be written.
func (o Order) store(r study.Reference, file Bytes) (stored, error) {
	s := stored{photograph: photograph{Name: r.Name}}
	s.part = part{nameOf(r, r.Hash), r.Hash, int64(r.Bytes)}
	if file.Size() != s.Bytes {
		return s, fmt.Errorf("it is %d bytes long where %d are wanted", file.Size(), r.Bytes)
	}
	section := io.NewSectionReader(file, 0, file.Size())
	if o.Strip == nil {
		sum := crc32.NewIEEE()
		_, err := io.Copy(sum, section)
		s.crc = sum.Sum32()
		return s, err
	}
	data, err := io.ReadAll(section)
	if err == nil {
		data, err = o.Strip(data)
	}
	if err != nil {
		return s, err
	}
	if data == nil {
		o.Strip = nil
		return o.store(r, file)
	}
	s.part = partOf("", data)
	s.File = nameOf(r, s.Hash)
	s.Stripped, s.data, s.crc = true, data, crc32.ChecksumIEEE(data)
	return s, nil
}

// nameOf is what a photograph is called in an archive.
func nameOf(r study.Reference, hash string) string {
	ending := strings.ToLower(path.Ext(r.Name))
	for _, c := range strings.TrimPrefix(ending, ".") {
		if c < '0' || c > '9' && c < 'a' || c > 'z' {
			ending = ""
			break
		}
	}
	if len(ending) > len(".jpeg") {
		ending = ""
	}
	return photographs + hash + strings.TrimSuffix(ending, ".")
}

func partOf(name string, data []byte) part {
	return part{name, hashOf(data), int64(len(data))}
}

func hashOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// spell is the index in the same spelling as a study.
func spell(x index) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(x)
	return b.Bytes(), err
}

// writer writes an archive in which everything lies as it is, with its size and checksum
// before it, so that it can be read though the end be lost.
type writer struct {
	out    bytes.Buffer // since the last cut
	absent bool         // what is written now is a photograph's file, and not held
	zip    *zip.Writer
	pieces []Piece
	err    error
}

func newWriter() *writer {
	w := &writer{}
	w.zip = zip.NewWriter(w)
	return w
}

// Write takes what the archive's writer writes.
func (w *writer) Write(p []byte) (int, error) {
	if w.absent {
		return len(p), nil
	}
	return w.out.Write(p)
}

// anyDay is the date of every file in an archive, the first that the format knows: when
// a file was written is nobody's business.
const anyDay = 1<<5 | 1

// begin begins a file of an archive.
func (w *writer) begin(name string, size int64, crc uint32) io.Writer {
	if w.err != nil {
		return io.Discard
	}
	header := &zip.FileHeader{
		Name: name, Method: zip.Store, CRC32: crc, ModifiedDate: anyDay,
		CompressedSize64: uint64(size), UncompressedSize64: uint64(size),
	}
	to, err := w.zip.CreateRaw(header)
	if err != nil {
		w.err = err
		return io.Discard
	}
	return to
}

func (w *writer) add(name string, data []byte) {
	_, err := w.begin(name, int64(len(data)), crc32.ChecksumIEEE(data)).Write(data)
	w.note(err)
}

// addFile adds a photograph. If it is written as it came its bytes are only counted:
// they are a piece of their own.
func (w *writer) addFile(f stored) {
	to := w.begin(f.File, f.Bytes, f.crc)
	if f.data != nil {
		_, err := to.Write(f.data)
		w.note(err)
		return
	}
	w.cut()
	w.absent = true
	_, err := io.CopyN(to, zeros{}, f.Bytes)
	w.note(err)
	w.note(w.zip.Flush())
	w.absent = false
	w.pieces = append(w.pieces, Piece{Photograph: f.Hash})
}

// cut ends a piece.
func (w *writer) cut() {
	w.note(w.zip.Flush())
	w.pieces = append(w.pieces, Piece{Data: bytes.Clone(w.out.Bytes())})
	w.out.Reset()
}

func (w *writer) note(err error) {
	if w.err == nil {
		w.err = err
	}
}

func (w *writer) close() ([]Piece, error) {
	w.note(w.zip.Close())
	w.cut()
	return w.pieces, w.err
}

// zeros is nothing but zeros, without an end.
type zeros struct{}

func (zeros) Read(p []byte) (int, error) {
	clear(p)
	return len(p), nil
}
