package portfolio

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"maulstick/render/photo"
	"maulstick/render/study"
)

// The most that is read of a file into memory: its index, its study, and all that is
// packed in it, together. What is packed is unpacked only if it is to be as long as the
// study says that its photograph is.
const (
	mostIndex    = 4 << 20
	mostStudy    = 8 << 20
	mostUnpacked = 1 << 29
)

// Open reads a study's file, of the archive's forms or of the first one, a single JSON
// file. What is whole is taken, and Damage says what was not. An error, a *study.Problem,
// says that there was nothing to take. Progress, 0 to 1, may be nil; its error ends the
// work.
func Open(file Bytes, progress func(share float64) error) (Opened, error) {
	start := make([]byte, min(64, max(file.Size(), 0)))
	if _, err := io.ReadFull(io.NewSectionReader(file, 0, int64(len(start))), start); err != nil {
		return Opened{}, fmt.Errorf("reading the file: %w", err)
	}
	if bytes.HasPrefix(bytes.TrimLeft(start, " \t\r\n\ufeff"), []byte("{")) {
		return openSingle(file)
	}
	r := reader{file: file, progress: progress, left: mostUnpacked, toHash: 4 * file.Size()}
	if err := r.list(); err != nil {
		return Opened{}, err
	}
	return r.open()
}

// mostSingle bounds a study in a single JSON file, photograph and all.
const mostSingle = 1 << 30

// openSingle reads a file of the first form.
func openSingle(file Bytes) (Opened, error) {
	if file.Size() > mostSingle {
		return Opened{}, &study.Problem{Wrong: "this kept study is too long to be one", Advice: "open the photograph itself"}
	}
	data := make([]byte, file.Size())
	if _, err := io.ReadFull(io.NewSectionReader(file, 0, file.Size()), data); err != nil {
		return Opened{}, fmt.Errorf("reading the file: %w", err)
	}
	d, photograph, err := study.DecodeFile(data)
	var newer *study.Newer
	if err != nil && (!errors.As(err, &newer) || d.ID == "") {
		return Opened{}, err
	}
	return Opened{Study: d, Newer: newer != nil, Photographs: []Found{{Reference: d.Reference, Data: photograph}}}, nil
}

// reader is an archive being read.
type reader struct {
	file     Bytes
	progress func(share float64) error
	entries  []entry
	names    []string // of all files that were told of, whole or not
	walked   bool
	left     int64 // bytes that may still be unpacked
	toHash   int64 // and gone through
	all      int64 // bytes of the photographs that are looked for
	done     int64
	index    index
	lost     [3][]string // names of photographs, by why they are lost
	opened   Opened
}

// Why a photograph is lost.
const (
	notAtHand = iota // when the file was written
	damaged
	missing
)

// tellLost notes which photographs are lost: of several that are so for one reason, in one
// clause.
func (r *reader) tellLost() {
	for why, words := range [...]struct{ one, more string }{
		notAtHand: {"was not at hand when the file was written", "were not at hand when the file was written"},
		damaged:   {"is damaged", "are damaged"},
		missing:   {"is missing", "are missing"},
	} {
		switch names := r.lost[why]; len(names) {
		case 0:
		case 1:
			r.damage("the photograph %s %s", names[0], words.one)
		default:
			r.damage("%d photographs %s: %s", len(names), words.more, strings.Join(names, ", "))
		}
	}
}

// damage notes what was not whole.
func (r *reader) damage(format string, values ...any) {
	r.opened.Damage = append(r.opened.Damage, fmt.Sprintf(format, values...))
}

// open reads what the archive holds.
func (r *reader) open() (Opened, error) {
	if err := r.readIndex(); err != nil {
		r.damage("its list of contents is damaged")
	}
	o := &r.opened
	switch err := r.readStudy(); {
	case err != nil && o.Newer:
		return Opened{}, err
	case err != nil:
		if again := r.withoutStudy(); again != nil {
			return Opened{}, again
		}
		r.damage("the study itself is lost, and its photographs hang on a new board")
		return *o, nil
	}
	references := o.Study.References()
	for _, ref := range references {
		r.all += int64(ref.Bytes)
	}
	o.Stripped = len(references) > 0
	for _, ref := range references {
		if err := r.take(ref); err != nil {
			return Opened{}, err
		}
	}
	r.tellLost()
	r.checkBoard()
	return *o, nil
}

// readIndex reads the list of contents.
func (r *reader) readIndex() error {
	data, err := r.read(indexFile, mostIndex)
	if err != nil {
		return err
	}
	var x index
	if err := json.Unmarshal(data, &x); err != nil {
		return errors.New("it is not well written")
	}
	if x.Form < Form {
		return fmt.Errorf("it is of form %d, which no archive has", x.Form)
	}
	r.index = x
	return nil
}

// readStudy reads the study.
func (r *reader) readStudy() error {
	text, err := r.read(studyFile, mostStudy)
	if err != nil {
		return err
	}
	d, err := study.Decode(text)
	var newer *study.Newer
	if errors.As(err, &newer) {
		r.opened.Newer = true
	}
	if err != nil && d.ID == "" {
		return err
	}
	if want := r.index.Study.Hash; want != "" && want != hashOf(text) {
		r.damage("its study was changed after it was saved")
	}
	if r.index.Form > Form && d.Format <= study.Format {
		// The archive is newer than the study in it: that must not be written back either,
		// and a document of a newer form is the one thing that never is.
		d.Format = study.Format + r.index.Form - Form
		r.opened.Newer = true
	}
	r.opened.Study = d
	return nil
}

