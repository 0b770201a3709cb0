package render_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

const (
	root   = ".."        // of the project
	module = "maulstick" // and its name
)

// listed reads testdata/PROVENANCE: file, origin, licence, sha256, test.
func listed(t *testing.T) map[string][]string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(root, "testdata", "PROVENANCE"))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimRight(string(data), "\n"), "\n")
	if lines[0] != "file\torigin\tlicence\tsha256\ttest" {
		t.Fatalf("PROVENANCE begins %q", lines[0])
	}
	rows := map[string][]string{}
	for _, line := range lines[1:] {
		cells := strings.Split(line, "\t")
		if len(cells) != 5 || slices.Contains(cells, "") {
			t.Errorf("PROVENANCE: %q is not five cells", line)
			continue
		}
		if rows[cells[0]] != nil {
			t.Errorf("PROVENANCE: %s is listed twice", cells[0])
		}
		rows[cells[0]] = cells
	}
	if len(rows) == 0 {
		t.Fatal("PROVENANCE lists nothing")
	}
	return rows
}

// tests are the names of all test functions of the project.
func tests(t *testing.T) map[string]bool {
	t.Helper()
	names := map[string]bool{}
	declared := regexp.MustCompile(`(?m)^func ((?:Test|Fuzz|Benchmark)\w*)\(`)
	walk(t, root, func(path string) {
		if !strings.HasSuffix(path, "_test.go") {
			return
		}
		source, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for _, match := range declared.FindAllStringSubmatch(string(source), -1) {
			names[match[1]] = true
		}
	})
	if len(names) == 0 {
		t.Fatal("there is no test")
	}
	return names
}

