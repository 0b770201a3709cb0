package web_test

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
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

// megapixels12 writes as many JPEG files of 12 megapixels as are wanted: one photograph
// whose light falls and rises, told apart by a comment in each.
func megapixels12(t *testing.T, count int) []string {
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
	paths := make([]string, count)
	for i := range paths {
		words := fmt.Sprintf("reference %d", i+1)
		comment := append([]byte{0xff, 0xfe, 0, byte(2 + len(words))}, words...)
		paths[i] = filepath.Join(folder, fmt.Sprintf("reference %02d.jpg", i+1))
		if err := os.WriteFile(paths[i], slices.Concat(data[:2], comment, data[2:]), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return paths
}

// backing is how much memory the page's arrays hold, the drawing program's memory among
// them, in bytes, once what can be cleared away has been: by the browser's own figure.
func (p *tab) backing() float64 {
	p.t.Helper()
	call(p, runtime.Enable, cdp.Empty{})
	call(p, collectGarbage, cdp.Empty{})
	return call(p, runtime.GetHeapUsage, cdp.Empty{}).BackingStorageSize
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
	p.press("pin-3")
	p.press("board-beside")
	p.settleKept()
	two := p.backing()

	p.pin(paths[2:]...)
	p.settleKept()
	p.worksFrom(40)
	p.press("pin-41")
	p.press("board-beside")
	p.settleKept()
	all := p.backing()
	const picture = 4 * megapixels12Wide * megapixels12High
	t.Logf("with two references the page's arrays come to %.0f MB, with %d to %.0f MB; one picture is %.0f MB", two/1e6, fifty, all/1e6, picture/1e6)
	// The program's memory never shrinks, and holds the picture before while another
	// comes to the easel.
	if all > two+2*picture {
		t.Errorf("with %d references the page's arrays come to %.0f MB, with two to %.0f MB", fifty, all/1e6, two/1e6)
	}

	begun := time.Now()
	p.reload()
	p.settleCounted()
	p.awaitLittles("board-rows")
	t.Logf("loaded anew, the board with all its little pictures was there after %v", time.Since(begun).Round(time.Millisecond))
	if n := eval[int](p, `document.querySelectorAll('#board-rows img[srcset]').length`); n != fifty+1 {
		t.Errorf("%d little pictures are shown", n)
	}
	if reopened := p.backing(); reopened > all {
		t.Errorf("loaded anew the page's arrays come to %.0f MB, before to %.0f MB", reopened/1e6, all/1e6)
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
