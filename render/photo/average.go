package photo

import (
	"math"
	"sync"

	"maulstick/render/colour"
	"maulstick/render/place"
)

// fullSum is the linear light of white in whole numbers. Sixteen pixels of it
// fit 32 bits with room to spare, and the darkest codes, 20 of these apart,
// stay well apart.
const fullSum = 65535

// tables carry codes to linear light in whole numbers and back.
type tables struct {
	light [256]uint32
	code  [fullSum + 1]uint8
}

// lightTables are made at the first use: a page that shows no photograph yet
// should not wait for them.
var lightTables = sync.OnceValue(func() *tables {
	t := new(tables)
	for c := range t.light {
		t.light[c] = uint32(math.Round(colour.Decode(uint8(c)) * fullSum))
	}
	for v := range t.code {
		t.code[v] = colour.Encode(float64(v) / fullSum)
	}
	return t
})

// Halve averages rows of a picture in linear light, in squares of 2^halved pixels a
// side: pix holds them, of the full width, and out is given a row for each row of
// squares. Squares at the right and lower edges average what exists.
func Halve(pix []byte, width, halved int, out []byte) {
	rows := len(pix) / (4 * width)
	size := divided(place.Pixels{Width: width, Height: rows}, 1<<halved)
	a := averaged{width, rows, pix, 1 << halved}
	for y := range size.Height {
		a.row(y, 0, size.Width, out[4*size.Width*y:])
	}
}

// averaged is a picture read in blocks of n by n pixels, each averaged in
// linear light; blocks at the right and lower edges average what exists.
type averaged struct {
	width, height int
	pix           []byte
	n             int
}

// row writes blocks left..left+len(out)/4 of a row of blocks to out, which
// holds count blocks.
func (a averaged) row(row, left, count int, out []byte) {
	t := lightTables()
	top := row * a.n
	rows := min(a.n, a.height-top)
	done := 0
	if a.n == 2 && rows == 2 {
		done = min(count, a.width/2-left)
		start := 4 * (top*a.width + 2*left)
		t.fours(a.pix[start:][:8*done], a.pix[start+4*a.width:][:8*done], out)
	}
	for i := done; i < count; i++ {
		a.block(t, (left+i)*a.n, top, rows, out[4*i:])
	}
}

// fours averages what two rows hold, two pixels of each at a time.
func (t *tables) fours(upper, lower, out []byte) {
	for len(upper) >= 8 && len(lower) >= 8 && len(out) >= 4 {
		u, l, o := (*[8]byte)(upper), (*[8]byte)(lower), (*[4]byte)(out)
		o[0] = t.code[uint16((t.light[u[0]]+t.light[u[4]]+t.light[l[0]]+t.light[l[4]]+2)/4)]
		o[1] = t.code[uint16((t.light[u[1]]+t.light[u[5]]+t.light[l[1]]+t.light[l[5]]+2)/4)]
		o[2] = t.code[uint16((t.light[u[2]]+t.light[u[6]]+t.light[l[2]]+t.light[l[6]]+2)/4)]
		o[3] = 255
		upper, lower, out = upper[8:], lower[8:], out[4:]
	}
}

// block averages the block of rows rows whose upper left pixel is (x, top).
func (a averaged) block(t *tables, x, top, rows int, out []byte) {
	columns := min(a.n, a.width-x)
	var r, g, b uint32
	for j := range rows {
		start := 4 * ((top+j)*a.width + x)
		line := a.pix[start : start+4*columns]
		for len(line) >= 4 {
			r += t.light[line[0]]
			g += t.light[line[1]]
			b += t.light[line[2]]
			line = line[4:]
		}
	}
	n := uint32(rows * columns)
	o := (*[4]byte)(out)
	o[0], o[1], o[2], o[3] = t.code[(r+n/2)/n], t.code[(g+n/2)/n], t.code[(b+n/2)/n], 255
}
