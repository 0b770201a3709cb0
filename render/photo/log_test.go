//go:build !js

package photo

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path"
	"strings"
	"testing"
)

// refusedOfLog are the files of the log that the command does not open, and words
// that the refusal must hold.
var refusedOfLog = map[string]string{
	"html.jpg": "page of the web", "text.jpg": "text", "svg-billion-laughs.svg": "SVG", "svg.svg": "SVG",
	"jpeg-soi-only.jpg": "cut short", "webp-trunc50.webp": "cut short", "png-badcrc.png": "damaged",
	"bmp-header-60000.bmp": "60000 x 60000", "gif-65535x65535.gif": "65535 x 65535", "jpeg-header-65500x65500.jpg": "65500 x 65500",
	"png-16000x16000-rgb.png": "16000 x 16000", "png-30000x30000-1bit.png": "30000 x 30000", "png-65000x65000-1bit.png": "65000 x 65000",
	"png-header-2147483647.png": "2147483647", "webp-16383x16383.webp": "16383 x 16383",
	"arithmetic.jpg": "arithmetic coding", "arithmetic-progressive.jpg": "arithmetic coding", "lossless-sof3.jpg": "lossless",
	"jxl-jpeg-transcode.jxl": "JPEG XL", "iphone-CgBI-iphone_basi0g01.png": "private form", "iphone-CgBI-iphone_basi0g02.png": "private form",
	"xc1n0g08.png": "unusual sort", "xc9n2c08.png": "unusual sort", "xd0n2c08.png": "unusual sort", "xd3n2c08.png": "unusual sort",
	"xd9n2c08.png": "unusual sort", "xhdn0g08.png": "damaged", "xcrn0g04.png": "no photograph", "xlfn0g04.png": "no photograph",
	"xs1n0g01.png": "no photograph", "xs4n0g01.png": "no photograph", "xs7n0g01.png": "no photograph",
}

// The notes that files of the log are opened with. Those whose names begin with
// what stands here have it, all others none.
var notesOfLog = map[string]string{
	"jpeg-baseline-trunc10": "the lower 82 % is missing", "jpeg-baseline-trunc50": "the lower 43 % is missing",
	"jpeg-baseline-trunc99": "the lower 0.2 % is missing", "jpeg-progressive-trunc": "finest detail is missing",
	"png-trunc50": "the lower 44 % is missing", "png-bad-iccp-crc": "cannot be read", "jpeg-icc-garbage": "cannot be read",
	"jpeg-icc-truncated": "cannot be read", "jpeg-icc-missing-chunk2": "cannot be read",
	"apng": "moving picture", "gif-anim": "moving picture", "webp-anim": "moving picture",
	"jpeg-exif-adobergb-noicc": stronger, "jpeg-icc-adobergb": stronger, "jpeg-icc-chunks-out-of-order": stronger, "jpeg-icc-p3": stronger,
	"jpeg-icc-prophoto": stronger, "png-icc-p3": stronger, "png-icc-prophoto": stronger, "png-cicp-p3": stronger, "png-gama-chrm-p3": stronger,
	"webp-icc-adobergb": stronger, "webp-icc-p3": stronger, "webp-icc-prophoto": stronger, "avif-p3-nclx": stronger,
}

const stronger = "of stronger colours than sRGB can show"

// chart is the picture that most small files were made from, in the middle of its
// quarters.
const chart = "200.40.40 40.160.60 40.60.200 230.210.60"

// independent are codes in the middle of the quarters that the log lacks or has
// otherwise, from programs that know nothing of ours: tiff2rgba of Debian's
// libtiff-tools 4.5.0, heif-convert of libheif-examples 1.15.1.
var independent = map[string]string{
	"tiff-jpeg.tif": "125.133.164 151.165.176 98.123.56 97.129.58", "tiff-16bit.tif": chart,
	"tiff-none.tif": "123.137.165 160.169.182 93.123.54 101.131.60", "tiff-packbits.tif": "123.137.165 160.169.182 93.123.54 101.131.60",
	"tiff-zip.tif":   "123.137.165 160.169.182 93.123.54 101.131.60",
	"heic-x265.heic": "119.133.162 149.156.172 87.122.54 103.136.65",
	// What Chromium makes of the same picture where it is said otherwise.
	"cmyk-noadobe.jpg": "245.24.51 50.235.32 24.52.245 240.234.53", "jpeg-exif-adobergb-noicc.jpg": "233.35.35 0.161.46 23.57.204 238.211.35",
	"apng-default-image-not-frame.png": chart,
}

// cropped are the files that are here only in part, without decoding them, and
// the size they have here.
var cropped = map[string]string{
	"Picture_1A_by_freespace.jpg": "960x640", "aitzgorri_by_Aitzol_Berasategi.jpg": "960x640", "picosdeeuropa_by_Aitzol_Berasategi.jpg": "960x640",
	"seeding_by_Clements_Engelhardt.jpg": "960x640", "sunset_by_Aitzol_Berasategi.jpg": "960x640",
}

