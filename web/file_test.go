package web_test

import (
	"archive/zip"
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"maulstick/render/portfolio"
	"maulstick/render/study"
)

// saved presses the key that saves the study to a file and reads the file.
func (p *tab) saved() (path string, data []byte) {
	p.t.Helper()
	path = p.saveFile("save-file")
	data, err := os.ReadFile(path)
	p.must(err)
	return path, data
}

// inFolder writes a file for the page to open.
func (p *tab) inFolder(name string, data []byte) string {
	p.t.Helper()
	path := filepath.Join(p.t.TempDir(), name)
	p.must(os.WriteFile(path, data, 0o644))
	return path
}

// Saved, opened on another tablet and saved there a study is the same file, byte for
// byte; opened where it lies already it opens to itself, and where it has been worked on
// since it becomes a study of its own. One file of the first form still opens.
func TestOneFileThereAndBack(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	p := b.openFresh(t, landscape, s.url())
	p.settleKept()
	p.openPhoto(photograph)
	p.press("tray-study")
	p.press("part-study")
	p.settleKept()
	path, first := p.saved()
	was := p.studyText()

	q := b.openFresh(t, landscape, s.url())
	q.settleKept()
	q.choose(path)
	q.awaitOpened(filepath.Base(photograph))
	q.settleKept()
	if now := q.studyText(); now != was {
		t.Errorf("opened elsewhere it is\n%s\nand was\n%s", now, was)
	}
	if _, second := q.saved(); !bytes.Equal(first, second) {
		t.Errorf("saved elsewhere it is another file, of %d bytes and %d", len(first), len(second))
	}

	p.choose(path)
	p.await("the file is opened", `!document.getElementById('message').checkVisibility()`)
	p.settleKept()
	if now := p.studyText(); now != was {
		t.Errorf("opened where it lies it is\n%s\nand was\n%s", now, was)
	}
	p.press("mirror")
	p.settleKept()
	here := p.snapshot().Study.ID
	p.choose(path)
	p.await("another study is opened", `window.maulstick.snapshot().study.id !== %s`, here)
	p.settleKept()
	if now := p.snapshot().Study; now.Name != "progressive, from a file" || now.View.Mirror {
		t.Errorf("opened beside itself it is %q, mirrored %v", now.Name, now.View.Mirror)
	}
	if kept := p.records(); !strings.Contains(kept.Studies[here], `"mirror": true`) || len(kept.Photographs) != 2 {
		t.Errorf("the study that was here is kept as\n%s", kept.Studies[here])
	}
	p.choose(filepath.Join("..", "testdata", "sheet", "fig-in-a-red-bowl.maulstick.json"))
	p.await("the file of the first form is opened", `window.maulstick.snapshot().study.name.startsWith('Fig in a red')`)
	p.settleKept()
	if faults := append(p.complaints(), q.complaints()...); len(faults) > 0 {
		t.Errorf("the console complains: %q", faults)
	}
}

// A damaged file gives what is whole, and says what is not; one without the photograph
// on the easel opens without, and shows it once that has been opened by itself.
func TestDamagedFileOpens(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).openFresh(t, landscape, s.url())
	p.settleKept()
	original, err := os.ReadFile(photograph)
	p.must(err)
	doc := study.New("from-a-file", study.Reference{
		Name: "progressive.jpg", Hash: hashOf(original), Bytes: len(original), Width: 482, Height: 321,
	}).WithName("Damaged")
	file := func(hash string) portfolio.Bytes { return bytes.NewReader(original) }
	pieces, err := portfolio.Write(doc, portfolio.Order{Photograph: file})
	p.must(err)
	whole, err := portfolio.Joined(pieces, file)
	p.must(err)
	begins := bytes.Index(whole, original)
	if begins < 0 {
		t.Fatal("the file does not hold the photograph as it came")
	}
	p.choose(p.inFolder("cut.maulstick.zip", whole[:begins+len(original)/2]))
	p.await("it opens", `window.maulstick.snapshot().study?.name === 'Damaged'`)
	p.await("it says so", `document.getElementById('message-text').textContent.startsWith('Not all of the file cut.maulstick.zip was whole: ')`)
	if said := p.text("message-text"); !strings.HasSuffix(said, "the photograph progressive.jpg is damaged.") {
		t.Errorf("of the damaged file the page says %q", said)
	}
	p.press("message-close")
	p.settleKept()
	p.reload()
	p.settleKept()
	if now := p.snapshot().Study; now.Name != "Damaged" {
		t.Errorf("loaded anew the page opens %q", now.Name)
	}
	p.awaitNotice("The photograph progressive.jpg of this study is not here")
	p.openPhoto(photograph)
	p.settleKept()
	p.shelf()
	p.chooseStudy("Damaged")
	p.press("studies-open")
	p.await("it is opened", `window.maulstick.snapshot().study?.name === 'Damaged'`)
	p.settleKept()
	p.reload()
	p.settleKept()
	if p.shown("notice") {
		t.Errorf("with its photograph here the notice says %q", p.text("notice-text"))
	}
	id := p.snapshot().Study.ID
	p.choose(p.inFolder("nothing.maulstick.zip", whole[:200]))
	p.await("it is refused", `document.getElementById('message-text').checkVisibility() && !document.getElementById('message-text').textContent.startsWith('Opening')`)
	if said := p.text("message-text"); !strings.Contains(said, "is not a study kept by Maulstick") || p.snapshot().Study.ID != id {
		t.Errorf("a file with nothing whole in it is refused with %q", said)
	}
	text, err := study.Encode(doc)
	p.must(err)
	var newer bytes.Buffer
	archive := zip.NewWriter(&newer)
	for name, data := range map[string][]byte{
		"study.json": bytes.Replace(text, []byte(`"maulstick_study": 5`), []byte(`"maulstick_study": 9`), 1), "my photograph": original,
	} {
		w, err := archive.Create(name)
		p.must(err)
		_, err = w.Write(data)
		p.must(err)
	}
	p.must(archive.Close())
	p.choose(p.inFolder("newer.maulstick.zip", newer.Bytes()))
	p.await("it is told to be newer", `document.getElementById('notice-text').textContent.includes('kept by a newer Maulstick')`)
	if state := p.text("state-kept"); state != "To look at only" {
		t.Errorf("a newer study is %q", state)
	}
}
