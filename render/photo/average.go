package photo

import (
	"math"
	"sync"

	"maulstick/render/colour"
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
	for i := range count {
		x := (left + i) * a.n
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
		o := out[4*i : 4*i+4 : 4*i+4]
		o[0], o[1], o[2], o[3] = t.code[(r+n/2)/n], t.code[(g+n/2)/n], t.code[(b+n/2)/n], 255
	}
}
