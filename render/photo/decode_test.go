//go:build !js

package photo

import (
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// testdata is where the photographs lie.
const testdata = "../../testdata/photo"

// read is one of them.
func read(t *testing.T, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(testdata, name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Every awkward file does what testdata/photo/expected.tsv says, which gives
// the source of each row: a browser's reading of the file, or what was stored
// in it. Codes are exact where the file keeps them exactly, and within 2 where
// it does not. What is refused there is refused in the page, where browsers
// commonly cannot open it; TestEveryRowOfTheLog says what the command does.
func TestAwkwardFiles(t *testing.T) {
	reader := csv.NewReader(strings.NewReader(string(read(t, "expected.tsv"))))
	reader.Comma, reader.LazyQuotes = '\t', true
	rows, err := reader.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) < 80 {
		t.Fatalf("expected.tsv has %d rows, want at least 80", len(rows))
	}
	for _, row := range rows[1:] {
		t.Run(row[0], func(t *testing.T) { checkAwkward(t, row) })
	}
}

func checkAwkward(t *testing.T, row []string) {
	data := read(t, row[0])
	result, what, _ := strings.Cut(row[1], ": ")
	header, inspected := Inspect(data)
	if inspected == nil && !header.Everywhere() {
		inspected = header.Unopened()
	}
	if result == "refused" {
		checkRefusal(t, inspected, what)
		return
	}
	opened, decoded := Decode(data)
	if inspected != nil {
		t.Fatalf("Inspect refuses it: %v", inspected)
	}
	w, h := header.Upright()
	if got, want := fmt.Sprint(w, h), row[2]+" "+row[3]; got != want {
		t.Errorf("the header says %s upright, want %s", got, want)
	}
	if result == "not decoded" {
		checkRefusal(t, decoded, what)
		return
	}
	if decoded != nil {
		t.Fatalf("Decode refuses it: %v", decoded)
	}
	if notes := strings.Join(opened.Notes, "; "); !strings.Contains(notes, what) || (what == "") != (notes == "") {
		t.Errorf("the notes are %q, want %q", notes, what)
	}
	tolerance := 0
	if header.Kind == JPEG || header.Kind == WebP {
		tolerance = 2
	}
	checkQuarters(t, opened.Picture, row[4], tolerance)
}

// checkRefusal wants a refusal with certain words and a hint.
func checkRefusal(t *testing.T, err error, words string) {
	t.Helper()
	var refusal *Refusal
	if !errors.As(err, &refusal) || !strings.Contains(err.Error(), words) {
		t.Errorf("the error is %v, want a Refusal with %q", err, words)
		return
	}
	if Hint(err) == "" {
		t.Errorf("no hint comes with %q", err)
	}
}

// checkQuarters compares the pixels in the middle of the four quarters.
func checkQuarters(t *testing.T, p *Picture, want string, tolerance int) {
	t.Helper()
	for i, quarter := range strings.Fields(want) {
		x, y := (1+i%2*2)*p.Width/4, (1+i/2*2)*p.Height/4
		c := p.At(x, y)
		got := [3]uint8{c.R, c.G, c.B}
		for j, code := range strings.Split(quarter, ".") {
			n, err := strconv.Atoi(code)
			if err != nil {
				t.Fatal(err)
			}
			if d := int(got[j]) - n; d > tolerance || d < -tolerance {
				t.Errorf("quarter %d is %v, want %s within %d", i+1, got, quarter, tolerance)
			}
		}
	}
	for i := 3; i < len(p.Pix); i += 4 {
		if p.Pix[i] != 255 {
			t.Fatalf("pixel %d is not opaque", i/4)
		}
	}
}

// The demo photograph is as large as its source says, and its bowl is red.
func TestDemoPhotograph(t *testing.T) {
	opened, err := Decode(read(t, "fig-in-red-bowl.jpg"))
	if err != nil {
		t.Fatal(err)
	}
	if opened.Width != 2572 || opened.Height != 1740 || len(opened.Notes) != 0 {
		t.Errorf("it is %d x %d with notes %q, want 2572 x 1740 and none", opened.Width, opened.Height, opened.Notes)
	}
	// Chromium 156 reads 50 46 45, 201 20 0, 152 149 144 and 96 8 4.
	checkQuarters(t, opened.Picture, "50.46.45 201.20.0 152.149.144 96.8.4", 2)
}

// A PNG with a wrong checksum over its pixels is damaged, not shown half.
func TestDamagedPixelsAreRefused(t *testing.T) {
	data := read(t, "png-icc-srgb.png")
	at := strings.Index(string(data), "IDAT")
	size := int(data[at-4])<<24 | int(data[at-3])<<16 | int(data[at-2])<<8 | int(data[at-1])
	data[at+4+size] ^= 0x10
	_, err := Decode(data)
	checkRefusal(t, err, "damaged")
}

// Whatever prefix of a photograph is all that arrived, it is refused, or opened at
// its full size with a note that it is cut off.
func TestEveryPrefix(t *testing.T) {
	opens := map[string]bool{"jpeg-exif6-II.jpg": true, "png-alpha.png": true, "png-interlaced.png": true}
	for _, name := range []string{
		"jpeg-exif6-II.jpg", "png-alpha.png", "png-interlaced.png", "webp-exif6.webp", "gif-anim.gif", "bmp.bmp",
		"tiff-6.tif", "avif-irot90.avif", "avif-p3-nclx.avif", "heic-x265.heic", "jxl-jpeg-transcode.jxl", "webp-anim.webp",
	} {
		data := read(t, name)
		end, step, opened := len(data), 1+len(data)/1500, 0
		if name == "gif-anim.gif" {
			end = firstPrefix(t, data)
		}
		for n := 0; n < end; n += step {
			o, err := Decode(data[:n])
			if err != nil {
				continue
			}
			opened++
			if len(o.Notes) == 0 || !strings.Contains(o.Notes[0], "cut off") || o.Width != 96 || o.Height != 64 {
				t.Errorf("%s is opened from %d of its %d bytes at %d x %d with %q", name, n, len(data), o.Width, o.Height, o.Notes)
			}
		}
		if (opened > 0) != opens[name] {
			t.Errorf("%s is opened from %d prefixes", name, opened)
		}
	}
}

// firstPrefix is where the first picture of a GIF ends: the shortest prefix that
// Inspect takes, which must be well inside an animation and show the chart.
func firstPrefix(t *testing.T, data []byte) int {
	for n := range data {
		if _, err := Inspect(data[:n]); err == nil {
			if n < len(data)/8 || n > len(data)*3/4 {
				t.Errorf("the first of several pictures ends at byte %d of %d", n, len(data))
			}
			opened, err := Decode(data[:n])
			if err != nil {
				t.Fatalf("the first picture alone: %v", err)
			}
			checkQuarters(t, opened.Picture, "200.40.40 40.160.60 40.60.200 230.210.60", 0)
			return n
		}
	}
	t.Fatal("no prefix holds the first picture")
	return 0
}
