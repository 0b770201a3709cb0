package sheet

import (
	"fmt"
	"strings"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/study"
)

// Wanted is a small copy of a part of a photograph, set right as the pin's is, that a
// study's sheets show besides the one on the easel.
type Wanted struct {
	Hash string // of the photograph
	Pin  int    // of the board
	Part place.Crop
	Long int // pixels that the copy's long side has at most
}

// Small gives a small copy, or nil where the photograph is not to be had: its sheet says
// so. An error ends the work and is returned.
type Small func(w Wanted) (*photo.Picture, error)

// Pinned is a reference of the board as it is printed.
type Pinned struct {
	Name    string
	OnEasel bool
	Size    place.Pixels   // set right
	Crop    place.Crop     // the part of it that is painted
	Picture *photo.Picture // a small copy of the whole, nil for none
}

// Borrowed is a note of what is borrowed as it is printed.
type Borrowed struct {
	Words, From, Into string         // "sky from this one", "evening", "harbour, at stalk"
	Picture           *photo.Picture // a small copy of the part, nil for none
}

// The measures of the board.
const (
	leastPin    place.MM = 50
	pinGap      place.MM = 6
	pinHigh              = 0.75 // of its width, of a cell's picture
	lentAcross  place.MM = 36   // the picture of what is borrowed
	lentHigh    place.MM = 27
	longestLent          = 12 // lines of words
)

// cells are how many references stand in a row of the board, and how wide each is.
func (p Paper) cells() (count int, wide place.MM) {
	body := p.body()
	count = max(int((body.Width+pinGap)/(leastPin+pinGap)), 1)
	return count, (body.Width - pinGap*place.MM(count-1)) / place.MM(count)
}

// Wants are the small copies that sheets of these kinds show of a study's references,
// but for the one on the easel, whose picture is there.
func Wants(d study.Document, kinds []string) []Wanted {
	var all []Wanted
	for _, k := range kinds {
		if k != study.SheetBoard {
			continue
		}
		for _, p := range d.Board.Pins {
			all = append(all, wholeOf(d, p.ID))
		}
		for _, l := range d.Board.Borrowed {
			all = append(all, partOf(d, l))
		}
	}
	others := all[:0]
	for _, w := range all {
		if w.Pin != d.Board.OnEasel {
			others = append(others, w)
		}
	}
	return others
}

// dots are how many pixels a length on the study's paper has.
func dots(d study.Document, l place.MM) int {
	return max(int(float64(l/place.Inch.MM())*float64(d.Sheets.Resolution)), 1)
}

// wholeOf is the copy of a whole reference, partOf that of what is borrowed.
func wholeOf(d study.Document, pin int) Wanted {
	r, righting, _ := d.PhotographOf(pin)
	_, wide := PaperOf(d.Sheets).cells()
	return Wanted{Hash: r.Hash, Pin: pin, Part: place.WholeCrop(sizeOf(r, righting)), Long: dots(d, wide)}
}

func partOf(d study.Document, l study.Borrowing) Wanted {
	r, _, _ := d.PhotographOf(l.From)
	return Wanted{Hash: r.Hash, Pin: l.From, Part: l.Part, Long: dots(d, lentAcross)}
}

// sizeOf is the size of a photograph set right.
func sizeOf(r study.Reference, righting study.Righting) place.Pixels {
	came := place.Pixels{Width: r.Width, Height: r.Height}
	if _, size, err := righting.Forward(came); err == nil {
		return size
	}
	return came // which no study is kept with
}

// hang gathers the board, as far as it is printed.
func (w *Work) hang(d study.Document, small Small) error {
	for _, p := range d.Board.Pins {
		r, righting, crop, _ := d.ReferenceOf(p.ID)
		picture, err := w.small(d, wholeOf(d, p.ID), small)
		if err != nil {
			return err
		}
		w.Board = append(w.Board, Pinned{Name: p.Name, OnEasel: p.ID == d.Board.OnEasel, Size: sizeOf(r, righting), Crop: crop, Picture: picture})
	}
	for _, l := range d.Board.Borrowed {
		picture, err := w.small(d, partOf(d, l), small)
		if err != nil {
			return err
		}
		from, _ := d.Pin(l.From)
		w.Borrowed = append(w.Borrowed, Borrowed{Words: l.Words, From: from.Name, Into: intoText(d, l), Picture: picture})
	}
	return nil
}

// small is a small copy, of the photograph on the easel or of another.
func (w *Work) small(d study.Document, ask Wanted, small Small) (*photo.Picture, error) {
	switch {
	case ask.Pin == d.Board.OnEasel:
		return photo.Reduced(w.Picture, ask.Part, ask.Long)
	case small == nil:
		return nil, nil
	}
	return small(ask)
}

