package sheet

import "maulstick/render/place"

// block is something that is not broken over pages.
type block struct {
	height  place.MM
	heading bool // stays with the block after it, as short ones do that belong together
	draw    func(p *pen, at box)
}

// placed is a block at its place.
type placed struct {
	block
	at box
}

// flow lays blocks below one another, in columns, over as many pages as it takes;
// on the first one below a strip of a height that is left free.
func flow(blocks []block, body box, columns int, strip place.MM) [][]placed {
	width := (body.Width - columnGutter*place.MM(columns-1)) / place.MM(columns)
	var pages [][]placed
	column, y, top := columns, place.MM(0), place.MM(0)
	for i, b := range blocks {
		need := b.height
		for j := i; blocks[j].heading && j+1 < len(blocks); j++ {
			need += blocks[j+1].height
		}
		if column == columns || y+need > body.Height && y > top {
			if column++; column >= columns {
				pages, column, top = append(pages, nil), 0, 0
				if len(pages) == 1 {
					top = strip
				}
			}
			y = top
		}
		at := box{body.X + place.MM(column)*(width+columnGutter), body.Y + y, width, b.height}
		last := len(pages) - 1
		pages[last] = append(pages[last], placed{b, at})
		y += b.height
	}
	return pages
}

// laid are pages of placed blocks.
func laid(kind, detail string, lists [][]placed) []page {
	var pages []page
	for _, list := range lists {
		pages = append(pages, page{kind: kind, detail: detail, draw: func(p *pen) {
			for _, b := range list {
				b.draw(p, b.at)
			}
		}})
	}
	return pages
}

// textBlock is lines of text in one face, with room after them.
func (p *pen) textBlock(f face, text string, width, after place.MM) block {
	lines := p.wrap(f, text, width)
	return block{height: f.leading()*place.MM(len(lines)) + after, draw: func(p *pen, at box) {
		p.grey(0)
		p.lines(f, at.X, at.Y, lines)
	}}
}

// headingBlock is a heading, which stays with what follows it.
func (p *pen) headingBlock(text string, width place.MM) block {
	b := p.textBlock(p.large(readSize, true), text, width, 1)
	b.heading = true
	return b
}
