package easel

import (
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"
	"time"

	"maulstick/render/colour"
	"maulstick/render/palette"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/setout"
	"maulstick/render/shape"
	"maulstick/render/study"
	"maulstick/render/survey"
)

// bench is an easel with a page that only notes what it is asked, and a clock
// that stands until it is moved.
type bench struct {
	*Easel
	t        *testing.T
	clock    time.Time
	kept     []study.Document
	keptAt   []time.Time
	counts   []CountRequest
	saved    []string
	awake    []bool
	opened   int
	stopped  int
	updated  int
	redrawn  int
	surveys  []SurveyRequest
	halted   []survey.Kind
	handed   map[string][]byte
	chart    survey.Answer
	lineAsks []setout.Ask
	righted  []study.Document
	printed  []study.Document
	halts    int
	pixels   float64
	shelved  []ShelfAsk
	reminded []time.Time
	came     bool
	lays     []layAsk
	littles  []Little
	cameras  []cameraAsk
	lights   int            // how often the camera was switched off
	frames   []string       // given to the log
	frame    *photo.Picture // the last of them
	choosing []string       // what files were to be chosen for
	read     []readAsk
	checks   []PaintingAsk
	unasked  int            // how often a check was stopped
	held     study.Document // the last that was found to keep every rule
}

func (b *bench) Keep(d study.Document) {
	b.kept, b.keptAt = append(b.kept, d), append(b.keptAt, b.clock)
}
func (b *bench) Count(r CountRequest)     { b.counts = append(b.counts, r) }
func (b *bench) OpenFile()                { b.opened++ }
func (b *bench) StopOpening()             { b.stopped++ }
func (b *bench) Awake(on bool)            { b.awake = append(b.awake, on) }
func (b *bench) UseUpdate()               { b.updated++ }
func (b *bench) Shelf(a ShelfAsk)         { b.shelved = append(b.shelved, a) }
func (b *bench) Reminded(at time.Time)    { b.reminded = append(b.reminded, at) }
func (b *bench) Redraw()                  { b.redrawn++ }
func (b *bench) Survey(r SurveyRequest)   { b.surveys = append(b.surveys, r) }
func (b *bench) StopSurvey(k survey.Kind) { b.halted = append(b.halted, k) }
func (b *bench) SaveChart(name string, a survey.Answer) {
	b.handed[name], b.chart = nil, a
}
func (b *bench) Lay(id int, r study.Reference, righting study.Righting) {
	b.lays = append(b.lays, layAsk{id, r, righting})
}
func (b *bench) Little(l Little)                       { b.littles = append(b.littles, l) }
func (b *bench) PinFiles()                             { b.choosing = append(b.choosing, "pins") }
func (b *bench) LogFile()                              { b.choosing = append(b.choosing, "log") }
func (b *bench) SaveBytes(name, _ string, data []byte) { b.handed[name] = data }
func (b *bench) SetOut(_ int, ask setout.Ask)          { b.lineAsks = append(b.lineAsks, ask) }
func (b *bench) Right(_ int, d study.Document)         { b.righted = append(b.righted, d) }
func (b *bench) PrintSheets(_ int, d study.Document)   { b.printed = append(b.printed, d) }
func (b *bench) StopPlotting()                         { b.halts++ }
func (b *bench) KeepCalibration(pixels float64)        { b.pixels = pixels }
func (b *bench) SaveFile(name string, _ study.Document, came bool) {
	b.saved, b.came = append(b.saved, name), came
}

func (b *bench) Camera(id int, device string) { b.cameras = append(b.cameras, cameraAsk{id, device}) }
func (b *bench) CameraOff()                   { b.lights++ }
func (b *bench) PaletteFile()                 { b.choosing = append(b.choosing, "palette") }
func (b *bench) PaletteFrame(name string, frame *photo.Picture) {
	b.frames = append(b.frames, name)
	b.frame = frame
}
func (b *bench) ReadPalette(id int, r study.Reference, ask palette.Ask) {
	b.read = append(b.read, readAsk{id, r, ask})
}

// readAsk is a photograph of cards and piles that was to be read.
type readAsk struct {
	id  int
	r   study.Reference
	ask palette.Ask
}

func (b *bench) CheckPainting(_ int, ask PaintingAsk) { b.checks = append(b.checks, ask) }
func (b *bench) StopChecking()                        { b.unasked++ }
func (b *bench) LogFrame(name string, frame *photo.Picture) {
	b.frames = append(b.frames, name)
	b.frame = frame
}

