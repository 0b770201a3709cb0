//go:build !js

package photo

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// harmless are what ExifTool may tell of a bare copy: what it works out itself,
// what the decoder needs, and the orientation.
var harmless = []string{
	"SourceFile", "ExifTool:", "System:", "File:", "JFIF:", "APP14:", "Adobe:", "ICC_Profile:", "ICC-header:", "ICC-view:", "ICC-meas:", "PNG:ImageWidth", "PNG:ImageHeight",
	"PNG:BitDepth", "PNG:ColorType", "PNG:Compression", "PNG:Filter", "PNG:Interlace", "PNG:SRGBRendering", "PNG:Gamma", "PNG:ProfileName", "PNG:PixelsPerUnit",
	"PNG:PixelUnits", "PNG:Palette", "PNG:Transparency", "PNG:BackgroundColor", "PNG:Animation", "PNG:SignificantBits", "PNG-pHYs:", "PNG-cICP:", "RIFF:",
	"PNG:WhitePoint", "PNG:Red", "PNG:Green", "PNG:Blue", "Composite:ImageSize", "Composite:Megapixels", "IFD0:Orientation", "ExifIFD:ColorSpace", "InteropIFD:",
}

// A bare copy holds the same pixels as they are packed and nothing that ExifTool,
// which knows nothing of ours, finds beside them but what is harmless; and it
// opens as the photograph did.
func TestBare(t *testing.T) {
	if _, err := exec.LookPath("exiftool"); err != nil {
		t.Fatalf("%v: run make tools", err)
	}
	copied := 0
	for _, name := range []string{
		"gps-serial-owner-thumb.jpg", "jpeg-gainmap-ultrahdr.jpg", "jpeg-motion-photo.jpg", "jpeg-samsung-trailer.jpg", "sunrise.jpg", "sunrise.webp",
		"european-honey-bee.jpg", "jpeg-exif6-II.jpg", "jpeg-exif8-MM.jpg", "jpeg-ifd0-6-ifd1-1.jpg", "jpeg-xmp-only6.jpg", "jpeg-exif-adobergb-noicc.jpg",
		"jpeg-icc-chunks-out-of-order.jpg", "jpeg-trailing-junk.jpg", "png-eXIf6.png", "png-icc-p3.png", "png-gama-chrm-p3.png", "png-alpha.png", "apng.png",
		"webp-exif5.webp", "webp-icc-p3.webp", "webp-anim.webp", "progressive.jpg", "ycck-adobe.jpg",
		"pngsuite/ctgn0g04.png", "pngsuite/cm7n0g04.png", "pngsuite/ps2n2c16.png",
	} {
		data := read(t, name)
		bare, taken, err := Bare(data)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		copied++
		checkTold(t, name, bare)
		checkSamePicture(t, name, data, bare)
		if again, more, err := Bare(bare); err != nil || !bytes.Equal(again, bare) || slices.Contains(more, takenText) {
			t.Errorf("%s: a copy of the copy is another, without %q, %v", name, more, err)
		}
		if len(bare) < len(data) && len(taken) == 0 && !strings.Contains(name, "exif") {
			t.Errorf("%s lost %d bytes and nothing is said to be left out", name, len(data)-len(bare))
		}
	}
	if copied == 0 {
		t.Error("nothing was copied")
	}
}

// checkTold asks ExifTool what is in a bare copy.
func checkTold(t *testing.T, name string, bare []byte) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "bare"+filepath.Ext(name))
	if err := os.WriteFile(file, bare, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("exiftool", "-json", "-a", "-u", "-G1", "-ee", file).Output()
	if err != nil {
		t.Fatalf("exiftool %s: %v", name, err)
	}
	var told []map[string]any
	if err := json.Unmarshal(out, &told); err != nil || len(told) != 1 {
		t.Fatalf("exiftool says of %s: %s", name, out)
	}
	for key, value := range told[0] {
		fine := slices.ContainsFunc(harmless, func(begin string) bool { return strings.HasPrefix(key, begin) })
		if !fine || key == "ExifTool:Warning" || key == "File:Comment" {
			t.Errorf("%s: the copy still tells %s: %v", name, key, value)
		}
	}
}

