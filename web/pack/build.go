package main

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"maulstick/web/part"
)

const (
	// stamp stands in the hand-written files where the version is put.
	stamp = "{{version}}"
	// versionLength is how many hex digits of a hash make a version.
	versionLength = 16
	// demo is the photograph that the page opens with, small so that the page
	// opens soon.
	demo = "testdata/photo/fig-in-red-bowl-1800.jpg"
)

// The packages of the program that draws, and of those that work off the main thread:
// one from the start on, one that is fetched when it is first needed.
const (
	drawing = "./wasm"
	mill    = "./wasm/mill"
	plotter = "./wasm/plotter"
	// darkroom decodes what the browser cannot, and is built with a tag of its name.
	darkroom = "./wasm/darkroom"
	// callipers compares, and is fetched when it is first needed, too.
	callipers = "./wasm/callipers"
)

// unhurried are packages of the page that answer touches and draw no pixels, and those
// of libraries that wait for the system, drive the graphics or compile shaders once, with
// Go's own runtime: their functions are not copied into each other, and with those of
// reading that makes the program that the first picture waits for smaller by an eighth.
var unhurried = []string{
	"maulstick/wasm/...", "maulstick/render", "maulstick/render/card", "maulstick/render/check", "maulstick/render/gpu",
	"maulstick/render/line", "maulstick/render/look", "maulstick/render/palette", "maulstick/render/pile", "maulstick/render/place",
	"maulstick/render/setout", "maulstick/render/shape", "maulstick/render/sheet", "maulstick/render/shelf", "maulstick/render/study",
	"maulstick/render/survey", "maulstick/render/verdict", "maulstick/render/wire",
	"cmp", "compress/...", "container/heap", "crypto/...", "golang.org/x/...", "hash/...", "image/...", "internal/abi",
	"internal/bytealg", "internal/cpu", "internal/filepathlite", "internal/stringslite", "internal/sync",
	"internal/syscall/...", "internal/testlog", "iter", "log", "maps", "math/...", "runtime/...", "slices", "sort", "sync/...",
	"syscall/...",
	"github.com/hajimehoshi/ebiten/v2/...",
}

// reading are packages of the library that read text and files and spell them; with
// nothing more than studies and their files they are compiled so for the plotter, too.
var reading = []string{
	"archive/zip", "bufio", "bytes", "context", "embed", "encoding/base64", "encoding/binary", "encoding/csv", "encoding/gob",
	"encoding/hex", "encoding/json", "encoding/xml", "errors", "fmt", "go/...", "internal/bisect", "internal/fmtsort",
	"internal/godebug", "internal/poll", "internal/reflectlite", "internal/strconv", "io/...", "net/...", "os", "path/...",
	"reflect", "regexp/...", "strconv", "strings", "text/template/...", "time", "unicode/...", "unique", "weak",
}

// quiet are the packages of a program whose functions are not copied into each other.
// The mill does heavy work alone, and the empty page, the yardstick, is compiled as Go
// does it by itself.
func quiet(source string) []string {
	switch source {
	case drawing:
		return slices.Concat(unhurried, reading)
	case darkroom, callipers:
		return reading
	case plotter:
		return append(slices.Clone(reading), "maulstick/render/study", "maulstick/render/portfolio")
	}
	return nil
}

// written are the hand-written files of the page, in web/; no pattern may be
// empty.
var written = []string{
	"index.html", "easel.html", "app.css", "boot.js", "easel.js", "mill.js", "plotter.js", "darkroom.js", "callipers.js",
	"manifest.webmanifest", "icons/*", "handbook/*",
}

// build makes the page and returns its list.
func (o order) build() (part.List, error) {
	files, err := o.gather()
	if err != nil {
		return part.List{}, err
	}
	service, err := os.ReadFile(filepath.Join(o.root, "web", part.Worker))
	if err != nil {
		return part.List{}, fmt.Errorf("reading the service worker: %w", err)
	}
	files[part.Worker] = service
	if err := addWords(files); err != nil {
		return part.List{}, err
	}
	list := stamped(files)
	if err := addLists(files, list); err != nil {
		return part.List{}, err
	}
	if err := o.empty(); err != nil {
		return part.List{}, err
	}
	for _, url := range sorted(files) {
		if err := o.put(url, files[url]); err != nil {
			return part.List{}, fmt.Errorf("writing %s: %w", url, err)
		}
	}
	return list, nil
}

