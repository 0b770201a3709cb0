//go:build !js

package photo

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"runtime"
	"strings"
	"testing"

	"maulstick/render/place"
)

func TestMemoryDivides(t *testing.T) {
	for _, c := range []struct {
		memory        Memory
		width, height int
		each, want    int
	}{
		{0, 65500, 3200, 4, 1}, {800 * megabyte, 16320, 12240, 4, 1}, {799 * megabyte, 16320, 12240, 4, 2}, {100 * megabyte, 65500, 3200, 4, 3},
		{1, 65500, 3200, 4, 65500}, {40, 1, 1, 10, 1}, {200 * megabyte, 8000, 6000, 4, 1}, {200 * megabyte, 8000, 6000, 10, 2},
	} {
		size := place.Pixels{Width: c.width, Height: c.height}
		n := c.memory.Division(size, c.each)
		if n != c.want {
			t.Errorf("%d x %d pixels of %d bytes in %v are divided by %d, want %d", c.width, c.height, c.each, c.memory, n, c.want)
		}
	}
}

func TestMemoryIsRead(t *testing.T) {
	for text, want := range map[string]Memory{"500MB": 500_000_000, "1.5 gb": 1_500_000_000, "1000GB": 1_000_000_000_000} {
		m, err := ParseMemory(text)
		again, _ := ParseMemory(m.String())
		if err != nil || m != want || again != m {
			t.Errorf("%q is %d, %v, and %q reads as %d; want %d", text, m, err, m, again, want)
		}
	}
	for _, text := range []string{"", "500", "MB", "-1GB", "1e99GB", "NaNGB", "1TB", "0.5MB"} {
		if m, err := ParseMemory(text); err == nil || !strings.Contains(err.Error(), "memory") {
			t.Errorf("%q is read as %d, %v", text, m, err)
		}
	}
}

// Black and white pixels in equal number are half the light of white, which is
// code 188 (IEC 61966-2-1); partial blocks at the edges average what there is, and
// lie where the picture turned upright has them.
func TestAveragedInLight(t *testing.T) {
	m := image.NewGray(image.Rect(0, 0, 7, 5))
	for y := range 5 {
		for x := range 7 {
			if (x+y)%2 == 0 {
				m.SetGray(x, y, color.Gray{Y: 255})
			}
		}
	}
	var file bytes.Buffer
	if err := png.Encode(&file, m); err != nil {
		t.Fatal(err)
	}
	turned := appendChunk(bytes.Clone(file.Bytes()[:33]), "eXIf", bareExif(6, false))
	turned = append(turned, file.Bytes()[33:]...)
	opened, err := DecodeWithin(turned, 4*12)
	if err != nil {
		t.Fatal(err)
	}
	if opened.Width != 3 || opened.Height != 4 || opened.Came != (place.Pixels{Width: 5, Height: 7}) {
		t.Fatalf("7 x 5 pixels to be turned came as %v and are worked on as %d x %d, want 5 x 7 and 3 x 4", opened.Came, opened.Width, opened.Height)
	}
	// The stored last row is the left column, the stored last column the lowest row;
	// the pixel in both is alone in its block and white.
	want := [][]uint8{{188, 188, 188}, {188, 188, 188}, {188, 188, 188}, {255, 188, 188}}
	for y, row := range want {
		for x, code := range row {
			if got := opened.At(x, y); got.R != code || got.G != code || got.B != code {
				t.Errorf("block (%d, %d) is %v, want %d", x, y, got, code)
			}
		}
	}
}

// Headers that claim what their files cannot hold are refused before memory is
// taken.
func TestLyingHeadersTakeNoMemory(t *testing.T) {
	files := map[string][]byte{}
	for _, name := range []string{
		"bmp-header-60000.bmp", "gif-65535x65535.gif", "jpeg-header-65500x65500.jpg", "png-16000x16000-rgb.png", "png-30000x30000-1bit.png",
		"png-65000x65000-1bit.png", "png-header-2147483647.png", "webp-16383x16383.webp", "svg-billion-laughs.svg",
	} {
		files[name] = read(t, name)
	}
	// Within the limits, and yet far more than is in the file: whole, and cut off.
	jpegLie := read(t, "jpeg-header-65500x65500.jpg")
	at := bytes.Index(jpegLie, []byte("\xff\xdc\xff\xdc")) // height and width
	copy(jpegLie[at:], "\x32\xc8\x38\x40")
	files["jpeg within the limits"], files["jpeg within the limits, cut off"] = jpegLie, jpegLie[:20000]
	header := []byte("\x00\x00\x38\x40\x00\x00\x38\x40\x10\x06\x00\x00\x00")
	pngLie := appendChunk([]byte("\x89PNG\r\n\x1a\n"), "IHDR", header)
	pngLie = appendChunk(pngLie, "IDAT", read(t, "png-trunc50.png")[100:9000])
	files["png within the limits, cut off"] = bytes.Clone(pngLie)
	files["png within the limits"] = appendChunk(pngLie, "IEND", nil)
	for name, data := range files {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := Decode(data)
		runtime.ReadMemStats(&after)
		checkRefusal(t, err, "")
		if taken := after.TotalAlloc - before.TotalAlloc; taken > 4*megabyte {
			t.Errorf("%s: %d bytes are taken before it is refused", name, taken)
		}
	}
}

// A panorama as wide and as large as is opened is averaged down, and its ends are
// where they were.
func TestLargestPanorama(t *testing.T) {
	m := image.NewGray(image.Rect(0, 0, MaxSide, 3200))
	for y := range 3200 {
		row := m.Pix[y*m.Stride:]
		for x := range 64 {
			row[x], row[MaxSide-1-x] = 60, 180
		}
	}
	var file bytes.Buffer
	if err := jpeg.Encode(&file, m, &jpeg.Options{Quality: 90}); err != nil {
		t.Fatal(err)
	}
	m = nil
	opened, err := DecodeWithin(file.Bytes(), 100*megabyte)
	if err != nil {
		t.Fatal(err)
	}
	if opened.Width != 21834 || opened.Height != 1067 {
		t.Errorf("it is worked on as %d x %d, want 21834 x 1067", opened.Width, opened.Height)
	}
	left, right := opened.At(5, 500).R, opened.At(opened.Width-6, 500).R
	if left < 58 || left > 62 || right < 178 || right > 182 {
		t.Errorf("its ends are %d and %d, want 60 and 180 within 2", left, right)
	}
}