// cameraAsk is a camera that was asked for.
type cameraAsk struct {
	id     int
	device string
}

// layAsk is a photograph that a small copy was asked of.
type layAsk struct {
	id       int
	r        study.Reference
	righting study.Righting
}

const (
	photoWidth  = 1200
	photoHeight = 800
)

// greys is a photograph of nine upright bands, from black to white, each of one
// grey: the codes of lightness 6, 17, 28 ... 94 to the nearest. Nothing may write to it.
var greys = sync.OnceValue(func() *photo.Picture {
	p := photo.New(photoWidth, photoHeight)
	for y := range p.Height {
		for x := range p.Width {
			c := colour.GreyOf(bandLightness(x))
			copy(p.Pix[4*(y*p.Width+x):], []byte{c.R, c.G, c.B, 255})
		}
	}
	return p
})

func bandLightness(x int) colour.Lightness { return colour.Lightness(6 + 11*(9*x/photoWidth)) }

// newBench has nothing on the easel yet; its area is 900 x 700 CSS pixels.
func newBench(t *testing.T, dpr float64) *bench {
	b := &bench{t: t, handed: map[string][]byte{}, clock: time.Date(2026, 1, 1, 9, 0, 0, 0, time.UTC)}
	b.Easel = New(b, func() time.Time { return b.clock })
	b.Resize(900, 700, dpr)
	return b
}

// atWork has the greys on the easel, on a canvas of 36 x 24 in, which is of
// their own proportion.
func atWork(t *testing.T, dpr float64) *bench {
	b := newBench(t, dpr)
	b.Show(greysDoc(), greys(), true)
	b.Filled()
	b.Type("canvas", "36 x 24 in")
	b.wait(2 * time.Second)
	b.kept, b.keptAt = nil, nil
	return b
}

func greysDoc() study.Document {
	return study.New("greys", study.Reference{
		Name: "greys.png", Hash: strings.Repeat("0", 64), Bytes: 1000, Width: photoWidth, Height: photoHeight,
	})
}

// wait lets time pass as a page does: it ticks when it was asked to and answers
// every Keep at once.
func (b *bench) wait(d time.Duration) {
	end := b.clock.Add(d)
	for {
		next := b.Tick()
		b.answerKeeps()
		if next == 0 || b.clock.Add(next).After(end) {
			b.clock = end
			b.Tick()
			b.answerKeeps()
			return
		}
		b.clock = b.clock.Add(next)
	}
}

func (b *bench) answerKeeps() {
	for b.Easel.keeping.waiting > 0 {
		b.Kept(nil)
	}
}

func (b *bench) press(keys ...string) {
	for _, k := range keys {
		b.Press(k)
		b.Release(k)
	}
}

// touch is one event of a finger.
func (b *bench) touch(kind PointerKind, id int, x, y float64) {
	b.Pointer(Pointer{Kind: kind, ID: id, Device: Touch, X: x, Y: y})
}

// tap is a short touch of a device, after a pause.
func (b *bench) tap(device Device, x, y float64) {
	b.clock = b.clock.Add(time.Second)
	b.Pointer(Pointer{Kind: Down, ID: 90, Device: device, X: x, Y: y})
	b.clock = b.clock.Add(60 * time.Millisecond)
	b.Pointer(Pointer{Kind: Up, ID: 90, Device: device, X: x, Y: y})
}

// drag moves a finger in steps.
func (b *bench) drag(id int, x0, y0, x1, y1 float64) {
	b.clock = b.clock.Add(time.Second)
	b.touch(Down, id, x0, y0)
	for i := 1; i <= 10; i++ {
		b.clock = b.clock.Add(16 * time.Millisecond)
		k := float64(i) / 10
		b.touch(Move, id, x0+(x1-x0)*k, y0+(y1-y0)*k)
	}
	b.touch(Up, id, x1, y1)
}

// screenOf is where a place of the photograph is on the screen in CSS pixels,
// worked out here from the snapshot's figures and not with the viewport.
func (b *bench) screenOf(p place.PhotoPoint) (x, y float64) {
	d := b.doc()
	cx, cy := d.View.CentreX, d.View.CentreY
	dx, dy := (p.X-cx)*b.scaleCSS(), (p.Y-cy)*b.scaleCSS()
	if d.View.Turned {
		dx, dy = -dx, -dy
	}
	if d.View.Mirror {
		dx = -dx
	}
	return 450 + dx, 350 + dy
}

