package web_test

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"

	"maulstick/render/photo"
)

// onlyInThePage are the files of the log that Chromium opens and the command refuses,
// since no maintained Go library reads them, with the beginnings of their names.
var onlyInThePage = []string{"arithmetic", "jxl-"}

// What the page says of photographs that it opens, of those whose names begin so; it
// says nothing of the others.
var notesInThePage = map[string]string{
	"jpeg-baseline-trunc10": "The lower 82 % is missing", "jpeg-baseline-trunc50": "The lower 43 % is missing",
	"jpeg-baseline-trunc99": "The lower 0.2 % is missing", "jpeg-progressive-trunc": "finest detail is missing",
	"png-trunc50": "The lower 44 % is missing",
}

// unlikeTheCommand are the photographs of the log whose pixels are not within 2 codes of
// the command's in the page: how far off they are at most, in which share of all codes,
// and why. TestSameAsChromium says more of each.
var unlikeTheCommand = map[string]struct {
	codes  int
	share  float64
	reason string
}{
	"ycck-adobe.jpg":    {124, 0.052, "image/jpeg repeats the chroma of four-colour JPEGs, at edges"},
	"heif-enc-av1.avif": {30, 0.057, "the AVIF library repeats chroma, at edges"},
	"jpeg-named.png":    {3, 0.001, "it is a JPEG, whose transforms are rounded differently"},
	"heic-x265.heic":    {239, 0.0003, "heic of the command hands its pixels out after freeing them, and the first of them are written over"},
	"basi6a08.png":      {6, 0.047, "Chromium keeps colours multiplied into their opacity, in 8 bits"},
	"basn6a08.png":      {6, 0.047, "Chromium keeps colours multiplied into their opacity, in 8 bits"},
	"bgan6a08.png":      {6, 0.047, "Chromium keeps colours multiplied into their opacity, in 8 bits"},
	"bgwn6a08.png":      {6, 0.047, "Chromium keeps colours multiplied into their opacity, in 8 bits"},
}

// TestEveryPhotographOfTheLog holds the page to each row of the log: what the command
// opens the page opens, in the same size and the same colours, and what is to be refused
// it refuses in words, with the study before as it was.
func TestEveryPhotographOfTheLog(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	p := b.open(landscape, s.url())
	p.settleKept()
	data, err := os.ReadFile("../testdata/photo/log.tsv")
	p.must(err)
	opened, refused, outer := 0, 0, p.t
	for _, line := range strings.Split(strings.TrimRight(string(data), "\n"), "\n")[1:] {
		row := strings.Split(line, "\t")
		file := fileOfLog(row[4])
		if file == "" {
			continue
		}
		t.Run(path.Base(row[4]), func(t *testing.T) {
			p.t = t
			defer func() { p.t = outer }()
			if p.opensAsLogged(file) {
				opened++
			} else {
				refused++
			}
		})
	}
	t.Logf("the page opened %d photographs of the log and refused %d", opened, refused)
	if opened < 200 || refused < 20 {
		t.Errorf("of the log only %d photographs were opened and %d refused", opened, refused)
	}
	if faults := p.complaints(); len(faults) > 0 {
		t.Errorf("the console complains: %q", faults)
	}
}

// fileOfLog is the file that a row of the log is about, "" for the one of 48 megapixels,
// which TestLargePhotographs makes.
func fileOfLog(name string) string {
	const photos = "../testdata/photo/"
	switch folder, base := path.Split(name); {
	case base == "photo-48MP-stored8064x6048-exif6.jpg":
		return ""
	case base == "Picture_0B_by_freespace.jpg":
		return photos + "fig-in-red-bowl.jpg"
	case strings.HasSuffix(folder, "perspective/"):
		return "../testdata/warp/citrus-tilted.jpg"
	case strings.HasSuffix(folder, "pngsuite/"):
		return photos + "pngsuite/" + base
	default:
		return photos + base
	}
}

