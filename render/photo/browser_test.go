//go:build !js

package photo

import (
	"bytes"
	"context"
	"encoding/base64"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// Why photographs are not read as Chromium reads them.
const (
	whyDeep     = "Chromium drops the lower byte of 16-bit codes before it applies the gamma"
	whyOpacity  = "Chromium keeps colours multiplied into their opacity, in 8 bits"
	whyTurned   = "Chromium does not turn a WebP by its Exif data"
	whyInks     = "image/jpeg repeats the chroma of four-colour JPEGs, at edges; Chromium interpolates them"
	whyRepeated = "the AVIF library repeats chroma, at edges; Chromium interpolates them"
	whyPlainInk = "without a marker inks are not inverted; Chromium inverts them, and shows it near black"
	whyAdobe    = "Exif says Adobe RGB, which Chromium does not read"
	whyDefault  = "the default picture stands for an animation that it is no part of (W3C PNG 3); Chromium shows the first frame"
)

// unlikeChromium are the photographs that are not read as Chromium reads them
// within 2 codes: how many codes they differ by at most, in which share of all
// codes, and why.
var unlikeChromium = map[string]struct {
	codes  int
	share  float64
	reason string
}{
	"apng-default-image-not-frame.png": {170, 0.84, whyDefault}, "cmyk-noadobe.jpg": {245, 1, whyPlainInk},
	"jpeg-exif-adobergb-noicc.jpg": {40, 0.84, whyAdobe}, "heif-enc-av1.avif": {30, 0.057, whyRepeated}, "ycck-adobe.jpg": {124, 0.052, whyInks},
	"webp-exif2.webp": {190, 1, whyTurned}, "webp-exif4.webp": {190, 0.84, whyTurned},
	"webp-exif5.webp": {0, 0, whyTurned}, "webp-exif6.webp": {0, 0, whyTurned}, "webp-exif8.webp": {0, 0, whyTurned},
	"basi0g16.png": {13, 0.003, whyDeep}, "basn0g16.png": {13, 0.003, whyDeep}, "oi1n0g16.png": {13, 0.003, whyDeep},
	"oi2n0g16.png": {13, 0.003, whyDeep}, "oi4n0g16.png": {13, 0.003, whyDeep}, "oi9n0g16.png": {13, 0.003, whyDeep},
	"g04n0g16.png": {4, 0.016, whyDeep}, "tbwn0g16.png": {3, 0.001, whyDeep},
	"basi6a08.png": {6, 0.047, whyOpacity}, "basn6a08.png": {6, 0.047, whyOpacity}, "bgan6a08.png": {6, 0.047, whyOpacity}, "bgwn6a08.png": {6, 0.047, whyOpacity},
}

// A photograph that Chromium opens, too, is as large here, lies the same way round
// and has the same codes within 2, every pixel of it, but for those listed above,
// and for 3 codes at one code of a thousand in a lossy file, whose
// transforms and colours decoders round differently.
func TestSameAsChromium(t *testing.T) {
	c := startChromium(t)
	var names []string
	for _, pattern := range []string{"/*.*", "/pngsuite/*.png"} {
		found, err := filepath.Glob(testdata + pattern)
		if err != nil || len(found) == 0 {
			t.Fatalf("there are no photographs: %v", err)
		}
		names = append(names, found...)
	}
	compared := 0
	for _, name := range names {
		t.Run(filepath.Base(name), func(t *testing.T) {
			if c.compare(t, name) {
				compared++
			}
		})
	}
	if compared < 200 {
		t.Errorf("Chromium opened only %d photographs that are opened here, too", compared)
	}
}

// compare compares one photograph, if both open it.
func (c chromium) compare(t *testing.T, name string) bool {
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	opened, err := Decode(data)
	if err != nil {
		return false
	}
	width, height, pix := c.decode(t, data)
	if width == 0 {
		return false
	}
	allowed, listed := unlikeChromium[filepath.Base(name)]
	if width != opened.Width || height != opened.Height {
		if !listed || allowed.codes != 0 {
			t.Errorf("it is %d x %d, and %d x %d in Chromium", opened.Width, opened.Height, width, height)
		}
		return true
	}
	worst, over := 0, 0
	for i, v := range pix {
		if d := max(int(v)-int(opened.Pix[i]), int(opened.Pix[i])-int(v)); d > 2 {
			worst = max(worst, d)
			over++
		}
	}
	share := float64(over) / float64(3*width*height)
	switch kind := header(t, data).Kind; {
	case listed && worst == 0:
		t.Errorf("it is listed as unlike Chromium (%s), and is not", allowed.reason)
	case !listed && (kind == JPEG || kind == WebP):
		allowed.codes, allowed.share = 3, 0.001
	}
	if worst > allowed.codes || share > allowed.share {
		t.Errorf("%.4f of the codes differ from Chromium's by more than 2, by %d at most; allowed are %.4f and %d", share, worst, allowed.share, allowed.codes)
	}
	return true
}

// chromium is a browser that decodes photographs.
type chromium struct{ ctx context.Context }

// startChromium starts one on an empty page.
func startChromium(t *testing.T) chromium {
	program := os.Getenv("CHROMIUM")
	if program == "" {
		program = "chromium"
	}
	path, err := exec.LookPath(program)
	if err != nil {
		t.Fatalf("%v: run make tools, or set CHROMIUM", err)
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox,
		chromedp.Flag("force-color-profile", "srgb"))
	allocator, _ := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, _ := chromedp.NewContext(allocator)
	if err := chromedp.Do(ctx, chromedp.Navigate("about:blank")); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = chromedp.Cancel(ctx) })
	return chromium{ctx}
}

// decode is a photograph as the browser shows it on white; the width is 0 where
// it does not open it.
func (c chromium) decode(t *testing.T, data []byte) (width, height int, pix []byte) {
	t.Helper()
	script := `(async () => {
		const file = await (await fetch('data:;base64,` + base64.StdEncoding.EncodeToString(data) + `')).blob();
		let bitmap;
		try { bitmap = await createImageBitmap(file); } catch { return ''; }
		const rows = 256, parts = [bitmap.width + ' ' + bitmap.height];
		const context = new OffscreenCanvas(bitmap.width, rows).getContext('2d', {willReadFrequently: true});
		context.fillStyle = 'white';
		for (let top = 0; top < bitmap.height; top += rows) {
			context.fillRect(0, 0, bitmap.width, rows);
			context.drawImage(bitmap, 0, -top);
			const part = context.getImageData(0, 0, bitmap.width, Math.min(rows, bitmap.height - top)).data;
			let text = '';
			for (let i = 0; i < part.length; i += 32768) text += String.fromCharCode(...part.subarray(i, i + 32768));
			parts.push(btoa(text));
		}
		return parts.join(' ');
	})()`
	answer, err := chromedp.Run(c.ctx, chromedp.Evaluate[string](script, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatal(err)
	}
	words := strings.Fields(answer)
	if len(words) == 0 {
		return 0, 0, nil
	}
	fmt.Sscan(words[0]+" "+words[1], &width, &height)
	var all bytes.Buffer
	for _, word := range words[2:] {
		part, err := base64.StdEncoding.DecodeString(word)
		if err != nil {
			t.Fatal(err)
		}
		all.Write(part)
	}
	return width, height, all.Bytes()
}

// header is a file's, whatever is to be said against opening it.
func header(t *testing.T, data []byte) Header {
	t.Helper()
	h, _ := Inspect(data)
	return h
}