// take looks for the file of a photograph.
func (r *reader) take(ref study.Reference) error {
	found := r.find(ref)
	if found == nil && r.walk() {
		found = r.find(ref)
	}
	r.done += int64(ref.Bytes)
	if r.progress != nil {
		if err := r.progress(float64(r.done) / float64(max(r.all, 1))); err != nil {
			return err
		}
	}
	i := slices.IndexFunc(r.index.Photographs, func(p photograph) bool { return p.Hash == ref.Hash })
	r.opened.Stripped = r.opened.Stripped && i >= 0 && r.index.Photographs[i].Stripped
	name := ref.Name
	if name == "" {
		name = ref.Hash[:8]
	}
	named := slices.ContainsFunc(r.names, func(name string) bool { return strings.HasPrefix(name, photographs+ref.Hash) })
	if found != nil {
		r.opened.Photographs = append(r.opened.Photographs, *found)
		return nil
	}
	why := missing
	switch {
	case slices.Contains(r.index.Missing, ref.Hash):
		why = notAtHand
	case named:
		why = damaged
	}
	r.lost[why] = append(r.lost[why], name)
	r.opened.Lost = append(r.opened.Lost, ref.Hash)
	return nil
}

// find looks for a photograph by its name first and then among all files of its length:
// it is known by its bytes, whatever it is called. It is nil if it is not there whole.
func (r *reader) find(ref study.Reference) *Found {
	for _, byName := range []bool{true, false} {
		for i := range r.entries {
			e := &r.entries[i]
			if e.size != int64(ref.Bytes) || strings.HasPrefix(e.name, photographs+ref.Hash) != byName {
				continue
			}
			hash, data, err := r.hash(e)
			if err != nil || hash != ref.Hash {
				continue
			}
			return &Found{Reference: ref, Offset: e.offset, Data: data}
		}
	}
	return nil
}

// hash is the hash of a file in the archive, and its bytes if they were packed.
func (r *reader) hash(e *entry) (hash string, data []byte, err error) {
	if e.packed() {
		if data, err = r.unpack(*e, e.size); err != nil {
			return "", nil, err
		}
		return hashOf(data), data, nil
	}
	if e.hash != "" {
		return e.hash, nil, nil
	}
	if r.toHash -= e.size; r.toHash < 0 {
		return "", nil, errors.New("its files lie over each other")
	}
	sum := sha256.New()
	if _, err := io.Copy(sum, io.NewSectionReader(r.file, e.offset, e.size)); err != nil {
		return "", nil, err
	}
	e.hash = hex.EncodeToString(sum.Sum(nil))
	return e.hash, nil, nil
}

// checkBoard looks whether the picture of the board is whole.
func (r *reader) checkBoard() {
	if r.index.Board == nil {
		return
	}
	for i := range r.entries {
		if e := &r.entries[i]; e.name == boardFile && !e.packed() && e.size == r.index.Board.Bytes {
			hash, _, err := r.hash(e)
			r.opened.Board = err == nil && hash == r.index.Board.Hash
		}
	}
	if !r.opened.Board {
		r.damage("the picture of the board is damaged, and will be made anew")
	}
}

// withoutStudy makes a study of the whole photographs of an archive whose own is lost.
func (r *reader) withoutStudy() error {
	var found []Found
	for i := range r.entries {
		e := &r.entries[i]
		hash, ok := strings.CutPrefix(e.name, photographs)
		if !ok || len(hash) < 64 || e.size <= 0 {
			continue
		}
		hash = hash[:64]
		actual, data, err := r.hash(e)
		if err != nil || actual != hash {
			continue
		}
		f := Found{Reference: study.Reference{Hash: hash, Bytes: int(e.size)}, Offset: e.offset, Data: data}
		if x := slices.IndexFunc(r.index.Photographs, func(p photograph) bool { return p.Hash == hash }); x >= 0 {
			f.Reference.Name = r.index.Photographs[x].Name
		}
		whole, err := f.Read(r.file)
		if err != nil {
			continue
		}
		header, err := photo.Inspect(whole)
		if err != nil {
			continue
		}
		f.Reference.Width, f.Reference.Height = header.Upright()
		found = append(found, f)
	}
	if len(found) == 0 {
		return &study.Problem{Wrong: "this file holds no study and no photograph that is whole", Advice: "save it again where it was made"}
	}
	d := study.New("found-"+found[0].Reference.Hash[:16], found[0].Reference)
	for i := range found[1:] {
		d, _ = d.Pinned(found[i+1].Reference)
	}
	if err := d.Check(); err != nil {
		return &study.Problem{Wrong: "this file holds no study that is whole", Advice: "save it again where it was made", Cause: err}
	}
	r.opened.Study, r.opened.Photographs = d, found
	for i, f := range found {
		found[i].Reference.Name = strings.TrimSpace(f.Reference.Name)
	}
	return nil
}