// walk visits all files below a folder but those of hidden folders.
func walk(t *testing.T, folder string, visit func(path string)) {
	t.Helper()
	err := filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case entry.IsDir() && path != folder && strings.HasPrefix(entry.Name(), "."):
			return fs.SkipDir
		case !entry.IsDir():
			visit(path)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// What PROVENANCE lists is what testdata holds, byte for byte, and each file is
// used by the test it names.
func TestProvenanceHoldsToTree(t *testing.T) {
	rows, names := listed(t), tests(t)
	folder := filepath.Join(root, "testdata")
	found := 0
	walk(t, folder, func(path string) {
		name, err := filepath.Rel(folder, path)
		if err != nil {
			t.Fatal(err)
		}
		name = filepath.ToSlash(name)
		if name == "PROVENANCE" || strings.Contains("/"+name, "/fuzz/") {
			return
		}
		found++
		row := rows[name]
		if row == nil {
			t.Errorf("%s is not in PROVENANCE", name)
			return
		}
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != row[3] {
			t.Errorf("%s is not the file in PROVENANCE: its sha256 is %x", name, sum)
		}
		for _, test := range strings.Split(row[4], " ") {
			if !names[test] {
				t.Errorf("%s: there is no test %s", name, test)
			}
		}
		delete(rows, name)
	})
	if found == 0 {
		t.Error("testdata holds nothing")
	}
	for name := range rows {
		t.Errorf("%s is in PROVENANCE and not in testdata", name)
	}
}

// unit is one package as the go command lists it.
type unit struct {
	ImportPath                         string
	Standard                           bool
	Imports, TestImports, XTestImports []string
	Deps                               []string
}

// list is every package of the project and all that they depend on, for one
// platform. Files that do not parse are the compiler's to refuse.
func list(t *testing.T, system, machine string) map[string]*unit {
	t.Helper()
	command := exec.Command("go", "list", "-e", "-deps", "-json=ImportPath,Standard,Imports,TestImports,XTestImports,Deps", "./...")
	command.Dir = root
	command.Env = append(os.Environ(), "GOOS="+system, "GOARCH="+machine, "CGO_ENABLED=0")
	var complaint bytes.Buffer
	command.Stderr = &complaint
	out, err := command.Output()
	if err != nil {
		t.Fatalf("listing packages for %s: %v: %s", system, err, complaint.String())
	}
	units := map[string]*unit{}
	for decoder := json.NewDecoder(bytes.NewReader(out)); ; {
		u := &unit{}
		if err := decoder.Decode(u); err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		units[u.ImportPath] = u
	}
	return units
}

// own says whether a package is the project's, and its name within it.
func own(path string) (name string, ok bool) { return strings.CutPrefix(path, module+"/") }

// order is the way data flows: a package may import only those before it.
var order = []string{
	"render/crew", "render/wire", "render/colour", "render/place", "render/line", "render/setout", "render/photo", "render/shape", "render/pile", "render/card", "render/look",
	"render/study", "render/shelf", "render/portfolio", "render/check", "render/verdict", "render/palette", "render", "render/survey", "render/sheet", "render/gpu",
	"web/part", "web/authority", "web", "web/pack", "web/shot", "wasm/easel", "wasm/worker", "wasm/mill", "wasm/plotter", "wasm/callipers", "wasm/empty", "wasm", "cmd/maulstick",
}

// drawing are the only packages that may import Ebiten, browser those that may
// import syscall/js.
var (
	drawing = []string{"render/gpu", "wasm", "wasm/empty"}
	browser = []string{"wasm", "wasm/worker", "wasm/mill", "wasm/plotter", "wasm/callipers", "wasm/empty"}
)

// ebiten says whether a package is Ebiten's.
func ebiten(path string) bool { return strings.HasPrefix(path, "github.com/hajimehoshi/ebiten/") }

// Imports go one way only, and the packages below know neither Ebiten nor the
// browser.
func TestImportsGoOneWay(t *testing.T) {
	seen := map[string]bool{}
	for _, platform := range [][2]string{{"linux", "amd64"}, {"js", "wasm"}} {
		units := list(t, platform[0], platform[1])
		for path, u := range units {
			name, ok := own(path)
			if !ok {
				continue
			}
			seen[name] = true
			rank := slices.Index(order, name)
			if rank < 0 {
				t.Errorf("%s has no place in the order of packages", name)
				continue
			}
			for _, imported := range u.Imports {
				if other, ok := own(imported); ok && slices.Index(order, other) >= rank {
					t.Errorf("%s imports %s, which is above it", name, other)
				}
				if imported == "syscall/js" && !slices.Contains(browser, name) {
					t.Errorf("%s imports syscall/js", name)
				}
			}
			if slices.Contains(drawing, name) {
				continue
			}
			for _, dep := range slices.Concat(u.Deps, u.TestImports, u.XTestImports) {
				if ebiten(dep) {
					t.Errorf("%s depends on %s", name, dep)
					break
				}
			}
			if slices.Contains(browser, name) {
				continue
			}
			for _, dep := range u.Deps {
				// The standard library itself reaches the browser on this platform.
				if d := units[dep]; d != nil && !d.Standard && slices.Contains(d.Imports, "syscall/js") {
					t.Errorf("%s depends on %s, which imports syscall/js", name, dep)
				}
			}
		}
	}
	for _, name := range []string{"render/colour", "render/place", "render/photo", "render/look", "render/study", "render"} {
		if !seen[name] {
			t.Errorf("the list lacks %s", name)
		}
	}
}

// The two rules above can fail: the list does tell what a package imports.
func TestListTellsImports(t *testing.T) {
	units := list(t, "linux", "amd64")
	photo := units[module+"/render/photo"]
	if photo == nil || !slices.Contains(photo.Imports, module+"/render/colour") || !slices.Contains(photo.Deps, "image") {
		t.Errorf("photo is listed as %+v", photo)
	}
	mill := list(t, "js", "wasm")[module+"/wasm/mill"]
	if mill == nil || !slices.Contains(mill.Imports, "syscall/js") {
		t.Errorf("mill is listed as %+v", mill)
	}
}
