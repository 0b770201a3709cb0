package photo

import "maulstick/render/crew"

// TileSide is the largest side of a tile in pixels, gutters included; Gutter is
// how many pixels of its neighbours a tile carries on every side, so that
// sampling between two pixels never needs a second tile; TileCore is the side
// of what a tile alone is there for.
const (
	TileSide = 1024
	Gutter   = 2
	TileCore = TileSide - 2*Gutter
)

// stepPixels is how many pixels one call of Advance averages at most, unless a
// single row has more: a few milliseconds of work in a browser.
const stepPixels = 1 << 19

// Pyramid is a picture with its smaller copies, each half the side of the one
// before, rounded up, and averaged in linear light. Level 0 is the picture
// itself. Pixel (i, j) of level k covers the picture's pixels from (i*2^k,
// j*2^k) up to the next pixel's, or as many of them as exist: at the right and
// lower edges of odd sizes only what exists is averaged.
//
// Level 1 is never stored, being a quarter of the picture: it is averaged anew
// for each tile. Level 2 is averaged from the picture, each further level from
// the stored one before it, so that what is held comes to a twelfth of the
// picture. Every stored code is within one of the exact average's.
//
// Of a picture that is held halved, the level of its own pixels takes the place of level
// 0 in this; the levels below repeat its pixels, so that nothing above has to know. The
// squares at its right and lower edges then count as whole ones in the levels above.
type Pyramid struct {
	picture *Picture
	own     int     // the level of the picture's own pixels
	levels  []level // those up to own+1 have a size and no pixels
	filled  int     // rows of the picture that hold pixels
}

// level is one of a pyramid's copies: pix as a Picture's, and how many of its
// rows are made.
type level struct {
	width, height int
	pix           []byte
	rows          int
}

// NewPyramid is the pyramid of a picture that need not hold its pixels yet. It
// takes all the memory that it will ever take; Advance makes the levels.
func NewPyramid(p *Picture) *Pyramid {
	y := &Pyramid{picture: p, own: p.Halved, levels: []level{{width: p.Width, height: p.Height}}}
	w, h := p.Width, p.Height
	for w > TileCore || h > TileCore || len(y.levels) <= y.own {
		w, h = (w+1)/2, (h+1)/2
		l := level{width: w, height: h}
		if len(y.levels) > y.own+1 {
			l.pix = make([]byte, 4*w*h)
		}
		y.levels = append(y.levels, l)
	}
	return y
}

// Picture is the picture at the bottom.
func (y *Pyramid) Picture() *Picture { return y.picture }

// Levels is how many levels there are, at least 1; the last fits the core of
// one tile.
func (y *Pyramid) Levels() int { return len(y.levels) }

// LevelSize is the size of level k in its own pixels.
func (y *Pyramid) LevelSize(k int) (width, height int) {
	return y.levels[k].width, y.levels[k].height
}

// Tiles is how many columns and rows of tiles level k is cut into.
func (y *Pyramid) Tiles(k int) (columns, rows int) {
	l := &y.levels[k]
	return (l.width + TileCore - 1) / TileCore, (l.height + TileCore - 1) / TileCore
}

// Bytes is how much memory the smaller copies hold, the picture not counted.
func (y *Pyramid) Bytes() int {
	sum := 0
	for i := range y.levels {
		sum += len(y.levels[i].pix)
	}
	return sum
}

// Advance is told how many rows of the picture, as it is held, hold pixels, counted from the
// top, and makes a small bounded part of the levels out of them. It tells
// whether more can be made at once; when the last rows are in and it returns
// false, every level is whole. Rows once told are not read again after their
// levels are made, so they must not change.
func (y *Pyramid) Advance(filled int) (more bool) {
	y.filled = min(max(filled, y.filled), y.levels[y.own].height)
	budget := stepPixels
	for k := y.own + 2; k < len(y.levels); k++ {
		if rows := y.makeable(k) - y.levels[k].rows; rows > 0 {
			if budget <= 0 {
				return true
			}
			source := y.averaged(k)
			cost := source.width * source.n
			count := min(rows, (budget+cost-1)/cost)
			y.makeRows(k, count, source)
			if budget -= count * cost; count < rows {
				return true
			}
		}
	}
	return false
}

// Finish makes every level at once from a picture that holds all its pixels.
func (y *Pyramid) Finish() {
	for y.Advance(y.levels[y.own].height) {
	}
}

// Rows is how many rows of level k can be read, counted from the top.
func (y *Pyramid) Rows(k int) int {
	switch own := y.levels[y.own].height; {
	case k < y.own:
		return min(y.filled<<(y.own-k), y.levels[k].height)
	case k == y.own:
		return y.filled
	case k == y.own+1:
		return whole(y.filled, 2, own)
	default:
		return y.levels[k].rows
	}
}

// TileReady tells whether all that Tile reads of that tile is there.
func (y *Pyramid) TileReady(k, row int) bool {
	return y.Rows(k) >= min((row+1)*TileCore+Gutter, y.levels[k].height)
}

// makeable is how many rows of level k, own+2 or above, the rows below it allow.
func (y *Pyramid) makeable(k int) int {
	if k == y.own+2 {
		return whole(y.filled, 4, y.levels[y.own].height)
	}
	below := &y.levels[k-1]
	return whole(below.rows, 2, below.height)
}

// whole is how many groups of n rows the first rows make, the last group
// being whole when there are no more rows to come.
func whole(rows, n, height int) int {
	if rows >= height {
		return (height + n - 1) / n
	}
	return rows / n
}

// averaged is what level k, own+2 or above, is averaged from.
func (y *Pyramid) averaged(k int) averaged {
	if k == y.own+2 {
		return y.ownBy(4)
	}
	below := &y.levels[k-1]
	return averaged{below.width, below.height, below.pix, 2}
}

// ownBy is the picture's own pixels, read in blocks of n by n.
func (y *Pyramid) ownBy(n int) averaged {
	own := &y.levels[y.own]
	return averaged{own.width, own.height, y.picture.Pix, n}
}

// makeRows makes the next rows of level k, which all cores share.
func (y *Pyramid) makeRows(k, count int, source averaged) {
	l := &y.levels[k]
	crew.Share(count, 8, func(first, end int) {
		for row := l.rows + first; row < l.rows+end; row++ {
			source.row(row, 0, l.width, l.pix[4*l.width*row:][:4*l.width])
		}
	})
	l.rows += count
}
