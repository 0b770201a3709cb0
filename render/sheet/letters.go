package sheet

import (
	"math"
	"strings"

	"maulstick/render/place"
	"maulstick/render/study"
)

// type sizes on a page of a letter's width.
const (
	titleSize  Points = 15
	readSize   Points = 15 // what is read from the easel
	smallSize  Points = 11
	labelSize  Points = 10
	lineFactor        = 1.3 // of lines to their size
)

// face is a size and weight of type.
type face struct {
	size Points
	bold bool
}

// large is a face for what is read from the easel: larger on larger paper than A4.
func (p *pen) large(size Points, bold bool) face {
	a4 := papers[study.PaperA4]
	times := math.Sqrt(float64(p.paper.Width * p.paper.Height / (a4.Width * a4.Height)))
	return face{size * Points(min(max(times, 1), 2)), bold}
}

// fitting is the face, or one as much smaller as text needs to fit a width, down to
// 7 points.
func (p *pen) fitting(f face, text string, width place.MM) face {
	if wide := p.measure(f, text); wide > width {
		f.size = max(f.size*Points(width/wide)*0.995, 7)
	}
	return f
}

// leading is from line to line.
func (f face) leading() place.MM { return f.size.MM() * lineFactor }

// set makes the face the one that text is drawn and measured with.
func (p *pen) set(f face) {
	style := ""
	if f.bold {
		style = "B"
	}
	if size, _ := p.pdf.GetFontSize(); size != float64(f.size) || p.pdf.GetFontStyle() != style {
		p.pdf.SetFont(family, style, float64(f.size))
	}
}

// printable is text in letters that the typeface has: Latin, Greek and Cyrillic
// ones, and the usual signs. A square stands for every other.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= ' ' && r <= '~', r >= 0xa0 && r <= 0x17f && r != 0xad,
			r >= 0x384 && r <= 0x3ce && r != 0x38b && r != 0x38d && r != 0x3a2,
			r >= 0x401 && r <= 0x45f && r != 0x40d && r != 0x450 && r != 0x45d,
			strings.ContainsRune("–—‘’‚“”„†‡•…‰‹›€™−≈≠≤≥□⅛⅜⅝⅞", r):
			return r
		}
		return '□'
	}, text)
}

// measure is how wide text is.
func (p *pen) measure(f face, text string) place.MM {
	p.set(f)
	return place.MM(p.pdf.GetStringWidth(printable(text)))
}

// text writes text from x on, y being its baseline.
func (p *pen) text(f face, x, y place.MM, text string) {
	p.set(f)
	p.pdf.Text(float64(x), float64(y), printable(text))
}

// textLeft writes text that ends at x, textAbout text about x.
func (p *pen) textLeft(f face, x, y place.MM, text string) {
	p.text(f, x-p.measure(f, text), y, text)
}

func (p *pen) textAbout(f face, x, y place.MM, text string) {
	p.text(f, x-p.measure(f, text)/2, y, text)
}

// textUp writes text upwards from y on, x being its baseline.
func (p *pen) textUp(f face, x, y place.MM, text string) {
	p.set(f)
	p.pdf.RawWriteStr("q")
	p.write("cm", 0, 1, -1, 0, p.x(x), p.y(y))
	p.pdf.Text(0, float64(p.paper.Height), printable(text)) // the origin of what is turned
	p.pdf.RawWriteStr("Q")
}

// fitted is text cut to a width.
func (p *pen) fitted(f face, text string, width place.MM) string {
	if p.measure(f, text) <= width {
		return text
	}
	letters := []rune(text)
	for n := len(letters) - 1; n > 0; n-- {
		if cut := strings.TrimSpace(string(letters[:n])) + "…"; p.measure(f, cut) <= width {
			return cut
		}
	}
	return "…"
}

// wrap breaks text between words into lines of a width; a word that is too long
// for a line is cut.
func (p *pen) wrap(f face, text string, width place.MM) []string {
	var lines []string
	for _, word := range strings.Fields(text) {
		last := len(lines) - 1
		if last >= 0 && p.measure(f, lines[last]+" "+word) <= width {
			lines[last] += " " + word
			continue
		}
		lines = append(lines, p.fitted(f, word, width))
	}
	return lines
}

// lines writes lines below one another, the first with its top at y, and returns
// where the next would have its own.
func (p *pen) lines(f face, x, y place.MM, lines []string) place.MM {
	for _, text := range lines {
		p.text(f, x, y+f.ascent(), text)
		y += f.leading()
	}
	return y
}

// ascent is from the top of a line to its baseline.
func (f face) ascent() place.MM { return f.size.MM() * 0.95 }
