package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
)

const keptStudy = "../../testdata/sheet/fig-in-a-red-bowl.maulstick.json"

// readBack runs a program of poppler's or qpdf on a file.
func readBack(t *testing.T, name string, args ...string) []byte {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		t.Fatalf("%s is lacking: install it, on Debian with: apt-get install poppler-utils qpdf", name)
	}
	out, err := exec.Command(name, args...).Output()
	if err != nil {
		t.Fatalf("%s %v: %v", name, args, err)
	}
	return out
}

// printSheets runs the command and tells what it did.
func printSheets(t *testing.T, args ...string) (told printed, pdf string) {
	t.Helper()
	pdf = filepath.Join(t.TempDir(), "sheets.pdf")
	status, out, complaint := ask(append([]string{"sheet", args[0], "-json", "-o", pdf}, args[1:]...)...)
	if status != exitDone || complaint != "" {
		t.Fatalf("%v ends with %d: %s", args, status, complaint)
	}
	if err := json.Unmarshal([]byte(out), &told); err != nil {
		t.Fatal(err)
	}
	return told, pdf
}

// The pages that the command tells are those of the file, and the parts of the
// canvas on the cartoon's cover it.
func TestSheetTellsPages(t *testing.T) {
	told, pdf := printSheets(t, keptStudy, "-paper", "tabloid", "-landscape", "-sheets", "chalk,cartoon")
	info := string(readBack(t, "pdfinfo", "-l", "-1", pdf))
	if sizes := strings.Count(info, "size:  1224 x 792 pts"); len(told.Pages) < 8 || sizes != len(told.Pages) {
		t.Errorf("%d pages are told, and the file has %d of 17 x 11 in: %s", len(told.Pages), sizes, info)
	}
	var right, bottom float64
	for i, p := range told.Pages {
		if p.Number != i+1 || math.Abs(p.WidthMM-17*25.4) > 1e-9 || math.Abs(p.HeightMM-11*25.4) > 1e-9 {
			t.Errorf("page %d is told as %+v", i+1, p)
		}
		if p.Part != nil {
			right, bottom = max(right, p.Part.XMM+p.Part.WidthMM), max(bottom, p.Part.YMM+p.Part.HeightMM)
		}
	}
	if math.Abs(right-36*25.4) > 1e-6 || math.Abs(bottom-24*25.4) > 1e-6 {
		t.Errorf("the cartoon ends at %v, %v mm", right, bottom)
	}
	if told.Pages[0].Sheet != "chalk" || told.Pages[len(told.Pages)-1].Part.Name != "C3" {
		t.Errorf("the pages are %+v", told.Pages)
	}
}

