package render_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

const (
	// benchWidth and benchHeight are 24 megapixels.
	benchWidth, benchHeight = 6000, 4000
	// benchSigma is the blur of the squint in pixels.
	benchSigma = 20
	// benchRounds is how often everything is measured; the quickest round counts.
	benchRounds = 9
	// notInDoubt is the time from which on a command is measured once: it is tens of
	// times that of the others.
	notInDoubt = 4 * time.Second
)

// BenchmarkLibraries compares greys, steps and squint of 24 decoded megapixels with
// two libraries of image processing, by their commands: libvips (vips) and
// ImageMagick (convert), with all cores each. Reported are ratios of times, ours to
// theirs. Work is measured alone: of each command's time that of a second command
// is taken off which starts, reads and writes as much and works nothing, and files
// are in the library's own uncompressed form, in memory where the system has a
// folder for that. Ours starts and ends with pixels in memory, four bytes each, and
// squints in linear light, where theirs blur the codes; theirs have three bytes or
// eight.
func BenchmarkLibraries(b *testing.B) {
	l := newLibraries(b)
	p := enlarged(b)
	l.give(p)
	out := make([]byte, len(p.Pix))
	paint := func(k look.Look) func() {
		return func() { k.Painter(colour.SRGB{}).Paint(out, p.Pix) }
	}
	canvas, width := place.Size{Width: benchWidth, Height: benchHeight}, place.MM(benchSigma/look.Sigma(1)) // 1 mm a pixel
	copied, grey := l.vips("copy", "in.v", "out.v"), l.vips("extract_band", "in.v", "out.v", "0")
	read := l.magick("in.mpc", "null:")
	works := []work{
		{"greys", paint(look.Look{Tone: look.Grey}), map[string]trade{
			"vips":        {does: []command{l.vips("colourspace", "in.v", "out.v", "b-w")}, less: []command{grey}},
			"imagemagick": {does: []command{l.magick("in.mpc", "-colorspace", "Gray", "null:")}, less: []command{read}},
		}},
		{"steps", paint(look.Look{Tone: look.Steps, Steps: 5}), map[string]trade{
			"vips": {
				does: []command{l.vips("colourspace", "in.v", "out.v", "b-w"), l.vips("maplut", "grey.v", "out.v", "table.v")},
				less: []command{grey, l.vips("copy", "grey.v", "out.v")},
			},
			// This leaves 125 colours instead of five greys.
			"vips-by-channel": {does: []command{l.vips("maplut", "in.v", "out.v", "table.v")}, less: []command{copied}},
			"imagemagick":     {does: []command{l.magick("in.mpc", "-colorspace", "Gray", "-posterize", "5", "null:")}, less: []command{read}},
		}},
		{"squint", func() {
			if _, err := render.SquintedCopy(p, canvas, width, nil); err != nil {
				b.Error(err)
			}
		}, map[string]trade{
			"vips":        {does: []command{l.vips("gaussblur", "in.v", "out.v", fmt.Sprint(benchSigma))}, less: []command{copied}},
			"imagemagick": {does: []command{l.magick("in.mpc", "-blur", fmt.Sprintf("0x%d", benchSigma), "null:")}, less: []command{read}},
		}},
	}
	for b.Loop() {
		for _, w := range works {
			w.report(b)
		}
	}
	b.ReportMetric(0, "ns/op")
}

// work is a piece of work as done here and by the libraries.
type work struct {
	name   string
	ours   func()
	theirs map[string]trade
}

// trade is what a library does, and what of that is not the work itself.
type trade struct{ does, less []command }

// report measures ours and theirs in turn and reports the ratios.
func (w work) report(b *testing.B) {
	b.Helper()
	var ours time.Duration
	theirs := map[string]*[2][]time.Duration{}
	for name, t := range w.theirs {
		theirs[name] = &[2][]time.Duration{make([]time.Duration, len(t.does)), make([]time.Duration, len(t.less))}
	}
	for range benchRounds {
		quickest(&ours, w.ours)
		for name, t := range w.theirs {
			for i, list := range [2][]command{t.does, t.less} {
				for k, c := range list {
					if theirs[name][i][k] < notInDoubt {
						quickest(&theirs[name][i][k], func() { c.run(b) })
					}
				}
			}
		}
	}
	for name, took := range theirs {
		var net time.Duration
		for _, d := range took[0] {
			net += d
		}
		for _, d := range took[1] {
			net -= d
		}
		if net <= 0 {
			b.Fatalf("%s: %s takes no longer than reading and writing: the machine is too busy to tell", w.name, name)
		}
		b.ReportMetric(float64(ours)/float64(net), w.name+"/"+name)
	}
}

