package survey_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// engineRounds is how often each stage is measured; the quickest round counts.
const engineRounds = 3

// BenchmarkEngine compares each stage as a browser's engine runs it, compiled to
// WebAssembly and run by Node.js, which has V8 as Chromium does, with the same
// stage as the processor runs it. Both have one thread. Reported are ratios of
// times, the engine's to the processor's, once a stage has run a few times: the
// first time the engine has yet to compile what it finds to be hot.
func BenchmarkEngine(b *testing.B) {
	native, engine := nativeProgram(b), engineProgram(b)
	for b.Loop() {
		for _, s := range stages {
			var own, other float64
			for range engineRounds {
				own, other = least(own, native(b, s.name)), least(other, engine(b, s.name))
			}
			b.ReportMetric(other/own, s.name+"-wasm/native")
		}
	}
	b.ReportMetric(0, "ns/op")
}

// least is the lesser of two figures, the first of which may be none yet.
func least(before, now float64) float64 {
	if before == 0 {
		return now
	}
	return min(before, now)
}

// program runs one stage of a test program for half a second, and tells the
// nanoseconds that it takes once.
type program func(b *testing.B, stage string) float64

var took = regexp.MustCompile(`\s([0-9.]+) ns/op`)

// programOf is the program that a command starts.
func programOf(env []string, command ...string) program {
	return func(b *testing.B, stage string) float64 {
		b.Helper()
		args := append(command[1:len(command):len(command)],
			"-test.run=^$", "-test.bench=^BenchmarkStage$/^"+stage+"$", "-test.benchtime=500ms", "-test.cpu=1")
		run := exec.Command(command[0], args...)
		run.Env = env
		out, err := run.CombinedOutput()
		found := took.FindSubmatch(out)
		if err != nil || found == nil {
			b.Fatalf("running %s: %v\n%s", stage, err, out)
		}
		ns, err := strconv.ParseFloat(string(found[1]), 64)
		if err != nil {
			b.Fatal(err)
		}
		return ns
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
	path := filepath.Join(b.TempDir(), "stages.wasm")
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
