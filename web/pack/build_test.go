package main

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/andybalholm/brotli"

	"maulstick/web/part"
)

// sources is a page small enough to read.
func sources() map[string][]byte {
	return map[string][]byte{
		"index.html": []byte(`<html data-version="{{version}}"><link href="app.css?v={{version}}">`),
		"app.css":    []byte("body { color: grey }"),
		"sw.js":      []byte("self.listen();\n"),
	}
}

func TestVersionFollowsEveryFile(t *testing.T) {
	first := stamped(sources()).Version
	if len(first) != versionLength || first != stamped(sources()).Version {
		t.Fatalf("version %q, then %q", first, stamped(sources()).Version)
	}
	seen := map[string]string{first: "nothing"}
	for url := range sources() {
		changed := sources()
		changed[url] = append(changed[url], ' ')
		version := stamped(changed).Version
		if before, known := seen[version]; known {
			t.Errorf("changing %s gives the version of changing %s", url, before)
		}
		seen[version] = url
	}
	renamed := sources()
	renamed["other.css"] = renamed["app.css"]
	delete(renamed, "app.css")
	if version := stamped(renamed).Version; seen[version] != "" {
		t.Errorf("a renamed file keeps the version %s", version)
	}
}

func TestListHoldsWhatIsServed(t *testing.T) {
	files := sources()
	list := stamped(files)
	if err := addLists(files, list); err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(files["index.html"], []byte(stamp)) || bytes.Count(files["index.html"], []byte(list.Version)) != 2 {
		t.Errorf("the page is stamped as %s", files["index.html"])
	}
	if len(list.Parts) != 2 {
		t.Fatalf("%d parts, want index.html and app.css", len(list.Parts))
	}
	for _, one := range list.Parts {
		if got := part.Of(one.URL, files[one.URL]); got != one {
			t.Errorf("%s is listed as %+v, is %+v", one.URL, one, got)
		}
	}
	line, rest, _ := strings.Cut(string(files[part.Worker]), "\n")
	var carried part.List
	_, text, _ := strings.Cut(strings.TrimSuffix(line, ";"), "const manifest = ")
	if err := json.Unmarshal([]byte(text), &carried); err != nil || !reflect.DeepEqual(carried, list) || rest != "self.listen();\n})())\n" {
		t.Errorf("the service worker is %q and %q, %v", line, rest, err)
	}
}

// A service worker that lost its end on the way must not run: it might keep nothing,
// or answer nothing, and would be taken for a new version.
func TestServiceWorkerCutShortIsNoProgram(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", part.Worker))
	if err != nil {
		t.Fatal(err)
	}
	worker, err := part.WorkerOf(part.List{Version: "0", Parts: []part.Part{part.Of("index.html", nil)}}, text)
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), part.Worker)
	if err := os.WriteFile(file, worker, 0o600); err != nil {
		t.Fatal(err)
	}
	const cut = `const vm = require('vm'), text = require('fs').readFileSync(process.argv[1], 'utf8');
		const runs = (end) => { try { new vm.Script(text.slice(0, end)); return true; } catch { return false; } };
		const whole = text.trimEnd().length;
		const ends = []; for (let end = 1; end <= text.length; end++) if (runs(end)) ends.push(end);
		console.log(JSON.stringify({ whole, first: ends[0], length: text.length }));`
	out, err := exec.Command("node", "-e", cut, file).Output()
	if err != nil {
		t.Fatalf("node: %v (run make tools)", err)
	}
	var told struct{ Whole, First, Length int }
	if err := json.Unmarshal(out, &told); err != nil || told.Length != len(worker) || told.First != told.Whole {
		t.Errorf("the first %d letters of %d are a program, want no fewer than %d: %v", told.First, len(worker), told.Whole, err)
	}
}

func TestHashIsTheStandardsExample(t *testing.T) {
	// FIPS 180-4 example "abc", from the standard's example file.
	const want = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
	if got := part.Of("abc", []byte("abc")); got.SHA256 != want || got.Bytes != 3 {
		t.Errorf("abc is %+v, want %s", got, want)
	}
}

