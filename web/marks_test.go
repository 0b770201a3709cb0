package web_test

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"maulstick/render/colour"
)

// slope is a test photograph whose colours tell where they are: red light
// rises and falls in even slopes from left to right, green light from top to
// bottom, and blue numbers the cell that each pair of slopes makes. Light is
// what the page averages, so between pixels the slopes stay even.
type slope struct {
	name          string
	width, height int
	run           int // pixels in which light goes from none to full
}

func (s slope) cell(x, y float64) uint8 {
	return uint8(37*int(x/float64(s.run)) + 101*int(y/float64(s.run)))
}

// light is 0 at one end of a run and 1 at the other, by turns.
func (s slope) light(x float64) float64 {
	at := math.Mod(x/float64(s.run), 2)
	return min(at, 2-at)
}

// write makes the photograph's file.
func (s slope) write(t testing.TB) string {
	t.Helper()
	m := image.NewNRGBA(image.Rect(0, 0, s.width, s.height))
	for y := range s.height {
		for x := range s.width {
			px, py := float64(x)+0.5, float64(y)+0.5
			m.SetNRGBA(x, y, color.NRGBA{
				R: colour.Encode(s.light(px)), G: colour.Encode(s.light(py)), B: s.cell(px, py), A: 255,
			})
		}
	}
	path := filepath.Join(t.TempDir(), s.name+".png")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, m); err != nil {
		t.Fatal(err)
	}
	return path
}

// place is where a colour on the screen comes from, in photo pixels, within
// the cell in which the place is expected. The cell's number must fit too.
func (s slope) place(seen color.Color, nearX, nearY float64) (x, y float64, err error) {
	c := color.NRGBAModel.Convert(seen).(color.NRGBA)
	if want := s.cell(nearX, nearY); c.B != want {
		return 0, 0, fmt.Errorf("cell number %d on the screen, %d expected around (%.2f, %.2f)", c.B, want, nearX, nearY)
	}
	return s.along(c.R, nearX), s.along(c.G, nearY), nil
}

func (s slope) along(code uint8, near float64) float64 {
	cell := math.Floor(near / float64(s.run))
	share := colour.Decode(code)
	if int(cell)%2 == 1 {
		share = 1 - share
	}
	return (cell + share) * float64(s.run)
}

// onScreen is where the page must show a place of the photograph, worked out
// from the snapshot alone, in device pixels from the area's corner; toPhoto is
// the reverse.
type onScreen struct{ middleX, middleY, centreX, centreY, scale, signX, signY float64 }

func geometry(s snapshot) onScreen {
	g := onScreen{
		middleX: float64(s.Area.Width) * s.Area.DPR / 2, middleY: float64(s.Area.Height) * s.Area.DPR / 2,
		centreX: s.Crop.X + s.Crop.Width/2, centreY: s.Crop.Y + s.Crop.Height/2,
		scale: s.Scale, signX: 1, signY: 1,
	}
	if !s.Study.View.Fit {
		g.centreX, g.centreY = s.Study.View.CentreX, s.Study.View.CentreY
	}
	if s.Study.View.Turned {
		g.signX, g.signY = -1, -1
	}
	if s.Study.View.Mirror {
		g.signX = -g.signX
	}
	return g
}

func (g onScreen) toPhoto(x, y float64) (px, py float64) {
	return g.centreX + g.signX*(x-g.middleX)/g.scale, g.centreY + g.signY*(y-g.middleY)/g.scale
}

func (g onScreen) toScreen(px, py float64) (x, y float64) {
	return g.middleX + g.signX*(px-g.centreX)*g.scale, g.middleY + g.signY*(py-g.centreY)*g.scale
}

// midCell is the middle of the device pixel nearest to the middle of the cell
// around a place of the screen: there the slopes tell most.
func (s slope) midCell(g onScreen, x, y float64) (i, j int) {
	px, py := g.toPhoto(x, y)
	run := float64(s.run)
	x, y = g.toScreen((math.Floor(px/run)+0.5)*run, (math.Floor(py/run)+0.5)*run)
	return int(math.Floor(x)), int(math.Floor(y))
}

var (
	closely = slope{"closely", 480, 320, 4}    // seen larger than life
	widely  = slope{"widely", 2400, 1600, 128} // seen smaller
)

// TestMarksLandWhereTouched touches known spots of the screen, as near and as
// far as the picture goes, mirrored and upside down, on screens of three
// densities, and holds each mark to what the screen shows at that spot.
func TestMarksLandWhereTouched(t *testing.T) {
	s := newSite(t)
	b := startBrowser(t, t.TempDir())
	for _, dpr := range []float64{1, 2, 3} {
		t.Run(fmt.Sprintf("density %.0f", dpr), func(t *testing.T) {
			p := b.openFresh(t, screenSize{900, 620, dpr}, s.url())
			p.settle()
			for _, picture := range []slope{widely, closely} {
				p.openPhotograph(picture.write(t), picture.name)
				p.press("tray-line")
				p.fill("canvas", "48 x 32 in")
				p.press("tray-place")
				p.tapAlone(p.over(0.5, 0.5))
				zooms := 4
				if picture == widely {
					zooms = 1
				}
				for zoom := range zooms {
					p.zoomTo(zoom)
					for _, key := range []string{"", "mirror", "turn", "mirror"} {
						p.turnBy(key)
						p.markAndCompare(t, picture)
					}
					p.turnBy("turn")
				}
			}
		})
	}
}

