package web_test

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// kills is how often the browser is killed while the page writes; make soak asks for
// more.
var kills = flag.Int("kills", 25, "how often the browser is killed while the page writes")

// state is what tells one state of the work from all others: the name of the
// study and its photograph.
type state struct{ Name, Hash string }

// ledger is what the page was asked to keep, in order, and how much of it is
// known to be kept.
type ledger struct {
	mu     sync.Mutex
	asked  []state
	kept   int           // the newest state known to be kept, -1 for none
	begun  chan struct{} // a writing has begun
	within int           // kills that fell inside a writing
	writes bool          // a writing is under way
}

func (l *ledger) ask(s state) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.asked = append(l.asked, s)
}

// listen takes what tellWrites tells.
func (l *ledger) listen(event any) {
	called, ok := event.(*runtime.EventBindingCalled)
	if !ok {
		return
	}
	var told struct {
		Done bool
		state
	}
	if json.Unmarshal([]byte(called.Payload), &told) != nil {
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.writes = !told.Done
	if !told.Done {
		select {
		case l.begun <- struct{}{}:
		default:
		}
		return
	}
	if i := l.find(told.state); i > l.kept {
		l.kept = i
	}
}

func (l *ledger) find(s state) int {
	for i := len(l.asked) - 1; i >= 0; i-- {
		if l.asked[i] == s {
			return i
		}
	}
	return -1
}

// tellWrites tells when a writing is committed and when it is done.
const tellWrites = `(() => {
	const put = IDBObjectStore.prototype.put, commit = IDBTransaction.prototype.commit, of = new WeakMap();
	IDBObjectStore.prototype.put = function (value, key) {
		if (this.name === 'studies') {
			const {name, reference} = JSON.parse(value.now.text);
			const told = {Name: name, Hash: reference.sha256};
			of.set(this.transaction, told);
			this.transaction.addEventListener('complete', () => window.tellWriting(JSON.stringify({...told, Done: true})));
		}
		return put.call(this, value, key);
	};
	IDBTransaction.prototype.commit = function () {
		if (of.has(this)) window.tellWriting(JSON.stringify({...of.get(this), Done: false}));
		return commit.call(this);
	};
})()`

// noise makes a photograph of ten megabytes that no other is like.
func noise(t testing.TB, folder string, number int) (path string, s state) {
	t.Helper()
	const width, height = 2100, 1600
	picture := image.NewNRGBA(image.Rect(0, 0, width, height))
	random := rand.New(rand.NewPCG(1, uint64(number)))
	for y := range height {
		for x := range width {
			v := random.Uint32()
			picture.SetNRGBA(x, y, color.NRGBA{uint8(v), uint8(v >> 8), uint8(v >> 16), 255})
		}
	}
	name := fmt.Sprintf("photograph %d", number)
	path = filepath.Join(folder, name+".png")
	file, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	sum := sha256.New()
	encoder := png.Encoder{CompressionLevel: png.NoCompression}
	if err := encoder.Encode(both{file, sum}, picture); err != nil {
		t.Fatal(err)
	}
	return path, state{name, hex.EncodeToString(sum.Sum(nil))}
}

type both [2]interface{ Write([]byte) (int, error) }

func (b both) Write(p []byte) (int, error) {
	if n, err := b[0].Write(p); err != nil {
		return n, err
	}
	return b[1].Write(p)
}

// mostKept is how many studies lie in the list before the oldest is removed for good.
const mostKept = 4

// Killed at any moment, while a study with a photograph of ten megabytes is written or
// changed, or another removed for good, the page comes back to the last state it was
// asked to keep or one that was on its way, never to one before what was already kept,
// and finds nothing damaged; and all other studies are byte for byte as they were, with
// their photographs.
func TestKilledWhileWriting(t *testing.T) {
	s, profile, folder := newSite(t), t.TempDir(), t.TempDir()
	random := rand.New(rand.NewPCG(2, 7))
	l := &ledger{kept: -1, begun: make(chan struct{}, 1)}
	small := screenSize{360, 420, 1}
	var before shelved
	for round := range *kills + 1 {
		b := startBrowser(t, profile)
		p := b.open(small, "about:blank", tellWrites)
		call(p, runtime.AddBinding, runtime.AddBindingParams{Name: "tellWriting"})
		p.must(chromedp.Listen(p.ctx, l.listen))
		p.must(chromedp.Do(p.ctx, chromedp.Navigate(s.url())))
		p.settle()
		if round == 0 {
			// Once the page is put by, it starts sooner.
			p.await("the page is put by", `document.documentElement.dataset.offline === 'ready'`)
		}
		p.comesBack(round, l)
		p.othersStay(round, before)
		if round == *kills {
			break
		}
		before = p.putBy()
		select {
		case <-l.begun:
		default:
		}
		p.keep(round, l, random, folder, &before)
		// Half of the kills follow the beginning of a writing, half come at any time.
		if before.removed == "" && random.IntN(2) == 0 {
			select {
			case <-l.begun:
			case <-time.After(patience):
				t.Fatal("nothing was written")
			}
			time.Sleep(time.Duration(random.IntN(40_000)) * time.Microsecond)
		} else {
			time.Sleep(time.Duration(random.IntN(1200)) * time.Millisecond)
		}
		b.kill()
		l.mu.Lock()
		if l.writes {
			l.within++
		}
		l.writes = false
		l.mu.Unlock()
	}
	t.Logf("%d of %d kills fell inside a writing", l.within, *kills)
	if l.within < *kills/10 {
		t.Errorf("only %d of %d kills fell inside a writing: the test does not try what it should", l.within, *kills)
	}
}

// keep has something written: one round in three a photograph, the others changes; or,
// where there are many studies, one of them removed.
func (p *tab) keep(round int, l *ledger, random *rand.Rand, folder string, before *shelved) {
	p.t.Helper()
	switch {
	case len(before.Studies) > mostKept:
		p.remove(before)
	case round%3 == 0:
		path, opened := noise(p.t, folder, round)
		l.ask(opened)
		p.choose(path)
	default:
		for i := range 1 + random.IntN(3) {
			p.change(l, fmt.Sprintf("round %d, change %d", round, i))
			time.Sleep(time.Duration(random.IntN(300)) * time.Millisecond)
		}
	}
}

// shelved is what is kept at the beginning of a round.
type shelved struct {
	records
	open    string // the study that lies open
	removed string // the one that is being removed, "" for none
}

func (p *tab) putBy() shelved {
	p.t.Helper()
	return shelved{records: p.records(), open: p.snapshot().Study.ID}
}

// remove begins to remove a study that does not lie open.
func (p *tab) remove(before *shelved) {
	p.t.Helper()
	for id := range before.Studies {
		if id != before.open {
			before.removed = id
			break
		}
	}
	row := "row-study-" + before.removed
	p.hit("part-studies", "tray-study")
	p.await("the studies are listed", `document.querySelector('[data-key=' + %s + ']') !== null`, row)
	p.hit(row, "studies-delete")
	p.await("it is in the bin", `document.querySelector('[data-key=' + %s + ']') === null`, row)
	p.hit("studies-bin")
	p.await("the bin is listed", `document.querySelector('[data-key=' + %s + ']') !== null`, row)
	p.hit(row, "studies-remove", "studies-remove")
}

// hit presses keys that need not be in sight.
func (p *tab) hit(keys ...string) {
	p.t.Helper()
	for _, key := range keys {
		eval[bool](p, `(() => { const b = document.createElement('button'); b.dataset.key = %s;
			document.body.append(b); b.click(); b.remove(); return true; })()`, key)
	}
}

// othersStay holds all studies but the open one to what they were before a kill, and
// every photograph to its hash.
func (p *tab) othersStay(round int, before shelved) {
	p.t.Helper()
	now := p.records()
	for id, text := range before.Studies {
		after, kept := now.Studies[id]
		switch {
		case id == before.open || id == before.removed && !kept:
		case after != text:
			p.t.Fatalf("after kill %d the study %s is\n%s\nand was\n%s", round, id, after, text)
		}
	}
	if lost := onDatabase[[]string](p, `const lost = [], photographs = await all('photographs'), {values} = await all('studies');
		for (const {now} of values) {
			const {sha256} = JSON.parse(now.text).reference, at = photographs.keys.indexOf(sha256);
			const sum = at < 0 ? '' : [...new Uint8Array(await crypto.subtle.digest('SHA-256', photographs.values[at]))].map((b) => b.toString(16).padStart(2, '0')).join('');
			if (sum !== sha256) lost.push(sha256);
		}
		return lost;`); len(lost) > 0 {
		p.t.Fatalf("after kill %d the photographs %q are not whole", round, lost)
	}
}

// change gives the study another name, through its field.
func (p *tab) change(l *ledger, name string) {
	p.t.Helper()
	l.mu.Lock()
	last := l.asked[len(l.asked)-1]
	l.mu.Unlock()
	l.ask(state{name, last.Hash})
	eval[bool](p, `(() => { const field = document.getElementById('study-name'); field.value = %s;
		return field.dispatchEvent(new Event('change', {bubbles: true})); })()`, name)
}

// comesBack holds what the page opens after a kill to the ledger, and begins
// the next round from there.
func (p *tab) comesBack(round int, l *ledger) {
	p.t.Helper()
	now := p.snapshot().Study
	found := state{now.Name, now.Reference.Hash}
	l.mu.Lock()
	defer l.mu.Unlock()
	if round > 0 {
		if i := l.find(found); i < max(l.kept, 0) {
			p.t.Fatalf("after kill %d the page opens %+v, number %d of what it was asked to keep; number %d was kept: %+v; it says %q",
				round, found, i, l.kept, l.asked, p.text("notice-text"))
		}
		if p.shown("notice") {
			p.t.Fatalf("after kill %d the page says %q", round, p.text("notice-text"))
		}
	}
	l.asked, l.kept = []state{found}, 0
}

func hashOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}
