//go:build !js

package sheet

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// BenchmarkEngine writes a cartoon of ten pages as the processor runs it, on one
// core, and as a browser's engine does: compiled to WebAssembly and run by Node.js,
// which has V8 as Chromium does. Reported are seconds, megabytes that were
// allocated on the way and megabytes of file, each also as a ratio to ten empty
// pages of the same run, and the engine's time as one to the processor's.
func BenchmarkEngine(b *testing.B) {
	programs := map[string]program{"native": nativeProgram(b), "wasm": engineProgram(b)}
	for b.Loop() {
		times := map[string]float64{}
		for _, engine := range []string{"native", "wasm"} {
			cartoon, empty := programs[engine](b, "cartoon"), programs[engine](b, "empty")
			times[engine] = cartoon.ns
			b.ReportMetric(cartoon.ns/1e9, engine+"-s")
			b.ReportMetric(cartoon.ns/empty.ns, engine+"-time/empty")
			b.ReportMetric(cartoon.allocated/1e6, engine+"-MB")
			b.ReportMetric(cartoon.allocated/empty.allocated, engine+"-memory/empty")
			b.ReportMetric(cartoon.file/1e6, engine+"-file-MB")
			b.ReportMetric(cartoon.file/empty.file, engine+"-file/empty")
		}
		b.ReportMetric(times["wasm"]/times["native"], "wasm/native")
	}
	b.ReportMetric(0, "ns/op")
}

// figures are what writing some pages takes.
type figures struct{ ns, allocated, file float64 }

// program runs BenchmarkPages on some pages for a second.
type program func(b *testing.B, pages string) figures

// told are the figures that a benchmark's line tells.
var told = map[string]*regexp.Regexp{}

func init() {
	for _, unit := range []string{"ns/op", "B/op", "file-B"} {
		told[unit] = regexp.MustCompile(`\s([0-9.e+]+) ` + unit + `\b`)
	}
}

// programOf is the program that a command starts.
func programOf(env []string, command ...string) program {
	return func(b *testing.B, pages string) figures {
		b.Helper()
		args := append(command[1:len(command):len(command)],
			"-test.run=^$", "-test.bench=^BenchmarkPages$/^"+pages+"$", "-test.benchtime=1s", "-test.cpu=1")
		run := exec.Command(command[0], args...)
		run.Env = env
		out, err := run.CombinedOutput()
		if err != nil {
			b.Fatalf("writing %s pages: %v\n%s", pages, err, out)
		}
		figure := func(unit string) float64 {
			found := told[unit].FindSubmatch(out)
			if found == nil {
				b.Fatalf("writing %s pages tells no %s: %s", pages, unit, out)
			}
			v, err := strconv.ParseFloat(string(found[1]), 64)
			if err != nil {
				b.Fatal(err)
			}
			return v
		}
		return figures{figure("ns/op"), figure("B/op"), figure("file-B")}
	}
}

// nativeProgram is this one, on one core.
func nativeProgram(b *testing.B) program {
	b.Helper()
	self, err := os.Executable()
	if err != nil {
		b.Fatal(err)
	}
	return programOf(append(os.Environ(), "GOMAXPROCS=1"), self)
}

// engineProgram is this one compiled to WebAssembly.
func engineProgram(b *testing.B) program {
	b.Helper()
	node, err := exec.LookPath("node")
	if err != nil {
		b.Fatal("running WebAssembly: node is lacking: install it, on Debian with: apt-get install nodejs")
	}
	path := filepath.Join(b.TempDir(), "pages.wasm")
	build := exec.Command("go", "test", "-c", "-o", path, ".")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if out, err := build.CombinedOutput(); err != nil {
		b.Fatalf("compiling to WebAssembly: %v\n%s", err, out)
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		b.Fatalf("asking for Go's folder: %v", err)
	}
	runner := filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "go_js_wasm_exec")
	// The runner has room for few environment variables.
	return programOf([]string{"PATH=" + filepath.Dir(node) + ":/usr/bin:/bin", "HOME=" + os.TempDir()}, runner, path)
}
