package portfolio

import (
	"archive/zip"
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"maulstick/render/photo"
	"maulstick/render/study"
)

// boardOf is a picture of a board.
func boardOf(t testing.TB) []byte {
	t.Helper()
	data, err := Board([]*photo.Picture{photo.New(40, 30), photo.New(20, 40), photo.New(400, 1)})
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Written, opened and written again a study is the same byte for byte, its photographs
// as they came or stripped, and the archive is one that zip itself finds nothing wrong
// with.
func TestRoundTrip(t *testing.T) {
	d, f := sample(t)
	for name, way := range map[string]Strip{"as they came": nil, "stripped": strip} {
		t.Run(name, func(t *testing.T) {
			first := written(t, d, Order{Photograph: f.of, Strip: way, Board: boardOf(t)})
			if again := written(t, d, Order{Photograph: f.of, Strip: way, Board: boardOf(t)}); !bytes.Equal(first, again) {
				t.Error("written twice it is not the same")
			}
			o := opened(t, first)
			if way == nil && !reflect.DeepEqual(o.Study, d) {
				t.Errorf("opened it is\n%+v\nand was\n%+v", o.Study, d)
			}
			if o.Stripped != (way != nil) || !o.Board || o.Newer || len(o.Photographs) != 3 {
				t.Errorf("opened it is %+v", o)
			}
			got := taken(t, o, first)
			second := written(t, o.Study, Order{Photograph: got.of, Strip: way, Board: boardOf(t)})
			if !bytes.Equal(first, second) {
				t.Errorf("opened and written again it is another file, of %d bytes and %d", len(first), len(second))
			}
			if bytes.Contains(first, secret) != (way == nil) {
				t.Error("what the camera wrote is in the file or lacks, against what was asked")
			}
			holdToZip(t, first, f, way)
		})
	}
}

// holdToZip reads an archive with the standard library.
func holdToZip(t *testing.T, data []byte, f files, way Strip) {
	t.Helper()
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, file := range archive.File {
		names = append(names, file.Name)
		from, err := file.Open()
		if err != nil {
			t.Fatal(err)
		}
		whole, err := io.ReadAll(from) // which checks the checksum
		if err != nil {
			t.Errorf("%s: %v", file.Name, err)
		}
		if hash, ok := strings.CutPrefix(file.Name, photographs); ok {
			if way == nil && !bytes.Equal(whole, f[hash[:64]]) || hashOf(whole) != hash[:64] {
				t.Errorf("%s is not the photograph of that hash", file.Name)
			}
		}
		if file.Name == schemaFile && !bytes.Equal(whole, Schema) {
			t.Error("the schema in the archive is another")
		}
	}
	if len(names) != 7 || strings.Join(names[:4], " ") != "maulstick.json study.json study.schema.json board.jpg" {
		t.Errorf("the archive holds %q", names)
	}
	if want := []string{".jpeg", ".png", ""}; names[4][len(photographs)+64:] != want[0] || names[5][len(photographs)+64:] != want[1] || names[6][len(photographs)+64:] != want[2] {
		t.Errorf("the photographs are called %q", names[4:])
	}
}

// Stripping exchanges every place where a photograph is named, and nothing else.
func TestStrippingExchangesReferences(t *testing.T) {
	d, f := sample(t)
	o := opened(t, written(t, d, Order{Photograph: f.of, Strip: strip}))
	want := d
	for _, r := range d.References() {
		bare, _ := strip(f[r.Hash])
		want = exchanged(want, r.Hash, hashOf(bare), len(bare))
	}
	if !reflect.DeepEqual(o.Study, want) || reflect.DeepEqual(o.Study, d) {
		t.Errorf("the study is\n%+v\nwant\n%+v", o.Study, want)
	}
	if len(d.References()) != 3 || f[d.Reference.Hash] == nil {
		t.Error("the study before was changed")
	}
	refuses := func([]byte) ([]byte, error) { return nil, errors.New("it is of no known kind") }
	if _, err := Write(d, Order{Photograph: f.of, Strip: refuses}); err == nil || !strings.Contains(err.Error(), "the photograph Fig <1>.JPEG: it is of no known kind") {
		t.Errorf("a photograph that cannot be stripped gives %v", err)
	}
}

// A photograph of a kind that cannot be freed of anything goes in as it came, and the
// archive does not call it, nor all of them, stripped.
func TestStrippingLeavesWhatItDoesNotKnow(t *testing.T) {
	d, f := sample(t)
	other := d.References()[1].Hash
	o := opened(t, written(t, d, Order{Photograph: f.of, Strip: func(photograph []byte) ([]byte, error) {
		if hashOf(photograph) == other {
			return nil, nil
		}
		return strip(photograph)
	}}))
	var left int
	for i, r := range o.Study.References() {
		if r.Hash == d.References()[i].Hash {
			left++
		}
	}
	if left != 1 || o.Study.References()[1].Hash != other || o.Stripped || len(o.Damage) > 0 {
		t.Errorf("%d photographs are as they came; the study is\n%+v", left, o)
	}
}

// A photograph that is not at hand is left out and said, and the rest comes through.
func TestWithoutAPhotograph(t *testing.T) {
	d, f := sample(t)
	delete(f, d.References()[1].Hash)
	data := written(t, d, Order{Photograph: f.of})
	o, err := Open(bytes.NewReader(data), nil)
	if err != nil || len(o.Photographs) != 2 || !reflect.DeepEqual(o.Study, d) {
		t.Fatalf("opened it is %+v, %v", o, err)
	}
	if want := "the photograph sky.png was not at hand when the file was written"; len(o.Damage) != 1 || o.Damage[0] != want {
		t.Errorf("it says %q", o.Damage)
	}
	if _, ok := o.Photograph(d.References()[1].Hash); ok {
		t.Error("the photograph is said to be there")
	}
	got := taken(t, o, data)
	if again := written(t, o.Study, Order{Photograph: got.of}); !bytes.Equal(again, data) {
		t.Error("written again it is another file")
	}
}

func TestWriteRefusesWhatIsNotTheStudys(t *testing.T) {
	d, f := sample(t)
	short := func(hash string) Bytes { return bytes.NewReader(f[hash][1:]) }
	if _, err := Write(d, Order{Photograph: short}); err == nil || !strings.Contains(err.Error(), "bytes long where") {
		t.Errorf("a photograph of another length gives %v", err)
	}
	broken := d
	broken.Name = ""
	newer := d
	newer.Format++
	for _, bad := range []study.Document{broken, newer} {
		if _, err := Write(bad, Order{Photograph: f.of}); err == nil {
			t.Errorf("a study that breaks a rule is written")
		}
	}
	stop := errors.New("stopped")
	if _, err := Write(d, Order{Photograph: f.of, Progress: func(float64) error { return stop }}); !errors.Is(err, stop) {
		t.Errorf("a writing that is stopped ends with %v", err)
	}
}

// The single file of before still opens.
func TestOpenTheSingleFile(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "sheet", "fig-in-a-red-bowl.maulstick.json"))
	if err != nil {
		t.Fatal(err)
	}
	want, photograph, err := study.DecodeFile(data)
	if err != nil {
		t.Fatal(err)
	}
	o := opened(t, data)
	if !reflect.DeepEqual(o.Study, want) || len(o.Photographs) != 1 || !bytes.Equal(o.Photographs[0].Data, photograph) {
		t.Error("it opens to something else than study.DecodeFile says")
	}
	if _, err := Open(bytes.NewReader(data[:len(data)/2]), nil); err == nil {
		t.Error("half of it opens")
	}
}