// openPhotograph opens a file and waits until it is the study on the screen.
func (p *tab) openPhotograph(path, name string) {
	p.t.Helper()
	p.choose(path)
	p.await("the photograph is open", `window.maulstick.snapshot().study?.name === %s`, name)
	p.settle()
}

// over is a spot of the picture's area, by shares of its width and height.
func (p *tab) over(x, y float64) spot {
	p.t.Helper()
	b := p.boxOf("overlay")
	return spot{b.X + x*b.Width, b.Y + y*b.Height}
}

// zoomTo shows the picture whole, twice and four times as large, and as close
// as can be, about a place off its middle.
func (p *tab) zoomTo(zoom int) {
	p.t.Helper()
	over := p.boxOf("overlay")
	for range [...]int{0, 2, 2, 12}[zoom] {
		p.wheel(over.X+over.Width*0.4, over.Y+over.Height*0.6, -math.Ln2/2/0.0015)
	}
	p.settle()
}

// turnBy presses a key that mirrors or turns the picture, opening its tray.
func (p *tab) turnBy(key string) {
	p.t.Helper()
	switch key {
	case "":
	case "turn":
		p.press("tray-value")
		p.press("part-filter")
		p.press("turn")
		p.press("tray-place")
	default:
		p.press(key)
	}
	p.settle()
}

// seeAt is the colour of one device pixel of the picture's area.
func (p *tab) seeAt(over box, i, j int, dpr float64) color.Color {
	p.t.Helper()
	left, top := math.Floor(float64(i)/dpr), math.Floor(float64(j)/dpr)
	part := p.seePart(over.X+left, over.Y+top, 1, 1)
	return part.At(i-int(left*dpr), j-int(top*dpr))
}

// markAndCompare places a mark by touch and compares its place with the
// geometry, and with the colours on the screen under the touch.
func (p *tab) markAndCompare(t *testing.T, picture slope) {
	t.Helper()
	before := p.snapshot()
	g, over := geometry(before), p.boxOf("overlay")
	i, j := picture.midCell(g, g.middleX-0.4*g.middleY, 1.3*g.middleY)
	eval[bool](p, `document.getElementById('marks').style.visibility = 'hidden', true`)
	seen := p.seeAt(over, i, j, before.Area.DPR)
	eval[bool](p, `document.getElementById('marks').style.visibility = '', true`)
	touched := spot{over.X + (float64(i)+0.5)/before.Area.DPR, over.Y + (float64(j)+0.5)/before.Area.DPR}
	p.press("mark-new")
	p.tapAlone(touched)
	after := p.snapshot()
	view := after.Study.View
	name := fmt.Sprintf("%s at %.2f device pixels, mirrored %v, turned %v", picture.name, after.Scale, view.Mirror, view.Turned)
	if after.Scale != before.Scale || view != before.Study.View || len(after.Study.Marks) != len(before.Study.Marks)+1 || after.Reading == nil {
		t.Fatalf("%s: the picture was %.4f, %+v, %+v; the touch left %+v, %+v", name, before.Scale, before.Area, before.Study.View, after.Area, after.Study)
	}
	mark := after.Study.Marks[len(before.Study.Marks)]
	wantX, wantY := g.toPhoto(float64(i)+0.5, float64(j)+0.5)
	if math.Hypot(mark.X-wantX, mark.Y-wantY)*g.scale > 0.01 {
		t.Errorf("%s: the mark is at (%v, %v), by the geometry (%v, %v)", name, mark.X, mark.Y, wantX, wantY)
	}
	shownX, shownY, err := picture.place(seen, mark.X, mark.Y)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if offX, offY := math.Abs(mark.X-shownX)*g.scale, math.Abs(mark.Y-shownY)*g.scale; offX > 1 || offY > 1 {
		t.Errorf("%s: the mark is (%.3f, %.3f) screen pixels off what the screen shows", name, offX, offY)
	}
	// The canvas is 48 inches for the picture's width, whatever its pixels.
	perPixel := 48 * 25.4 / float64(picture.width)
	if offX := math.Abs(float64(after.Reading.X) - shownX*perPixel); offX > perPixel/g.scale {
		t.Errorf("%s: %.4f mm from the left, the screen shows %.4f", name, float64(after.Reading.X), shownX*perPixel)
	}
	if offY := math.Abs(float64(after.Reading.Y) - shownY*perPixel); offY > perPixel/g.scale {
		t.Errorf("%s: %.4f mm from the top, the screen shows %.4f", name, float64(after.Reading.Y), shownY*perPixel)
	}
}

// A mark that was deleted and is back stands in the list where it stood.
func TestUndoneMarkKeepsItsPlace(t *testing.T) {
	s := newSite(t)
	p := startBrowser(t, t.TempDir()).open(landscape, s.url())
	p.settleKept()
	p.press("tray-place")
	x, y := p.spotOf("#overlay")
	for i := range 3 {
		p.press("mark-new")
		p.tap(spot{x + float64(60*i-60), y})
		p.settle()
	}
	list := func() []string {
		return eval[[]string](p, `[...document.querySelectorAll('#marks-row button')].map((b) => b.dataset.key)`)
	}
	before := list()
	p.clickAt(`#marks-row [data-key="mark-1"]`)
	p.press("mark-delete")
	p.press("undo")
	p.settle()
	if after := list(); len(before) != 3 || !slices.Equal(after, before) {
		t.Errorf("of the marks %v the first was deleted and brought back, and they are %v", before, after)
	}
}