// checkSamePicture compares a bare copy with what it was made from, opened and as
// it is packed.
func checkSamePicture(t *testing.T, name string, data, bare []byte) {
	t.Helper()
	before, err := Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	after, err := Decode(bare)
	if err != nil {
		t.Errorf("%s: the copy does not open: %v", name, err)
		return
	}
	if before.Size() != after.Size() || !bytes.Equal(before.Pix, after.Pix) {
		t.Errorf("%s: the copy is another picture", name)
	}
	if last := bytes.LastIndex(bare, []byte("\xff\xda")); bytes.HasPrefix(bare, []byte("\xff\xd8")) {
		if last < 0 || !bytes.Contains(data, bare[last:]) {
			t.Errorf("%s: the last scan of the copy is not in the file", name)
		}
	} else if !bytes.Equal(packed(t, data), packed(t, bare)) {
		t.Errorf("%s: the copy is packed otherwise", name)
	}
}

// packed is the chunks that hold the pixels of a PNG or a WebP.
func packed(t *testing.T, data []byte) []byte {
	t.Helper()
	if bytes.HasPrefix(data, []byte("RIFF")) {
		start := max(bytes.Index(data, []byte("VP8L")), bytes.Index(data, []byte("VP8 ")))
		return data[start : start+8+little(data, start+4, 4)]
	}
	var all []byte
	chunks(data, func(name string, _, whole []byte) bool {
		if name == "IDAT" {
			all = append(all, whole...)
		}
		return true
	})
	return all
}

// What is known to be in the files is left out and said to be.
func TestBareTells(t *testing.T) {
	for name, want := range map[string]string{
		"gps-serial-owner-thumb.jpg": takenExif + "|" + takenText, "jpeg-motion-photo.jpg": takenText + "|" + takenBehind,
		"jpeg-samsung-trailer.jpg": takenBehind, "jpeg-gainmap-ultrahdr.jpg": takenBehind, "progressive.jpg": "",
	} {
		data := read(t, name)
		bare, taken, err := Bare(data)
		if err != nil {
			t.Fatal(err)
		}
		for part := range strings.SplitSeq(want, "|") {
			if part != "" && !slices.Contains(taken, part) {
				t.Errorf("%s: left out are %q, want %q", name, taken, part)
			}
		}
		for _, private := range []string{"GPS", "Serial", "ftyp", "SEFT", "hdrgm", "Photoshop", "http://ns.adobe.com"} {
			if bytes.Contains(bare, []byte(private)) {
				t.Errorf("%s: the copy holds %q", name, private)
			}
		}
	}
	for _, name := range []string{"gif-anim.gif", "tiff-6.tif", "heic-x265.heic", "avif-irot90.avif", "bmp.bmp", "jpeg-baseline-trunc50.jpg", "text.jpg"} {
		_, _, err := Bare(read(t, name))
		checkRefusal(t, err, "")
	}
}

// FuzzBare holds Bare to its word on any bytes: a refusal, or a copy that Inspect
// tells the same of and that no copy makes smaller.
func FuzzBare(f *testing.F) {
	for _, name := range []string{"jpeg-exif6-II.jpg", "jpeg-exif-adobergb-noicc.jpg", "png-eXIf6.png", "webp-exif6.webp", "webp-anim.webp", "jpeg-icc-p3.jpg"} {
		data, err := os.ReadFile(filepath.Join(testdata, name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		bare, _, err := Bare(data)
		if err != nil {
			checkRefusal(t, err, "")
			return
		}
		before, _ := Inspect(data)
		after, err := Inspect(bare)
		if err != nil || before.Width != after.Width || before.Height != after.Height || before.Orientation != after.Orientation || before.Kind != after.Kind {
			t.Errorf("of the copy Inspect says %+v, %v, and %+v before", after, err, before)
		}
		if again, _, err := Bare(bare); err != nil || !bytes.Equal(again, bare) {
			t.Errorf("a copy of the copy is another: %v", err)
		}
	})
}