// intoText says where what is borrowed goes.
func intoText(d study.Document, l study.Borrowing) string {
	to, _ := d.Pin(l.To)
	text := to.Name
	if l.Mark == 0 {
		return text
	}
	marks := d.Marks
	if to.Left != nil {
		marks = to.Left.Marks
	}
	for _, m := range marks {
		if m.ID == l.Mark {
			name := m.Name
			if name == "" {
				name = fmt.Sprintf("mark %d", m.ID)
			}
			return text + ", at " + name
		}
	}
	return text
}

// boardPages are the references in rows, in the painter's order, and then what is
// borrowed.
func (w Work) boardPages(p *pen, body box) []page {
	count, wide := w.Paper.cells()
	var blocks []block
	for from := 0; from < len(w.Board); from += count {
		blocks = append(blocks, p.cellBlock(w.Board[from:min(from+count, len(w.Board))], wide))
	}
	if len(w.Borrowed) > 0 {
		blocks = append(blocks, p.headingBlock("Borrowed", body.Width))
	}
	for _, l := range w.Borrowed {
		blocks = append(blocks, p.lentBlock(l, body.Width))
	}
	detail := fmt.Sprintf("%d references; the frame on each is its crop", len(w.Board))
	return laid(study.SheetBoard, detail, flow(blocks, body, 1, 0))
}

// cellBlock is a row of references.
func (p *pen) cellBlock(row []Pinned, wide place.MM) block {
	name, figures := face{10, true}, face{labelSize, false}
	high := wide * pinHigh
	pictures := make([]*embedded, len(row))
	for i, r := range row {
		pictures[i] = p.embedding(r.Picture)
	}
	return block{height: high + name.leading() + figures.leading() + 5, draw: func(p *pen, at box) {
		for i, r := range row {
			x := at.X + place.MM(i)*(wide+pinGap)
			room := box{x, at.Y, wide, high}
			b := p.framed(pictures[i], r.Size, room)
			if pictures[i] != nil {
				p.cropOn(r, b)
			}
			size := fmt.Sprintf("%d x %d pixels", r.Size.Width, r.Size.Height)
			if r.OnEasel {
				size += ", on the easel"
			}
			y := p.lines(name, x, at.Y+high+1, []string{p.fitted(name, r.Name, wide)})
			p.lines(figures, x, y, []string{p.fitted(figures, size, wide)})
		}
	}}
}

// lentBlock is a note of what is borrowed, with its picture.
func (p *pen) lentBlock(l Borrowed, width place.MM) block {
	words, figures := face{smallSize, false}, face{labelSize, false}
	room := width - lentAcross - 4
	var lines []string
	for line := range strings.SplitSeq(l.Words, "\n") {
		lines = append(lines, p.wrap(words, line, room)...)
	}
	if len(lines) > longestLent {
		lines = append(lines[:longestLent-1], "…")
	}
	picture := p.embedding(l.Picture)
	text := words.leading()*place.MM(len(lines)) + figures.leading()
	return block{height: max(text, lentHigh) + 4, draw: func(p *pen, at box) {
		size := place.Pixels{Width: 4, Height: 3}
		if l.Picture != nil {
			size = l.Picture.Size()
		}
		p.framed(picture, size, box{at.X, at.Y, lentAcross, lentHigh})
		y := p.lines(words, at.X+lentAcross+4, at.Y, lines)
		p.lines(figures, at.X+lentAcross+4, y, []string{p.fitted(figures, "from "+l.From+", into "+l.Into, room)})
	}}
}

// framed draws a picture of those proportions in the middle of a box, or says that it is
// not there, and tells where it lies.
func (p *pen) framed(e *embedded, size place.Pixels, room box) box {
	scale := min(room.Width/place.MM(size.Width), room.Height/place.MM(size.Height))
	b := box{Width: scale * place.MM(size.Width), Height: scale * place.MM(size.Height)}
	b.X, b.Y = room.X+(room.Width-b.Width)/2, room.Y+(room.Height-b.Height)/2
	if e != nil {
		p.show(e, 0, b)
		return b
	}
	p.grey(0)
	p.width(0.25)
	p.rectangle(b)
	p.textAbout(face{labelSize, false}, b.X+b.Width/2, b.Y+b.Height/2, "not here")
	return b
}

// cropOn marks the part of a reference that is painted.
func (p *pen) cropOn(r Pinned, b box) {
	scale := b.Width / place.MM(r.Size.Width)
	c := box{b.X + scale*place.MM(r.Crop.X), b.Y + scale*place.MM(r.Crop.Y), scale * place.MM(r.Crop.Width), scale * place.MM(r.Crop.Height)}
	for _, line := range []struct {
		grey  uint8
		width place.MM
	}{{255, 1}, {0, 0.35}} {
		p.grey(line.grey)
		p.width(line.width)
		p.rectangle(c)
	}
	p.grey(0)
}
