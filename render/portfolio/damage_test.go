package portfolio

import (
	"archive/zip"
	"bytes"
	"cmp"
	"compress/flate"
	"encoding/binary"
	"encoding/json"
	"errors"
	"hash/crc32"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"

	"maulstick/render/study"
)

// spans are where the files of a whole archive lie in it.
func spans(t testing.TB, data []byte) map[string][2]int64 {
	t.Helper()
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	at := map[string][2]int64{}
	for _, f := range archive.File {
		from, err := f.DataOffset()
		if err != nil {
			t.Fatal(err)
		}
		at[f.Name] = [2]int64{from, from + int64(f.CompressedSize64)}
	}
	return at
}

// Cut short anywhere, a file gives every photograph that lies in it whole, the study if
// that does, and says what is lost.
func TestCutShort(t *testing.T) {
	d, f := sample(t)
	data := written(t, d, Order{Photograph: f.of, Board: boardOf(t)})
	at := spans(t, data)
	lengths := []int64{0, 1, 3, 29, 30, 100}
	for _, s := range at {
		lengths = append(lengths, s[0]-1, s[0], s[0]+1, s[1]-1, s[1], s[1]+1)
	}
	for n := int64(0); n < int64(len(data)); n += int64(len(data)) / 40 {
		lengths = append(lengths, n)
	}
	for _, n := range lengths {
		o, err := Open(bytes.NewReader(data[:n]), nil)
		if n < at[studyFile][1] {
			if err == nil {
				t.Errorf("cut at %d, before the end of the study, it opens to %+v", n, o)
			}
			continue
		}
		if err != nil {
			t.Errorf("cut at %d it does not open: %v", n, err)
			continue
		}
		if !reflect.DeepEqual(o.Study, d) {
			t.Errorf("cut at %d the study is another", n)
		}
		whole := 0
		for name, s := range at {
			hash, ok := strings.CutPrefix(name, photographs)
			if !ok {
				continue
			}
			found, there := o.Photograph(hash[:64])
			if there != (s[1] <= n) {
				t.Errorf("cut at %d: that %s is whole is said to be %v", n, name, there)
			}
			if there {
				whole++
				if got, err := found.Read(bytes.NewReader(data[:n])); err != nil || !bytes.Equal(got, f[hash[:64]]) {
					t.Errorf("cut at %d: %s is read as %d bytes, %v", n, name, len(got), err)
				}
			}
		}
		said := strings.Join(o.Damage, "; ")
		for _, ref := range d.References() {
			if lost := slices.Contains(o.Lost, ref.Hash); lost != strings.Contains(said, cmp.Or(ref.Name, ref.Hash[:8])) {
				t.Errorf("cut at %d: that %s is lost is %v, and it says %q", n, ref.Name, lost, said)
			}
		}
		if len(o.Lost) != 3-whole || !strings.Contains(said, "cut short") {
			t.Errorf("cut at %d with %d photographs it says %q", n, whole, said)
		}
	}
}

// One byte that is wrong, anywhere, costs what it lies in and no more; what was lost is
// said.
func TestOneWrongByte(t *testing.T) {
	d, f := sample(t)
	data := written(t, d, Order{Photograph: f.of, Board: boardOf(t)})
	at := spans(t, data)
	const step = 23
	for i := 0; i < len(data); i += step {
		broken := bytes.Clone(data)
		broken[i] ^= 0x41
		o, err := Open(bytes.NewReader(broken), nil)
		in := ""
		for name, s := range at {
			if int64(i) >= s[0] && int64(i) < s[1] {
				in = name
			}
		}
		switch {
		case err != nil:
			t.Errorf("byte %d, in %q: it does not open: %v", i, in, err)
			continue
		case in == studyFile, in == "" && o.Study.ID != d.ID: // the header before the study is part of it
			if in == "" && int64(i) >= at[studyFile][0] {
				t.Errorf("byte %d, in no file: the study is lost", i)
			}
			if !strings.Contains(strings.Join(o.Damage, "; "), "the study itself is lost") || len(o.Photographs) != 3 {
				t.Errorf("byte %d, in the study: %q", i, o.Damage)
			}
			if err := o.Study.Check(); err != nil {
				t.Errorf("byte %d: the study made of what was left breaks a rule: %v", i, err)
			}
			continue
		case !reflect.DeepEqual(o.Study, d):
			t.Errorf("byte %d, in %q: the study is another", i, in)
		}
		for hash, want := range taken(t, o, broken) {
			if !bytes.Equal(want, f[hash]) {
				t.Errorf("byte %d, in %q: a photograph is taken that is not whole", i, in)
			}
		}
		lost := 3 - len(o.Photographs)
		if strings.HasPrefix(in, photographs) != (lost == 1) && in != "" || lost > 1 {
			t.Errorf("byte %d, in %q: %d photographs are lost: %q", i, in, lost, o.Damage)
		}
		if (lost > 0 || in == indexFile || in == boardFile) && len(o.Damage) == 0 {
			t.Errorf("byte %d, in %q: nothing is said", i, in)
		}
	}
}