// kept is a study of a photograph, changed, as a file.
func kept(t *testing.T, photograph []byte, change func(study.Document) study.Document) string {
	t.Helper()
	opened, err := photo.Decode(photograph)
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(photograph)
	d := study.New("kept", study.Reference{
		Name: "kept.jpg", Hash: hex.EncodeToString(sum[:]), Bytes: len(photograph), Width: opened.Width, Height: opened.Height,
	})
	d = d.WithCanvas(place.Size{Width: 200, Height: 300, Unit: place.Centimetre}, "20 x 30 cm")
	data, err := study.EncodeFile(change(d), photograph)
	if err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "kept"+study.SingleEnding)
	if err := os.WriteFile(name, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

// located is a photograph with an Exif block before all else that says where it was
// taken (CIPA DC-008, Exif 2.32: the GPS directory, tag 0x8825).
func located(t *testing.T, photograph []byte) (data, latitude []byte) {
	t.Helper()
	order := binary.BigEndian
	entry := func(tag, kind uint16, count, value uint32) []byte {
		b := order.AppendUint16(order.AppendUint16(nil, tag), kind)
		return order.AppendUint32(order.AppendUint32(b, count), value)
	}
	for _, part := range []uint32{41, 1, 54, 1, 987_654, 1000} {
		latitude = order.AppendUint32(latitude, part)
	}
	const directory, places = 8 + 2 + 12 + 4, 8 + 2 + 12 + 4 + 2 + 12 + 4
	tiff := append([]byte("MM\x00\x2a\x00\x00\x00\x08\x00\x01"), entry(0x8825, 4, 1, directory)...)
	tiff = append(append(tiff, 0, 0, 0, 0, 0, 1), entry(2, 5, 3, places)...)
	tiff = append(append(tiff, 0, 0, 0, 0), latitude...)
	block := append([]byte("Exif\x00\x00"), tiff...)
	head := append([]byte{0xff, 0xd8, 0xff, 0xe1}, order.AppendUint16(nil, uint16(len(block)+2))...)
	return append(append(head, block...), photograph[2:]...), latitude
}

// Nothing of what a camera says beside the picture comes onto the sheets: neither
// the place nor the block it stands in, in the file or in the picture taken out of
// it.
func TestSheetsTellNoPlace(t *testing.T) {
	plain, err := os.ReadFile("../../testdata/photo/progressive.jpg")
	if err != nil {
		t.Fatal(err)
	}
	data, latitude := located(t, plain)
	name := kept(t, data, func(d study.Document) study.Document { return d })
	if file, err := os.ReadFile(name); err != nil || !bytes.Contains(data, latitude) || len(file) < len(data) {
		t.Fatal("the photograph does not say where it was taken", err)
	}
	_, pdf := printSheets(t, name, "-sheets", "reference,values")
	taken := filepath.Join(t.TempDir(), "taken")
	readBack(t, "pdfimages", "-all", pdf, taken)
	images, err := filepath.Glob(taken + "*.jpg")
	if err != nil || len(images) != 1 {
		t.Fatalf("the photograph is not to be found: %v, %v", images, err)
	}
	picture, err := os.ReadFile(images[0])
	if err != nil {
		t.Fatal(err)
	}
	for what, in := range map[string][]byte{"file": readBack(t, "qpdf", "--qdf", "--stream-data=uncompress", pdf, "-"), "photograph": picture} {
		for _, mark := range [][]byte{[]byte("Exif"), latitude, []byte("GPS"), []byte("JFXX"), []byte("http://ns.adobe.com")} {
			if bytes.Contains(in, mark) {
				t.Errorf("the %s holds %q", what, mark)
			}
		}
	}
}

// A photograph that lies on its side is printed upright, and one that is set right
// is printed as it is then.
func TestSheetsSetRight(t *testing.T) {
	lying, err := os.ReadFile("../../testdata/photo/jpeg-exif6-II.jpg")
	if err != nil {
		t.Fatal(err)
	}
	for name, change := range map[string]func(study.Document) study.Document{
		"lying":  func(d study.Document) study.Document { return d },
		"turned": func(d study.Document) study.Document { return righted(t, d, study.Righting{Tilt: 4}) },
		"squared": func(d study.Document) study.Document {
			w, h := float64(d.Reference.Width), float64(d.Reference.Height)
			return righted(t, d, study.Righting{
				Corners: []place.PhotoPoint{{X: w * 0.1, Y: h * 0.1}, {X: w * 0.9, Y: h * 0.15}, {X: w * 0.95, Y: h * 0.9}, {X: w * 0.05, Y: h * 0.95}},
				Flat:    place.Size{Width: 200, Height: 300},
			})
		},
	} {
		told, pdf := printSheets(t, kept(t, lying, change), "-sheets", "reference")
		if len(told.Pages) != 1 {
			t.Errorf("%s: %d pages", name, len(told.Pages))
		}
		var columns, rows float64
		for _, line := range strings.Split(string(readBack(t, "pdfimages", "-list", pdf)), "\n") {
			if f := strings.Fields(line); len(f) > 8 && f[8] == "jpeg" {
				if err := json.Unmarshal([]byte("["+f[3]+","+f[4]+"]"), &[]any{&columns, &rows}); err != nil {
					t.Fatal(err)
				}
			}
		}
		// 20 x 30 cm, to a pixel of the few that there are.
		if columns == 0 || math.Abs(rows-columns*1.5) > 1.5 {
			t.Errorf("%s: the photograph has %v x %v pixels", name, columns, rows)
		}
	}
}

func righted(t *testing.T, d study.Document, r study.Righting) study.Document {
	t.Helper()
	if r.Corners == nil {
		r.Corners = []place.PhotoPoint{}
	}
	d, _, err := d.WithRighting(r)
	if err != nil {
		t.Fatal(err)
	}
	return d
}
