package sheet

import (
	"bytes"
	"strconv"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"maulstick/render/colour"
	"maulstick/render/place"
)

// Points is a size of type: 72 to the inch.
type Points float64

// MM is the size as a length.
func (p Points) MM() place.MM { return place.MM(p) * 25.4 / 72 }

// family is what the embedded typeface is called inside. The library writes
// untagged before its name; tagged makes that the tag of a subset.
const (
	family   = "as+go"
	untagged = "utf8as+"
	tag      = "MAULAS+"
)

// pen draws on the pages of a PDF. Places are from the page's top left corner.
// The library makes pages, fonts, images and the file; lines go past it, since it
// rounds to a hundredth of a point and writes slowly in a browser.
type pen struct {
	pdf    *fpdf.Fpdf
	paper  Paper
	buffer []byte
	widths map[int]bool // of the images so far, in pixels
	photo  place.Size   // the largest that the photograph is printed
	plan   *embedded    // the value plan
	steps  *embedded    // each step of it alone, below one another
	copies []*embedded  // small copies of references
}

// newPen is a pen with no page yet: it measures text already.
func newPen(paper Paper) *pen {
	pdf := fpdf.NewCustom(&fpdf.InitType{
		OrientationStr: "P", UnitStr: "mm", Size: fpdf.SizeType{Wd: float64(paper.Width), Ht: float64(paper.Height)},
	})
	pdf.SetMargins(0, 0, 0)
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetCatalogSort(true) // equal work, equal bytes
	pdf.AddUTF8FontFromBytes(family, "", goregular.TTF)
	pdf.AddUTF8FontFromBytes(family, "B", gobold.TTF)
	pdf.SetFont(family, "", 10)
	return &pen{pdf: pdf, paper: paper, widths: map[int]bool{}}
}

// made is the date in every file: the library writes one, and a true one would make
// equal work differ.
var made = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// bytes is the whole file.
func (p *pen) bytes(title string) ([]byte, error) {
	p.pdf.SetTitle(strings.Map(func(r rune) rune {
		if r > 0xffff { // which the library cannot spell
			return '□'
		}
		return r
	}, title), true)
	p.pdf.SetCreator("Maulstick", true)
	p.pdf.SetProducer("", false)
	p.pdf.SetCreationDate(made)
	p.pdf.SetModificationDate(made)
	var out bytes.Buffer
	if err := p.pdf.Output(&out); err != nil {
		return nil, err
	}
	return atActualSize(out.Bytes())
}

// turnOver begins a page.
func (p *pen) turnOver() { p.pdf.AddPage() }

// write writes an operator after its numbers, which are in points.
func (p *pen) write(operator string, numbers ...float64) {
	p.buffer = p.buffer[:0]
	for _, n := range numbers {
		p.buffer = append(appendNumber(p.buffer, n), ' ')
	}
	p.pdf.RawWriteStr(string(append(p.buffer, operator...)))
}

// appendNumber is a number in thousandths.
func appendNumber(to []byte, n float64) []byte {
	at := len(to)
	to = strconv.AppendFloat(to, n, 'f', 3, 64)
	end := len(to)
	for to[end-1] == '0' {
		end--
	}
	if to[end-1] == '.' {
		end--
	}
	if string(to[at:end]) == "-0" {
		return append(to[:at], '0')
	}
	return to[:end]
}

// points is a length in points; x and y are places on the page in them.
func points(l place.MM) float64      { return float64(l) * 72 / 25.4 }
func (p *pen) x(x place.MM) float64  { return points(x) }
func (p *pen) y(y place.MM) float64  { return points(p.paper.Height - y) }
func (p *pen) width(l place.MM)      { p.write("w", points(l)) }
func (p *pen) dash(on, off place.MM) { p.pdf.RawWriteStr(dashes(points(on), points(off))) }
func (p *pen) solid()                { p.pdf.RawWriteStr("[] 0 d") }

func dashes(on, off float64) string {
	b := append(appendNumber([]byte("["), on), ' ')
	return string(append(appendNumber(b, off), "] 0 d"...))
}

// grey and colour set what lines, fillings and text are drawn with.
func (p *pen) grey(code uint8) {
	g := float64(code) / 255
	p.write("G", g)
	p.write("g", g)
}

func (p *pen) colour(c colour.SRGB) {
	r, g, b := float64(c.R)/255, float64(c.G)/255, float64(c.B)/255
	p.write("RG", r, g, b)
	p.write("rg", r, g, b)
}

// line draws a line of the width set.
func (p *pen) line(x1, y1, x2, y2 place.MM) {
	p.write("m", p.x(x1), p.y(y1))
	p.write("l S", p.x(x2), p.y(y2))
}

// rectangle draws the outline of a box, fill its inside.
func (p *pen) rectangle(b box) { p.boxed(b, "re S") }
func (p *pen) fill(b box)      { p.boxed(b, "re f") }

func (p *pen) boxed(b box, operator string) {
	p.write(operator, p.x(b.X), p.y(b.Y+b.Height), points(b.Width), points(b.Height))
}

// clip draws only within a box what do draws, which may not set type.
func (p *pen) clip(b box, do func()) {
	p.pdf.RawWriteStr("q")
	p.boxed(b, "re W n")
	do()
	p.pdf.RawWriteStr("Q")
}

// disc fills a disc, drawn as a line of no length with round ends.
func (p *pen) disc(x, y, diameter place.MM) {
	p.write("w 1 J", points(diameter))
	p.line(x, y, x, y)
	p.pdf.RawWriteStr("0 J")
}

// square draws an empty square to tick, or one that is ticked.
func (p *pen) square(x, y, side place.MM, ticked bool) {
	p.grey(0)
	p.width(0.5)
	p.rectangle(box{x, y, side, side})
	if ticked {
		p.width(0.8)
		p.line(x+side*0.2, y+side*0.5, x+side*0.42, y+side*0.75)
		p.line(x+side*0.42, y+side*0.75, x+side*0.82, y+side*0.22)
	}
}
