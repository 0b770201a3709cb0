package web_test

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/runtime"
)

// The references of a full board, and their size: twelve megapixels each.
const (
	fifty            = 50
	megapixels12Wide = 4000
	megapixels12High = 3000
)

// padding is what makes each file as long as one from a camera, in comments of 65,000
// bytes: 4 MB.
const padding = 62

// megapixels12 writes as many JPEG files of 12 megapixels as are wanted: one photograph
// whose light falls and rises, told apart and made as long as usual by comments.
func megapixels12(t testing.TB, count int) []string {
	t.Helper()
	m := image.NewGray(image.Rect(0, 0, megapixels12Wide, megapixels12High))
	for y := range megapixels12High {
		for x := range megapixels12Wide {
			m.SetGray(x, y, color.Gray{Y: uint8(x/16 + y/16)})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 80}); err != nil {
		t.Fatal(err)
	}
	folder, data := t.TempDir(), b.Bytes()
	var filling []byte
	random := rand.NewChaCha8([32]byte{}) // which no disk can make smaller
	for range padding {
		comment := make([]byte, 65_000)
		_, _ = random.Read(comment) // never fails
		filling = append(append(filling, 0xff, 0xfe, 65_002>>8, 65_002&255), comment...)
	}
	paths := make([]string, count)
	for i := range paths {
		copy(filling[4:], fmt.Sprintf("reference %d", i+1))
		paths[i] = filepath.Join(folder, fmt.Sprintf("reference %02d.jpg", i+1))
		if err := os.WriteFile(paths[i], slices.Concat(data[:2], filling, data[2:]), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return paths
}

// holding is what the page holds by the browser's own figures, in megabytes, once what
// can be cleared away has been.
type holding struct{ arrays, program float64 }

func (h holding) String() string {
	return fmt.Sprintf("arrays of %.0f MB and a program of %.0f MB", h.arrays, h.program)
}

// holding looks how much the page holds. A program's memory never shrinks.
func (p *tab) holding() holding {
	p.t.Helper()
	call(p, collectGarbage, cdp.Empty{})
	arrays := call(p, runtime.GetHeapUsage, cdp.Empty{}).BackingStorageSize
	return holding{arrays / 1e6, eval[float64](p, `window.memory.buffer.byteLength`) / 1e6}
}

// collectGarbage has the browser clear away what nothing holds.
var collectGarbage = cdp.Command[cdp.Empty, cdp.Empty]{Method: "HeapProfiler.collectGarbage"}

// Fifty references of twelve megapixels stay usable: of all of them the page holds the
// one on the easel and a small copy of the one beside, as little as of two. Opened
// again, the board is there with its little pictures; working from another takes no
// longer for the others.
func TestFiftyReferences(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	p := b.open(landscape, s.url(), noteCost)
	p.settleKept()
	p.press("tray-study")
	p.press("part-board")
	paths := megapixels12(t, fifty)
	p.pin(paths[:2]...)
	p.worksFrom(2)
	p.worksFrom(3) // while one is taken up the other is still there
	p.press("pin-2")
	p.press("board-beside")
	p.settleKept()
	two := p.holding()

	p.pin(paths[2:]...)
	p.settleKept()
	p.worksFrom(40)
	p.press("pin-41")
	p.press("board-beside")
	p.settleKept()
	all := p.holding()
	// The files come to 4 MB each, 200 MB in all, and the pictures with their smaller copies
	// to 64 MB each, 3.2 GB in all. One may not fit where another lay: a program's memory
	// has holes.
	const file, picture = 4, 64
	t.Logf("with two references the page holds %v, with %d %v", two, fifty, all)
	if all.arrays > two.arrays+4*file || all.program > two.program+picture {
		t.Errorf("with %d references the page holds %v, with two %v", fifty, all, two)
	}

	begun := time.Now()
	p.reload()
	p.settleCounted()
	p.awaitLittles("board-rows")
	t.Logf("loaded anew, the board with all its little pictures was there after %v", time.Since(begun).Round(time.Millisecond))
	if n := eval[int](p, `document.querySelectorAll('#board-rows img[srcset]').length`); n != fifty+1 {
		t.Errorf("%d little pictures are shown", n)
	}
	if reopened := p.holding(); reopened.arrays > all.arrays+4*file || reopened.program > all.program {
		t.Errorf("loaded anew the page holds %v, before %v", reopened, all)
	}
	p.worksFrom(51)
	if faults := p.complaints(); len(faults) > 0 {
		t.Errorf("the console complains: %q", faults)
	}
}

// worksFrom puts a reference on the easel, by the number of its pin.
func (p *tab) worksFrom(pin int) {
	p.t.Helper()
	p.press(fmt.Sprintf("pin-%d", pin))
	p.press("board-work")
	p.await("the reference is on the easel", `window.maulstick.snapshot().study.board.on_easel === %s`, pin)
	p.settle()
}
