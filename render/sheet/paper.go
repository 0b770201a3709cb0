package sheet

import (
	"fmt"
	"strings"

	"maulstick/render/place"
	"maulstick/render/study"
)

// Paper is a sheet of paper as it lies.
type Paper struct{ Width, Height place.MM }

// papers are the named sizes, upright. A4 and A3 are those of ISO 216; Letter and
// Tabloid are sizes A and B of ANSI/ASME Y14.1; Legal is the trade's 8 1/2 x 14 in,
// common practice, no source.
var papers = map[string]Paper{
	study.PaperA4:      {210, 297},
	study.PaperA3:      {297, 420},
	study.PaperLetter:  {215.9, 279.4},
	study.PaperLegal:   {215.9, 355.6},
	study.PaperTabloid: {279.4, 431.8},
}

const paperWanted = "choose A4, A3, Letter, Legal or Tabloid, or give a size from 125 mm to 2 m a side, as in 210x297mm"

// ParsePaper reads a paper's name, in whatever case, or its size as place.ParseSize
// reads one, bare numbers being millimetres. Any error is a *place.Problem.
func ParsePaper(text string) (Paper, error) {
	for name, p := range papers {
		if strings.EqualFold(strings.TrimSpace(text), name) {
			return p, nil
		}
	}
	size, err := place.ParseSize(text, place.Millimetre)
	if err != nil {
		return Paper{}, &place.Problem{Doing: fmt.Sprintf("reading the paper %q", text), What: "it is neither a name nor a size", Wanted: paperWanted}
	}
	p := Paper{size.Width, size.Height}
	return p, p.Check()
}

// PaperOf is the paper that a study asks for, as it lies.
func PaperOf(s study.Sheets) Paper {
	p, named := papers[s.Paper]
	if !named {
		p = Paper{s.Width, s.Height}
	}
	if s.Landscape {
		return p.Landscape()
	}
	return p
}

// Landscape is the paper with its long side level.
func (p Paper) Landscape() Paper { return Paper{max(p.Width, p.Height), min(p.Width, p.Height)} }

// Check refuses paper that is too small to tell its size on, or larger than a roll.
// The error is a *place.Problem.
func (p Paper) Check() error {
	if min(p.Width, p.Height) >= study.LeastPaper && max(p.Width, p.Height) <= study.MostPaper {
		return nil
	}
	return &place.Problem{
		Doing:  fmt.Sprintf("laying out paper of %s x %s", place.Text(p.Width, place.Millimetre, 1), place.Text(p.Height, place.Millimetre, 1)),
		What:   "its sides are not from 125 mm to 2 m, and it has to hold the rule of 100 mm that it is checked by",
		Wanted: paperWanted,
	}
}

// box is a part of a page.
type box struct{ X, Y, Width, Height place.MM }

// inset is the box without a strip along each edge.
func (b box) inset(left, top, right, bottom place.MM) box {
	return box{b.X + left, b.Y + top, b.Width - left - right, b.Height - top - bottom}
}

// The strips of a page. Few printers reach closer to the paper's edge than 6 mm.
const (
	margin       place.MM = 10
	headHeight   place.MM = 15
	footHeight   place.MM = 17
	wordsAcross  place.MM = 178 // paper from which on the words stand beside the rule
	wordsHeight  place.MM = 10
	columnGutter place.MM = 8
)

// body is what header and footer leave of a page.
func (p Paper) body() box {
	b := box{margin, margin, p.Width - 2*margin, p.Height - 2*margin}.inset(0, headHeight, 0, footHeight)
	if p.Width < wordsAcross {
		b.Height -= wordsHeight
	}
	return b
}

// list is words with commas between them.
func list(words []string) string { return strings.Join(words, ", ") }
