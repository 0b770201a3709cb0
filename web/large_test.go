package web_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"

	"maulstick/render/photo"
	"maulstick/render/place"
)

// tabletOf4 has the browser say that the device has 4 GB of memory, where 60 megapixels
// are held whole.
const tabletOf4 = `Object.defineProperty(Navigator.prototype, 'deviceMemory', {get: () => 4});`

// largePhotographs are sizes of photographs, and how often each is halved on a tablet of
// 4 GB.
var largePhotographs = []struct {
	what   string
	size   place.Pixels
	halved int
}{
	{"48 megapixels", place.Pixels{Width: 8064, Height: 6048}, 0},
	{"100 megapixels", place.Pixels{Width: 11656, Height: 8742}, 1},
	{"a panorama 65,500 pixels wide", place.Pixels{Width: 65500, Height: 3200}, 1},
	{"200 megapixels", place.Pixels{Width: 16320, Height: 12240}, 1},
}

// fine is the side of the corner that has a line of white beside each line of black.
const fine = 64

// largeJPEG writes a photograph of a size, grey but for its upper left corner.
func largeJPEG(t testing.TB, size place.Pixels) (path, hash string) {
	t.Helper()
	m := image.NewGray(image.Rect(0, 0, size.Width, size.Height))
	for i := range m.Pix {
		m.Pix[i] = 100
	}
	for y := range fine {
		for x := range fine {
			m.Pix[y*m.Stride+x] = uint8(255 * (x % 2))
		}
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, m, &jpeg.Options{Quality: 100}); err != nil {
		t.Fatal(err)
	}
	path = filepath.Join(t.TempDir(), fmt.Sprintf("%d x %d.jpg", size.Width, size.Height))
	if err := os.WriteFile(path, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(out.Bytes())
	return path, hex.EncodeToString(sum[:])
}

// Photographs of 48 to 200 megapixels and panoramas of 65,500 pixels open on a tablet of
// 4 GB: whole, or halved in linear light, which is said; places are still counted in
// pixels of the photograph. By the browser's own figures the page's program holds no more
// than 4 1/2 bytes for each pixel held and, beside what it held before, 160 MB for the
// file, the strips and what a program takes at once, and 40 MB in arrays beside the file,
// once what can be cleared away has been; the page is never loaded anew.
func TestLargePhotographs(t *testing.T) {
	for _, l := range largePhotographs {
		t.Run(l.what, func(t *testing.T) {
			s := newSite(t)
			b := startBrowser(t, t.TempDir())
			p := b.open(landscape, s.url(), noteCost, tabletOf4)
			p.settleKept()
			before := p.holding()
			eval[bool](p, `(() => { window.neverLoadedAnew = window.frames[0].neverLoadedAnew = true; return true; })()`)
			path, hash := largeJPEG(t, l.size)
			said, opened := p.opens(path, hash)
			if !opened {
				t.Fatalf("it is refused: %s", said)
			}
			p.settleKept()
			held := photo.Held(l.size, l.halved)
			now := p.holding()
			t.Logf("%d x %d pixels, held as %d x %d: the page holds %v, before %v", l.size.Width, l.size.Height, held.Width, held.Height, now, before)
			if bound := before.program + 4.5e-6*float64(held.Width*held.Height) + 160; now.program > bound {
				t.Errorf("the program holds %.0f MB, more than %.0f", now.program, bound)
			}
			if info, err := os.Stat(path); err != nil || now.arrays > before.arrays+2e-6*float64(info.Size())+40 {
				t.Errorf("beside the program the page holds %.0f MB in arrays (%v)", now.arrays, err)
			}
			if r := p.snapshot().Study.Reference; r.Width != l.size.Width || r.Height != l.size.Height {
				t.Errorf("the study knows it as %d x %d pixels", r.Width, r.Height)
			}
			p.holdsHalved(l.size, l.halved, said)
			if !eval[bool](p, `window.neverLoadedAnew && window.frames[0].neverLoadedAnew`) {
				t.Error("the page was loaded anew")
			}
			if faults := p.complaints(); len(faults) > 0 {
				t.Errorf("the console complains: %q", faults)
			}
		})
	}
}

// holdsHalved checks what is held of a photograph that largeJPEG wrote, and what is said.
func (p *tab) holdsHalved(size place.Pixels, halved int, said string) {
	p.t.Helper()
	if (halved > 0) != (said != "") {
		p.t.Errorf("it is halved %d times, and the page says %q", halved, said)
	}
	row := p.pixels(fine/4, 1)
	if wide := len(row) / 4; wide != photo.Held(size, halved).Width {
		p.t.Errorf("it is held %d pixels wide, halved %d times it has %d", wide, halved, photo.Held(size, halved).Width)
	}
	if last := row[len(row)-4]; last < 98 || last > 102 {
		p.t.Errorf("the last pixel of a row is %d, want 100", last)
	}
	// Half of white's light is the code 188, half of its code 128.
	if mean := row[4*fine/8]; halved > 0 && (mean < 186 || mean > 190) {
		p.t.Errorf("lines of black and white are averaged to %d, in light to 188", mean)
	}
	if halved == 0 {
		return
	}
	p.press("tray-line")
	p.fill("canvas", "70 x 52 in")
	p.await("the finest pixel is told", `/1 pixel = 1\/\d+ in/.test(document.getElementById('mismatch').textContent)`)
	p.t.Logf("the page says %q, and on a canvas %q", said, p.text("mismatch"))
}