// Packed by another program, in another order and under other names, the photographs
// are known by their bytes.
func TestPackedElsewhere(t *testing.T) {
	d, f := sample(t)
	data := written(t, d, Order{Photograph: f.of, Board: boardOf(t)})
	from, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	to := zip.NewWriter(&out)
	for i := len(from.File) - 1; i >= 0; i-- {
		file := from.File[i]
		name := file.Name
		if strings.HasPrefix(name, photographs) {
			name = "my pictures/" + name[len(name)-8:]
		}
		w, err := to.Create(name) // packed
		if err != nil {
			t.Fatal(err)
		}
		r, err := file.Open()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.Copy(w, r); err != nil {
			t.Fatal(err)
		}
	}
	if err := to.Close(); err != nil {
		t.Fatal(err)
	}
	o, err := Open(bytes.NewReader(out.Bytes()), nil)
	if err != nil || len(o.Photographs) != 3 || !reflect.DeepEqual(o.Study, d) {
		t.Fatalf("opened it is %+v, %v", o, err)
	}
	if got := taken(t, o, out.Bytes()); !reflect.DeepEqual(got, f) {
		t.Error("the photographs are others")
	}
}

func TestTheBoardIsDrawnInItsOrder(t *testing.T) {
	copies := []*photo.Picture{photo.New(400, 200), photo.New(100, 400), photo.New(40, 40)}
	for i, c := range copies {
		for at := 0; at < len(c.Pix); at += 4 {
			copy(c.Pix[at:], []byte{byte(60 * i), byte(255 - 60*i), 200, 255})
		}
	}
	data, err := Board(copies)
	if err != nil {
		t.Fatal(err)
	}
	p, err := photo.Decode(data)
	if err != nil || p.Picture.Width != 2*(cell+gap)+gap || p.Picture.Height != 2*(cell+gap)+gap {
		t.Fatalf("the board is %+v, %v", p, err)
	}
	at := func(x, y int) []byte { return p.Picture.Pix[4*(y*p.Picture.Width+x):][:3] }
	near := func(got []byte, r, g, b int) bool {
		for i, want := range []int{r, g, b} {
			if d := int(got[i]) - want; d < -3 || d > 3 {
				return false
			}
		}
		return true
	}
	for i, middle := range [][2]int{{gap + cell/2, gap + cell/2}, {2*gap + cell*3/2, gap + cell/2}, {gap + cell/2, 2*gap + cell*3/2}} {
		if got := at(middle[0], middle[1]); !near(got, 60*i, 255-60*i, 200) {
			t.Errorf("reference %d is %v in its middle", i+1, got)
		}
	}
	for _, bare := range [][2]int{{4, 4}, {gap + cell/2, gap + 50}, {2*gap + cell*3/2, 2*gap + cell*3/2}} {
		if got := at(bare[0], bare[1]); !near(got, 119, 119, 119) { // L* 50
			t.Errorf("the board between references is %v at %v", got, bare)
		}
	}
	if _, err := Board(nil); err == nil {
		t.Error("a board is drawn with nothing on it")
	}
	if _, err := Board([]*photo.Picture{photo.New(401, 1)}); err == nil {
		t.Error("a copy larger than its cell is drawn")
	}
}