// Every file of the log opens or is refused as the log, or the tables above where
// it is silent, say that it should be.
func TestEveryRowOfTheLog(t *testing.T) {
	lines := strings.Split(strings.TrimRight(string(read(t, "log.tsv")), "\n"), "\n")
	if len(lines) != 276 {
		t.Fatalf("the log has %d lines, want 276", len(lines))
	}
	for _, line := range lines[1:] {
		row := strings.Split(line, "\t")
		t.Run(path.Base(row[4]), func(t *testing.T) { checkLogged(t, row) })
	}
}

// fileOfLog is the file that a row of the log is about.
func fileOfLog(t *testing.T, name string) []byte {
	switch folder, base := path.Split(name); {
	case base == "photo-48MP-stored8064x6048-exif6.jpg":
		return largePhotograph(t)
	case base == "Picture_0B_by_freespace.jpg":
		return read(t, "fig-in-red-bowl.jpg")
	case strings.HasSuffix(folder, "perspective/"):
		return read(t, "../warp/citrus-tilted.jpg")
	case strings.HasSuffix(folder, "pngsuite/"):
		return read(t, "pngsuite/"+base)
	default:
		return read(t, base)
	}
}

func checkLogged(t *testing.T, row []string) {
	name, pixels, expected, chromium := path.Base(row[4]), row[5], row[8], row[9]
	data := fileOfLog(t, row[4])
	opened, err := Decode(data)
	mustRefuse := strings.HasPrefix(expected, "refuse") && name != "12bit-testorig12.jpg" || strings.Contains(expected, "must be refused")
	if words := refusedOfLog[name]; words != "" || mustRefuse {
		checkRefusal(t, err, words)
		return
	}
	if err != nil {
		t.Fatalf("it is refused: %v; expected is %q", err, expected)
	}
	note := ""
	for begins, words := range notesOfLog {
		if strings.HasPrefix(name, begins) {
			note = words
		}
	}
	if notes := strings.Join(opened.Notes, "; "); !strings.Contains(notes, note) || (note == "") != (notes == "") {
		t.Errorf("its notes are %q, want %q", notes, note)
	}
	size, quarters, _ := strings.Cut(strings.ReplaceAll(chromium+" ", ".255 ", " "), " quads ")
	if translucent := strings.Count(quarters, ".") > 8; translucent {
		quarters = "" // as stored and not on white; TestSameAsChromium compares them
	}
	switch {
	case cropped[name] != "":
		size, quarters = cropped[name], ""
	case name == "photo-48MP-stored8064x6048-exif6.jpg":
		size, quarters = "6048x8064", ""
	case strings.Contains(row[4], "/orient/") && name != "jpeg-xmp-only6.jpg", strings.HasPrefix(name, "avif-exif6"):
		size, quarters = "96x64", chart
	case pixels != "" && name != "4-citrus-tilt-30.jpg":
		size = pixels
	}
	if strings.HasPrefix(size, "rejected") {
		size = ""
	}
	checkSizeOf(t, opened, strings.TrimSpace(size))
	if other := independent[name]; other != "" {
		quarters = other
	}
	if name == "photo-48MP-stored8064x6048-exif6.jpg" && opened.At(opened.Width-50, 50).R != 40 {
		t.Errorf("the stored corner is not at the top right: %v is there", opened.At(opened.Width-50, 50))
	}
	checkQuarters(t, opened.Picture, quarters, 2)
}

// checkSizeOf compares with a size as the log spells it, "" for none.
func checkSizeOf(t *testing.T, o Opened, want string) {
	if got := fmt.Sprintf("%dx%d", o.Width, o.Height); want != "" && got != want {
		t.Errorf("it is %s, want %s", got, want)
	}
}

// largePhotograph is a JPEG of 48.8 megapixels that is to be turned, made here
// since the one of the log has 3.7 MB: dark in the corner that is to be at the top
// right.
func largePhotograph(t *testing.T) []byte {
	m := image.NewGray(image.Rect(0, 0, 8064, 6048))
	for i := range m.Pix {
		m.Pix[i] = 200
	}
	for y := range 100 {
		for x := range 100 {
			m.SetGray(x, y, color.Gray{Y: 40})
		}
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, m, &jpeg.Options{Quality: 50}); err != nil {
		t.Fatal(err)
	}
	exif := "\xff\xd8\xff\xe1\x00\x22Exif\x00\x00II*\x00\x08\x00\x00\x00\x01\x00\x12\x01\x03\x00\x01\x00\x00\x00\x06\x00\x00\x00\x00\x00\x00\x00"
	return append([]byte(exif), out.Bytes()[2:]...)
}

// The log's files are all there.
func TestLogIsComplete(t *testing.T) {
	for name := range refusedOfLog {
		if _, err := os.Stat(testdata + "/" + name); err != nil {
			if _, err := os.Stat(testdata + "/pngsuite/" + name); err != nil {
				t.Errorf("%s is refused in the table and not there", name)
			}
		}
	}
}