// quickest keeps the shortest time that some work has taken.
func quickest(best *time.Duration, do func()) {
	start := time.Now()
	do()
	if took := time.Since(start); *best == 0 || took < *best {
		*best = took
	}
}

// command is a library's command in the folder of its files.
type command struct {
	folder string
	args   []string
}

func (c command) run(b *testing.B) {
	b.Helper()
	do := exec.Command(c.args[0], c.args[1:]...)
	do.Dir = c.folder
	if out, err := do.CombinedOutput(); err != nil {
		b.Fatalf("%v: %v\n%s", c.args, err, out)
	}
}

// libraries are the commands, and the folder of their files.
type libraries struct {
	b                    *testing.B
	folder               string
	vipsPath, magickPath string
}

// newLibraries finds the commands.
func newLibraries(b *testing.B) *libraries {
	b.Helper()
	l := &libraries{b: b, folder: b.TempDir()}
	if memory, err := os.MkdirTemp("/dev/shm", "maulstick"); err == nil {
		l.folder = memory
		b.Cleanup(func() { os.RemoveAll(memory) })
	}
	l.vipsPath = installed(b, "libvips-tools", "vips")
	// ImageMagick 7, or 6 as Debian or others name it.
	l.magickPath = installed(b, "imagemagick", "magick", "convert-im6.q16", "convert")
	return l
}

// installed is the path of the first command that there is.
func installed(b *testing.B, from string, names ...string) string {
	b.Helper()
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	b.Fatalf("comparing with libraries: %s is lacking: install it, on Debian with: apt-get install %s", names[len(names)-1], from)
	return ""
}

func (l *libraries) vips(args ...string) command {
	return command{l.folder, append([]string{l.vipsPath}, args...)}
}

func (l *libraries) magick(args ...string) command {
	return command{l.folder, append([]string{l.magickPath}, args...)}
}

// give writes the files that the libraries work from: the picture, its greys, and a
// table of five steps.
func (l *libraries) give(p *photo.Picture) {
	l.b.Helper()
	l.write("in.ppm", fmt.Sprintf("P6 %d %d 255\n", p.Width, p.Height), 3*p.Width*p.Height, func(out []byte) {
		for i := range p.Width * p.Height {
			copy(out[3*i:3*i+3], p.Pix[4*i:])
		}
	})
	l.write("table.pgm", "P5 256 1 255\n", 256, func(out []byte) {
		for i := range out {
			out[i] = byte(i / 52 * 51)
		}
	})
	for _, c := range []command{
		l.vips("copy", "in.ppm", "in.v"), l.vips("copy", "table.pgm", "table.v"),
		l.vips("colourspace", "in.v", "grey.v", "b-w"), l.magick("in.ppm", "in.mpc"),
	} {
		c.run(l.b)
	}
}

// write writes a file of a head and some bytes.
func (l *libraries) write(name, head string, n int, fill func(out []byte)) {
	l.b.Helper()
	data := append([]byte(head), make([]byte, n)...)
	fill(data[len(head):])
	if err := os.WriteFile(filepath.Join(l.folder, name), data, 0o600); err != nil {
		l.b.Fatal(err)
	}
}

// enlarged is a photograph, enlarged to 24 megapixels.
func enlarged(b *testing.B) *photo.Picture {
	b.Helper()
	data, err := os.ReadFile("../testdata/photo/fig-in-red-bowl.jpg")
	if err != nil {
		b.Fatal(err)
	}
	opened, err := photo.Decode(data)
	if err != nil {
		b.Fatal(err)
	}
	small, p := opened.Picture, photo.New(benchWidth, benchHeight)
	look.Patch{
		Width: p.Width, Height: p.Height,
		PaceX: float64(small.Width) / benchWidth, PaceY: float64(small.Height) / benchHeight,
	}.Draw(look.Grid{Width: small.Width, Height: small.Height, Pix: small.Pix}, p.Pix, p.Width)
	return p
}