// gather collects the parts of the page by URL.
func (o order) gather() (map[string][]byte, error) {
	files := map[string][]byte{}
	if err := o.gatherWritten(files); err != nil {
		return nil, err
	}
	goroot, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, fmt.Errorf("asking where Go is: %w", err)
	}
	runtime := filepath.Join(strings.TrimSpace(string(goroot)), "lib", "wasm", "wasm_exec.js")
	for url, file := range map[string]string{"wasm_exec.js": runtime, "demo.jpg": filepath.Join(o.root, demo)} {
		if files[url], err = os.ReadFile(file); err != nil {
			return nil, fmt.Errorf("reading a part of the page: %w", err)
		}
	}
	for url, source := range map[string]string{"page.wasm": o.page, "mill.wasm": mill, "plotter.wasm": plotter, "darkroom.wasm": darkroom, "callipers.wasm": callipers} {
		if files[url], err = o.compile(source); err != nil {
			return nil, err
		}
	}
	for url, library := range libraries {
		if files[url], err = o.unpacked(library); err != nil {
			return nil, fmt.Errorf("reading %s: %w", url, err)
		}
	}
	return files, nil
}

// libraries are decoders compiled to WebAssembly, as they lie packed in modules of Go.
var libraries = map[string]packed{
	"avif.wasm": {"github.com/gen2brain/avif", "lib/decode.wasm.gz"},
	"heic.wasm": {"github.com/gen2brain/heic", "lib/heif.wasm.gz"},
}

// packed is a file in a module.
type packed struct{ module, file string }

// unpacked is the file without its packing.
func (o order) unpacked(p packed) ([]byte, error) {
	list := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", p.module)
	list.Dir = o.root
	folder, err := list.Output()
	if err != nil {
		return nil, fmt.Errorf("asking where %s is: %w", p.module, err)
	}
	file, err := os.Open(filepath.Join(strings.TrimSpace(string(folder)), filepath.FromSlash(p.file)))
	if err != nil {
		return nil, err
	}
	defer file.Close()
	unpacking, err := gzip.NewReader(file)
	if err != nil {
		return nil, err
	}
	return io.ReadAll(unpacking)
}

// gatherWritten collects the hand-written parts.
func (o order) gatherWritten(files map[string][]byte) error {
	web := filepath.Join(o.root, "web")
	for _, pattern := range written {
		matches, err := filepath.Glob(filepath.Join(web, pattern))
		if err != nil || len(matches) == 0 {
			return fmt.Errorf("gathering the page: there is no web/%s", pattern)
		}
		for _, match := range matches {
			name, err := filepath.Rel(web, match)
			if err != nil {
				return fmt.Errorf("gathering the page: %w", err)
			}
			url := filepath.ToSlash(name)
			if part.Type(url) == "" {
				return fmt.Errorf("gathering the page: no media type is known for web/%s", url)
			}
			if files[url], err = os.ReadFile(match); err != nil {
				return fmt.Errorf("gathering the page: %w", err)
			}
		}
	}
	return nil
}

// compile builds a program for the browser.
func (o order) compile(source string) ([]byte, error) {
	folder, err := os.MkdirTemp("", "pack")
	if err != nil {
		return nil, fmt.Errorf("compiling %s: %w", source, err)
	}
	defer os.RemoveAll(folder)
	program := filepath.Join(folder, "program.wasm")
	args := []string{"build", "-trimpath", "-ldflags=-s -w", "-o", program}
	if source == darkroom {
		args = append(args, "-tags=darkroom")
	}
	for _, pkg := range quiet(source) {
		args = append(args, "-gcflags="+pkg+"=-l")
	}
	build := exec.Command("go", append(args, source)...)
	build.Dir = o.root
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	build.Stderr = os.Stderr
	if err := build.Run(); err != nil {
		return nil, fmt.Errorf("compiling %s: %w", source, err)
	}
	return os.ReadFile(program)
}

// stamped puts the version into the files that ask for it and lists them all
// but the service worker. The version follows from every file as it was before
// the stamp, the service worker too, and from the policy.
func stamped(files map[string][]byte) part.List {
	sum := sha256.New()
	fmt.Fprintln(sum, part.Policy)
	for _, url := range sorted(files) {
		fmt.Fprintf(sum, "%s %s\n", url, part.Of(url, files[url]).SHA256)
	}
	list := part.List{Version: hex.EncodeToString(sum.Sum(nil))[:versionLength], Policy: part.Policy}
	for _, url := range sorted(files) {
		if strings.HasSuffix(url, ".html") {
			files[url] = bytes.ReplaceAll(files[url], []byte(stamp), []byte(list.Version))
		}
		if url != part.Worker {
			list.Parts = append(list.Parts, part.Of(url, files[url]))
		}
	}
	return list
}

// addLists adds the list as a file, and to the service worker's text.
func addLists(files map[string][]byte, list part.List) error {
	text, err := json.Marshal(list)
	if err != nil {
		return fmt.Errorf("listing the page's parts: %w", err)
	}
	files[part.ListFile] = append(text, '\n')
	files[part.Worker], err = part.WorkerOf(list, files[part.Worker])
	return err
}

func sorted(files map[string][]byte) []string {
	urls := make([]string, 0, len(files))
	for url := range files {
		urls = append(urls, url)
	}
	slices.Sort(urls)
	return urls
}