// made is an archive of the test's own.
func made(t testing.TB, entries ...zip.FileHeader) func(bodies ...[]byte) []byte {
	t.Helper()
	return func(bodies ...[]byte) []byte {
		var out bytes.Buffer
		w := zip.NewWriter(&out)
		for i, h := range entries {
			to, err := w.CreateRaw(&h)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := to.Write(bodies[i]); err != nil {
				t.Fatal(err)
			}
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		return out.Bytes()
	}
}

func plainly(name string, data []byte) zip.FileHeader {
	return zip.FileHeader{Name: name, CRC32: crc32.ChecksumIEEE(data), CompressedSize64: uint64(len(data)), UncompressedSize64: uint64(len(data))}
}

func deflated(data []byte) []byte {
	var out bytes.Buffer
	w, err := flate.NewWriter(&out, flate.BestCompression)
	if err != nil {
		panic(err) // the level is one there is
	}
	w.Write(data)
	w.Close()
	return out.Bytes()
}

// What claims more than it is, or becomes more than it says, is refused before memory is
// taken for it.
func TestBombsTakeNoMemory(t *testing.T) {
	d, f := sample(t)
	text, err := study.Encode(d)
	if err != nil {
		t.Fatal(err)
	}
	huge := d
	huge.Reference.Bytes = 1 << 31
	hugeText, err := study.Encode(huge)
	if err != nil {
		t.Fatal(err)
	}
	zeros := deflated(make([]byte, 64<<20))
	hash := d.Reference.Hash
	packed := func(name string, size uint64) zip.FileHeader {
		return zip.FileHeader{Name: name, Method: zip.Deflate, CompressedSize64: uint64(len(zeros)), UncompressedSize64: size}
	}
	photo := f[hash]
	for name, data := range map[string][]byte{
		"a study that unpacks to more than it says": made(t, packed(studyFile, 1000))(zeros),
		"a study that says it is huge":              made(t, packed(studyFile, 64<<20))(zeros),
		"an index that says it is huge":             made(t, packed(indexFile, 64<<20), plainly(studyFile, text))(zeros, text),
		"a photograph that unpacks to more":         made(t, plainly(studyFile, text), packed(photographs+hash, uint64(len(photo))))(text, zeros),
		"a photograph that claims two gigabytes":    made(t, plainly(studyFile, hugeText), packed(photographs+hash, 1<<31))(hugeText, zeros),
		"a photograph longer than the file":         made(t, plainly(studyFile, hugeText), zip.FileHeader{Name: photographs + hash, CompressedSize64: 1 << 31, UncompressedSize64: 1 << 31})(hugeText, photo),
		"a method that nobody knows":                made(t, plainly(studyFile, text), zip.FileHeader{Name: photographs + hash, Method: 99, CompressedSize64: uint64(len(photo)), UncompressedSize64: uint64(len(photo))})(text, photo),
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		o, err := Open(bytes.NewReader(data), nil)
		runtime.ReadMemStats(&after)
		if took := after.TotalAlloc - before.TotalAlloc; took > 24<<20 {
			t.Errorf("%s: %d MB were taken", name, took>>20)
		}
		if err == nil && len(o.Photographs) > 0 || err == nil && len(o.Damage) == 0 {
			t.Errorf("%s: opened as %+v", name, o)
		}
	}
}

// Files that lie over one another are gone through only so often.
func TestOverlappingFilesAreGoneThroughOnlySoOften(t *testing.T) {
	d, f := sample(t)
	data := written(t, d, Order{Photograph: f.of})
	at := spans(t, data)
	r := reader{file: bytes.NewReader(data), left: mostUnpacked, toHash: 4 * int64(len(data))}
	size := at[studyFile][1] - at[studyFile][0]
	var gone int64
	for i := range int64(1000) {
		e := entry{offset: i, length: size, size: size}
		if _, _, err := r.hash(&e); err == nil {
			gone += size
		}
	}
	if gone > 4*int64(len(data)) || gone == 0 {
		t.Errorf("%d bytes of a file of %d were gone through", gone, len(data))
	}
}

// A file of a newer Maulstick opens to be looked at and can never be written back,
// whether it is the study or the archive that is newer.
func TestNewerFilesAreToBeLookedAt(t *testing.T) {
	d, f := sample(t)
	data := written(t, d, Order{Photograph: f.of})
	text, err := study.Encode(d)
	if err != nil {
		t.Fatal(err)
	}
	future := bytes.Replace(text, []byte(`"maulstick_study": 5,`), []byte(`"maulstick_study": 9, "unheard_of": [1],`), 1)
	index := []byte(`{"maulstick_file": 7, "novel": true, "study": {"file": "study.json"}}`)
	photo := f[d.Reference.Hash]
	for name, file := range map[string][]byte{
		"study":   made(t, plainly(indexFile, []byte(`{"maulstick_file": 2}`)), plainly(studyFile, future), plainly("photographs/x", photo))([]byte(`{"maulstick_file": 2}`), future, photo),
		"archive": made(t, plainly(indexFile, index), plainly(studyFile, text), plainly("photographs/x", photo))(index, text, photo),
	} {
		o, err := Open(bytes.NewReader(file), nil)
		if err != nil || !o.Newer || o.Study.Format <= study.Format || o.Study.Name != d.Name {
			t.Errorf("a newer %s opens as %+v, %v", name, o, err)
			continue
		}
		if _, ok := o.Photograph(d.Reference.Hash); !ok {
			t.Errorf("a newer %s opens without its photograph", name)
		}
		if _, err := study.Encode(o.Study); err == nil {
			t.Errorf("a newer %s can be written back", name)
		}
	}
	if o := opened(t, data); o.Newer {
		t.Error("a file of today is said to be newer")
	}
	unreadable := bytes.Replace(future, []byte(`"name": "Fig`), []byte(`"name": 7, "n": "Fig`), 1)
	var newer *study.Newer
	if _, err := Open(bytes.NewReader(made(t, plainly(studyFile, unreadable))(unreadable)), nil); !errors.As(err, &newer) {
		t.Errorf("a newer study that cannot be shown gives %v", err)
	}
}

func TestWhatIsNoStudyIsRefused(t *testing.T) {
	var empty bytes.Buffer
	if err := zip.NewWriter(&empty).Close(); err != nil {
		t.Fatal(err)
	}
	other := made(t, plainly("letter.txt", []byte("hello")))([]byte("hello"))
	for name, data := range map[string][]byte{
		"nothing": {}, "text": []byte("hello"), "an empty archive": empty.Bytes(), "another archive": other,
		"a signature alone": []byte("PK\x03\x04"), "a list": []byte("[1]"), "an object": []byte("{}"),
	} {
		_, err := Open(bytes.NewReader(data), nil)
		var problem *study.Problem
		if !errors.As(err, &problem) || problem.Hint() == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Whatever a file holds, opening it ends without a panic, takes nothing that is not
// whole, and gives a study that keeps every rule or is of a newer form; a study that
// was taken whole can be written again and then opens to the same.
func FuzzOpen(f *testing.F) {
	d, files := sample(f)
	f.Add(written(f, d, Order{Photograph: files.of, Board: []byte("board")}))
	f.Add(written(f, d, Order{Photograph: files.of, Strip: strip}))
	text, err := study.Encode(d)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(made(f, plainly(studyFile, text))(text))
	small := deflated(text)
	f.Add(made(f, zip.FileHeader{Name: studyFile, Method: zip.Deflate, CRC32: crc32.ChecksumIEEE(text), CompressedSize64: uint64(len(small)), UncompressedSize64: uint64(len(text))})(small))
	f.Add([]byte("{\"maulstick_file\": 1}"))
	f.Fuzz(func(t *testing.T, data []byte) {
		o, err := Open(bytes.NewReader(data), nil)
		if err != nil {
			return
		}
		if err := o.Study.Check(); err != nil {
			t.Fatalf("a study is taken that breaks a rule: %v", err)
		}
		got := taken(t, o, data)
		for hash, whole := range got {
			if hashOf(whole) != hash {
				t.Fatal("a photograph is taken that is not whole")
			}
		}
		if o.Newer {
			return
		}
		again := written(t, o.Study, Order{Photograph: got.of})
		back, err := Open(bytes.NewReader(again), nil)
		if err != nil || !reflect.DeepEqual(back.Study, o.Study) {
			t.Fatalf("written again it opens to %+v, %v", back, err)
		}
	})
}

// The headers that walk reads are where the format's description has them.
func TestHeadersLieWhereTheyAreRead(t *testing.T) {
	d, f := sample(t)
	data := written(t, d, Order{Photograph: f.of})
	var x index
	at := spans(t, data)
	if err := json.Unmarshal(data[at[indexFile][0]:at[indexFile][1]], &x); err != nil {
		t.Fatal(err)
	}
	for _, p := range x.Photographs {
		from := at[p.File][0] - headerLength - int64(len(p.File))
		if !bytes.HasPrefix(data[from:], signature) || int64(binary.LittleEndian.Uint32(data[from+18:])) != p.Bytes {
			t.Errorf("before %s stands %q", p.File, data[from:from+headerLength])
		}
	}
}