// scaleCSS is how many CSS pixels a photo pixel has in the area of 900 x 700:
// the crop fits it with 14 on every side, and is seen Zoom times as large.
func (b *bench) scaleCSS() float64 {
	c := b.doc().Crop()
	return min((900-28)/c.Width, (700-28)/c.Height) * b.doc().View.Zoom
}

func (b *bench) wantText(id, want string) {
	b.t.Helper()
	if got := b.Face().Text[id]; got != want {
		b.t.Errorf("#%s says %q, want %q", id, got, want)
	}
}

// figures are the two distances of the Place tray, spelt out.
func (b *bench) figures() string {
	f := b.Face()
	spell := func(id string) string {
		parts := []string{}
		for _, part := range []string{"whole", "frac", "unit", "from"} {
			if s := f.Text[id+"-"+part]; s != "" {
				parts = append(parts, s)
			}
		}
		return strings.Join(parts, " ")
	}
	if f.Hidden["place-x"] || f.Hidden["place-y"] {
		return "hidden"
	}
	return spell("place-x") + ", " + spell("place-y")
}

// histograms counts the picture as the worker does.
func histograms(p *photo.Picture, crop place.Crop) (eye, filter shape.Histogram) {
	eye.AddRows(colour.EyeMeter, p.Pix, p.Width, 0, crop)
	filter.AddRows(colour.FilterMeter, p.Pix, p.Width, 0, crop)
	return eye, filter
}

func near(a, b, within float64) bool { return math.Abs(a-b) <= within }

func (b *bench) onlyMark() study.Mark {
	b.t.Helper()
	if len(b.doc().Marks) != 1 {
		b.t.Fatalf("there are %d marks, want 1", len(b.doc().Marks))
	}
	return b.doc().Marks[0]
}

func describe(m study.Mark) string { return fmt.Sprintf("%d at %.3f, %.3f", m.ID, m.X, m.Y) }

// onWhole is where a place of the photograph is on the screen in CSS pixels while all of
// it is in sight, worked out as in screenOf.
func (b *bench) onWhole(x, y float64) (sx, sy float64) {
	w, h := float64(b.picture.Width), float64(b.picture.Height)
	scale := min((900-28)/w, (700-28)/h)
	dx, dy := (x-w/2)*scale, (y-h/2)*scale
	if b.doc().View.Turned {
		dx, dy = -dx, -dy
	}
	if b.doc().View.Mirror {
		dx = -dx
	}
	return 450 + dx, 350 + dy
}

// dragWhole drags a finger from a place of the photograph to another while all of it is
// in sight.
func (b *bench) dragWhole(x0, y0, x1, y1 float64) {
	sx0, sy0 := b.onWhole(x0, y0)
	sx1, sy1 := b.onWhole(x1, y1)
	b.drag(1, sx0, sy0, sx1, sy1)
}

// setLines answers the newest plan of lines as the worker does.
func (b *bench) setLines() setout.Answer {
	b.t.Helper()
	if len(b.lineAsks) == 0 {
		b.t.Fatal("no lines were asked for")
	}
	answer := setout.Draw(b.lineAsks[len(b.lineAsks)-1])
	b.Easel.SetOut(b.setting.last, answer)
	return answer
}

// setRightAsAsked answers the newest Right with a picture of the size that the study's
// photograph has then, and says whether it was taken.
func (b *bench) setRightAsAsked() (taken bool) {
	b.t.Helper()
	if len(b.righted) == 0 {
		b.t.Fatal("nothing was to be set right")
	}
	size := b.righted[len(b.righted)-1].Pixels()
	return b.Righted(b.right.last, photo.New(size.Width, size.Height))
}

// wantCrop checks the crop, in pixels of the photograph.
func (b *bench) wantCrop(what string, x, y, width, height float64) {
	b.t.Helper()
	c := b.doc().Crop()
	if !near(c.X, x, 1e-6) || !near(c.Y, y, 1e-6) || !near(c.Width, width, 1e-6) || !near(c.Height, height, 1e-6) {
		b.t.Errorf("%s: the crop is %.3f, %.3f, %.3f x %.3f, want %.3f, %.3f, %.3f x %.3f", what, c.X, c.Y, c.Width, c.Height, x, y, width, height)
	}
}

// wantValue checks what stands in a field.
func (b *bench) wantValue(id, want string) {
	b.t.Helper()
	if got := b.Face().Value[id]; got != want {
		b.t.Errorf("in #%s stands %q, want %q", id, got, want)
	}
}