func TestPutLeavesFormsThatUnpackToTheFile(t *testing.T) {
	o := order{out: t.TempDir(), level: 5}
	text := bytes.Repeat([]byte("a line of the page\n"), 1000)
	for _, url := range []string{"handbook/value.html", "demo.jpg"} {
		if err := o.put(url, text); err != nil {
			t.Fatal(err)
		}
	}
	unpack := map[string]func(io.Reader) (io.Reader, error){
		"":    func(r io.Reader) (io.Reader, error) { return r, nil },
		".br": func(r io.Reader) (io.Reader, error) { return brotli.NewReader(r), nil },
		".gz": func(r io.Reader) (io.Reader, error) { return gzip.NewReader(r) },
	}
	for ending, open := range unpack {
		data, err := os.ReadFile(filepath.Join(o.out, "handbook", "value.html"+ending))
		if err != nil {
			t.Fatal(err)
		}
		if ending != "" && len(data) >= len(text)/10 {
			t.Errorf("%s is %d bytes of %d", ending, len(data), len(text))
		}
		reader, err := open(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		if back, err := io.ReadAll(reader); err != nil || !bytes.Equal(back, text) {
			t.Errorf("%s unpacks to %d bytes, %v", ending, len(back), err)
		}
	}
	if _, err := os.Stat(filepath.Join(o.out, "demo.jpg.br")); !os.IsNotExist(err) {
		t.Errorf("a photograph was compressed: %v", err)
	}
}

// The mill comes with the page, before it can answer anything; the plotter on first
// use, with all that prints; the callipers on first use, with all that compares.
func TestWorkersAreSmall(t *testing.T) {
	for source, most := range map[string]int{mill: 1_000_000, plotter: 2_000_000, darkroom: 1_100_000, callipers: 1_200_000} {
		program, err := order{root: filepath.Join("..", "..")}.compile(source)
		if err != nil {
			t.Fatal(err)
		}
		packed, err := brotliOf(program, quick)
		if err != nil {
			t.Fatal(err)
		}
		if len(packed) >= most || len(packed) < most/10 {
			t.Errorf("%s is %d bytes as packed, of %d; it may have %d", source, len(packed), len(program), most)
		}
	}
}

// What the first picture waits for is at most 1.35 of what an empty page waits for: the
// program, and the parts that both fetch with it. BenchmarkDownload of the page's tests
// counts what a browser asks for.
func TestPageIsSmall(t *testing.T) {
	const most = 1.35
	o := order{root: filepath.Join("..", "..")}
	files, both := map[string][]byte{}, 0
	if err := o.gatherWritten(files); err != nil {
		t.Fatal(err)
	}
	for _, url := range []string{"index.html", "easel.html", "app.css", "boot.js", "easel.js", "manifest.webmanifest"} {
		both += packedLength(t, files[url])
	}
	var programs [2]int
	for i, source := range []string{drawing, "./wasm/empty"} {
		program, err := o.compile(source)
		if err != nil {
			t.Fatal(err)
		}
		programs[i] = packedLength(t, program)
	}
	if share := float64(programs[0]+both) / float64(programs[1]+both); share > most || share < 1 {
		t.Errorf("the page is %d bytes as packed, an empty one %d, and %d go with both: a share of %.4f, want at most %v", programs[0], programs[1], both, share, most)
	}
}

// packedLength is how many bytes a part has on the way to a browser.
func packedLength(t *testing.T, data []byte) int {
	t.Helper()
	packed, err := brotliOf(data, quick)
	if err != nil || len(packed) == 0 {
		t.Fatalf("%d bytes are packed into %d, %v", len(data), len(packed), err)
	}
	return len(packed)
}

func TestEmptyClearsAllButTheTrackedFile(t *testing.T) {
	o := order{out: filepath.Join(t.TempDir(), "dist")}
	if err := o.empty(); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{tracked, "old.js", "old.js.br"} {
		if err := os.WriteFile(filepath.Join(o.out, name), nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := o.empty(); err != nil {
		t.Fatal(err)
	}
	entries, err := os.ReadDir(o.out)
	if err != nil || len(entries) != 1 || entries[0].Name() != tracked {
		t.Errorf("left: %v, %v", entries, err)
	}
}

func TestGatherRefusesWhatItCannotServe(t *testing.T) {
	root := t.TempDir()
	o := order{root: root}
	if err := o.gatherWritten(map[string][]byte{}); err == nil {
		t.Error("a page without files was gathered")
	}
	complete := map[string]string{}
	for _, pattern := range written {
		complete[strings.ReplaceAll(pattern, "*", "one.html")] = "text"
	}
	for name, text := range complete {
		file := filepath.Join(root, "web", name)
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	files := map[string][]byte{}
	if err := o.gatherWritten(files); err != nil || len(files) != len(complete) {
		t.Errorf("gathered %d of %d, %v", len(files), len(complete), err)
	}
	if got := files["handbook/one.html"]; string(got) != "text" {
		t.Errorf("the handbook page is %q", got)
	}
	if err := os.WriteFile(filepath.Join(root, "web", "icons", "notes.txt"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := o.gatherWritten(map[string][]byte{}); err == nil {
		t.Error("a file of unknown type was gathered")
	}
}