// opensAsLogged opens a file, compares what comes of it with the command's, and tells
// whether it was opened.
func (p *tab) opensAsLogged(file string) bool {
	p.t.Helper()
	data, err := os.ReadFile(file)
	p.must(err)
	sum := sha256.Sum256(data)
	hash := hex.EncodeToString(sum[:])
	before := p.studyText()
	said, opened := p.opens(file, hash)
	own, refusal := photo.Decode(data)
	name := filepath.Base(file)
	page := false
	for _, begins := range onlyInThePage {
		page = page || strings.HasPrefix(name, begins)
	}
	switch {
	case !opened && (refusal == nil || page):
		p.t.Errorf("the page refuses it (%s), and it is to be opened", said)
	case opened && refusal != nil && !page:
		p.t.Errorf("the page opens it, and it is to be refused: %v", refusal)
	case !opened:
		if said == "" || p.studyText() != before {
			p.t.Errorf("it is refused with %q, and the study before has changed", said)
		}
	case refusal == nil:
		p.comparesWith(name, own.Picture)
	}
	want := ""
	for begins, words := range notesInThePage {
		if strings.HasPrefix(name, begins) {
			want = words
		}
	}
	if opened && !strings.Contains(said, "stronger colours") && (want == "" && said != "" && refusal == nil && len(own.Notes) == 0 || !strings.Contains(strings.ToLower(said), strings.ToLower(want))) {
		p.t.Errorf("the page says %q, want %q", said, want)
	}
	if opened && refusal == nil {
		stronger := func(text string) bool { return strings.Contains(text, "stronger colours") }
		if stronger(said) != stronger(strings.Join(own.Notes, " ")) {
			p.t.Errorf("the page says %q of its colours, the command %q", said, own.Notes)
		}
	}
	return opened
}

// opens gives a file to the page, and tells whether it lies on the easel then, and what
// is said.
func (p *tab) opens(file, hash string) (said string, opened bool) {
	p.t.Helper()
	if p.shown("message") {
		p.press("message-close")
	}
	p.choose(file)
	p.await("the file is opened or refused", `(() => {
		const s = window.maulstick.snapshot(), m = document.getElementById('message');
		const text = m.hidden ? '' : document.getElementById('message-text').textContent;
		return !text.startsWith('Opening ') && (text !== '' || s.study.reference.sha256 === %s && s.filled); })()`, hash)
	p.settle()
	said = p.text("message-text")
	return said, p.snapshot().Study.Reference.Hash == hash
}

// comparesWith compares the pixels that the page holds with the command's.
func (p *tab) comparesWith(name string, own *photo.Picture) {
	p.t.Helper()
	r := p.snapshot().Study.Reference
	if r.Width != own.Width || r.Height != own.Height {
		p.t.Errorf("it is %d x %d pixels in the page, and %d x %d for the command", r.Width, r.Height, own.Width, own.Height)
		return
	}
	worst, over, firstOff, lastOff := 0, 0, -1, 0
	pix := p.pixels(0, r.Height)
	for i, v := range pix {
		if d := max(int(v)-int(own.Pix[i]), int(own.Pix[i])-int(v)); d > 2 {
			if worst = max(worst, d); firstOff < 0 {
				firstOff = i / 4
			}
			lastOff = i / 4
			over++
		}
	}
	share := float64(over) / float64(3*r.Width*r.Height)
	allowed, listed := unlikeTheCommand[name]
	switch ending := path.Ext(name); {
	case listed && over == 0:
		p.t.Errorf("it is listed as unlike the command (%s), and is not", allowed.reason)
	case !listed && (ending == ".jpg" || ending == ".webp"): // lossy: transforms are rounded differently
		allowed.codes, allowed.share = 3, 0.001
	}
	if worst > allowed.codes || share > allowed.share {
		p.t.Errorf("%.4f of the codes differ from the command's by more than 2, by %d at most, from (%d, %d) to (%d, %d); allowed are %.4f and %d", share, worst,
			firstOff%own.Width, firstOff/own.Width, lastOff%own.Width, lastOff/own.Width, allowed.share, allowed.codes)
	}
}

// pixels are rows of the photograph as the page holds it.
func (p *tab) pixels(top, rows int) []byte {
	p.t.Helper()
	text := eval[string](p, `(() => {
		const bytes = window.maulstick.pixels(%s, %s), parts = [];
		for (let i = 0; i < bytes.length; i += 32768) parts.push(String.fromCharCode(...bytes.subarray(i, i + 32768)));
		return btoa(parts.join('')); })()`, top, rows)
	data, err := base64.StdEncoding.DecodeString(text)
	if err != nil {
		p.t.Fatal(fmt.Errorf("reading the page's pixels: %w", err))
	}
	return data
}
